package search

import (
	"context"
	"fmt"
	"reflect"
	"runtime"
	"testing"
	"time"

	"chablon/schedule/project"
)

// naive says what is wrong with a plan, tick by tick, from the definitions in package project.
// It shares nothing with the engines nor with project.Check.
func naive(p *project.Problem, plan project.Plan) string {
	end := func(i int32) int32 {
		return plan.Start[i] + p.Activities[i].Modes[plan.Mode[i]].Duration
	}
	last := int32(0)
	used := make([]int, len(p.Budget))
	for i, a := range p.Activities {
		s, e := plan.Start[i], end(int32(i))
		last = max(last, e)
		if s < a.Earliest || s > a.Latest || s < 0 || e > p.Horizon {
			return fmt.Sprintf("activity %d runs from %d to %d", i, s, e)
		}
		for r, c := range a.Modes[plan.Mode[i]].Consume {
			used[r] += int(c)
		}
	}
	for r, b := range p.Budget {
		if used[r] > int(b) {
			return fmt.Sprintf("budget %d", r)
		}
	}
	for _, a := range p.Arcs {
		from, to := plan.Start[a.From], plan.Start[a.To]
		if a.FromEnd {
			from = end(a.From)
		}
		if a.ToEnd {
			to = end(a.To)
		}
		if to < from+a.Lag {
			return fmt.Sprintf("arc %+v", a)
		}
	}
	for r, res := range p.Renewable {
		for t := range last {
			capacity := res.Capacity
			for _, s := range res.Steps {
				if s.From <= t {
					capacity = s.Capacity
				}
			}
			sum := int32(0)
			for i, a := range p.Activities {
				if plan.Start[i] <= t && t < end(int32(i)) {
					sum += a.Modes[plan.Mode[i]].Demand[r]
				}
			}
			if sum > capacity {
				return fmt.Sprintf("resource %d at %d", r, t)
			}
		}
	}
	if last != plan.Makespan {
		return fmt.Sprintf("makespan %d, last end %d", plan.Makespan, last)
	}
	return ""
}

// optimum tries all starts and modes; -1 if there is no plan.
func optimum(p *project.Problem) int32 {
	n := len(p.Activities)
	plan := project.Plan{Start: make([]int32, n), Mode: make([]int32, n)}
	best := int32(-1)
	var place func(i int)
	place = func(i int) {
		if i == n {
			plan.Makespan = 0
			for j, t := range plan.Start {
				plan.Makespan = max(plan.Makespan, t+p.Activities[j].Modes[plan.Mode[j]].Duration)
			}
			if (best < 0 || plan.Makespan < best) && naive(p, plan) == "" {
				best = plan.Makespan
			}
			return
		}
		for k, m := range p.Activities[i].Modes {
			plan.Mode[i] = int32(k)
			for t := p.Activities[i].Earliest; t <= p.Activities[i].Latest && t+m.Duration <= p.Horizon; t++ {
				if best >= 0 && t+m.Duration >= best {
					break
				}
				plan.Start[i] = t
				place(i + 1)
			}
		}
	}
	place(0)
	return best
}

// shape says what a generated problem may have.
type shape struct{ lags, modes, steps, bounds bool }

// tiny makes a problem that optimum can solve.
func tiny(rng *random, s shape) *project.Problem {
	n := 2 + rng.below(3)
	p := &project.Problem{Horizon: 11}
	resources := 1 + rng.below(2)
	for range resources {
		r := project.Renewable{Capacity: int32(1 + rng.below(3))}
		if s.steps {
			r.Capacity = 0
			for t := int32(0); t < 9; t += int32(1 + rng.below(4)) {
				step := project.Step{From: t, Capacity: int32(rng.below(4))}
				r.Steps = append(r.Steps, step)
				r.Capacity = max(r.Capacity, step.Capacity)
			}
		}
		p.Renewable = append(p.Renewable, r)
	}
	modes := 1
	if s.modes {
		modes = 1 + rng.below(2)
		p.Budget = []int32{int32(rng.below(2 * n))}
	}
	for range n {
		a := project.Activity{Latest: p.Horizon}
		if s.bounds {
			a.Earliest = int32(rng.below(4))
			a.Latest = a.Earliest + int32(rng.below(8))
		}
		for range modes {
			m := project.Mode{Duration: int32(rng.below(4)), Demand: make([]int32, resources), Consume: make([]int32, len(p.Budget))}
			for r := range m.Demand {
				m.Demand[r] = int32(rng.below(3))
			}
			for r := range m.Consume {
				m.Consume[r] = int32(rng.below(3))
			}
			a.Modes = append(a.Modes, m)
		}
		p.Activities = append(p.Activities, a)
	}
	for range n {
		from, to := int32(rng.below(n)), int32(rng.below(n))
		if from > to {
			from, to = to, from
		}
		if from == to {
			continue
		}
		p.Arcs = append(p.Arcs, project.Arc{From: from, To: to, Lag: int32(rng.below(3)), FromEnd: rng.below(2) > 0, ToEnd: rng.below(4) == 0})
		if s.lags && rng.below(2) == 0 {
			p.Arcs = append(p.Arcs, project.Arc{From: to, To: from, Lag: -int32(rng.below(7)), ToEnd: rng.below(4) == 0})
		}
	}
	return p
}

