package exact

import "math"

// A column is one direction of one integer variable: column 2x holds the lower bound of x and
// column 2x+1 the negated upper bound, so that every deduction raises a bound. An order
// between two activities, or the choice of a mode, is a variable from 0 to 1.

// lit is the statement bound[col] >= val: x >= val on an even column, x <= -val on an odd one.
type lit struct{ col, val int32 }

func (l lit) not() lit { return lit{l.col ^ 1, 1 - l.val} }

func atLeast(x, v int32) lit { return lit{2 * x, v} }
func atMost(x, v int32) lit  { return lit{2*x + 1, -v} }

// entry is one raised bound. prev is the entry before it on the same column, or -1.
type entry struct {
	reason    reason
	col, prev int32
	old, val  int32
	level     int32
	raises    int32 // by arcs, at this level
}

// reason says why a bound was raised; its kind is in the top byte and its meaning is known to
// the deduction that made it. The zero reason is a decision, or a fact without conditions.
type reason uint64

const (
	byNothing reason = iota << 56
	byClause
	byArc
	byGuardedArc
	byGuardRefuted
	byTimetable
	byLinear
	byCycle
	byCost
	kindMask reason = 0xff << 56
)

// absent is lower than every bound.
const absent = math.MinInt32

// at returns the bound of col as it was when the trail had pos entries.
func (e *engine) at(col, pos int32) int32 {
	k := e.last[col]
	for k >= pos {
		k = e.trail[k].prev
	}
	if k < 0 {
		return e.root[col]
	}
	return e.trail[k].val
}

// entryOf returns the entry that made l true, or -1 if it holds at the root. l must be true.
func (e *engine) entryOf(l lit) int32 {
	if l.val <= e.root[l.col] {
		return -1
	}
	k := e.last[l.col]
	for e.trail[k].old >= l.val {
		k = e.trail[k].prev
	}
	return k
}

func (e *engine) holds(l lit) bool { return e.bound[l.col] >= l.val }
func (e *engine) fails(l lit) bool { return -e.bound[l.col^1] < l.val }

func (e *engine) lower(x int32) int32 { return e.bound[2*x] }
func (e *engine) upper(x int32) int32 { return -e.bound[2*x+1] }
func (e *engine) fixed(x int32) bool  { return e.bound[2*x] == -e.bound[2*x+1] }

// set makes l true for a reason. It returns false, and leaves the conflict in e.clash, if l is
// false already.
func (e *engine) set(l lit, why reason) bool {
	old := e.bound[l.col]
	if l.val <= old {
		return true
	}
	if top := -e.bound[l.col^1]; l.val > top {
		// The weakest statement that contradicts the other bound has the widest explanation.
		e.clash = clash{lit{l.col, top + 1}, why}
		return false
	}
	e.trail = append(e.trail, entry{
		reason: why, col: l.col, prev: e.last[l.col], old: old, val: l.val, level: e.depth(),
	})
	e.last[l.col] = int32(len(e.trail) - 1)
	e.bound[l.col] = l.val
	return true
}

// clash is a conflict: head is false but follows from the reason. For a reason that is a
// conflict in itself, such as an overload, head is nowhere.
type clash struct {
	head lit
	why  reason
}

// nowhere is the head of a conflict that has none.
var nowhere = lit{col: -1}

func (e *engine) depth() int32 { return int32(len(e.starts)) }

// decide opens a level with a choice.
func (e *engine) decide(l lit) {
	e.starts = append(e.starts, int32(len(e.trail)))
	e.set(l, byNothing)
}

// pop takes the last entry back.
func (e *engine) pop() {
	k := len(e.trail) - 1
	t := &e.trail[k]
	e.bound[t.col] = t.old
	e.last[t.col] = t.prev
	e.trail = e.trail[:k]
}

// backTo undoes all levels above depth.
func (e *engine) backTo(depth int32) {
	if e.depth() <= depth {
		return
	}
	start := int(e.starts[depth])
	for len(e.trail) > start {
		e.pop()
	}
	e.starts = e.starts[:depth]
	e.head = min(e.head, start)
	e.order.restore(depth)
}

// settle makes what is on the trail at level zero permanent: it needs no explanation any more.
func (e *engine) settle() {
	for k := range e.trail {
		e.last[e.trail[k].col] = -1
	}
	e.trail, e.head = e.trail[:0], 0
	copy(e.root, e.bound)
}
