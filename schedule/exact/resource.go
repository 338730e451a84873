package exact

import (
	"slices"

	"chablon/schedule/project"
)

// addResource poses renewable resource r. A resource that cannot be overdrawn is left out.
func (e *engine) addResource(r int) bool {
	given := &e.p.Renewable[r]
	res := resource{greatest: int64(given.Capacity)}
	before := int32(0)
	for _, s := range given.Steps {
		if b := given.Capacity - s.Capacity; b != before {
			res.base = append(res.base, change{s.From, b - before})
			before = b
		}
	}
	id := int32(len(e.resources))
	most := int64(0)
	var cols []int32
	for i := range e.acts {
		a := &e.acts[i]
		modes := e.p.Activities[i].Modes
		for _, release := range e.releases(i, r) {
			// Modes with another calendar count as another task, and as no demand here.
			open, least, greatest := e.spread(i, func(m int32) int32 { return demand(given, &modes[m], r, release) })
			if greatest == 0 {
				continue
			}
			most += int64(greatest)
			t := task{s: a.start.x, e: a.end.x, off: a.end.off, demand: least, d: -1, resource: id}
			if release > 0 {
				t.open = &e.p.Calendars[release-1]
			}
			if least < greatest {
				t.d = e.ladder(int32(i), open, func(m int32) int32 { return demand(given, &modes[m], r, release) }).x
				cols = append(cols, 2*t.d)
			}
			cols = append(cols, 2*t.s, 2*t.s+1)
			if t.e != t.s {
				cols = append(cols, 2*t.e, 2*t.e+1)
			}
			res.tasks = append(res.tasks, int32(len(e.tasks)))
			e.tasks = append(e.tasks, t)
		}
	}
	if len(res.base) == 0 && most <= res.greatest || len(res.tasks) == 0 {
		return true
	}
	slices.Sort(cols)
	for _, c := range slices.Compact(cols) {
		e.uses[c] = append(e.uses[c], id)
	}
	res.dirty = true
	e.resources = append(e.resources, res)
	e.dirty = append(e.dirty, id)
	return true
}

// released returns the calendar, plus one, outside of which a mode leaves a resource to others,
// or 0.
func released(given *project.Renewable, m *project.Mode) int32 {
	if given.Held || !paused(m) {
		return 0
	}
	return m.Calendar
}

// releases lists the values of released for the modes of activity i that remain.
func (e *engine) releases(i, r int) []int32 {
	var list []int32
	for _, m := range e.openModes(i) {
		if c := released(&e.p.Renewable[r], &e.p.Activities[i].Modes[m]); !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	return list
}

// demand is what a mode uses of a resource in the open ticks of a calendar.
func demand(given *project.Renewable, m *project.Mode, r int, calendar int32) int32 {
	if m.Duration == 0 || released(given, m) != calendar {
		return 0
	}
	return m.Demand[r]
}

// disjoint returns the pairs of activities whose demands for some resource exceed it together,
// less those that are done.
func (e *engine) disjoint(done map[pair]bool) []either {
	var found []either
	for r := range e.p.Renewable {
		var users []int32
		least := make([]int64, len(e.acts))
		for i := range e.acts {
			if least[i] = e.leastDemand(i, r); least[i] > 0 {
				users = append(users, int32(i))
			}
		}
		for k, j := range users {
			if e.works(2 * k) {
				return nil
			}
			for _, i := range users[:k] {
				p := pair{i, j}
				if least[i]+least[j] <= int64(e.p.Renewable[r].Capacity) || done[p] || e.interleave(i, j, r) {
					continue
				}
				either := e.apart(i, j, 0, 0)
				if e.certain(either.first) || e.certain(either.second) {
					continue
				}
				if len(found) == e.room {
					return found
				}
				done[p] = true
				found = append(found, either)
			}
		}
	}
	return found
}

// interleave reports whether one of two activities might work on a resource in a pause of the
// other.
func (e *engine) interleave(i, j int32, r int) bool {
	res := &e.p.Renewable[r]
	for _, m := range e.openModes(int(i)) {
		for _, n := range e.openModes(int(j)) {
			a, b := &e.p.Activities[i].Modes[m], &e.p.Activities[j].Modes[n]
			ca, cb := released(res, a), released(res, b)
			switch {
			case ca == cb: // at the later start both would work
			case ca == 0 && a.Duration > e.longestGap(cb), cb == 0 && b.Duration > e.longestGap(ca):
			default:
				return true
			}
		}
	}
	return false
}

// longestGap is the longest time between two open spans of a calendar, plus one.
func (e *engine) longestGap(calendar int32) int32 {
	open := e.p.Calendars[calendar-1].Open
	gap := int32(0)
	for k := 1; k < len(open); k++ {
		gap = max(gap, open[k].From-open[k-1].To)
	}
	return gap
}

// leastDemand is what activity i uses of resource r in any of its modes, 0 if it may take no
// time.
func (e *engine) leastDemand(i, r int) int64 {
	_, least, _ := e.spread(i, func(m int32) int32 {
		mode := &e.p.Activities[i].Modes[m]
		if mode.Duration == 0 {
			return 0
		}
		return mode.Demand[r]
	})
	return int64(least)
}
