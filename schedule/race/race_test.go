package race

import (
	"context"
	"runtime"
	"strings"
	"testing"
	"time"

	"chablon/schedule/project"
	"chablon/schedule/search"
)

// pair makes two activities of 3 ticks on a resource for one: the optimum is 6.
func pair(capacity int32) *project.Problem {
	p := &project.Problem{Horizon: 20, Renewable: []project.Renewable{{Capacity: capacity}}}
	for range 2 {
		p.Activities = append(p.Activities, project.Activity{Latest: 20, Modes: []project.Mode{{Duration: 3, Demand: []int32{1}}}})
	}
	return p
}

func TestSolveProves(t *testing.T) {
	t.Parallel()
	now := time.Duration(0)
	clock := func() time.Duration { now++; return now }
	for _, workers := range []int{0, 1, 3} {
		res, err := Solve(t.Context(), pair(1), Options{Workers: workers, Clock: clock})
		if err != nil || res.Status != Optimal || res.Plan.Makespan != 6 || res.Lower[0] != 6 || res.First == 0 {
			t.Errorf("%d workers: %+v, %v", workers, res, err)
		}
	}
}

func TestSolveInfeasible(t *testing.T) {
	t.Parallel()
	cycle := pair(2)
	cycle.Arcs = []project.Arc{{From: 0, To: 1, Lag: 4}, {From: 1, To: 0, Lag: -3}}
	for name, p := range map[string]*project.Problem{"no capacity": pair(0), "positive cycle": cycle} {
		res, err := Solve(t.Context(), p, Options{})
		if err != nil || res.Status != Infeasible || res.Plan.Start != nil {
			t.Errorf("%s: %+v, %v", name, res, err)
		}
	}
}

func TestSolveNothing(t *testing.T) {
	t.Parallel()
	res, err := Solve(t.Context(), &project.Problem{}, Options{})
	if err != nil || res.Status != Optimal || res.Plan.Makespan != 0 {
		t.Errorf("%+v, %v", res, err)
	}
}

// TestSolveStops cancels a race that goes on, and counts what is left of it.
func TestSolveStops(t *testing.T) {
	before := runtime.NumGoroutine()
	week, err := search.Week(400, 1)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 150*time.Millisecond)
	defer cancel()
	begin := time.Now()
	res, err := Solve(ctx, week, Options{Workers: 2, Seed: 1})
	if took := time.Since(begin); took > 10*time.Second { // it hangs; how soon it stops is in docs/performance.md
		t.Errorf("took %v with 150 ms", took)
	}
	if err != nil || res.Plan.Start == nil {
		t.Fatalf("%v, %v", res.Status, err)
	}
	if err := project.Check(week, res.Plan); err != nil {
		t.Error(err)
	}
	if res.Lower[0] > int64(res.Plan.Makespan) {
		t.Errorf("bound %v above the plan of %d", res.Lower, res.Plan.Makespan)
	}
	time.Sleep(20 * time.Millisecond)
	if after := runtime.NumGoroutine(); after > before+1 {
		t.Errorf("%d goroutines before, %d after", before, after)
	}
}

// TestBoardRefuses gives the board what an engine at fault would give it.
func TestBoardRefuses(t *testing.T) {
	good := project.Plan{Start: []int32{0, 3}, Mode: []int32{0, 0}, Makespan: 6}
	overlap := project.Plan{Start: []int32{0, 1}, Mode: []int32{0, 0}, Makespan: 4}
	for name, c := range map[string]struct {
		give func(b *board)
		want string
	}{
		"a wrong plan":           {func(b *board) { b.offer(overlap, "test") }, "breaks the problem"},
		"a plan under the bound": {func(b *board) { b.raise(0, 7); b.offer(good, "test") }, "but the bound is [7]"},
		"a bound above the plan": {func(b *board) { b.offer(good, "test"); b.raise(0, 7) }, "contradicts"},
		"a false proof":          {func(b *board) { b.offer(good, "test"); b.close(0, 8, "test") }, "no plan is under 8"},
		"a plan after a proof":   {func(b *board) { b.close(0, 0, "test"); b.offer(good, "test") }, "proved that there is none"},
	} {
		b := newBoard(pair(1), func() {})
		c.give(b)
		if _, err := b.result(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", name, err, c.want)
		}
	}
}
