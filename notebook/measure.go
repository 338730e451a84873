package notebook

import (
	"strings"

	"chablon/unit"
)

type measureClass uint8

const (
	ofMass measureClass = iota
	ofVolume
	ofPieces    // something counted that may have a usual mass: stick, leaf, pinch
	ofContainer // something bought closed: can, packet
	ofBatches   // one making of a formula
	ofNoAmount  // a length, a time, a temperature: never an amount
)

// measure is one unit as it is met in lines. Low and High are grams for a mass or for pieces
// whose mass the trade takes as known, and millilitres for a volume; zero where not known.
type measure struct {
	symbol    string
	class     measureClass
	low, high float64
	spoon     bool
	note      string // the assumption in the figures
}

const practice = "common practice, no source"

// measures lists every measure with its spellings in plain letters, parted by semicolons.
// Figures: NIST Handbook 44 App. C for the exact ones; old household measures from tables in
// cookbooks out of copyright; what has a note is an assumption.
var measures = []struct {
	measure
	spellings string
}{
	{measure{symbol: "mg", class: ofMass, low: 0.001, high: 0.001}, "mg;milligram;milligrams;milligramme;milligrammes"},
	{measure{symbol: "g", class: ofMass, low: 1, high: 1}, "g;gr;grs;gm;gms;gram;grams;gramme;grammes"},
	{measure{symbol: "hg", class: ofMass, low: 100, high: 100}, "hg;hectogram;hectogramme"},
	{measure{symbol: "kg", class: ofMass, low: 1000, high: 1000}, "kg;kgs;kilo;kilos;kilogram;kilograms;kilogramme;kilogrammes"},
	{measure{symbol: "oz", class: ofMass, low: 28.349523125, high: 28.349523125}, "oz;ozs;ounce;ounces;once;onces;℥"},
	{measure{symbol: "lb", class: ofMass, low: 453.59237, high: 453.59237}, "lb;lbs;pound;pounds;℔"},
	{measure{symbol: "dr", class: ofMass, low: 1.7718451953125, high: 3.8879346, note: "a dram is 1.8 g avoirdupois, 3.9 g of an apothecary"}, "dr;dram;drams;drachm;drachms;ʒ"},
	{measure{symbol: "livre", class: ofMass, low: 500, high: 500, note: "livre taken as 500 g"}, "livre;livres"},

	{measure{symbol: "ml", class: ofVolume, low: 1, high: 1}, "ml;mls;millilitre;millilitres;milliliter;milliliters;cc;cm3;cm³"},
	{measure{symbol: "cl", class: ofVolume, low: 10, high: 10}, "cl;centilitre;centilitres;centiliter;centiliters"},
	{measure{symbol: "dl", class: ofVolume, low: 100, high: 100}, "dl;decilitre;decilitres;deciliter;deciliters"},
	{measure{symbol: "L", class: ofVolume, low: 1000, high: 1000}, "l;lt;ltr;ltrs;litre;litres;liter;liters"},
	{measure{symbol: "tsp", class: ofVolume, low: 4.92892159375, high: 4.92892159375, spoon: true}, "tsp;tsps;ts;teasp;teaspoon;teaspoons;teaspoonful;teaspoonfuls;teaspoonsful;tea spoon;tea spoons;tea spoonful;tea spoonfuls;c a c;c a cafe;cac;cuil a cafe;cuillere a cafe;cuilleres a cafe;cuilleree a cafe;cuillerees a cafe;cuillere a the;cuilleres a the;cuil a the;c a the;petite cuillere;petites cuilleres"},
	{measure{symbol: "tbsp", class: ofVolume, low: 14.78676478125, high: 14.78676478125, spoon: true}, "tbsp;tbsps;tbs;tbl;tbls;tblsp;tblspn;tb;tablesp;tablespoon;tablespoons;tablespoonful;tablespoonfuls;tablespoonsful;table spoon;table spoons;table spoonful;table spoonfuls;c a s;c a soupe;cas;cuil a soupe;cuillere a soupe;cuilleres a soupe;cuilleree a soupe;cuillerees a soupe;cuillere a bouche;cuillerees a bouche"},
	{measure{symbol: "dsp", class: ofVolume, low: 10, high: 10, spoon: true, note: "a dessertspoon taken as 10 ml"}, "dsp;dsps;dssp;dstsp;dessertsp;dessertspoon;dessertspoons;dessertspoonful;dessertspoonfuls;dessertspoonsful;dessert spoon;dessert spoons;dessert spoonful;dessert spoonfuls;c a entremets;c a dessert;cuillere a dessert;cuilleres a dessert;cuillere a entremets;cuilleres a entremets"},
	{measure{symbol: "saltspoon", class: ofVolume, low: 1.2322303984375, high: 1.2322303984375, spoon: true, note: "a saltspoon taken as a quarter of a teaspoon"}, "saltspoon;saltspoons;saltspoonful;saltspoonfuls;salt spoon;salt spoons;salt spoonful;salt spoonfuls;ssp"},
	{measure{symbol: "coffee spoon", class: ofVolume, low: 2.5, high: 2.5, spoon: true, note: "a coffee spoon taken as half a teaspoon"}, "coffeespoon;coffeespoons;coffee spoon;coffee spoons;coffeespoonful;coffee spoonful;coffeespoonfuls;coffee spoonfuls"},
	{measure{symbol: "fl oz", class: ofVolume, low: 29.5735295625, high: 29.5735295625}, "fl oz;fl ozs;floz;fluid oz;fluid ounce;fluid ounces;fl ounce;fl ounces;fluidounce;fluidounces;liquid ounce;liquid ounces"},
	{measure{symbol: "cup", class: ofVolume, low: 236.5882365, high: 236.5882365}, "cup;cups;cupful;cupfuls;cupsful;tasse;tasses"},
	{measure{symbol: "teacup", class: ofVolume, low: 142, high: 177, note: "a teacup is 142 ml in Britain, 177 ml in old American books"}, "teacup;teacups;teacupful;teacupfuls;teacupsful;tea cup;tea cups;tea cupful;tea cupfuls"},
	{measure{symbol: "coffee cup", class: ofVolume, low: 236.6, high: 236.6, note: "a coffee cup taken as half an American pint"}, "coffeecup;coffeecups;coffee cup;coffee cups;coffeecupful;coffee cupful;coffee cupfuls;coffeecupfuls"},
	{measure{symbol: "breakfast cup", class: ofVolume, low: 227, high: 284, note: "a breakfast cup is about half a British pint"}, "breakfastcup;breakfastcups;breakfast cup;breakfast cups;breakfastcupful;breakfastcupfuls;breakfast cupful;breakfast cupfuls"},
	{measure{symbol: "tumbler", class: ofVolume, low: 237, high: 284, note: "a tumbler is 237 ml in old American books, 284 ml in Britain"}, "tumbler;tumblers;tumblerful;tumblerfuls;tumblersful"},
	{measure{symbol: "glass", class: ofVolume, low: 150, high: 250, note: "the size of the glass is open"}, "glass;glasses;glassful;glassfuls;verre;verres"},
	{measure{symbol: "wineglass", class: ofVolume, low: 59, high: 71, note: "a wineglass is 59 ml in old American books, up to 71 ml in Britain"}, "wineglass;wineglasses;wineglassful;wineglassfuls;wineglassesful;wine glass;wine glasses;wine glassful;wine glassfuls;wine glassesful"},
	{measure{symbol: "liqueur glass", class: ofVolume, low: 20, high: 40, note: "the size of the liqueur glass is open"}, "liqueur glass;liqueur glasses;liqueur glassful;verre a liqueur;verres a liqueur;petit verre;petits verres"},
	{measure{symbol: "jigger", class: ofVolume, low: 44.36, high: 44.36, note: "a jigger taken as 1 1/2 US fl oz"}, "jigger;jiggers"},
	{measure{symbol: "gill", class: ofVolume, low: 118.29411825, high: 142.0653125, note: "a gill is 118 ml in the United States, 142 ml in Britain"}, "gill;gills;jill;jills"},
	{measure{symbol: "pint", class: ofVolume, low: 473.176473, high: 473.176473}, "pint;pints;pt;pts"},
	{measure{symbol: "quart", class: ofVolume, low: 946.352946, high: 946.352946}, "quart;quarts;qt;qts"},
	{measure{symbol: "gallon", class: ofVolume, low: 3785.411784, high: 3785.411784}, "gallon;gallons;gal;gals"},
	{measure{symbol: "chopine", class: ofVolume, low: 470, high: 500, note: "a chopine is 0.47 to 0.5 L"}, "chopine;chopines"},
	{measure{symbol: "bowl", class: ofVolume, low: 250, high: 400, note: "the size of the bowl is open"}, "bowlful;bowlfuls;bol;bols"},
	{measure{symbol: "ladle", class: ofVolume, low: 60, high: 120, note: "the size of the ladle is open"}, "ladle;ladles;ladleful;ladlefuls;louche;louches"},
	{measure{symbol: "drop", class: ofVolume, low: 0.05, high: 0.08, note: "a drop taken as 0.05 to 0.08 ml"}, "drop;drops;goutte;gouttes"},
	{measure{symbol: "pinch", class: ofVolume, low: 0.25, high: 0.5, spoon: true, note: "a pinch taken as 0.25 to 0.5 ml"}, "pinch;pinches;pincee;pincees;few grains;few grain;grain;grains;pn"},
	{measure{symbol: "dash", class: ofVolume, low: 0.3, high: 0.7, spoon: true, note: "a dash taken as 0.3 to 0.7 ml"}, "dash;dashes;trait;traits"},
	{measure{symbol: "splash", class: ofVolume, low: 3, high: 10, note: "a splash taken as 3 to 10 ml"}, "splash;splashes;drizzle;filet;glug;glugs"},

	{measure{symbol: "squeeze", class: ofVolume, low: 3, high: 8, note: "a squeeze taken as 3 to 8 ml"}, "squeeze;squeezes"},

	{measure{symbol: "stick", class: ofPieces}, "stick;sticks;baton;batons"},
	{measure{symbol: "square", class: ofPieces, low: 28.349523125, high: 28.349523125, note: "a square taken as 1 oz, as in old books"}, "square;squares;carre;carres;sq"},
	{measure{symbol: "knob", class: ofPieces, low: 10, high: 15, note: "a knob taken as 10 to 15 g"}, "knob;knobs;noix;noisette;nut"},
	{measure{symbol: "pat", class: ofPieces, low: 5, high: 5, note: "a pat taken as 5 g"}, "pat;pats"},
	{measure{symbol: "handful", class: ofPieces, low: 30, high: 45, note: "a handful taken as 30 to 45 g"}, "handful;handfuls;handsful;poignee;poignees"},
	{measure{symbol: "leaf", class: ofPieces}, "leaf;leaves;lvs;feuille;feuilles"},
	{measure{symbol: "sheet", class: ofPieces}, "sheet;sheets"},
	{measure{symbol: "pod", class: ofPieces}, "gousse;gousses;pod;pods"},
	{measure{symbol: "sprig", class: ofPieces}, "sprig;sprigs;brin;brins;branch;branches;branche;stalk;stalks;stem;stems;rib;ribs"},
	{measure{symbol: "bunch", class: ofPieces}, "bunch;bunches;botte;bottes;bouquet"},
	{measure{symbol: "slice", class: ofPieces}, "slice;slices;tranche;tranches;rondelle;rondelles"},
	{measure{symbol: "clove", class: ofPieces}, "clove;cloves"},
	{measure{symbol: "piece", class: ofPieces}, "piece;pieces;morceau;morceaux;chunk;chunks;lump;lumps;strip;strips;blade;blades;wedge;wedges;segment;segments;disc;discs;disk;disks;round;rounds"},
	{measure{symbol: "", class: ofPieces}, "pc;pcs;ea;each;unit;units;count;ct"},
	{measure{symbol: "head", class: ofPieces}, "head;heads"},
	{measure{symbol: "scoop", class: ofPieces}, "scoop;scoops;boule;boules"},
	{measure{symbol: "part", class: ofPieces}, "part;parts"},
	{measure{symbol: "cake", class: ofPieces}, "cake;cakes;cube;cubes;tablet;tablets"},
	{measure{symbol: "ball", class: ofPieces}, "ball;balls"},

	{measure{symbol: "can", class: ofContainer}, "can;cans;tin;tins;boite;boites;conserve;conserves"},
	{measure{symbol: "jar", class: ofContainer}, "jar;jars;pot;pots;bocal;bocaux"},
	{measure{symbol: "packet", class: ofContainer}, "packet;packets;package;packages;pkg;pkgs;pkge;pk;pkt;pkts;pack;packs;paquet;paquets"},
	{measure{symbol: "sachet", class: ofContainer}, "sachet;sachets"},
	{measure{symbol: "envelope", class: ofContainer}, "envelope;envelopes;env"},
	{measure{symbol: "box", class: ofContainer}, "box;boxes;case;cases"},
	{measure{symbol: "bag", class: ofContainer}, "bag;bags"},
	{measure{symbol: "carton", class: ofContainer}, "carton;cartons;brique;briques;brick;bricks;tetra"},
	{measure{symbol: "bottle", class: ofContainer}, "bottle;bottles;bouteille;bouteilles;flask;flasks"},
	{measure{symbol: "tub", class: ofContainer}, "tub;tubs;container;containers;barquette;barquettes;punnet;punnets;basket;baskets"},
	{measure{symbol: "bar", class: ofContainer}, "bar;bars;tablette;tablettes;block;blocks;plaque;plaques"},
	{measure{symbol: "tube", class: ofContainer}, "tube;tubes"},
	{measure{symbol: "roll", class: ofContainer}, "roll;rolls;rouleau;rouleaux"},

	{measure{symbol: "batch", class: ofBatches}, "recipe;recipes;batch;batches;quantity;quantities;recette;recettes;portion;portions"},

	{measure{symbol: "length", class: ofNoAmount}, "cm;mm;inch;inches;in;centimetre;centimetres;centimeter;centimeters;millimetre;millimetres;metre;metres;pouce;pouces;\";″;”;foot;feet;ft"},
	{measure{symbol: "time", class: ofNoAmount}, "min;mins;minute;minutes;sec;secs;second;seconds;s;hour;hours;hr;hrs;h;heure;heures;day;days;week;weeks;jours;jour"},
	{measure{symbol: "temperature", class: ofNoAmount}, "°;°c;°f;º;ºc;ºf;f;deg;degc;degf;degree;degrees;degre;degres;celsius;fahrenheit;℃;℉"},
}

