package exact

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"chablon/schedule/project"
)

// shifts makes batches of four steps each over some days of 1,440 ticks: two by hand that pause
// out of hours, one in an oven of two kinds of heat, one of rest. Batches are due in turn, and
// should be fresh then; hours are to be kept, and the whole to be short.
func shifts(batches, days int, seed uint64) *project.Problem {
	rng := rand.New(rand.NewPCG(seed, 8))
	p := &project.Problem{Horizon: int32(days) * 1440}
	var hours, long []project.Span
	for d := range int32(days) {
		hours = append(hours, project.Span{From: d*1440 + 480, To: d*1440 + 720}, project.Span{From: d*1440 + 780, To: d*1440 + 1020})
		long = append(long, project.Span{From: d*1440 + 420, To: d*1440 + 1200})
	}
	p.Calendars = []project.Calendar{project.NewCalendar(hours...), project.NewCalendar(long...)}
	p.Renewable = []project.Renewable{{Capacity: 2}, {Capacity: 2, Held: true}}
	p.Machines = []project.Machine{{
		Rule: [][]project.Rule{{project.NoStart, project.Apart}, {project.Apart, 0}},
		Gap:  [][]int32{{0, 20}, {30, 0}},
	}}
	late, old := project.Goal{Measure: project.Delay}, project.Goal{Measure: project.Delay}
	outside := project.Goal{Measure: project.Outside, Uses: []project.Use{{Renewable: 0, Calendar: 1, Weight: 1}}}
	for b := range int32(batches) {
		add := func(m project.Mode) {
			p.Activities = append(p.Activities, project.Activity{Latest: p.Horizon, Modes: []project.Mode{m}})
		}
		i := int32(len(p.Activities))
		add(project.Mode{Duration: 30 + 10*rng.Int32N(12), Demand: []int32{1, 0}, Calendar: 1})
		add(project.Mode{Duration: 20 + 10*rng.Int32N(6), Demand: []int32{0, 1}, Stands: []project.Stand{{Class: rng.Int32N(2)}}})
		add(project.Mode{Duration: 60 + 10*rng.Int32N(20), Demand: []int32{0, 0}})
		add(project.Mode{Duration: 20 + 10*rng.Int32N(6), Demand: []int32{1 + rng.Int32N(2), 0}})
		for k := range int32(3) {
			p.Arcs = append(p.Arcs, project.Arc{From: i + k, To: i + k + 1, FromEnd: true})
		}
		p.Arcs = append(p.Arcs, project.Arc{From: i + 1, To: i, ToEnd: true, Lag: -60}) // into the oven within the hour
		due := (b*int32(days)/int32(batches))*1440 + 960 + 10*rng.Int32N(12)
		late.Delays = append(late.Delays, project.Gap{From: project.Clock, To: i + 3, ToEnd: true, Lag: due, Weight: 1 + rng.Int32N(3)})
		old.Delays = append(old.Delays, project.Gap{From: i + 2, FromEnd: true, To: project.Clock, Lag: -due, Weight: 1})
	}
	p.Goals = []project.Goal{late, outside, old, {Measure: project.Makespan}}
	return p
}

// TestShifts proves four goals in turn, from above and from below.
func TestShifts(t *testing.T) {
	t.Parallel()
	p := shifts(8, 2, 1)
	var caps [2][]int64
	for side, strategy := range []Strategy{TopDown, BottomUp} {
		for k := range p.Goals {
			res, err := Solve(t.Context(), p, Options{Goal: k, Caps: caps[side], Strategy: strategy, Conflicts: 20_000})
			if err != nil || res.Status != Optimal {
				t.Fatalf("%v: goal %d is %v %d >= %d, %v", strategy, k, res.Status, res.Value, res.Lower, err)
			}
			caps[side] = append(caps[side], int64(res.Value))
		}
	}
	if !slices.Equal(caps[0], caps[1]) {
		t.Errorf("from above %v, from below %v", caps[0], caps[1])
	}
	if caps[0][2] == 0 {
		t.Error("all is fresh for nothing")
	}
}

// BenchmarkShifts reports how many goals in turn are proven within two seconds each.
func BenchmarkShifts(b *testing.B) {
	p := shifts(30, 5, 1)
	for b.Loop() {
		var caps []int64
		var hint *project.Plan
		proven := 0
		for k := range p.Goals {
			ctx, cancel := context.WithTimeout(b.Context(), 2*time.Second)
			res, err := Solve(ctx, p, Options{Goal: k, Caps: caps, Hint: hint})
			cancel()
			if err != nil || res.Plan.Start == nil {
				b.Fatal(res.Status, err)
			}
			if res.Status == Optimal {
				proven++
			}
			hint, caps = &res.Plan, append(caps, int64(res.Value))
		}
		b.ReportMetric(float64(proven), "proven")
	}
}
