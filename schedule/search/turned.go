package search

import (
	"slices"

	"chablon/schedule/project"
)

// turned returns the net in reversed time: an activity that runs from s to e there runs from
// Horizon - e to Horizon - s. It has no goals.
func (x *net) turned() *net {
	y := newNet(turned(x.p), nil)
	h := x.p.Horizon
	for i, w := range x.base {
		y.base[i] = window{h - w.e1, h - w.e0, h - w.s1, h - w.s0}
	}
	y.able = x.able
	y.measure()
	return y
}

// turned returns the whole problem in reversed time, but for its goals, and without bounds: those
// of starts would become bounds of ends.
func turned(p *project.Problem) *project.Problem {
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
	for i := range back.Activities {
		back.Activities[i].Earliest, back.Activities[i].Latest = 0, p.Horizon
	}
	return back
}
