package exact

import (
	"fmt"

	"chablon/schedule/project"
)

// MaxValue is the greatest value of a goal that the engine tells apart: it looks for plans up to
// it, and beyond says Exhausted where it would have said Infeasible.
const MaxValue = 1 << 30

// Provable reports whether Solve takes goal k of p, and those before it as caps. The engine
// bounds the makespan, delays and work outside of hours.
func Provable(p *project.Problem, k int) bool {
	for _, g := range p.Goals[:min(k+1, len(p.Goals))] {
		if !measured(g.Measure) {
			return false
		}
	}
	return true
}

func measured(m project.Measure) bool {
	return m == project.Makespan || m == project.Delay || m == project.Outside
}

// checkGoals says what is wrong with the goal and the caps that o asks for.
func checkGoals(p *project.Problem, o *Options) error {
	goals := p.Goals
	if len(goals) == 0 {
		goals = []project.Goal{{Measure: project.Makespan}}
	}
	if o.Goal < 0 || o.Goal >= len(goals) {
		return fmt.Errorf("exact: goal %d of %d", o.Goal, len(goals))
	}
	if len(o.Caps) > len(goals) {
		return fmt.Errorf("exact: %d caps for %d goals", len(o.Caps), len(goals))
	}
	for k, g := range goals {
		if (k < len(o.Caps) || k == o.Goal && !o.Any) && !measured(g.Measure) {
			return fmt.Errorf("exact: goal %d is of %s, which the engine does not bound; ask Provable", k, g.Measure)
		}
	}
	return nil
}

// value is what a plan comes to by the goal in question, and whether it keeps the caps.
func (o *Options) value(p *project.Problem, plan project.Plan) (int64, bool) {
	if o.Any && len(o.Caps) == 0 {
		return 0, true
	}
	values := p.Value(plan)
	for k, c := range o.Caps {
		if values[k] > c {
			return 0, false
		}
	}
	if o.Any {
		return 0, true
	}
	return values[o.Goal], true
}

// addGoals poses the caps, and makes the variable of the goal in question.
func (e *engine) addGoals(o *Options) bool {
	goals := e.p.Goals
	if len(goals) == 0 {
		goals = []project.Goal{{Measure: project.Makespan}}
	}
	e.goal = nought
	for k, c := range o.Caps {
		if goals[k].Measure == project.Makespan {
			if x := e.addMakespan(); c < 0 || !e.set(atMost(x, int32(min(c, int64(e.p.Horizon)))), byNothing) {
				return false
			}
			continue
		}
		terms, base, _ := e.addGoal(goals[k])
		if c < base || !e.addLinear(terms, c-base) {
			return false
		}
	}
	switch {
	case o.Any:
		return true
	case goals[o.Goal].Measure == project.Makespan:
		e.goal = e.addMakespan()
		return true
	}
	terms, base, most := e.addGoal(goals[o.Goal])
	e.clipped = most > MaxValue
	if base > MaxValue {
		return false
	}
	e.goal = e.newVar(int32(base), int32(min(most, MaxValue)))
	e.hopeful = append(e.hopeful, e.goal)
	return len(terms) == 0 || e.addLinear(append(terms, term{2*e.goal + 1, 1}), -base)
}

// addMakespan makes a variable that no end exceeds.
func (e *engine) addMakespan() int32 {
	x := e.newVar(0, e.p.Horizon)
	for i := range e.acts {
		e.addArc(e.acts[i].end, point{x, 0}, 0, free)
	}
	e.makespans = append(e.makespans, x)
	return x
}

// addGoal makes the variables of which a goal is the sum, less base. No plan exceeds most.
func (e *engine) addGoal(g project.Goal) (terms []term, base, most int64) {
	var parts []part
	for _, d := range g.Delays {
		if g.Measure == project.Delay {
			parts = append(parts, e.addDelay(d))
		}
		e.works(10)
	}
	for _, u := range g.Uses {
		if g.Measure == project.Outside {
			parts = append(parts, e.addOutside(u)...)
		}
	}
	for _, t := range parts {
		value := int64(t.off)
		if t.x != nought {
			value = int64(e.upper(t.x))
			terms = append(terms, term{2 * t.x, t.weight})
			e.hopeful = append(e.hopeful, t.x)
		} else {
			base += t.weight * value
		}
		e.huge = e.huge || float64(t.weight)*float64(value)+float64(most) > 1<<62
		most += t.weight * value
	}
	return terms, base, most
}

// part is a share of a goal: a weight times a variable, or times off where the variable is
// nought.
type part struct {
	point
	weight int64
}

// addDelay makes a variable that is no less than a delay.
func (e *engine) addDelay(d project.Gap) part {
	weight := int64(d.Weight)
	from, to := point{nought, 0}, point{nought, 0}
	if d.From != project.Clock {
		from = e.point(d.From, d.FromEnd)
	}
	if d.To != project.Clock {
		to = e.point(d.To, d.ToEnd)
	}
	// As to - from - lag, by the variables.
	lag := d.Lag + from.off - to.off
	if from.x == to.x {
		return part{point{nought, max(0, -lag)}, weight}
	}
	least, most := e.lower(to.x)-e.upper(from.x)-lag, e.upper(to.x)-e.lower(from.x)-lag
	if most <= 0 || weight == 0 {
		return part{}
	}
	t := e.newVar(max(0, least), most)
	e.hinges = append(e.hinges, hinge{t, d})
	switch {
	case from.x == nought:
		e.addArc(point{to.x, 0}, point{t, 0}, -lag, free)
	case to.x == nought:
		// t >= -from - lag: by columns, from an upper bound to a lower one and back.
		e.hops[2*from.x+1] = append(e.hops[2*from.x+1], hop{2 * t, -lag})
		e.hops[2*t+1] = append(e.hops[2*t+1], hop{2 * from.x, -lag})
	default:
		e.addLinear([]term{{2 * to.x, 1}, {2*from.x + 1, 1}, {2*t + 1, 1}}, int64(lag))
	}
	return part{point{t, 0}, weight}
}
