package search

import "chablon/schedule/project"

// mirror returns the problem in reversed time: an activity that runs from s to e there runs
// from Horizon - e to Horizon - s. Where modes differ in duration, bounds are the widest of
// them, so a plan must be checked when it is turned back.
func mirror(p *project.Problem) *project.Problem {
	m := &project.Problem{Horizon: p.Horizon, Budget: p.Budget}
	for _, a := range p.Activities {
		short, long := a.Modes[0].Duration, a.Modes[0].Duration
		for _, mode := range a.Modes {
			short, long = min(short, mode.Duration), max(long, mode.Duration)
		}
		late := min(p.Horizon-short, p.Horizon-a.Earliest-short)
		early := max(0, p.Horizon-min(a.Latest, p.Horizon-short)-long)
		m.Activities = append(m.Activities, project.Activity{Modes: a.Modes, Earliest: min(early, late), Latest: late})
	}
	for _, a := range p.Arcs {
		m.Arcs = append(m.Arcs, project.Arc{From: a.To, To: a.From, Lag: a.Lag, FromEnd: !a.ToEnd, ToEnd: !a.FromEnd})
	}
	for _, r := range p.Renewable {
		back := project.Renewable{Capacity: r.Capacity}
		for k := len(r.Steps) - 1; k >= 0; k-- {
			s := r.Steps[k]
			if s.From >= p.Horizon {
				continue
			}
			end := p.Horizon
			if k+1 < len(r.Steps) {
				end = min(end, r.Steps[k+1].From)
			}
			back.Steps = append(back.Steps, project.Step{From: p.Horizon - end, Capacity: s.Capacity})
		}
		m.Renewable = append(m.Renewable, back)
	}
	return m
}
