package notebook

import "strings"

func setOf(list string) map[string]bool {
	set := map[string]bool{}
	for w := range strings.FieldsSeq(list) {
		set[w] = true
	}
	return set
}

// sizeWords stand between a number and its measure, or before both, and bend the amount.
var sizeWords = setOf(`lg lge sm sml med md xl heaping heaped heapin scant scanted level rounded generous good large small big full liberal bare short packed
	metric us american imperial british australian english medium extra tiny brimming well filled ordinary
	common flat slightly lightly firmly loosely tightly overflowing overfull
	grosse gros grande grand petite petit bonne bon rase rases bombee bombees belle beau large pleine comble`)

// approxWords say that a number is not exact; they stand before it.
var approxWords = setOf(`about approximately approx around roughly circa ca nearly almost c some say under over only just exactly perhaps another further
	environ presque the maximum minimum up at least heaping heaped scant generous good full level rounded bare using use take add another`)

// stateWords say how an ingredient is to be, not which one; most verbs in -ed are found by form.
var stateWords = setOf(`lg lge sm sml med md xl threads strands soft cold cool warm hot tepid lukewarm boiling simmering scalding icy iced frozen fresh freshly ripe very well finely coarsely roughly lightly
	thinly thickly loosely firmly tightly gently slightly just newly large medium small extra jumbo big tiny good best quality nice
	beaten broken cut split ground torn shaken frothy stiff stiffly whole thick thin fine coarse dry wet clean new raw uncooked cooked
	melted softened sifted chopped sliced diced cubed grated peeled pitted cored seeded stoned crushed toasted roasted blanched chilled
	scalded drained rinsed washed separated whipped strained sieved packed heaped loose lumpless smooth room temperature pure plain
	organic natural unwaxed untreated free-range free range unpeeled unsifted undrained uncut halves halved quartered minced julienned
	shredded slivered flaked crumbled cubes slices pieces chunks strips wedges bits dice rounds matchsticks crosswise lengthwise lengthways together
	separately thoroughly until of and or de en a au aux la le les the to in into by with firm stale day-old old shelled hulled
	fondu fondue mou molle ramolli ramollie pommade tamise tamisee rape rapee hache hachee froid froide chaud chaude tiede bien mur mure
	fouette fouettee battu battus battue concasse concassee concassees emonde emondees grille grillees torrefie torrefiees
	frais fraiche fraiches surgele surgelees coupe coupee coupes fendue grattee fendu egoutte egouttees denoyaute denoyautees presse finement
	entier entiers entiere entieres gros grosse petit petite petits bio temperature ambiante demi-fondu
	degermed unblanched skinned skinless skin-on bruised pounded powdered pulverized bottled canned tinned bought shop-bought homemade
	home-made leftover your favourite favorite accurate weighed once twice thrice times fold
	ready-made store-bought premium high-quality top-quality top rich light heavy strong weak mild clear unsulphured unsulfured unrefined unbleached
	jaune assez environ bonne qualite liquide loaf lump gold silver bronze platinum unflavored unflavoured flavourless sweet juicy seedless new-laid newlaid
	local seasonal sustainable spray-free dried-out real genuine ordinary common tender young stoneless flaky`)

// prepWords are doings and states that matter for how an amount was measured.
func isPreparation(w string) bool {
	return stateWords[w] || (len(w) > 4 && strings.HasSuffix(w, "ed") && !notDone[w])
}

// measuredBy are the doings that change how much a cup holds.
func changesVolume(w string) bool {
	return volumeChangers[w] || (len(w) > 4 && strings.HasSuffix(w, "ed") && !notDone[w])
}

var volumeChangers = setOf(`ground cut beaten broken torn packed sifted chopped whipped softened melted pounded soft fondu tamise tamisee rape rapee hache hachee tamise`)

// notDone are words in -ed that are no preparation.
var notDone = setOf("seed linseed flaxseed aniseed rapeseed grapeseed unsalted salted sweetened unsweetened condensed evaporated dried freeze-dried desiccated candied reduced skimmed")

// stopWords end the name of an ingredient: what follows says what is done with it or what for.
var stopWords = setOf(`for at cut from in into with without until to if see preferably depending such like about each per plus minus less
	pour en dans sans avec jusqu afin coupe coupee coupes selon which that is are or and & + as you on over off beaten
	left reserved more extra additional any`)

// parts of a fruit, a pod or an egg that a line may ask for.
var partWords = map[string]string{
	"juice": "juice", "jus": "juice", "zest": "zest", "zests": "zest", "rind": "zest", "rinds": "zest", "peel": "peel", "zeste": "zest", "zestes": "zest", "ecorce": "peel",
	"white": "white", "whites": "white", "blanc": "white", "blancs": "white", "yolk": "yolk", "yolks": "yolk", "yelk": "yolk", "yelks": "yolk", "jaune": "yolk", "jaunes": "yolk",
	"seed": "seeds", "seeds": "seeds", "graines": "seeds", "pulp": "pulp", "pulpe": "pulp", "flesh": "flesh", "chair": "flesh", "segments": "segments", "scrapings": "seeds",
}

// imperatives start an instruction.
var imperatives = setOf(`preheat heat mix beat whisk stir fold bake cook boil simmer bring pour put place set remove let leave allow
	chill refrigerate freeze melt sift combine add whip spread roll knead cut line grease serve transfer strain pass press
	soak bloom dissolve drain peel chop slice toss sprinkle dust brush pipe fill cover wrap turn cool reserve store make prepare take
	work blend process divide repeat assemble unmould unmold glaze decorate arrange return reduce raise lower rest prove proof
	scald infuse temper caramelise caramelize roast toast poach steam fry grill meanwhile when once while continue finish dip drizzle
	invert trim scrape separate rinse warm gradually slowly gently using season insert smooth tap check test open close start stop keep
	scatter spoon ladle layer top garnish crush grind grate rub shape form dock prick weigh measure moisten
	prechauffer prechauffez faire faites melanger melangez battre battez fouetter fouettez ajouter ajoutez verser versez incorporer incorporez
	cuire cuisez laisser laissez mettre mettez monter montez porter portez etaler etalez enfourner enfournez tamiser tamisez fondez
	chauffer chauffez reserver reservez bouillir couler coulez refroidir demouler demoulez glacer chemiser`)

// ambiguousVerbs start an instruction only before an article or a word like it.
var ambiguousVerbs = setOf("cream butter flour sugar salt juice zest whip ice dust oil water pit stone core cut grate brown dry freeze cool warm top separate press roll set rest ground")

// headingWords may stand alone as the heading of a group.
var headingWords = setOf(`glaze filling topping crust dough sponge mousse icing frosting base garnish decoration assembly finish finishing
	batter coating insert soak soaking syrup streusel crumble biscuit crunch croustillant custard ganache cremeux bavarois
	genoise joconde dacquoise meringue chantilly cremeux coulis gelee jelly caramel praline nougatine montage decor decors garniture
	glacage pate biscuit imbibage sauce compote nappage velvet spray cake tart pastry mirror ingredients method topping directions
	sable financier brownie namelaka sabayon buttercream mousseline chiboust diplomat diplomate anglaise patissiere sucree sablee brisee
	feuilletage choux chou entremets entremet opera bombe confit marmalade chablon`)

// tradeComponents are things a formula makes, so that a mass of one is a reference.
var tradeComponents = setOf(`genoise joconde dacquoise financier brownie streusel croustillant anglaise patissiere diplomat diplomate mousseline
	chiboust bavarois bavaroise sabayon cremeux namelaka ganache coulis nougatine buttercream roulade entremets frangipane feuilletage mousse custard chantilly`)
