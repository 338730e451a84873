package exact

import "chablon/schedule/project"

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
		e.pauses = true
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
