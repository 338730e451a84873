package exchange_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/exchange"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

const g = unit.Gram

func get(t testing.TB, id string) *ingredient.Ingredient {
	t.Helper()
	i, ok := ingredient.Builtin().Get(id)
	if !ok {
		t.Fatalf("no ingredient %s", id)
	}
	return i
}

// of builds a formula of ingredients by ID and grams.
func of(t testing.TB, parts ...any) *formula.Formula {
	t.Helper()
	f := &formula.Formula{ID: "f"}
	for i := 0; i < len(parts); i += 2 {
		in := get(t, parts[i].(string))
		f.Lines = append(f.Lines, formula.Line{ID: in.ID, Name: in.Name, Ingredient: in, Mass: unit.Mass(parts[i+1].(float64)) * g})
	}
	return f
}

func after(r exchange.Result, name string) float64 {
	for _, c := range r.Changes {
		if c.Name == name {
			return c.After.Grams()
		}
	}
	return math.NaN()
}

// Masses of exchanges that follow from composition, against the factors of a table of the trade
// or by hand, per 100 g of what goes out.
func TestFactors(t *testing.T) {
	for _, c := range []struct {
		out        string
		in         []string
		low, high  float64 // of the first that comes in
		low2       float64
		high2      float64
		fromSource string
	}{
		{"cream-35", []string{"cream-40", "milk-whole"}, 86, 87.5, 12.5, 14, "0.86 to 0.87 and 0.13 to 0.14: (35 − 3.5)/(40 − 3.5)"},
		{"butter-unsalted", []string{"butter-clarified", "water"}, 81, 82.5, 17, 19, "by hand: 81.11/99.48 and its water"},
		{"egg-whole", []string{"egg-whole-dried", "water"}, 23, 26.5, 73, 77, "0.24 to 0.26 and 0.74 to 0.76"},
		{"milk-whole", []string{"milk-powder-whole", "water"}, 11.5, 12.8, 86.5, 88.5, "by hand: 11.87 % of solids over 97.53 %"},
	} {
		f := of(t, c.out, 100.0, "sugar-granulated", 50.0)
		var in []*ingredient.Ingredient
		for _, id := range c.in {
			in = append(in, get(t, id))
		}
		r, err := exchange.Exchange(f, 0, in...)
		if err != nil || r.Refused {
			t.Errorf("%s: %v %s", c.out, err, r.Why)
			continue
		}
		if x := after(r, in[0].Name); !(x >= c.low && x <= c.high) {
			t.Errorf("%s for %s: %.2f g, want %g to %g (%s)", in[0].Name, c.out, x, c.low, c.high, c.fromSource)
		}
		if x := after(r, in[1].Name); !(x >= c.low2 && x <= c.high2) {
			t.Errorf("%s for %s: %.2f g, want %g to %g (%s)", in[1].Name, c.out, x, c.low2, c.high2, c.fromSource)
		}
		if f.Lines[0].Ingredient.ID != c.out || len(f.Lines) != 2 {
			t.Error("the original formula was changed")
		}
	}
}

// 10 g of gelatin at 200 Bloom are 10 sqrt(200/160) = 11.18 g at 160 (bib:ward-courts).
func TestGelatinGrade(t *testing.T) {
	f := of(t, "gelatin-powder", 10.0, "water", 990.0)
	weaker := *get(t, "gelatin-powder")
	weaker.ID, weaker.Name, weaker.Traits = "weak", "Weak gelatin", []ingredient.Trait{{Name: "bloom", Value: 160}}
	r, err := exchange.Exchange(f, 0, &weaker)
	if err != nil || r.Refused {
		t.Fatal(err, r.Why)
	}
	if x := after(r, "Weak gelatin"); math.Abs(x-10*math.Sqrt(200.0/160)) > 0.02 {
		t.Errorf("gelatin of 160 Bloom: %.3f g, want 11.18", x)
	}
}

// What loses a function is refused however well it fits; where the function is not called on, it
// goes through.
func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		name  string
		f     *formula.Formula
		steps []formula.Step
		with  []string
		want  string
	}{
		{"oil in a creamed dough", of(t, "butter-unsalted", 200.0, "flour-all-purpose", 300.0), []formula.Step{{ID: "cream-it", Verb: "cream"}}, []string{"oil-sunflower", "water"}, `solid at 20 °C that step "cream-it" needs`},
		{"thin cream for whipping", of(t, "cream-35", 300.0), []formula.Step{{ID: "whip", Verb: "whip"}}, []string{"cream-light-20"}, `the foam that step "whip" needs`},
		{"starch for gelatin", of(t, "gelatin-powder", 10.0, "water", 500.0), nil, []string{"cornstarch"}, "gives the set"},
		{"cream for whites", of(t, "egg-white", 100.0, "sugar-granulated", 200.0), []formula.Step{{ID: "whip", Verb: "whip"}, {ID: "dry", Verb: "bake"}}, []string{"milk-whole"}, "the foam"},
	} {
		c.f.Steps = c.steps
		var in []*ingredient.Ingredient
		for _, id := range c.with {
			in = append(in, get(t, id))
		}
		r, err := exchange.Exchange(c.f, 0, in...)
		if err != nil || !r.Refused || !strings.Contains(r.Why, c.want) {
			t.Errorf("%s: %v, refused %v: %q, want %q", c.name, err, r.Refused, r.Why, c.want)
		}
	}
	melted := of(t, "butter-unsalted", 100.0, "flour-all-purpose", 300.0)
	melted.Steps = []formula.Step{{ID: "melt", Verb: "melt"}}
	if r, err := exchange.Exchange(melted, 0, get(t, "oil-sunflower"), get(t, "water")); err != nil || r.Refused {
		t.Errorf("oil for melted butter: %v, %s", err, r.Why)
	}
}

