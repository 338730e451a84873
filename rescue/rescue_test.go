package rescue_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/formula"
	"chablon/material"
	"chablon/rescue"
	"chablon/unit"
)

const g = unit.Gram

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s = %v, want %v ± %v", what, got, want, tolerance)
	}
}

// batch is 600 g cream, 388 g purée and 12 g gelatin: 1000 g, of which gelatin is 1.2 %.
func batch() formula.Batch {
	f := &formula.Formula{ID: "mousse", Lines: []formula.Line{{Name: "cream", Mass: 600 * g}, {Name: "purée", Mass: 388 * g}, {Name: "gelatin", Mass: 12 * g}}}
	return f.Run(1000 * g)
}

// 15 g of gelatin instead of 12. By hand: the whole batch grows to 15/0.012 = 1250 g, the cream by
// 150 g and the purée by 97 g. The least keeps 5 % above the share (a potent line): 15/(0.012 ×
// 1.05) = 1190.48 g, of which the rest is 1175.48 against 988: the cream grows by 600 × 0.189753.
func TestTooMuchGelatin(t *testing.T) {
	list, err := rescue.TooMuch(batch(), 2, 15*g, 1200*g)
	if err != nil || len(list) != 2 {
		t.Fatal(list, err)
	}
	near(t, "total of the larger batch", list[0].Total.Grams(), 1250, 1e-9)
	near(t, "cream for it", list[0].Additions[0].Mass.Grams(), 150, 1e-9)
	near(t, "purée for it", list[0].Additions[1].Mass.Grams(), 97, 1e-9)
	if list[0].Possible {
		t.Error("1250 g fit a bowl that takes 1200 g")
	}
	near(t, "total with the least", list[1].Total.Grams(), 15/(0.012*1.05), 1e-9)
	near(t, "cream with the least", list[1].Additions[0].Mass.Grams(), 600*((15/(0.012*1.05)-15)/988-1), 1e-9)
	near(t, "share afterwards", list[1].Figures[0].After, 1.26, 1e-9)
	if !list[1].Possible || !strings.Contains(list[0].Downstream, "more of mousse") {
		t.Errorf("least possible %v, downstream %q", list[1].Possible, list[0].Downstream)
	}
}

// 5 % more cream moves its share from 60 % to 61.2 %, a fiftieth: it is left.
func TestALittleMoreIsLeft(t *testing.T) {
	list, err := rescue.TooMuch(batch(), 0, 630*g, 0)
	if err != nil || list[1].Title != "Leave it" {
		t.Errorf("%+v, %v", list, err)
	}
	if _, err := rescue.TooMuch(batch(), 0, 590*g, 0); err == nil {
		t.Error("less than wanted is no error")
	}
}

func TestTooLittle(t *testing.T) {
	r, err := rescue.TooLittle(batch(), 2, 8*g, true)
	if err != nil || !r.Possible {
		t.Fatal(r, err)
	}
	near(t, "gelatin to add", r.Additions[0].Mass.Grams(), 4, 1e-9)
	if r, _ := rescue.TooLittle(batch(), 2, 8*g, false); r.Possible || !strings.Contains(r.Why, "67 %") {
		t.Errorf("after its step: %+v, want impossible with two thirds named", r)
	}
}

// A syrup of 75 % boiled to 80 %: water 80/75 − 1 = 1/15 of its mass brings it back, by balance of
// the solids; in a table of boiling points (bib:starzak-peacock) 80 % boils at 109.4 °C at sea level.
func TestOvershotSyrup(t *testing.T) {
	p, err := material.PressureAt(0)
	if err != nil {
		t.Fatal(err)
	}
	t80, err := material.SyrupBoilingPoint(80, p)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "boiling point of 80 %", t80.Celsius(), 109.4, 0.1)
	t75, _ := material.SyrupBoilingPoint(75, p)
	r, err := rescue.Overshot(600*g, t80, t75, p)
	if err != nil || !r.Possible || r.Caution == "" {
		t.Fatal(r, err)
	}
	near(t, "water", r.Additions[0].Mass.Grams(), 40, 0.05)
	if r, _ := rescue.Overshot(600*g, 172, 118, p); r.Possible || !strings.Contains(r.Why, "caramel") {
		t.Errorf("from 172 °C: %+v, want impossible", r)
	}
}

