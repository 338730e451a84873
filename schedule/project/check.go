package project

import "fmt"

// Check is temporary.
func Check(p *Problem, plan Plan) error {
	n := len(p.Activities)
	if len(plan.Start) != n || len(plan.Mode) != n {
		return fmt.Errorf("lengths")
	}
	end := make([]int32, n)
	last := int32(0)
	use := make([]int64, len(p.Budget))
	delta := make([]map[int32]int64, len(p.Renewable))
	for r := range delta {
		delta[r] = map[int32]int64{}
	}
	for i, a := range p.Activities {
		m := a.Modes[plan.Mode[i]]
		end[i] = plan.Start[i] + m.Duration
		if plan.Start[i] < a.Earliest || plan.Start[i] < 0 || plan.Start[i] > a.Latest || end[i] > p.Horizon {
			return fmt.Errorf("activity %d starts at %d", i, plan.Start[i])
		}
		last = max(last, end[i])
		for r, c := range m.Consume {
			use[r] += int64(c)
		}
		for r, d := range m.Demand {
			if d > 0 && m.Duration > 0 {
				for t := plan.Start[i]; t < end[i]; t++ {
					delta[r][t] += int64(d)
				}
			}
		}
	}
	for r, u := range use {
		if u > int64(p.Budget[r]) {
			return fmt.Errorf("budget %d: %d", r, u)
		}
	}
	for _, a := range p.Arcs {
		f, t := plan.Start[a.From], plan.Start[a.To]
		if a.FromEnd {
			f = end[a.From]
		}
		if a.ToEnd {
			t = end[a.To]
		}
		if t < f+a.Lag {
			return fmt.Errorf("arc %v", a)
		}
	}
	for r, res := range p.Renewable {
		for t, u := range delta[r] {
			c := res.Capacity
			for _, s := range res.Steps {
				if s.From <= t {
					c = s.Capacity
				}
			}
			if u > int64(c) {
				return fmt.Errorf("resource %d at %d: %d > %d", r, t, u, c)
			}
		}
	}
	if last != plan.Makespan {
		return fmt.Errorf("makespan %d, last end %d", plan.Makespan, last)
	}
	return nil
}
