package exact

import (
	"context"
	"sync"
	"testing"

	"chablon/schedule/project"
)

// solveSides runs one Solve, or one from each side that share what they find.
func solveSides(ctx context.Context, t *testing.T, p *project.Problem, o Options, both bool) Result {
	t.Helper()
	if !both {
		res, err := Solve(ctx, p, o)
		if err != nil {
			t.Fatal(err)
		}
		return res
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var mu sync.Mutex // guards best and lower
	var best project.Plan
	lower := int32(0)
	o.Report = func(plan project.Plan) {
		mu.Lock()
		defer mu.Unlock()
		if best.Start == nil || plan.Makespan < best.Makespan {
			best = plan
		}
	}
	o.Bound = func(l int32) {
		mu.Lock()
		defer mu.Unlock()
		lower = max(lower, l)
	}
	o.Poll = func() (int32, int32, bool) {
		mu.Lock()
		defer mu.Unlock()
		return best.Makespan, lower, false
	}
	var results [2]Result
	var wg sync.WaitGroup
	for k, side := range [2]Strategy{TopDown, BottomUp} {
		mine := o
		mine.Strategy = side
		wg.Go(func() {
			var err error
			if results[k], err = Solve(ctx, p, mine); err != nil {
				t.Error(err)
			}
			if !results[k].Stopped {
				cancel()
			}
		})
	}
	wg.Wait()
	res := results[0]
	if res.Stopped {
		res = results[1]
	}
	res.Lower = max(results[0].Lower, results[1].Lower)
	res.Conflicts = results[0].Conflicts + results[1].Conflicts
	if best.Start != nil {
		res.Plan = best
		if res.Status == Exhausted || res.Lower >= best.Makespan {
			res.Status = Optimal
		}
	}
	return res
}