// measureWords finds a measure by its plain spelling; the value is an index into measures.
var measureWords = func() map[string]*measure {
	m := map[string]*measure{}
	for n := range measures {
		for s := range strings.SplitSeq(measures[n].spellings, ";") {
			m[s] = &measures[n].measure
		}
	}
	return m
}()

// measureStarts holds the first words of spellings with more than one word.
var measureStarts = func() map[string]bool {
	set := map[string]bool{}
	for s := range measureWords {
		if first, _, several := strings.Cut(s, " "); several {
			set[first] = true
		}
	}
	return set
}()

var (
	cupMeasure, spoonMeasure, teaspoonMeasure = measureWords["cup"], measureWords["tbsp"], measureWords["tsp"]
	poundMeasure, ounceMeasure                = measureWords["lb"], measureWords["oz"]
)

// measureAt reads the measure at token i and returns the token after it. Full stops and hyphens
// inside and after an abbreviation belong to it.
func measureAt(ts []token, i int) (*measure, int, bool) {
	if i >= len(ts) {
		return nil, i, false
	}
	t := ts[i]
	if t.kind == aMark {
		switch t.text {
		case "#":
			return poundMeasure, i + 1, true
		case "\"", "″", "”", "°", "º", "℃", "℉", "℔", "ʒ", "℥":
			return measureWords[t.text], i + 1, true
		}
		return nil, i, false
	}
	if t.kind != aWord {
		return nil, i, false
	}
	if len(t.text) == 1 { // capitals matter
		switch t.text {
		case "T":
			return spoonMeasure, afterDot(ts, i+1), true
		case "t":
			return teaspoonMeasure, afterDot(ts, i+1), true
		case "C", "c":
			if m, next, ok := severalWords(ts, i); ok {
				return m, next, true
			}
			return cupMeasure, afterDot(ts, i+1), true
		case "P", "p", "S", "F", "H":
			if t.text == "F" {
				return measureWords["f"], i + 1, true
			}
			return nil, i, false
		}
	}
	if measureStarts[t.low] {
		if m, next, ok := severalWords(ts, i); ok {
			return m, next, true
		}
	}
	m, ok := measureWords[t.low]
	if !ok {
		return nil, i, false
	}
	return m, afterDot(ts, i+1), true
}

