package formula_test

import (
	"math"
	"strings"
	"testing"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/unit"
)

// What is read is linked and weighed with the built-in table. By hand: NIST factors (an ounce
// 28.3495 g, a cup 236.588 ml, a tablespoon 14.7868 ml), eggs of ingredient.EggPortion (large:
// white 33 g, whole 50 g; small: whole 38 g), a gold leaf of 2 g (common practice).
func TestLink(t *testing.T) {
	t.Parallel()
	table := ingredient.Builtin()
	honey, _ := table.Get("honey")
	larder := formula.Larder{Table: table, EggSize: "us-large"}
	for _, c := range []struct {
		line, id string
		grams    float64
		counted  bool
	}{
		{"125 g almond flour", "almonds-blanched", 125, false},
		{"1 3/4 oz butter, soft", "butter-unsalted", 49.6116654688, false},
		{"8 oz (225 g) butter", "butter-unsalted", 226.796185, false},
		{"3 large egg whites", "egg-white", 99, true},
		{"2-3 eggs", "egg-whole", 125, true},
		{"2 small eggs", "egg-whole", 76, true},
		{"a dozen eggs", "egg-whole", 600, true},
		{"1 sheet gelatin", "gelatin-leaf-200-bloom", 2, true},
		{"6 leaves gelatin", "gelatin-leaf-200-bloom", 12, true},
		{"2 T honey", "honey", 2 * 14.78676478125 * honey.Density.GramsPerMillilitre(), false},
		{"salt to taste", "salt", 0, false},
	} {
		r, err := formula.ReadLine(c.line)
		if err != nil {
			t.Fatal(err)
		}
		l, err := larder.Link(r, "")
		if err != nil {
			t.Error(err)
			continue
		}
		if id, _ := l.Of(); id != c.id || math.Abs(l.Mass.Grams()-c.grams) > 1e-6 || l.Counted != c.counted {
			t.Errorf("%q: %s, %g g, counted %v; want %s, %g g", c.line, id, l.Mass.Grams(), l.Counted, c.id, c.grams)
		}
	}
	europe := formula.Larder{Table: table, EggSize: "eu-m"}
	for line, grams := range map[string]float64{"2 eggs": 102, "2 large eggs": 119.6, "2 jumbo eggs": 102} { // by hand: eu-m 51 g, eu-l 59.8 g, no jumbo there
		r, _ := formula.ReadLine(line)
		if l, err := europe.Link(r, ""); err != nil || math.Abs(l.Mass.Grams()-grams) > 1e-9 {
			t.Errorf("%q in Europe: %g g, %v; want %g g", line, l.Mass.Grams(), err, grams)
		}
	}
}

func TestLinkRefuses(t *testing.T) {
	t.Parallel()
	mass := &formula.Formula{ID: "gelatin-mass", Name: "Gelatin mass"}
	larder := formula.Larder{
		Table: ingredient.Builtin(), EggSize: "us-large",
		Formulas: map[string]*formula.Formula{"gelatin-mass": mass, "b": {ID: "b", Name: "Base"}, "a": {ID: "a", Name: "base"}},
	}
	for _, c := range []struct{ line, of, want string }{
		{"5 g xyzzyx", "", "no ingredient is called"},
		{"5 g mascarpnoe", "", "near are"},
		{"5 g sugar", "nothing-such", "neither a formula nor an ingredient"},
		{"99999 kg sugar", "", "weighs more than"},
		{"8 oz (125 g) butter", "", "differ by more than a tenth"},
		{"2 cups gelatin mass", "", "has no density"},
		{"2 gelatin mass", "", "neither a mass nor a volume"},
		{"5 g base", "", "formulas a and b are both called"},
		{"a pinch of vanilla beans", "", "mass of one piece"}, // a pinch is not a bean
	} {
		r, err := formula.ReadLine(c.line)
		if err != nil {
			t.Fatal(err)
		}
		if l, err := larder.Link(r, c.of); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v %v, %v; want %q", c.line, l.Mass, l.Name, err, c.want)
		}
	}
	r, _ := formula.ReadLine("30 g Gelatin Mass")
	if l, err := larder.Link(r, ""); err != nil || l.Formula != mass || math.Abs(l.Mass.Grams()-30) > 1e-12 {
		t.Errorf("%+v, %v", l, err)
	}
	r, _ = formula.ReadLine("5 g anything")
	if l, err := larder.Link(r, "sugar-granulated"); err != nil || l.Ingredient == nil || l.Ingredient.ID != "sugar-granulated" {
		t.Errorf("of an ID: %+v, %v", l, err)
	}
}

// Weigh goes by density or portion, and says what is missing.
func TestWeigh(t *testing.T) {
	t.Parallel()
	thing := &ingredient.Ingredient{ID: "thing", Name: "Thing", Portions: []ingredient.Portion{{Measure: "leaf", Mass: 2 * unit.Gram}, {Measure: "cup", Mass: 90 * unit.Gram}}}
	bare := &ingredient.Ingredient{ID: "bare", Name: "Bare"}
	dense := &ingredient.Ingredient{ID: "dense", Name: "Dense", Density: 1.2 * unit.GramPerMillilitre}
	for _, c := range []struct {
		amount    string
		ing       *ingredient.Ingredient
		low, high float64 // grams, by hand
		want      string
	}{
		{"2-3 g", bare, 2, 3, ""},
		{"100 ml", dense, 120, 120, ""},
		{"2 cup", thing, 180, 180, ""},
		{"3", thing, 6, 6, ""},
		{"100 ml", bare, 0, 0, "no density on record"},
		{"100 ml", thing, 0, 0, "no density on record"},
		{"3", bare, 0, 0, "mass of one piece"},
		{"3 mm", bare, 0, 0, "wants a mass, a volume or a count"},
	} {
		q, err := unit.ParseQuantity(c.amount, unit.OfMass, unit.OfVolume, unit.Count, unit.OfLength)
		if err != nil {
			t.Fatal(err)
		}
		low, high, err := formula.Weigh(q, "thing", c.ing, "us-large")
		if c.want != "" {
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s of %s: error %v, want %q", c.amount, c.ing.ID, err, c.want)
			}
			continue
		}
		if err != nil || math.Abs(low.Grams()-c.low) > 1e-9 || math.Abs(high.Grams()-c.high) > 1e-9 {
			t.Errorf("%s of %s: %g to %g g, %v; want %g to %g", c.amount, c.ing.ID, low.Grams(), high.Grams(), err, c.low, c.high)
		}
	}
}
