package search

import (
	"context"
	"slices"
	"testing"

	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

// TestRanked: of thousands of random problems no plan is wrong, none is missed that there is, and
// few are not the best.
func TestRanked(t *testing.T) {
	t.Parallel()
	for name, features := range map[string]oracle.Features{
		"pauses":   {Lags: true, Bounds: true, Steps: true, Pauses: true},
		"working":  {Lags: true, Bounds: true, Working: true},
		"machines": {Lags: true, Bounds: true, Machines: true, Modes: true},
		"goals":    {Lags: true, Bounds: true, Goals: true, Modes: true, Budgets: true},
		"all":      oracle.All,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			feasible, found, best := 0, 0, 0
			for seed := range uint64(500) {
				p := oracle.Random(seed, features)
				want, _, ok := oracle.Optimum(p)
				res := Improve(context.Background(), p, Options{Seed: seed, Work: 400})
				switch {
				case res.Infeasible && ok:
					t.Fatalf("problem %d: %+v has a plan, the search says none", seed, p)
				case ok:
					feasible++
				}
				if res.Plan.Start == nil {
					continue
				}
				found++
				if text := oracle.Broken(p, res.Plan); text != "" {
					t.Fatalf("problem %d: %s broken by %+v of %+v", seed, text, res.Plan, p)
				}
				if slices.Equal(p.Value(res.Plan), want) {
					best++
				}
				if int64(res.Lower) > want[0] && len(p.Goals) == 0 {
					t.Fatalf("problem %d: bound %d, optimum %d", seed, res.Lower, want)
				}
			}
			t.Logf("%d of %d found, %d of them the best", found, feasible, best)
			if found < feasible*99/100 || best < found*95/100 {
				t.Errorf("of %d problems with a plan %d were found, %d of them the best", feasible, found, best)
			}
		})
	}
}

// TestTurned: a plan of a problem, turned, keeps the turned problem, and the other way.
func TestTurned(t *testing.T) {
	t.Parallel()
	kept := 0
	for seed := range uint64(500) {
		p := oracle.Random(seed, oracle.All)
		plan, ok := oracle.First(p)
		if !ok {
			continue
		}
		back, ends := turned(p)
		turn := project.Plan{Start: make([]int32, len(plan.Start)), Mode: plan.Mode}
		for i, s := range plan.Start {
			end, _ := p.End(int32(i), plan.Mode[i], s)
			turn.Start[i] = p.Horizon - end
			turn.Makespan = max(turn.Makespan, p.Horizon-s)
			if e := p.Horizon - s; e < ends[i].lo || e > ends[i].hi {
				t.Fatalf("problem %d: end %d outside of %+v", seed, e, ends[i])
			}
		}
		if err := project.Check(back, turn); err != nil {
			t.Fatalf("problem %d: %v", seed, err)
		}
		kept++
	}
	if kept < 200 {
		t.Errorf("only %d plans were turned", kept)
	}
}
