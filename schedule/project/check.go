package project

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
)

// MaxHorizon is the greatest horizon that Validate lets through: sums of three times then fit
// in 32 bits.
const MaxHorizon = 1 << 29

// Validate reports all that is wrong with the form of p: numbers out of range and slices of
// unequal length. It does not say whether a plan exists. Every engine calls it first.
func (p *Problem) Validate() error {
	var bad []error
	fault := func(format string, a ...any) { bad = append(bad, fmt.Errorf("project: "+format, a...)) }
	if p.Horizon < 0 || p.Horizon > MaxHorizon {
		fault("horizon is %d, want 0 to %d; take a coarser tick", p.Horizon, MaxHorizon)
	}
	for r, res := range p.Renewable {
		if res.Capacity < 0 {
			fault("renewable %d: capacity is %d, want 0 or more", r, res.Capacity)
		}
		for k, s := range res.Steps {
			if s.Capacity < 0 || s.Capacity > res.Capacity {
				fault("renewable %d: step %d has capacity %d, want 0 to %d", r, k, s.Capacity, res.Capacity)
			}
			if k == 0 && s.From != 0 || k > 0 && s.From <= res.Steps[k-1].From {
				fault("renewable %d: step %d is from %d, want steps that begin at 0 and rise", r, k, s.From)
			}
		}
	}
	for b, v := range p.Budget {
		if v < 0 {
			fault("budget %d is %d, want 0 or more", b, v)
		}
	}
	for i, a := range p.Activities {
		if a.Earliest < 0 || a.Latest < a.Earliest || a.Latest > p.Horizon {
			fault("activity %d: starts from %d to %d, want 0 <= earliest <= latest <= %d", i, a.Earliest, a.Latest, p.Horizon)
		}
		if len(a.Modes) == 0 {
			fault("activity %d has no mode, want at least one", i)
		}
		for m, mode := range a.Modes {
			if err := p.mode(mode); err != nil {
				fault("activity %d: mode %d %w", i, m, err)
			}
		}
	}
	n := int32(len(p.Activities))
	for k, a := range p.Arcs {
		if a.From < 0 || a.From >= n || a.To < 0 || a.To >= n {
			fault("arc %d joins %d and %d, want activities 0 to %d", k, a.From, a.To, n-1)
		}
		if a.Calendar < 0 || int(a.Calendar) > len(p.Calendars) {
			fault("arc %d is measured by calendar %d of %d", k, a.Calendar, len(p.Calendars))
		}
	}
	for k := range p.Calendars {
		if err := p.Calendars[k].validate(); err != nil {
			fault("calendar %d %w", k, err)
		}
	}
	for k, m := range p.Machines {
		if err := m.validate(); err != nil {
			fault("machine %d %w", k, err)
		}
	}
	for k, g := range p.Goals {
		if err := p.goal(g); err != nil {
			fault("goal %d %w", k, err)
		}
	}
	return errors.Join(bad...)
}

func (m *Machine) validate() error {
	classes := len(m.Rule)
	if len(m.Gap) != classes {
		return fmt.Errorf("has rules for %d classes and gaps for %d", classes, len(m.Gap))
	}
	for a := range classes {
		if len(m.Rule[a]) != classes || len(m.Gap[a]) != classes {
			return fmt.Errorf("has %d rules and %d gaps for class %d, want %d", len(m.Rule[a]), len(m.Gap[a]), a, classes)
		}
	}
	for a := range classes {
		for b := range classes {
			if m.Rule[a][b] > Apart|NoStart|NoEnd || m.Rule[a][b]&Apart != m.Rule[b][a]&Apart {
				return fmt.Errorf("has rule %d for classes %d and %d, and %d the other way round; want known rules, and Apart both ways", m.Rule[a][b], a, b, m.Rule[b][a])
			}
			if m.Gap[a][b] < 0 || m.Gap[a][b] > MaxHorizon {
				return fmt.Errorf("has a gap of %d from class %d to %d, want 0 to %d", m.Gap[a][b], a, b, MaxHorizon)
			}
		}
	}
	return nil
}

func (p *Problem) mode(m Mode) error {
	if m.Duration < 0 {
		return fmt.Errorf("lasts %d, want 0 or more", m.Duration)
	}
	if len(m.Demand) != len(p.Renewable) {
		return fmt.Errorf("has %d demands, want one for each of %d renewable resources", len(m.Demand), len(p.Renewable))
	}
	if len(m.Consume) != len(p.Budget) && len(m.Consume) != 0 {
		return fmt.Errorf("has %d consumptions, want one for each of %d budgets, or none", len(m.Consume), len(p.Budget))
	}
	for _, v := range m.Demand {
		if v < 0 {
			return fmt.Errorf("demands %d, want 0 or more", v)
		}
	}
	for _, v := range m.Consume {
		if v < 0 {
			return fmt.Errorf("consumes %d, want 0 or more", v)
		}
	}
	if m.Calendar < 0 || int(m.Calendar) > len(p.Calendars) {
		return fmt.Errorf("pauses by calendar %d of %d", m.Calendar, len(p.Calendars))
	}
	for k, s := range m.Stands {
		if s.Machine < 0 || int(s.Machine) >= len(p.Machines) {
			return fmt.Errorf("stands on machine %d of %d", s.Machine, len(p.Machines))
		}
		if s.Class < 0 || int(s.Class) >= len(p.Machines[s.Machine].Rule) {
			return fmt.Errorf("stands on machine %d as class %d of %d", s.Machine, s.Class, len(p.Machines[s.Machine].Rule))
		}
		for _, other := range m.Stands[:k] {
			if other.Machine == s.Machine {
				return fmt.Errorf("stands on machine %d twice", s.Machine)
			}
		}
	}
	return nil
}

