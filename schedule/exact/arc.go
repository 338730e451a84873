package exact

// arc says bound[to] >= bound[from] + lag, always or while its guard holds. An arc between two
// times is stored on both of their columns: earliest starts are pushed forward and latest
// starts backward. With a bend (plus one, negative for the mirror) a curve takes the place of
// the lag.
type arc struct {
	from, to  int32
	lag, bend int32
	guard     lit
}

// free is the guard of an arc that always holds.
var free = lit{col: -1}

// hop is an arc as seen from its tail.
type hop struct{ to, lag int32 }

// addArc posts time(b) >= time(a) + lag between two points, and its mirror.
func (e *engine) addArc(a, b point, lag int32, guard lit) {
	lag += a.off - b.off
	for _, c := range [2]arc{
		{from: 2 * a.x, to: 2 * b.x, lag: lag, guard: guard},
		{from: 2*b.x + 1, to: 2*a.x + 1, lag: lag, guard: guard},
	} {
		if guard == free {
			e.hops[c.from] = append(e.hops[c.from], hop{c.to, c.lag})
			continue
		}
		e.addGuarded(c)
	}
}

func (e *engine) addGuarded(a arc) {
	id := int32(len(e.guarded))
	e.guarded = append(e.guarded, a)
	e.tails[a.from] = append(e.tails[a.from], id)
	e.guards[a.guard.col] = append(e.guards[a.guard.col], id)
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
	if a.bend != 0 {
		v = e.reach(a, e.bound[a.from])
	}
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
		e.because = append(e.because, lit{a.from, e.needs(a, head.val)}, a.guard)
	case byGuardRefuted:
		// bound[from] + lag exceeds what the other bound of to leaves. The slack goes to the
		// tail.
		a := &e.guarded[why&^kindMask]
		other := e.at(a.to^1, pos)
		e.because = append(e.because, lit{a.from, e.needs(a, 1-other)}, lit{a.to ^ 1, other})
	}
}