func afterDot(ts []token, i int) int {
	if i < len(ts) && ts[i].is(".") && !ts[i].space {
		return i + 1
	}
	return i
}

// severalWords reads a measure of two to four words, stops and hyphens between them left out.
func severalWords(ts []token, i int) (*measure, int, bool) {
	var b strings.Builder
	var found *measure
	at, n := i, 0
	for j := i; j < len(ts) && n < 4; j++ {
		if ts[j].is(".") || ts[j].is("-") {
			continue
		}
		if ts[j].kind != aWord {
			break
		}
		if n > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(ts[j].low)
		n++
		if m, ok := measureWords[b.String()]; ok && n > 1 {
			found, at = m, afterDot(ts, j+1)
		}
	}
	return found, at, found != nil
}

// Countries whose measures the reader knows.
const (
	unitedStates = "us"
	britain      = "uk"
	australia    = "au"
	metricLands  = "metric" // France and all others with a 250 ml cup and 15 ml spoon
)

// land returns the country whose measures are meant.
func land(country string) string {
	switch plain(country) {
	case "", "us", "usa", "united states", "america":
		return unitedStates
	case "uk", "gb", "britain", "british", "united kingdom", "england", "imperial":
		return britain
	case "au", "nz", "australia", "australian":
		return australia
	}
	return metricLands
}

