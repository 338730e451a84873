package formula_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// thing is an ingredient of water, sugars and the rest, as shares of one.
func thing(id string, water, sugars float64) *ingredient.Ingredient {
	i := &ingredient.Ingredient{ID: id, Name: strings.ToUpper(id)}
	i.Composition.Set(material.Water, water)
	i.Composition.Set(material.Sugars, sugars)
	i.Composition.Set(material.Carbohydrate, 1-water)
	for _, k := range []material.Component{material.Protein, material.Fat, material.Ash, material.Alcohol, material.Fibre} {
		i.Composition.Set(k, 0)
	}
	return i
}

func line(i *ingredient.Ingredient, grams float64) formula.Line {
	return formula.Line{ID: i.ID, Ingredient: i, Mass: unit.Mass(grams) * unit.Gram}
}

func of(f *formula.Formula, grams float64) formula.Line {
	return formula.Line{ID: f.ID, Formula: f, Mass: unit.Mass(grams) * unit.Gram}
}

var (
	water = thing("water", 1, 0)
	sugar = thing("sugar", 0, 1)
)

// By hand, and GF-025 and GF-026 of the reference table: 500 g of batter at 12 % bake loss give
// 440 g, and 440 g take 500 g (definition).
func TestMake(t *testing.T) {
	t.Parallel()
	f := &formula.Formula{ID: "sponge", Lines: []formula.Line{line(sugar, 60), line(water, 40)}, Losses: []formula.Loss{{Name: "bake", Share: 0.12}}}
	b, err := f.Make(440 * unit.Gram)
	if err != nil || math.Abs(b.In.Grams()-500) > 1e-9 || math.Abs(b.Lost().Grams()-60) > 1e-9 || math.Abs(b.Factor-5) > 1e-12 {
		t.Errorf("GF-026: %+v, %v", b, err)
	}
	if math.Abs(b.Lines[0].Mass.Grams()-300) > 1e-9 || math.Abs(b.Lines[1].Mass.Grams()-200) > 1e-9 || math.Abs(b.Lines[0].Line.Mass.Grams()-60) > 1e-12 {
		t.Errorf("lines of 500 g: %v", b.Lines)
	}
	if out := f.Run(500 * unit.Gram).Out.Grams(); math.Abs(out-440) > 1e-9 {
		t.Errorf("GF-025: 500 g give %g g", out)
	}

	// By hand: (100 g + 4 %) backward are 104.1667 g, then 15 g in the bowl: 119.1667 g.
	f.Losses = []formula.Loss{{Name: "bowl", PerBatch: 15 * unit.Gram}, {Name: "transfer", Share: 0.04}}
	if in, err := f.Input(100 * unit.Gram); err != nil || math.Abs(in.Grams()-(100/0.96+15)) > 1e-9 {
		t.Errorf("in for 100 g: %v, %v", in, err)
	}
	if b := f.Run(10 * unit.Gram); b.Out != 0 || math.Abs(b.Lost().Grams()-10) > 1e-12 { // less than stays in the bowl
		t.Errorf("10 g into a bowl that keeps 15 g: %+v", b)
	}
	if b, err := f.Make(0); err != nil || b.In != 0 || b.Out != 0 || len(b.Losses) != 0 {
		t.Errorf("nothing: %+v, %v", b, err)
	}
}

func TestMakeRefuses(t *testing.T) {
	t.Parallel()
	lines := []formula.Line{line(sugar, 100)}
	for _, c := range []struct {
		name string
		f    formula.Formula
		out  unit.Mass
		want string
	}{
		{"no lines", formula.Formula{}, 1, "weigh nothing"},
		{"negative", formula.Formula{Lines: lines}, -1, "cannot make"},
		{"not a number", formula.Formula{Lines: lines}, unit.Mass(math.NaN()), "cannot make"},
		{"infinite", formula.Formula{Lines: lines}, unit.Mass(math.Inf(1)), "cannot make"},
		{"all lost", formula.Formula{Lines: lines, Losses: []formula.Loss{{Name: "sieve", Share: 1}}}, 1, "leaves nothing"},
		{"negative loss", formula.Formula{Lines: lines, Losses: []formula.Loss{{Name: "sieve", Share: -0.1}}}, 1, "from 0 % to below 100 %"},
		{"loss that is no number", formula.Formula{Lines: lines, Losses: []formula.Loss{{Name: "sieve", Share: math.NaN()}}}, 1, "from 0 % to below 100 %"},
		{"beyond numbers", formula.Formula{Lines: lines, Losses: []formula.Loss{{Name: "sieve", Share: 0.9}}}, math.MaxFloat64, "beyond any number"},
	} {
		if b, err := c.f.Make(c.out); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %+v, %v; want %q", c.name, b, err, c.want)
		}
	}
}

