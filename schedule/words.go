package schedule

import (
	"fmt"
	"strconv"
)

// at writes a point in time for the reader.
func (m *Model) at(t int) string {
	if m.Clock != nil {
		return m.Clock(t)
	}
	return strconv.Itoa(t)
}

// long writes a length of time for the reader.
func (m *Model) long(d int) string {
	if m.Tick == "" {
		return strconv.Itoa(d)
	}
	return strconv.Itoa(d) + " " + m.Tick
}

func (m *Model) point(p Point) string {
	if p.End {
		return fmt.Sprintf("the end of %q", m.activities[p.Activity].name)
	}
	return fmt.Sprintf("the start of %q", m.activities[p.Activity].name)
}

// lagWords writes a lag: `"foam falls": at most 4 min from the end of "whip" to the start of "fold"`.
func (m *Model) lagWords(l lag) string {
	bound := "at least"
	if l.most {
		bound = "at most"
	}
	text := fmt.Sprintf("%s %s from %s to %s", bound, m.long(l.w), m.point(l.from), m.point(l.to))
	if l.reason != "" {
		text = fmt.Sprintf("%q: %s", l.reason, text)
	}
	return text
}

// cause says which of the caller's statements an arc of the network stands for.
type cause struct {
	kind causeKind
	i    int        // lag or activity
	r    ResourceID // of causeNoRoom, -1 when several resources together leave no room
	t    int        // of causeNoRoom, in the caller's time
	late bool       // of causeNoRoom: t bounds the end from above, not the start from below
}

type causeKind uint8

const (
	causeLag causeKind = iota
	causeLeast
	causeMost
	causeRelease
	causeDue
	causePin
	causeOpening // tick 0
	causeHorizon
	causeNoRoom // the calendars leave no room before (after) a tick
)

func (m *Model) causeWords(c cause) string {
	if c.kind == causeLag {
		return m.lagWords(m.lags[c.i])
	}
	a := m.activities[c.i]
	switch c.kind {
	case causeLeast, causeMost:
		lo, hi := durations(a.modes)
		if lo == hi {
			return fmt.Sprintf("%q takes %s", a.name, m.long(lo))
		}
		return fmt.Sprintf("%q takes %d to %s", a.name, lo, m.long(hi))
	case causeRelease:
		return fmt.Sprintf("%q may not start before %s", a.name, m.at(a.release))
	case causeDue:
		return fmt.Sprintf("%q must end by %s", a.name, m.at(a.due))
	case causePin:
		return fmt.Sprintf("%q is fixed to start at %s", a.name, m.at(a.pin))
	case causeOpening:
		return fmt.Sprintf("%q may not start before %s, where the plan begins", a.name, m.at(0))
	case causeHorizon:
		return fmt.Sprintf("%q must end by %s, where the plan ends", a.name, m.at(m.horizon))
	}
	where := "the calendars of what it uses leave"
	if c.r >= 0 {
		where = fmt.Sprintf("%q leaves", m.resources[c.r].name)
	}
	if c.late {
		return fmt.Sprintf("%s %q no room to end after %s", where, a.name, m.at(c.t))
	}
	return fmt.Sprintf("%s %q no room to start before %s", where, a.name, m.at(c.t))
}

func durations(modes []Mode) (lo, hi int) {
	lo, hi = modes[0].Duration, modes[0].Duration
	for _, mode := range modes[1:] {
		lo, hi = min(lo, mode.Duration), max(hi, mode.Duration)
	}
	return lo, hi
}
