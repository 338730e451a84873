package ingredient_test

import (
	"fmt"
	"strings"
	"testing"

	"chablon/ingredient"
)

// What a cook writes and what it means in the trade (US and UK kitchens, French patisserie);
// common practice, no source.
func TestMatchExact(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		// the rule for names that leave the choice open
		"sugar": "sugar-granulated", "flour": "flour-all-purpose", "egg": "egg-whole", "eggs": "egg-whole", "cream": "cream-35",
		"butter": "butter-unsalted", "milk": "milk-whole", "gelatin": "gelatin-powder", "gelatine": "gelatin-powder", "salt": "salt",
		"vanilla": "vanilla-extract", "water": "water", "glucose": "glucose-syrup-de42", "dark chocolate": "couverture-dark-64",
		"cocoa": "cocoa-powder", "rum": "rum-80-proof", "pectin": "pectin-hm", "oil": "oil-sunflower",
		// US
		"almond flour": "almonds-blanched", "heavy cream": "cream-35", "Heavy Whipping Cream": "cream-35", "AP flour": "flour-all-purpose",
		"confectioners' sugar": "sugar-powdered", "confectioner's sugar": "sugar-powdered", "cornstarch": "cornstarch",
		"large egg whites": "egg-white", "egg yolks": "egg-yolk", "unsalted butter, softened": "butter-unsalted",
		"butter, soft": "butter-unsalted", "all-purpose flour, sifted": "flour-all-purpose", "large eggs (about 250 g), at room temperature": "egg-whole",
		"cream (35 % fat)": "cream-35", "butter (82 % fat), soft": "butter-unsalted-82", "praline paste, almond-hazelnut": "praline-almond-hazelnut-50",
		"butter, clarified": "butter-clarified", "butter, clarified and cooled": "butter-clarified", "sugar, brown": "sugar-brown",
		"half-and-half": "cream-half-and-half", "sheet gelatin": "gelatin-leaf-200-bloom", "gold gelatin": "gelatin-leaf-200-bloom",
		"lemon juice": "juice-lemon", "zest of 1 lemon": "lemon-zest", "cream of tartar": "cream-of-tartar",
		"sweetened condensed milk": "milk-condensed-sweetened", "raspberries": "raspberry", "Raspberry puree": "puree-raspberry-10",
		"passionfruit purée": "puree-passion-fruit-10", "mangoes": "mango", "cherries": "cherry-sweet", "gelatin leaves": "gelatin-leaf-200-bloom",
		// UK
		"plain flour": "flour-all-purpose", "caster sugar": "sugar-granulated", "icing sugar": "sugar-powdered", "cornflour": "cornstarch",
		"double cream": "cream-48", "bicarbonate of soda": "baking-soda", "ground almonds": "almonds-blanched", "leaf gelatine": "gelatin-leaf-200-bloom",
		"vanilla pod": "vanilla-bean", "full-fat milk": "milk-whole", "liquid glucose": "glucose-syrup-de42", "strong white flour": "flour-bread",
		// French, with and without accents
		"crème fleurette": "cream-35", "creme liquide 35%": "cream-35", "beurre doux": "butter-unsalted", "beurre pommade": "butter-unsalted",
		"sucre semoule": "sugar-granulated", "sucre glace": "sugar-powdered", "farine T45": "flour-t45", "farine type 55": "flour-t55-pastry",
		"jaunes d'œufs": "egg-yolk", "jaunes d'oeufs": "egg-yolk", "blancs d’œufs": "egg-white", "œufs": "egg-whole", "lait entier": "milk-whole",
		"poudre d'amandes": "almonds-blanched", "feuilles de gélatine": "gelatin-leaf-200-bloom", "sirop de glucose DE42": "glucose-syrup-de42",
		"purée de framboise": "puree-raspberry-10", "fécule de pomme de terre": "potato-starch", "levure chimique": "baking-powder",
		"gousses de vanille": "vanilla-bean", "zestes de citron": "lemon-zest", "chocolat au lait": "couverture-milk-40", "fleur de sel": "salt-sea-grey",
		"pectine NH": "pectin-nh", "crème de tartre": "cream-of-tartar", "pêches": "peach", "praliné noisette": "praline-hazelnut-50", "eau": "water",
		"couverture noire 70 %": "couverture-dark-70", "sucre inverti": "invert-sugar-paste", "nappage neutre": "neutral-nappage",
		"pastry flour (T45)": "flour-t45",
		// misspelt so often that the spelling is on record, and IDs
		"marscapone": "cheese-mascarpone", "egg yokes": "egg-yolk", "rasberry": "raspberry", "cinamon": "cinnamon", "dessicated coconut": "coconut-desiccated",
		"flour-cake": "flour-cake", "GELATIN  powder": "gelatin-powder",
	} {
		got := ingredient.Builtin().Match(name)
		if len(got) == 0 || !got[0].Exact || got[0].Ingredient.ID != want {
			t.Errorf("Match(%q) = %s; want %s exactly", name, show(got), want)
		}
	}
}

