package schedule

import (
	"errors"
	"fmt"
	"slices"
)

// Limits of what a Model accepts. With them no sum inside the package leaves 64 bits.
const (
	MaxTick       = 1 << 29 // horizon, durations, lags either way
	MaxAmount     = 1 << 30 // capacities and demands
	MaxActivities = 1 << 16
)

// ActivityID names an activity of one Model: its place in Result.Starts.
type ActivityID int

// ResourceID names a resource of one Model.
type ResourceID int

// HoursID names hours of one Model. The zero HoursID is none: round the clock.
type HoursID int

// BudgetID names a budget of one Model.
type BudgetID int

// Point is the start or the end of an activity.
type Point struct {
	Activity ActivityID
	End      bool
}

// Origin is tick 0, where a Delay may be measured from.
var Origin = Point{Activity: -1}

// Start returns the point at which a starts.
func Start(a ActivityID) Point { return Point{Activity: a} }

// End returns the point at which a ends.
func End(a ActivityID) Point { return Point{Activity: a, End: true} }

// Band is a range of settings, both ends included. The zero Band asks for no setting.
type Band struct {
	Lo, Hi int
	Known  bool
}

// Between returns the band of settings from lo to hi.
func Between(lo, hi int) Band { return Band{lo, hi, true} }

// Door says what others may do on a resource while an activity runs on it: none or several of
// the constants.
type Door uint8

// Doors.
const (
	// NoEntry: no other starts strictly within the run.
	NoEntry Door = 1 << iota
	// NoExit: no other ends strictly within the run.
	NoExit
)

// Demand is what an activity takes of a resource while it runs. Amount may be zero: then only
// the band, family and door matter.
type Demand struct {
	Resource ResourceID
	Amount   int
	// Band is the settings at which it can run. Two whose bands have no setting in common run
	// one after the other, with the time between them that Ramp says.
	Band Band
	// Family is what SetUp knows it by.
	Family string
	Door   Door
}

// Consumption is how much of a budget an activity uses up.
type Consumption struct {
	Budget BudgetID
	Amount int
}

// Mode is one way to do an activity. Duration is how many ticks the work takes, zero or more.
type Mode struct {
	Name     string
	Duration int
	Demands  []Demand
	Consumes []Consumption
	// Pauses, if given, are the hours of the work: it begins within them, pauses while they are
	// closed, and ends after its last open tick. While it pauses it holds only the resources that
	// are HeldInPauses.
	Pauses HoursID
}

// Span is an open interval [From, To) of a calendar with the capacity there. Of hours only the
// times count.
type Span struct{ From, To, Capacity int }

// Model is what is to be planned. Make it with NewModel; its methods check what they are
// given, and Err returns all that was refused.
type Model struct {
	// Clock writes a tick as the caller's reader knows it ("08:30"). Nil writes the number.
	Clock func(tick int) string
	// Tick is the word for one tick after a number ("min"). It may be empty.
	Tick string

	horizon    int
	activities []activity
	resources  []resource
	hours      []hours
	budgets    []budget
	lags       []lag
	goals      []Goal
	errs       []error
}

type activity struct {
	name                     string
	modes                    []Mode
	release, due, pin        int
	released, dueSet, pinned bool
	only                     int // the one mode left, -1 for any
}

type resource struct {
	name     string
	spans    []Span // sorted, apart; capacity is zero outside
	held     bool
	up, down int // ticks for 100 settings
	setUps   []setUp
}

// setUp is the time between two families on a resource.
type setUp struct {
	from, to string
	ticks    int
}

type hours struct {
	name string
	open []Span // sorted, apart, not touching
}

type budget struct {
	name   string
	amount int
}

// lag says: time(to) - time(from) is at least (or at most) w, in open ticks of hours if given.
type lag struct {
	from, to Point
	w        int
	most     bool
	hours    HoursID
	reason   string
	joined   bool // by AtOnce: not the caller's statement but how a thing is made of two
}

// NewModel returns an empty model of the ticks [0, horizon). Every activity ends at or before
// the horizon. The horizon is 1 to MaxTick.
func NewModel(horizon int) *Model {
	m := &Model{horizon: horizon}
	if horizon < 1 || horizon > MaxTick {
		m.refuse("the horizon is %d: give 1 to %d ticks", horizon, MaxTick)
		m.horizon = 1
	}
	return m
}

