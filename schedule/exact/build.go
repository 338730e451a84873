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
		if !e.addActivity(i, o) || e.works(500) {
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
