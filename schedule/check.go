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
	Changed                  // not in the mode in which it runs
	Closed                   // starts while its hours are closed, or they end before its work
	LagBroken                // two points too near or too far apart
	Overloaded               // more demanded of a resource than there is
	SettingClash             // two activities on a resource share no setting, and no time to change it
	SetUpClash               // too little time to change from one family to another
	Disturbed                // starts or ends within one that may not be disturbed
	Overdrawn                // more used of a budget than there is
)

// String returns the kind in words.
func (k Kind) String() string {
	return [...]string{
		"model refused", "wrong shape", "outside the plan", "before release", "after due time",
		"fixed start moved", "running mode changed", "outside its hours", "lag broken", "resource overloaded",
		"settings clash", "set-up too short", "disturbed", "budget overdrawn",
	}[k]
}

// Violation is one rule that a plan breaks, with the names and both figures.
type Violation struct {
	Kind Kind
	Text string
}

// Check verifies a plan: starts in ticks and mode indices, one of each for each activity. It
// reads only the model and the plan, shares nothing with the engines, and returns every broken
// rule: none means that the plan holds. An overload is reported once for each unbroken stretch
// of time.
func Check(m *Model, starts, modes []int) []Violation {
	if err := m.Err(); err != nil {
		return []Violation{{BadModel, err.Error()}}
	}
	c := checker{m: m, starts: starts, modes: modes}
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
	c.ends = make([]int, len(starts))
	for i := range m.activities {
		c.window(i)
	}
	for _, l := range m.lags {
		c.lag(l)
	}
	for r := range m.resources {
		c.resource(ResourceID(r))
	}
	for b := range m.budgets {
		c.budget(BudgetID(b))
	}
	return c.found
}

type checker struct {
	m                   *Model
	starts, ends, modes []int
	found               []Violation
}

func (c *checker) add(k Kind, format string, args ...any) {
	c.found = append(c.found, Violation{k, fmt.Sprintf(format, args...)})
}

func (c *checker) mode(i int) *Mode { return &c.m.activities[i].modes[c.modes[i]] }

// window finds the end of an activity and checks what bounds it alone.
func (c *checker) window(i int) {
	m, a, start := c.m, c.m.activities[i], c.starts[i]
	var open bool
	if c.ends[i], open = m.endOf(c.mode(i), start); !open {
		c.add(Closed, "%q starts at %s, which is outside of its hours %q or too late for %s of work in them",
			a.name, m.at(start), m.hours[c.mode(i).Pauses-1].name, m.long(c.mode(i).Duration))
		c.ends[i] = start + c.mode(i).Duration
	}
	end := c.ends[i]
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
	if a.only >= 0 && c.modes[i] != a.only {
		c.add(Changed, "%q is planned in mode %q, it runs in %q", a.name, c.mode(i).Name, a.modes[a.only].Name)
	}
}

// endOf returns when an activity in a mode ends, and false if its hours leave it no end.
func (m *Model) endOf(mode *Mode, start int) (end int, open bool) {
	if mode.Pauses == 0 || mode.Duration == 0 {
		return start + mode.Duration, true
	}
	left := mode.Duration
	begun := false
	for _, s := range m.hours[mode.Pauses-1].open {
		if begun = begun || s.From <= start && start < s.To; !begun {
			continue
		}
		from := max(start, s.From)
		if left <= s.To-from {
			return from + left, true
		}
		left -= s.To - from
	}
	return 0, false
}

// openTicks counts the open ticks of hours before t.
func (m *Model) openTicks(h HoursID, t int) int {
	sum := 0
	for _, s := range m.hours[h-1].open {
		sum += max(0, min(t, s.To)-s.From)
	}
	return sum
}

func (c *checker) lag(l lag) {
	time := func(p Point) int {
		t := c.starts[p.Activity]
		if p.End {
			t = c.ends[p.Activity]
		}
		if l.hours > 0 {
			t = c.m.openTicks(l.hours, t)
		}
		return t
	}
	gap := time(l.to) - time(l.from)
	if (l.most && gap > l.w) || (!l.most && gap < l.w) {
		c.add(LagBroken, "%s, the plan has %s", c.m.lagWords(l), c.m.long(gap))
	}
}

func (c *checker) budget(b BudgetID) {
	sum := 0
	for i := range c.m.activities {
		for _, u := range c.mode(i).Consumes {
			if u.Budget == b {
				sum += u.Amount
			}
		}
	}
	if has := c.m.budgets[b]; sum > has.amount {
		c.add(Overdrawn, "%q has %d, %d is used", has.name, has.amount, sum)
	}
}

// use is one activity's hold on the resource that is being checked.
type use struct {
	name       string
	start, end int
	demand     Demand
}

