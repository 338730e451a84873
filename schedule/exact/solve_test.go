package exact

import (
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"chablon/schedule/project"
)

// crowded makes a problem of n activities in which two resources are short, with precedences:
// a proof takes long from n = 40 on.
func crowded(n int, seed uint64) *project.Problem {
	rng := rand.New(rand.NewPCG(seed, 3))
	p := &project.Problem{Renewable: []project.Renewable{{Capacity: 6}, {Capacity: 5}}}
	for i := range n {
		d := int32(1 + rng.IntN(10))
		p.Horizon += d
		p.Activities = append(p.Activities, project.Activity{Modes: []project.Mode{{
			Duration: d, Demand: []int32{int32(1 + rng.IntN(4)), int32(rng.IntN(4))},
		}}})
		for range rng.IntN(3) {
			if i > 0 {
				p.Arcs = append(p.Arcs, project.Arc{From: int32(max(0, i-1-rng.IntN(8))), To: int32(i), FromEnd: true})
			}
		}
	}
	for i := range p.Activities {
		p.Activities[i].Latest = p.Horizon
	}
	return p
}

func one(duration int32, demand ...int32) project.Activity {
	return project.Activity{Latest: 20, Modes: []project.Mode{{Duration: duration, Demand: demand}}}
}

func TestSolveEdges(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		p    project.Problem
		want Status
		end  int32
	}{
		{"nothing", project.Problem{}, Optimal, 0},
		{"no time and nothing to do", project.Problem{Horizon: 0, Activities: []project.Activity{{Modes: []project.Mode{{}}}}}, Optimal, 0},
		{"zero duration ignores zero capacity", project.Problem{
			Horizon: 20, Renewable: []project.Renewable{{}},
			Activities: []project.Activity{one(0, 5), one(3, 0)},
		}, Optimal, 3},
		{"zero capacity", project.Problem{
			Horizon: 20, Renewable: []project.Renewable{{}}, Activities: []project.Activity{one(1, 1)},
		}, Infeasible, 0},
		{"open from 5 to 8 only", project.Problem{
			Horizon:    20,
			Renewable:  []project.Renewable{{Capacity: 1, Steps: []project.Step{{}, {From: 5, Capacity: 1}, {From: 8}}}},
			Activities: []project.Activity{one(3, 1)},
		}, Optimal, 8},
		{"open for too short a time", project.Problem{
			Horizon:    20,
			Renewable:  []project.Renewable{{Capacity: 1, Steps: []project.Step{{}, {From: 5, Capacity: 1}, {From: 8}}}},
			Activities: []project.Activity{one(4, 1)},
		}, Infeasible, 0},
		{"lag to itself", project.Problem{
			Horizon: 20, Activities: []project.Activity{one(4)}, Arcs: []project.Arc{{Lag: 1}},
		}, Infeasible, 0},
		{"lag from its end to its start", project.Problem{
			Horizon: 20, Activities: []project.Activity{one(4)}, Arcs: []project.Arc{{Lag: -4, FromEnd: true}},
		}, Optimal, 4},
		{"lags beyond every number", project.Problem{
			Horizon: 20, Activities: []project.Activity{one(4), one(4)},
			Arcs: []project.Arc{{From: 0, To: 1, Lag: -1 << 31}, {From: 1, To: 0, Lag: 1<<31 - 1}},
		}, Infeasible, 0},
		{"demands that sum beyond 32 bits", project.Problem{
			Horizon:    20,
			Renewable:  []project.Renewable{{Capacity: 1<<31 - 1}},
			Activities: []project.Activity{one(4, 1<<31-1), one(4, 1<<31-1), one(4, 1<<31-1)},
		}, Optimal, 12},
		{"a pause just long enough for another", project.Problem{
			Horizon: 7, Renewable: []project.Renewable{{Capacity: 1}},
			Calendars: []project.Calendar{project.NewCalendar(project.Span{From: 0, To: 2}, project.Span{From: 5, To: 7})},
			Activities: []project.Activity{
				{Latest: 7, Modes: []project.Mode{{Duration: 4, Demand: []int32{1}, Calendar: 1}}},
				{Latest: 7, Modes: []project.Mode{{Duration: 3, Demand: []int32{1}}}},
			},
		}, Optimal, 7},
		{"far horizon", project.Problem{
			Horizon:    project.MaxHorizon,
			Activities: []project.Activity{{Latest: project.MaxHorizon, Modes: []project.Mode{{Duration: project.MaxHorizon}}}},
		}, Optimal, project.MaxHorizon},
	} {
		res, err := Solve(t.Context(), &c.p, Options{})
		if err != nil || res.Status != c.want || res.Plan.Makespan != c.end {
			t.Errorf("%s: %v %d, %v; want %v %d", c.name, res.Status, res.Plan.Makespan, err, c.want, c.end)
		}
	}
}

