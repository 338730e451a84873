package search

import (
	"slices"

	"chablon/schedule/project"
)

// points are the starts and ends of all activities with what the arcs and bounds leave to them:
// point 2i is the start of activity i and 2i+1 its end. Modes may be open, pause and count in
// working time. Each label knows the point that set it, so that who is in the way can be found.
type points struct {
	p       *project.Problem
	arcs    []pointArc
	out, in [][]int32 // by point: arcs
	lo0     []int32   // bounds with nothing placed
	hi0     []int32
	lo, hi  []int32
	hiBy    []int32    // the point whose bound set hi, -1 for its own
	base    [3][]int32 // lo, hi and hiBy with nothing placed, once known
	trail   []pointMark
	queue   []int32
	queued  []bool
	steps   int
}

// pointArc says: time(to) >= time(from) + lag, in work of the calendar (plus one) if given.
type pointArc struct {
	from, to int32
	lag      int32
	calendar int32
}

type pointMark struct {
	point, old, by int32
	upper          bool
}

func startOf(i int32) int32 { return 2 * i }
func endOf(i int32) int32   { return 2*i + 1 }

// newPoints reads a problem whose ends may be bounded too, nil for no bounds beside the horizon.
func newPoints(p *project.Problem, ends []bounds) *points {
	n := int32(len(p.Activities))
	q := &points{p: p, out: make([][]int32, 2*n), in: make([][]int32, 2*n), lo0: make([]int32, 2*n), hi0: make([]int32, 2*n), hiBy: make([]int32, 2*n), queued: make([]bool, 2*n)}
	for i := range n {
		a := &p.Activities[i]
		q.lo0[2*i], q.hi0[2*i], q.hi0[2*i+1] = a.Earliest, a.Latest, p.Horizon
		if ends != nil {
			q.lo0[2*i+1], q.hi0[2*i+1] = ends[i].lo, ends[i].hi
		}
		short, long, pauses := a.Modes[0].Duration, a.Modes[0].Duration, false
		for _, m := range a.Modes {
			short, long = min(short, m.Duration), max(long, m.Duration)
			pauses = pauses || m.Calendar > 0
		}
		q.add(pointArc{from: 2 * i, to: 2*i + 1, lag: short})
		if !pauses {
			q.add(pointArc{from: 2*i + 1, to: 2 * i, lag: -long})
		}
	}
	for _, a := range p.Arcs {
		arc := pointArc{from: 2 * a.From, to: 2 * a.To, lag: max(-p.Horizon-1, min(a.Lag, p.Horizon+1)), calendar: a.Calendar}
		if a.FromEnd {
			arc.from++
		}
		if a.ToEnd {
			arc.to++
		}
		q.add(arc)
	}
	q.lo, q.hi = slices.Clone(q.lo0), slices.Clone(q.hi0)
	return q
}

// bounds are those of an end.
type bounds struct{ lo, hi int32 }

func (q *points) add(a pointArc) {
	k := int32(len(q.arcs))
	q.arcs = append(q.arcs, a)
	q.out[a.from] = append(q.out[a.from], k)
	q.in[a.to] = append(q.in[a.to], k)
}

// push returns the least time that an arc leaves to its head if its tail is at t.
func (q *points) push(a *pointArc, t int32) int32 {
	if a.calendar == 0 {
		return t + a.lag
	}
	c := &q.p.Calendars[a.calendar-1]
	at, ok := c.First(c.Work(t) + a.lag)
	if !ok {
		return q.p.Horizon + 1
	}
	return at
}

// pull returns the greatest time that an arc leaves to its tail if its head is at t.
func (q *points) pull(a *pointArc, t int32) int32 {
	if a.calendar == 0 {
		return t - a.lag
	}
	c := &q.p.Calendars[a.calendar-1]
	w := c.Work(t) - a.lag
	if w < 0 {
		return -1
	}
	at, ok := c.Last(w)
	if !ok {
		return q.p.Horizon
	}
	return at
}

