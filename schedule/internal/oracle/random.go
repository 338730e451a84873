package oracle

import (
	"math/rand/v2"

	"chablon/schedule/project"
)

// Features says what a random problem may have.
type Features struct {
	Lags      bool // arcs that make cycles, between any two points
	Modes     bool
	Budgets   bool // needs Modes to matter
	Steps     bool // capacities that vary
	Bounds    bool // earliest and latest starts
	Pauses    bool // calendars of modes
	Working   bool // arcs in working time
	Machines  bool // runs apart, with gaps, and shut doors
	Goals     bool // one to three goals in order of rank
	NoOverlap bool // machines of one run at a time, with gaps alone
}

// All are the features but NoOverlap, which narrows Machines.
var All = Features{Lags: true, Modes: true, Budgets: true, Steps: true, Bounds: true, Pauses: true, Working: true, Machines: true, Goals: true}

// Random makes a problem of two to four activities that Optimum can solve. The same seed and
// features give the same problem.
func Random(seed uint64, f Features) *project.Problem {
	rng := rand.New(rand.NewPCG(seed, 0x5bd1e995))
	below := func(n int) int32 { return int32(rng.IntN(n)) }
	chance := func(n int) bool { return rng.IntN(n) == 0 }
	n := 2 + int(below(3))
	p := &project.Problem{Horizon: 8 + below(4)}
	for range 1 + below(2) {
		r := project.Renewable{Capacity: 1 + below(3), Held: f.Pauses && chance(2)}
		if f.Steps && chance(2) {
			r.Capacity = 0
			for t := int32(0); t < p.Horizon; t += 1 + below(5) {
				r.Steps = append(r.Steps, project.Step{From: t, Capacity: below(4)})
				r.Capacity = max(r.Capacity, r.Steps[len(r.Steps)-1].Capacity)
			}
		}
		p.Renewable = append(p.Renewable, r)
	}
	if f.Budgets && chance(2) {
		p.Budget = []int32{1 + below(5)}
	}
	if f.Pauses || f.Working || f.Goals {
		for range 2 {
			var open []project.Span
			for t := below(3); t < p.Horizon; t += 1 + below(2) {
				to := t + 1 + below(4)
				open = append(open, project.Span{From: t, To: to})
				t = to
			}
			p.Calendars = append(p.Calendars, project.NewCalendar(open...))
		}
	}
	if f.Machines {
		p.Machines = []project.Machine{machine(rng, f.NoOverlap)}
	}
	for range n {
		a := project.Activity{Latest: p.Horizon}
		if f.Bounds && chance(3) {
			a.Earliest = below(4)
			a.Latest = a.Earliest + below(int(p.Horizon-a.Earliest))
		}
		modes := int32(1)
		if f.Modes {
			modes += below(2)
		}
		for range modes {
			m := project.Mode{Duration: below(4)}
			for _, r := range p.Renewable {
				m.Demand = append(m.Demand, below(int(r.Capacity)+1))
			}
			for range p.Budget {
				m.Consume = append(m.Consume, below(3))
			}
			if f.Pauses && chance(2) {
				m.Calendar = 1 + below(len(p.Calendars))
			}
			if len(p.Machines) > 0 && !chance(4) {
				m.Stands = []project.Stand{{Class: below(len(p.Machines[0].Rule))}}
			}
			a.Modes = append(a.Modes, m)
		}
		p.Activities = append(p.Activities, a)
	}
	for i := range int32(n) {
		for j := range int32(n) {
			switch {
			case i == j || !chance(3):
			case f.Lags:
				arc := project.Arc{From: i, To: j, Lag: below(10) - 5, FromEnd: chance(2), ToEnd: chance(3)}
				if f.Working && chance(2) {
					arc.Calendar = 1 + below(len(p.Calendars))
				}
				p.Arcs = append(p.Arcs, arc)
			case i < j:
				p.Arcs = append(p.Arcs, project.Arc{From: i, To: j, Lag: below(2), FromEnd: true})
			}
		}
	}
	if f.Goals {
		for range 1 + below(3) {
			p.Goals = append(p.Goals, goal(rng, p))
		}
	}
	return p
}

func machine(rng *rand.Rand, noOverlap bool) project.Machine {
	classes := 1 + rng.IntN(3)
	m := project.Machine{Rule: make([][]project.Rule, classes), Gap: make([][]int32, classes)}
	for a := range classes {
		m.Rule[a], m.Gap[a] = make([]project.Rule, classes), make([]int32, classes)
	}
	for a := range classes {
		for b := range a + 1 {
			rules := [2]project.Rule{project.Rule(rng.IntN(8)), project.Rule(rng.IntN(8))}
			if noOverlap {
				rules[0] |= project.Apart
			}
			if rules[0]&project.Apart != 0 {
				rules = [2]project.Rule{project.Apart, project.Apart}
				m.Gap[a][b], m.Gap[b][a] = int32(rng.IntN(3)), int32(rng.IntN(3))
			}
			m.Rule[a][b] = rules[0]
			m.Rule[b][a] = rules[1] &^ project.Apart
			if rules[0]&project.Apart != 0 {
				m.Rule[b][a] = project.Apart
			}
		}
	}
	return m
}

func goal(rng *rand.Rand, p *project.Problem) project.Goal {
	g := project.Goal{Measure: project.Measure(rng.IntN(5))}
	n := len(p.Activities)
	switch g.Measure {
	case project.Delay:
		for range 1 + rng.IntN(3) {
			d := project.Gap{
				From: int32(rng.IntN(n+1) - 1), To: int32(rng.IntN(n)), FromEnd: rng.IntN(2) == 0, ToEnd: rng.IntN(2) == 0,
				Lag: int32(rng.IntN(6)), Weight: int32(1 + rng.IntN(3)),
			}
			if rng.IntN(4) == 0 {
				d.From, d.To = d.To, project.Clock // asks for what is late
				d.Lag = -d.Lag
			}
			g.Delays = append(g.Delays, d)
		}
	case project.Outside, project.Presence:
		for range 1 + rng.IntN(2) {
			g.Uses = append(g.Uses, project.Use{
				Renewable: int32(rng.IntN(len(p.Renewable))), Calendar: int32(1 + rng.IntN(len(p.Calendars))), Weight: int32(1 + rng.IntN(2)),
			})
		}
	case project.SetUps:
		if len(p.Machines) > 0 {
			g.Machines = []int32{0}
		}
	case project.Makespan:
	}
	return g
}