func TestSolveRefuses(t *testing.T) {
	t.Parallel()
	p := &project.Problem{Horizon: -1}
	if _, err := Solve(t.Context(), p, Options{}); err == nil {
		t.Error("a horizon of -1 is let through")
	}
	p = crowded(3, 1)
	if _, err := Solve(t.Context(), p, Options{Windows: make([]Window, 2)}); err == nil {
		t.Error("two windows for three activities are let through")
	}
	for name, o := range map[string]Options{
		"goal 1 of the makespan alone": {Goal: 1},
		"two caps for one goal":        {Caps: []int64{9, 9}},
		"an arc by a calendar of none": {Arcs: []project.Arc{{Calendar: 1}}},
	} {
		if _, err := Solve(t.Context(), p, o); err == nil {
			t.Errorf("%s is let through", name)
		}
	}
	q := crowded(3, 1)
	q.Goals = []project.Goal{{Measure: project.SetUps}}
	if _, err := Solve(t.Context(), q, Options{}); err == nil || Provable(q, 0) {
		t.Error("set-ups are bounded, it says")
	}
	q.Goals = []project.Goal{{Measure: project.Delay}}
	for range 10 {
		q.Goals[0].Delays = append(q.Goals[0].Delays, project.Gap{From: 0, To: 1, Lag: -project.MaxHorizon, Weight: 1 << 28})
	}
	if res, err := Solve(t.Context(), q, Options{}); err != nil || res.Status != Exhausted {
		t.Errorf("a goal beyond MaxValue: %v, %v", res.Status, err)
	}
	if _, err := Solve(t.Context(), p, Options{Arcs: []project.Arc{{From: 3}}}); err == nil {
		t.Error("an arc from activity 3 of 3 is let through")
	}
}

// TestSolveBounds asks for more than there is, from a plan that is known, and within windows.
func TestSolveBounds(t *testing.T) {
	t.Parallel()
	p := crowded(12, 5)
	full, err := Solve(t.Context(), p, Options{})
	if err != nil || full.Status != Optimal {
		t.Fatal(full.Status, err)
	}
	best := full.Plan.Makespan
	for name, c := range map[string]struct {
		o    Options
		want Status
	}{
		"upper is the optimum":                                      {Options{Upper: best}, Exhausted},
		"upper is above the optimum":                                {Options{Upper: best + 1}, Optimal},
		"the hint is an optimum":                                    {Options{Hint: &full.Plan}, Optimal},
		"the hint meets the bound":                                  {Options{Hint: &full.Plan, Lower: best}, Optimal},
		"an optimum below the upper bound, with a hint that is not": {Options{Upper: best, Hint: &full.Plan}, Exhausted},
	} {
		res, err := Solve(t.Context(), p, c.o)
		if err != nil || res.Status != c.want || res.Lower != best {
			t.Errorf("%s: %v >= %d, %v; want %v >= %d", name, res.Status, res.Lower, err, c.want, best)
		}
	}
	windows := make([]Window, len(p.Activities))
	for i, s := range full.Plan.Start {
		windows[i] = Window{s, s, -1}
	}
	res, err := Solve(t.Context(), p, Options{Windows: windows})
	if err != nil || res.Status != Optimal || !reflect.DeepEqual(res.Plan, full.Plan) {
		t.Errorf("with starts given: %v %v, %v; want %v", res.Status, res.Plan, err, full.Plan)
	}
	// The last activity to end may start no earlier than one tick later.
	last := 0
	for i, s := range full.Plan.Start {
		if s+p.Activities[i].Modes[0].Duration == best {
			last = i
		}
	}
	windows[last] = Window{full.Plan.Start[last] + 1, p.Horizon, -1}
	if res, err = Solve(t.Context(), p, Options{Windows: windows}); err != nil || res.Plan.Makespan <= best {
		t.Errorf("with a later start: %v %d, %v; want over %d", res.Status, res.Plan.Makespan, err, best)
	}
	arcs := []project.Arc{{From: 0, To: 1, FromEnd: true, Lag: best}}
	if res, err = Solve(t.Context(), p, Options{Arcs: arcs}); err != nil || res.Plan.Makespan <= best {
		t.Errorf("with an arc: %v %d, %v; want over %d", res.Status, res.Plan.Makespan, err, best)
	}
}

// TestSolveReports checks that plans get shorter and bounds greater, up to the same value.
func TestSolveReports(t *testing.T) {
	t.Parallel()
	p := crowded(20, 2)
	shortest, greatest := p.Horizon+1, int32(-1)
	res, err := Solve(t.Context(), p, Options{
		Report: func(plan project.Plan) {
			if err := project.Check(p, plan); err != nil || plan.Makespan >= shortest {
				t.Errorf("plan of %d after %d: %v", plan.Makespan, shortest, err)
			}
			shortest = plan.Makespan
		},
		Bound: func(lower int32) {
			if lower <= greatest {
				t.Errorf("bound %d after %d", lower, greatest)
			}
			greatest = lower
		},
	})
	if err != nil || res.Status != Optimal || shortest != res.Plan.Makespan || greatest > shortest {
		t.Errorf("%v %d, %v: reported %d and %d", res.Status, res.Plan.Makespan, err, shortest, greatest)
	}
}

