package search

import (
	"slices"

	"chablon/schedule/project"
)

// turned returns the whole problem in reversed time, with the bounds of its ends: an activity
// that runs from s to e there runs from Horizon - e to Horizon - s.
func turned(p *project.Problem) (*project.Problem, []bounds) {
	back := mirror(p)
	for _, c := range p.Calendars {
		var open []project.Span
		for _, s := range slices.Backward(c.Open) {
			if s.From < p.Horizon {
				open = append(open, project.Span{From: p.Horizon - min(s.To, p.Horizon), To: p.Horizon - s.From})
			}
		}
		back.Calendars = append(back.Calendars, project.NewCalendar(open...))
	}
	for k := range back.Arcs {
		back.Arcs[k].Calendar = p.Arcs[k].Calendar
	}
	for r := range back.Renewable {
		back.Renewable[r].Held = p.Renewable[r].Held
	}
	for _, m := range p.Machines {
		classes := len(m.Rule)
		turn := project.Machine{Rule: make([][]project.Rule, classes), Gap: make([][]int32, classes)}
		for a := range classes {
			turn.Rule[a], turn.Gap[a] = make([]project.Rule, classes), make([]int32, classes)
			for b := range classes {
				rule := m.Rule[a][b] & project.Apart
				if m.Rule[a][b]&project.NoStart != 0 {
					rule |= project.NoEnd
				}
				if m.Rule[a][b]&project.NoEnd != 0 {
					rule |= project.NoStart
				}
				turn.Rule[a][b], turn.Gap[a][b] = rule, m.Gap[b][a]
			}
		}
		back.Machines = append(back.Machines, turn)
	}
	ends := make([]bounds, len(p.Activities))
	for i, a := range p.Activities {
		back.Activities[i].Earliest, back.Activities[i].Latest = 0, p.Horizon
		ends[i] = bounds{p.Horizon - a.Latest, p.Horizon - a.Earliest}
	}
	return back, ends
}