func (m *Model) refuse(format string, args ...any) {
	m.errs = append(m.errs, fmt.Errorf(format, args...))
}

// Err returns everything that the model's methods refused, nil if nothing.
func (m *Model) Err() error { return errors.Join(m.errs...) }

// Horizon returns the tick at which everything must have ended.
func (m *Model) Horizon() int { return m.horizon }

// Activities returns how many activities there are; their IDs are 0 to that less one.
func (m *Model) Activities() int { return len(m.activities) }

// Name returns the name of an activity, empty if there is none with that ID.
func (m *Model) Name(a ActivityID) string {
	if !m.known(a) {
		return ""
	}
	return m.activities[a].name
}

// Modes returns the modes of an activity, nil if there is none with that ID.
func (m *Model) Modes(a ActivityID) []Mode {
	if !m.known(a) {
		return nil
	}
	return slices.Clone(m.activities[a].modes)
}

func (m *Model) known(a ActivityID) bool { return a >= 0 && int(a) < len(m.activities) }

// Resource adds a resource of which capacity units (0 to MaxAmount) can be used at any tick.
func (m *Model) Resource(name string, capacity int) ResourceID {
	if name == "" {
		m.refuse("resource %d has no name: give one", len(m.resources))
	}
	if capacity < 0 || capacity > MaxAmount {
		m.refuse("resource %q has capacity %d: give 0 to %d", name, capacity, MaxAmount)
		capacity = 0
	}
	m.resources = append(m.resources, resource{name: name, spans: []Span{{0, m.horizon, capacity}}})
	return ResourceID(len(m.resources) - 1)
}

// Calendar replaces the capacity of r by spans; outside them it is zero. Spans may be given in
// any order, may touch and may reach past the horizon, but not overlap.
func (m *Model) Calendar(r ResourceID, spans []Span) {
	if !m.has(r, "calendar") {
		return
	}
	if kept, ok := m.spans("the calendar of", m.resources[r].name, spans); ok {
		m.resources[r].spans = kept
	}
}

func (m *Model) has(r ResourceID, what string) bool {
	if r < 0 || int(r) >= len(m.resources) {
		m.refuse("a %s is given for resource %d, which is not in the model: add the resource first", what, r)
		return false
	}
	return true
}

// spans sorts the spans of what the caller calls name and cuts them to the horizon.
func (m *Model) spans(of, name string, spans []Span) (kept []Span, ok bool) {
	for _, s := range spans {
		switch {
		case s.From >= s.To || s.From < -MaxTick || s.To > MaxTick:
			m.refuse("%s %q: a span runs from %d to %d: give a start before its end, within %d ticks", of, name, s.From, s.To, MaxTick)
			return nil, false
		case s.Capacity < 0 || s.Capacity > MaxAmount:
			m.refuse("%s %q: the capacity is %d from %d: give 0 to %d", of, name, s.Capacity, s.From, MaxAmount)
			return nil, false
		}
		s.From, s.To = max(s.From, 0), min(s.To, m.horizon)
		if s.From < s.To {
			kept = append(kept, s)
		}
	}
	slices.SortFunc(kept, func(a, b Span) int { return a.From - b.From })
	for i := 1; i < len(kept); i++ {
		if kept[i].From < kept[i-1].To {
			m.refuse("%s %q: spans overlap at %d: join or part them", of, name, kept[i].From)
			return nil, false
		}
	}
	return kept, true
}

// HeldInPauses says that r is held by an activity through its pauses, as an oven is by what
// stands in it. Without it a paused activity leaves r to others, as a cook does.
func (m *Model) HeldInPauses(r ResourceID) {
	if m.has(r, "hold") {
		m.resources[r].held = true
	}
}

// Ramp says how long r takes from one setting to another: so many ticks for 100 settings up and
// down, in proportion and rounded up. It lies between two activities whose bands have nothing in
// common, from the nearest setting of the one to the nearest of the other.
func (m *Model) Ramp(r ResourceID, up, down int) {
	if !m.has(r, "ramp") {
		return
	}
	if up < 0 || up > MaxTick || down < 0 || down > MaxTick {
		m.refuse("the ramp of %q is %d up and %d down: give 0 to %d ticks for 100 settings", m.resources[r].name, up, down, MaxTick)
		return
	}
	m.resources[r].up, m.resources[r].down = up, down
}

