package formula_test

import (
	"math"
	"testing"
	"time"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/unit"
)

// dense returns a line of something with a density on record, in kilograms per cubic metre.
func dense(grams, density float64) formula.Line {
	return line(&ingredient.Ingredient{ID: "dense", Name: "Dense", Density: unit.Density(density)}, grams)
}

// Densities of mixes: rows GF-018, GF-019, GF-021 and GF-022 of the reference table (definitions
// and the additivity of volumes), the rest by hand.
func TestFinishedDensity(t *testing.T) {
	t.Parallel()
	cream := &formula.Formula{ID: "cream", Density: 480}
	for _, c := range []struct {
		name string
		f    formula.Formula
		want float64
		from formula.DensitySource
	}{
		{"measured", formula.Formula{Density: 550, Air: formula.Air{SpecificGravity: 0.4}, Lines: []formula.Line{dense(100, 1000)}}, 550, formula.DensityMeasured},
		{"GF-022: half of water, 998.2 kg/m³ at 20 °C (CRC Handbook)", formula.Formula{Air: formula.Air{SpecificGravity: 0.5}}, 499.1, formula.DensityBySG},
		{"GF-018: 1010 kg/m³, overrun 110 %", formula.Formula{Lines: []formula.Line{dense(500, 1010)}, Air: formula.Air{Overrun: 1.1}}, 1010 / 2.1, formula.DensityByAir},
		{"GF-021: 400 g at 1080 and 300 g at 480, folded without loss", formula.Formula{Lines: []formula.Line{dense(400, 1080), of(cream, 300)}}, 703.256, formula.DensityByAir},
		{"by hand: 100 g/1000 + 100 g/1000·(1 + 1·0.8) = 0.28 L", formula.Formula{
			Lines: []formula.Line{dense(100, 1000), {ID: "whites", Ingredient: dense(0, 1000).Ingredient, Mass: 100 * unit.Gram}},
			Air:   formula.Air{Overrun: 1, Whipped: []string{"whites"}, FoldingLoss: 0.2},
		}, 0.2 / 0.28e-3, formula.DensityByAir},
		{"by group", formula.Formula{
			Lines: []formula.Line{dense(100, 1000), {Group: "foam", Ingredient: dense(0, 1000).Ingredient, Mass: 100 * unit.Gram}},
			Air:   formula.Air{Overrun: 1, Whipped: []string{"foam"}},
		}, 0.2 / 0.3e-3, formula.DensityByAir},
		{"baked, not measured", formula.Formula{Lines: []formula.Line{dense(100, 1000)}, Air: formula.Air{SpecificGravity: 0.5}, Losses: []formula.Loss{{Name: "bake", Share: 0.1}}}, 0, formula.DensityUnknown},
		{"baked, measured", formula.Formula{Density: 280, Losses: []formula.Loss{{Name: "bake", Share: 0.1}}}, 280, formula.DensityMeasured},
		{"a line without a density", formula.Formula{Lines: []formula.Line{dense(100, 1000), dense(1, 0)}}, 0, formula.DensityUnknown},
		{"a line to taste counts for nothing", formula.Formula{Lines: []formula.Line{dense(100, 1000), dense(0, 0)}}, 1000, formula.DensityByAir},
		{"nothing", formula.Formula{}, 0, formula.DensityUnknown},
	} {
		got, from := c.f.FinishedDensity()
		if math.Abs(float64(got)-c.want) > 0.0005 || from != c.from {
			t.Errorf("%s: %g kg/m³, %s; want %g, %s", c.name, float64(got), from, c.want, c.from)
		}
	}
	baked := &formula.Formula{Air: formula.Air{SpecificGravity: 0.5}, Losses: []formula.Loss{{Name: "bake", Share: 0.1}}}
	if d, from := baked.MixDensity(); math.Abs(float64(d)-499.1) > 1e-9 || from != formula.DensityBySG {
		t.Errorf("the batter of a baked formula: %v, %s", d, from)
	}
}

// By hand: matter without gas, whipped to double its volume, is half gas (GF-019); what has lost
// its gas has none.
func TestAirFraction(t *testing.T) {
	t.Parallel()
	f := &formula.Formula{Lines: []formula.Line{line(water, 50), line(sugar, 50)}}
	plain, _ := f.MixDensity()
	f.Air.Overrun = 1
	if got := f.AirFraction(); math.Abs(got-0.5) > 1e-9 {
		t.Errorf("doubled: %g", got)
	}
	f.Density = plain * 2
	if got := f.AirFraction(); got != 0 {
		t.Errorf("denser than its matter: %g", got)
	}
	f.Density, f.Air.Overrun = plain*0.7, 0
	if got := f.AirFraction(); math.Abs(got-0.3) > 1e-9 {
		t.Errorf("at 0.7 of its matter: %g", got)
	}
	if got := (&formula.Formula{}).AirFraction(); got != 0 {
		t.Errorf("nothing: %g", got)
	}
}

