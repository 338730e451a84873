package exact

import (
	"math/rand/v2"
	"testing"

	"chablon/schedule/project"
)

// TestEdges narrows random starts and looks at what edge-finding alone makes of them, with pauses
// and without.
func TestEdges(t *testing.T) {
	t.Parallel()
	pushes, overloads := 0, 0
	for seed := range uint64(300 / share) {
		rng := rand.New(rand.NewPCG(seed, 12))
		p := &project.Problem{Horizon: 8 + rng.Int32N(4), Renewable: []project.Renewable{{Capacity: 2 + rng.Int32N(3)}}}
		if rng.IntN(3) == 0 {
			p.Renewable[0].Steps = []project.Step{{Capacity: p.Renewable[0].Capacity}, {From: 4, Capacity: 1}, {From: 6, Capacity: p.Renewable[0].Capacity}}
		}
		p.Calendars = []project.Calendar{*someCalendar(rng, p.Horizon)}
		pauses := rng.IntN(2) == 0
		for range 4 {
			m := project.Mode{Duration: 1 + rng.Int32N(4), Demand: []int32{1 + rng.Int32N(p.Renewable[0].Capacity)}}
			if pauses && rng.IntN(4) > 0 {
				m.Calendar = 1
			}
			p.Activities = append(p.Activities, project.Activity{Latest: p.Horizon, Modes: []project.Mode{m}})
		}
		s, open := prepare(t.Context(), p, Options{})
		if !open || len(s.resources) == 0 {
			continue
		}
		var plans [][]int32
		everyPlan(p, func(plan project.Plan) {
			plans = append(plans, values(s.engine, p, plan, int64(plan.Makespan)))
		})
		audit(t, s.engine, plans, func(reason) {})
		for range 60 {
			s.backTo(0)
			for _, a := range s.acts {
				low, high := s.engine.lower(a.start.x), s.engine.upper(a.start.x)
				from := low + rng.Int32N(high-low+1)
				s.decide(atLeast(a.start.x, from))
				s.decide(atMost(a.start.x, from+rng.Int32N(high-from+1)))
			}
			before := len(s.trail)
			ok := s.edges(0)
			for k := len(s.trail) - 1; k >= before; k-- {
				entry := s.trail[k]
				s.pop()
				s.because = s.because[:0]
				s.explain(lit{entry.col, entry.val}, entry.reason, int32(k))
				s.explain(lit{entry.col, entry.old + 1}, entry.reason, int32(k)) // less is explained too
				pushes++
			}
			if !ok && s.clash.head == nowhere {
				s.because = s.because[:0]
				s.explain(nowhere, s.clash.why, int32(before))
				overloads++
			}
		}
	}
	if pushes < 1500/share || overloads < 1500/share {
		t.Errorf("only %d later starts and %d overloads were looked at", pushes, overloads)
	}
}
