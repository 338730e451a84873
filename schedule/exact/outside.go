package exact

import (
	"slices"

	"chablon/schedule/project"
)

// cost is what an activity comes to in one of its modes, by its start: at least variable t while
// guard holds.
type cost struct {
	s, t  int32
	guard lit
	of    *price
	dirty bool
}

// price is a function of a start: value[k] at from[k], and step[k] more with each tick up to the
// next.
type price struct {
	from, value, step []int32
}

// addOutside makes a variable for each activity and mode that may use a resource while a
// calendar is closed.
func (e *engine) addOutside(u project.Use) []part {
	var parts []part
	if u.Weight == 0 {
		return nil
	}
	for i := range e.acts {
		for _, m := range e.openModes(i) {
			mode := &e.p.Activities[i].Modes[m]
			amount := int64(mode.Demand[u.Renewable]) * int64(u.Weight)
			if amount == 0 || mode.Duration == 0 {
				continue
			}
			s := e.acts[i].start.x
			of := e.outside(u, mode)
			low, high := of.span(e.lower(s), e.upper(s))
			if high == 0 {
				continue
			}
			if e.acts[i].modes[m] != always {
				low = 0
			}
			t := e.newVar(low, high)
			id := int32(len(e.costs))
			e.costs = append(e.costs, cost{s: s, t: t, guard: e.acts[i].modes[m], of: of, dirty: true})
			e.dear = append(e.dear, id)
			for _, c := range [4]int32{2 * s, 2*s + 1, 2*t + 1, e.acts[i].modes[m].col} {
				e.prices[c] = append(e.prices[c], id)
			}
			parts = append(parts, part{point{t, 0}, amount})
		}
		e.works(20)
	}
	return parts
}

// tariff says what a price depends on.
type tariff struct {
	hours, calendar, duration int32
	released                  bool
}

// outside returns the ticks outside of hours at which a mode uses a resource, by its start.
func (e *engine) outside(u project.Use, mode *project.Mode) *price {
	key := tariff{hours: u.Calendar, duration: mode.Duration}
	if paused(mode) {
		key.calendar = mode.Calendar
		key.released = released(&e.p.Renewable[u.Renewable], mode) > 0
	}
	if p, ok := e.tariffs[key]; ok {
		return p
	}
	charged := closed(&e.p.Calendars[key.hours-1], e.p.Horizon)
	end := func(s int32) int32 { return s + key.duration }
	bounds := slices.Clone(charged.Open)
	if key.calendar > 0 {
		calendar := &e.p.Calendars[key.calendar-1]
		bounds = append(bounds, calendar.Open...)
		if key.released {
			charged = common(&charged, calendar)
		}
		done := working{calendar, key.duration}
		end = func(s int32) int32 { return min(done.f(s), e.p.Horizon) }
	}
	at := func(s int32) int32 { return charged.Work(end(s)) - charged.Work(s) }
	// The function bends where the start or the end crosses a bound, or the end jumps.
	points := []int32{0}
	add := func(s int32) { points = append(points, s-1, s, s+1) }
	for _, b := range bounds {
		for _, t := range [2]int32{b.From, b.To} {
			add(t)
			if key.calendar == 0 {
				add(t - key.duration)
				continue
			}
			done := working{&e.p.Calendars[key.calendar-1], key.duration}
			add(done.least(t))
			add(done.least(t + 1))
		}
	}
	slices.Sort(points)
	p := &price{}
	for _, s := range slices.Compact(points) {
		if s < 0 || s > e.p.Horizon {
			continue
		}
		p.from, p.value = append(p.from, s), append(p.value, at(s))
		p.step = append(p.step, at(s+1)-at(s))
	}
	if e.tariffs == nil {
		e.tariffs = map[tariff]*price{}
	}
	e.tariffs[key] = p
	return p
}

// closed is the calendar of the ticks up to the horizon that c leaves out.
func closed(c *project.Calendar, horizon int32) project.Calendar {
	var open []project.Span
	at := int32(0)
	for _, s := range c.Open {
		if at < s.From {
			open = append(open, project.Span{From: at, To: s.From})
		}
		at = s.To
	}
	if at < horizon {
		open = append(open, project.Span{From: at, To: horizon})
	}
	return project.NewCalendar(open...)
}

