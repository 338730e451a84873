package schedule

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestImpossible holds models without a plan and the whole explanation for each.
func TestImpossible(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		build func(m *Model)
		want  []string
	}{
		{
			name: "lags in a circle",
			build: func(m *Model) {
				bake, cut := m.Activity("bake", Mode{Duration: 12}), m.Activity("cut", Mode{Duration: 5})
				m.Activity("glaze", Mode{Duration: 5})
				m.AtLeast(End(bake), Start(cut), 30, "cool before cutting")
				m.AtMost(End(bake), Start(cut), 4, "cut while warm")
			},
			want: []string{
				`"cool before cutting": at least 30 min from the end of "bake" to the start of "cut"`,
				`"cut while warm": at most 4 min from the end of "bake" to the start of "cut"`,
			},
		},
		{
			// 60 + 12 + 30 + 5 = 107, due at 100.
			name: "too little time",
			build: func(m *Model) {
				bake, cut := m.Activity("bake", Mode{Duration: 12}), m.Activity("cut", Mode{Duration: 5})
				m.Release(bake, 60)
				m.AtLeast(End(bake), Start(cut), 30, "cool")
				m.Due(cut, 100)
			},
			want: []string{
				`"bake" may not start before 60`, `"bake" takes 12 min`,
				`"cool": at least 30 min from the end of "bake" to the start of "cut"`, `"cut" takes 5 min`,
				`"cut" must end by 100`,
			},
		},
		{
			name: "more than there is",
			build: func(m *Model) {
				m.Activity("bake", Mode{Duration: 12, Demands: []Demand{{Resource: m.Resource("oven", 2), Amount: 3}}})
			},
			want: []string{`"oven" has 2`},
		},
		{
			name: "no shift long enough",
			build: func(m *Model) {
				cook := m.Resource("cook", 1)
				m.Calendar(cook, []Span{{0, 20, 1}, {30, 50, 1}})
				m.Due(m.Activity("roll", use1(cook, 30)), 200)
			},
			want: []string{`"cook" has 1, in its calendar`},
		},
		{
			// 3 x 40 = 120 in an oven of one from 0 to 100.
			name: "three trays, one oven",
			build: func(m *Model) {
				oven := m.Resource("oven", 1)
				for _, name := range []string{"one", "two", "three"} {
					m.Due(m.Activity(name, use1(oven, 40)), 100)
				}
			},
			want: []string{`"oven" has 1`, `"one" must end by 100`, `"two" must end by 100`, `"three" must end by 100`},
		},
		{
			name: "two fixed at once",
			build: func(m *Model) {
				cook := m.Resource("cook", 1)
				m.Fix(m.Activity("whip", use1(cook, 10)), 50)
				m.Fix(m.Activity("roll", use1(cook, 10)), 55)
			},
			want: []string{`"cook" has 1`, `"whip" is fixed to start at 50`, `"roll" is fixed to start at 55`},
		},
		{
			// Two of three are taken by each, so no two run together: 3 x 3 = 9 ticks of 8, though
			// by amounts it would fit (18 of 24).
			name: "beyond the counts",
			build: func(m *Model) {
				oven := m.Resource("oven", 3)
				for _, name := range []string{"one", "two", "three"} {
					m.Due(m.Activity(name, Mode{Duration: 3, Demands: []Demand{{Resource: oven, Amount: 2}}}), 8)
				}
			},
			want: []string{`"oven" has 3`, `"one" must end by 8`, `"two" must end by 8`, `"three" must end by 8`},
		},
		{
			// The heat does not change in time between the two: 40 + 30 + 40 of 100.
			name: "no time to cool down",
			build: func(m *Model) {
				oven := m.Resource("oven", 1)
				m.Ramp(oven, 60, 60)
				for k, name := range []string{"puff", "meringue"} {
					lo := 200 - 110*k
					m.Due(m.Activity(name, Mode{Duration: 40, Demands: []Demand{{Resource: oven, Amount: 1, Band: Between(lo, lo+10)}}}), 100)
				}
				m.Activity("count spoons", Mode{Duration: 10})
			},
			want: []string{`"oven" is at one setting at a time and takes 60 min up and 60 min down for 100`, `"puff" must end by 100`, `"meringue" must end by 100`},
		},
		{
			// Three hours of work in two open hours before it is due.
			name: "hours too short",
			build: func(m *Model) {
				day := m.Hours("day", []Span{{0, 60, 0}, {120, 180, 0}, {200, 240, 0}})
				m.Due(m.Activity("dry", Mode{Duration: 121, Pauses: day}), 200)
			},
			want: []string{`work that pauses by "day" goes on in those hours only`, `"dry" must end by 200`},
		},
		{
			name: "budget",
			build: func(m *Model) {
				power := m.Budget("power", 5)
				for _, name := range []string{"one", "two"} {
					m.Activity(name, Mode{Duration: 3, Consumes: []Consumption{{power, 3}}})
				}
			},
			want: []string{`"power" has 5 in all`},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			m := NewModel(240)
			m.Tick = "min"
			tt.build(m)
			res, err := Solve(t.Context(), m, Options{})
			if err != nil || res.Status != Infeasible || !res.Least {
				t.Fatalf("got %v, %v, %q", res.Status, err, res.Conflict)
			}
			slices.Sort(res.Conflict) // the order follows the network, not the reader
			slices.Sort(tt.want)
			if d := cmp.Diff(tt.want, res.Conflict); d != "" {
				t.Error(d)
			}
		})
	}
}
