package schedule

import (
	"errors"
	"fmt"
	"slices"
)

// Limits of what a Model accepts. With them no sum inside the package leaves 64 bits.
const (
	MaxTick       = 1 << 30 // horizon, durations, lags either way
	MaxAmount     = 1 << 30 // capacities and demands
	MaxActivities = 1 << 16
)

// ActivityID names an activity of one Model: its place in Result.Starts.
type ActivityID int

// ResourceID names a resource of one Model.
type ResourceID int

// Point is the start or the end of an activity.
type Point struct {
	Activity ActivityID
	End      bool
}

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

// Demand is what an activity takes of a resource while it runs. Amount may be zero: then only
// the band matters.
type Demand struct {
	Resource ResourceID
	Amount   int
	Band     Band
}

// Mode is one way to do an activity. Duration is in ticks, zero or more.
type Mode struct {
	Name     string
	Duration int
	Demands  []Demand
}

// Span is an open interval [From, To) of a calendar with the capacity there.
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
	lags       []lag
	errs       []error
}

type activity struct {
	name                     string
	modes                    []Mode
	release, due, pin        int
	released, dueSet, pinned bool
	interruptible            bool
}

type resource struct {
	name  string
	spans []Span // sorted, apart; capacity is zero outside
}

// lag says: time(to) - time(from) is at least (or at most) w.
type lag struct {
	from, to Point
	w        int
	most     bool
	reason   string
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
	m.resources = append(m.resources, resource{name, []Span{{0, m.horizon, capacity}}})
	return ResourceID(len(m.resources) - 1)
}

// Calendar replaces the capacity of r by spans; outside them it is zero. Spans may be given in
// any order, may touch and may reach past the horizon, but not overlap.
func (m *Model) Calendar(r ResourceID, spans []Span) {
	if r < 0 || int(r) >= len(m.resources) {
		m.refuse("a calendar is given for resource %d, which is not in the model: add the resource first", r)
		return
	}
	name := m.resources[r].name
	var kept []Span
	for _, s := range spans {
		switch {
		case s.From >= s.To || s.From < -MaxTick || s.To > MaxTick:
			m.refuse("the calendar of %q has a span from %d to %d: give a start before its end, within %d ticks", name, s.From, s.To, MaxTick)
			return
		case s.Capacity < 0 || s.Capacity > MaxAmount:
			m.refuse("the calendar of %q has capacity %d from %d: give 0 to %d", name, s.Capacity, s.From, MaxAmount)
			return
		}
		s.From, s.To = max(s.From, 0), min(s.To, m.horizon)
		if s.From < s.To {
			kept = append(kept, s)
		}
	}
	slices.SortFunc(kept, func(a, b Span) int { return a.From - b.From })
	for i := 1; i < len(kept); i++ {
		if kept[i].From < kept[i-1].To {
			m.refuse("the calendar of %q has spans that overlap at %d: join or part them", name, kept[i].From)
			return
		}
	}
	m.resources[r].spans = kept
}

// Activity adds an activity that is done in one of the modes.
func (m *Model) Activity(name string, modes ...Mode) ActivityID {
	id := ActivityID(len(m.activities))
	a := activity{name: name}
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
		mode.Demands = slices.Clone(mode.Demands)
		if err := m.checkMode(mode); err != nil {
			m.refuse("activity %q, mode %q: %w", name, mode.Name, err)
			mode.Duration, mode.Demands = 0, nil
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
	return nil
}

// Interruptible records that a may be paused. The construction does not use it yet: every
// activity is planned in one piece.
func (m *Model) Interruptible(a ActivityID) {
	if m.tickFor(a, 0, "pause") {
		m.activities[a].interruptible = true
	}
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
func (m *Model) AtLeast(from, to Point, w int, reason string) { m.lag(lag{from, to, w, false, reason}) }

// AtMost says that to comes no more than w ticks after from. It does not say that to comes
// after from: add AtLeast(from, to, 0, ...) for that.
func (m *Model) AtMost(from, to Point, w int, reason string) { m.lag(lag{from, to, w, true, reason}) }

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
	m.lags = append(m.lags, l)
}
