package schedule

import "chablon/schedule/project"

// Goal is something to make small. A model's goals are ranked: of two plans the better one is
// smaller in the first goal in which they differ.
type Goal struct {
	name      string
	measure   project.Measure
	delays    []Delay
	uses      []Use
	resources []ResourceID
}

// Delay costs Weight for every tick by which To comes more than After ticks after From. From may
// be Origin: After is then a due time to be kept if possible. From the end of an activity to a
// service it is how stale that activity's result is.
type Delay struct {
	From, To      Point
	After, Weight int
}

// Use is a resource looked at under hours, with a weight.
type Use struct {
	Resource ResourceID
	Hours    HoursID
	Weight   int
}

// Makespan returns the goal of a small last end.
func Makespan() Goal { return Goal{name: "makespan", measure: project.Makespan} }

// Delays returns the goal of a small sum of delays.
func Delays(name string, delays ...Delay) Goal {
	return Goal{name: name, measure: project.Delay, delays: delays}
}

// AsLate returns the goal of late ends: the ticks from the end of each activity to the horizon. It
// is for work whose results do not keep.
func (m *Model) AsLate(name string, of ...ActivityID) Goal {
	g := Goal{name: name, measure: project.Delay}
	for _, a := range of {
		g.delays = append(g.delays, Delay{From: End(a), To: Origin, After: -m.horizon, Weight: 1})
	}
	return g
}

// Outside returns the goal of little use of resources outside of hours: the ticks of use, times
// the units and the weight.
func Outside(name string, uses ...Use) Goal {
	return Goal{name: name, measure: project.Outside, uses: uses}
}

// Presence returns the goal of short attendance: in each span of the hours, the ticks from the
// first use of the resource to the last, times the weight.
func Presence(name string, uses ...Use) Goal {
	return Goal{name: name, measure: project.Presence, uses: uses}
}

// SetUps returns the goal of little time spent on changes of settings and families, between
// activities that follow each other on the resources.
func SetUps(name string, resources ...ResourceID) Goal {
	return Goal{name: name, measure: project.SetUps, resources: resources}
}

// Minimise adds goals after those that are there. A model without any has Makespan.
func (m *Model) Minimise(goals ...Goal) {
	for _, g := range goals {
		if m.goal(g) {
			m.goals = append(m.goals, g)
		}
	}
}

func (m *Model) goal(g Goal) bool {
	if g.name == "" {
		m.refuse("goal %d has no name: give one", len(m.goals))
		return false
	}
	weight := func(w int) bool {
		if w < 0 || w > MaxAmount {
			m.refuse("goal %q has the weight %d: give 0 to %d", g.name, w, MaxAmount)
			return false
		}
		return true
	}
	for _, d := range g.delays {
		for _, p := range []Point{d.From, d.To} {
			if p.Activity != Origin.Activity && !m.known(p.Activity) {
				m.refuse("goal %q names activity %d, which is not in the model: add the activity first", g.name, p.Activity)
				return false
			}
		}
		if d.After < -MaxTick || d.After > MaxTick {
			m.refuse("goal %q has a delay after %d: give at most %d ticks either way", g.name, d.After, MaxTick)
			return false
		}
		if !weight(d.Weight) {
			return false
		}
	}
	for _, u := range g.uses {
		if u.Hours < 1 || int(u.Hours) > len(m.hours) {
			m.refuse("goal %q looks at hours %d, which are not in the model: add the hours first", g.name, u.Hours)
			return false
		}
		if !m.has(u.Resource, "goal") || !weight(u.Weight) {
			return false
		}
	}
	for _, r := range g.resources {
		if !m.has(r, "goal") {
			return false
		}
	}
	return true
}