// The masses of an exchange against an independent solver: coordinate descent on the same weighted
// squares with amounts not below zero, which ends at the optimum of a convex problem.
func TestExchangeAgainstCoordinateDescent(t *testing.T) {
	all := ingredient.Builtin().All()
	parts := []material.Component{material.Water, material.Fat, material.Protein, material.Sugars, material.Starch, material.Alcohol}
	miss := []float64{0.02, 0.01, 0.02, 0.01, 0.02, 0.01}
	plain := func(i *ingredient.Ingredient) bool {
		_, gel := i.Trait("bloom")
		return !gel && i.Composition.Known(parts...)
	}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) *ingredient.Ingredient {
			return rapid.SampledFrom(all).Filter(plain).Draw(t, name)
		}
		out := draw("out")
		in := []*ingredient.Ingredient{draw("a"), draw("b")}
		f := &formula.Formula{ID: "f", Lines: []formula.Line{{Name: "x", Ingredient: out, Mass: 100 * g}, {Name: "rest", Ingredient: all[0], Mass: 400 * g}}}
		r, err := exchange.Exchange(f, 0, in...)
		if err != nil || r.Refused || in[0].ID == in[1].ID {
			return
		}
		cost := func(x [2]float64) float64 {
			sum := (x[0] + x[1] - 100) * (x[0] + x[1] - 100) // mass, one gram counts as one
			for k, p := range parts {
				d := (x[0]*in[0].Composition.At(p) + x[1]*in[1].Composition.At(p) - 100*out.Composition.At(p)) / (miss[k] * 100)
				sum += d * d
			}
			return sum
		}
		var x [2]float64
		for range 4000 {
			for j := range x {
				num, den := 100-x[1-j], 1.0
				for k, p := range parts {
					a := in[j].Composition.At(p) / (miss[k] * 100)
					rest := (100*out.Composition.At(p) - x[1-j]*in[1-j].Composition.At(p)) / (miss[k] * 100)
					num, den = num+a*rest, den+a*a
				}
				if den > 0 {
					x[j] = math.Max(0, num/den)
				}
			}
		}
		got := [2]float64{}
		for _, c := range r.Changes[1:] {
			for j := range in {
				if c.Name == in[j].Name {
					got[j] = c.After.Grams()
				}
			}
		}
		// Staying near the start is worth a millionth: the costs agree, not every last amount.
		if cost(got) > cost(x)*(1+1e-3)+1e-3 {
			t.Fatalf("%s and %s for %s: cost %v at %v, the other solver finds %v at %v", in[0].ID, in[1].ID, out.ID, cost(got), got, cost(x), x)
		}
	})
}

// 500 g of cream of 35 % and 500 g of milk of 3.25 % to at most 15 % of fat, total kept: by hand
// 370.08 g of cream.
func TestReformulateByHand(t *testing.T) {
	f := of(t, "cream-35", 500.0, "milk-whole", 500.0)
	r, err := exchange.Reformulate(f, []exchange.Bound{{Name: "fat", Figure: "fat", Most: 0.15, HasMost: true}}, exchange.Options{})
	if err != nil || r.Formula == nil {
		t.Fatal(err, r.Conflict)
	}
	fatC, fatM := get(t, "cream-35").Composition.At(material.Fat), get(t, "milk-whole").Composition.At(material.Fat)
	want := (0.15 - fatM) / (fatC - fatM) * 1000
	if x := r.Formula.Lines[0].Mass.Grams(); math.Abs(x-want) > 0.01 {
		t.Errorf("cream %.3f g, want %.3f", x, want)
	}
}

