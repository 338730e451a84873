package schedule

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// busy is some days of activities in chains of five on four resources with shifts; with lags, every
// second step of a chain must follow within 60 ticks.
func busy(rng *rand.Rand, n int, lags bool) *Model {
	m := NewModel(1_000_000)
	for r := range 4 {
		id := m.Resource(fmt.Sprintf("r%d", r), 3)
		var spans []Span
		for day := range 20 + n/10 {
			spans = append(spans, Span{day * 1000, day*1000 + 800, 3})
		}
		m.Calendar(id, spans)
	}
	var last ActivityID
	for i := range n {
		mode := Mode{Duration: 10 + rng.IntN(60)}
		for r := range 4 {
			if rng.IntN(2) == 0 {
				mode.Demands = append(mode.Demands, Demand{Resource: ResourceID(r), Amount: 1 + rng.IntN(2)})
			}
		}
		a := m.Activity(fmt.Sprintf("a%d", i), mode)
		if i%5 > 0 {
			m.AtLeast(End(last), Start(a), rng.IntN(30), "rest")
			if lags && i%2 == 0 {
				m.AtMost(End(last), Start(a), 60, "dries")
			}
		}
		last = a
	}
	return m
}

// BenchmarkFirst takes the time until the first plan is reported, compiled and checked.
func BenchmarkFirst(b *testing.B) {
	for _, lags := range []bool{false, true} {
		b.Run(fmt.Sprintf("300/maxlags=%v", lags), func(b *testing.B) {
			m := busy(rand.New(rand.NewPCG(1, 2)), 300, lags)
			for b.Loop() {
				ctx, cancel := context.WithTimeout(b.Context(), time.Minute)
				res, err := Solve(ctx, m, Options{Report: func(Plan) { cancel() }})
				cancel()
				if err != nil || res.Starts == nil {
					b.Fatalf("%v %v", res.Status, err)
				}
			}
		})
	}
}

func solved(b *testing.B, lags bool) (*Model, Plan) {
	b.Helper()
	m := busy(rand.New(rand.NewPCG(1, 2)), 300, lags)
	res, err := Solve(b.Context(), m, Options{Work: 50})
	if err != nil || res.Starts == nil {
		b.Fatalf("%v %v", res.Status, err)
	}
	return m, res.Plan
}

func BenchmarkCheck(b *testing.B) {
	m, plan := solved(b, false)
	for b.Loop() {
		if v := Check(m, plan.Starts, plan.Modes); len(v) > 0 {
			b.Fatal(v)
		}
	}
}

// BenchmarkRepair delays one activity by half an hour.
func BenchmarkRepair(b *testing.B) {
	m, plan := solved(b, false)
	late := ActivityID(50)
	m.Release(late, plan.Starts[late]+30)
	for b.Loop() {
		if _, _, ok, err := Repair(b.Context(), m, plan, plan.Starts[late]); !ok || err != nil {
			b.Fatal(ok, err)
		}
	}
}

func BenchmarkSlack(b *testing.B) {
	m, plan := solved(b, true)
	for b.Loop() {
		o, err := NewOrder(m, plan)
		if err != nil {
			b.Fatal(err)
		}
		o.Slack()
	}
}

func BenchmarkRisk(b *testing.B) {
	m, plan := solved(b, true)
	o, err := NewOrder(m, plan)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := o.Risk(b.Context(), RiskOptions{Duration: func(a ActivityID, u float64) int { return int(20 + 40*u) }}); err != nil {
			b.Fatal(err)
		}
	}
}
