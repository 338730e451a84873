package heat

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/material"
	"chablon/unit"
)

// disc is a plain mousse of 160 by 45 mm at 10 degC on a coarse grid.
func disc(t testing.TB) *Field {
	return field(t, DiscGrid(equal(.08, 8), equal(.045, 9)), someFoods(t)[0], 10)
}

// What the surroundings cannot do is said at once or when everything has come to rest, and why.
func TestFieldNever(t *testing.T) {
	spirit := func() *material.Table {
		var c material.Composition
		for k, share := range map[material.Component]float64{
			material.Water: .4, material.Alcohol: .6, material.Protein: 0, material.Fat: 0, material.Carbohydrate: 0, material.Ash: 0,
		} {
			c.Set(k, share)
		}
		x, err := c.Thermal(0)
		if err != nil {
			t.Fatal(err)
		}
		table, err := x.Table()
		if err != nil {
			t.Fatal(err)
		}
		return table
	}()
	cold := Around(0, Boundary{Air: -18, Transfer: 14})
	onBench := cold // the board below never gets colder than 0
	onBench.Bottom = Boundary{Air: 0, Transfer: 200}
	drink := field(t, DiscGrid(equal(.03, 4), equal(.1, 6)), spirit, 20)
	for _, c := range []struct {
		name   string
		f      *Field
		s      Stage
		until  Criterion
		reason string
	}{
		{"air as cold as the target", disc(t), cold, CoreBelow(-18), "core never reaches -18 degC in surroundings of -18 degC: take colder"},
		{"air too warm to freeze", disc(t), Around(0, Boundary{Air: 4, Transfer: 14}), WarmestBelow(0), "take colder"},
		{"air too cold to thaw", disc(t), cold, ColdestAbove(20), "coldest point never reaches 20 degC in surroundings of -18 degC: take warmer"},
		{"more ice than there can be", disc(t), cold, Frozen(.99), "of the water is ice"},
		{"spirit does not freeze", drink, cold, Frozen(.01), "at -18 degC no more than 0 % of the water is ice"},
		{"comes to rest", disc(t), onBench, CoreBelow(-15), "comes to rest with core at"},
		{"insulated", disc(t), Around(0, Boundary{Air: -18}), CoreBelow(0), "comes to rest with core at 10 degC"},
	} {
		r := run(t, c.f, []Stage{c.s}, c.until, Options{})
		if r.Status != Never || !strings.Contains(r.Reason, c.reason) {
			t.Errorf("%s: %v after %v, %q, want %q", c.name, r.Status, r.Time, r.Reason, c.reason)
		}
	}
	r := run(t, drink, []Stage{cold}, CoreBelow(-15), Options{})
	if len(r.NoIce) != 1 || r.Status != Reached {
		t.Errorf("spirit: no ice in %v, %v: it gets cold without freezing", r.NoIce, r.Status)
	}
	if r := run(t, disc(t), []Stage{cold}, CoreBelow(-15), Options{}); r.NoIce != nil {
		t.Errorf("mousse: no ice in %v", r.NoIce)
	}
}

// A frozen insert chills what lies in it for a while, in a refrigerator that never would.
func TestFieldInsertChills(t *testing.T) {
	foods := someFoods(t)
	f, err := NewField(SlabGrid(equal(.05, 25)), foods, func(p Point) Cell {
		if p.Z > .02 && p.Z < .03 {
			return Cell{0, 4}
		}
		return Cell{2, -18}
	})
	if err != nil {
		t.Fatal(err)
	}
	fridge := []Stage{Around(0, Boundary{Air: 4, Transfer: 8})}
	if r := run(t, f, fridge, CoreBelow(-2), Options{}); r.Status != Reached || r.Time > time.Hour {
		t.Errorf("%v after %v: %s", r.Status, r.Time, r.Reason)
	}
	if r := run(t, f, fridge, CoreBelow(-17), Options{}); r.Status != Never || !strings.Contains(r.Reason, "comes to rest") {
		t.Errorf("%v after %v: %s", r.Status, r.Time, r.Reason)
	}
}

