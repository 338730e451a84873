package schedule

import (
	"context"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// use1 is a mode that takes one of r for d ticks.
func use1(r ResourceID, d int) Mode {
	return Mode{Duration: d, Demands: []Demand{{Resource: r, Amount: 1}}}
}

// TestHandMade holds plans worked out by hand; each says how.
func TestHandMade(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		build  func(m *Model)
		early  bool
		starts []int
		modes  []int // nil: all 0
	}{
		{
			// Assembly must end at 240. Folding fits right before (215), whipping before that
			// (207). The sponge must have left the oven 30 before 220, so it bakes at 178, and
			// the mix is ready exactly then.
			name: "kitchen morning",
			build: func(m *Model) {
				cook, oven := m.Resource("cook", 1), m.Resource("oven", 1)
				mix, bake := m.Activity("mix", use1(cook, 10)), m.Activity("bake", use1(oven, 12))
				whip, fold := m.Activity("whip", use1(cook, 8)), m.Activity("fold", use1(cook, 5))
				assemble := m.Activity("assemble", use1(cook, 20))
				m.AtLeast(End(mix), Start(bake), 0, "bake what is mixed")
				m.AtMost(End(mix), Start(bake), 5, "batter falls")
				m.AtLeast(End(bake), Start(assemble), 30, "cool")
				m.AtLeast(End(whip), Start(fold), 0, "fold what is whipped")
				m.AtMost(End(whip), Start(fold), 4, "foam falls")
				m.AtLeast(End(fold), Start(assemble), 0, "assemble what is folded")
				m.Due(assemble, 240)
			},
			starts: []int{168, 178, 207, 215, 220},
		},
		{
			// b alone would fit at 62, after the break from 50 to 60. Then a would have to end
			// between 60 and 62 and so run in the break. Both go before the break: b at 40.
			name: "maximum lag across a break",
			build: func(m *Model) {
				cook := m.Resource("cook", 1)
				m.Calendar(cook, []Span{{0, 50, 1}, {60, 100, 1}})
				a, b := m.Activity("a", use1(cook, 10)), m.Activity("b", use1(cook, 10))
				m.AtLeast(End(a), Start(b), 0, "")
				m.AtMost(End(a), Start(b), 2, "")
				m.Due(b, 72)
			},
			starts: []int{30, 40},
		},
		{
			// The same with a fixed task in place of the break: here only moving b again, after
			// a has found no place, leads to the plan.
			name: "maximum lag across a fixed task",
			build: func(m *Model) {
				cook := m.Resource("cook", 1)
				a, b := m.Activity("a", use1(cook, 10)), m.Activity("b", use1(cook, 10))
				m.AtLeast(End(a), Start(b), 0, "")
				m.AtMost(End(a), Start(b), 2, "")
				m.Due(b, 72)
				m.Fix(m.Activity("deliveries", use1(cook, 10)), 50)
			},
			starts: []int{30, 40, 50},
		},
		{
			// Open 0 to 60 and 120 to 180: 30 ticks due at 130 fit only before the closing.
			name: "inside a shift",
			build: func(m *Model) {
				cook := m.Resource("cook", 0)
				m.Calendar(cook, []Span{{120, 180, 1}, {0, 60, 1}})
				m.Due(m.Activity("roll", use1(cook, 30)), 130)
			},
			starts: []int{30},
		},
		{
			// Bands 180-190 and 200-210 have nothing in common: one after the other though the
			// oven has room for two. The first in the list is placed first, so latest.
			name: "oven settings apart",
			build: func(m *Model) {
				oven := m.Resource("oven", 2)
				m.Due(m.Activity("sponge", Mode{Duration: 20, Demands: []Demand{{oven, 1, Between(180, 190)}}}), 100)
				m.Due(m.Activity("puff", Mode{Duration: 20, Demands: []Demand{{oven, 1, Between(200, 210)}}}), 100)
			},
			starts: []int{80, 60},
		},
		{
			// The puff is fixed from 50 to 60; the sponge fits between its end and 80 exactly.
			name: "settings change at once",
			build: func(m *Model) {
				oven := m.Resource("oven", 2)
				m.Due(m.Activity("sponge", Mode{Duration: 20, Demands: []Demand{{oven, 1, Between(180, 190)}}}), 80)
				m.Fix(m.Activity("puff", Mode{Duration: 10, Demands: []Demand{{oven, 1, Between(200, 210)}}}), 50)
			},
			starts: []int{60, 50},
		},
		{
			// The end may not come before 20. The short mode then starts at 15, the long one at
			// 10; both end at 20, so the first listed is taken.
			name: "end held back", early: true,
			build: func(m *Model) {
				open := m.Activity("open", Mode{})
				a := m.Activity("a", Mode{Name: "short", Duration: 5}, Mode{Name: "long", Duration: 10})
				m.AtLeast(Start(open), End(a), 20, "")
			},
			starts: []int{0, 15},
		},
		{
			// 190 to 200 suits both: together.
			name: "oven settings shared",
			build: func(m *Model) {
				oven := m.Resource("oven", 2)
				m.Due(m.Activity("sponge", Mode{Duration: 20, Demands: []Demand{{oven, 1, Between(180, 200)}}}), 100)
				m.Due(m.Activity("puff", Mode{Duration: 20, Demands: []Demand{{oven, 1, Between(190, 210)}}}), 100)
			},
			starts: []int{80, 80},
		},
		{
			// The machine (10) starts later than the hand (30) for the first batch: 90. For the
			// second the machine before it (80) still beats the hand (70).
			name: "mode of latest start",
			build: func(m *Model) {
				cook, mixer := m.Resource("cook", 2), m.Resource("mixer", 1)
				for _, name := range []string{"first", "second"} {
					hand, machine := use1(cook, 30), use1(mixer, 10)
					m.Due(m.Activity(name, hand, machine), 100)
				}
			},
			starts: []int{90, 80}, modes: []int{1, 1},
		},
		{
			// A moment without duration takes nothing, even of a resource that is full.
			name: "zero duration",
			build: func(m *Model) {
				cook := m.Resource("cook", 1)
				long, serve := m.Activity("work", use1(cook, 240)), m.Activity("serve", use1(cook, 0))
				m.Fix(long, 0)
				m.Fix(serve, 100)
			},
			starts: []int{0, 100},
		},
		{
			// Start to start in both directions keeps the two 5 apart; due 50 for the later one.
			name: "fixed distance",
			build: func(m *Model) {
				a, b := m.Activity("a", Mode{Duration: 10}), m.Activity("b", Mode{Duration: 10})
				m.AtLeast(Start(a), Start(b), 5, "")
				m.AtMost(Start(a), Start(b), 5, "")
				m.Due(b, 50)
			},
			starts: []int{35, 40},
		},
		{
			// Forward: released at 7, each after the other on one cook.
			name: "early", early: true,
			build: func(m *Model) {
				cook := m.Resource("cook", 1)
				a, b := m.Activity("a", use1(cook, 10)), m.Activity("b", use1(cook, 10))
				m.Release(a, 7)
				m.AtLeast(End(a), Start(b), 3, "")
			},
			starts: []int{7, 20},
		},
		{name: "nothing to do", build: func(*Model) {}, starts: []int{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			m := NewModel(240)
			tt.build(m)
			res, err := Solve(t.Context(), m, Options{Early: tt.early})
			if err != nil || res.Status != Feasible {
				t.Fatalf("got %v, %v, %q", res.Status, err, res.Conflict)
			}
			if tt.modes == nil {
				tt.modes = make([]int, len(tt.starts))
			}
			if d := cmp.Diff(tt.starts, res.Starts) + cmp.Diff(tt.modes, res.Modes); d != "" {
				t.Error(d)
			}
			if bad := naive(m, res.Starts, res.Modes); bad != "" {
				t.Errorf("breaks %s", bad)
			}
		})
	}
}

// countdown is a context that is cancelled after it has been asked so often.
type countdown struct {
	context.Context
	left *int
}

func (c countdown) Err() error {
	if *c.left--; *c.left < 0 {
		return context.Canceled
	}
	return nil
}

func TestStop(t *testing.T) {
	t.Parallel()
	for _, asks := range []int{0, 3} {
		m := NewModel(8)
		oven := m.Resource("oven", 3)
		for i := range 3 { // no plan, no proof: see TestImpossible
			m.Activity(fmt.Sprint(i), Mode{Duration: 3, Demands: []Demand{{Resource: oven, Amount: 2}}})
		}
		left := asks
		res, err := Solve(countdown{t.Context(), &left}, m, Options{Work: 1 << 40})
		if err != nil || res.Status != Unknown || !res.Stopped || len(res.Conflict) == 0 || res.Work > 64*asks {
			t.Errorf("%d asks: got %+v, %v", asks, res, err)
		}
	}
}
