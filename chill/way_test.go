package chill_test

import (
	"math"
	"testing"
	"time"

	"chablon/chill"
	"chablon/heat"
	"chablon/mould"
	"chablon/unit"
)

func leg(s heat.Surroundings, at unit.Temperature, d time.Duration, unmoulded bool) chill.Leg {
	return chill.Leg{Name: s.Name, Surroundings: s, At: at, For: d, Unmoulded: unmoulded}
}

func follow(t testing.TB, b *chill.Body, limits []chill.Limit, legs ...chill.Leg) chill.Way {
	t.Helper()
	w, err := b.Follow(t.Context(), legs, limits, chill.Planning)
	if err != nil {
		t.Fatal(err)
	}
	if len(w.Ends) != len(legs) || w.Run.EnergyError > 1e-6 {
		t.Fatalf("%d ends of %d legs, energy error %g", len(w.Ends), len(legs), w.Run.EnergyError)
	}
	for _, m := range w.Curve {
		low, high := m.Range(func(s heat.Sample) unit.Temperature { return s.Core })
		if !(low <= m.Core && m.Core <= high) || m.Weak.Time != m.Time || m.Strong.Time != m.Time {
			t.Fatalf("at %v the core of %v lies outside %v to %v", m.Time, m.Core, low, high)
		}
	}
	return w
}

// From the freezer over refrigerator, van and counter: every limit is passed, in the order and the leg that the
// places ask for, and the curve has the air of each leg as its bound.
func TestWayThroughPlaces(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(160*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(18, -18))
	limits := chill.UsualLimits(-20, 1, 12)
	w := follow(t, b, limits,
		leg(heat.FanFreezer, -20, 0, false), leg(heat.Room, 21, 40*time.Minute, true), leg(heat.Refrigerator, 4, 16*time.Hour, false),
		leg(heat.Van, 5, 40*time.Minute, false), leg(heat.Counter, 23, 3*time.Hour, false))
	wantLeg := []int{0, 1, 2, 4, 4}
	for i, p := range w.Passes {
		t.Logf("%s: %v (%v to %v) in leg %d", p.Words, p.Time, p.Earliest, p.Latest, p.Leg)
		if !p.Passed || !p.Sure || p.Leg != wantLeg[i] || p.Earliest > p.Time || p.Latest < p.Time {
			t.Errorf("%s: %+v, want it in leg %d", p.Words, p, wantLeg[i])
		}
	}
	if got := w.Passes[0].Latest; w.Legs[0].For < got || w.Legs[0].For > got+3*time.Minute {
		t.Errorf("the freezer lasts %v, solid at the latest after %v", w.Legs[0].For, got)
	}
	for i, m := range w.Ends {
		if end := w.Starts[i] + w.Legs[i].For; m.Time != end {
			t.Errorf("leg %d ends at %v, its last moment is at %v", i, end, m.Time)
		}
	}
	if m := w.Ends[2]; m.Core < -20 || m.Warmest > 4.01 {
		t.Errorf("after the refrigerator: core %v, warmest %v", m.Core, m.Warmest)
	}
}

// A leg cut in two is the same leg, and one leg of a refrigerator thaws as Thaw says.
func TestWayIsTheSumOfItsLegs(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(160*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(-18, -18))
	limits := chill.UsualLimits(-20, 0, 12)
	one := follow(t, b, limits, leg(heat.Refrigerator, 4, 16*time.Hour, true))
	two := follow(t, b, limits, leg(heat.Refrigerator, 4, 5*time.Hour, true), leg(heat.Refrigerator, 4, 11*time.Hour, false))
	if a, b := one.Ends[0].Core, two.Ends[1].Core; math.Abs(float64(a-b)) > 0.05 {
		t.Errorf("core %v in one leg, %v in two", a, b)
	}
	thaw, err := b.Thaw(t.Context(), fridge, 0, chill.Planning)
	if err != nil || math.Abs(float64(thaw.Time)/float64(one.Passes[2].Time)-1) > 0.005 {
		t.Errorf("thawed after %v by Thaw, %v on the way (%v)", thaw.Time, one.Passes[2].Time, err)
	}
}

// Taken out of its silicone after two hours the rest freezes sooner, and not before that.
func TestWayUnmouldsPartWay(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(160*mm, 45*mm)
	m := solid(t, s, err)
	m.Material, m.Wall = "silicone", 10*mm
	b, err := chill.NewBody(chill.Plain(creamy(), m, 45*mm), chill.At(18, -18))
	if err != nil {
		t.Fatal(err)
	}
	limits := chill.UsualLimits(-25, 0, 12)
	freezer := func(d time.Duration, off bool) chill.Leg { return leg(heat.FanFreezer, -25, d, off) }
	in := follow(t, b, limits, freezer(2*time.Hour, false), freezer(10*time.Hour, false))
	off := follow(t, b, limits, freezer(2*time.Hour, false), freezer(10*time.Hour, true))
	bare := follow(t, b, limits, freezer(12*time.Hour, true))
	if !(bare.Passes[0].Time < off.Passes[0].Time && off.Passes[0].Time < in.Passes[0].Time) {
		t.Errorf("solid bare %v, unmoulded part-way %v, in its mould %v", bare.Passes[0].Time, off.Passes[0].Time, in.Passes[0].Time)
	}
	if a, b := in.Ends[0].Core, off.Ends[0].Core; a != b {
		t.Errorf("before it is unmoulded the core is %v, in its mould %v", b, a)
	}
}

func TestWayRefuses(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(160*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(18, -18))
	for name, legs := range map[string][]chill.Leg{
		"none": nil, "no end": {leg(heat.FanFreezer, -20, time.Hour, false), leg(heat.Room, 20, 0, true)},
		"a warm first leg without a time": {leg(heat.Refrigerator, 4, 0, false)},
		"too long":                        {leg(heat.FanFreezer, -20, 300*time.Hour, false), leg(heat.Room, 20, 300*time.Hour, true)},
		"backwards":                       {leg(heat.FanFreezer, -20, -time.Hour, false)},
		"no such air":                     {leg(heat.FanFreezer, -300, time.Hour, false)},
		"not a number":                    {leg(heat.FanFreezer, unit.Temperature(math.NaN()), time.Hour, false)},
	} {
		if w, err := b.Follow(t.Context(), legs, nil, chill.Planning); err == nil {
			t.Errorf("%s: %v", name, w.Ends)
		}
	}
}

func BenchmarkWay(b *testing.B) {
	s, err := mould.Ring(200*mm, 45*mm)
	body := bodyOf(b, s, err, chill.At(18, -18))
	legs := []chill.Leg{leg(heat.StillFreezer, -20, 0, false), leg(heat.Refrigerator, 4, 16*time.Hour, true), leg(heat.Van, 5, time.Hour, false), leg(heat.Counter, 23, 2*time.Hour, false)}
	limits := chill.UsualLimits(-20, 2, 12)
	for b.Loop() {
		if _, err := body.Follow(b.Context(), legs, limits, chill.Planning); err != nil {
			b.Fatal(err)
		}
	}
}
