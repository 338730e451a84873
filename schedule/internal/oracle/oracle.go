// Package oracle solves tiny scheduling problems by trying everything, and makes such problems:
// what tests hold the engines against. It reads the definitions in package project tick by tick
// and shares no code with the engines, nor with project's own checker.
package oracle

import (
	"fmt"
	"slices"

	"chablon/schedule/project"
)

// Broken says which rule of p a plan breaks, "" if none.
func Broken(p *project.Problem, plan project.Plan) string {
	for k := range plan.Start {
		if text := latest(p, plan, k); text != "" {
			return text
		}
	}
	last := int32(0)
	for i := range plan.Start {
		last = max(last, end(p, plan, i))
	}
	if last != plan.Makespan {
		return fmt.Sprintf("makespan %d, last end %d", plan.Makespan, last)
	}
	return ""
}

// Optimum returns the least value of all plans of p, by its goals, and one plan that has it.
// It is false if there is no plan.
func Optimum(p *project.Problem) (best []int64, plan project.Plan, ok bool) {
	every(p, func(now project.Plan) bool {
		if v := Value(p, now); !ok || slices.Compare(v, best) < 0 {
			best, ok, plan = v, true, copied(now)
		}
		return true
	})
	return best, plan, ok
}

// First returns some plan of p, false if there is none.
func First(p *project.Problem) (plan project.Plan, ok bool) {
	every(p, func(now project.Plan) bool {
		plan, ok = copied(now), true
		return false
	})
	return plan, ok
}

func copied(p project.Plan) project.Plan {
	return project.Plan{Start: slices.Clone(p.Start), Mode: slices.Clone(p.Mode), Makespan: p.Makespan}
}

// every calls see with each plan of p, until it returns false. The plan is only lent.
func every(p *project.Problem, see func(project.Plan) bool) {
	n := len(p.Activities)
	now := project.Plan{Start: make([]int32, n), Mode: make([]int32, n)}
	var place func(i int) bool
	place = func(i int) bool {
		if i == n {
			now.Makespan = 0
			for k := range n {
				now.Makespan = max(now.Makespan, end(p, now, k))
			}
			return see(now)
		}
		for m := range p.Activities[i].Modes {
			now.Mode[i] = int32(m)
			for t := p.Activities[i].Earliest; t <= p.Activities[i].Latest; t++ {
				now.Start[i] = t
				if latest(p, now, i) == "" && !place(i+1) {
					return false
				}
			}
		}
		return true
	}
	place(0)
}

// latest says what activity k breaks among itself and those before it. No rule that is broken by
// some activities is mended by more of them.
func latest(p *project.Problem, plan project.Plan, k int) string {
	a := p.Activities[k]
	s := plan.Start[k]
	if s < a.Earliest || s > a.Latest || s < 0 {
		return fmt.Sprintf("activity %d starts at %d", k, s)
	}
	e := end(p, plan, k)
	if e < 0 || e > p.Horizon {
		return fmt.Sprintf("activity %d from %d has no end in time", k, s)
	}
	for _, arc := range p.Arcs {
		if int(max(arc.From, arc.To)) > k {
			continue
		}
		from, to := plan.Start[arc.From], plan.Start[arc.To]
		if arc.FromEnd {
			from = end(p, plan, int(arc.From))
		}
		if arc.ToEnd {
			to = end(p, plan, int(arc.To))
		}
		if arc.Calendar > 0 {
			from, to = openBefore(p, arc.Calendar, from), openBefore(p, arc.Calendar, to)
		}
		if to < from+arc.Lag {
			return fmt.Sprintf("arc %+v", arc)
		}
	}
	for b, budget := range p.Budget {
		sum := int32(0)
		for i := range k + 1 {
			if c := p.Activities[i].Modes[plan.Mode[i]].Consume; len(c) > 0 {
				sum += c[b]
			}
		}
		if sum > budget {
			return fmt.Sprintf("budget %d", b)
		}
	}
	for r, res := range p.Renewable {
		for t := s; t < e; t++ {
			capacity, sum := res.Capacity, int32(0)
			for _, step := range res.Steps {
				if step.From <= t {
					capacity = step.Capacity
				}
			}
			for i := range k + 1 {
				if uses(p, plan, i, r, t) {
					sum += p.Activities[i].Modes[plan.Mode[i]].Demand[r]
				}
			}
			if sum > capacity {
				return fmt.Sprintf("resource %d at %d", r, t)
			}
		}
	}
	for m, machine := range p.Machines {
		for i := range k {
			if text := pair(p, plan, machine, m, i, k); text != "" {
				return text
			}
		}
	}
	return ""
}