// Check returns nil if plan is a plan of p, with the makespan that it says, and otherwise names
// the first rule that is broken. p must have passed Validate. Check shares no code with any
// engine and is meant to be read: it looks at every tick where an activity or a step begins.
func Check(p *Problem, plan Plan) error {
	n := len(p.Activities)
	if len(plan.Start) != n || len(plan.Mode) != n {
		return fmt.Errorf("project: plan has %d starts and %d modes, want %d", len(plan.Start), len(plan.Mode), n)
	}
	end := make([]int32, n)
	latest := int32(0)
	for i, a := range p.Activities {
		start, m := plan.Start[i], plan.Mode[i]
		if m < 0 || int(m) >= len(a.Modes) {
			return fmt.Errorf("project: activity %d is in mode %d of %d", i, m, len(a.Modes))
		}
		if start < a.Earliest || start > a.Latest {
			return fmt.Errorf("project: activity %d starts at %d, not within %d to %d", i, start, a.Earliest, a.Latest)
		}
		if d := a.Modes[m].Duration; int64(start)+int64(d) > int64(p.Horizon) {
			return fmt.Errorf("project: activity %d starts at %d and lasts %d, over the horizon %d", i, start, d, p.Horizon)
		}
		var ok bool
		if end[i], ok = p.End(int32(i), m, start); !ok {
			return fmt.Errorf("project: activity %d starts at %d, where its calendar is closed or has too few ticks left", i, start)
		}
		if end[i] > p.Horizon {
			return fmt.Errorf("project: activity %d ends at %d, after the horizon %d", i, end[i], p.Horizon)
		}
		latest = max(latest, end[i])
	}
	if latest != plan.Makespan {
		return fmt.Errorf("project: the last end is %d, the plan says %d", latest, plan.Makespan)
	}
	for k, a := range p.Arcs {
		from, to := plan.Start[a.From], plan.Start[a.To]
		if a.FromEnd {
			from = end[a.From]
		}
		if a.ToEnd {
			to = end[a.To]
		}
		if a.Calendar > 0 {
			c := &p.Calendars[a.Calendar-1]
			from, to = c.Work(from), c.Work(to)
		}
		if int64(to) < int64(from)+int64(a.Lag) {
			return fmt.Errorf("project: arc %d from %d at %d to %d at %d is under its lag of %d", k, a.From, from, a.To, to, a.Lag)
		}
	}
	for r := range p.Renewable {
		if err := checkUse(p, plan, end, r); err != nil {
			return err
		}
	}
	for b, budget := range p.Budget {
		sum := int64(0)
		for i, a := range p.Activities {
			if c := a.Modes[plan.Mode[i]].Consume; len(c) > 0 {
				sum += int64(c[b])
			}
		}
		if sum > int64(budget) {
			return fmt.Errorf("project: budget %d of %d is overdrawn: %d", b, budget, sum)
		}
	}
	for m := range p.Machines {
		if err := checkPairs(&p.Machines[m], p.standing(plan, end, int32(m))); err != nil {
			return fmt.Errorf("project: machine %d %w", m, err)
		}
	}
	return nil
}

// checkPairs looks at every two runs on a machine.
func checkPairs(m *Machine, runs []standing) error {
	for k, b := range runs {
		for _, a := range runs[:k] { // a starts before b or with it
			rule, back := m.Rule[a.class][b.class], m.Rule[b.class][a.class]
			if rule&Apart != 0 {
				after := int64(a.to) + int64(m.Gap[a.class][b.class])
				// Of two that start together, neither is the earlier.
				if int64(b.from) < after {
					return fmt.Errorf("has activity %d from %d, but %d until %d, and %d between them", b.activity, b.from, a.activity, a.to, m.Gap[a.class][b.class])
				}
				continue
			}
			within := func(t int32, run standing) bool { return run.from < t && t < run.to }
			switch {
			case rule&NoStart != 0 && within(b.from, a), back&NoStart != 0 && within(a.from, b):
				return fmt.Errorf("has activities %d and %d, and one starts within the other", a.activity, b.activity)
			case rule&NoEnd != 0 && within(b.to, a), back&NoEnd != 0 && within(a.to, b):
				return fmt.Errorf("has activities %d and %d, and one ends within the other", a.activity, b.activity)
			}
		}
	}
	return nil
}

// checkUse adds up the use of one resource in the order of time: at each moment what ends leaves
// before what begins comes in, and then the use must be within the capacity from there on.
func checkUse(p *Problem, plan Plan, end []int32, r int) error {
	type change struct {
		at       int32
		use, cap int64
		step     bool
	}
	var changes []change
	for i, a := range p.Activities {
		if d := int64(a.Modes[plan.Mode[i]].Demand[r]); d > 0 {
			for s := range p.runs(plan, end, i, r) {
				changes = append(changes, change{at: s.From, use: d}, change{at: s.To, use: -d})
			}
		}
	}
	for _, s := range p.Renewable[r].Steps {
		changes = append(changes, change{at: s.From, cap: int64(s.Capacity), step: true})
	}
	slices.SortFunc(changes, func(a, b change) int { return cmp.Compare(a.at, b.at) })
	use, capacity := int64(0), int64(p.Renewable[r].Capacity)
	for k, c := range changes {
		use += c.use
		if c.step {
			capacity = c.cap
		}
		if last := k+1 == len(changes) || changes[k+1].at > c.at; last && use > capacity {
			return fmt.Errorf("project: renewable %d is used by %d at %d, of %d", r, use, c.at, capacity)
		}
	}
	return nil
}
