package schedule

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// naive is a second checker, tick by tick, written from the definition in the package comment.
// It says what is wrong first, or nothing.
func naive(m *Model, starts, modes []int) string {
	end := func(i int) int { return starts[i] + m.activities[i].modes[modes[i]].Duration }
	for i, a := range m.activities {
		if starts[i] < 0 || end(i) > m.horizon || (a.released && starts[i] < a.release) ||
			(a.dueSet && end(i) > a.due) || (a.pinned && starts[i] != a.pin) {
			return fmt.Sprintf("window of %s", a.name)
		}
	}
	time := func(p Point) int {
		if p.End {
			return end(int(p.Activity))
		}
		return starts[p.Activity]
	}
	for _, l := range m.lags {
		if l.most && time(l.to) > time(l.from)+l.w || !l.most && time(l.to) < time(l.from)+l.w {
			return "lag " + l.reason
		}
	}
	for r, res := range m.resources {
		for t := range m.horizon {
			capacity := 0
			for _, s := range res.spans {
				if s.From <= t && t < s.To {
					capacity = s.Capacity
				}
			}
			used, lo, hi := 0, -1<<40, 1<<40
			for i, a := range m.activities {
				if t < starts[i] || t >= end(i) {
					continue
				}
				for _, d := range a.modes[modes[i]].Demands {
					if int(d.Resource) != r {
						continue
					}
					used += d.Amount
					if d.Band.Known {
						lo, hi = max(lo, d.Band.Lo), min(hi, d.Band.Hi)
					}
				}
			}
			if used > capacity || lo > hi {
				return fmt.Sprintf("resource %s at %d", res.name, t)
			}
		}
	}
	return ""
}

// exists reports by trying every start and mode whether m has a plan.
func exists(m *Model) bool {
	n := len(m.activities)
	starts, modes := make([]int, n), make([]int, n)
	var try func(i int) bool
	try = func(i int) bool {
		if i == n {
			return naive(m, starts, modes) == ""
		}
		for k, mode := range m.activities[i].modes {
			for t := 0; t+mode.Duration <= m.horizon; t++ {
				starts[i], modes[i] = t, k
				if partly(m, starts, modes, i+1) && try(i+1) {
					return true
				}
			}
		}
		return false
	}
	return try(0)
}

// partly checks the windows and lags of the first n activities, to cut the enumeration.
func partly(m *Model, starts, modes []int, n int) bool {
	end := func(i int) int { return starts[i] + m.activities[i].modes[modes[i]].Duration }
	a := m.activities[n-1]
	if a.released && starts[n-1] < a.release || a.dueSet && end(n-1) > a.due || a.pinned && starts[n-1] != a.pin {
		return false
	}
	for _, l := range m.lags {
		if int(l.from.Activity) >= n || int(l.to.Activity) >= n {
			continue
		}
		from, to := starts[l.from.Activity], starts[l.to.Activity]
		if l.from.End {
			from = end(int(l.from.Activity))
		}
		if l.to.End {
			to = end(int(l.to.Activity))
		}
		if l.most && to > from+l.w || !l.most && to < from+l.w {
			return false
		}
	}
	return true
}

// randomModel draws a model of 1 to size activities over 6 to 12 ticks with everything in it:
// modes, calendars, bands, lags of both signs, releases, due times and fixed starts.
func randomModel(n func(int) int, size int) *Model {
	m := NewModel(6 + n(7))
	for r := range 1 + n(2) {
		id := m.Resource(fmt.Sprintf("r%d", r), 1+n(3))
		if n(3) == 0 {
			at := n(m.horizon)
			m.Calendar(id, []Span{{0, at + 1, 1 + n(2)}, {at + 1 + n(2), m.horizon + 2, 1 + n(3)}}[:1+n(2)])
		}
	}
	for i := range 1 + n(size) {
		var modes []Mode
		for range 1 + n(2) {
			mode := Mode{Duration: n(5)}
			for r := range m.resources {
				if n(3) == 0 {
					continue
				}
				d := Demand{Resource: ResourceID(r), Amount: n(3)}
				if n(3) == 0 {
					lo := n(4)
					d.Band = Between(lo, lo+n(3))
				}
				mode.Demands = append(mode.Demands, d)
			}
			modes = append(modes, mode)
		}
		a := m.Activity(fmt.Sprintf("a%d", i), modes...)
		switch n(8) {
		case 0:
			m.Release(a, n(m.horizon))
		case 1:
			m.Due(a, 1+n(m.horizon))
		case 2:
			m.Fix(a, n(m.horizon))
		}
	}
	for k := range n(5) {
		from := Point{ActivityID(n(m.Activities())), n(2) == 0}
		to := Point{ActivityID(n(m.Activities())), n(2) == 0}
		if n(2) == 0 {
			m.AtLeast(from, to, n(6)-1, fmt.Sprintf("least %d", k))
		} else {
			m.AtMost(from, to, n(6)-1, fmt.Sprintf("most %d", k))
		}
	}
	return m
}

