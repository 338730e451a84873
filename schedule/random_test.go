package schedule

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// naive is a second checker, tick by tick, written from the descriptions of the model's methods.
// It says what is wrong first, or nothing.
func naive(m *Model, starts, modes []int) string {
	ends := make([]int, len(starts))
	for i, a := range m.activities {
		mode := a.modes[modes[i]]
		ends[i] = naiveEnd(m, mode, starts[i])
		if starts[i] < 0 || ends[i] < 0 || ends[i] > m.horizon || a.released && starts[i] < a.release ||
			a.dueSet && ends[i] > a.due || a.pinned && starts[i] != a.pin || a.only >= 0 && modes[i] != a.only {
			return fmt.Sprintf("window of %s", a.name)
		}
	}
	for _, l := range m.lags {
		time := func(p Point) int {
			t := starts[p.Activity]
			if p.End {
				t = ends[p.Activity]
			}
			if l.hours == 0 {
				return t
			}
			n := 0
			for u := range t {
				if naiveOpen(m, l.hours, u) {
					n++
				}
			}
			return n
		}
		if gap := time(l.to) - time(l.from); l.most && gap > l.w || !l.most && gap < l.w {
			return "lag " + l.reason
		}
	}
	for b, budget := range m.budgets {
		for i, a := range m.activities {
			for _, c := range a.modes[modes[i]].Consumes {
				if int(c.Budget) == b {
					budget.amount -= c.Amount
				}
			}
		}
		if budget.amount < 0 {
			return "budget " + budget.name
		}
	}
	for r, res := range m.resources {
		demand := func(i int) (Demand, bool) {
			for _, d := range m.activities[i].modes[modes[i]].Demands {
				if int(d.Resource) == r && starts[i] < ends[i] {
					return d, true
				}
			}
			return Demand{}, false
		}
		for t := range m.horizon {
			left := 0
			for _, s := range res.spans {
				if s.From <= t && t < s.To {
					left = s.Capacity
				}
			}
			for i, a := range m.activities {
				pauses := a.modes[modes[i]].Pauses
				if d, ok := demand(i); ok && starts[i] <= t && t < ends[i] && (pauses == 0 || res.held || naiveOpen(m, pauses, t)) {
					left -= d.Amount
				}
			}
			if left < 0 {
				return fmt.Sprintf("resource %s at %d", res.name, t)
			}
		}
		for i := range m.activities {
			for j := range m.activities {
				a, okA := demand(i)
				b, okB := demand(j)
				if i == j || !okA || !okB || starts[i] > starts[j] {
					continue
				}
				if text := naivePair(res, a, b, starts[i], ends[i], starts[j], ends[j]); text != "" {
					return text
				}
			}
		}
	}
	return ""
}

// naivePair looks at a, which starts no later than b.
func naivePair(res resource, a, b Demand, sa, ea, sb, eb int) string {
	gap, apart := 0, false
	if a.Band.Known && b.Band.Known {
		common := false
		for x := a.Band.Lo; x <= a.Band.Hi; x++ {
			common = common || b.Band.Lo <= x && x <= b.Band.Hi
		}
		if !common {
			apart = true
			if b.Band.Lo > a.Band.Hi {
				gap = (res.up*(b.Band.Lo-a.Band.Hi) + 99) / 100
			} else {
				gap = (res.down*(a.Band.Lo-b.Band.Hi) + 99) / 100
			}
		}
	}
	for _, s := range res.setUps {
		if s.from == a.Family && s.to == b.Family {
			apart, gap = true, max(gap, s.ticks)
		}
		apart = apart || s.from == b.Family && s.to == a.Family
	}
	if apart {
		if sb < ea+gap {
			return "apart on " + res.name
		}
		return ""
	}
	for t := sa + 1; t < ea; t++ {
		if a.Door&NoEntry != 0 && sb == t || a.Door&NoExit != 0 && eb == t {
			return "disturbed on " + res.name
		}
	}
	for t := sb + 1; t < eb; t++ {
		if b.Door&NoEntry != 0 && sa == t || b.Door&NoExit != 0 && ea == t {
			return "disturbed on " + res.name
		}
	}
	return ""
}

func naiveOpen(m *Model, h HoursID, t int) bool {
	for _, s := range m.hours[h-1].open {
		if s.From <= t && t < s.To {
			return true
		}
	}
	return false
}

