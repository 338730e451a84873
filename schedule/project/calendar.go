package project

import (
	"fmt"
	"sort"
)

// Span is the ticks from From to before To.
type Span struct{ From, To int32 }

// Calendar is when work goes on: open spans, rising and apart. Outside of them it is closed.
type Calendar struct {
	Open []Span
	// done is the open ticks before each span; see NewCalendar.
	done []int32
}

// NewCalendar returns the calendar of the spans, which must rise, be apart and not be empty.
func NewCalendar(open ...Span) Calendar {
	c := Calendar{Open: open, done: make([]int32, len(open)+1)}
	for k, s := range open {
		c.done[k+1] = c.done[k] + s.To - s.From
	}
	return c
}

func (c *Calendar) validate() error {
	if len(c.done) != len(c.Open)+1 {
		return fmt.Errorf("was not made by NewCalendar")
	}
	for k, s := range c.Open {
		if s.From < 0 || s.To <= s.From || s.To > MaxHorizon {
			return fmt.Errorf("is open from %d to %d, want 0 <= from < to <= %d", s.From, s.To, MaxHorizon)
		}
		if k > 0 && s.From <= c.Open[k-1].To {
			return fmt.Errorf("opens at %d, before or when it closed at %d: join the spans", s.From, c.Open[k-1].To)
		}
	}
	return nil
}

// before returns how many spans begin at or before t.
func (c *Calendar) before(t int32) int {
	return sort.Search(len(c.Open), func(k int) bool { return c.Open[k].From > t })
}

// Opens reports whether tick t is open.
func (c *Calendar) Opens(t int32) bool {
	k := c.before(t)
	return k > 0 && t < c.Open[k-1].To
}

// Work returns how many ticks before t are open.
func (c *Calendar) Work(t int32) int32 {
	k := c.before(t)
	if k == 0 {
		return 0
	}
	return c.done[k-1] + min(t, c.Open[k-1].To) - c.Open[k-1].From
}

// First returns the first time at which Work is w or more: for w above 0 the end of the w-th
// open tick. It is false if the calendar has fewer.
func (c *Calendar) First(w int32) (int32, bool) {
	if w <= 0 {
		return 0, true
	}
	k := sort.Search(len(c.Open), func(k int) bool { return c.done[k+1] >= w })
	if k == len(c.Open) {
		return 0, false
	}
	return c.Open[k].From + w - c.done[k], true
}

// Last returns the last time at which Work is w or less: the start of the open tick after the
// w-th. It is false if Work never exceeds w, and then there is no last, or if w is negative.
func (c *Calendar) Last(w int32) (int32, bool) {
	if w < 0 || w >= c.done[len(c.Open)] {
		return 0, false
	}
	k := sort.Search(len(c.Open), func(k int) bool { return c.done[k+1] > w })
	return c.Open[k].From + w - c.done[k], true
}

// End returns when so many ticks of work that begin in the open tick start are done. It is
// false if start is closed or the calendar has too few open ticks after it. No work ends when
// it starts, whatever the calendar says.
func (c *Calendar) End(start, duration int32) (int32, bool) {
	if duration == 0 {
		return start, true
	}
	if !c.Opens(start) {
		return 0, false
	}
	return c.First(c.Work(start) + duration)
}

// Next returns the first open tick from t on, false if there is none.
func (c *Calendar) Next(t int32) (int32, bool) {
	k := c.before(t)
	switch {
	case k > 0 && t < c.Open[k-1].To:
		return t, true
	case k < len(c.Open):
		return c.Open[k].From, true
	}
	return 0, false
}

// End returns when activity i ends if it starts at start in mode m, false if it cannot start
// there. p must have passed Validate.
func (p *Problem) End(i, m, start int32) (int32, bool) {
	mode := &p.Activities[i].Modes[m]
	if mode.Calendar == 0 {
		return start + mode.Duration, true
	}
	return p.Calendars[mode.Calendar-1].End(start, mode.Duration)
}