// In the same surroundings on all faces a piece reaches every temperature short of theirs and none
// beyond, freezing or thawing, whatever it is made of.
func TestFieldReachesWhatItCan(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		x := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		water := x("water", 0, 1)
		sugar := (1 - water) * x("sugar", 0, 1)
		table, err := food(t, water, 0, 1-water-sugar, sugar, sugar, 0, x("air", 0, .95)).Table()
		if err != nil {
			r.Fatal(err)
		}
		thick := x("thick", .005, .08)
		g := SlabGrid(equal(thick, 12))
		if rapid.Bool().Draw(r, "disc") {
			g = DiscGrid(equal(x("radius", .01, .1), 5), equal(thick, 8))
		}
		start, air, target := x("start", -30, 80), x("surroundings", -30, 80), x("target", -30, 80)
		f, err := NewField(g, []*material.Table{table}, func(Point) Cell { return Cell{0, unit.Celsius(start)} })
		if err != nil {
			r.Fatal(err)
		}
		until := CoreBelow(unit.Celsius(target))
		already, can := start <= target, air < target
		if start < air {
			until, already, can = CoreAbove(unit.Celsius(target)), start >= target, air > target
		}
		if !already && math.Abs(air-target) < 0.2 || math.Abs(start-target) < 1e-3 {
			return // too near to be reached in a sensible time, or to be told from it
		}
		got, err := f.Run(t.Context(), []Stage{Around(0, Boundary{Air: unit.Celsius(air), Transfer: unit.HeatTransfer(x("h", 5, 1000))})}, until, Options{Limit: 20_000 * time.Hour})
		want := Never
		if already || can {
			want = Reached
		}
		if err != nil || got.Status != want || already && got.Time != 0 {
			r.Fatalf("%v after %v (%s, %v), want %v", got.Status, got.Time, got.Reason, err, want)
		}
	})
}

// A slab of water stands at 0 degC for hours while it freezes, which is no rest: 50 mm, both faces at 8, air
// of -20. By hand after Plank (1913): 917 kg/m3, 333.6 kJ/kg, from 0 to -20 degC,
// t = L/20 (d/(2 h) + d^2/(8 k)) = 15.30e6 (0.003125 + 0.00014) = 49 950 s; the cooling before and the ice
// after that make it 10 to 30 % more.
func TestFieldWaterIsNotAtRest(t *testing.T) {
	water, err := food(t, 1, 0, 0, 0, 0, 0, 0).Table()
	if err != nil {
		t.Fatal(err)
	}
	f := field(t, SlabGrid(equal(.05, 40)), water, 20)
	r := run(t, f, []Stage{Around(0, Boundary{Air: -20, Transfer: 8})}, Frozen(.999), Options{})
	if ratio := r.Time.Seconds() / 49950; r.Status != Reached || ratio < 1.1 || ratio > 1.3 {
		t.Errorf("%v after %v, %g times Plank, %s", r.Status, r.Time, ratio, r.Reason)
	}
}

// Stronger surroundings are quicker; a mould slows freezing, and taking it off on the way puts the
// time in between. A coefficient of 1e5 is the surface put to the temperature of the air.
func TestFieldStages(t *testing.T) {
	silicone := []Cover{{3 * unit.Millimetre, .2}}
	in := Boundary{Air: -30, Transfer: 30, Covers: silicone}
	out := Boundary{Air: -30, Transfer: 30}
	moulded, bare := Around(0, in), Around(0, out)
	later := Around(30*time.Minute, out)
	moulded.Top = out
	times := []time.Duration{}
	for _, stages := range [][]Stage{{Around(0, Boundary{Air: -30, Transfer: 1e5})}, {bare}, {moulded, later}, {moulded}} {
		r := run(t, disc(t), stages, CoreBelow(-18), Options{})
		if r.Status != Reached {
			t.Fatalf("%v: %s", r.Status, r.Reason)
		}
		times = append(times, r.Time)
	}
	for i := 1; i < len(times); i++ {
		if times[i] <= times[i-1] {
			t.Errorf("times %v do not rise", times)
		}
	}
	if got, want := in.Overall(), unit.HeatTransfer(1/(1/30.0+.003/.2)); math.Abs(float64(got-want)) > 1e-9 {
		t.Errorf("overall %g, want %g", float64(got), float64(want))
	}
}

