package schedule

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestImpossible holds models without a plan and the whole explanation for each.
func TestImpossible(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		build  func(m *Model)
		status Status
		want   []string
	}{
		{
			name: "lags in a circle",
			build: func(m *Model) {
				bake, cut := m.Activity("bake", Mode{Duration: 12}), m.Activity("cut", Mode{Duration: 5})
				m.Activity("glaze", Mode{Duration: 5})
				m.AtLeast(End(bake), Start(cut), 30, "cool before cutting")
				m.AtMost(End(bake), Start(cut), 4, "cut while warm")
			},
			status: Infeasible,
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
			status: Infeasible,
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
			status: Infeasible,
			want: []string{
				`"bake" needs 12 min between 0 and 240: it takes 3 of "oven", which never has more than 2`,
				`"bake" may not start before 0, where the plan begins`, `"bake" must end by 240, where the plan ends`,
			},
		},
		{
			name: "no shift long enough",
			build: func(m *Model) {
				cook := m.Resource("cook", 1)
				m.Calendar(cook, []Span{{0, 20, 1}, {30, 50, 1}})
				m.Due(m.Activity("roll", use1(cook, 30)), 200)
			},
			status: Infeasible,
			want: []string{
				`"roll" needs 30 min between 0 and 200: "cook" is not open for that long with 1 free`,
				`"roll" may not start before 0, where the plan begins`, `"roll" must end by 200`,
			},
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
			status: Infeasible,
			want: []string{
				`"oven" has 100 min of capacity from 0 to 100, but 120 min is needed then`,
				`"one" must lie between 0 and 100 and takes 40 min of it`,
				`"two" must lie between 0 and 100 and takes 40 min of it`,
				`"three" must lie between 0 and 100 and takes 40 min of it`,
			},
		},
		{
			name: "two fixed at once",
			build: func(m *Model) {
				cook := m.Resource("cook", 1)
				m.Fix(m.Activity("whip", use1(cook, 10)), 50)
				m.Fix(m.Activity("roll", use1(cook, 10)), 55)
			},
			status: Infeasible,
			want: []string{
				`"cook" has 1 at 55, but 2 is needed then`,
				`"whip" must be running from 50 to 60 and takes 1`, `"roll" must be running from 55 to 65 and takes 1`,
			},
		},
		{
			// Two of three are taken by each, so no two run together: 3 x 3 = 9 ticks of 8. The
			// counts do not see it (18 of 24), so there is no proof.
			name: "beyond the counts",
			build: func(m *Model) {
				oven := m.Resource("oven", 3)
				for _, name := range []string{"one", "two", "three"} {
					m.Due(m.Activity(name, Mode{Duration: 3, Demands: []Demand{{Resource: oven, Amount: 2}}}), 8)
				}
			},
			status: Unknown,
			want:   []string{`no time was found for "three": "oven" is taken or closed whenever it could run`},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			m := NewModel(240)
			m.Tick = "min"
			tt.build(m)
			res, err := Solve(t.Context(), m, Options{Work: 500})
			if err != nil || res.Status != tt.status {
				t.Fatalf("got %v, %v, %q", res.Status, err, res.Conflict)
			}
			if tt.status == Unknown { // which of the three is unlucky does not matter
				res.Conflict = []string{strings.NewReplacer("one", "three", "two", "three").Replace(res.Conflict[0])}
			}
			slices.Sort(res.Conflict) // the order follows the network, not the reader
			slices.Sort(tt.want)
			if d := cmp.Diff(tt.want, res.Conflict); d != "" {
				t.Error(d)
			}
		})
	}
}

// TestOverloadExact: what fits to the last tick is not refuted, one tick less is.
func TestOverloadExact(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ due, fixed int }{{120, 0}, {119, 0}, {120, 1}} {
		m := NewModel(240)
		oven, cook := m.Resource("oven", 1), m.Resource("cook", 2)
		for _, name := range []string{"one", "two", "three"} { // 3 x 40 = 120
			m.Due(m.Activity(name, use1(oven, 40)), tt.due)
		}
		for k := range 2 + tt.fixed { // two cooks, two fixed tasks
			m.Fix(m.Activity(fmt.Sprint(k), use1(cook, 10)), 50)
		}
		in, l, conflict := prepare(m)
		if conflict != nil {
			t.Fatalf("time alone refutes it: %q", conflict)
		}
		if got, want := in.overload(l) != nil, tt.due < 120 || tt.fixed > 0; got != want {
			t.Errorf("due %d, %d fixed tasks too many: refuted %v, want %v", tt.due, tt.fixed, got, want)
		}
	}
}