// reset forgets what was placed and takes up the bounds, with starts no earlier than raise. It is
// false if arcs and bounds contradict each other.
func (q *points) reset(raise []int32) bool {
	if q.base[0] == nil {
		copy(q.lo, q.lo0)
		copy(q.hi, q.hi0)
		for i := range q.hiBy {
			q.hiBy[i] = -1
		}
		for v := range q.lo {
			q.enqueue(int32(v))
		}
		if !q.spread() {
			return false
		}
		q.base = [3][]int32{slices.Clone(q.lo), slices.Clone(q.hi), slices.Clone(q.hiBy)}
	}
	copy(q.lo, q.base[0])
	copy(q.hi, q.base[1])
	copy(q.hiBy, q.base[2])
	ok := true
	for i, t := range raise {
		ok = ok && q.raise(startOf(int32(i)), t)
	}
	ok = q.spread() && ok
	q.keep()
	return ok
}

func (q *points) enqueue(v int32) {
	if !q.queued[v] {
		q.queued[v] = true
		q.queue = append(q.queue, v)
	}
}

func (q *points) raise(v, t int32) bool {
	if t > q.lo[v] {
		q.trail = append(q.trail, pointMark{v, q.lo[v], 0, false})
		q.lo[v] = t
		q.enqueue(v)
	}
	return q.lo[v] <= q.hi[v]
}

func (q *points) lower(v, t, by int32) bool {
	if t < q.hi[v] {
		q.trail = append(q.trail, pointMark{v, q.hi[v], q.hiBy[v], true})
		q.hi[v], q.hiBy[v] = t, by
		q.enqueue(v)
	}
	return q.lo[v] <= q.hi[v]
}

// fix sets the times of an activity and carries them on.
func (q *points) fix(i, start, end int32) bool {
	ok := q.set(i, start, end)
	return q.spread() && ok
}

// set is fix without carrying on; it may be called for several activities before spread.
func (q *points) set(i, start, end int32) bool {
	s, e := startOf(i), endOf(i)
	return q.raise(s, start) && q.lower(s, start, s) && q.raise(e, end) && q.lower(e, end, e)
}

// spread carries changed labels along the arcs until nothing moves; false if two cross.
func (q *points) spread() bool {
	ok := true
	for k := 0; k < len(q.queue) && ok; k++ {
		u := q.queue[k]
		q.queued[u] = false
		q.steps++
		for _, j := range q.out[u] {
			a := &q.arcs[j]
			ok = ok && q.raise(a.to, q.push(a, q.lo[u]))
		}
		for _, j := range q.in[u] {
			a := &q.arcs[j]
			ok = ok && q.lower(a.from, q.pull(a, q.hi[u]), u)
		}
	}
	for _, u := range q.queue {
		q.queued[u] = false
	}
	q.queue = q.queue[:0]
	return ok
}

// keep makes the changes since the last call permanent, undo takes them back.
func (q *points) keep() { q.trail = q.trail[:0] }

func (q *points) undo() {
	for _, m := range slices.Backward(q.trail) {
		if m.upper {
			q.hi[m.point], q.hiBy[m.point] = m.old, m.by
		} else {
			q.lo[m.point] = m.old
		}
	}
	q.keep()
}

// culprit follows the latest time of a point back to the placed activity that set it, -1 if
// that was bounds alone.
func (q *points) culprit(v int32, placed []bool) int32 {
	own := v / 2
	for range q.hi {
		if i := v / 2; i != own && placed[i] {
			return i
		}
		if v = q.hiBy[v]; v < 0 {
			return -1
		}
	}
	return -1
}

// alone reports whether an activity keeps the arcs between its own points.
func (q *points) alone(i, start, end int32) bool {
	at := func(v int32) int32 {
		if v == startOf(i) {
			return start
		}
		return end
	}
	for _, v := range [2]int32{startOf(i), endOf(i)} {
		for _, k := range q.out[v] {
			if a := &q.arcs[k]; a.to/2 == i && at(a.to) < q.push(a, at(a.from)) {
				return false
			}
		}
	}
	return true
}
