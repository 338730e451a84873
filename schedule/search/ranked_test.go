package search

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

// kinds are the features of problems to plan, each alone and together.
var kinds = map[string]oracle.Features{
	"plain":             {},
	"steps":             {Steps: true},
	"modes":             {Modes: true},
	"budgets":           {Modes: true, Budgets: true},
	"bounds":            {Bounds: true},
	"lags":              {Lags: true},
	"lags and modes":    {Lags: true, Modes: true, Budgets: true, Bounds: true, Steps: true},
	"pauses":            {Pauses: true},
	"working time":      {Lags: true, Working: true},
	"machines":          {Machines: true},
	"one run at a time": {Machines: true, NoOverlap: true},
	"goals":             {Goals: true},
	"all":               oracle.All,
}

// TestAgainstAllPlans compares with the oracle: plans are right, proofs are right, bounds hold,
// a little work finds a plan nearly always, and more of it the best one.
func TestAgainstAllPlans(t *testing.T) {
	t.Parallel()
	for name, features := range kinds {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			feasible, found, best, proved := 0, 0, 0, 0
			for seed := range uint64(problems) {
				p := oracle.Random(seed, features)
				value, _, ok := oracle.Optimum(p)
				plan, first := First(t.Context(), p, seed)
				if first {
					right(t, p, plan)
				}
				res := Improve(t.Context(), p, Options{Seed: seed, Work: 300, Report: func(plan project.Plan) { right(t, p, plan) }})
				if !ok {
					if first || res.Plan.Start != nil {
						t.Fatalf("problem %d has no plan, but one was made: %+v", seed, p)
					}
					continue
				}
				feasible++
				if res.Infeasible {
					t.Fatalf("problem %d is called infeasible, but %v is possible: %+v", seed, value, p)
				}
				if first {
					found++
				}
				for k, b := range Bounds(p) {
					// A goal may be less in another plan, but the first is not.
					if k == 0 && b > value[0] {
						t.Fatalf("problem %d: bound %d of goal 0, optimum %d: %+v", seed, b, value[0], p)
					}
				}
				if low := Lower(p); res.Plan.Start != nil && low > res.Plan.Makespan {
					t.Fatalf("problem %d: no plan should be under %d, one is %d: %+v", seed, low, res.Plan.Makespan, p)
				}
				if res.Plan.Start == nil {
					continue
				}
				right(t, p, res.Plan)
				if slices.Equal(res.Value, value) {
					best++
				}
				if res.met(p) {
					proved++
				}
			}
			t.Logf("%d feasible, %d found at once, %d optimal, %d of them proved", feasible, found, best, proved)
			few := max(1, feasible/100) // one in a hundred, or one where there are fewer
			if feasible < problems/4 || found < feasible-few || best < feasible-few {
				t.Errorf("of %d feasible problems %d have a plan and %d the best one", feasible, found, best)
			}
		})
	}
}

// right fails the test if the plan breaks a rule, by both checkers.
func right(t *testing.T, p *project.Problem, plan project.Plan) {
	t.Helper()
	if bad := oracle.Broken(p, plan); bad != "" {
		t.Fatalf("%s in %+v of %+v", bad, plan, p)
	}
	if err := project.Check(p, plan); err != nil {
		t.Fatalf("%v in %+v of %+v", err, plan, p)
	}
}

// TestTally follows the value through attempts that succeed and fail, and the room back to empty.
func TestTally(t *testing.T) {
	t.Parallel()
	compared := 0
	for seed := range uint64(300) {
		p := oracle.Random(seed, oracle.All)
		r := newRanked(newNet(p, nil), newRandom(seed), func() bool { return false })
		for range 6 {
			r.try()
			if r.b.placed < r.x.n {
				continue
			}
			compared++
			if plan := r.b.plan(); !reflect.DeepEqual(r.b.value, oracle.Value(p, plan)) {
				t.Fatalf("problem %d: value %v, want %v: %+v of %+v", seed, r.b.value, oracle.Value(p, plan), plan, p)
			}
		}
		for i, in := range r.b.in {
			if in {
				r.b.out(int32(i))
			}
		}
		if got, want := fmt.Sprint(r.b.room), fmt.Sprint(r.x.empty); got != want {
			t.Fatalf("problem %d: room %s, empty %s", seed, got, want)
		}
		if slices.ContainsFunc(r.b.value, func(v int64) bool { return v != 0 }) {
			t.Fatalf("problem %d: value %v of nothing", seed, r.b.value)
		}
	}
	if compared < 800 {
		t.Errorf("only %d values were compared", compared)
	}
}