func gelatin(bloom float64) *ingredient.Ingredient {
	g := thing("gelatin", 0, 0)
	g.Traits = []ingredient.Trait{{Name: "bloom", Value: bloom}}
	return g
}

// The square-root rule: rows GF-001 and GF-003 to GF-005 of the reference table, both grades
// brought to 200 Bloom; m2 = m1·sqrt(B1/B2), Ward & Courts.
func TestGelatinGrade(t *testing.T) {
	t.Parallel()
	at200 := func(grams, bloom float64) float64 {
		f := &formula.Formula{Lines: []formula.Line{line(gelatin(bloom), grams), line(water, 1000-grams)}}
		share, known := f.Gelatin()
		if !known {
			t.Errorf("%g Bloom counts as not known", bloom)
		}
		return share * 1000
	}
	if got := at200(10, 160); math.Abs(got-8.94427) > 1e-5 {
		t.Errorf("GF-001: 10 g at 160 are %g g at 200", got)
	}
	for _, c := range []struct {
		row                    string
		grams, from, other, to float64
	}{
		{"GF-002", 10, 200, 11.1803, 160}, {"GF-003", 12, 220, 13.2665, 180}, {"GF-004", 8, 240, 9.79796, 160}, {"GF-005", 6, 60, 3, 240},
	} {
		if a, b := at200(c.grams, c.from), at200(c.other, c.to); math.Abs(a-b) > 1e-4 {
			t.Errorf("%s: %g g at %g are %g g at 200, and %g g at %g are %g", c.row, c.grams, c.from, a, c.other, c.to, b)
		}
	}
}

func TestGelatin(t *testing.T) {
	t.Parallel()
	// By hand: a mass of one part gelatin in six, 30 g of it in 300 g: 5/300.
	mass := &formula.Formula{ID: "gelatin-mass", Lines: []formula.Line{line(gelatin(200), 10), line(water, 50)}}
	f := &formula.Formula{Lines: []formula.Line{of(mass, 30), line(water, 270)}}
	if got, known := f.Gelatin(); !known || math.Abs(got-5./300) > 1e-12 {
		t.Errorf("by way of a mass: %g, %v", got, known)
	}
	// By hand: boiled from 60 g to 50 g (and a tenth left in the bowl, as it is), a fifth of the
	// mass is gelatin: 6/300.
	mass.Losses = []formula.Loss{{Name: "evaporation", Share: 1. / 6}, {Name: "bowl", Share: 0.1}}
	if got, _ := f.Gelatin(); math.Abs(got-6./300) > 1e-12 {
		t.Errorf("by way of a reduced mass: %g", got)
	}
	f.Lines = append(f.Lines, line(gelatin(0), 3))
	if got, known := f.Gelatin(); known || math.Abs(got-9./303) > 1e-12 { // counts as 200
		t.Errorf("a grade not known: %g, %v", got, known)
	}
	if got, known := (&formula.Formula{}).Gelatin(); got != 0 || !known {
		t.Errorf("nothing: %g, %v", got, known)
	}
}

func TestContains(t *testing.T) {
	t.Parallel()
	inner := &formula.Formula{ID: "inner", Lines: []formula.Line{line(gelatin(200), 10)}}
	outer := &formula.Formula{ID: "outer", Lines: []formula.Line{line(water, 10), of(inner, 10)}}
	if !outer.Contains("bloom") || outer.Contains("raw-egg") || (&formula.Formula{}).Contains("bloom") {
		t.Errorf("bloom %v, raw-egg %v", outer.Contains("bloom"), outer.Contains("raw-egg"))
	}
}

// By hand from the table of usual times (common practice, no source); what is written stays.
func TestAssumedTime(t *testing.T) {
	t.Parallel()
	if s := (formula.Step{Verb: "whip"}).WithAssumedTime(); !s.Assumed || s.Active.Fixed != 2*time.Minute || s.Waiting != 8*time.Minute {
		t.Errorf("whip: %+v", s)
	}
	if s := (formula.Step{Verb: "juggle"}).WithAssumedTime(); !s.Assumed || s.Active.Fixed != 5*time.Minute || s.Waiting != 0 {
		t.Errorf("a verb without a usual time: %+v", s)
	}
	for _, s := range []formula.Step{{Verb: "whip", Waiting: time.Minute}, {Verb: "whip", Active: formula.Work{PerKg: 1}}, {Verb: "freeze", Computed: "freeze"}} {
		if got := s.WithAssumedTime(); got.Assumed || got.Active != s.Active || got.Waiting != s.Waiting {
			t.Errorf("%+v became %+v", s, got)
		}
	}
	// 4 min + 1.5 kg at 3 min + 6 pieces at 30 s = 11.5 min
	w := formula.Work{Fixed: 4 * time.Minute, PerKg: 3 * time.Minute, PerPiece: 30 * time.Second}
	if got := w.For(1.5, 6); got != 11*time.Minute+30*time.Second {
		t.Errorf("work for 1.5 kg in 6 pieces: %v", got)
	}
}
