package search

import (
	"slices"
	"testing"

	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

// TestRepair delays one activity of a plan in many ways: what had started stays, the rest makes
// a plan again, and not much of it moves.
func TestRepair(t *testing.T) {
	t.Parallel()
	week, err := Week(300, 4)
	if err != nil {
		t.Fatal(err)
	}
	for name, p := range map[string]*project.Problem{"week": week, "lags": chain(60, 2)} {
		plan, ok := First(t.Context(), p, 1)
		if !ok {
			t.Fatalf("%s: no first plan", name)
		}
		rng := newRandom(3)
		moved, repaired := 0, 0
		const delays = 30
		for range delays {
			late := rng.below(len(plan.Start))
			now := plan.Start[late]
			q := *p
			q.Activities = append([]project.Activity(nil), p.Activities...)
			a := &q.Activities[late]
			if rng.below(2) == 0 {
				a.Earliest = plan.Start[late] + 3 // begins late
			} else {
				m := a.Modes[0] // takes longer
				m.Duration += 3
				a.Modes = []project.Mode{m}
				now++
			}
			after, ok := Repair(t.Context(), &q, plan, now)
			if !ok {
				continue
			}
			repaired++
			if bad := oracle.Broken(&q, after); bad != "" {
				t.Fatalf("%s: the repaired plan breaks %s", name, bad)
			}
			for i, s := range plan.Start {
				if s < now && i != late && after.Start[i] != s {
					t.Errorf("%s: activity %d had started at %d before %d and was moved to %d", name, i, s, now, after.Start[i])
				}
				if after.Start[i] != s {
					moved++
				}
			}
		}
		t.Logf("%s: %d of %d repaired, %d of %d starts moved", name, repaired, delays, moved, repaired*len(plan.Start))
		if repaired < delays*3/5 {
			t.Errorf("%s: only %d of %d delays were repaired", name, repaired, delays)
		}
		if moved > repaired*len(plan.Start)/3 {
			t.Errorf("%s: %d starts moved in %d repairs of %d activities", name, moved, repaired, len(plan.Start))
		}
	}
}

// TestRepairMovesNothingWithoutNeed repairs a plan of which nothing has changed.
func TestRepairMovesNothingWithoutNeed(t *testing.T) {
	t.Parallel()
	p := chain(40, 5)
	plan, ok := First(t.Context(), p, 1)
	if !ok {
		t.Fatal("no first plan")
	}
	after, ok := Repair(t.Context(), p, plan, 10)
	if !ok {
		t.Fatal("not repaired")
	}
	for i, s := range plan.Start {
		if after.Start[i] != s {
			t.Errorf("activity %d moved from %d to %d", i, s, after.Start[i])
		}
	}
}

// delayed returns p with one activity of the plan delayed: it begins late or takes longer.
func delayed(p *project.Problem, plan project.Plan, rng *random) (q *project.Problem, now int32) {
	late := rng.below(len(plan.Start))
	q = &project.Problem{}
	*q = *p
	q.Activities = slices.Clone(p.Activities)
	a := &q.Activities[late]
	by := int32(1 + rng.below(2))
	if rng.below(2) == 0 {
		a.Earliest = min(plan.Start[late]+by, p.Horizon)
		a.Latest = max(a.Latest, a.Earliest)
		return q, plan.Start[late]
	}
	a.Modes = slices.Clone(a.Modes)
	a.Modes[plan.Mode[late]].Duration += by
	return q, plan.Start[late] + 1
}

// TestRepairAgainstAllPlans delays the best plans of small problems with all features: what is
// repaired is right, nothing that can be repaired is given up, and few more activities change
// than must.
func TestRepairAgainstAllPlans(t *testing.T) {
	t.Parallel()
	possible, repaired, changes, must := 0, 0, 0, 0
	for seed := range uint64(2 * problems) {
		p := oracle.Random(seed, oracle.All)
		_, plan, ok := oracle.Optimum(p)
		if !ok {
			continue
		}
		q, now := delayed(p, plan, newRandom(seed))
		fixed := pin(q, plan, now)
		least := fewest(fixed, plan, now)
		after, ok := Repair(t.Context(), q, plan, now)
		if least < 0 {
			if ok {
				t.Fatalf("problem %d: cannot be repaired, but was: %+v of %+v", seed, after, q)
			}
			continue
		}
		possible++
		if !ok {
			continue
		}
		repaired++
		right(t, q, after)
		for i, s := range plan.Start {
			begun := fixed.Activities[i].Latest == s && s < now
			if begun && (after.Start[i] != s || after.Mode[i] != plan.Mode[i]) {
				t.Fatalf("problem %d: activity %d had begun: %+v after %+v at %d", seed, i, after, plan, now)
			}
			if after.Start[i] != s || after.Mode[i] != plan.Mode[i] {
				changes++
			}
		}
		must += least
	}
	t.Logf("%d of %d repaired with %d changes, where %d must be", repaired, possible, changes, must)
	if possible < problems/4 || repaired*1000 < possible*990 || changes*100 > must*102 {
		t.Errorf("%d of %d repaired with %d changes, where %d must be", repaired, possible, changes, must)
	}
}

// fewest returns how many activities must change, by trying which of them can stay together; -1
// if there is no plan.
func fewest(p *project.Problem, old project.Plan, now int32) int {
	n := len(p.Activities)
	least := -1
	for kept := range 1 << n {
		q := *p
		q.Activities = slices.Clone(p.Activities)
		changed, fits := n, true
		for i := range q.Activities {
			a := &q.Activities[i]
			s := old.Start[i]
			if a.Latest == s && s < now || kept>>i&1 == 1 {
				a.Modes = a.Modes[old.Mode[i] : old.Mode[i]+1]
			}
			if kept>>i&1 == 1 {
				fits = fits && s >= a.Earliest && s <= a.Latest
				a.Earliest, a.Latest = s, s
				changed--
			}
		}
		if !fits || least >= 0 && changed >= least {
			continue
		}
		if _, _, ok := oracle.Optimum(&q); ok {
			least = changed
		}
	}
	return least
}

func BenchmarkRepair(b *testing.B) {
	week, err := Week(300, 4)
	if err != nil {
		b.Fatal(err)
	}
	for name, p := range map[string]*project.Problem{"week": week, "kitchen": kitchen(b, 300, 4)} {
		plan, ok := First(b.Context(), p, 1)
		if !ok {
			b.Fatal("no plan")
		}
		rng := newRandom(1)
		b.Run(name, func(b *testing.B) {
			repaired, changes := 0, 0
			for b.Loop() {
				q, now := delayed(p, plan, rng)
				after, ok := Repair(b.Context(), q, plan, now)
				if !ok {
					continue
				}
				repaired++
				for i, s := range plan.Start {
					if after.Start[i] != s {
						changes++
					}
				}
			}
			b.ReportMetric(float64(repaired)/float64(b.N), "repaired/op")
			b.ReportMetric(float64(changes)/float64(max(1, repaired)), "changes/repair")
		})
	}
}

func BenchmarkFirst(b *testing.B) {
	for name, n := range map[string]int{"300": 300, "20000": 20_000} {
		week, err := Week(n, 4)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				First(b.Context(), week, 1)
			}
		})
	}
}

