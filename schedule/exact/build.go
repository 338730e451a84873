package exact

import (
	"context"
	"slices"

	"chablon/schedule/project"
)

// build poses p, within windows, in an engine. It returns false if the problem is seen to be
// infeasible on the way, or ctx has ended.
func build(ctx context.Context, p *project.Problem, o *Options) (*engine, bool) {
	e := &engine{p: p, ctx: ctx, useStep: 1, room: maxOrders}
	if o.orders > 0 {
		e.room = o.orders
	}
	e.order.step = 1
	e.goal = e.newVar(0, 0) // nought
	for i := range p.Activities {
		if !e.addActivity(i, o) || e.works(50) {
			return e, false
		}
	}
	for _, arcs := range [2][]project.Arc{p.Arcs, o.Arcs} {
		for _, a := range arcs {
			if !e.addLag(a) || e.works(10) {
				return e, false
			}
		}
	}
	for r := range p.Renewable {
		if !e.addResource(r) || e.works(10*len(p.Activities)) {
			return e, false
		}
	}
	for b := range p.Budget {
		if !e.addBudget(b) || e.works(10*len(p.Activities)) {
			return e, false
		}
	}
	// What is decided by now needs no order.
	return e, e.addGoals(o) && e.first() && e.addOrders() && !e.ended
}

// point is the start or the end of an activity.
func (e *engine) point(i int32, end bool) point {
	if end {
		return e.acts[i].end
	}
	return e.acts[i].start
}

// addLag poses an arc of the problem.
func (e *engine) addLag(a project.Arc) bool {
	h := e.p.Horizon
	from, to := e.point(a.From, a.FromEnd), e.point(a.To, a.ToEnd)
	if a.Calendar > 0 {
		if a.Lag < -h {
			return true
		}
		if a.Lag > h {
			return false
		}
		if from.x == to.x { // a curve within one variable would see its ends alone
			t := e.newVar(e.lower(to.x)+to.off, e.upper(to.x)+to.off)
			e.addArc(to, point{t, 0}, 0, free)
			e.addArc(point{t, 0}, to, 0, free)
			e.copies = append(e.copies, pointCopy{t, to})
			to = point{t, 0}
		}
		e.addCurve(from, to, working{&e.p.Calendars[a.Calendar-1], a.Lag}, always)
		return true
	}
	return e.addLink(link{from, to, a.Lag})
}

// link says time(to) >= time(from) + lag.
type link struct {
	from, to point
	lag      int32
}

// addLink poses a link for good, and returns false if it cannot hold.
func (e *engine) addLink(l link) bool {
	switch {
	case l.lag < -e.p.Horizon:
		return true
	case l.lag > e.p.Horizon:
		return false
	case l.from.x == l.to.x:
		return l.from.off+l.lag <= l.to.off
	}
	e.addArc(l.from, l.to, l.lag, free)
	return true
}

// addActivity makes the variables of activity i: its start, its modes if there is a choice, and
// its end if that is not so many ticks after the start in any case.
func (e *engine) addActivity(i int, o *Options) bool {
	p := e.p
	act := &p.Activities[i]
	earliest, latest, only := act.Earliest, act.Latest, int32(-1)
	if o.Windows != nil {
		w := o.Windows[i]
		earliest, latest, only = max(earliest, w.Earliest), min(latest, w.Latest), w.Mode
	}
	var open []int32 // modes that could be taken
	for m, mode := range act.Modes {
		if (only < 0 || int32(m) == only) && e.possible(mode, earliest) {
			open = append(open, int32(m))
		}
	}
	if len(open) == 0 {
		return false
	}
	shortest, longest, pauses := int32(p.Horizon), int32(0), false
	for _, m := range open {
		shortest = min(shortest, act.Modes[m].Duration)
		longest = max(longest, act.Modes[m].Duration)
		pauses = pauses || paused(&act.Modes[m])
	}
	latest = min(latest, p.Horizon-shortest)
	if earliest > latest {
		return false
	}
	s := e.newVar(earliest, latest)
	a := activity{start: point{s, 0}, end: point{s, shortest}, modes: make([]lit, len(act.Modes)), duration: -1}
	for m := range a.modes {
		a.modes[m] = never
	}
	e.acts = append(e.acts, a)
	if len(open) == 1 {
		a.modes[open[0]] = always
	} else {
		for _, m := range open {
			a.modes[m] = atLeast(e.newVar(0, 1), 1)
		}
		if !e.exactlyOne(a.modes, open) {
			return false
		}
	}
	switch {
	case pauses:
		e.acts[i].end = point{e.newVar(earliest+shortest, p.Horizon), 0}
		e.addPauses(i, open, shortest)
	case shortest < longest:
		e.acts[i].end = point{e.newVar(earliest+shortest, min(p.Horizon, latest+longest)), 0}
		e.addDurations(i, open)
	}
	return true
}

// paused reports whether a mode pauses at all.
func paused(m *project.Mode) bool { return m.Calendar > 0 && m.Duration > 0 }

