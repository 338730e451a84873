package schedule

import (
	"slices"

	"chablon/schedule/project"
)

// compiled is a model in the form that the engines read, with the way back from their numbers to
// the caller's statements. Activities, modes, resources, budgets, hours and goals keep their
// numbers; machines are those resources on which bands, families or doors keep some things apart.
type compiled struct {
	m        *Model
	p        *project.Problem
	says     []statement  // by arc of p
	machines []ResourceID // by machine of p
	modes    [][]int      // by activity of p: the caller's modes

	// Arcs from and to the beginning, which is activity -1 until there is one.
	origin     []project.Arc
	originSays []statement
}

// compile poses a model that Err accepts.
func compile(m *Model) *compiled {
	c := &compiled{m: m, p: &project.Problem{Horizon: int32(m.horizon)}}
	for _, r := range m.resources {
		c.p.Renewable = append(c.p.Renewable, c.renewable(r))
	}
	for _, b := range m.budgets {
		c.p.Budget = append(c.p.Budget, int32(b.amount))
	}
	for _, h := range m.hours {
		var open []project.Span
		for _, s := range h.open {
			open = append(open, project.Span{From: int32(s.From), To: int32(s.To)})
		}
		c.p.Calendars = append(c.p.Calendars, project.NewCalendar(open...))
	}
	classes := c.setMachines()
	for i := range m.activities {
		c.activity(i, classes)
	}
	c.setArcs()
	c.setGoals()
	return c
}

// renewable writes the spans of a calendar as steps.
func (c *compiled) renewable(r resource) project.Renewable {
	out := project.Renewable{Held: r.held}
	if len(r.spans) == 1 && r.spans[0].From == 0 && r.spans[0].To == c.m.horizon {
		out.Capacity = int32(r.spans[0].Capacity)
		return out
	}
	out.Steps = []project.Step{{}}
	step := func(at, capacity int) {
		last := &out.Steps[len(out.Steps)-1]
		switch {
		case int(last.From) == at:
			last.Capacity = int32(capacity)
		case int(last.Capacity) != capacity:
			out.Steps = append(out.Steps, project.Step{From: int32(at), Capacity: int32(capacity)})
		}
		out.Capacity = max(out.Capacity, int32(capacity))
	}
	for k, s := range r.spans {
		if k > 0 && r.spans[k-1].To < s.From {
			step(r.spans[k-1].To, 0)
		}
		step(s.From, s.Capacity)
	}
	if k := len(r.spans); k > 0 && r.spans[k-1].To < c.m.horizon {
		step(r.spans[k-1].To, 0)
	}
	return out
}

// class is what sets apart one demand on a machine from another.
type class struct {
	band   Band
	family string
	door   Door
}

func classOf(d Demand) class { return class{d.Band, d.Family, d.Door} }

// setMachines makes a machine of each resource that needs one and returns the numbers of its
// classes.
func (c *compiled) setMachines() []map[class]int32 {
	classes := make([]map[class]int32, len(c.m.resources))
	lists := make([][]class, len(c.m.resources))
	for _, a := range c.m.activities {
		for _, mode := range a.modes {
			for _, d := range mode.Demands {
				k := classOf(d)
				if k == (class{}) {
					continue
				}
				if classes[d.Resource] == nil {
					// Who asks for nothing may still disturb others.
					classes[d.Resource], lists[d.Resource] = map[class]int32{{}: 0}, []class{{}}
				}
				if _, known := classes[d.Resource][k]; !known {
					classes[d.Resource][k] = int32(len(lists[d.Resource]))
					lists[d.Resource] = append(lists[d.Resource], k)
				}
			}
		}
	}
	for r, list := range lists {
		if len(list) > 0 {
			c.p.Machines = append(c.p.Machines, c.machine(c.m.resources[r], list))
			c.machines = append(c.machines, ResourceID(r))
		}
	}
	return classes
}

