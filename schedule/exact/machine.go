package exact

import "chablon/schedule/project"

// stand is a statement under which an activity stands on a machine as a class.
type stand struct {
	act, class int32
	is         lit
}

// addMachines poses the rules of machines that depend on modes, and returns the choices that
// hold in any case, with those of the resources.
func (e *engine) addMachines(done map[pair]bool) ([]either, bool) {
	stands := make([][]stand, len(e.p.Machines))
	var found []either
	for m := range e.p.Machines {
		stands[m] = e.stands(int32(m))
		if !e.eachPair(&e.p.Machines[m], stands[m], func(a, b stand, rule, back project.Rule) bool {
			if rule&project.Apart == 0 || a.is != always || b.is != always {
				return true
			}
			// Of two machines each keeps its own gaps.
			gap := e.p.Machines[m].Gap
			done[pair{a.act, b.act}] = true
			c := e.apart(a.act, b.act, min(gap[a.class][b.class], e.p.Horizon+1), min(gap[b.class][a.class], e.p.Horizon+1))
			if !e.certain(c.first) && !e.certain(c.second) {
				found = append(found, c)
			}
			return true
		}) {
			return nil, false
		}
	}
	found = append(found, e.disjoint(done)...)
	for m := range e.p.Machines {
		if !e.eachPair(&e.p.Machines[m], stands[m], func(a, b stand, rule, back project.Rule) bool {
			if done[pair{a.act, b.act}] && (rule&project.Apart == 0 || a.is == always && b.is == always) {
				return true
			}
			for _, c := range e.choicesOf(&e.p.Machines[m], a, b, rule, back) {
				switch {
				case e.certain(c.first) || e.certain(c.second):
				case a.is == always && b.is == always:
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

// eachPair calls do for all pairs of stands of different activities that have a rule.
func (e *engine) eachPair(machine *project.Machine, stands []stand, do func(a, b stand, rule, back project.Rule) bool) bool {
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

// stands lists what may stand on a machine, by rising activity.
func (e *engine) stands(machine int32) []stand {
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
		far := e.p.Horizon + 1
		return []either{e.apart(a.act, b.act, min(machine.Gap[a.class][b.class], far), min(machine.Gap[b.class][a.class], far))}
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
