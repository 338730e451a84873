package oracle

import (
	"reflect"
	"testing"

	"chablon/schedule/project"
)

// TestAgrees compares the two readings of the definitions, this one and project's own, on plans
// of random problems: plans that hold, and the same ones disturbed.
func TestAgrees(t *testing.T) {
	t.Parallel()
	plans, refused := 0, 0
	for seed := range uint64(1500) {
		p := Random(seed, All)
		if err := p.Validate(); err != nil {
			t.Fatalf("problem %d: %v", seed, err)
		}
		value, plan, ok := Optimum(p)
		if !ok {
			continue
		}
		plans++
		if err := project.Check(p, plan); err != nil {
			t.Fatalf("problem %d: %v\n%+v\n%+v", seed, err, p, plan)
		}
		if got := p.Value(plan); !reflect.DeepEqual(got, value) {
			t.Fatalf("problem %d: value %v, want %v\n%+v\n%+v", seed, got, value, p, plan)
		}
		for i := range plan.Start {
			for _, by := range []int32{-2, -1, 1, 2} {
				other := project.Plan{Start: append([]int32(nil), plan.Start...), Mode: plan.Mode}
				other.Start[i] += by
				for k := range other.Start {
					other.Makespan = max(other.Makespan, end(p, other, k))
				}
				text, err := Broken(p, other), project.Check(p, other)
				if (text == "") != (err == nil) {
					t.Fatalf("problem %d: here %q, project says %v\n%+v\n%+v", seed, text, err, p, other)
				}
				if text != "" {
					refused++
					continue
				}
				if got, want := p.Value(other), Value(p, other); !reflect.DeepEqual(got, want) {
					t.Fatalf("problem %d: value %v, want %v\n%+v\n%+v", seed, got, want, p, other)
				}
			}
		}
	}
	if plans < 500 || refused < 500 {
		t.Errorf("only %d plans and %d refusals were compared", plans, refused)
	}
}
