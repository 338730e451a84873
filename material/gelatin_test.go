package material

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/unit"
)

// gelChecks are the rows of testdata/checks.csv on gelatin, proteases and foams.
func gelChecks(t *testing.T) map[string]float64 {
	regrade := func(g, from, to float64, r GradeRule) float64 {
		return must[unit.Mass](t)(Regrade(unit.Mass(g)*unit.Gram, Bloom(from), Bloom(to), r)).Grams()
	}
	minutes := func(at unit.Temperature) float64 { return must[time.Duration](t)(BromelainDTime(at)).Minutes() }
	silver, _ := LeafNamed("silver")
	gold, _ := LeafNamed("gold")
	water, _, _ := SoakWater(12 * unit.Gram)
	over := must[Overrun](t)
	genoise, _ := FoamTargetNamed("genoise batter")
	sponge, _ := FoamTargetNamed("sponge batter")
	folded := must[unit.Density](t)(Folded(0, Fold{Mass: .4, Density: 1080}, Fold{Mass: .3, Density: 480, Liquid: 1010}))
	return map[string]float64{
		"GF-001": regrade(10, 160, 200, SquareRoot), "GF-002": regrade(10, 200, 160, SquareRoot), "GF-003": regrade(12, 220, 180, SquareRoot),
		"GF-004": regrade(8, 240, 160, SquareRoot), "GF-005": regrade(6, 60, 240, SquareRoot), "GF-006": regrade(10, 200, 160, Linear),
		"GF-007": bloomTest, "GF-008": must[float64](t)(Firmness(200, .02)),
		"GF-009": silver.Mass.Grams(), "GF-010": 6 * gold.Mass.Grams(), "GF-011": water.Grams(),
		"GF-012": bromelainRate(65), "GF-013": minutes(65), "GF-014": minutes(70),
		"GF-015": must[float64](t)(BromelainLeft(70, 2*time.Minute)),
		"GF-016": 100 * float64(over(OverrunByMass(.250, .125))), "GF-017": 100 * float64(over(OverrunByVolume(unit.Litre, 2.1*unit.Litre))),
		"GF-018": float64(must[unit.Density](t)(Overrun(1.1).Density(1010))), "GF-019": must[float64](t)(Overrun(1).AirFraction()),
		"GF-020": 100 * float64(over(OverrunOfAir(.30))), "GF-021": float64(folded),
		"GF-022": must[float64](t)(SpecificGravity(.118, .236)),
		"GF-023": genoise.Gravity.High, "GF-024": sponge.Gravity.Mid(),
	}
}

// Regrading there and back is the identity, and the linear rule asks for more of a weaker gelatin.
func TestRegrade(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := Bloom(rapid.Float64Range(50, 300).Draw(t, "from")), Bloom(rapid.Float64Range(50, 300).Draw(t, "to"))
		m := unit.Mass(rapid.Float64Range(0, 1).Draw(t, "kg"))
		for _, r := range []GradeRule{SquareRoot, Linear} {
			there, err1 := Regrade(m, from, to, r)
			back, err2 := Regrade(there, to, from, r)
			if err1 != nil || err2 != nil || math.Abs(float64(back-m)) > 1e-12 {
				t.Fatalf("%v: %v to %v and back is %v, %v, %v", r, m, there, back, err1, err2)
			}
		}
		root, _ := Regrade(m, from, to, SquareRoot)
		linear, _ := Regrade(m, from, to, Linear)
		if from > to && linear < root || from < to && linear > root {
			t.Fatalf("%v to %v: linear %v, square root %v", from, to, linear, root)
		}
		// The square-root rule keeps the firmness.
		if c := rapid.Float64Range(.02, .03).Draw(t, "c"); m > 0.01 {
			a, err1 := Firmness(from, c)
			b, err2 := Firmness(to, c*float64(root/m))
			if err1 == nil && err2 == nil && math.Abs(a/b-1) > 1e-9 {
				t.Fatalf("firmness %v and %v", a, b)
			}
		}
	})
}

// Mass times bloom of the leaves is 400 to 460 (makers' figures), but for titanium at 550.
func TestLeaves(t *testing.T) {
	for _, l := range Leaves() {
		if product := l.Mass.Grams() * float64(l.Bloom()); l.Name != "titanium" && (product < 400 || product > 465) {
			t.Errorf("%s: %g g bloom", l.Name, product)
		}
	}
	if _, ok := LeafNamed("steel"); ok {
		t.Error("steel is a grade")
	}
}

// The reduction of firmness at pH 3 is 20 to 40 %, half of that at 3.5; none at 4.
func TestGelModifiers(t *testing.T) {
	for pH, want := range map[float64]unit.Range{3: {Low: .6, High: .8}, 3.5: {Low: .8, High: .9}, 4: {Low: 1, High: 1}, 2.5: {Low: .6, High: .8}, 0: {Low: 1, High: 1}} {
		e := must[GelEffect](t)(GelModifiers(GelSurroundings{PH: pH}))
		if math.Abs(e.Firmness.Low-want.Low) > 1e-12 || math.Abs(e.Firmness.High-want.High) > 1e-12 {
			t.Errorf("pH %g: %v, want %v", pH, e.Firmness, want)
		}
	}
	if e := must[GelEffect](t)(GelModifiers(GelSurroundings{Alcohol: .4, Sugar: .65})); e.Firmness.Low != 0 || len(e.Notes) != 2 {
		t.Errorf("liqueur: %+v", e)
	}
	g := must[GelTemperatures](t)(GelatinTemperatures(.012))
	if g.Set.Low != 15 || g.Set.High != 25 || g.Melt.Low != 25 || g.Melt.High != 35 || g.Dissolve.Low != 50 {
		t.Errorf("dessert: %+v", g)
	}
}