// Freezer, then refrigerator, then room in one run is the same as three runs, each taking up the state
// that the one before left; thawing has its own end.
func TestFieldResumes(t *testing.T) {
	freezer, fridge, room := Boundary{Air: -20, Transfer: 8}, Boundary{Air: 4, Transfer: 8}, Boundary{Air: 20, Transfer: 9}
	whole := run(t, disc(t), []Stage{Around(0, freezer), Around(6*time.Hour, fridge), Around(10*time.Hour, room)}, Criterion{}, Options{Limit: 11 * time.Hour})
	f, err := disc(t), error(nil)
	var part Run
	for _, s := range []struct {
		b    Boundary
		long time.Duration
	}{{freezer, 6 * time.Hour}, {fridge, 4 * time.Hour}, {room, time.Hour}} {
		part = run(t, f, []Stage{Around(0, s.b)}, Criterion{}, Options{Limit: s.long})
		if f, err = f.Resume(part.Final); err != nil {
			t.Fatal(err)
		}
	}
	if a, b := whole.Last(), part.Last(); math.Abs(float64(a.Core-b.Core)) > 0.05 || math.Abs(a.FrozenShare-b.FrozenShare) > 0.005 {
		t.Errorf("one run %+v, three %+v", a, b)
	}
	if _, err := f.Resume(State{}); err == nil {
		t.Error("an empty state is taken")
	}
	thawed := run(t, f, []Stage{Around(0, fridge)}, ColdestAbove(0), Options{})
	if thawed.Status != Reached || math.Abs(float64(thawed.Last().Coldest)) > 0.002 {
		t.Errorf("%v at %g", thawed.Status, float64(thawed.Last().Coldest))
	}
}

// Maps come at the times asked, hold the temperatures of the cells and close round the surface first.
func TestFieldMaps(t *testing.T) {
	r := run(t, disc(t), []Stage{Around(0, Boundary{Air: -20, Transfer: 8})}, Criterion{}, Options{
		Limit: 2 * time.Hour, Maps: []time.Duration{0, 40 * time.Minute, 2 * time.Hour},
	})
	if len(r.Maps) != 3 {
		t.Fatalf("%d maps", len(r.Maps))
	}
	for i, want := range []time.Duration{0, 40 * time.Minute, 2 * time.Hour} {
		m := r.Maps[i]
		if (m.Time-want).Abs() > time.Millisecond || len(m.X) != 9 || len(m.Z) != 10 {
			t.Errorf("map %d at %v of %d by %d edges", i, m.Time, len(m.X), len(m.Z))
		}
		inside, ok1 := m.At(0, 0, 4)
		corner, ok2 := m.At(7, 0, 0)
		if !ok1 || !ok2 || i == 0 && inside != corner || i > 0 && inside <= corner {
			t.Errorf("map %d: %g inside, %g in the corner", i, float64(inside), float64(corner))
		}
	}
	dome := field(t, cutBall(6), plain(t, 1, 1e6), 5)
	if _, in := dome.mapOf(0, dome.heat).At(5, 0, 0); in {
		t.Error("the corner of a ball's grid is in the ball")
	}
}