// TestSolveTwoSides runs both strategies side by side, sharing bounds through Poll.
func TestSolveTwoSides(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		p := crowded(14, seed)
		alone, err := Solve(t.Context(), p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if res := solveSides(t.Context(), t, p, Options{}, true); res.Status != Optimal || res.Plan.Makespan != alone.Plan.Makespan {
			t.Errorf("seed %d: %v %d, alone %v %d", seed, res.Status, res.Plan.Makespan, alone.Status, alone.Plan.Makespan)
		}
	}
}

func TestSolveIsDeterministic(t *testing.T) {
	t.Parallel()
	p := crowded(60, 9)
	o := Options{Conflicts: 1500, Seed: 4}
	a, errA := Solve(t.Context(), p, o)
	b, errB := Solve(t.Context(), p, o)
	if errA != nil || errB != nil || !reflect.DeepEqual(a, b) {
		t.Errorf("%v and %v (%v, %v) from the same seed", a, b, errA, errB)
	}
	if a.Conflicts > o.Conflicts || !a.Stopped && a.Status != Optimal {
		t.Errorf("%d conflicts of %d, stopped %t, %v", a.Conflicts, o.Conflicts, a.Stopped, a.Status)
	}
}

// TestSolveStops ends a long search by its context and by Poll. The quickest of several tries
// counts, since the machine may be busy.
func TestSolveStops(t *testing.T) {
	t.Parallel()
	p := crowded(120, 9)
	quickest := time.Hour
	for range 5 {
		ctx, cancel := context.WithTimeout(t.Context(), 60*time.Millisecond)
		deadline, _ := ctx.Deadline()
		res, err := Solve(ctx, p, Options{})
		quickest = min(quickest, time.Since(deadline))
		cancel()
		if err != nil || !res.Stopped || res.Status != Feasible && res.Status != Unknown {
			t.Fatalf("%v, stopped %t, %v", res.Status, res.Stopped, err)
		}
	}
	// How soon is a matter of what else the machine does: BenchmarkStop measures it. This is for a search that hangs.
	if quickest > 10*time.Second {
		t.Errorf("stops %v after the context", quickest)
	}
	res, err := Solve(t.Context(), p, Options{Poll: func() (int32, int32, bool) { return 0, 0, true }})
	if err != nil || !res.Stopped {
		t.Errorf("%v, stopped %t, %v", res.Status, res.Stopped, err)
	}
}

// BenchmarkStop reports how long after its context ends Solve returns: while it poses the
// problem, and in full course.
func BenchmarkStop(b *testing.B) {
	for _, n := range []int{120, 8000} {
		p := crowded(n, 9)
		for _, after := range []time.Duration{2, 20, 60, 300, 2000} {
			b.Run(fmt.Sprintf("%d activities after %d ms", n, after), func(b *testing.B) {
				var late, latest time.Duration
				for b.Loop() {
					ctx, cancel := context.WithTimeout(b.Context(), after*time.Millisecond)
					deadline, _ := ctx.Deadline()
					if _, err := Solve(ctx, p, Options{}); err != nil {
						b.Fatal(err)
					}
					late += time.Since(deadline)
					latest = max(latest, time.Since(deadline))
					cancel()
				}
				b.ReportMetric(float64(late.Microseconds())/1000/float64(b.N), "ms-late")
				b.ReportMetric(float64(latest.Microseconds())/1000, "ms-latest")
			})
		}
	}
}

// TestPublic proves small public instances.
func TestPublic(t *testing.T) {
	t.Parallel()
	best, _ := bestKnown(t)
	for _, set := range []string{"j30", "sm_j10", "ubo10", "ubo20", "mm_j10"} {
		for k, file := range instanceFiles(t, set) {
			if k == 8 {
				break
			}
			name := instanceName(set, file)
			res, err := Solve(t.Context(), readFile(t, file), Options{Conflicts: 10_000})
			want, status := best[name], Optimal
			if want < 0 {
				want, status = 0, Infeasible
			}
			if !res.Stopped && (err != nil || res.Status != status || res.Plan.Makespan != want) {
				t.Errorf("%s: %v %d, %v; want %v %d", name, res.Status, res.Plan.Makespan, err, status, want)
			}
		}
	}
}

// FuzzSolve compares with trying everything.
func FuzzSolve(f *testing.F) {
	for k := range uint64(len(featureSets)) {
		f.Add(k, k)
	}
	f.Fuzz(func(t *testing.T, seed, set uint64) {
		compare(t, seed, featureSets[set%uint64(len(featureSets))].features)
	})
}
