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
	}
	return errors.Join(bad...)
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
	end := make([]int64, n)
	latest := int64(0)
	for i, a := range p.Activities {
		start, m := plan.Start[i], plan.Mode[i]
		if m < 0 || int(m) >= len(a.Modes) {
			return fmt.Errorf("project: activity %d is in mode %d of %d", i, m, len(a.Modes))
		}
		if start < a.Earliest || start > a.Latest {
			return fmt.Errorf("project: activity %d starts at %d, not within %d to %d", i, start, a.Earliest, a.Latest)
		}
		end[i] = int64(start) + int64(a.Modes[m].Duration)
		if end[i] > int64(p.Horizon) {
			return fmt.Errorf("project: activity %d ends at %d, after the horizon %d", i, end[i], p.Horizon)
		}
		latest = max(latest, end[i])
	}
	if latest != int64(plan.Makespan) {
		return fmt.Errorf("project: the last end is %d, the plan says %d", latest, plan.Makespan)
	}
	for k, a := range p.Arcs {
		from, to := int64(plan.Start[a.From]), int64(plan.Start[a.To])
		if a.FromEnd {
			from = end[a.From]
		}
		if a.ToEnd {
			to = end[a.To]
		}
		if to < from+int64(a.Lag) {
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
	return nil
}

// checkUse adds up the use of one resource in the order of time: at each moment what ends leaves
// before what begins comes in, and then the use must be within the capacity from there on.
func checkUse(p *Problem, plan Plan, end []int64, r int) error {
	type change struct {
		at       int64
		use, cap int64
		step     bool
	}
	var changes []change
	for i, a := range p.Activities {
		if d := int64(a.Modes[plan.Mode[i]].Demand[r]); d > 0 && end[i] > int64(plan.Start[i]) {
			changes = append(changes, change{at: int64(plan.Start[i]), use: d}, change{at: end[i], use: -d})
		}
	}
	for _, s := range p.Renewable[r].Steps {
		changes = append(changes, change{at: int64(s.From), cap: int64(s.Capacity), step: true})
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