// pair says what activities i and k break between them on a machine.
func pair(p *project.Problem, plan project.Plan, machine project.Machine, m, i, k int) string {
	ci, ok := class(p, plan, i, m)
	ck, okK := class(p, plan, k, m)
	if !ok || !okK {
		return ""
	}
	si, sk, ei, ek := plan.Start[i], plan.Start[k], end(p, plan, i), end(p, plan, k)
	if machine.Rule[ci][ck]&project.Apart != 0 {
		if sk < ei+machine.Gap[ci][ck] && si < ek+machine.Gap[ck][ci] {
			return fmt.Sprintf("%d and %d on machine %d", i, k, m)
		}
		return ""
	}
	inside := func(t, from, to int32) bool { return from < t && t < to }
	if machine.Rule[ci][ck]&project.NoStart != 0 && inside(sk, si, ei) || machine.Rule[ck][ci]&project.NoStart != 0 && inside(si, sk, ek) {
		return fmt.Sprintf("%d or %d starts within on machine %d", i, k, m)
	}
	if machine.Rule[ci][ck]&project.NoEnd != 0 && inside(ek, si, ei) || machine.Rule[ck][ci]&project.NoEnd != 0 && inside(ei, sk, ek) {
		return fmt.Sprintf("%d or %d ends within on machine %d", i, k, m)
	}
	return ""
}

func class(p *project.Problem, plan project.Plan, i, m int) (int32, bool) {
	mode := p.Activities[i].Modes[plan.Mode[i]]
	for _, s := range mode.Stands {
		if int(s.Machine) == m && mode.Duration > 0 {
			return s.Class, true
		}
	}
	return 0, false
}

func open(p *project.Problem, calendar, t int32) bool {
	for _, s := range p.Calendars[calendar-1].Open {
		if s.From <= t && t < s.To {
			return true
		}
	}
	return false
}

func openBefore(p *project.Problem, calendar, t int32) int32 {
	n := int32(0)
	for u := range t {
		if open(p, calendar, u) {
			n++
		}
	}
	return n
}

// end counts the ticks worked; -1 if they do not end within the horizon or begin in a closed
// one.
func end(p *project.Problem, plan project.Plan, i int) int32 {
	mode := p.Activities[i].Modes[plan.Mode[i]]
	s := plan.Start[i]
	if mode.Calendar == 0 || mode.Duration == 0 {
		return s + mode.Duration
	}
	if !open(p, mode.Calendar, s) {
		return -1
	}
	done := int32(0)
	for t := s; t < p.Horizon; t++ {
		if open(p, mode.Calendar, t) {
			if done++; done == mode.Duration {
				return t + 1
			}
		}
	}
	return -1
}

// uses reports whether activity i is on resource r at tick t.
func uses(p *project.Problem, plan project.Plan, i, r int, t int32) bool {
	mode := p.Activities[i].Modes[plan.Mode[i]]
	if t < plan.Start[i] || t >= end(p, plan, i) || mode.Demand[r] == 0 {
		return false
	}
	return mode.Calendar == 0 || p.Renewable[r].Held || open(p, mode.Calendar, t)
}

// Value measures a plan by the goals of p, tick by tick.
func Value(p *project.Problem, plan project.Plan) []int64 {
	if len(p.Goals) == 0 {
		return []int64{int64(plan.Makespan)}
	}
	value := make([]int64, len(p.Goals))
	for k, g := range p.Goals {
		switch g.Measure {
		case project.Makespan:
			value[k] = int64(plan.Makespan)
		case project.Delay:
			for _, d := range g.Delays {
				value[k] += int64(d.Weight) * int64(max(0, at(p, plan, d.To, d.ToEnd)-at(p, plan, d.From, d.FromEnd)-d.Lag))
			}
		case project.Outside:
			for _, u := range g.Uses {
				for i := range plan.Start {
					for t := range p.Horizon {
						if uses(p, plan, i, int(u.Renewable), t) && !open(p, u.Calendar, t) {
							value[k] += int64(u.Weight) * int64(p.Activities[i].Modes[plan.Mode[i]].Demand[u.Renewable])
						}
					}
				}
			}
		case project.Presence:
			for _, u := range g.Uses {
				value[k] += int64(u.Weight) * presence(p, plan, u)
			}
		case project.SetUps:
			for _, m := range g.Machines {
				value[k] += setUps(p, plan, int(m))
			}
		}
	}
	return value
}

func at(p *project.Problem, plan project.Plan, i int32, ends bool) int32 {
	switch {
	case i == project.Clock:
		return 0
	case ends:
		return end(p, plan, int(i))
	}
	return plan.Start[i]
}

func presence(p *project.Problem, plan project.Plan, u project.Use) int64 {
	sum := int64(0)
	for _, span := range p.Calendars[u.Calendar-1].Open {
		first, last := int32(-1), int32(-1)
		for t := span.From; t < span.To; t++ {
			for i := range plan.Start {
				if uses(p, plan, i, int(u.Renewable), t) {
					if first < 0 {
						first = t
					}
					last = t
				}
			}
		}
		if first >= 0 {
			sum += int64(last + 1 - first)
		}
	}
	return sum
}

func setUps(p *project.Problem, plan project.Plan, m int) int64 {
	sum, before := int64(0), -1
	for t := range p.Horizon {
		for i := range plan.Start { // at equal starts in the order of their numbers
			c, ok := class(p, plan, i, m)
			if !ok || plan.Start[i] != t {
				continue
			}
			if before >= 0 {
				if b, _ := class(p, plan, before, m); p.Machines[m].Rule[b][c]&project.Apart != 0 {
					sum += int64(p.Machines[m].Gap[b][c])
				}
			}
			before = i
		}
	}
	return sum
}