// The grid error that Solve states is at least a third of the difference to a run on a grid four times
// as fine as its finest, and within what was asked.
func TestSolveGridError(t *testing.T) {
	s := []Stage{Around(0, Boundary{Air: -25, Transfer: 20})}
	r, err := disc(t).Solve(t.Context(), s, CoreBelow(-18), Options{GridError: .01})
	if err != nil || !(r.GridError > 0 && r.GridError <= .01) {
		t.Fatalf("grid error %g, %v", r.GridError, err)
	}
	fine := run(t, disc(t).refined().refined().refined(), s, CoreBelow(-18), Options{})
	if off := math.Abs(r.Time.Seconds()/fine.Time.Seconds() - 1); off > 3*r.GridError+0.002 {
		t.Errorf("off by %g, stated %g", off, r.GridError)
	}
}

// The range of a run is that of the coefficient mostly: 15 to 45 % to the slow side, more than to the quick
// one, and it holds the runs at 8 % to either side.
func TestFieldEstimate(t *testing.T) {
	s := []Stage{Around(0, FanFreezer.Boundary())}
	e, r, err := disc(t).Estimate(t.Context(), s, CoreBelow(-15), Options{})
	up, down := e.High.Seconds()/e.Time.Seconds()-1, 1-e.Low.Seconds()/e.Time.Seconds()
	if err != nil || r.Status != Reached || e.Time != r.Time || up < .15 || up > .45 || down < .1 || down > up || len(e.Notes) == 0 {
		t.Errorf("%+v (%v, %v): -%.2f/+%.2f", e, r.Status, err, down, up)
	}
	for _, by := range []float64{.92, 1.08} {
		if r := run(t, disc(t), scaled(s, by), CoreBelow(-15), Options{}); r.Time < e.Low || r.Time > e.High {
			t.Errorf("%g times the coefficient: %v outside %v to %v", by, r.Time, e.Low, e.High)
		}
	}
	if s[0].Top.Transfer != FanFreezer.Default {
		t.Error("the stages were changed")
	}
	if e, r, err := disc(t).Estimate(t.Context(), s, CoreBelow(-30), Options{}); err != nil || r.Status != Never || e.Time != 0 {
		t.Errorf("never: %+v, %v, %v", e, r.Status, err)
	}
	// A board that keeps the bottom near 0 degC: weaker air never gets the core to where this one just does.
	board := Around(0, Boundary{Air: -18, Transfer: 14})
	board.Bottom = Boundary{Air: 0, Transfer: 1e4, Covers: []Cover{{20 * unit.Millimetre, .2}}}
	rest := run(t, disc(t), []Stage{board}, Criterion{}, Options{Limit: 60 * time.Hour}).Last().Core
	weak := run(t, disc(t), scaled([]Stage{board}, .7), Criterion{}, Options{Limit: 60 * time.Hour}).Last().Core
	e, _, err = disc(t).Estimate(t.Context(), []Stage{board}, CoreBelow((rest+weak)/2), Options{})
	if err != nil || weak < rest+0.5 || e.High != defaultLimit || !strings.Contains(e.Notes[0], "never") {
		t.Errorf("at rest at %g and %g: %+v, %v", float64(rest), float64(weak), e, err)
	}
}

