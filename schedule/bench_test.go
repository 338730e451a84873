package schedule

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// busy is a day of 300 activities in chains of five on four resources with shifts; with lags,
// every second step of a chain must follow within 60 ticks.
func busy(lags bool) *Model {
	rng := rand.New(rand.NewPCG(1, 2))
	m := NewModel(1_000_000)
	for r := range 4 {
		id := m.Resource(fmt.Sprintf("r%d", r), 3)
		var spans []Span
		for day := range 20 {
			spans = append(spans, Span{980_000 + day*1000, 980_000 + day*1000 + 800, 3})
		}
		m.Calendar(id, spans)
	}
	var last ActivityID
	for i := range 300 {
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

func BenchmarkSolve(b *testing.B) {
	for _, lags := range []bool{false, true} {
		b.Run(fmt.Sprintf("300/maxlags=%v", lags), func(b *testing.B) {
			m := busy(lags)
			for b.Loop() {
				res, err := Solve(b.Context(), m, Options{})
				if err != nil || res.Status != Feasible {
					b.Fatalf("%v %v %q", res.Status, err, res.Conflict)
				}
			}
		})
	}
}

func BenchmarkCheck(b *testing.B) {
	m := busy(false)
	res, err := Solve(b.Context(), m, Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if v := Check(m, res.Starts, res.Modes); len(v) > 0 {
			b.Fatal(v)
		}
	}
}
