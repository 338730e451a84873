package schedule

import (
	"fmt"
	"slices"
	"strings"
)

// Kind is the sort of rule that a plan breaks.
type Kind uint8

// Kinds of violation.
const (
	BadModel     Kind = iota // the model itself was refused
	BadShape                 // not one start and one existing mode for each activity
	OutOfTime                // starts before 0 or ends after the horizon
	TooEarly                 // starts before its release
	TooLate                  // ends after its due time
	Moved                    // does not start where it is fixed
	LagBroken                // two points too near or too far apart
	Overloaded               // more demanded of a resource than there is
	SettingClash             // two activities on a resource share no setting
)

// String returns the kind in words.
func (k Kind) String() string {
	return [...]string{
		"model refused", "wrong shape", "outside the plan", "before release", "after due time",
		"fixed start moved", "lag broken", "resource overloaded", "settings clash",
	}[k]
}

// Violation is one rule that a plan breaks, with the names and both figures.
type Violation struct {
	Kind Kind
	Text string
}

// Check verifies a plan: starts in ticks and mode indices, one of each for each activity. It
// reads only the model and the plan, shares nothing with the construction, and returns every
// broken rule: none means that the plan holds. An overload is reported once for each unbroken
// stretch of time.
func Check(m *Model, starts, modes []int) []Violation {
	if err := m.Err(); err != nil {
		return []Violation{{BadModel, err.Error()}}
	}
	var c checker
	if len(starts) != len(m.activities) || len(modes) != len(m.activities) {
		c.add(BadShape, "the plan has %d starts and %d modes for %d activities", len(starts), len(modes), len(m.activities))
		return c.found
	}
	for i, a := range m.activities {
		switch {
		case modes[i] < 0 || modes[i] >= len(a.modes):
			c.add(BadShape, "%q is planned in mode %d, it has %d", a.name, modes[i], len(a.modes))
		case starts[i] < -MaxTick || starts[i] > MaxTick:
			c.add(OutOfTime, "%q starts at %d, the plan runs from 0 to %d", a.name, starts[i], m.horizon)
		}
	}
	if len(c.found) > 0 {
		return c.found
	}
	ends := make([]int, len(starts))
	for i, a := range m.activities {
		ends[i] = starts[i] + a.modes[modes[i]].Duration
		c.window(m, a, starts[i], ends[i])
	}
	for _, l := range m.lags {
		c.lag(m, l, starts, ends)
	}
	for r := range m.resources {
		c.resource(m, ResourceID(r), starts, ends, modes)
	}
	return c.found
}

type checker struct{ found []Violation }

func (c *checker) add(k Kind, format string, args ...any) {
	c.found = append(c.found, Violation{k, fmt.Sprintf(format, args...)})
}

func (c *checker) window(m *Model, a activity, start, end int) {
	if start < 0 || end > m.horizon {
		c.add(OutOfTime, "%q runs from %s to %s, the plan from %s to %s", a.name, m.at(start), m.at(end), m.at(0), m.at(m.horizon))
	}
	if a.released && start < a.release {
		c.add(TooEarly, "%q starts at %s, it may not before %s", a.name, m.at(start), m.at(a.release))
	}
	if a.dueSet && end > a.due {
		c.add(TooLate, "%q ends at %s, it is due by %s", a.name, m.at(end), m.at(a.due))
	}
	if a.pinned && start != a.pin {
		c.add(Moved, "%q starts at %s, it is fixed at %s", a.name, m.at(start), m.at(a.pin))
	}
}

func (c *checker) lag(m *Model, l lag, starts, ends []int) {
	time := func(p Point) int {
		if p.End {
			return ends[p.Activity]
		}
		return starts[p.Activity]
	}
	gap := time(l.to) - time(l.from)
	if (l.most && gap > l.w) || (!l.most && gap < l.w) {
		c.add(LagBroken, "%s, the plan has %s", m.lagWords(l), m.long(gap))
	}
}

// use is one activity's hold on the resource that is being checked.
type use struct {
	name       string
	start, end int
	amount     int
	band       Band
}

func (c *checker) resource(m *Model, r ResourceID, starts, ends, modes []int) {
	var uses []use
	var ticks []int
	for i, a := range m.activities {
		for _, d := range a.modes[modes[i]].Demands {
			if d.Resource == r && starts[i] < ends[i] {
				uses = append(uses, use{a.name, starts[i], ends[i], d.Amount, d.Band})
				ticks = append(ticks, starts[i], ends[i])
			}
		}
	}
	for _, s := range m.resources[r].spans {
		ticks = append(ticks, s.From, s.To)
	}
	slices.Sort(ticks)
	ticks = slices.Compact(ticks)
	slices.SortStableFunc(uses, func(a, b use) int { return a.start - b.start })

	var running []use
	next, over := 0, false
	for _, t := range ticks {
		running = slices.DeleteFunc(running, func(u use) bool { return u.end <= t })
		for ; next < len(uses) && uses[next].start == t; next++ {
			for _, u := range running {
				c.settings(m, r, u, uses[next])
			}
			running = append(running, uses[next])
		}
		total, capacity := 0, capacityAt(m.resources[r].spans, t)
		var names []string
		for _, u := range running {
			if u.amount > 0 {
				total += u.amount
				names = append(names, fmt.Sprintf("%q", u.name))
			}
		}
		if total > capacity && !over {
			c.add(Overloaded, "%q has %d at %s, %d is taken: %s", m.resources[r].name, capacity, m.at(t), total, strings.Join(names, ", "))
		}
		over = total > capacity
	}
}

// settings compares two activities that overlap. Bands that meet pair by pair have a value
// common to all of them (Helly's theorem on a line), so pairs suffice.
func (c *checker) settings(m *Model, r ResourceID, a, b use) {
	if a.band.Known && b.band.Known && (a.band.Hi < b.band.Lo || b.band.Hi < a.band.Lo) {
		c.add(SettingClash, "%q is shared at %s by %q at %d to %d and %q at %d to %d: no setting suits both",
			m.resources[r].name, m.at(b.start), a.name, a.band.Lo, a.band.Hi, b.name, b.band.Lo, b.band.Hi)
	}
}

func capacityAt(spans []Span, t int) int {
	i, _ := slices.BinarySearchFunc(spans, t, func(s Span, t int) int {
		if s.To <= t {
			return -1
		}
		return 1
	})
	if i < len(spans) && spans[i].From <= t {
		return spans[i].Capacity
	}
	return 0
}