// SetUp says that on r an activity of the family to starts ticks or more after the end of any
// earlier one of the family from, and that the two do not run at once. It is asked of every such
// pair, not of neighbours alone. Of two for the same families the greater holds.
func (m *Model) SetUp(r ResourceID, from, to string, ticks int) {
	if !m.has(r, "set-up") {
		return
	}
	if ticks < 0 || ticks > MaxTick || from == "" || to == "" {
		m.refuse("the set-up of %q from %q to %q is %d: give two families and 0 to %d ticks", m.resources[r].name, from, to, ticks, MaxTick)
		return
	}
	m.resources[r].setUps = append(m.resources[r].setUps, setUp{from, to, ticks})
}

// Hours adds hours of work: for the pauses of a mode, for lags in working time and for goals.
// Spans are as in Calendar, without regard to their capacity.
func (m *Model) Hours(name string, spans []Span) HoursID {
	h := hours{name: name}
	if name == "" {
		m.refuse("hours %d have no name: give one", len(m.hours)+1)
	}
	kept, _ := m.spans("the hours", name, spans)
	for _, s := range kept {
		if last := len(h.open) - 1; last >= 0 && h.open[last].To == s.From {
			h.open[last].To = s.To
		} else {
			h.open = append(h.open, Span{From: s.From, To: s.To})
		}
	}
	m.hours = append(m.hours, h)
	return HoursID(len(m.hours))
}

// Budget adds something of which the chosen modes of all activities may use so much in all.
func (m *Model) Budget(name string, amount int) BudgetID {
	if name == "" {
		m.refuse("budget %d has no name: give one", len(m.budgets))
	}
	if amount < 0 || amount > MaxAmount {
		m.refuse("budget %q is %d: give 0 to %d", name, amount, MaxAmount)
		amount = 0
	}
	m.budgets = append(m.budgets, budget{name, amount})
	return BudgetID(len(m.budgets) - 1)
}

// Activity adds an activity that is done in one of the modes.
func (m *Model) Activity(name string, modes ...Mode) ActivityID {
	id := ActivityID(len(m.activities))
	a := activity{name: name, only: -1}
	if name == "" {
		m.refuse("activity %d has no name: give one", id)
	}
	if len(m.activities) >= MaxActivities {
		m.refuse("activity %q is one more than %d: plan in parts", name, MaxActivities)
		return id
	}
	if len(modes) == 0 {
		m.refuse("activity %q has no mode: give at least one", name)
		modes = []Mode{{}}
	}
	for _, mode := range modes {
		mode.Demands, mode.Consumes = slices.Clone(mode.Demands), slices.Clone(mode.Consumes)
		if err := m.checkMode(mode); err != nil {
			m.refuse("activity %q, mode %q: %w", name, mode.Name, err)
			mode = Mode{Name: mode.Name}
		}
		a.modes = append(a.modes, mode)
	}
	m.activities = append(m.activities, a)
	return id
}

func (m *Model) checkMode(mode Mode) error {
	if mode.Duration < 0 || mode.Duration > MaxTick {
		return fmt.Errorf("the duration is %d: give 0 to %d ticks", mode.Duration, MaxTick)
	}
	for i, d := range mode.Demands {
		if d.Resource < 0 || int(d.Resource) >= len(m.resources) {
			return fmt.Errorf("it uses resource %d, which is not in the model: add the resource first", d.Resource)
		}
		name := m.resources[d.Resource].name
		if d.Amount < 0 || d.Amount > MaxAmount {
			return fmt.Errorf("it takes %d of %q: give 0 to %d", d.Amount, name, MaxAmount)
		}
		if d.Band.Known && d.Band.Lo > d.Band.Hi {
			return fmt.Errorf("its setting of %q runs from %d to %d: give the lower one first", name, d.Band.Lo, d.Band.Hi)
		}
		for _, other := range mode.Demands[:i] {
			if other.Resource == d.Resource {
				return fmt.Errorf("it takes %q twice: add the amounts up", name)
			}
		}
	}
	for i, c := range mode.Consumes {
		if c.Budget < 0 || int(c.Budget) >= len(m.budgets) {
			return fmt.Errorf("it uses budget %d, which is not in the model: add the budget first", c.Budget)
		}
		if c.Amount < 0 || c.Amount > MaxAmount {
			return fmt.Errorf("it uses %d of %q: give 0 to %d", c.Amount, m.budgets[c.Budget].name, MaxAmount)
		}
		for _, other := range mode.Consumes[:i] {
			if other.Budget == c.Budget {
				return fmt.Errorf("it uses %q twice: add the amounts up", m.budgets[c.Budget].name)
			}
		}
	}
	if mode.Pauses < 0 || int(mode.Pauses) > len(m.hours) {
		return fmt.Errorf("it pauses by hours %d, which are not in the model: add the hours first", mode.Pauses)
	}
	return nil
}

