package schedule

import (
	"fmt"
	"strconv"
	"strings"
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
	length := m.long(l.w)
	if l.hours > 0 {
		length += fmt.Sprintf(" of %q", m.hours[l.hours-1].name)
	}
	text := fmt.Sprintf("%s %s from %s to %s", bound, length, m.point(l.from), m.point(l.to))
	if l.reason != "" {
		text = fmt.Sprintf("%q: %s", l.reason, text)
	}
	return text
}

// cause says which of the caller's statements an arc of the network stands for.
type cause struct {
	kind causeKind
	i    int // lag or activity
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
	}
	return fmt.Sprintf("%q must end by %s, where the plan ends", a.name, m.at(m.horizon))
}

func durations(modes []Mode) (lo, hi int) {
	lo, hi = modes[0].Duration, modes[0].Duration
	for _, mode := range modes[1:] {
		lo, hi = min(lo, mode.Duration), max(hi, mode.Duration)
	}
	return lo, hi
}

// resourceWords says what a resource has, and when.
func (m *Model) resourceWords(r ResourceID) string {
	res := m.resources[r]
	least, most := MaxAmount, 0
	for _, s := range res.spans {
		least, most = min(least, s.Capacity), max(most, s.Capacity)
	}
	whole := len(res.spans) == 1 && res.spans[0].From == 0 && res.spans[0].To == m.horizon
	switch {
	case whole:
		return fmt.Sprintf("%q has %d", res.name, most)
	case len(res.spans) == 0:
		return fmt.Sprintf("%q is never open", res.name)
	case least < most:
		return fmt.Sprintf("%q has %d to %d, in its calendar", res.name, least, most)
	}
	return fmt.Sprintf("%q has %d, in its calendar", res.name, most)
}

// apartWords says what keeps some activities on a resource apart.
func (m *Model) apartWords(r ResourceID) string {
	res := m.resources[r]
	bands, doors := false, false
	for _, a := range m.activities {
		for _, mode := range a.modes {
			for _, d := range mode.Demands {
				bands = bands || d.Resource == r && d.Band.Known
				doors = doors || d.Resource == r && d.Door != 0
			}
		}
	}
	var parts []string
	if bands {
		text := "is at one setting at a time"
		if res.up > 0 || res.down > 0 {
			text += fmt.Sprintf(" and takes %s up and %s down for 100", m.long(res.up), m.long(res.down))
		}
		parts = append(parts, text)
	}
	if len(res.setUps) > 0 {
		parts = append(parts, "is set up between families")
	}
	if doors {
		parts = append(parts, "stays shut while some things run")
	}
	return fmt.Sprintf("%q %s", res.name, strings.Join(parts, ", "))
}