// losses draws a chain of losses.
func losses() *rapid.Generator[[]formula.Loss] {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) formula.Loss {
		l := formula.Loss{Name: rapid.SampledFrom([]string{"bake", "evaporation", "bowl", "trim", "transfer", "sieve", "piping"}).Draw(t, "name")}
		if rapid.Bool().Draw(t, "fixed") {
			l.PerBatch = unit.Mass(rapid.Float64Range(1e-4, 0.05).Draw(t, "per batch"))
		} else {
			l.Share = rapid.Float64Range(0, 0.5).Draw(t, "share")
		}
		return l
	}), 0, 6)
}

// Nothing vanishes: in = out + Σ losses to 1e-9, and forward undoes backward to 1e-12.
func TestBalance(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := &formula.Formula{ID: "f", Lines: []formula.Line{line(sugar, 70), line(water, 130)}, Losses: losses().Draw(t, "losses")}
		out := unit.Mass(rapid.Float64Range(0.01, 50).Draw(t, "out"))
		b, err := f.Make(out)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(b.Out/out)-1) > 1e-12 {
			t.Fatalf("asked for %v kg, made %v", out, b.Out)
		}
		if math.Abs(float64(b.In-b.Out-b.Lost())) > 1e-9*float64(b.In) {
			t.Fatalf("%v in, %v out, %v lost", b.In, b.Out, b.Lost())
		}
		var lines unit.Mass
		for _, l := range b.Lines {
			lines += l.Mass
		}
		if math.Abs(float64(lines-b.In)) > 1e-12*float64(b.In) {
			t.Fatalf("lines of %v kg for %v in", lines, b.In)
		}
	})
}

// Any mass that goes in is accounted for, also where a fixed loss takes all of it.
func TestBalanceOfRun(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := &formula.Formula{Lines: []formula.Line{line(sugar, 70)}, Losses: losses().Draw(t, "losses")}
		in := unit.Mass(rapid.Float64Range(0, 0.2).Draw(t, "in"))
		b := f.Run(in)
		if b.Out < 0 || math.Abs(float64(b.In-b.Out-b.Lost())) > 1e-9*float64(b.In) {
			t.Fatalf("%v in, %v out, %v lost", b.In, b.Out, b.Lost())
		}
	})
}

// Scaled by k and by 1/k a formula is itself.
func TestScaleThereAndBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := &formula.Formula{Lines: []formula.Line{line(sugar, rapid.Float64Range(0.1, 1e4).Draw(t, "sugar")), line(water, rapid.Float64Range(0, 1e4).Draw(t, "water"))}}
		k := unit.Mass(rapid.Float64Range(1e-3, 1e3).Draw(t, "k"))
		scaled := &formula.Formula{}
		for _, l := range f.Run(f.Written() * k).Lines {
			scaled.Lines = append(scaled.Lines, formula.Line{Ingredient: l.Ingredient, Mass: l.Mass})
		}
		for i, l := range scaled.Run(scaled.Written() / k).Lines {
			if math.Abs(float64(l.Mass-f.Lines[i].Mass)) > 1e-13*float64(f.Written()) {
				t.Fatalf("line %d: %v became %v", i, f.Lines[i].Mass, l.Mass)
			}
		}
	})
}