func TestMatchProposes(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"vanila extact":                  "vanilla-extract",
		"mascarpnoe":                     "cheese-mascarpone",
		"bitersweet choclate":            "couverture-dark-64",
		"stawberries":                    "strawberry",
		"egg wihte":                      "egg-white",
		"organic granulated sugar":       "sugar-granulated",
		"unslated butter":                "butter-unsalted",
		"gelatne":                        "gelatin-powder",
		"best vanilla bean paste":        "vanilla-paste",
		"feuilletin":                     "feuilletine-fr",
		"creme fleurete":                 "cream-35",
		"poudre damande":                 "almonds-blanched",
		"pistacchio paste":               "pistachios-roasted",
		"homogenised whole milk":         "milk-whole",
		"passion frut puree":             "puree-passion-fruit-10",
		"cream, 47 %":                    "cream-35",
		"dark chocolate 71 %":            "couverture-dark-64",
		"hazelnut praline paste organic": "praline-hazelnut-50",
	} {
		got := ingredient.Builtin().Match(name)
		if len(got) == 0 || got[0].Exact || got[0].Ingredient.ID != want {
			t.Errorf("Match(%q) = %s; want %s proposed first", name, show(got), want)
		}
	}
}

func TestMatchShape(t *testing.T) {
	t.Parallel()
	table := ingredient.Builtin()
	for _, name := range []string{"", " ", ",", "()", "(", "%", "…", "de la", "xyzzyplugh"} {
		if got := table.Match(name); len(got) != 0 {
			t.Errorf("Match(%q) = %s; want nothing", name, show(got))
		}
	}
	for _, name := range []string{"chocolate", "sugar", "purée", "cream 34", "milk powder"} {
		checkShape(t, name, table.Match(name))
	}
	if got := len(table.Match("purée")); got != 8 {
		t.Errorf(`Match("purée") proposes %d; want the full 8`, got)
	}
	var zero ingredient.Table
	if got := zero.Match("sugar"); got != nil {
		t.Errorf("empty table finds %s", show(got))
	}
}

func checkShape(t *testing.T, name string, got []ingredient.Match) {
	t.Helper()
	if len(got) > 8 {
		t.Errorf("Match(%q): %d matches, want at most 8", name, len(got))
	}
	seen := map[string]bool{}
	for n, m := range got {
		switch {
		case seen[m.Ingredient.ID]:
			t.Errorf("Match(%q): %s twice", name, m.Ingredient.ID)
		case !(m.Score > 0 && m.Score <= 1), m.Exact != (m.Score == 1), m.Exact && n > 0:
			t.Errorf("Match(%q): match %d has score %v, exact %v", name, n, m.Score, m.Exact)
		case n > 0 && m.Score > got[n-1].Score:
			t.Errorf("Match(%q): not sorted: %s", name, show(got))
		}
		seen[m.Ingredient.ID] = true
	}
}

func show(ms []ingredient.Match) string {
	var out []string
	for _, m := range ms {
		out = append(out, fmt.Sprintf("%s %.2f", m.Ingredient.ID, m.Score))
	}
	return "[" + strings.Join(out, ", ") + "]"
}

func FuzzMatch(f *testing.F) {
	for _, s := range []string{
		"butter, soft", "crème fleurette", "œufs (gros)", "((a", "a)b(", ",,,", "\xff\xfe", "35%", "1/2 & 1/2", strings.Repeat("sugar ", 300),
		strings.Repeat("x", 5000), "砂糖", "e\u0301clair", "...", "T45.5.",
	} {
		f.Add(s)
	}
	table := ingredient.Builtin()
	f.Fuzz(func(t *testing.T, name string) { checkShape(t, name, table.Match(name)) })
}

func BenchmarkMatch(b *testing.B) {
	table := ingredient.Builtin()
	table.Match("sugar")
	for b.Loop() {
		table.Match("unsalted buter, softened")
	}
}

func ExampleTable_Match() {
	for _, m := range ingredient.Builtin().Match("large egg whites, cold")[:1] {
		fmt.Println(m.Ingredient.Name, m.Exact)
	}
	p, _ := ingredient.Builtin().Match("gelatin leaves")[0].Ingredient.Portion("leaf")
	fmt.Println(p.Mass.Show())
	// Output:
	// Egg white true
	// 2.0 g
}