// addPauses ties the end of an activity to its start, mode by mode.
func (e *engine) addPauses(i int, open []int32, shortest int32) {
	a := &e.acts[i]
	e.addArc(a.start, a.end, shortest, free)
	for _, m := range open {
		mode, guard := &e.p.Activities[i].Modes[m], a.modes[m]
		if !paused(mode) {
			e.addArc(a.start, a.end, mode.Duration, guard)
			e.addArc(a.end, a.start, -mode.Duration, guard)
			continue
		}
		calendar := &e.p.Calendars[mode.Calendar-1]
		done := working{calendar, mode.Duration}
		e.addCurve(a.start, a.start, opening{calendar}, guard)
		e.addCurve(a.start, a.end, done, guard)
		e.addCurve(a.end, a.start, inverse{done}, guard)
		if mode.Duration > shortest {
			e.addArc(a.start, a.end, mode.Duration, guard)
		}
	}
}

// addDurations ties the end of an activity to its start by a variable for its duration.
func (e *engine) addDurations(i int, open []int32) {
	a := &e.acts[i]
	durations := e.ladder(int32(i), open, func(m int32) int32 { return e.p.Activities[i].Modes[m].Duration })
	a.duration = durations.x
	last := len(durations.values) - 1
	e.addArc(a.start, a.end, durations.values[0], free)
	e.addArc(a.end, a.start, -durations.values[last], free)
	for k, v := range durations.values {
		if k > 0 {
			e.addArc(a.start, a.end, v, atLeast(durations.x, v))
		}
		if k < last {
			e.addArc(a.end, a.start, -v, atMost(durations.x, v))
		}
	}
}

// possible reports whether a mode fits into the horizon and the greatest capacities.
func (e *engine) possible(m project.Mode, earliest int32) bool {
	if m.Duration > e.p.Horizon-earliest {
		return false
	}
	if paused(&m) && (working{&e.p.Calendars[m.Calendar-1], m.Duration}).f(earliest) > e.p.Horizon {
		return false
	}
	for r, d := range m.Demand {
		if m.Duration > 0 && d > e.p.Renewable[r].Capacity {
			return false
		}
	}
	for b, c := range m.Consume {
		if c > e.p.Budget[b] {
			return false
		}
	}
	return true
}

func (e *engine) exactlyOne(modes []lit, open []int32) bool {
	var some []lit
	for k, m := range open {
		some = append(some, modes[m])
		for _, other := range open[:k] {
			if !e.addClause(modes[m].not(), modes[other].not()) {
				return false
			}
		}
	}
	return e.addClause(some...)
}

// ladder is a variable whose value is decided by the mode.
type ladder struct {
	x      int32
	values []int32 // rising
}

// ladder ties a new variable to modes: its bounds are those of the values of the modes that
// remain, and a bound on it rules modes out.
func (e *engine) ladder(act int32, open []int32, value func(mode int32) int32) ladder {
	modes := e.acts[act].modes
	var values []int32
	for _, m := range open {
		values = append(values, value(m))
	}
	slices.Sort(values)
	values = slices.Compact(values)
	x := e.newVar(values[0], values[len(values)-1])
	e.derived = append(e.derived, derived{x, act, value})
	for _, m := range open {
		e.addClause(modes[m].not(), atLeast(x, value(m)))
		e.addClause(modes[m].not(), atMost(x, value(m)))
	}
	for k, v := range values[1:] {
		up, down := []lit{atLeast(x, v)}, []lit{atMost(x, values[k])}
		for _, m := range open {
			if value(m) < v {
				up = append(up, modes[m])
			} else {
				down = append(down, modes[m])
			}
		}
		e.addClause(up...)
		e.addClause(down...)
	}
	return ladder{x, values}
}

// openModes returns the modes of activity i that have not been ruled out.
func (e *engine) openModes(i int) []int32 {
	var open []int32
	for m, l := range e.acts[i].modes {
		if !e.fails(l) {
			open = append(open, int32(m))
		}
	}
	return open
}

// spread is the least and the greatest value of the modes of activity i that remain.
func (e *engine) spread(i int, value func(mode int32) int32) (open []int32, least, greatest int32) {
	open = e.openModes(i)
	least, greatest = value(open[0]), value(open[0])
	for _, m := range open {
		least, greatest = min(least, value(m)), max(greatest, value(m))
	}
	return open, least, greatest
}

func (e *engine) addBudget(b int) bool {
	limit, most := int64(e.p.Budget[b]), int64(0)
	var terms []term
	for i := range e.p.Activities {
		modes := e.p.Activities[i].Modes
		value := func(m int32) int32 {
			if len(modes[m].Consume) == 0 {
				return 0
			}
			return modes[m].Consume[b]
		}
		open, least, greatest := e.spread(i, value)
		most += int64(greatest)
		if least == greatest {
			limit -= int64(least)
			continue
		}
		terms = append(terms, term{2 * e.ladder(int32(i), open, value).x, 1})
	}
	return most <= int64(e.p.Budget[b]) || e.addLinear(terms, limit)
}
