package exact

import (
	"slices"

	"chablon/schedule/project"
)

// task is an activity's use of one resource, from start variable s to end variable e plus off.
// Its demand is constant, or the value of variable d if that is not negative. With a calendar it
// uses the resource in open ticks only.
type task struct {
	s, e, off int32
	demand, d int32
	resource  int32
	open      *project.Calendar
	from, to  int32 // compulsory part in the profile last built; empty if from >= to
}

// resource is a cumulative resource whose capacity is greatest less base, which changes at
// given times.
type resource struct {
	tasks    []int32
	greatest int64
	base     []change
	dirty    bool
}

// change adds delta to a use from a time on.
type change struct{ at, delta int32 }

// block is a stretch of time in which the compulsory parts leave too little for some task.
type block struct {
	from, to int32
	use      int64
}

// endless is later than every horizon.
const endless = 1 << 30

func (e *engine) est(t *task) int32 { return e.bound[2*t.s] }
func (e *engine) lst(t *task) int32 { return -e.bound[2*t.s+1] }
func (e *engine) ect(t *task) int32 { return e.bound[2*t.e] + t.off }
func (e *engine) lct(t *task) int32 { return -e.bound[2*t.e+1] + t.off }

func (e *engine) least(t *task) int64 {
	if t.d >= 0 {
		return int64(e.bound[2*t.d])
	}
	return int64(t.demand)
}

func (e *engine) most(t *task) int64 {
	if t.d >= 0 {
		return int64(-e.bound[2*t.d+1])
	}
	return int64(t.demand)
}

// timetable sums the compulsory parts of a resource, that is what each task uses between its
// latest start and its earliest end, and keeps other tasks from where they do not fit.
func (e *engine) timetable(r int32) bool {
	res := &e.resources[r]
	if !e.profile(res) {
		return false
	}
	if len(e.blocks) == 0 {
		return true
	}
	for _, id := range res.tasks {
		t := &e.tasks[id]
		if t.d >= 0 && !e.capDemand(res, id) {
			return false
		}
		if e.bound[2*t.s] == -e.bound[2*t.s+1] {
			continue
		}
		if !e.pushStart(res, id) || !e.pushEnd(res, id) {
			return false
		}
	}
	return true
}

// profile builds e.blocks in order of time, or reports an overload.
func (e *engine) profile(res *resource) bool {
	ev := e.events[:0]
	most := int64(0)
	for _, id := range res.tasks {
		t := &e.tasks[id]
		t.from, t.to = e.lst(t), e.ect(t)
		if t.from < t.to {
			d := e.least(t)
			ev = t.events(ev, d)
			if t.d >= 0 {
				most = max(most, e.most(t)-d)
			}
		}
		if t.from != e.est(t) {
			most = max(most, e.least(t))
		}
	}
	e.blocks = e.blocks[:0]
	if len(ev) == 0 && len(res.base) == 0 {
		return true
	}
	for _, c := range res.base {
		ev = append(ev, int64(c.at)<<32|int64(uint32(c.delta)))
	}
	e.events = ev
	sortEvents(ev)
	use := int64(0)
	for i := 0; i < len(ev); {
		at := int32(ev[i] >> 32)
		for ; i < len(ev) && int32(ev[i]>>32) == at; i++ {
			use += int64(int32(uint32(ev[i])))
		}
		if use+most <= res.greatest {
			continue
		}
		to := int32(endless)
		if i < len(ev) {
			to = int32(ev[i] >> 32)
		}
		if use > res.greatest {
			e.clash = clash{nowhere, byTimetable | reason(res.tasks[0])<<32 | reason(uint32(at+(to-at)/2))}
			return false
		}
		e.blocks = append(e.blocks, block{at, to, use})
	}
	return true
}