// millilitres returns what one of a measure of volume holds in a country, and the assumption.
func (m *measure) millilitres(o Options, country string) (unit.Range, string) {
	r := unit.Range{Low: m.low, High: m.high}
	where := land(country)
	one := func(us, uk, au, metric float64) unit.Range {
		v := map[string]float64{unitedStates: us, britain: uk, australia: au, metricLands: metric}[where]
		return unit.Range{Low: v, High: v}
	}
	name := map[string]string{unitedStates: "US", britain: "British", australia: "Australian", metricLands: "metric"}[where]
	switch m.symbol {
	case "cup":
		if o.Cup > 0 && country == o.Country {
			v := o.Cup.Millilitres()
			return unit.Range{Low: v, High: v}, "cup of " + unit.Number(v, 1) + " ml"
		}
		r = one(m.low, 250, 250, 250)
		return r, name + " cup of " + unit.Number(r.Low, 1) + " ml"
	case "tbsp":
		return one(m.low, 15, 20, 15), name + " tablespoon"
	case "tsp":
		return one(m.low, 5, 5, 5), name + " teaspoon"
	case "fl oz":
		return one(m.low, 28.4130625, 28.4130625, 30), name + " fluid ounce"
	case "pint":
		return one(m.low, 568.26125, 568.26125, 568.26125), name + " pint"
	case "quart":
		return one(m.low, 1136.5225, 1136.5225, 1136.5225), name + " quart"
	case "gallon":
		return one(m.low, 4546.09, 4546.09, 4546.09), name + " gallon"
	case "gill":
		switch {
		case country == "":
			return r, m.note
		case where == unitedStates:
			return unit.Range{Low: m.low, High: m.low}, "US gill of 118 ml"
		}
		return unit.Range{Low: m.high, High: m.high}, "British gill of 142 ml"
	}
	return r, m.note
}
