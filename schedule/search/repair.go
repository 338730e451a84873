package search

import (
	"cmp"
	"context"
	"slices"

	"chablon/schedule/project"
)

// Repair returns a plan of p near to an old one that no longer keeps it, say because an activity
// began late (its Earliest is raised) or takes longer (its mode is). Modes stay as they are, and
// so does every activity that started before now, unless its Earliest says that it did not.
// Others keep their start if they can and otherwise move to later, each no more than once it
// must; where that breaks a latest start or a maximum lag they are planned anew in their old
// order. It is false if no plan was found, which is no proof that there is none.
func Repair(ctx context.Context, p *project.Problem, old project.Plan, now int32) (project.Plan, bool) {
	pinned := pin(p, old, now)
	if needsRanked(p) {
		return mend(ctx, pinned, old)
	}
	f := newFrame(pinned)
	l := newLagged(f)
	l.stop = stopper(ctx)
	only := make([]int32, f.n) // each has one mode now
	if !l.prepare(only, p.Horizon) {
		return project.Plan{}, false
	}
	if start := l.nudge(old.Start); start != nil {
		return l.planOf(start, old.Mode), true
	}
	for _, early := range []bool{false, true} {
		if !l.prepare(only, p.Horizon) {
			break
		}
		copy(l.prio, old.Start)
		if !early {
			for i, t := range old.Start {
				l.es0[i] = max(l.es0[i], t)
			}
			if !l.relax(l.es0, l.ls0) {
				continue
			}
		}
		if l.pass(10*f.n) >= 0 {
			return l.planOf(l.start, old.Mode), true
		}
	}
	return anew(ctx, pinned, old)
}

// anew plans all that has not started without regard to the old plan.
func anew(ctx context.Context, pinned *project.Problem, old project.Plan) (project.Plan, bool) {
	plan, ok := First(ctx, pinned, 0)
	if ok {
		plan.Mode = slices.Clone(old.Mode) // in the pinned problem each has one
	}
	return plan, ok
}

// mend is Repair for problems with calendars, machines or goals: it keeps all that can stay and
// places the others no earlier than before.
func mend(ctx context.Context, pinned *project.Problem, old project.Plan) (project.Plan, bool) {
	s := newSerial(newBench(pinned, nil), stopper(ctx))
	for _, way := range []func() bool{
		func() bool { return s.keepWhere(old, true) },
		func() bool { return s.keepWhere(old, false) },
	} {
		if way() && s.complete(10*len(old.Start)+20) {
			plan := project.Plan{Start: slices.Clone(s.start), Mode: slices.Clone(old.Mode)}
			for _, e := range s.end {
				plan.Makespan = max(plan.Makespan, e)
			}
			return plan, true
		}
	}
	return anew(ctx, pinned, old)
}

// keepWhere places what can stay where it was: all of it, or only what cannot move. The others are
// to start no earlier than before. It is false if the labels then contradict each other.
func (s *serial) keepWhere(old project.Plan, all bool) bool {
	if !s.restart() {
		return false
	}
	n := len(old.Start)
	order := make([]int32, n)
	still := make([]bool, n)
	for i := range order {
		order[i] = int32(i)
		still[i] = s.q.lo[2*i] == s.q.hi[2*i]
		s.key[i] = int64(old.Start[i])
		s.raise[i] = min(old.Start[i], s.q.hi[2*i])
	}
	slices.SortStableFunc(order, func(a, b int32) int {
		if still[a] != still[b] {
			if still[a] {
				return -1
			}
			return 1
		}
		return cmp.Compare(old.Start[a], old.Start[b])
	})
	for _, i := range order {
		at := max(old.Start[i], s.q.lo[startOf(i)])
		if still[i] {
			at = s.q.lo[startOf(i)]
		} else if !all || at != old.Start[i] {
			continue
		}
		if start, end, ok := s.fit(i, 0, at, at, 0); ok {
			s.put(i, 0, start, end)
		}
	}
	// What stays may yet break an arc with another that stays: the later of the two goes.
	for again := true; again; {
		again = false
		for k := range s.q.arcs {
			a := &s.q.arcs[k]
			i, j := a.from/2, a.to/2
			if !s.placed[i] || !s.placed[j] || i == j || s.at(a.to) >= s.q.push(a, s.at(a.from)) {
				continue
			}
			if later := max(j, i); still[i] != still[j] && still[later] {
				s.takeOut(i + j - later)
			} else if s.start[i] > s.start[j] && !still[i] {
				s.takeOut(i)
			} else {
				s.takeOut(j)
			}
			again = true
		}
	}
	return s.relabel()
}

