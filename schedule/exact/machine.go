package exact

import "chablon/schedule/project"

// stand is a statement under which an activity stands on a machine as a class.
type stand struct {
	act, class int32
	is         lit
}

// addMachines poses the rules of machines that depend on modes, and returns the choices that
// hold in any case, with those of the resources. Beyond e.room it leaves rules out until a plan
// breaks them.
func (e *engine) addMachines(done map[pair]bool) ([]either, bool) {
	var found []either
	full := func() bool {
		e.lazy = e.lazy || len(found)+len(e.choices) >= e.room
		return e.lazy
	}
	for m := range e.p.Machines {
		machine := &e.p.Machines[m]
		e.stands = append(e.stands, e.standsOn(int32(m)))
		if !e.eachPair(m, func(a, b stand, rule, back project.Rule) bool {
			if rule&project.Apart == 0 || a.is != always || b.is != always {
				return true
			}
			c := e.choicesOf(machine, a, b, rule, back)[0] // of two machines each keeps its own gaps
			if e.certain(c.first) || e.certain(c.second) {
				return true
			}
			if !full() {
				done[pair{a.act, b.act}] = true
				found = append(found, c)
			}
			return true
		}) {
			return nil, false
		}
	}
	found = append(found, e.disjoint(done)...)
	for m := range e.p.Machines {
		if !e.eachPair(m, func(a, b stand, rule, back project.Rule) bool {
			free := a.is == always && b.is == always
			if rule&project.Apart != 0 && free || rule&project.Apart == 0 && done[pair{a.act, b.act}] {
				return true
			}
			for _, c := range e.choicesOf(&e.p.Machines[m], a, b, rule, back) {
				switch {
				case e.certain(c.first) || e.certain(c.second) || full():
				case free:
					found = append(found, c)
				case !e.addChoice(c, a.is, b.is):
					return false
				}
			}
			return true
		}) {
			return nil, false
		}
	}
	return found, true
}

// mostMissing bounds the rules that are posed at once because a plan breaks them.
const mostMissing = 200

// missing lists rules of machines that the bounds, which have come down to a plan, break.
func (e *engine) missing() []missing {
	var list []missing
	for m := range e.stands {
		e.eachPair(m, func(a, b stand, rule, back project.Rule) bool {
			if !e.holds(a.is) || !e.holds(b.is) {
				return true
			}
			for _, c := range e.choicesOf(&e.p.Machines[m], a, b, rule, back) {
				if !e.certain(c.first) && !e.certain(c.second) {
					list = append(list, missing{c, a.is, b.is})
				}
			}
			return len(list) < mostMissing
		})
	}
	return list
}

// missing is a rule that has not been posed yet.
type missing struct {
	either
	a, b lit
}

// eachPair calls do for all pairs of stands of different activities that have a rule, until it
// returns false.
func (e *engine) eachPair(m int, do func(a, b stand, rule, back project.Rule) bool) bool {
	machine, stands := &e.p.Machines[m], e.stands[m]
	for k, b := range stands {
		if e.works(2 * k) {
			return false
		}
		for _, a := range stands[:k] {
			rule, back := machine.Rule[a.class][b.class], machine.Rule[b.class][a.class]
			if a.act != b.act && rule|back != 0 && !do(a, b, rule, back) {
				return false
			}
		}
	}
	return true
}

// standsOn lists what may stand on a machine, by rising activity.
func (e *engine) standsOn(machine int32) []stand {
	var list []stand
	for i := range e.acts {
		modes := e.p.Activities[i].Modes
		class := func(m int32) int32 {
			for _, s := range modes[m].Stands {
				if s.Machine == machine && modes[m].Duration > 0 {
					return s.Class
				}
			}
			return -1
		}
		first := len(list)
	modes:
		for _, m := range e.openModes(i) {
			c := class(m)
			if c < 0 {
				continue
			}
			for _, s := range list[first:] {
				if s.class == c {
					continue modes
				}
			}
			value := func(m int32) int32 {
				if class(m) == c {
					return 1
				}
				return 0
			}
			open, least, _ := e.spread(i, value)
			s := stand{int32(i), c, always}
			if least == 0 {
				s.is = atLeast(e.ladder(int32(i), open, value).x, 1)
			}
			list = append(list, s)
		}
	}
	return list
}

// choicesOf spells the rules between two runs out as choices of which one side holds.
func (e *engine) choicesOf(machine *project.Machine, a, b stand, rule, back project.Rule) []either {
	if rule&project.Apart != 0 {
		most := e.p.Horizon + 1
		return []either{e.apart(a.act, b.act, min(machine.Gap[a.class][b.class], most), min(machine.Gap[b.class][a.class], most))}
	}
	var list []either
	x, y := &e.acts[a.act], &e.acts[b.act]
	within := func(rule project.Rule, run, other *activity) {
		if rule&project.NoStart != 0 {
			list = append(list, either{link{run.end, other.start, 0}, link{other.start, run.start, 0}})
		}
		if rule&project.NoEnd != 0 {
			list = append(list, either{link{run.end, other.end, 0}, link{other.end, run.start, 0}})
		}
	}
	within(rule, x, y)
	within(back, y, x)
	return list
}