func (c *compiled) machine(r resource, list []class) project.Machine {
	m := project.Machine{Rule: make([][]project.Rule, len(list)), Gap: make([][]int32, len(list))}
	for a := range list {
		m.Rule[a], m.Gap[a] = make([]project.Rule, len(list)), make([]int32, len(list))
		for b := range list {
			gap, apart := r.between(list[a], list[b])
			switch {
			case apart:
				m.Rule[a][b], m.Gap[a][b] = project.Apart, int32(min(gap, MaxTick))
			default:
				if list[a].door&NoEntry != 0 {
					m.Rule[a][b] |= project.NoStart
				}
				if list[a].door&NoExit != 0 {
					m.Rule[a][b] |= project.NoEnd
				}
			}
		}
	}
	return m
}

// between returns how many ticks lie between a run of a and a later one of b, and whether the two
// may not run at once.
func (r *resource) between(a, b class) (gap int, apart bool) {
	if a.band.Known && b.band.Known {
		switch {
		case a.band.Hi < b.band.Lo:
			gap, apart = share(r.up, b.band.Lo-a.band.Hi), true
		case b.band.Hi < a.band.Lo:
			gap, apart = share(r.down, a.band.Lo-b.band.Hi), true
		}
	}
	if a.family == "" || b.family == "" {
		return gap, apart
	}
	for _, s := range r.setUps {
		if s.from == a.family && s.to == b.family {
			gap, apart = max(gap, s.ticks), true
		}
		if s.from == b.family && s.to == a.family {
			apart = true
		}
	}
	return gap, apart
}

// share returns ticks for 100 settings over so many of them, rounded up.
func share(ticks, settings int) int {
	if settings > MaxTick || ticks > 0 && settings > (1<<62)/ticks {
		return MaxTick
	}
	return (ticks*settings + 99) / 100
}

func (c *compiled) activity(i int, classes []map[class]int32) {
	a := c.m.activities[i]
	out := project.Activity{Latest: c.p.Horizon}
	var kept []int
	for k, mode := range a.modes {
		if a.only < 0 || a.only == k {
			out.Modes = append(out.Modes, c.mode(mode, classes))
			kept = append(kept, k)
		}
	}
	c.p.Activities, c.modes = append(c.p.Activities, out), append(c.modes, kept)
	c.window(i, a)
}

func (c *compiled) mode(mode Mode, classes []map[class]int32) project.Mode {
	out := project.Mode{Duration: int32(mode.Duration), Demand: make([]int32, len(c.m.resources)), Calendar: int32(mode.Pauses)}
	for _, d := range mode.Demands {
		out.Demand[d.Resource] = int32(d.Amount)
		if of := classes[d.Resource]; of != nil {
			machine := int32(slices.Index(c.machines, d.Resource))
			out.Stands = append(out.Stands, project.Stand{Machine: machine, Class: of[classOf(d)]})
		}
	}
	if len(c.m.budgets) > 0 {
		out.Consume = make([]int32, len(c.m.budgets))
	}
	for _, b := range mode.Consumes {
		out.Consume[b.Budget] = int32(b.Amount)
	}
	return out
}

// window bounds the start of an activity as far as a window can, and says the rest by arcs from
// and to the beginning.
func (c *compiled) window(i int, a activity) {
	from, to := 0, c.m.horizon
	if a.released {
		from = max(from, a.release)
	}
	if a.pinned {
		from, to = max(from, a.pin), min(to, a.pin)
	}
	act := &c.p.Activities[i]
	if from <= to {
		act.Earliest, act.Latest = int32(from), int32(to)
	} else {
		if a.released {
			c.after(statement{release, i}, i, a.release)
		}
		if a.pinned {
			c.after(statement{pinned, i}, i, a.pin)
			c.before(statement{pinned, i}, i, false, a.pin)
		}
	}
	if !a.dueSet || a.due >= c.m.horizon {
		return
	}
	if lo, hi := durations(a.modes); lo == hi && !a.pinned && !slices.ContainsFunc(a.modes, func(m Mode) bool { return m.Pauses > 0 }) && a.due-lo >= from {
		act.Latest = int32(min(to, a.due-lo))
		return
	}
	c.before(statement{due, i}, i, true, a.due)
}