// TestImproveAgainstAllPlans compares with the optimum by enumeration: plans are right, proofs
// are right, bounds hold, and the optimum is found in nearly all of these small problems.
func TestImproveAgainstAllPlans(t *testing.T) {
	t.Parallel()
	for name, s := range map[string]shape{
		"plain": {}, "steps": {steps: true}, "modes": {modes: true}, "lags": {lags: true}, "bounds": {bounds: true},
		"lags and modes": {lags: true, modes: true}, "all": {true, true, true, true},
	} {
		rng := newRandom(7)
		feasible, found, best := 0, 0, 0
		for k := range 100 {
			p := tiny(rng, s)
			want := optimum(p)
			res := Improve(context.Background(), p, Options{Seed: uint64(k), Work: 300})
			if want < 0 {
				if res.Plan.Start != nil {
					t.Fatalf("%s %d: plan %v of a problem without one: %s in %+v", name, k, res.Plan, naive(p, res.Plan), p)
				}
				continue
			}
			feasible++
			if res.Infeasible {
				t.Fatalf("%s %d: infeasible, but %d is possible: %+v", name, k, want, p)
			}
			if res.Lower > want {
				t.Fatalf("%s %d: bound %d, optimum %d: %+v", name, k, res.Lower, want, p)
			}
			if low := Lower(p); low > want {
				t.Fatalf("%s %d: Lower %d, optimum %d", name, k, low, want)
			}
			if res.Plan.Start == nil {
				continue
			}
			if bad := naive(p, res.Plan); bad != "" {
				t.Fatalf("%s %d: %s in %+v of %+v", name, k, bad, res.Plan, p)
			}
			if err := project.Check(p, res.Plan); err != nil {
				t.Fatalf("%s %d: %v", name, k, err)
			}
			found++
			if res.Plan.Makespan == want {
				best++
			}
		}
		t.Logf("%s: %d feasible, %d found, %d optimal", name, feasible, found, best)
		if feasible < 20 || found*100 < feasible*97 || best*100 < feasible*92 {
			t.Errorf("%s: of %d feasible problems %d have a plan and %d the best one", name, feasible, found, best)
		}
	}
}

// TestSameSeedSamePlan runs each method twice.
func TestSameSeedSamePlan(t *testing.T) {
	t.Parallel()
	week, err := Week(300, 3)
	if err != nil {
		t.Fatal(err)
	}
	for name, p := range map[string]*project.Problem{"week": week, "lags": chain(40, 1), "modes": tiny(newRandom(5), shape{modes: true})} {
		a := Improve(t.Context(), p, Options{Seed: 9, Work: 400})
		b := Improve(t.Context(), p, Options{Seed: 9, Work: 400})
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s: the same seed gave two results, %d and %d", name, a.Plan.Makespan, b.Plan.Makespan)
		}
	}
}

// chain makes small components with maximum lags that compete for resources, in a row.
func chain(n int, seed uint64) *project.Problem {
	rng := newRandom(seed)
	p := &project.Problem{Renewable: []project.Renewable{{Capacity: 4}, {Capacity: 3}}}
	for i := range int32(n) {
		d := int32(1 + rng.below(9))
		p.Horizon += d + 10
		p.Activities = append(p.Activities, project.Activity{Modes: []project.Mode{{
			Duration: d, Demand: []int32{int32(rng.below(4)), int32(rng.below(3))},
		}}})
		switch {
		case i%4 != 0:
			p.Arcs = append(p.Arcs, project.Arc{From: i - 1, To: i, FromEnd: true}, project.Arc{From: i, To: i - 1, Lag: -5, ToEnd: true})
		case i > 8:
			p.Arcs = append(p.Arcs, project.Arc{From: i - 8, To: i, FromEnd: true})
		}
	}
	for i := range p.Activities {
		p.Activities[i].Latest = p.Horizon
	}
	return p
}

// TestCancel ends searches of every size by their context; the rule is 10 ms, the test allows
// for a busy machine.
func TestCancel(t *testing.T) {
	before := runtime.NumGoroutine()
	large, err := Week(20_000, 1)
	if err != nil {
		t.Fatal(err)
	}
	for name, p := range map[string]*project.Problem{"week": large, "lags": chain(600, 1)} {
		ctx, cancel := context.WithCancel(t.Context())
		var stopped time.Time
		go func() {
			time.Sleep(300 * time.Millisecond)
			stopped = time.Now()
			cancel()
		}()
		Improve(ctx, p, Options{Seed: 1})
		<-ctx.Done()
		if late := time.Since(stopped); late > 10*time.Second { // it hangs; how soon it stops is in docs/performance.md
			t.Errorf("%s: ended %v after it was cancelled", name, late)
		}
	}
	time.Sleep(20 * time.Millisecond)
	if after := runtime.NumGoroutine(); after > before+2 {
		t.Errorf("%d goroutines before, %d after", before, after)
	}
}