// 1000 g at 20 °Bx to 25: sugar (0.25 − 0.20)/0.75 = 66.67 g, or water off 1 − 20/25 = 200 g.
func TestStrengthen(t *testing.T) {
	list, err := rescue.Strengthen(1000*g, 0.20, 0.25)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sugar", list[0].Additions[0].Mass.Grams(), 1000*0.05/0.75, 1e-9)
	near(t, "after boiling", list[1].Total.Grams(), 800, 1e-9)
	if list, _ := rescue.Strengthen(1000*g, 0, 0.25); list[1].Possible {
		t.Error("plain water can be boiled down to a syrup")
	}
	if list, _ := rescue.Strengthen(1000*g, 0.6, 0.7); !strings.Contains(list[0].Why, "crystallises") {
		t.Error("70 °Bx of sucrose is said to stay dissolved at 20 °C, where 67 dissolve (bib:crc-handbook)")
	}
}

func TestGlaze(t *testing.T) {
	for _, c := range []struct {
		at         unit.Temperature
		dry, want  float64
		title      string
		wantsError bool
	}{
		{24, 0.65, 0.65, "Warm it", false},
		{40, 0.65, 0.65, "Let it cool", false},
		{32, 0.70, 0.65, "Thin it", false},
		{32, 0.60, 0.65, "Stir sugar in", false},
		{32, 0.65, 0.65, "", true},
	} {
		list, err := rescue.Glaze(500*g, c.at, c.dry, c.want)
		if (err != nil) != c.wantsError || (err == nil && list[0].Title != c.title) {
			t.Errorf("%v, %v to %v: %v, %v; want %q", c.at, c.dry, c.want, list, err, c.title)
		}
	}
}

// 700 g of foam at 0.5 g/ml, 0.56 wanted, mix of 1.05 g/ml unwhipped: x with (700 + x)/(1400 +
// x/1.05) = 0.56: 700 + x = 784 + 0.53333x, x = 84/0.46667 = 180 g. By hand.
func TestFoamTooLight(t *testing.T) {
	r, err := rescue.Foam(700*g, 500, 560, 1050, true)
	if err != nil || !r.Possible {
		t.Fatal(r, err)
	}
	near(t, "unwhipped", r.Additions[0].Mass.Grams(), 180, 1e-9)
	if r, _ := rescue.Foam(700*g, 500, 560, 550, true); r.Possible {
		t.Error("a mix lighter than what is wanted makes a foam heavier")
	}
	heavy, err := rescue.Foam(700*g, 700, 560, 1050, false)
	if err != nil || !strings.Contains(heavy.Downstream, "80 %") {
		t.Errorf("too heavy: %+v, %v; want 80 %% of the level", heavy, err)
	}
}

// An hour at 80 °C takes 1 − e^−0.05 to 1 − e^−0.10 of the strength, 4.9 to 9.5 %, and so 2.53 to
// 5.13 % more gelatin: 0.383 g on 10 g in the middle. By hand.
func TestBoiledGelatin(t *testing.T) {
	r, err := rescue.BoiledGelatin(10*g, 80, 60, false)
	if err != nil || !r.Possible {
		t.Fatal(r, err)
	}
	near(t, "gelatin", r.Additions[0].Mass.Grams(), 10*((math.Exp(0.025)-1)+(math.Exp(0.05)-1))/2, 1e-9)
	near(t, "water", r.Additions[1].Mass.Grams(), 5*r.Additions[0].Mass.Grams(), 1e-9)
	if r, _ := rescue.BoiledGelatin(10*g, 100, 60, true); r.Possible {
		t.Error("an hour's boil in a sour mix can be mended")
	}
}

// 10 g at 200 Bloom are 10·sqrt(200/160) = 11.18 g at 160 (square-root rule, bib:ward-courts).
func TestOtherGrade(t *testing.T) {
	r, err := rescue.OtherGrade(10*g, 200, 160, false)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gelatin", r.Total.Grams(), 10*math.Sqrt(1.25), 1e-9)
	r, _ = rescue.OtherGrade(10*g, 200, 160, true)
	near(t, "to add", r.Additions[0].Mass.Grams(), 10*math.Sqrt(1.25)-10, 1e-9)
	r, _ = rescue.OtherGrade(10*g, 160, 200, true)
	if !strings.Contains(r.Why, "12 % more") {
		t.Errorf("a stronger grade: %+v, want 12 %% more of the rest", r)
	}
}

