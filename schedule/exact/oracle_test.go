package exact

import (
	"math/rand/v2"
	"testing"

	"chablon/schedule/project"
)

// randomProject makes a tiny problem: 1 to 5 activities on a horizon of at most 9 ticks, with
// lags of both signs on starts and ends, windows, several modes, budgets, unary and cumulative
// resources, capacity by steps down to zero, durations and demands of zero.
func randomProject(rng *rand.Rand) *project.Problem {
	n := 1 + rng.IntN(5)
	p := &project.Problem{Horizon: int32(4 + rng.IntN(6))}
	for range rng.IntN(3) {
		r := project.Renewable{Capacity: int32(rng.IntN(4))}
		if rng.IntN(3) == 0 {
			for at := int32(0); at < p.Horizon; at += 1 + int32(rng.IntN(5)) {
				r.Steps = append(r.Steps, project.Step{From: at, Capacity: int32(rng.IntN(int(r.Capacity) + 1))})
			}
		}
		p.Renewable = append(p.Renewable, r)
	}
	for range rng.IntN(2) {
		p.Budget = append(p.Budget, int32(rng.IntN(6)))
	}
	for range n {
		a := project.Activity{Latest: p.Horizon}
		if rng.IntN(4) == 0 {
			a.Earliest = int32(rng.IntN(3))
			a.Latest = min(p.Horizon, a.Earliest+int32(rng.IntN(6)))
		}
		for range 1 + rng.IntN(2)*rng.IntN(3) {
			m := project.Mode{Duration: int32(rng.IntN(5))}
			for _, r := range p.Renewable {
				m.Demand = append(m.Demand, int32(rng.IntN(int(r.Capacity)+2)*rng.IntN(3)/2))
			}
			for range p.Budget {
				m.Consume = append(m.Consume, int32(rng.IntN(4)))
			}
			a.Modes = append(a.Modes, m)
		}
		p.Activities = append(p.Activities, a)
	}
	for range rng.IntN(2 * n) {
		i, j := int32(rng.IntN(n)), int32(rng.IntN(n))
		a := project.Arc{From: i, To: j, Lag: int32(rng.IntN(9) - 5), FromEnd: rng.IntN(2) == 0, ToEnd: rng.IntN(4) == 0}
		p.Arcs = append(p.Arcs, a)
	}
	return p
}

// oracle tries every mode and start, with no idea but to drop what is wrong already.
type oracle struct {
	p           *project.Problem
	start, mode []int32
	use         [][]int32
	best        int32 // least makespan, or -1
	each        func(start, mode []int32, makespan int32)
}

func bruteForce(p *project.Problem, each func(start, mode []int32, makespan int32)) int32 {
	o := &oracle{p: p, best: -1, each: each}
	o.use = make([][]int32, len(p.Renewable))
	for r := range o.use {
		o.use[r] = make([]int32, p.Horizon+1)
	}
	o.place(0)
	return o.best
}

func (o *oracle) place(makespan int32) {
	i := len(o.start)
	if i == len(o.p.Activities) {
		if o.best < 0 || makespan < o.best {
			o.best = makespan
		}
		if o.each != nil {
			o.each(o.start, o.mode, makespan)
		}
		return
	}
	if o.each == nil && o.best >= 0 && makespan >= o.best {
		return
	}
	a := &o.p.Activities[i]
	for m := range a.Modes {
		d := a.Modes[m].Duration
		for s := a.Earliest; s <= a.Latest && s+d <= o.p.Horizon; s++ {
			o.start, o.mode = append(o.start, s), append(o.mode, int32(m))
			o.occupy(s, s+d, a.Modes[m].Demand, 1)
			if o.allowed() {
				o.place(max(makespan, s+d))
			}
			o.occupy(s, s+d, a.Modes[m].Demand, -1)
			o.start, o.mode = o.start[:i], o.mode[:i]
		}
	}
}

func (o *oracle) occupy(from, to int32, demand []int32, sign int32) {
	for r, d := range demand {
		for t := from; t < to; t++ {
			o.use[r][t] += sign * d
		}
	}
}

func (o *oracle) allowed() bool {
	n := int32(len(o.start))
	at := func(i int32, end bool) int32 {
		if end {
			return o.start[i] + o.p.Activities[i].Modes[o.mode[i]].Duration
		}
		return o.start[i]
	}
	for _, a := range o.p.Arcs {
		if a.From < n && a.To < n && at(a.To, a.ToEnd) < at(a.From, a.FromEnd)+a.Lag {
			return false
		}
	}
	for r, res := range o.p.Renewable {
		for t, u := range o.use[r] {
			limit := res.Capacity
			for _, s := range res.Steps {
				if int(s.From) <= t {
					limit = s.Capacity
				}
			}
			if u > limit {
				return false
			}
		}
	}
	for b, limit := range o.p.Budget {
		for i, m := range o.mode {
			limit -= o.p.Activities[i].Modes[m].Consume[b]
		}
		if limit < 0 {
			return false
		}
	}
	return true
}

// TestOracle compares optimum and feasibility with brute force on random tiny problems, for
// each strategy and with the explanations verified against all plans.
func TestOracle(t *testing.T) {
	t.Parallel()
	const count = 4000
	infeasible := 0
	for seed := range uint64(count) {
		p := randomProject(rand.New(rand.NewPCG(seed, 7)))
		if err := p.Validate(); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		want := bruteForce(p, nil)
		res, err := Solve(t.Context(), p, Options{Strategy: Strategy(seed % 3), Seed: seed})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if want < 0 {
			infeasible++
			if res.Status != Infeasible {
				t.Errorf("seed %d: %v with %d, want infeasible", seed, res.Status, res.Plan.Makespan)
			}
			continue
		}
		if res.Status != Optimal || res.Plan.Makespan != want || res.Lower != want {
			t.Errorf("seed %d: %v %d >= %d, want optimal %d", seed, res.Status, res.Plan.Makespan, res.Lower, want)
		}
		if err := project.Check(p, res.Plan); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
	}
	if infeasible < count/10 || infeasible > count*9/10 {
		t.Errorf("%d of %d problems are infeasible: the sample says little", infeasible, count)
	}
}
