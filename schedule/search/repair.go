package search

import (
	"cmp"
	"context"
	"slices"

	"chablon/schedule/project"
)

// Repair returns a plan of p near to an old one that no longer keeps it, say because an activity
// began late (its Earliest is raised) or takes longer (its mode is). Every activity that started
// before now stays as it was, unless its Earliest says that it did not. Others keep their start
// if they can. With pauses, machines or goals as few move as several attempts can do with, and
// modes change only if nothing else helps; otherwise modes stay, and activities move to later,
// each no more than it must, or, where that breaks a latest start or a maximum lag, are planned
// anew in their old order. It is false if no plan was found, which is no proof that there is none.
func Repair(ctx context.Context, p *project.Problem, old project.Plan, now int32) (project.Plan, bool) {
	for i, a := range p.Activities {
		if i >= len(old.Start) || i >= len(old.Mode) || int(old.Mode[i]) >= len(a.Modes) {
			return project.Plan{}, false // not a plan of p before
		}
	}
	if rich(p) {
		return amend(ctx, pin(p, old, now), old)
	}
	pinned := pin(p, old, now)
	for i := range pinned.Activities { // each in its old mode, which is then the first
		pinned.Activities[i].Modes = pinned.Activities[i].Modes[old.Mode[i] : old.Mode[i]+1]
	}
	plan, ok := repair(ctx, pinned, old)
	if ok {
		plan.Mode = slices.Clone(old.Mode)
	}
	return plan, ok
}

// repair is Repair where each activity has one mode.
func repair(ctx context.Context, p *project.Problem, old project.Plan) (project.Plan, bool) {
	f := newFrame(p)
	l := newLagged(f)
	l.stop = stopper(ctx)
	mode := make([]int32, f.n)
	if !l.prepare(mode, p.Horizon) {
		return project.Plan{}, false
	}
	if start := l.nudge(old.Start); start != nil {
		return l.planOf(start, mode), true
	}
	for _, early := range []bool{false, true} {
		if !l.prepare(mode, p.Horizon) {
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
			return l.planOf(l.start, mode), true
		}
	}
	return First(ctx, p, 0)
}

// pin fixes in a copy the starts of what started before now.
func pin(p *project.Problem, old project.Plan, now int32) *project.Problem {
	q := *p
	q.Activities = slices.Clone(p.Activities)
	for i := range q.Activities {
		a := &q.Activities[i]
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