func TestBroken(t *testing.T) {
	for what, hot := range map[rescue.Break]unit.Temperature{rescue.SplitGanache: 45, rescue.CurdledCustard: 87, rescue.SeizedChocolate: 50, rescue.GrainyMousse: 15} {
		if r, err := rescue.Broken(what, 500*g, hot); err != nil || !r.Possible || len(r.Steps) == 0 || r.Source == "" {
			t.Errorf("case %d: %+v, %v", what, r, err)
		}
	}
	if r, _ := rescue.Broken(rescue.CurdledCustard, 500*g, 97); r.Possible {
		t.Error("a custard that boiled can be mended")
	}
}

// 900 g for 12 pieces of 75 g; 700 g are there: 9 pieces and 25 g, or a batch of 200 g, or each
// piece 22 % lower, which is too much.
func TestShort(t *testing.T) {
	list, err := rescue.Short("mousse", 700*g, 900*g, 12, 300*g)
	if err != nil {
		t.Fatal(err)
	}
	if list[0].Possible || list[1].Figures[0].After != 9 || math.Abs(list[2].Additions[0].Mass.Grams()-300) > 1e-9 {
		t.Errorf("%+v", list)
	}
	if !strings.Contains(list[1].Downstream, "25.0 g") || !strings.Contains(list[2].Downstream, "100 g") {
		t.Errorf("downstream %q and %q", list[1].Downstream, list[2].Downstream)
	}
	if list, _ := rescue.Short("mousse", 850*g, 900*g, 12, 0); !list[0].Possible {
		t.Error("a twentieth short cannot be spread thinner")
	}
}

// Whatever is asked: an error or masses that are numbers, not below zero, and that add up.
func TestNoNonsense(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		any := rapid.OneOf(rapid.Float64(), rapid.Float64Range(0, 2), rapid.SampledFrom([]float64{0, 1, -1, math.NaN(), math.Inf(1)}))
		m := unit.Mass(any.Draw(t, "m"))
		a, b := any.Draw(t, "a"), any.Draw(t, "b")
		var all []rescue.Remedy
		add := func(r rescue.Remedy, err error) {
			if err == nil {
				all = append(all, r)
			}
		}
		addAll := func(list []rescue.Remedy, err error) {
			if err == nil {
				all = append(all, list...)
			}
		}
		add(rescue.Thin(m, a, b, "water"))
		addAll(rescue.Strengthen(m, a, b))
		addAll(rescue.Glaze(m, unit.Temperature(a*40), b, a))
		add(rescue.Foam(m, unit.Density(a*1000), unit.Density(b*1000), 1000, a > b))
		add(rescue.BoiledGelatin(m, unit.Temperature(a*100), b*60, a > b))
		add(rescue.OtherGrade(m, material.Bloom(a*300), material.Bloom(b*300), a > b))
		addAll(rescue.TooMuch(batch(), 1, m, unit.Mass(a)))
		addAll(rescue.Short("x", unit.Mass(a), m, 7, unit.Mass(max(0, b))))
		for _, r := range all {
			for _, x := range r.Additions {
				if !(x.Mass >= 0) || math.IsInf(float64(x.Mass), 0) {
					t.Fatalf("%s: adds %v of %s", r.Title, x.Mass, x.Of)
				}
			}
			for _, f := range r.Figures {
				if math.IsNaN(f.Before) || math.IsNaN(f.After) || math.IsInf(f.After, 0) {
					t.Fatalf("%s: %+v", r.Title, f)
				}
			}
		}
	})
}

func ExampleTooMuch() {
	list, _ := rescue.TooMuch(batch(), 2, 15*g, 0)
	for _, r := range list {
		fmt.Printf("%s: %.0f g in all\n", r.Title, r.Total.Grams())
		for _, a := range r.Additions {
			fmt.Printf("  %.0f g %s\n", a.Mass.Grams(), a.Of)
		}
	}
	// Output:
	// Make the whole batch larger: 1250 g in all
	//   150 g cream
	//   97 g purée
	// Add the least that restores the ratio: 1190 g in all
	//   114 g cream
	//   74 g purée
}