// Ingredients of nested formulas add up to those of the formula written flat.
func TestNestedIngredients(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		grams := rapid.Float64Range(1, 1000)
		a, b, c := grams.Draw(t, "a"), grams.Draw(t, "b"), grams.Draw(t, "c")
		loss := rapid.Float64Range(0, 0.5).Draw(t, "loss")
		inner := &formula.Formula{ID: "inner", Lines: []formula.Line{line(sugar, a), line(water, b)}, Losses: []formula.Loss{{Name: "sieve", Share: loss}}}
		outer := &formula.Formula{ID: "outer", Lines: []formula.Line{of(inner, c), line(sugar, 50)}}
		in := unit.Mass(rapid.Float64Range(0.01, 10).Draw(t, "in"))
		got := map[string]unit.Mass{}
		outer.Ingredients(in, func(i *ingredient.Ingredient, m unit.Mass) { got[i.ID] += m })
		k := float64(in) / float64(outer.Written())
		within := c / (1 - loss) / (a + b) // times the inner formula as written
		want := map[string]float64{"sugar": k * (50 + a*within) / 1000, "water": k * b * within / 1000}
		for id, w := range want {
			if math.Abs(float64(got[id])-w) > 1e-12*w {
				t.Fatalf("%s: %v kg, want %v", id, got[id], w)
			}
		}
		if len(got) != 2 {
			t.Fatalf("got %v", got)
		}
	})
	(&formula.Formula{}).Ingredients(1, func(i *ingredient.Ingredient, _ unit.Mass) { t.Errorf("an empty formula takes %s", i.ID) })
}

// The order of lines changes nothing of what a formula is.
func TestOrderOfLines(t *testing.T) {
	t.Parallel()
	table := ingredient.Builtin().All()
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) formula.Line {
			return line(rapid.SampledFrom(table).Draw(t, "ingredient"), rapid.Float64Range(1, 500).Draw(t, "grams"))
		}), 1, 8).Draw(t, "lines")
		f := &formula.Formula{Lines: lines, Losses: []formula.Loss{{Name: "bake", Share: 0.1}}}
		g := &formula.Formula{Lines: rapid.Permutation(lines).Draw(t, "shuffled"), Losses: f.Losses}
		a, b := f.Composition(), g.Composition()
		for _, k := range material.Components() {
			if math.Abs(a.At(k)-b.At(k)) > 1e-12 || a.Known(k) != b.Known(k) {
				t.Fatalf("%s: %v and %v", k, a.At(k), b.At(k))
			}
		}
		s, _ := f.Gelatin()
		if r, _ := g.Gelatin(); math.Abs(s-r) > 1e-12 {
			t.Fatalf("gelatin: %v and %v", s, r)
		}
	})
}

// What is dissolved goes through nesting and evaporation unchanged: only water is lost.
func TestMixConserves(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		grams := rapid.Float64Range(1, 1000)
		a, b, c := grams.Draw(t, "sugar"), grams.Draw(t, "water"), grams.Draw(t, "more water")
		dry := rapid.Float64Range(0, b/(a+b)).Draw(t, "evaporates") // no more than there is
		inner := &formula.Formula{ID: "syrup", Lines: []formula.Line{line(sugar, a), line(water, b)}, Losses: []formula.Loss{{Name: "evaporation", Share: dry}, {Name: "bowl", Share: 0.1}}}
		left := inner.Run(inner.Written()).Out
		outer := &formula.Formula{ID: "soak", Lines: []formula.Line{of(inner, left.Grams()), line(water, c)}}
		got := outer.Mix().At(material.Sugars) * outer.Written().Grams()
		if want := 0.9 * a; math.Abs(got-want) > 1e-9*want { // a tenth stays in the bowl, as it is
			t.Fatalf("%g g of sugar came through, want %g", got, want)
		}
		if sum := inner.Composition().At(material.Sugars) + inner.Composition().At(material.Water); math.Abs(sum-1) > 1e-12 {
			t.Fatalf("sugar and water are %g of the syrup", sum)
		}
	})
}

// By hand: water lost by the batch counts against the formula as written. 100 g of a syrup with
// 40 g of water less 20 g of evaporation is three quarters sugar.
func TestFixedEvaporation(t *testing.T) {
	t.Parallel()
	f := &formula.Formula{Lines: []formula.Line{line(sugar, 60), line(water, 40)}, Losses: []formula.Loss{{Name: "evaporation", PerBatch: 20 * unit.Gram}}}
	if got := f.Composition().At(material.Sugars); math.Abs(got-0.75) > 1e-12 {
		t.Errorf("got %g", got)
	}
	f.Losses = []formula.Loss{{Name: "evaporation", Share: 0.9}} // more than its water: all of it
	if got := f.Composition(); math.Abs(got.At(material.Sugars)-1) > 1e-12 || got.At(material.Water) != 0 {
		t.Errorf("boiled dry: %g sugar, %g water", got.At(material.Sugars), got.At(material.Water))
	}
}