func TestGelRefuses(t *testing.T) {
	nan := math.NaN()
	for _, x := range []float64{nan, math.Inf(1), -1, 1e9} {
		_, e1 := Regrade(unit.Mass(x), 200, 160, SquareRoot)
		_, e2 := Regrade(1, Bloom(x), 160, SquareRoot)
		_, e3 := Regrade(1, 200, Bloom(x), Linear)
		_, e4 := Firmness(200, x)
		_, e5 := GelatinTemperatures(x)
		_, e6 := GelModifiers(GelSurroundings{PH: x})
		_, e7 := GelModifiers(GelSurroundings{Sugar: x})
		_, e8 := BromelainDTime(unit.Celsius(x))
		_, e9 := Overrun(x).AirFraction()
		_, e10 := OverrunOfAir(x)
		_, e11 := OverrunByMass(1, unit.Mass(x))
		_, e12 := SpecificGravity(unit.Mass(x), .2)
		_, e13 := Folded(x, Fold{Mass: 1, Density: 1000})
		_, e14 := Folded(0, Fold{Mass: unit.Mass(x), Density: 1000})
		_, e15 := CupCheck(unit.Mass(x), unit.Litre, 0)
		_, e16 := Overrun(x).Density(1000)
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9, e10, e11, e12, e13, e14, e15, e16} {
			if err == nil {
				t.Errorf("function %d takes %g", i+1, x)
			}
		}
	}
	if _, err := Regrade(1, 200, 160, 9); err == nil {
		t.Error("there is a ninth rule")
	}
	if _, err := BromelainLeft(70, -time.Second); err == nil {
		t.Error("a negative time destroys bromelain")
	}
	if _, err := Folded(0); err == nil {
		t.Error("nothing has a density")
	}
	if _, err := Folded(0, Fold{Mass: 1, Density: 1000, Liquid: 900}); err == nil {
		t.Error("a foam is heavier than its liquid")
	}
}

// Below the range nothing is destroyed, in it the hotter the more, above it as at its end.
func TestBromelainFalls(t *testing.T) {
	last := 1.0
	for at := unit.Temperature(40); at <= 100; at++ {
		left := must[float64](t)(BromelainLeft(at, 5*time.Second))
		if left > last || !(left >= 0) || at < coldestBromelain && left != 1 {
			t.Errorf("at %v %g is left, at a degree less %g", at, left, last)
		}
		last = left
	}
}

// The measures of a foam lead back to each other.
func TestFoamTurnsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Overrun(rapid.Float64Range(0, 8).Draw(t, "overrun"))
		phi, err1 := o.AirFraction()
		back, err2 := OverrunOfAir(phi)
		d, err3 := o.Density(1010)
		again, err4 := OverrunOfDensity(1010, d)
		if err1 != nil || err2 != nil || err3 != nil || err4 != nil || math.Abs(float64(back-o)) > 1e-9 || math.Abs(float64(again-o)) > 1e-9 {
			t.Fatalf("%v: air %v, back %v; density %v, back %v", o, phi, back, d, again)
		}
		cup, err := CupCheck(d.Mass(200*unit.Millilitre), 200*unit.Millilitre, 1010)
		if err != nil || math.Abs(float64(cup.Overrun-o)) > 1e-9 || math.Abs(cup.Air-phi) > 1e-9 || math.Abs(cup.Gravity-float64(d)/998.203) > 1e-9 {
			t.Fatalf("cup %+v, %v", cup, err)
		}
		// Folding all the air out leaves the liquids; in between lies between.
		a, b := Fold{Mass: .4, Density: 1080}, Fold{Mass: .3, Density: d, Liquid: 1010}
		full, _ := Folded(0, a, b)
		some, _ := Folded(0.1, a, b)
		flat, _ := Folded(1, a, b)
		still, _ := Folded(0, a, Fold{Mass: .3, Density: 1010})
		if math.Abs(float64(flat/still)-1) > 1e-12 || some < full || some > flat {
			t.Fatalf("folded: %v with all air, %v with less, %v without (%v)", full, some, flat, still)
		}
	})
}

func ExampleRegrade() {
	m, err := Regrade(10*unit.Gram, 200, 160, SquareRoot)
	if err != nil {
		fmt.Println(err)
		return
	}
	linear, _ := Regrade(10*unit.Gram, 200, 160, Linear)
	fmt.Printf("%.1f g (%.1f g by the linear rule)\n", m.Grams(), linear.Grams())
	// Output: 11.2 g (12.5 g by the linear rule)
}

func ExampleCupCheck() {
	cup, err := CupCheck(130*unit.Gram, 236*unit.Millilitre, 1020)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("SG %.2f, overrun %.0f %%\n", cup.Gravity, 100*float64(cup.Overrun))
	// Output: SG 0.55, overrun 85 %
}
