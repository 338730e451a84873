package exact

// finder is what edge-finding needs of the tasks of one resource, in one direction of time: the
// other way round all times are negated.
type finder struct {
	tasks  []rigid // by rising est
	last   []int32 // tasks by rising lct
	pushes []push

	spare         []rigid
	place         []int32
	keys, changes []int64
	// pause is how often the next looks are left out, and skip how often still.
	pause, skip int
}

// rigid is a task of one length.
type rigid struct {
	id                 int32
	est, lst, ect, lct int32
	length             int32
	need               int64
	// Energy of compulsory parts and of missing capacity before est and lct.
	beforeEst, beforeLct int64
}

// push is a later start of a task, and the stretch of time that asks for it.
type push struct{ start, from, to int32 }

// Looks at a resource that find nothing make the next ones rarer, by one each up to rarest, and
// those that find something more frequent: edge-finding takes several times as long as all else.
// On problems of 60 activities it finds something in a quarter of its looks where capacity is
// scarcest, and lower bounds rise sooner; elsewhere in a twentieth, and proofs take three times
// as long if it always looks.
const (
	rarest = 64
	sooner = 8
)

// due says whether to look, and found counts what came of it.
func (f *finder) due() bool {
	if f.skip > 0 {
		f.skip--
		return false
	}
	return true
}

func (f *finder) found(some bool) {
	if some {
		f.pause = max(0, f.pause-sooner)
	} else {
		f.pause = min(rarest, f.pause+1)
	}
	f.skip = f.pause
}

// edges is time-table edge-finding: in each stretch of time it adds what must be used there, the
// compulsory parts and the rest of the tasks that lie within, and keeps others out of what is
// too full. Source: Vilim, Timetable edge finding filtering algorithm for discrete cumulative
// resources (2011), and Schutt, Feydy and Stuckey, Explaining time-table-edge-finding propagation
// (2013), both from memory.
func (e *engine) edges(r int32) bool {
	res := &e.resources[r]
	f := &e.finder
	for k := range res.axes {
		x := &res.axes[k]
		f.tasks = f.tasks[:0]
		for _, id := range x.tasks {
			t := &e.tasks[id]
			if need := e.least(t); need > 0 {
				est, lst := x.at(e.est(t)), x.at(e.lst(t))
				f.tasks = append(f.tasks, rigid{id: id, est: est, lst: lst, ect: est + t.work, lct: lst + t.work, length: t.work, need: need})
			}
		}
		if len(f.tasks) < 2 {
			continue
		}
		why := energy{resource: r, axis: int32(k)}
		f.weigh(x.base)
		if !e.sweep(x, why, false) {
			return false
		}
		f.turn()
		if !e.sweep(x, why, true) {
			return false
		}
	}
	return true
}

// weigh sorts the tasks and sums the energy before each of their bounds.
func (f *finder) weigh(base []change) {
	f.keys = f.keys[:0]
	for k := range f.tasks {
		f.keys = append(f.keys, int64(f.tasks[k].est)<<32|int64(k))
	}
	sortEvents(f.keys)
	f.spare = append(f.spare[:0], f.tasks...)
	f.changes = f.changes[:0]
	for k, key := range f.keys {
		t := &f.spare[uint32(key)]
		f.tasks[k] = *t
		if t.lst < t.ect {
			f.changes = append(f.changes, int64(t.lst)<<32|int64(uint32(t.need)), int64(t.ect)<<32|int64(uint32(-t.need)))
		}
	}
	for _, c := range base {
		f.changes = append(f.changes, int64(c.at)<<32|int64(uint32(c.delta)))
	}
	sortEvents(f.changes)
	f.keys, f.last = f.keys[:0], f.last[:0]
	for k := range f.tasks {
		f.keys = append(f.keys, int64(f.tasks[k].lct)<<32|int64(k))
	}
	sortEvents(f.keys)
	early, late := used{changes: f.changes}, used{changes: f.changes}
	for k, key := range f.keys {
		t := &f.tasks[uint32(key)]
		t.beforeLct = late.before(t.lct)
		f.last = append(f.last, int32(uint32(key)))
		f.tasks[k].beforeEst = early.before(f.tasks[k].est)
	}
}

// used adds up what changes of use come to before one time after the other.
type used struct {
	changes  []int64
	at       int32
	use, sum int64
}

func (u *used) before(until int32) int64 {
	for len(u.changes) > 0 && int32(u.changes[0]>>32) <= until {
		c := u.changes[0]
		u.changes = u.changes[1:]
		u.sum += u.use * int64(int32(c>>32)-u.at)
		u.at = int32(c >> 32)
		u.use += int64(int32(uint32(c)))
	}
	u.sum += u.use * int64(until-u.at)
	u.at = until
	return u.sum
}

// turn reverses time.
func (f *finder) turn() {
	for k := range f.tasks {
		t := &f.tasks[k]
		t.est, t.lst, t.ect, t.lct = -t.lct, -t.ect, -t.lst, -t.est
		t.beforeEst, t.beforeLct = -t.beforeLct, -t.beforeEst
	}
	// By rising est is now by falling lct of before, and the other way round.
	n := len(f.tasks)
	f.spare = append(f.spare[:0], f.tasks...)
	f.place = append(f.place[:0], f.last...)
	for k, from := range f.last {
		f.tasks[n-1-k] = f.spare[from]
		f.place[from] = int32(n - 1 - k)
	}
	for k := range f.last {
		f.last[k] = f.place[n-1-k]
	}
}

// sweep looks at all stretches between an est and a later lct.
func (e *engine) sweep(x *axis, why energy, turned bool) bool {
	f := &e.finder
	capacity := e.resources[why.resource].greatest
	f.pushes = f.pushes[:0]
	for range f.tasks {
		f.pushes = append(f.pushes, push{start: absent})
	}
	found := false
	for j, k := range f.last {
		b := f.tasks[k].lct
		if j+1 < len(f.last) && f.tasks[f.last[j+1]].lct == b {
			continue
		}
		free, extra := int64(0), int64(0)
		who, own := -1, int64(0)
		for i := len(f.tasks) - 1; i >= 0; i-- {
			t := &f.tasks[i]
			a := t.est
			if a >= b {
				continue
			}
			if t.lct <= b {
				free += t.need * int64(t.length-max(0, t.ect-t.lst))
			} else {
				inside := min(t.length, max(0, b-t.lst)) // at least, when it starts last
				free += t.need * int64(inside-max(0, min(t.ect, b)-t.lst))
				if more := t.need * int64(min(t.length, b-a)-inside); more > extra {
					extra, who, own = more, i, t.need*int64(inside)
				}
			}
			left := capacity*int64(b-a) - free - (f.tasks[k].beforeLct - t.beforeEst)
			if left < 0 {
				why.from, why.to = a, b
				e.clash = clash{nowhere, e.keepEnergy(why, turned)}
				return false
			}
			if extra > left {
				start := b - int32((left+own)/f.tasks[who].need)
				if p := &f.pushes[who]; start > p.start {
					*p, found = push{start, a, b}, true
				}
			}
		}
	}
	if !found {
		return true
	}
	for i, p := range f.pushes {
		if p.start == absent {
			continue
		}
		t := &e.tasks[f.tasks[i].id]
		l := atLeast(t.s, x.first(p.start))
		if turned {
			l = atMost(t.s, x.last(-p.start-t.work))
		}
		if e.holds(l) {
			continue
		}
		why.from, why.to = p.from, p.to
		if !e.set(l, e.keepEnergy(why, turned)) {
			return false
		}
	}
	return true
}
