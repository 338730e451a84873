package search

import (
	"testing"

	"chablon/schedule/exact"
	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

// jobs makes a job shop: each of n jobs goes once over m machines in a random order.
func jobs(rng *random, n, m int) *project.Problem {
	p := &project.Problem{}
	for range m {
		p.Renewable = append(p.Renewable, project.Renewable{Capacity: 1})
	}
	for range n {
		order := make([]int, m)
		for k := range order {
			order[k] = k
			other := rng.below(k + 1)
			order[k], order[other] = order[other], order[k]
		}
		for k, machine := range order {
			demand := make([]int32, m)
			demand[machine] = 1
			i := int32(len(p.Activities))
			mode := project.Mode{Duration: int32(1 + rng.below(20)), Demand: demand}
			p.Horizon += mode.Duration
			p.Activities = append(p.Activities, project.Activity{Modes: []project.Mode{mode}})
			if k > 0 {
				p.Arcs = append(p.Arcs, project.Arc{From: i - 1, To: i, FromEnd: true})
			}
		}
	}
	for i := range p.Activities {
		p.Activities[i].Latest = p.Horizon
	}
	return p
}

// TestNearTheOptimum compares with what the exact engine, which shares no code with this package,
// has proved for problems too large to enumerate.
func TestNearTheOptimum(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		make func(rng *random) *project.Problem
		work int
		gap  float64 // per cent on average
	}{
		"job shop": {func(rng *random) *project.Problem { return jobs(rng, 6, 4) }, 20_000, 0.5},
		"lags":     {func(rng *random) *project.Problem { return chain(16, rng.next()) }, 1500, 1.5},
		"week": {func(rng *random) *project.Problem {
			p, err := Week(20, rng.next())
			if err != nil {
				t.Fatal(err)
			}
			return p
		}, 1500, 0.5},
	} {
		rng := newRandom(11)
		sum, count := 0.0, 0
		for k := range 12 {
			p := c.make(rng)
			want, err := exact.Solve(t.Context(), p, exact.Options{Conflicts: 20_000})
			if err != nil || want.Status != exact.Optimal {
				continue
			}
			res := Improve(t.Context(), p, Options{Seed: uint64(k), Work: c.work})
			if res.Plan.Start == nil || oracle.Broken(p, res.Plan) != "" {
				t.Fatalf("%s %d: no right plan, but one of %d exists", name, k, want.Plan.Makespan)
			}
			if res.Plan.Makespan < want.Plan.Makespan || res.Lower > want.Plan.Makespan {
				t.Fatalf("%s %d: plan %d, bound %d, proved optimum %d", name, k, res.Plan.Makespan, res.Lower, want.Plan.Makespan)
			}
			sum += 100 * (float64(res.Plan.Makespan)/float64(want.Plan.Makespan) - 1)
			count++
		}
		t.Logf("%s: %.2f %% above the optimum over %d", name, sum/float64(max(1, count)), count)
		if count < 6 || sum > c.gap*float64(count) {
			t.Errorf("%s: %.2f %% above the optimum over %d problems, want at most %.1f", name, sum/float64(max(1, count)), count, c.gap)
		}
	}
}

// TestNeighbourhood improves the first plans of problems with lags; each step must make a right
// plan that is shorter.
func TestNeighbourhood(t *testing.T) {
	t.Parallel()
	shorter := 0
	for seed := range uint64(4) {
		p := chain(60, seed)
		plan, ok := First(t.Context(), p, 1)
		if !ok {
			t.Fatalf("seed %d: no first plan", seed)
		}
		h := NewNeighbourhood(p, seed)
		for range 12 {
			better, ok := h.Improve(t.Context(), plan, 100)
			if !ok {
				continue
			}
			if bad := oracle.Broken(p, better); bad != "" || better.Makespan >= plan.Makespan {
				t.Fatalf("seed %d: from %d to %d, %s", seed, plan.Makespan, better.Makespan, bad)
			}
			plan = better
			shorter++
		}
	}
	if shorter < 4 {
		t.Errorf("%d shorter plans in 48 neighbourhoods", shorter)
	}
}

// TestBlocks makes each component find its own plan and puts them together: the result keeps all
// arcs and capacities without a pass over the whole.
func TestBlocks(t *testing.T) {
	t.Parallel()
	p := chain(60, 3)
	f := newFrame(p)
	mode := make([]int32, f.n)
	rng := newRandom(1)
	b := newBlocks(t.Context(), f, mode, rng)
	if b == nil || len(b.list) != 15 {
		t.Fatalf("60 activities in chains of 4 make 15 components, got %+v", b)
	}
	for k := 0; !b.try(); k++ {
		if k > 1000 {
			t.Fatal("no patterns in 1,000 tries")
		}
	}
	l := newLagged(f)
	if !l.prepare(mode, p.Horizon) {
		t.Fatal("the arcs refuse the horizon")
	}
	start, last := b.compose(l, l.ls0)
	if bad := oracle.Broken(p, project.Plan{Start: start, Mode: mode, Makespan: last}); bad != "" {
		t.Error(bad)
	}
}