// at returns where a point of a placed activity is.
func (s *serial) at(v int32) int32 {
	if v == startOf(v/2) {
		return s.start[v/2]
	}
	return s.end[v/2]
}

// pin fixes in a copy what started before now.
func pin(p *project.Problem, old project.Plan, now int32) *project.Problem {
	q := *p
	q.Activities = slices.Clone(p.Activities)
	for i := range q.Activities {
		a := &q.Activities[i]
		a.Modes = a.Modes[old.Mode[i] : old.Mode[i]+1]
		switch s := old.Start[i]; {
		case s < now && a.Earliest <= s:
			a.Earliest, a.Latest = s, s
		case a.Earliest < now:
			a.Earliest = min(now, a.Latest)
		}
	}
	return &q
}

func (l *lagged) planOf(start, mode []int32) project.Plan {
	plan := project.Plan{Start: slices.Clone(start), Mode: slices.Clone(mode)}
	for i, t := range start {
		plan.Makespan = max(plan.Makespan, t+l.duration[i])
	}
	return plan
}

// nudge keeps all starts that fit and moves the others to later, with those that an arc then
// pushes; nil if one would pass its latest start.
func (l *lagged) nudge(old []int32) []int32 {
	f := l.f
	l.renew(false, 0)
	start := slices.Clone(old)
	order := make([]int32, f.n)
	for i := range order {
		order[i] = int32(i)
	}
	// What is fixed comes first, and then by start.
	slices.SortStableFunc(order, func(a, b int32) int {
		fixed := func(i int32) bool { return l.es0[i] == l.ls0[i] }
		if fixed(a) != fixed(b) {
			if fixed(a) {
				return -1
			}
			return 1
		}
		return cmp.Compare(old[a], old[b])
	})
	in := make([]bool, f.n)
	var late []int32
	for _, i := range order {
		at := max(start[i], l.es0[i])
		if at == start[i] && l.fit(i, at) == at {
			l.take(i, at)
			in[i] = true
			continue
		}
		start[i] = at
		late = append(late, i)
	}
	// Starts that fit may yet break an arc whose weight has grown.
	for k, a := range f.arcs {
		if start[a.To] < start[a.From]+l.weight[k] && in[a.To] {
			l.give(a.To, start[a.To])
			in[a.To] = false
			late = append(late, a.To)
		}
	}
	for steps := 0; len(late) > 0; steps++ {
		if steps > 40*f.n || l.stop() {
			return nil
		}
		next := 0
		for k, i := range late {
			if cmp.Or(cmp.Compare(start[i], start[late[next]]), cmp.Compare(i, late[next])) < 0 {
				next = k
			}
		}
		i := late[next]
		late = slices.Delete(late, next, next+1)
		t := start[i]
		for _, a := range f.in[f.inAt[i]:f.inAt[i+1]] {
			t = max(t, start[f.arcs[a].From]+l.weight[a])
		}
		if t = l.fit(i, t); t < 0 || t > l.ls0[i] {
			return nil
		}
		start[i], in[i] = t, true
		l.take(i, t)
		for _, a := range f.out[f.outAt[i]:f.outAt[i+1]] {
			if to := f.arcs[a].To; in[to] && start[to] < t+l.weight[a] {
				l.give(to, start[to])
				in[to] = false
				late = append(late, to)
			}
		}
	}
	return start
}
