package exact

import "chablon/schedule/project"

// axis is the time of tasks that edge-finding looks at together: those that do not pause, by the
// clock, or those that leave a resource while one calendar is closed, by its open ticks.
type axis struct {
	open  *project.Calendar // nil for the clock
	tasks []int32
	base  []change // of the resource
}

// at is the time on the axis, first the first tick with that time or more, and last the last one
// with that time or less.
func (x *axis) at(t int32) int32 {
	if x.open == nil {
		return t
	}
	return x.open.Work(t)
}

func (x *axis) first(w int32) int32 {
	if x.open == nil {
		return w
	}
	if t, ok := x.open.First(w); ok {
		return t
	}
	return far
}

func (x *axis) last(w int32) int32 {
	if x.open == nil {
		return w
	}
	if w < 0 {
		return -1
	}
	if t, ok := x.open.Last(w); ok {
		return t
	}
	return far
}

// energy is a reason: within from and to on an axis the tasks of a resource need more of it than
// there is, or leave too little for one task.
type energy struct{ resource, axis, from, to int32 }

// addAxes sorts the tasks of a resource for edge-finding.
func (e *engine) addAxes(res *resource) {
	for _, id := range res.tasks {
		t := &e.tasks[id]
		if t.work == 0 {
			continue
		}
		k := 0
		for k < len(res.axes) && res.axes[k].open != t.open {
			k++
		}
		if k == len(res.axes) {
			x := axis{open: t.open}
			for _, c := range res.base {
				x.base = append(x.base, change{x.at(c.at), c.delta})
			}
			res.axes = append(res.axes, x)
		}
		res.axes[k].tasks = append(res.axes[k].tasks, id)
	}
}

// keepEnergy keeps a reason for as long as the trail has it.
func (e *engine) keepEnergy(why energy, turned bool) reason {
	if turned {
		why.from, why.to = -why.to, -why.from
	}
	e.energies = append(e.energies, why)
	return byEnergy | reason(len(e.energies)-1)
}

// explainEnergy appends, for each task, the bounds that keep as much of it within the stretch as
// is needed.
func (e *engine) explainEnergy(head lit, why reason, pos int32) {
	// The entry may have been taken back just now, and its reason with it.
	at := int(why &^ kindMask)
	span := e.energies[: at+1 : cap(e.energies)][at]
	res := &e.resources[span.resource]
	x := &res.axes[span.axis]
	a, b := span.from, span.to
	slack := -res.greatest*int64(b-a) - 1
	for _, c := range x.base {
		slack += int64(c.delta) * int64(b-min(b, max(a, c.at)))
	}
	e.portions = e.portions[:0]
	for _, id := range x.tasks {
		t := &e.tasks[id]
		est, lst := x.at(e.at(2*t.s, pos)), x.at(-e.at(2*t.s+1, pos))
		if head != nowhere && head.col>>1 == t.s {
			inside := min(t.work, b-a)
			if head.col&1 == 0 { // at any earlier start so much would be inside
				inside = min(inside, b-x.at(head.val-1), est+t.work-a)
				e.because = append(e.because, atLeast(t.s, x.first(a+inside-t.work)))
			} else {
				inside = min(inside, x.at(1-head.val)+t.work-a, b-lst)
				e.because = append(e.because, atMost(t.s, x.last(b-inside)))
			}
			slack += e.demandAt(t, pos) * int64(inside)
			e.needDemand(t, pos)
			continue
		}
		inside := min(t.work, b-a, est+t.work-a, b-lst)
		if inside <= 0 {
			continue
		}
		need := e.demandAt(t, pos)
		if need == 0 {
			continue
		}
		slack += need * int64(inside)
		bare := e.given(atLeast(t.s, x.first(a+inside-t.work))) && e.given(atMost(t.s, x.last(b-inside)))
		e.portions = append(e.portions, portion{id, inside, need, bare})
	}
	for k := range e.portions {
		s := &e.portions[k]
		if whole := s.need * int64(s.inside); !s.bare && whole <= slack {
			slack -= whole
			s.inside = 0
		}
	}
	for _, s := range e.portions {
		if s.inside == 0 {
			continue
		}
		t := &e.tasks[s.id]
		if !s.bare {
			less := min(slack/s.need, int64(s.inside)-1)
			slack -= less * s.need
			s.inside -= int32(less)
		}
		e.because = append(e.because, atLeast(t.s, x.first(a+s.inside-t.work)), atMost(t.s, x.last(b-s.inside)))
		e.needDemand(t, pos)
	}
}

// portion is how much of a task lies within a stretch at least.
type portion struct {
	id, inside int32
	need       int64
	bare       bool // follows at the root, or from what the conflict needs anyway
}

// given reports whether a statement costs a conflict nothing.
func (e *engine) given(l lit) bool { return e.need[l.col] >= l.val || e.root[l.col] >= l.val }
