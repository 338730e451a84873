package search

import (
	"context"
	"reflect"
	"runtime"
	"testing"
	"time"

	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

// TestSameSeedSamePlan runs each method twice.
func TestSameSeedSamePlan(t *testing.T) {
	t.Parallel()
	week, err := Week(300, 3)
	if err != nil {
		t.Fatal(err)
	}
	for name, p := range map[string]*project.Problem{"week": week, "lags": chain(40, 1), "modes": oracle.Random(5, oracle.Features{Modes: true}), "all": oracle.Random(5, oracle.All)} {
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
