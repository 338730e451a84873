package schedule

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestCheck breaks one rule after another in a plan that holds: bake 10-30 (oven, 180), rest
// with 5 between, roll 35-45 (cook, 30-60).
func TestCheck(t *testing.T) {
	t.Parallel()
	m := NewModel(100)
	oven, cook := m.Resource("oven", 2), m.Resource("cook", 1)
	m.Calendar(cook, []Span{{30, 60, 1}})
	bake := m.Activity("bake", Mode{Duration: 20, Demands: []Demand{{oven, 1, Between(180, 190)}}})
	roll := m.Activity("roll", use1(cook, 10), Mode{Duration: 10, Demands: []Demand{{oven, 2, Band{}}}})
	dry := m.Activity("dry", Mode{Duration: 20, Demands: []Demand{{oven, 1, Between(90, 100)}}})
	m.Activity("serve", Mode{})
	m.Release(bake, 5)
	m.Due(roll, 55)
	m.Fix(dry, 60)
	m.AtLeast(End(bake), Start(roll), 5, "rest")
	m.AtMost(End(bake), Start(roll), 10, "dries out")

	good := []int{10, 35, 60, 100}
	tests := []struct {
		name   string
		starts []int
		modes  []int
		want   []Violation
	}{
		{"holds", good, []int{0, 0, 0, 0}, nil},
		{"shape", []int{1}, []int{0, 0, 0, 0}, []Violation{{BadShape, "the plan has 1 starts and 4 modes for 4 activities"}}},
		{"mode", good, []int{0, 2, 0, 0}, []Violation{{BadShape, `"roll" is planned in mode 2, it has 2`}}},
		{"absurd start", []int{10, 35, 60, 1 << 62}, []int{0, 0, 0, 0}, []Violation{{OutOfTime, `"serve" starts at 4611686018427387904, the plan runs from 0 to 100`}}},
		{"past the end", []int{10, 35, 60, 101}, []int{0, 0, 0, 0}, []Violation{{OutOfTime, `"serve" runs from 101 to 101, the plan from 0 to 100`}}},
		{"release", []int{4, 30, 60, 0}, []int{0, 0, 0, 0}, []Violation{{TooEarly, `"bake" starts at 4, it may not before 5`}}},
		{"due", []int{18, 46, 60, 0}, []int{0, 0, 0, 0}, []Violation{{TooLate, `"roll" ends at 56, it is due by 55`}}},
		{"pin and settings", []int{10, 35, 29, 0}, []int{0, 0, 0, 0}, []Violation{
			{Moved, `"dry" starts at 29, it is fixed at 60`},
			{SettingClash, `"oven" is shared at 29 by "bake" at 180 to 190 and "dry" at 90 to 100: no setting suits both`},
		}},
		{"minimum lag", []int{11, 35, 60, 0}, []int{0, 0, 0, 0}, []Violation{{LagBroken, `"rest": at least 5 from the end of "bake" to the start of "roll", the plan has 4`}}},
		{"maximum lag", []int{10, 41, 60, 0}, []int{0, 0, 0, 0}, []Violation{{LagBroken, `"dries out": at most 10 from the end of "bake" to the start of "roll", the plan has 11`}}},
		{"at the opening", []int{5, 30, 60, 0}, []int{0, 0, 0, 0}, nil},
		{"before opening", []int{5, 29, 60, 0}, []int{0, 0, 0, 0}, []Violation{
			{LagBroken, `"rest": at least 5 from the end of "bake" to the start of "roll", the plan has 4`},
			{Overloaded, `"cook" has 0 at 29, 1 is taken: "roll"`},
		}},
		{"overload", []int{10, 35, 44, 0}, []int{0, 1, 0, 0}, []Violation{
			{Moved, `"dry" starts at 44, it is fixed at 60`},
			{Overloaded, `"oven" has 2 at 44, 3 is taken: "roll", "dry"`},
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if d := cmp.Diff(tt.want, Check(m, tt.starts, tt.modes)); d != "" {
				t.Error(d)
			}
			if len(tt.starts) == 4 && tt.starts[3] <= 101 && tt.modes[1] < 2 {
				if bad := naive(m, tt.starts, tt.modes); (bad == "") != (tt.want == nil) {
					t.Errorf("the naive checker says %q", bad)
				}
			}
		})
	}
}

func TestKindWords(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for k := BadModel; k <= SettingClash; k++ {
		seen[k.String()] = true
	}
	if len(seen) != 9 || seen[""] {
		t.Errorf("nine kinds have the words %v", seen)
	}
}
