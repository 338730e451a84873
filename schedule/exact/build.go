package exact

import (
	"slices"

	"chablon/schedule/project"
)

// maxOrders bounds the pairs of activities that get a variable for their order. Beyond it the
// timetable alone keeps them apart.
const maxOrders = 60_000

// build poses p, within windows, in an engine. It returns false if the problem is seen to be
// infeasible on the way.
func build(p *project.Problem, o *Options) (*engine, bool) {
	e := &engine{p: p, useStep: 1}
	e.order.step = 1
	e.makespan = e.newVar(0, p.Horizon)
	for i := range p.Activities {
		if !e.addActivity(i, o) {
			return e, false
		}
	}
	for _, arcs := range [2][]project.Arc{p.Arcs, o.Arcs} {
		for _, a := range arcs {
			if a.Lag < -p.Horizon {
				continue
			}
			if a.Lag > p.Horizon {
				return e, false
			}
			from, to := e.acts[a.From].start, e.acts[a.To].start
			if a.FromEnd {
				from = e.acts[a.From].end
			}
			if a.ToEnd {
				to = e.acts[a.To].end
			}
			if from.x == to.x {
				if from.off+a.Lag > to.off {
					return e, false
				}
				continue
			}
			e.addArc(from, to, a.Lag, free)
		}
	}
	for r := range p.Renewable {
		if !e.addResource(r) {
			return e, false
		}
	}
	for b := range p.Budget {
		if !e.addBudget(b) {
			return e, false
		}
	}
	return e, e.addOrders()
}

// addActivity makes the variables of activity i: its start, its modes if there is a choice, and
// its end if its duration depends on the mode.
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
	shortest, longest := int32(p.Horizon), int32(0)
	for _, m := range open {
		shortest = min(shortest, act.Modes[m].Duration)
		longest = max(longest, act.Modes[m].Duration)
	}
	latest = min(latest, p.Horizon-shortest)
	if earliest > latest {
		return false
	}
	s := e.newVar(earliest, latest)
	a := activity{start: point{s, 0}, end: point{s, shortest}, modes: make([]lit, len(act.Modes)), duration: -1}
	for m := range a.modes {
		a.modes[m] = atLeast(e.makespan, p.Horizon+1) // never
	}
	e.acts = append(e.acts, a)
	if len(open) == 1 {
		a.modes[open[0]] = atLeast(e.makespan, 0) // always
	} else {
		for _, m := range open {
			a.modes[m] = atLeast(e.newVar(0, 1), 1)
		}
		if !e.exactlyOne(a.modes, open) {
			return false
		}
	}
	if shortest == longest {
		e.addArc(a.end, point{e.makespan, 0}, 0, free)
		return true
	}
	end := point{e.newVar(earliest+shortest, min(p.Horizon, latest+longest)), 0}
	durations := e.ladder(int32(i), open, func(m int32) int32 { return act.Modes[m].Duration })
	e.acts[i].end, e.acts[i].duration = end, durations.x
	e.addArc(a.start, end, shortest, free)
	e.addArc(end, a.start, -longest, free)
	for k, v := range durations.values {
		if k > 0 {
			e.addArc(a.start, end, v, atLeast(durations.x, v))
		}
		if k < len(durations.values)-1 {
			e.addArc(end, a.start, -v, atMost(durations.x, v))
		}
	}
	e.addArc(end, point{e.makespan, 0}, 0, free)
	return true
}

// possible reports whether a mode fits into the horizon and the greatest capacities.
func (e *engine) possible(m project.Mode, earliest int32) bool {
	if m.Duration > e.p.Horizon-earliest {
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

func (e *engine) addBudget(b int) bool {
	bud := budget{limit: int64(e.p.Budget[b])}
	most := int64(0)
	for i := range e.p.Activities {
		modes := e.p.Activities[i].Modes
		value := func(m int32) int32 {
			if len(modes[m].Consume) == 0 {
				return 0
			}
			return modes[m].Consume[b]
		}
		open := e.openModes(i)
		least, greatest := value(open[0]), value(open[0])
		for _, m := range open {
			least, greatest = min(least, value(m)), max(greatest, value(m))
		}
		most += int64(greatest)
		if least == greatest {
			bud.limit -= int64(least)
			continue
		}
		bud.vars = append(bud.vars, e.ladder(int32(i), open, value).x)
	}
	if bud.limit < 0 {
		return false
	}
	if most <= int64(e.p.Budget[b]) {
		return true
	}
	id := int32(len(e.budgets))
	for _, x := range bud.vars {
		e.spends[2*x] = append(e.spends[2*x], id)
	}
	e.budgets = append(e.budgets, bud)
	e.broke = append(e.broke, id)
	e.budgets[id].dirty = true
	return true
}
