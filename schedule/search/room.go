package search

import "chablon/schedule/project"

// room is what is free: capacities over time, and the runs on each machine in the order of
// their starts and then of their numbers.
type room struct {
	free []steps
	runs [][]run
}

// run is one activity on a machine.
type run struct{ activity, class, from, to int32 }

// first returns the first place for activity i in mode m within a window.
func (x *net) first(r *room, i, m int32, w window) (s, e int32, ok bool) {
	y := &x.ways[i][m]
	s, e, ok = y.after(max(0, w.s0))
	if ok && e < w.e0 {
		s, e, ok = y.ending(w.e0)
	}
	for ok && s <= w.s1 && e <= w.e1 {
		t, ends := x.later(r, i, y, s, e)
		switch {
		case ends:
			s, e, ok = y.ending(t)
		case t == s:
			return s, e, true
		default:
			s, e, ok = y.after(t)
		}
	}
	return 0, 0, false
}

// last returns the last place.
func (x *net) last(r *room, i, m int32, w window) (s, e int32, ok bool) {
	y := &x.ways[i][m]
	s, e, ok = y.before(w.e1)
	if ok && s > w.s1 {
		s, e, ok = y.upTo(w.s1)
	}
	for ok && s >= w.s0 && e >= w.e0 {
		t, ends := x.sooner(r, i, y, s, e)
		switch {
		case ends:
			s, e, ok = y.before(t)
		case t == s:
			return s, e, true
		default:
			s, e, ok = y.upTo(t)
		}
	}
	return 0, 0, false
}

// later returns s if a run from s to e has room, and otherwise the first start (or, ends, the
// first end) at which it gets by what it met: nothing sooner can be a place.
func (x *net) later(r *room, i int32, y *way, s, e int32) (t int32, ends bool) {
	t = s
	for k := range y.uses {
		u := &y.uses[k]
		if !u.split {
			if _, to, bad := r.free[u.resource].lack(s, e, u.amount); bad {
				return to, false
			}
			continue
		}
		y.pieces(*u, s, e, func(from, to int32) bool {
			_, end, bad := r.free[u.resource].lack(from, to, u.amount)
			if bad {
				t = end
			}
			return !bad
		})
		if t > s {
			return t, false
		}
	}
	for _, st := range y.stands {
		m := &x.p.Machines[st.Machine]
		for k := range r.runs[st.Machine] {
			o := &r.runs[st.Machine][k]
			rule, back := m.Rule[o.class][st.Class], m.Rule[st.Class][o.class]
			switch {
			case rule&project.Apart != 0:
				if free := o.to + m.Gap[o.class][st.Class]; s < free && o.from < e+m.Gap[st.Class][o.class] {
					return free, false
				}
			case rule&project.NoStart != 0 && o.from < s && s < o.to, back&project.NoEnd != 0 && s < o.to && o.to < e:
				return o.to, false
			case back&project.NoStart != 0 && s < o.from && o.from < e:
				return o.from, false
			case rule&project.NoEnd != 0 && o.from < e && e < o.to:
				return o.to, true
			}
		}
	}
	if !x.self(i, s, e) {
		return s + 1, false
	}
	return s, false
}

// sooner is later the other way round: the last start, or end.
func (x *net) sooner(r *room, i int32, y *way, s, e int32) (t int32, ends bool) {
	for k := range y.uses {
		u := &y.uses[k]
		if !u.split {
			if from, bad := r.free[u.resource].lackBack(s, e, u.amount); bad {
				return from, true
			}
			continue
		}
		t = -1
		y.pieces(*u, s, e, func(from, to int32) bool {
			if at, bad := r.free[u.resource].lackBack(from, to, u.amount); bad {
				t = at
			}
			return true
		})
		if t >= 0 {
			return t, true
		}
	}
	for _, st := range y.stands {
		m := &x.p.Machines[st.Machine]
		for k := range r.runs[st.Machine] {
			o := &r.runs[st.Machine][k]
			rule, back := m.Rule[o.class][st.Class], m.Rule[st.Class][o.class]
			switch {
			case rule&project.Apart != 0:
				if gap := m.Gap[st.Class][o.class]; s < o.to+m.Gap[o.class][st.Class] && o.from < e+gap {
					return o.from - gap, true
				}
			case rule&project.NoStart != 0 && o.from < s && s < o.to:
				return o.from, false
			case rule&project.NoEnd != 0 && o.from < e && e < o.to, back&project.NoStart != 0 && s < o.from && o.from < e:
				return o.from, true
			case back&project.NoEnd != 0 && s < o.to && o.to < e:
				return o.to, true
			}
		}
	}
	if !x.self(i, s, e) {
		return s - 1, false
	}
	return s, false
}

// self reports whether a run keeps the arcs from the activity to itself.
func (x *net) self(i, s, e int32) bool {
	for _, k := range x.own[i] {
		if !x.keeps(&x.arcs[k], s, e, s, e) {
			return false
		}
	}
	return true
}

// keeps reports whether the runs of its two activities keep an arc.
func (x *net) keeps(a *project.Arc, fromStart, fromEnd, toStart, toEnd int32) bool {
	from, to := fromStart, toStart
	if a.FromEnd {
		from = fromEnd
	}
	if a.ToEnd {
		to = toEnd
	}
	if a.Calendar > 0 {
		c := &x.p.Calendars[a.Calendar-1]
		from, to = c.Work(from), c.Work(to)
	}
	return to >= from+a.Lag
}