// Release says that a starts at t or later. The last call for an activity holds.
func (m *Model) Release(a ActivityID, t int) {
	if m.tickFor(a, t, "release") {
		m.activities[a].release, m.activities[a].released = t, true
	}
}

// Due says that a ends at t or earlier. The last call for an activity holds.
func (m *Model) Due(a ActivityID, t int) {
	if m.tickFor(a, t, "due time") {
		m.activities[a].due, m.activities[a].dueSet = t, true
	}
}

// Fix says that a starts at t exactly. The last call for an activity holds.
func (m *Model) Fix(a ActivityID, t int) {
	if m.tickFor(a, t, "fixed start") {
		m.activities[a].pin, m.activities[a].pinned = t, true
	}
}

// Running says that a has started at t in the given mode and goes on.
func (m *Model) Running(a ActivityID, mode, t int) {
	if !m.tickFor(a, t, "running start") {
		return
	}
	if mode < 0 || mode >= len(m.activities[a].modes) {
		m.refuse("%q is said to run in mode %d: it has %d", m.activities[a].name, mode, len(m.activities[a].modes))
		return
	}
	m.Fix(a, t)
	m.activities[a].only = mode
}

func (m *Model) tickFor(a ActivityID, t int, what string) bool {
	if !m.known(a) {
		m.refuse("a %s is given for activity %d, which is not in the model: add the activity first", what, a)
		return false
	}
	if t < -MaxTick || t > MaxTick {
		m.refuse("the %s of %q is %d: give at most %d ticks either way", what, m.activities[a].name, t, MaxTick)
		return false
	}
	return true
}

// AtLeast says that to comes w ticks or more after from. A negative w lets it come before.
// Reason is the caller's name for the lag.
func (m *Model) AtLeast(from, to Point, w int, reason string) {
	m.lag(lag{from: from, to: to, w: w, reason: reason})
}

// AtMost says that to comes no more than w ticks after from. It does not say that to comes
// after from: add AtLeast(from, to, 0, ...) for that.
func (m *Model) AtMost(from, to Point, w int, reason string) {
	m.lag(lag{from: from, to: to, w: w, most: true, reason: reason})
}

// AtOnce makes b start when a ends: two parts of one thing, such as work and the wait that comes
// of it. Nobody could give that up, so no explanation of why there is no plan names it.
func (m *Model) AtOnce(a, b ActivityID, reason string) {
	m.lag(lag{from: End(a), to: Start(b), reason: reason, joined: true})
	m.lag(lag{from: End(a), to: Start(b), most: true, reason: reason, joined: true})
}

// AtLeastOpen is AtLeast in working time: w counts the open ticks of the hours.
func (m *Model) AtLeastOpen(h HoursID, from, to Point, w int, reason string) {
	m.lag(lag{from: from, to: to, w: w, hours: h, reason: reason})
}

// AtMostOpen is AtMost in working time: w counts the open ticks of the hours.
func (m *Model) AtMostOpen(h HoursID, from, to Point, w int, reason string) {
	m.lag(lag{from: from, to: to, w: w, most: true, hours: h, reason: reason})
}

func (m *Model) lag(l lag) {
	for _, p := range []Point{l.from, l.to} {
		if !m.known(p.Activity) {
			m.refuse("lag %q names activity %d, which is not in the model: add the activity first", l.reason, p.Activity)
			return
		}
	}
	if l.w < -MaxTick || l.w > MaxTick {
		m.refuse("lag %q is %d: give at most %d ticks either way", l.reason, l.w, MaxTick)
		return
	}
	if l.hours < 0 || int(l.hours) > len(m.hours) {
		m.refuse("lag %q is measured by hours %d, which are not in the model: add the hours first", l.reason, l.hours)
		return
	}
	m.lags = append(m.lags, l)
}