func TestFieldRefuses(t *testing.T) {
	foods := someFoods(t)
	fill := func(Point) Cell { return Cell{0, 4} }
	slab := SlabGrid(equal(.04, 4))
	fine := []Stage{Around(0, Boundary{Air: -20, Transfer: 8})}
	with := func(change func(s *Stage)) []Stage {
		s := fine[0]
		change(&s)
		return []Stage{s}
	}
	nan := math.NaN()
	start := func(stages []Stage, until Criterion, o Options) func() error {
		return func() error { _, err := disc(t).Run(t.Context(), stages, until, o); return err }
	}
	for name, f := range map[string]func() error{
		"no edges":      func() error { _, err := NewField(SlabGrid(nil), foods, fill); return err },
		"falling edges": func() error { _, err := NewField(SlabGrid([]unit.Length{1, 0}), foods, fill); return err },
		"edge not number": func() error {
			_, err := NewField(SlabGrid([]unit.Length{0, unit.Length(nan)}), foods, fill)
			return err
		},
		"below the axis": func() error { _, err := NewField(DiscGrid(equal(-.1, 3), equal(1, 2)), foods, fill); return err },
		"too many cells": func() error {
			_, err := NewField(BoxGrid(equal(1, 100), equal(1, 100), equal(1, 100), true), foods, fill)
			return err
		},
		"no food":      func() error { _, err := NewField(slab, nil, fill); return err },
		"nil food":     func() error { _, err := NewField(slab, []*material.Table{nil}, fill); return err },
		"unknown food": func() error { _, err := NewField(slab, foods, func(Point) Cell { return Cell{9, 4} }); return err },
		"absurd start": func() error { _, err := NewField(slab, foods, func(Point) Cell { return Cell{0, 900} }); return err },
		"start not number": func() error {
			_, err := NewField(slab, foods, func(Point) Cell { return Cell{0, unit.Temperature(nan)} })
			return err
		},
		"outline not number": func() error {
			_, err := NewField(TurnedGrid(equal(1, 3), equal(1, 3), func(unit.Length) (unit.Length, unit.Length) { return 0, unit.Length(nan) }), foods, fill)
			return err
		},
		"empty outline": func() error {
			_, err := NewField(TurnedGrid(equal(1, 3), equal(1, 3), func(unit.Length) (unit.Length, unit.Length) { return 0, 0 }), foods, fill)
			return err
		},
		"no stage":           start(nil, CoreBelow(0), Options{}),
		"late first stage":   start([]Stage{Around(time.Hour, Boundary{})}, CoreBelow(0), Options{}),
		"absurd air":         start(with(func(s *Stage) { s.Top.Air = -300 }), CoreBelow(0), Options{}),
		"negative h":         start(with(func(s *Stage) { s.Side.Transfer = -1 }), CoreBelow(0), Options{}),
		"h not a number":     start(with(func(s *Stage) { s.Side.Transfer = unit.HeatTransfer(nan) }), CoreBelow(0), Options{}),
		"h too high":         start(with(func(s *Stage) { s.Side.Transfer = 2e5 }), CoreBelow(0), Options{}),
		"cover without k":    start(with(func(s *Stage) { s.Bottom.Covers = []Cover{{.01, 0}} }), CoreBelow(0), Options{}),
		"cover too thick":    start(with(func(s *Stage) { s.Bottom.Covers = []Cover{{2, 1}} }), CoreBelow(0), Options{}),
		"absurd criterion":   start(fine, CoreBelow(-300), Options{}),
		"share over 1":       start(fine, Frozen(1.2), Options{}),
		"negative limit":     start(fine, CoreBelow(0), Options{Limit: -1}),
		"absurd tolerance":   start(fine, CoreBelow(0), Options{Tolerance: 50}),
		"maps in disorder":   start(fine, CoreBelow(0), Options{Maps: []time.Duration{5, 4}}),
		"negative map":       start(fine, CoreBelow(0), Options{Maps: []time.Duration{-5}}),
		"no temperature":     start(with(func(s *Stage) { s.Top.Air = unit.Temperature(nan) }), CoreBelow(0), Options{}),
		"criterion no value": start(fine, CoreBelow(unit.Temperature(nan)), Options{}),
	} {
		var input *InputError
		if err := f(); !errors.As(err, &input) || input.Field == "" || input.Value == "" || input.Remedy == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	// The bore of a disc without one is not asked for.
	s := fine[0]
	s.Bore = Boundary{Air: 5000}
	if _, err := disc(t).Run(t.Context(), []Stage{s}, CoreBelow(-15), Options{}); err != nil {
		t.Error(err)
	}
}
