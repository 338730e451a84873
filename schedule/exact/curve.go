package exact

import "chablon/schedule/project"

// far is beyond every time either way, with room for sums.
const far = 1 << 30

// curve is a function f of time that never falls, with its inverse from above: least(h) is the
// least t with f(t) >= h. Either may be far, or -far.
type curve interface {
	f(t int32) int32
	least(h int32) int32
}

// working is when so much work is done after a time, by a calendar.
type working struct {
	calendar *project.Calendar
	work     int32
}

func (c working) f(t int32) int32 {
	if end, ok := c.calendar.First(c.calendar.Work(t) + c.work); ok {
		return end
	}
	return far
}

func (c working) least(h int32) int32 {
	if h <= 0 {
		return -far
	}
	w := c.calendar.Work(h-1) + 1 - c.work
	if w <= 0 {
		return -far
	}
	if t, ok := c.calendar.First(w); ok {
		return t
	}
	return far
}

// opening is the first open tick from a time on.
type opening struct{ calendar *project.Calendar }

func (c opening) f(t int32) int32 {
	if at, ok := c.calendar.Next(t); ok {
		return at
	}
	return far
}

func (c opening) least(h int32) int32 {
	if t, ok := lastOpen(c.calendar, h-1); ok {
		return t + 1
	}
	return -far
}

// lastOpen returns the last open tick up to t.
func lastOpen(c *project.Calendar, t int32) (int32, bool) {
	w := c.Work(t + 1)
	if w == 0 {
		return 0, false
	}
	end, _ := c.First(w)
	return end - 1, true
}

// inverse is the other way round: y <= f(x) is x >= inverse.f(y).
type inverse struct{ of curve }

func (c inverse) f(t int32) int32     { return c.of.least(t) }
func (c inverse) least(h int32) int32 { return c.of.f(h-1) + 1 }

// bend is a curve between the variables of two points.
type bend struct {
	curve
	from, to int32 // offsets
}

// addCurve posts time(b) >= c.f(time(a)) while guard holds, and its mirror. The two points may
// be one.
func (e *engine) addCurve(a, b point, c curve, guard lit) {
	e.bends = append(e.bends, bend{c, a.off, b.off})
	id := int32(len(e.bends))
	e.addGuarded(arc{from: 2 * a.x, to: 2 * b.x, guard: guard, bend: id})
	e.addGuarded(arc{from: 2*b.x + 1, to: 2*a.x + 1, guard: guard, bend: -id})
}

// reach is what an arc makes of a bound of its tail.
func (e *engine) reach(a *arc, bound int32) int32 {
	switch {
	case a.bend > 0:
		b := &e.bends[a.bend-1]
		return b.f(bound+b.from) - b.to
	case a.bend < 0:
		b := &e.bends[-a.bend-1]
		return 1 - (b.least(1-bound+b.to) - b.from)
	}
	return bound + a.lag
}

// needs is the least bound of the tail of an arc from which it makes head.
func (e *engine) needs(a *arc, head int32) int32 {
	switch {
	case a.bend > 0:
		b := &e.bends[a.bend-1]
		return b.least(head+b.to) - b.from
	case a.bend < 0:
		b := &e.bends[-a.bend-1]
		return 1 - (b.f(1-head+b.from) - b.to)
	}
	return head - a.lag
}