// TestRepairInOneMode delays an activity of tiny plans without pauses, machines and goals. What is
// returned holds, what had started stays, modes stay, and where trying everything finds a repair
// so does Repair.
func TestRepairInOneMode(t *testing.T) {
	t.Parallel()
	possible, repaired := 0, 0
	for seed := range uint64(600) {
		p := oracle.Random(seed, oracle.Features{Lags: true, Modes: true, Bounds: true})
		old, ok := oracle.First(p)
		if !ok {
			continue
		}
		late := int(seed) % len(old.Start)
		now := old.Start[late]
		q := *p
		q.Activities = slices.Clone(p.Activities)
		a := &q.Activities[late]
		a.Earliest = min(a.Latest, old.Start[late]+2)
		fixed := pin(&q, old, now)
		for i := range fixed.Activities {
			fixed.Activities[i].Modes = fixed.Activities[i].Modes[old.Mode[i] : old.Mode[i]+1]
		}
		_, can := oracle.First(fixed)
		after, ok := Repair(t.Context(), &q, old, now)
		if can {
			possible++
		}
		if !ok {
			continue
		}
		repaired++
		right(t, &q, after)
		for i, s := range old.Start {
			if after.Mode[i] != old.Mode[i] || s < now && i != late && after.Start[i] != s {
				t.Fatalf("problem %d: %d had started at %d before %d: %+v", seed, i, s, now, after)
			}
		}
	}
	t.Logf("%d of %d repaired", repaired, possible)
	if possible < 150 || repaired > possible || repaired < possible*99/100 {
		t.Errorf("%d of %d possible repairs", repaired, possible)
	}
}
