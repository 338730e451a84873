package exact

// user is a task that covers a moment, with its demand there.
type user struct {
	id     int32
	demand int64
	bare   bool // follows at the root, or from what the conflict needs anyway
}

// explainTimetable appends the tasks that fill a resource at one moment, as few as are needed,
// by the weakest bounds that put them there.
func (e *engine) explainTimetable(head lit, why reason, pos int32) {
	id, m := int32(why>>32&0xffffff), int32(uint32(why))
	t := &e.tasks[id]
	res := &e.resources[t.resource]
	limit := res.greatest
	self := id
	moment := m // where a weaker head could be explained too
	switch head.col {
	case nowhere.col:
		self = -1
	case 2 * t.s:
		moment = head.val - 1
		limit -= e.demandAt(t, pos)
	case 2*t.e + 1:
		moment = t.off - head.val
		limit -= e.demandAt(t, pos)
	default:
		limit -= int64(-head.val) + 1 // demand must not exceed -head.val
	}
	if self >= 0 && !t.at(moment) {
		moment = m
	}
	use := e.users(res, self, moment, pos)
	if use <= limit && moment != m {
		moment = m
		use = e.users(res, self, moment, pos)
	}
	switch head.col {
	case nowhere.col:
	case 2 * t.s:
		e.because = append(e.because, lit{2 * t.e, moment + 1 - t.off})
		e.needDemand(t, pos)
	case 2*t.e + 1:
		e.because = append(e.because, lit{2*t.s + 1, -moment})
		e.needDemand(t, pos)
	default:
		e.because = append(e.because, lit{2*t.s + 1, -moment}, lit{2 * t.e, moment + 1 - t.off})
	}
	slack := use - limit - 1
	for _, u := range e.using {
		if !u.bare && u.demand <= slack {
			slack -= u.demand
			continue
		}
		o := &e.tasks[u.id]
		e.because = append(e.because, lit{2*o.s + 1, -moment}, lit{2 * o.e, moment + 1 - o.off})
		e.needDemand(o, pos)
	}
}

// users collects in e.using the tasks but self that cover a moment, as the bounds were when the
// trail had pos entries, and returns what they and the base use.
func (e *engine) users(res *resource, self, moment, pos int32) int64 {
	e.using = e.using[:0]
	use := int64(0)
	for _, c := range res.base {
		if c.at <= moment {
			use += int64(c.delta)
		}
	}
	for _, id := range res.tasks {
		t := &e.tasks[id]
		before, after := lit{2*t.s + 1, -moment}, lit{2 * t.e, moment + 1 - t.off}
		// What does not hold now did not hold then.
		if id == self || !t.at(moment) || !e.holds(before) || !e.holds(after) ||
			e.at(before.col, pos) < before.val || e.at(after.col, pos) < after.val {
			continue
		}
		d := e.demandAt(t, pos)
		use += d
		bare := e.need[before.col] >= before.val || e.root[before.col] >= before.val
		bare = bare && (e.need[after.col] >= after.val || e.root[after.col] >= after.val)
		e.using = append(e.using, user{id, d, bare})
	}
	return use
}

func (e *engine) demandAt(t *task, pos int32) int64 {
	if t.d >= 0 {
		return int64(e.at(2*t.d, pos))
	}
	return int64(t.demand)
}

func (e *engine) needDemand(t *task, pos int32) {
	if t.d >= 0 {
		e.because = append(e.because, lit{2 * t.d, e.at(2*t.d, pos)})
	}
}
