package material

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"chablon/unit"
)

// Every row of the trade's freezing curve, testdata/leighton.csv.
func TestLeightonTable(t *testing.T) {
	f, err := os.Open("testdata/leighton.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) != len(leighton)+1 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		g, want := must[float64](t)(strconv.ParseFloat(row[0], 64)), must[float64](t)(strconv.ParseFloat(row[1], 64))
		if got := must[unit.Temperature](t)(IceCreamMix{Water: 100, Sucrose: g}.FreezingPoint()); math.Abs(got.Celsius()+want) > 1e-9 {
			t.Errorf("%g g: %v, want %g", g, got, -want)
		}
	}
	// 10 g of hexoses count 19 of sucrose (row SW-083).
	if se := (IceCreamMix{Hexoses: 10}).SucroseEquivalent(); math.Abs(se-19) > 1e-12 {
		t.Errorf("10 g of hexoses: %g of sucrose, want 19", se)
	}
}

// Saturated sucrose, per cent by mass: older handbook series, every row, and half-way from 60 to 80 degC.
func TestSolubility(t *testing.T) {
	for at, want := range map[unit.Temperature]Brix{
		0: 64.18, 10: 65.58, 20: 67.09, 25: 67.89, 30: 68.80, 40: 70.42, 50: 72.25, 60: 74.18, 70: 76.27, 80: 78.36, 100: 82.97,
	} {
		if got := must[Brix](t)(Solubility(at)); math.Abs(float64(got-want)) > 1e-9 {
			t.Errorf("%v: %v, want %v", at, got, want)
		}
	}
}

// Glucose and maltose in the dry substance of the syrups of the trade: the figures of the ingredient table.
func TestSyrupSplits(t *testing.T) {
	for de, want := range map[float64][2]float64{19: {.02, .06}, 38: {.157, .127}, 42: {.19, .14}, 61: {.36, .31}, 100: {1, 0}} {
		s := must[Syrup](t)(GlucoseSyrup(de))
		if math.Abs(s.Glucose.Share-want[0]) > 1e-9 || math.Abs(s.Maltose.Share-want[1]) > 1e-9 {
			t.Errorf("DE %g: %+v, want %v", de, s, want)
		}
	}
}

// By hand, for .30 water: .20 sucrose, .10 glucose at 1.3, .02 polyol, .05 protein at 1.3, .01 salt at 9,
// .08 fibre at .8. Polyols at 2: .589/.30, at 4 for glycerol: .629/.30.
func TestGroverEquivalents(t *testing.T) {
	c := food(.30, .05, .24, .40, .20, .08, .01)
	c.Set(Glucose, .10)
	c.Set(Sugars, .30)
	c.Set(Polyols, .02)
	c.Set(Starch, 0)
	c.Set(Sodium, .01/saltPerSodium)
	for o, equivalent := range map[Polyol]float64{Sorbitol: .589, Glycerol: .629} {
		es := equivalent / .30
		got := must[Activity](t)(c.Grover(Solutes{Polyol: o})).Value
		if want := 1.04 - .1*es + .0045*es*es; math.Abs(got-want) > 1e-9 {
			t.Errorf("%v: %.6f, want %.6f", o, got, want)
		}
	}
}

// Fibre is no syrup: with all other carbohydrate named nothing is left over.
func TestFibreIsNoSyrup(t *testing.T) {
	c := food(.5, 0, 0, .5, .3, .2, 0)
	x := must[Freezing](t)(c.Freezing(Solutes{}))
	first, _ := x.FreezingPoint()
	plain, _ := must[Freezing](t)(food(.5, 0, .2, .3, .3, 0, 0).Freezing(Solutes{})).FreezingPoint()
	if x.Assumptions() != nil || first != plain {
		t.Errorf("%v with %q, without the fibre %v", first, x.Assumptions(), plain)
	}
}

// The errors that the comments promise: activity 0.005 for sucrose, 0.01 more with an assumption; the
// freezing point 3 % of the depression to 45 % of solids, 10 % beyond, half as much again with an
// assumption.
func TestStatedErrors(t *testing.T) {
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	known := syrup(Sucrose, .4)
	var guess Composition
	for k, share := range map[Component]float64{Water: .4, Protein: 0, Fat: 0, Carbohydrate: .6, Ash: 0, Sodium: 0, Starch: 0} {
		guess.Set(k, share)
	}
	near("sucrose", must[Activity](t)(known.Activity(25, Solutes{})).Error, .005)
	near("assumed", must[Activity](t)(guess.Activity(25, Solutes{})).Error, .015)
	for _, c := range []struct {
		food  Composition
		share float64
	}{{known, .03}, {syrup(Sucrose, .5), .10}, {guess, .15}} {
		x := must[Freezing](t)(c.food.Freezing(Solutes{}))
		first, _ := x.FreezingPoint()
		near("freezing point", x.Error().Kelvins(), -c.share*first.Celsius())
	}
}

// 9 CFR 590.570 Table I, degF for 3.5 and 6.2 minutes, in the order of the table; whole egg has no second.
func TestEggProducts(t *testing.T) {
	want := [][2]float64{{134, 132}, {140, 0}, {142, 140}, {144, 142}, {146, 144}, {142, 140}, {142, 140}, {146, 144}, {146, 144}}
	got := EggProducts()
	if len(got) != len(want) {
		t.Fatalf("%d products, want %d", len(got), len(want))
	}
	for i, p := range got {
		if math.Abs(p.Short.Fahrenheit()-want[i][0]) > 1e-9 || p.Known != (want[i][1] > 0) || p.Known && math.Abs(p.Long.Fahrenheit()-want[i][1]) > 1e-9 {
			t.Errorf("%s: %.1f and %.1f degF, want %v", p.Name, p.Short.Fahrenheit(), p.Long.Fahrenheit(), want[i])
		}
	}
}

// Above 82 degC the destruction of bromelain is credited as at 82.
func TestBromelainIsNotExtrapolated(t *testing.T) {
	a, b := must[float64](t)(BromelainLeft(82, 100*time.Millisecond)), must[float64](t)(BromelainLeft(95, 100*time.Millisecond))
	if a != b || a <= 0 || a >= 1 {
		t.Errorf("82 degC leaves %g, 95 %g", a, b)
	}
}

// Near dryness the fitted excess of sucrose would turn; the activity must go on falling.
func TestSucroseActivityFallsToDryness(t *testing.T) {
	for _, at := range []unit.Temperature{-40, 25, 65, 80, 120} {
		last := 1.0
		for w := .95; w < .9995; w += .001 {
			a := must[Activity](t)(syrup(Sucrose, w).Activity(at, Solutes{})).Value
			if a >= last {
				t.Errorf("at %v: %.3f has %.4f, less sugar %.4f", at, w, a, last)
			}
			last = a
		}
	}
}
