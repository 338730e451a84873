package exact

// arc says bound[to] >= bound[from] + lag, always or while its guard holds. An arc between two
// times is stored on both of their columns: earliest starts are pushed forward and latest
// starts backward.
type arc struct {
	from, to int32
	lag      int32
	guard    lit
}

// free is the guard of an arc that always holds.
var free = lit{col: -1}

// hop is an arc as seen from its tail.
type hop struct{ to, lag int32 }

// addArc posts time(b) >= time(a) + lag between two points, and its mirror.
func (e *engine) addArc(a, b point, lag int32, guard lit) {
	lag += a.off - b.off
	for _, c := range [2]arc{
		{2 * a.x, 2 * b.x, lag, guard},
		{2*b.x + 1, 2*a.x + 1, lag, guard},
	} {
		if guard == free {
			e.hops[c.from] = append(e.hops[c.from], hop{c.to, c.lag})
			continue
		}
		id := int32(len(e.guarded))
		e.guarded = append(e.guarded, c)
		e.tails[c.from] = append(e.tails[c.from], id)
		e.guards[guard.col] = append(e.guards[guard.col], id)
	}
}

// wakeArcs passes the bound of col on.
func (e *engine) wakeArcs(col, old int32) bool {
	b := e.bound[col]
	for _, h := range e.hops[col] {
		if v := b + h.lag; v > e.bound[h.to] {
			if !e.pass(lit{h.to, v}, byArc|reason(col)<<32|reason(uint32(h.lag))) {
				return false
			}
		}
	}
	for _, id := range e.tails[col] {
		if !e.follow(id) {
			return false
		}
	}
	for _, id := range e.guards[col] {
		if g := e.guarded[id].guard; g.val <= b && g.val > old && !e.follow(id) {
			return false
		}
	}
	return true
}

// follow passes a bound along a guarded arc, or refutes the guard if the arc cannot hold. The
// mirror of the arc sees to the other direction.
func (e *engine) follow(id int32) bool {
	a := &e.guarded[id]
	v := e.bound[a.from] + a.lag
	if v <= e.bound[a.to] {
		return true
	}
	if e.bound[a.guard.col] >= a.guard.val {
		return e.pass(lit{a.to, v}, byGuardedArc|reason(id))
	}
	if v > -e.bound[a.to^1] {
		return e.set(a.guard.not(), byGuardRefuted|reason(id))
	}
	return true
}

// explainArcs appends what the arc in why needs to make head true, and no more.
func (e *engine) explainArcs(head lit, why reason, pos int32) {
	switch why & kindMask {
	case byArc:
		from, lag := int32(why>>32&0xffffff), int32(uint32(why))
		e.because = append(e.because, lit{from, head.val - lag})
	case byGuardedArc:
		a := &e.guarded[why&^kindMask]
		e.because = append(e.because, lit{a.from, head.val - a.lag}, a.guard)
	case byGuardRefuted:
		// bound[from] + lag exceeds what the other bound of to leaves. The slack goes to the
		// tail.
		a := &e.guarded[why&^kindMask]
		other := e.at(a.to^1, pos)
		e.because = append(e.because, lit{a.from, 1 - other - a.lag}, lit{a.to ^ 1, other})
	}
}
