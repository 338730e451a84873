package exchange

import (
	"slices"

	"chablon/finding"
	"chablon/formula"
	"chablon/ingredient"
)

// Option is an exchange that cooks make.
type Option struct {
	From      string   // ingredient ID
	With      []string // ingredient IDs
	Condition string   // where it serves
	Caution   string
	Source    string
}

// options are the exchanges offered. Whether one serves in a formula is judged there.
var options = []Option{
	{formula.EggWhole, []string{"egg-whole-pasteurized"}, "custards and batters; foams take a fifth longer to whip", "its foam is a little lower", finding.CommonPractice},
	{formula.EggWhole, []string{"egg-whole-dried", "water"}, "batters and custards", "slake it for 15 to 30 minutes; the foam is lower", "published figures, from memory"},
	{formula.EggWhole, []string{formula.EggWhite, formula.EggYolk}, "anywhere", "", "computed"},
	{formula.EggWhite, []string{"egg-white-pasteurized"}, "all raw uses", "whips longer, with a little acid", finding.CommonPractice},
	{formula.EggWhite, []string{"egg-white-dried", "water"}, "meringues", "let it stand for 20 to 60 minutes", "published figures, from memory"},
	{formula.EggYolk, []string{"egg-yolk-pasteurized"}, "creams and foams that are not cooked", "", finding.CommonPractice},
	{formula.EggYolk, []string{"egg-yolk-sugared"}, "all but salted uses", "take its sugar out of the formula", "computed"},
	{"cream-35", []string{"cream-40", "milk-whole"}, "anywhere", "", "computed"},
	{"cream-35", []string{"butter-unsalted", "milk-whole"}, "ganaches and cooked creams, blended at 60 °C", "it never whips", "computed"},
	{"butter-unsalted", []string{"butter-clarified", "water"}, "cakes and creams", "without its milk solids it browns less", "computed"},
	{"butter-unsalted", []string{"oil-sunflower", "water"}, "melted into a batter", "soft at room temperature", finding.CommonPractice},
	{"butter-unsalted", []string{"butter-unsalted-82", "water"}, "anywhere", "", "computed"},
	{"sugar-granulated", []string{"dextrose-monohydrate"}, "ices, ganaches, glazes", "less sweet; browns sooner", finding.CommonPractice},
	{"sugar-granulated", []string{"invert-sugar-paste"}, "up to a fifth of the sugar: moist crumb, smooth ganache", "browns sooner, sweeter", finding.CommonPractice},
	{"sugar-granulated", []string{"honey"}, "part of the sugar", "its own taste; browns sooner", finding.CommonPractice},
	{"sugar-granulated", []string{"glucose-syrup-de42"}, "part of the sugar: against crystals", "much less sweet, thicker", finding.CommonPractice},
	{"milk-whole", []string{"milk-powder-whole", "water"}, "anywhere", "mix it the day before", "computed"},
	{"milk-whole", []string{"milk-skim", "cream-35"}, "anywhere", "", "computed"},
	{"gelatin-powder", []string{"gelatin-leaf-200-bloom"}, "anywhere; soak the leaves in plenty of cold water", "weigh the leaves: a leaf of another grade is not one for one", "bib:ward-courts"},
	{"gelatin-leaf-200-bloom", []string{"gelatin-powder"}, "anywhere; soak it in five times its mass of water, which then counts", "the grade stands on the packet", "bib:ward-courts"},
	{"flour-all-purpose", []string{"flour-cake"}, "sponges", "a shorter crumb", finding.CommonPractice},
	{"flour-all-purpose", []string{"flour-t55-pastry"}, "anywhere", "", finding.CommonPractice},
}

// For returns the exchanges that cooks make for a line, those of the built-in table whose
// ingredients are all known; a purée may be exchanged for any other of the same group.
func For(table *ingredient.Table, l formula.Line) []Option {
	if l.Ingredient == nil {
		return nil
	}
	var out []Option
	for _, o := range options {
		if o.From != l.Ingredient.ID {
			continue
		}
		known := !slices.ContainsFunc(o.With, func(id string) bool { _, ok := table.Get(id); return !ok })
		if known {
			out = append(out, o)
		}
	}
	if l.Ingredient.Group == "puree" {
		for _, i := range table.All() {
			if i.Group == l.Ingredient.Group && i.ID != l.Ingredient.ID {
				out = append(out, Option{l.Ingredient.ID, []string{i.ID, "sugar-granulated", "water"}, "jellies, mousses and creams", "acid and pectin differ: taste, and test the set", finding.CommonPractice})
			}
		}
	}
	return out
}
