package search

import (
	"cmp"
	"slices"

	"chablon/schedule/project"
)

// layout is where the activities of a net stand: some are placed, the others are not.
type layout struct {
	x *net
	room
	start, end, mode []int32
	in               []bool
	placed           int
	spent            []int64 // by budget: of what is placed, and the least of the others
}

func newLayout(x *net) layout {
	l := layout{
		x: x, start: make([]int32, x.n), end: make([]int32, x.n), mode: make([]int32, x.n), in: make([]bool, x.n),
		spent: make([]int64, len(x.p.Budget)),
	}
	l.free, l.runs = make([]steps, len(x.empty.free)), make([][]run, len(x.p.Machines))
	l.clear()
	return l
}

// clear takes everything out.
func (l *layout) clear() {
	for r := range l.free {
		l.free[r].copyFrom(&l.x.empty.free[r])
	}
	for m := range l.runs {
		l.runs[m] = l.runs[m][:0]
	}
	clear(l.in)
	clear(l.spent)
	for i := range l.x.n {
		for k, c := range l.x.least[i] {
			l.spent[k] += c
		}
	}
	l.placed = 0
}

func (l *layout) way(i, m int32) *way { return &l.x.ways[i][m] }

// put places i in mode m from s to e.
func (l *layout) put(i, m, s, e int32) {
	l.start[i], l.end[i], l.mode[i], l.in[i] = s, e, m, true
	l.placed++
	y := l.way(i, m)
	l.change(y, s, e, 1)
	for k := range l.spent {
		l.spent[k] += y.consumes(k) - l.x.least[i][k]
	}
	for _, st := range y.stands {
		r := run{i, st.Class, s, e}
		list := l.runs[st.Machine]
		k, _ := slices.BinarySearchFunc(list, r, byStart)
		l.runs[st.Machine] = slices.Insert(list, k, r)
	}
}

func byStart(a, b run) int {
	return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.activity, b.activity))
}

// out takes i out.
func (l *layout) out(i int32) {
	m, s, e := l.mode[i], l.start[i], l.end[i]
	y := l.way(i, m)
	l.in[i] = false
	l.placed--
	l.change(y, s, e, -1)
	for k := range l.spent {
		l.spent[k] -= y.consumes(k) - l.x.least[i][k]
	}
	for _, st := range y.stands {
		k, _ := slices.BinarySearchFunc(l.runs[st.Machine], run{i, st.Class, s, e}, byStart)
		l.runs[st.Machine] = slices.Delete(l.runs[st.Machine], k, k+1)
	}
}

// change takes (sign 1) or gives back (-1) what a run uses.
func (l *layout) change(y *way, s, e, sign int32) {
	for k := range y.uses {
		u := &y.uses[k]
		y.pieces(*u, s, e, func(from, to int32) bool {
			l.free[u.resource].take(from, to, sign*u.amount)
			return true
		})
	}
}

// allowed reports whether the budgets bear i in mode m, with the least for all that is out.
func (l *layout) allowed(i, m int32) bool {
	y := l.way(i, m)
	for k, c := range l.spent {
		if c+y.consumes(k)-l.x.least[i][k] > int64(l.x.p.Budget[k]) {
			return false
		}
	}
	return true
}

// plan returns the plan, which must be complete.
func (l *layout) plan() project.Plan {
	p := project.Plan{Start: slices.Clone(l.start), Mode: slices.Clone(l.mode)}
	for _, e := range l.end {
		p.Makespan = max(p.Makespan, e)
	}
	return p
}
