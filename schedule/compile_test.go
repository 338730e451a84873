package schedule

import (
	"testing"

	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

// TestCompile: a plan keeps the model if and only if it keeps the problem that the engines get,
// and there is a plan of the one if there is one of the other.
func TestCompile(t *testing.T) {
	t.Parallel()
	kept, none, held, drawn := 0, 0, 0, 0
	for seed := range uint64(1200) {
		n := seeded(seed)
		m := randomModel(n, 3)
		c := compile(m)
		if err := c.p.Validate(); err != nil {
			t.Fatalf("model %d: %v", seed, err)
		}
		best, ok := oracle.First(c.p)
		if ok {
			plan := c.plan(best)
			if broken := Check(m, plan.Starts, plan.Modes); len(broken) > 0 {
				t.Fatalf("model %d: %v", seed, broken)
			}
			kept++
		} else {
			none++
		}
		for range 30 {
			starts, modes := drawPlan(m, n)
			plan := Plan{Starts: starts, Modes: modes}
			good := len(Check(m, starts, modes)) == 0
			if good && !ok {
				t.Fatalf("model %d: the problem has no plan, the model has %v, %v", seed, starts, modes)
			}
			if running(m, modes) { // the problem has no other modes of these
				if err := project.Check(c.p, c.back(plan)); good != (err == nil) {
					t.Fatalf("model %d: starts %v, modes %v: model %v, problem %v", seed, starts, modes, Check(m, starts, modes), err)
				}
				drawn++
			}
			if good {
				held++
			}
		}
	}
	if kept < 200 || none < 50 || held < 100 || drawn < 5000 {
		t.Errorf("too little was seen: %d with a plan, %d without, %d of %d plans drawn that hold", kept, none, held, drawn)
	}
}

func running(m *Model, modes []int) bool {
	for i, a := range m.activities {
		if a.only >= 0 && a.only != modes[i] {
			return false
		}
	}
	return true
}
