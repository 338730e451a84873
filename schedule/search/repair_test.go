package search

import (
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
			if bad := naive(&q, after); bad != "" {
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

func BenchmarkRepair(b *testing.B) {
	week, err := Week(300, 4)
	if err != nil {
		b.Fatal(err)
	}
	plan, _ := First(b.Context(), week, 1)
	q := *week
	q.Activities = append([]project.Activity(nil), week.Activities...)
	q.Activities[20].Earliest = plan.Start[20] + 15
	for b.Loop() {
		Repair(b.Context(), &q, plan, plan.Start[20])
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

// TestRepairOracle delays an activity of tiny plans of all features. What is returned holds, what
// had started stays, and where trying everything finds a repair, so does Repair.
func TestRepairOracle(t *testing.T) {
	t.Parallel()
	for name, f := range map[string]oracle.Features{"all": oracle.All, "plain": {Lags: true, Modes: true, Bounds: true}} {
		possible, repaired := 0, 0
		for seed := range uint64(600) {
			p := oracle.Random(seed, f)
			old, ok := oracle.First(p)
			if !ok {
				continue
			}
			late := int(seed) % len(old.Start)
			now := old.Start[late]
			q := *p
			q.Activities = append([]project.Activity(nil), p.Activities...)
			a := &q.Activities[late]
			a.Earliest = min(a.Latest, old.Start[late]+2)
			_, can := oracle.First(pin(&q, old, now))
			after, ok := Repair(t.Context(), &q, old, now)
			if can {
				possible++
			}
			if !ok {
				continue
			}
			repaired++
			if text := oracle.Broken(&q, after); text != "" {
				t.Fatalf("%s %d: the repaired plan breaks %s", name, seed, text)
			}
			for i, s := range old.Start {
				if after.Mode[i] != old.Mode[i] || s < now && i != late && after.Start[i] != s {
					t.Fatalf("%s %d: %d had started at %d before %d: %+v", name, seed, i, s, now, after)
				}
			}
		}
		t.Logf("%s: %d of %d repaired", name, repaired, possible)
		if possible < 150 || repaired > possible || repaired < possible*99/100 {
			t.Errorf("%s: %d of %d possible repairs", name, repaired, possible)
		}
	}
}
