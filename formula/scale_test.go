package formula_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/kitchen"
	"chablon/unit"
)

// asWritten builds a settled formula from lines as a cook writes them.
func asWritten(t testing.TB, id string, losses []formula.Loss, nested map[string]*formula.Formula, lines ...string) *formula.Formula {
	t.Helper()
	larder := formula.Larder{Table: ingredient.Builtin(), Formulas: nested, EggSize: "us-large"}
	f := &formula.Formula{ID: id, Name: id, Losses: losses}
	for _, text := range lines {
		r, err := formula.ReadLine(text)
		if err != nil {
			t.Fatal(err)
		}
		l, err := larder.Link(r, "")
		if err != nil {
			t.Fatal(err)
		}
		f.Lines = append(f.Lines, l)
	}
	if err := f.Settle(); err != nil {
		t.Fatal(err)
	}
	return f
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// A sponge of 200 g sugar, 200 g flour and 4 large eggs of 50 g (bib:ams-56; 50 g without shell is
// common practice) weighs 600 g as written. Figures below are by hand from that.
func TestScaling(t *testing.T) {
	f := asWritten(t, "sponge", []formula.Loss{{Name: "bake", Share: 0.1}}, nil, "200 g sugar", "200 g flour", "4 eggs")
	f.Density = 0.3 * unit.GramPerMillilitre
	size := func(s formula.Size, err error) formula.Size {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := size(f.ToMass(540 * unit.Gram)) // 600 g less a tenth
	near(t, "factor to 540 g", s.Factor, 1)
	s = size(f.ToVolume(3.6 * unit.Litre)) // 3600 ml × 0.3 g/ml = 1080 g = twice
	near(t, "factor to 3.6 L", s.Factor, 2)
	s = size(f.ToPieces(6, 45*unit.Gram)) // 270 g = half
	near(t, "factor to 6 × 45 g", s.Factor, 0.5)
	s = size(f.ToLine(0, 250*unit.Gram))
	near(t, "factor to 250 g of sugar", s.Factor, 1.25)
	s = size(f.OnHand(map[int]unit.Mass{0: 500 * unit.Gram, 1: 300 * unit.Gram}))
	near(t, "factor on hand", s.Factor, 1.5)
	if s.Limiting != "flour" {
		t.Errorf("limiting = %q, want flour", s.Limiting)
	}
	s = size(f.WholeEggs(1.1)) // 4.4 eggs: 4 are nearest
	near(t, "factor for whole eggs", s.Factor, 1)
	s = size(f.WholeEggs(1.2)) // 4.8: 5 are nearest
	near(t, "factor for whole eggs", s.Factor, 1.25)
	f.Air.SpecificGravity = 0.5
	s = size(f.ToFactor(4)) // 2400 g at 0.4991 g/ml: 4.81 L
	if n, err := s.WithinVessel(0, 4*unit.Litre); err != nil || n != 2 {
		t.Errorf("batches in a bowl of 4 L = %d (%v), want 2", n, err)
	}
	if _, err := s.WithinVessel(6*unit.Litre, 10*unit.Litre); err == nil {
		t.Error("4.8 L in a bowl that works from 6 L is no error")
	}
}

// Two whites and one yolk are whole together only at whole multiples: 1.4 asks for 1 (2 and 1).
func TestWholeEggsOfTwoKinds(t *testing.T) {
	f := asWritten(t, "f", nil, nil, "2 large egg whites", "1 large egg yolk", "100 g sugar")
	s, err := f.WholeEggs(1.4)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "factor", s.Factor, 1)
	g := asWritten(t, "g", nil, nil, "7 eggs", "5 egg yolks")
	if _, err := g.WholeEggs(1.5); err == nil || !strings.Contains(err.Error(), "weigh them") {
		t.Errorf("7 eggs and 5 yolks at 1.5: %v, want an error that says to weigh them", err)
	}
}

func TestScalingRefusesNonsense(t *testing.T) {
	f := asWritten(t, "f", []formula.Loss{{Name: "bake", Share: 0.1}}, nil, "100 g sugar", "salt to taste")
	for name, err := range map[string]error{
		"no density": second(f.ToVolume(unit.Litre)), "no line": second(f.ToLine(7, unit.Gram)), "weightless line": second(f.ToLine(1, unit.Gram)),
		"nothing": second(f.ToFactor(0)), "infinite": second(f.ToFactor(math.Inf(1))), "not a number": second(f.ToFactor(math.NaN())), "nothing on hand": second(f.OnHand(nil)),
	} {
		if err == nil || !strings.HasPrefix(err.Error(), "formula f: ") {
			t.Errorf("%s: %v, want an error naming the formula", name, err)
		}
	}
}

func second(_ formula.Size, err error) error { return err }

// Baker's percentages of 500 g flour, 350 g water and 10 g salt: 100, 70 and 2 %; of the total of
// 860 g the flour is 58.14 %. By hand.
func TestPercentages(t *testing.T) {
	f := asWritten(t, "dough", nil, nil, "500 g flour", "350 g water", "10 g salt")
	list, base := f.Percentages()
	if base != "flour" {
		t.Errorf("base = %q, want flour", base)
	}
	for i, want := range []float64{1, 0.7, 0.02} {
		near(t, "of flour", list[i].OfBase, want)
	}
	near(t, "flour of the total", list[0].OfTotal, 500.0/860)
	f.Base = "water"
	list, _ = f.Percentages()
	near(t, "flour of water", list[0].OfBase, 500.0/350)
}

// However the lines lie against the division of the scale, the factor found is never worse than
// leaving the batch alone, stays within the slack, and no line is shown as nothing.
func TestWeighings(t *testing.T) {
	k := kitchen.Default()
	rapid.Check(t, func(t *rapid.T) {
		f := &formula.Formula{ID: "f"}
		for range rapid.IntRange(1, 8).Draw(t, "lines") {
			f.Lines = append(f.Lines, formula.Line{Name: "x", Mass: unit.Mass(rapid.Float64Range(0.05, 3000).Draw(t, "g")) * unit.Gram})
		}
		b := f.Run(f.Written())
		list, factor := b.Weighings(k.Round, 0.01)
		if math.Abs(factor-1) > 0.01+1e-12 {
			t.Fatalf("factor %v leaves the slack", factor)
		}
		alone, found := 0.0, 0.0
		for i, w := range list {
			shown, _ := k.Round(b.Lines[i].Mass)
			alone = math.Max(alone, math.Abs(float64(shown/b.Lines[i].Mass)-1))
			found = math.Max(found, math.Abs(w.Error))
			if w.Shown <= 0 {
				t.Fatalf("%v is shown as nothing", w.Line.Mass)
			}
			if math.Abs(w.Error) > 0.05 && w.Dilute < 1 {
				t.Fatalf("%v is %v off and no dilution is given", w.Line.Mass, w.Error)
			}
		}
		if found > alone+1e-12 {
			t.Fatalf("largest error %v, worse than %v of the batch as it is", found, alone)
		}
	})
}

// One custard of which a mousse takes 60 % and a cream 40 %: 900 g of mousse and 500 g of cream
// divide 740 g of it (540 and 200), and take 360 and 300 g of cream. By hand.
func TestDivide(t *testing.T) {
	base := asWritten(t, "custard", nil, nil, "500 g milk", "100 g egg yolk")
	nested := map[string]*formula.Formula{"custard": base}
	mousse := asWritten(t, "mousse", nil, nested, "600 g custard", "400 g cream")
	cream := asWritten(t, "cream", nil, nested, "400 g custard", "600 g cream")
	d, err := formula.Divide(base, []formula.Share{{Formula: mousse, Out: 900 * unit.Gram}, {Formula: cream, Out: 500 * unit.Gram}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "base", d.Total.Grams(), 740)
	near(t, "mousse's part", d.Parts[0].OfBase.Grams(), 540)
	near(t, "mousse's cream", d.Parts[0].Additions[0].Mass.Grams(), 360)
	near(t, "cream's cream", d.Parts[1].Additions[0].Mass.Grams(), 300)
	if _, err := formula.Divide(base, []formula.Share{{Formula: base, Out: unit.Kilogram}}); err == nil {
		t.Error("a product that does not take the base is no error")
	}
}

// Two sponges brought to the same 400 g: the second, written at 800 g, halves. By hand.
func TestCompare(t *testing.T) {
	a := asWritten(t, "a", nil, nil, "200 g sugar", "200 g flour")
	b := asWritten(t, "b", nil, nil, "500 g flour", "300 g honey")
	c := formula.Compare(a, b)
	want := map[string][2]float64{"sugar-granulated": {200, 0}, "flour-all-purpose": {200, 250}, "honey": {0, 150}}
	for _, l := range c.Lines {
		w, ok := want[l.ID]
		if !ok {
			t.Errorf("unexpected %s", l.ID)
			continue
		}
		near(t, l.ID+" in a", l.A.Grams(), w[0])
		near(t, l.ID+" in b", l.B.Grams(), w[1])
	}
	if len(c.Lines) != 3 || len(c.Shares) == 0 {
		t.Errorf("%d lines, %d shares", len(c.Lines), len(c.Shares))
	}
}