func naiveEnd(m *Model, mode Mode, start int) int {
	if mode.Pauses == 0 || mode.Duration == 0 {
		return start + mode.Duration
	}
	if start < 0 || !naiveOpen(m, mode.Pauses, start) {
		return -1
	}
	done := 0
	for t := start; t < m.horizon; t++ {
		if naiveOpen(m, mode.Pauses, t) {
			if done++; done == mode.Duration {
				return t + 1
			}
		}
	}
	return -1
}

// randomModel makes a small model of all features; n draws a number below its argument.
func randomModel(n func(int) int, size int) *Model {
	m := NewModel(6 + n(5))
	chance := func(in int) bool { return n(in) == 0 }
	spans := func() (out []Span) {
		for t := n(3); t < m.horizon; t += 1 + n(2) {
			s := Span{t, t + 1 + n(4), n(3) + 1}
			out = append(out, s)
			t = s.To
		}
		return out
	}
	for r := range 1 + n(2) {
		id := m.Resource(fmt.Sprintf("r%d", r), 1+n(3))
		if chance(3) {
			m.Calendar(id, spans())
		}
		if chance(2) {
			m.HeldInPauses(id)
		}
		if chance(2) {
			m.Ramp(id, n(120), n(120))
		}
		if chance(2) {
			m.SetUp(id, "x", "y", n(3))
		}
		if chance(3) {
			m.SetUp(id, "x", "x", n(3))
		}
	}
	for h := range 2 {
		m.Hours(fmt.Sprintf("h%d", h), spans())
	}
	m.Budget("money", n(5))
	count := 1 + n(size)
	for i := range count {
		var modes []Mode
		for range 1 + n(2) {
			mode := Mode{Duration: n(4), Pauses: HoursID(max(0, n(5)-2))}
			for r := range m.resources {
				if chance(3) {
					continue
				}
				d := Demand{Resource: ResourceID(r), Amount: n(3), Door: Door(max(0, n(6)-2))}
				if chance(2) {
					lo := n(4)
					d.Band = Between(lo, lo+n(3))
				}
				if chance(2) {
					d.Family = []string{"x", "y"}[n(2)]
				}
				mode.Demands = append(mode.Demands, d)
			}
			if chance(2) {
				mode.Consumes = []Consumption{{0, n(3)}}
			}
			modes = append(modes, mode)
		}
		a := m.Activity(fmt.Sprintf("a%d", i), modes...)
		if chance(4) {
			m.Release(a, n(4))
		}
		if chance(4) {
			m.Due(a, 3+n(m.horizon))
		}
		switch n(12) {
		case 0:
			m.Fix(a, n(m.horizon))
		case 1:
			m.Running(a, n(len(modes)), n(3))
		}
	}
	for k := range n(4) {
		from, to := ActivityID(n(count)), ActivityID(n(count))
		p, q := Point{from, chance(2)}, Point{to, chance(2)}
		w, reason := n(6)-2, fmt.Sprintf("lag %d", k)
		switch n(4) {
		case 0:
			m.AtMost(p, q, w+2, reason)
		case 1:
			m.AtLeastOpen(HoursID(1+n(2)), p, q, w, reason)
		case 2:
			m.AtMostOpen(HoursID(1+n(2)), p, q, w+2, reason)
		default:
			m.AtLeast(p, q, w, reason)
		}
	}
	return m
}

func draw(t *rapid.T) func(int) int {
	return func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "n") }
}

func drawPlan(m *Model, n func(int) int) (starts, modes []int) {
	for _, a := range m.activities {
		starts, modes = append(starts, n(m.horizon+1)), append(modes, n(len(a.modes)))
	}
	return starts, modes
}

// TestCheckersAgree holds Check against the tick-by-tick checker on plans drawn at random.
func TestCheckersAgree(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := draw(t)
		m := randomModel(n, 3)
		if err := m.Err(); err != nil {
			t.Fatal(err)
		}
		for range 20 {
			starts, modes := drawPlan(m, n)
			got, bad := Check(m, starts, modes), naive(m, starts, modes)
			if (len(got) == 0) != (bad == "") {
				t.Fatalf("starts %v modes %v: Check %v, naive %q", starts, modes, got, bad)
			}
		}
	})
}

// seeded draws from a seeded generator, for tests that count what they saw.
func seeded(seed uint64) func(int) int { return rand.New(rand.NewPCG(seed, 7)).IntN }

// use1 is a mode that takes one of r for d ticks.
func use1(r ResourceID, d int) Mode {
	return Mode{Duration: d, Demands: []Demand{{Resource: r, Amount: 1}}}
}