// tightModel draws a model of 4 or 5 activities that crowd one or two resources over 8 to 12
// ticks, with mostly maximum lags: hard to place, and rarely refuted by time alone.
func tightModel(n func(int) int) *Model {
	m := NewModel(8 + n(5))
	oven, cook := m.Resource("oven", 2), m.Resource("cook", 1)
	if n(3) == 0 {
		m.Calendar(cook, []Span{{0, 5 + n(2), 1}, {6 + n(2), 12, 1}})
	}
	count := 4 + n(2)
	for i := range count {
		mode := Mode{Duration: 1 + n(4), Demands: []Demand{{Resource: oven, Amount: 1 + n(2)}}}
		if n(2) == 0 {
			lo := n(4)
			mode.Demands[0].Band = Between(lo, lo+n(2))
		}
		other := Mode{Duration: 1 + n(3), Demands: []Demand{{Resource: cook, Amount: 1}}}
		m.Activity(fmt.Sprintf("a%d", i), []Mode{mode, other}[n(2):]...)
	}
	for k := range 2 + n(2) {
		i := n(count - 1)
		from, to := ActivityID(i), ActivityID(i+1+n(count-1-i))
		m.AtLeast(End(from), Start(to), n(2), fmt.Sprintf("least %d", k))
		if n(3) > 0 {
			m.AtMost(End(from), Start(to), 1+n(2), fmt.Sprintf("most %d", k))
		}
	}
	return m
}

// TestOracle compares Solve with enumeration on 1200 small models, half of them tight. Infeasible must be right
// always, a plan must pass the naive checker always, and a plan must be found for at least 95
// in 100 of the models that have one.
func TestOracle(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 11))
	feasible, found, proved, impossible := 0, 0, 0, 0
	for k := range 1200 {
		m := randomModel(rng.IntN, 5)
		if k%2 == 0 {
			m = tightModel(rng.IntN)
		}
		if err := m.Err(); err != nil {
			t.Fatalf("model %d: %v", k, err)
		}
		res, err := Solve(t.Context(), m, Options{Early: k%4 > 1, Work: 4000})
		if err != nil {
			t.Fatalf("model %d: %v", k, err)
		}
		if res.Refused > 0 {
			t.Errorf("model %d: %d plans were made that break a rule", k, res.Refused)
		}
		want := exists(m)
		if want {
			feasible++
		} else {
			impossible++
		}
		switch res.Status {
		case Feasible:
			found++
			if bad := naive(m, res.Starts, res.Modes); bad != "" {
				t.Errorf("model %d: plan %v in modes %v breaks %s", k, res.Starts, res.Modes, bad)
			}
		case Infeasible:
			proved++
			if want {
				t.Errorf("model %d has a plan, Solve says infeasible: %q", k, res.Conflict)
			}
			fallthrough
		case Unknown:
			if len(res.Conflict) == 0 {
				t.Errorf("model %d: %v without an explanation", k, res.Status)
			}
		}
	}
	t.Logf("%d models have a plan, found %d; %d have none, proved %d", feasible, found, impossible, proved)
	if feasible < 200 || impossible < 100 {
		t.Fatalf("the models are too one-sided to judge by: %d feasible, %d not", feasible, impossible)
	}
	if found*100 < feasible*95 {
		t.Errorf("found plans for %d of %d, want 95 %%", found, feasible)
	}
}