// events appends the changes that a compulsory part makes to the use.
func (t *task) events(ev []int64, d int64) []int64 {
	if t.open == nil {
		return append(ev, int64(t.from)<<32|int64(uint32(d)), int64(t.to)<<32|int64(uint32(-d)))
	}
	spans := t.open.Open
	k, _ := slices.BinarySearchFunc(spans, t.from, func(s project.Span, at int32) int { return int(s.To) - int(at) - 1 })
	for ; k < len(spans) && spans[k].From < t.to; k++ {
		from, to := max(t.from, spans[k].From), min(t.to, spans[k].To)
		ev = append(ev, int64(from)<<32|int64(uint32(d)), int64(to)<<32|int64(uint32(-d)))
	}
	return ev
}

// at reports whether the task uses its resource at a moment between its start and its end.
func (t *task) at(moment int32) bool { return t.open == nil || t.open.Opens(moment) }

func sortEvents(ev []int64) {
	if len(ev) > 40 {
		slices.Sort(ev)
		return
	}
	for i := 1; i < len(ev); i++ {
		v := ev[i]
		j := i
		for ; j > 0 && ev[j-1] > v; j-- {
			ev[j] = ev[j-1]
		}
		ev[j] = v
	}
}

// pushStart moves the earliest start of a task behind the blocks that it would run into.
func (e *engine) pushStart(res *resource, id int32) bool {
	t := &e.tasks[id]
	est, ect, need := e.est(t), e.ect(t), e.least(t)
	for k := e.firstBlock(est); k < len(e.blocks); k++ {
		b := &e.blocks[k]
		if b.from >= ect {
			return true
		}
		if b.use+need <= res.greatest || t.from <= b.from && b.to <= t.to {
			continue
		}
		// The task is never moved by more than its length at once, so that one moment in the
		// block explains each move.
		for est < b.to {
			m := min(b.to, ect) - 1
			if t.open != nil {
				last, ok := lastOpen(t.open, m)
				if !ok || last < max(est, b.from) {
					break // a pause covers the block
				}
				m = last
			}
			if !e.set(lit{2 * t.s, m + 1}, byTimetable|reason(id)<<32|reason(uint32(m))) {
				return false
			}
			if t.s != t.e {
				return true // the end follows by arcs, and then the resource is looked at again
			}
			est, ect = e.est(t), e.ect(t)
		}
	}
	return true
}

// pushEnd is pushStart with time reversed.
func (e *engine) pushEnd(res *resource, id int32) bool {
	t := &e.tasks[id]
	lst, lct, need := e.lst(t), e.lct(t), e.least(t)
	k := e.firstBlock(lct)
	if k == len(e.blocks) || e.blocks[k].from >= lct {
		k--
	}
	for ; k >= 0; k-- {
		b := &e.blocks[k]
		if b.to <= lst {
			return true
		}
		if b.use+need <= res.greatest || t.from <= b.from && b.to <= t.to {
			continue
		}
		for lct > b.from {
			m := max(b.from, lst)
			if t.open != nil {
				next, ok := t.open.Next(m)
				if !ok || next >= min(lct, b.to) {
					break
				}
				m = next
			}
			if !e.set(lit{2*t.e + 1, t.off - m}, byTimetable|reason(id)<<32|reason(uint32(m))) {
				return false
			}
			if t.s != t.e {
				return true
			}
			lst, lct = e.lst(t), e.lct(t)
		}
	}
	return true
}

// firstBlock returns the first block that ends after a time.
func (e *engine) firstBlock(at int32) int {
	low, high := 0, len(e.blocks)
	for low < high {
		if mid := (low + high) / 2; e.blocks[mid].to > at {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return low
}

// capDemand keeps a demand that depends on the mode within what others leave of the resource
// during the task's compulsory part.
func (e *engine) capDemand(res *resource, id int32) bool {
	t := &e.tasks[id]
	if t.from >= t.to {
		return true
	}
	for _, b := range e.blocks {
		if b.from < t.from || b.to > t.to || !t.at(b.from) {
			continue
		}
		left := res.greatest - (b.use - e.least(t))
		if e.most(t) > left {
			if !e.set(lit{2*t.d + 1, int32(-left)}, byTimetable|reason(id)<<32|reason(uint32(b.from))) {
				return false
			}
		}
	}
	return true
}