// common is the calendar of the ticks that are open in both.
func common(a, b *project.Calendar) project.Calendar {
	var open []project.Span
	for i, j := 0, 0; i < len(a.Open) && j < len(b.Open); {
		from, to := max(a.Open[i].From, b.Open[j].From), min(a.Open[i].To, b.Open[j].To)
		if from < to {
			open = append(open, project.Span{From: from, To: to})
		}
		if a.Open[i].To < b.Open[j].To {
			i++
		} else {
			j++
		}
	}
	return project.NewCalendar(open...)
}

// piece returns the piece of the function in which s lies.
func (p *price) piece(s int32) int {
	k, found := slices.BinarySearch(p.from, s)
	if !found {
		k--
	}
	return k
}

// end is the last start of a piece, within last.
func (p *price) end(k int, last int32) int32 {
	if k+1 < len(p.from) {
		return min(last, p.from[k+1]-1)
	}
	return last
}

func (p *price) at(s int32) int32 {
	k := p.piece(s)
	return p.value[k] + (s-p.from[k])*p.step[k]
}

// span returns the least and the greatest value from a to b.
func (p *price) span(a, b int32) (low, high int32) {
	low, high = p.at(a), p.at(a)
	for k := p.piece(a); k < len(p.from) && p.from[k] <= b; k++ {
		for _, s := range [2]int32{max(a, p.from[k]), p.end(k, b)} {
			v := p.at(s)
			low, high = min(low, v), max(high, v)
		}
	}
	return low, high
}

// next returns the first start from s up to last whose value is at most v, or last+1.
func (p *price) next(s, last, v int32) int32 {
	for k := p.piece(s); k < len(p.from) && s <= last; k++ {
		now := p.at(s)
		end := p.end(k, last)
		if now <= v {
			return s
		}
		if p.step[k] < 0 {
			if at := s + (now-v-p.step[k]-1)/-p.step[k]; at <= end {
				return at
			}
		}
		s = end + 1
	}
	return last + 1
}

// previous returns the last start from s down to 0 whose value is at most v, or -1.
func (p *price) previous(s, v int32) int32 {
	for k := p.piece(s); k >= 0; k-- {
		now := p.at(s)
		if now <= v {
			return s
		}
		if p.step[k] > 0 {
			if at := s - (now-v+p.step[k]-1)/p.step[k]; at >= p.from[k] {
				return at
			}
		}
		s = p.from[k] - 1
	}
	return -1
}

// price keeps the start of an activity from where it costs too much, and the cost from below what
// its start leaves.
func (e *engine) price(id int32) bool {
	c := &e.costs[id]
	why := byCost | reason(id)
	s, last, most := e.lower(c.s), e.upper(c.s), e.upper(c.t)
	first := c.of.next(s, last, most)
	switch {
	case !e.holds(c.guard):
		return first <= last || e.set(c.guard.not(), why)
	case !e.set(atLeast(c.s, first), why):
		return false
	}
	if !e.set(atMost(c.s, c.of.previous(last, most)), why) {
		return false
	}
	low, _ := c.of.span(e.lower(c.s), e.upper(c.s))
	return e.set(atLeast(c.t, low), why)
}

// explainCost appends the guard and the bounds, as wide as they may be, that exclude every start
// at which the cost is small enough.
func (e *engine) explainCost(head lit, why reason, pos int32) {
	c := &e.costs[why&^kindMask]
	a, b := e.at(2*c.s, pos), -e.at(2*c.s+1, pos)
	most := -e.at(2*c.t+1, pos)
	guarded := true
	switch head.col {
	case 2 * c.t:
		most = head.val - 1
	case 2 * c.s: // all from a to before the new bound cost more
		b = head.val - 1
	case 2*c.s + 1:
		a = 1 - head.val
	default:
		guarded = false
	}
	if guarded {
		e.because = append(e.because, c.guard)
	}
	if head.col != 2*c.t {
		e.because = append(e.because, atMost(c.t, most))
	}
	if head.col != 2*c.s+1 {
		e.because = append(e.because, atLeast(c.s, c.of.previous(a, most)+1))
	}
	if head.col != 2*c.s {
		e.because = append(e.because, atMost(c.s, c.of.next(b, e.p.Horizon, most)-1))
	}
}