// statement is what the caller said that an arc of the problem stands for.
type statement struct {
	kind statementKind
	i    int // lag or activity
}

type statementKind uint8

const (
	aLag statementKind = iota
	release
	due
	pinned
)

// after says that activity i starts at t or later, before that the point comes at t or earlier.
func (c *compiled) after(s statement, i, t int) {
	c.origin = append(c.origin, project.Arc{From: -1, To: int32(i), Lag: int32(t)})
	c.originSays = append(c.originSays, s)
}

func (c *compiled) before(s statement, i int, end bool, t int) {
	c.origin = append(c.origin, project.Arc{From: int32(i), FromEnd: end, To: -1, Lag: int32(-t)})
	c.originSays = append(c.originSays, s)
}

// setArcs writes the lags, and those that need a beginning of time with an activity that stands
// for it.
func (c *compiled) setArcs() {
	for k, l := range c.m.lags {
		arc := project.Arc{From: int32(l.from.Activity), FromEnd: l.from.End, To: int32(l.to.Activity), ToEnd: l.to.End, Lag: int32(l.w), Calendar: int32(l.hours)}
		if l.most {
			arc = project.Arc{From: arc.To, FromEnd: arc.ToEnd, To: arc.From, ToEnd: arc.FromEnd, Lag: -arc.Lag, Calendar: arc.Calendar}
		}
		c.p.Arcs, c.says = append(c.p.Arcs, arc), append(c.says, statement{aLag, k})
	}
	if len(c.origin) == 0 {
		return
	}
	beginning := int32(len(c.p.Activities))
	c.p.Activities = append(c.p.Activities, project.Activity{
		Modes: []project.Mode{{Demand: make([]int32, len(c.p.Renewable)), Consume: make([]int32, len(c.p.Budget))}},
	})
	c.modes = append(c.modes, []int{0})
	for k, arc := range c.origin {
		if arc.From < 0 {
			arc.From = beginning
		} else {
			arc.To = beginning
		}
		c.p.Arcs, c.says = append(c.p.Arcs, arc), append(c.says, c.originSays[k])
	}
}

func (c *compiled) setGoals() {
	for _, g := range c.m.goals {
		out := project.Goal{Measure: g.measure}
		for _, d := range g.delays {
			out.Delays = append(out.Delays, project.Gap{
				From: int32(d.From.Activity), FromEnd: d.From.End, To: int32(d.To.Activity), ToEnd: d.To.End,
				Lag: int32(d.After), Weight: int32(d.Weight),
			})
		}
		for _, u := range g.uses {
			out.Uses = append(out.Uses, project.Use{Renewable: int32(u.Resource), Calendar: int32(u.Hours), Weight: int32(u.Weight)})
		}
		for _, r := range g.resources {
			if k := slices.Index(c.machines, r); k >= 0 {
				out.Machines = append(out.Machines, int32(k))
			}
		}
		c.p.Goals = append(c.p.Goals, out)
	}
}

// plan returns a plan of the problem as one of the model.
func (c *compiled) plan(p project.Plan) Plan {
	n := len(c.m.activities)
	out := Plan{Starts: make([]int, n), Ends: make([]int, n), Modes: make([]int, n), Makespan: int(p.Makespan)}
	for i := range n {
		end, _ := c.p.End(int32(i), p.Mode[i], p.Start[i])
		out.Starts[i], out.Ends[i], out.Modes[i] = int(p.Start[i]), int(end), c.modes[i][p.Mode[i]]
	}
	return out
}

// back returns a plan of the model as one of the problem; modes that the problem leaves out
// become its first.
func (c *compiled) back(plan Plan) project.Plan {
	out := project.Plan{Start: make([]int32, len(c.p.Activities)), Mode: make([]int32, len(c.p.Activities))}
	for i := range c.m.activities {
		out.Start[i] = int32(plan.Starts[i])
		out.Mode[i] = int32(max(0, slices.Index(c.modes[i], plan.Modes[i])))
		if end, ok := c.p.End(int32(i), out.Mode[i], out.Start[i]); ok {
			out.Makespan = max(out.Makespan, end)
		}
	}
	return out
}
