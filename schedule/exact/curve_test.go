package exact

import (
	"math/rand/v2"
	"testing"

	"chablon/schedule/project"
)

// someCalendar makes a random calendar up to a horizon.
func someCalendar(rng *rand.Rand, horizon int32) *project.Calendar {
	var open []project.Span
	for t := rng.Int32N(9); t < horizon; t += 1 + rng.Int32N(9) {
		open = append(open, project.Span{From: t, To: t + 1 + rng.Int32N(9)})
		t = open[len(open)-1].To
	}
	c := project.NewCalendar(open...)
	return &c
}

// TestCurves holds each curve against its definition: it never falls, and least is its inverse.
func TestCurves(t *testing.T) {
	t.Parallel()
	const horizon = 70
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 5))
		c := someCalendar(rng, horizon)
		work := working{c, rng.Int32N(30)}
		for _, curve := range []curve{work, opening{c}, inverse{work}, inverse{inverse{work}}} {
			for at := int32(1); at < horizon; at++ {
				if curve.f(at) < curve.f(at-1) {
					t.Fatalf("seed %d: %T falls at %d", seed, curve, at)
				}
				for h := int32(1); h < horizon; h++ {
					if (curve.f(at) >= h) != (at >= curve.least(h)) {
						t.Fatalf("seed %d: %T: f(%d) = %d, but %d is reached from %d on", seed, curve, at, curve.f(at), h, curve.least(h))
					}
				}
			}
		}
		for s := range int32(horizon) {
			if end, ok := c.End(s, work.work); ok && work.work > 0 && (end != work.f(s) || opening.f(opening{c}, s) != s) {
				t.Fatalf("seed %d: work of %d from %d ends at %d, not at %d", seed, work.work, s, end, work.f(s))
			}
		}
	}
}

// TestPrices counts ticks outside of hours one by one, and looks for cheap starts one by one.
func TestPrices(t *testing.T) {
	t.Parallel()
	const horizon = 70
	for seed := range uint64(120) {
		rng := rand.New(rand.NewPCG(seed, 6))
		hours, calendar := someCalendar(rng, horizon), someCalendar(rng, horizon)
		p := &project.Problem{
			Horizon: horizon, Calendars: []project.Calendar{*hours, *calendar},
			Renewable: []project.Renewable{{Capacity: 1, Held: seed%2 == 0}},
		}
		mode := project.Mode{Duration: 1 + rng.Int32N(20), Demand: []int32{1}, Calendar: 2 * rng.Int32N(2)}
		p.Activities = []project.Activity{{Latest: horizon, Modes: []project.Mode{mode}}}
		of := (&engine{p: p}).outside(project.Use{Calendar: 1, Weight: 1}, &mode)
		for s := range int32(horizon + 1) {
			end, ok := p.End(0, 0, s)
			if !ok || end > horizon {
				continue
			}
			want := int32(0)
			for at := s; at < end; at++ {
				if !hours.Opens(at) && (mode.Calendar == 0 || p.Renewable[0].Held || calendar.Opens(at)) {
					want++
				}
			}
			if of.at(s) != want {
				t.Fatalf("seed %d: from %d to %d costs %d, want %d", seed, s, end, of.at(s), want)
			}
		}
		a, v := rng.Int32N(horizon), rng.Int32N(8)
		b := a + rng.Int32N(horizon-a)
		next, previous, low, high := a, a, of.at(a), of.at(a)
		for next <= b && of.at(next) > v {
			next++
		}
		for previous >= 0 && of.at(previous) > v {
			previous--
		}
		for s := a; s <= b; s++ {
			low, high = min(low, of.at(s)), max(high, of.at(s))
		}
		gotLow, gotHigh := of.span(a, b)
		if of.next(a, b, v) != next || of.previous(a, v) != previous || gotLow != low || gotHigh != high {
			t.Fatalf("seed %d: next %d, previous %d, span %d %d from %d to %d; want %d, %d, %d %d",
				seed, of.next(a, b, v), of.previous(a, v), gotLow, gotHigh, a, b, next, previous, low, high)
		}
	}
}
