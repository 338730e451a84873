package search

import (
	"slices"

	"chablon/schedule/project"
)

// points are the starts and ends of all activities with what the arcs and bounds leave to them:
// point 2i is the start of activity i and 2i+1 its end. Modes may be open, pause and count in
// working time. Each label knows the point that set it, so that who is in the way can be found.
type points struct {
	x       *net
	arcs    []pointArc
	out, in [][]int32 // by point: arcs
	lo, hi  []int32
	hiBy    []int32    // the point whose bound set hi, -1 for its own
	base    [3][]int32 // lo, hi and hiBy with nothing placed
	trail   []pointMark
	queue   []int32
	queued  []bool
}

// pointArc says: time(to) >= time(from) + its lag.
type pointArc struct {
	from, to int32
	*project.Arc
}

type pointMark struct {
	point, old, by int32
	upper          bool
}

func startOf(i int32) int32 { return 2 * i }
func endOf(i int32) int32   { return 2*i + 1 }

func newPoints(x *net) *points {
	n := 2 * x.n
	q := &points{
		x: x, out: make([][]int32, n), in: make([][]int32, n), lo: make([]int32, n), hi: make([]int32, n), hiBy: make([]int32, n),
		queued: make([]bool, n),
	}
	for v := range q.hiBy {
		q.hiBy[v] = -1
	}
	for i, w := range x.base {
		s, e := startOf(int32(i)), endOf(int32(i))
		q.lo[s], q.hi[s], q.lo[e], q.hi[e] = w.s0, w.s1, w.e0, w.e1
		q.add(s, e, &project.Arc{Lag: x.short[i]})
		if x.calm[i] {
			q.add(e, s, &project.Arc{Lag: -x.long[i]})
		}
	}
	for k := range x.arcs {
		a := &x.arcs[k]
		from, to := startOf(a.From), startOf(a.To)
		if a.FromEnd {
			from = endOf(a.From)
		}
		if a.ToEnd {
			to = endOf(a.To)
		}
		q.add(from, to, a)
	}
	q.base = [3][]int32{slices.Clone(q.lo), slices.Clone(q.hi), slices.Clone(q.hiBy)}
	return q
}

func (q *points) add(from, to int32, a *project.Arc) {
	k := int32(len(q.arcs))
	q.arcs = append(q.arcs, pointArc{from, to, a})
	q.out[from] = append(q.out[from], k)
	q.in[to] = append(q.in[to], k)
}

// reset forgets what was placed and takes up the bounds, with starts no earlier than raise. It is
// false if arcs and bounds contradict each other.
func (q *points) reset(raise []int32) bool {
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
		for _, j := range q.out[u] {
			a := &q.arcs[j]
			ok = ok && q.raise(a.to, q.x.ahead(a.Arc, q.lo[u]))
		}
		for _, j := range q.in[u] {
			a := &q.arcs[j]
			ok = ok && q.lower(a.from, q.x.behind(a.Arc, q.hi[u]), u)
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