// Random three-line formulas with one active bound: the nearest by relative change has a closed
// form by Lagrange's multipliers, used where it is positive.
func TestReformulateAgainstLagrange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := []string{"cream-35", "milk-whole", "butter-unsalted", "sugar-granulated", "flour-all-purpose", "egg-yolk", "water"}
		f := &formula.Formula{ID: "f"}
		var m, a []float64
		total := 0.0
		for i := range 3 {
			in, _ := ingredient.Builtin().Get(rapid.SampledFrom(names).Draw(t, "ingredient"))
			grams := rapid.Float64Range(50, 900).Draw(t, "g")
			f.Lines = append(f.Lines, formula.Line{Name: fmt.Sprint(in.ID, i), Ingredient: in, Mass: unit.Mass(grams) * g})
			m, a, total = append(m, grams), append(a, in.Composition.At(material.Fat)), total+grams
		}
		now := (m[0]*a[0] + m[1]*a[1] + m[2]*a[2]) / total
		most := now * rapid.Float64Range(0.7, 0.98).Draw(t, "less")
		r, err := exchange.Reformulate(f, []exchange.Bound{{Name: "fat", Figure: "fat", Most: most, HasMost: true}}, exchange.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if r.Formula == nil {
			return // three alike: no mix has less
		}
		if got := r.Formula.Composition().At(material.Fat); got > most+1e-9 {
			t.Fatalf("fat is %v, at most %v was asked", got, most)
		}
		// x = m + W(λ + μ a), W = m²; Σ W(λ + μa) = 0, Σ a W(λ + μa) = (most − now) total.
		var w, wa, waa float64
		for i := range 3 {
			w, wa, waa = w+m[i]*m[i], wa+m[i]*m[i]*a[i], waa+m[i]*m[i]*a[i]*a[i]
		}
		det := w*waa - wa*wa
		if math.Abs(det) < 1e-9*w*w {
			return
		}
		need := (most - now) * total
		lambda, mu := -wa*need/det, w*need/det
		var x [3]float64
		for i := range x {
			x[i] = m[i] + m[i]*m[i]*(lambda+mu*a[i])
			if x[i] < m[i]/500 {
				return // a line runs out: the closed form does not hold
			}
		}
		for i := range x {
			if got := r.Formula.Lines[i].Mass.Grams(); math.Abs(got-x[i]) > 1e-3*math.Max(1, x[i]) {
				t.Fatalf("line %d: %v g, closed form %v g", i, got, x[i])
			}
		}
	})
}

func TestConflict(t *testing.T) {
	f := of(t, "cream-35", 500.0, "milk-whole", 500.0)
	r, err := exchange.Reformulate(f, []exchange.Bound{
		{Name: "rich enough to whip", Figure: "fat", Least: 0.30, HasLeast: true},
		{Name: "most of the cream that is left", Line: 0, OnHand: 300 * g},
		{Name: "water", Figure: "water", Most: 0.99, HasMost: true},
	}, exchange.Options{})
	if err != nil || r.Formula != nil || len(r.Conflict) == 0 {
		t.Fatalf("%+v, %v, want a conflict", r, err)
	}
	text := strings.Join(r.Conflict, "; ")
	if !strings.Contains(text, "rich enough to whip") || !strings.Contains(text, "at most 300") || strings.Contains(text, "water") {
		t.Errorf("conflict %q, want the fat and the cream on hand, not the water", text)
	}
}

func TestEvaporationCounts(t *testing.T) {
	f := of(t, "sugar-granulated", 500.0, "water", 500.0)
	f.Losses = []formula.Loss{{Name: "evaporation", Share: 0.2}}
	r, err := exchange.Reformulate(f, []exchange.Bound{{Name: "sugars", Figure: "sugars", Least: 0.70, HasLeast: true}}, exchange.Options{})
	if err != nil || r.Formula == nil {
		t.Fatal(err, r.Conflict)
	}
	if got := r.Formula.Composition().At(material.Sugars); math.Abs(got-0.70) > 1e-6 {
		t.Errorf("sugars of the finished syrup %v, want 0.70", got)
	}
}

func TestOptions(t *testing.T) {
	for _, id := range []string{"egg-whole", "cream-35", "butter-unsalted", "sugar-granulated", "gelatin-powder", "puree-pear-10"} {
		list := exchange.For(ingredient.Builtin(), formula.Line{Ingredient: get(t, id)})
		if len(list) == 0 {
			t.Errorf("no options for %s", id)
		}
		for _, o := range list {
			if o.Source == "" || len(o.With) == 0 {
				t.Errorf("%+v has no source or nothing to take", o)
			}
		}
	}
}

func ExampleReformulate() {
	cream, _ := ingredient.Builtin().Get("cream-35")
	milk, _ := ingredient.Builtin().Get("milk-whole")
	f := &formula.Formula{ID: "f", Lines: []formula.Line{{Name: "cream", Ingredient: cream, Mass: 500 * g}, {Name: "milk", Ingredient: milk, Mass: 500 * g}}}
	r, err := exchange.Reformulate(f, []exchange.Bound{{Name: "fat", Figure: "fat", Most: 0.15, HasMost: true}}, exchange.Options{})
	for _, c := range r.Changes {
		fmt.Printf("%s %.0f → %.0f g\n", c.Name, c.Before.Grams(), c.After.Grams())
	}
	fmt.Println(err)
	// Output:
	// cream 500 → 370 g
	// milk 500 → 630 g
	// <nil>
}