func (c *checker) resource(r ResourceID) {
	m := c.m
	var runs, uses []use // a run has a use for each stretch without a pause
	var ticks []int
	for i, a := range m.activities {
		for _, d := range c.mode(i).Demands {
			if d.Resource != r || c.starts[i] >= c.ends[i] {
				continue
			}
			runs = append(runs, use{a.name, c.starts[i], c.ends[i], d})
			for _, s := range m.held(r, c.mode(i), c.starts[i], c.ends[i]) {
				uses = append(uses, use{a.name, s.From, s.To, d})
				ticks = append(ticks, s.From, s.To)
			}
		}
	}
	c.neighbours(&m.resources[r], runs)
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
			running = append(running, uses[next])
		}
		total, capacity := 0, capacityAt(m.resources[r].spans, t)
		var names []string
		for _, u := range running {
			if u.demand.Amount > 0 {
				total += u.demand.Amount
				names = append(names, fmt.Sprintf("%q", u.name))
			}
		}
		if total > capacity && !over {
			c.add(Overloaded, "%q has %d at %s, %d is taken: %s", m.resources[r].name, capacity, m.at(t), total, strings.Join(names, ", "))
		}
		over = total > capacity
	}
}

// held returns when an activity from start to end holds a resource.
func (m *Model) held(r ResourceID, mode *Mode, start, end int) []Span {
	if mode.Pauses == 0 || m.resources[r].held {
		return []Span{{From: start, To: end}}
	}
	var out []Span
	for _, s := range m.hours[mode.Pauses-1].open {
		if from, to := max(start, s.From), min(end, s.To); from < to {
			out = append(out, Span{From: from, To: to})
		}
	}
	return out
}

// neighbours checks every two runs on a resource: their settings, families and doors.
func (c *checker) neighbours(r *resource, runs []use) {
	plain := func(u use) bool { return classOf(u.demand) == class{} }
	if !slices.ContainsFunc(runs, func(u use) bool { return !plain(u) }) {
		return
	}
	slices.SortStableFunc(runs, func(a, b use) int { return a.start - b.start })
	for k, b := range runs {
		for _, a := range runs[:k] {
			if plain(a) && plain(b) {
				continue
			}
			c.neighbour(r, a, b)
		}
	}
}

// neighbour checks two runs of which a starts no later than b.
func (c *checker) neighbour(r *resource, a, b use) {
	m, atOnce := c.m, b.start < a.end
	x, y := a.demand.Band, b.demand.Band
	if x.Known && y.Known && (x.Hi < y.Lo || y.Hi < x.Lo) {
		ticks := share(r.up, y.Lo-x.Hi)
		if y.Hi < x.Lo {
			ticks = share(r.down, x.Lo-y.Hi)
		}
		switch {
		case atOnce:
			c.add(SettingClash, "%q is shared at %s by %q at %d to %d and %q at %d to %d: no setting suits both",
				r.name, m.at(b.start), a.name, x.Lo, x.Hi, b.name, y.Lo, y.Hi)
		case b.start < a.end+ticks:
			c.add(SettingClash, "%q goes from %d to %d for %q to %d to %d for %q in %s, it takes %s",
				r.name, x.Lo, x.Hi, a.name, y.Lo, y.Hi, b.name, m.long(b.start-a.end), m.long(ticks))
		}
		atOnce = false // the doors do not matter any more
	}
	for _, s := range r.setUps {
		first := s.from == a.demand.Family && s.to == b.demand.Family
		second := s.from == b.demand.Family && s.to == a.demand.Family
		switch {
		case (first || second) && b.start < a.end:
			c.add(SetUpClash, "%q runs %q and %q at once at %s, which are %q and %q", r.name, a.name, b.name, m.at(b.start), a.demand.Family, b.demand.Family)
			return
		case first && b.start < a.end+s.ticks:
			c.add(SetUpClash, "%q goes from %q (%s) to %q (%s) in %s, it takes %s",
				r.name, a.name, s.from, b.name, s.to, m.long(b.start-a.end), m.long(s.ticks))
			return
		}
	}
	if !atOnce {
		return
	}
	for _, pair := range [][2]use{{a, b}, {b, a}} {
		run, other := pair[0], pair[1]
		if run.demand.Door&NoEntry != 0 && run.start < other.start && other.start < run.end {
			c.add(Disturbed, "%q starts on %q at %s, within %q, during which nothing may", other.name, r.name, m.at(other.start), run.name)
		}
		if run.demand.Door&NoExit != 0 && run.start < other.end && other.end < run.end {
			c.add(Disturbed, "%q ends on %q at %s, within %q, during which nothing may", other.name, r.name, m.at(other.end), run.name)
		}
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
