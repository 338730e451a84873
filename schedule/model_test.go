package schedule

import (
	"fmt"
	"strings"
	"testing"
)

func TestRefused(t *testing.T) {
	t.Parallel()
	const absurd = 1 << 40
	tests := []struct {
		name  string
		build func(m *Model)
		want  string
	}{
		{"capacity", func(m *Model) { m.Resource("oven", -1) }, `resource "oven" has capacity -1`},
		{"no resource name", func(m *Model) { m.Resource("", 1) }, "resource 0 has no name"},
		{"no activity name", func(m *Model) { m.Activity("", Mode{}) }, "activity 0 has no name"},
		{"no mode", func(m *Model) { m.Activity("bake") }, `activity "bake" has no mode`},
		{"duration", func(m *Model) { m.Activity("bake", Mode{Name: "hot", Duration: absurd}) }, `activity "bake", mode "hot": the duration is 1099511627776`},
		{"negative duration", func(m *Model) { m.Activity("bake", Mode{Duration: -1}) }, "the duration is -1"},
		{"amount", func(m *Model) {
			m.Activity("bake", Mode{Demands: []Demand{{Resource: m.Resource("oven", 1), Amount: absurd}}})
		}, `takes 1099511627776 of "oven"`},
		{"resource", func(m *Model) { m.Activity("bake", use1(3, 1)) }, "uses resource 3, which is not in the model"},
		{"twice", func(m *Model) {
			r := m.Resource("oven", 1)
			m.Activity("bake", Mode{Demands: []Demand{{Resource: r}, {Resource: r}}})
		}, `takes "oven" twice`},
		{"band", func(m *Model) {
			m.Activity("bake", Mode{Demands: []Demand{{Resource: m.Resource("oven", 1), Amount: 1, Band: Between(200, 180)}}})
		}, `setting of "oven" runs from 200 to 180`},
		{"lag", func(m *Model) { a := m.Activity("a", Mode{}); m.AtLeast(End(a), Start(a), absurd, "rest") }, `lag "rest" is 1099511627776`},
		{"lag to nothing", func(m *Model) { m.AtMost(Point{}, Point{}, 1, "rest") }, `lag "rest" names activity 0`},
		{"release", func(m *Model) { m.Release(m.Activity("a", Mode{}), -absurd) }, `the release of "a" is -1099511627776`},
		{"due of nothing", func(m *Model) { m.Due(2, 1) }, "due time is given for activity 2"},
		{"span", func(m *Model) { m.Calendar(m.Resource("cook", 1), []Span{{5, 5, 1}}) }, `calendar of "cook": a span runs from 5 to 5`},
		{"span capacity", func(m *Model) { m.Calendar(m.Resource("cook", 1), []Span{{5, 6, -1}}) }, `calendar of "cook": the capacity is -1`},
		{"overlap", func(m *Model) { m.Calendar(m.Resource("cook", 1), []Span{{0, 5, 1}, {4, 6, 1}}) }, "spans overlap at 4"},
		{"hours of no name", func(m *Model) { m.Hours("", nil) }, "hours 1 have no name"},
		{"hours overlap", func(m *Model) { m.Hours("shift", []Span{{0, 5, 1}, {4, 6, 1}}) }, `the hours "shift": spans overlap at 4`},
		{"pause", func(m *Model) { m.Activity("bake", Mode{Pauses: 1}) }, "pauses by hours 1, which are not in the model"},
		{"working lag", func(m *Model) { a := m.Activity("a", Mode{}); m.AtLeastOpen(2, End(a), Start(a), 1, "rest") }, `lag "rest" is measured by hours 2`},
		{"budget", func(m *Model) { m.Budget("eggs", -1) }, `budget "eggs" is -1`},
		{"no budget", func(m *Model) { m.Activity("bake", Mode{Consumes: []Consumption{{1, 1}}}) }, "uses budget 1, which is not in the model"},
		{"consumption", func(m *Model) { m.Activity("bake", Mode{Consumes: []Consumption{{m.Budget("eggs", 1), -1}}}) }, `uses -1 of "eggs"`},
		{"consumed twice", func(m *Model) {
			b := m.Budget("eggs", 1)
			m.Activity("bake", Mode{Consumes: []Consumption{{b, 1}, {b, 1}}})
		}, `uses "eggs" twice`},
		{"ramp", func(m *Model) { m.Ramp(m.Resource("oven", 1), -1, 0) }, `ramp of "oven" is -1 up and 0 down`},
		{"ramp of nothing", func(m *Model) { m.Ramp(0, 1, 1) }, "ramp is given for resource 0"},
		{"set-up", func(m *Model) { m.SetUp(m.Resource("oven", 1), "", "nuts", 3) }, `set-up of "oven" from "" to "nuts" is 3`},
		{"set-up of nothing", func(m *Model) { m.SetUp(1, "a", "b", 3) }, "set-up is given for resource 1"},
		{"hold of nothing", func(m *Model) { m.HeldInPauses(1) }, "hold is given for resource 1"},
		{"running", func(m *Model) { m.Running(m.Activity("a", Mode{}), 1, 0) }, `"a" is said to run in mode 1: it has 1`},
		{"running nothing", func(m *Model) { m.Running(1, 0, 0) }, "running start is given for activity 1"},
		{"goal without name", func(m *Model) { m.Minimise(Delays("")) }, "goal 0 has no name"},
		{"goal for nothing", func(m *Model) { m.Minimise(Delays("late", Delay{From: Origin, To: End(3)})) }, `goal "late" names activity 3`},
		{"goal after", func(m *Model) { m.Minimise(Delays("late", Delay{From: Origin, To: Origin, After: absurd})) }, `goal "late" has a delay after 1099511627776`},
		{"goal weight", func(m *Model) { m.Minimise(Delays("late", Delay{From: Origin, To: Origin, Weight: -1})) }, `goal "late" has the weight -1`},
		{"goal hours", func(m *Model) { m.Minimise(Outside("night", Use{Resource: m.Resource("cook", 1)})) }, `goal "night" looks at hours 0`},
		{"goal resource", func(m *Model) { m.Minimise(Presence("there", Use{Hours: m.Hours("shift", nil)})) }, "a goal is given for resource 0"},
		{"goal set-ups", func(m *Model) { m.Minimise(SetUps("change", 4)) }, "a goal is given for resource 4"},
		{"calendar of nothing", func(m *Model) { m.Calendar(1, nil) }, "resource 1, which is not in the model"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			m := NewModel(100)
			tt.build(m)
			if _, err := Solve(t.Context(), m, Options{}); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %q in it", err, tt.want)
			}
			if v := Check(m, nil, nil); len(v) != 1 || v[0].Kind != BadModel {
				t.Errorf("Check gives %v, want the model refused", v)
			}
		})
	}
	for _, horizon := range []int{-1, 0, absurd} {
		if NewModel(horizon).Err() == nil {
			t.Errorf("a horizon of %d is accepted", horizon)
		}
	}
}