// Reductions, by hand. Sugar 50 g and water 50 g to 80 g: a fifth evaporates. To 62.5 °Bx the
// mass falls to 50/0.625 = 80 g: a fifth again.
func TestSettle(t *testing.T) {
	t.Parallel()
	lines := func() []formula.Line { return []formula.Line{line(sugar, 50), line(water, 50)} }
	for _, c := range []struct {
		name   string
		losses []formula.Loss
		which  int
		share  float64
		brix   float64
	}{
		{"to a mass", []formula.Loss{{Name: "reduction", ToMass: 80 * unit.Gram}}, 0, 0.2, 0.625},
		{"to brix", []formula.Loss{{Name: "evaporation", ToBrix: 0.625}}, 0, 0.2, 0.625},
		{"to brix after the sieve", []formula.Loss{{Name: "sieve", Share: 0.1}, {Name: "evaporation", ToBrix: 0.625}}, 1, 0.2, 0.625},
		{"to brix after evaporation", []formula.Loss{{Name: "evaporation", Share: 0.1}, {Name: "evaporation", ToBrix: 0.625}}, 1, 1 - 80./90, 0.625},
		{"to a mass after the bowl", []formula.Loss{{Name: "bowl", PerBatch: 10 * unit.Gram}, {Name: "evaporation", ToMass: 72 * unit.Gram}}, 1, 0.2, 0.625},
		{"to brix, twice", []formula.Loss{{Name: "evaporation", ToBrix: 0.55}, {Name: "evaporation", ToBrix: 0.625}}, 1, 1 - 0.55/0.625, 0.625},
	} {
		f := &formula.Formula{ID: "syrup", Lines: lines(), Losses: c.losses}
		if err := f.Settle(); err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := f.Losses[c.which].Share; math.Abs(got-c.share) > 1e-12 {
			t.Errorf("%s: the share is %g, want %g", c.name, got, c.share)
		}
		if got, ok := f.SolubleSolids(); !ok || math.Abs(got-c.brix) > 1e-12 {
			t.Errorf("%s: ends at %g, %v; want %g", c.name, got, ok, c.brix)
		}
	}
	unknown := &ingredient.Ingredient{ID: "mystery", Name: "Mystery"}
	for _, c := range []struct {
		lines []formula.Line
		loss  formula.Loss
		want  string
	}{
		{lines(), formula.Loss{Name: "evaporation", ToMass: 120 * unit.Gram}, "more than the 100 g that reach it"},
		{lines(), formula.Loss{Name: "evaporation", ToBrix: 0.4}, "already has 50"},
		{[]formula.Line{line(unknown, 50)}, formula.Loss{Name: "evaporation", ToBrix: 0.4}, "not known"},
		{[]formula.Line{line(water, 50)}, formula.Loss{Name: "evaporation", ToBrix: 0.4}, "nothing in it is dissolved sugar"},
	} {
		f := &formula.Formula{ID: "syrup", Lines: c.lines, Losses: []formula.Loss{c.loss}}
		if err := f.Settle(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want %q", c.loss, err, c.want)
		}
	}
}

func ExampleFormula_Make() {
	flour := &ingredient.Ingredient{ID: "flour", Name: "Flour"}
	f := &formula.Formula{
		ID:     "shortbread",
		Lines:  []formula.Line{{Ingredient: flour, Mass: 250 * unit.Gram}},
		Losses: []formula.Loss{{Name: "bowl", PerBatch: 10 * unit.Gram}, {Name: "bake", Share: 0.12}},
	}
	b, _ := f.Make(440 * unit.Gram)
	fmt.Println(b.In.Show(), "in,", b.Out.Show(), "out")
	for _, l := range b.Losses {
		fmt.Println(l.Name, l.Mass.Show())
	}
	// Output:
	// 510 g in, 440 g out
	// bowl 10.0 g
	// bake 60.0 g
}