// TestLimits plans at the largest values allowed; sums there must not wrap.
func TestLimits(t *testing.T) {
	t.Parallel()
	m := NewModel(MaxTick)
	m.Resource("oven", MaxAmount)
	for i := range 40 {
		m.Activity(fmt.Sprint(i), Mode{Duration: MaxTick, Demands: []Demand{{Amount: MaxAmount}}})
	}
	res, err := Solve(t.Context(), m, Options{})
	if err != nil || res.Status != Infeasible {
		t.Errorf("40 full loads: got %v, %v", res.Status, err)
	}
	m = NewModel(MaxTick)
	first := m.Activity("0", Mode{Duration: 1})
	last := first
	for i := range 40 {
		next := m.Activity(fmt.Sprint(i+1), Mode{Duration: 1})
		m.AtLeast(End(last), Start(next), MaxTick, "long")
		m.AtMost(Start(first), Start(next), -MaxTick, "back")
		last = next
	}
	if res, err = Solve(t.Context(), m, Options{}); err != nil || res.Status != Infeasible {
		t.Errorf("a chain far past the horizon: got %v, %v", res.Status, err)
	}
}

// TestAsked: the model gives back what it was told, and nothing for what it does not know.
func TestAsked(t *testing.T) {
	t.Parallel()
	m := NewModel(77)
	a := m.Activity("bake", Mode{Name: "hot", Duration: 3}, Mode{Name: "slow", Duration: 9})
	modes := m.Modes(a)
	if m.Horizon() != 77 || m.Activities() != 1 || m.Name(a) != "bake" || len(modes) != 2 || modes[1].Name != "slow" {
		t.Errorf("got %d, %d, %q, %v", m.Horizon(), m.Activities(), m.Name(a), modes)
	}
	if m.Name(5) != "" || m.Modes(-1) != nil {
		t.Errorf("an unknown activity is called %q with modes %v", m.Name(5), m.Modes(-1))
	}
	if m.Err() != nil {
		t.Error(m.Err())
	}
}
