package project

import (
	"cmp"
	"fmt"
	"slices"
)

// Measure is what a goal measures. All are zero or more, and the smaller the better.
type Measure uint8

// Measures.
const (
	// Makespan is the latest end of all.
	Makespan Measure = iota
	// Delay is the sum of Goal.Delays.
	Delay
	// Outside is work outside of hours: over Goal.Uses, the ticks at which the resource is used
	// while the calendar is closed, times the units used.
	Outside
	// Presence is how long somebody must be there: over Goal.Uses, and in each span of the
	// calendar, the time from the first use of the resource within the span to the last.
	Presence
	// SetUps is the time spent on changes: over Goal.Machines, the gaps between runs that
	// follow each other in the order of their starts and are apart.
	SetUps
	measures
)

// String returns the measure in words.
func (m Measure) String() string {
	if m >= measures {
		return "unknown measure"
	}
	return [...]string{"makespan", "delay", "work outside hours", "presence", "set-ups"}[m]
}

// Goal is one thing to make small. Only the fields of its measure count.
type Goal struct {
	Measure  Measure
	Delays   []Gap
	Uses     []Use
	Machines []int32
}

// Gap costs Weight for every tick by which time(To) - time(From) exceeds Lag, as in Arc. From
// may be Clock: its time is 0, and Lag a due time.
type Gap struct {
	From, To       int32
	FromEnd, ToEnd bool
	Lag, Weight    int32
}

// Clock stands for the beginning of time where an activity could stand.
const Clock int32 = -1

// Use is a resource looked at under a calendar (plus one).
type Use struct{ Renewable, Calendar, Weight int32 }

func (p *Problem) goal(g Goal) error {
	n := int32(len(p.Activities))
	sum := int64(0)
	add := func(weight int32, times int64) error {
		if weight < 0 {
			return fmt.Errorf("has the weight %d, want 0 or more", weight)
		}
		if sum += int64(weight) * times; sum > 1<<62 {
			return fmt.Errorf("may come to more than 62 bits hold: take smaller weights")
		}
		return nil
	}
	if g.Measure >= measures {
		return fmt.Errorf("has the measure %d, want one below %d", g.Measure, measures)
	}
	for _, d := range g.Delays {
		if d.From < Clock || d.From >= n || d.To < Clock || d.To >= n {
			return fmt.Errorf("has a delay from %d to %d, want activities 0 to %d or Clock", d.From, d.To, n-1)
		}
		if d.Lag < -MaxHorizon || d.Lag > MaxHorizon {
			return fmt.Errorf("has a delay with the lag %d, want at most %d either way", d.Lag, MaxHorizon)
		}
		if err := add(d.Weight, 2*MaxHorizon); err != nil {
			return err
		}
	}
	for _, u := range g.Uses {
		if u.Renewable < 0 || int(u.Renewable) >= len(p.Renewable) || u.Calendar < 1 || int(u.Calendar) > len(p.Calendars) {
			return fmt.Errorf("looks at renewable %d under calendar %d, of %d and %d", u.Renewable, u.Calendar, len(p.Renewable), len(p.Calendars))
		}
		if err := add(u.Weight, int64(p.Horizon)*int64(max(1, p.Renewable[u.Renewable].Capacity))); err != nil {
			return err
		}
	}
	for _, m := range g.Machines {
		if m < 0 || int(m) >= len(p.Machines) {
			return fmt.Errorf("looks at machine %d of %d", m, len(p.Machines))
		}
	}
	return nil
}

// Value returns what a plan comes to, one figure for each goal of p, or the makespan if there is
// none. The plan must have passed Check. Of two plans that with the lesser value, compared
// figure by figure (slices.Compare), is better.
func (p *Problem) Value(plan Plan) []int64 {
	if len(p.Goals) == 0 {
		return []int64{int64(plan.Makespan)}
	}
	end := make([]int32, len(plan.Start))
	for i := range end {
		end[i], _ = p.End(int32(i), plan.Mode[i], plan.Start[i])
	}
	value := make([]int64, len(p.Goals))
	for k, g := range p.Goals {
		switch g.Measure {
		case Makespan:
			value[k] = int64(plan.Makespan)
		case Delay:
			for _, d := range g.Delays {
				value[k] += d.cost(plan.Start, end)
			}
		case Outside:
			for _, u := range g.Uses {
				value[k] += int64(u.Weight) * p.outside(plan, end, u)
			}
		case Presence:
			for _, u := range g.Uses {
				value[k] += int64(u.Weight) * p.presence(plan, end, u)
			}
		case SetUps:
			for _, m := range g.Machines {
				value[k] += p.setUps(plan, end, m)
			}
		}
	}
	return value
}

func (d Gap) cost(start, end []int32) int64 {
	at := func(i int32, ends bool) int64 {
		switch {
		case i == Clock:
			return 0
		case ends:
			return int64(end[i])
		}
		return int64(start[i])
	}
	return int64(d.Weight) * max(0, at(d.To, d.ToEnd)-at(d.From, d.FromEnd)-int64(d.Lag))
}

// outside adds up the closed ticks at which the resource is used.
func (p *Problem) outside(plan Plan, end []int32, u Use) int64 {
	sum := int64(0)
	hours := &p.Calendars[u.Calendar-1]
	for i := range plan.Start {
		amount := int64(p.Activities[i].Modes[plan.Mode[i]].Demand[u.Renewable])
		if amount == 0 {
			continue
		}
		for s := range p.runs(plan, end, i, int(u.Renewable)) {
			sum += amount * int64(s.To-s.From-(hours.Work(s.To)-hours.Work(s.From)))
		}
	}
	return sum
}

func (p *Problem) presence(plan Plan, end []int32, u Use) int64 {
	hours := &p.Calendars[u.Calendar-1]
	first, last := make([]int32, len(hours.Open)), make([]int32, len(hours.Open))
	for k, span := range hours.Open {
		first[k], last[k] = span.To, span.From
	}
	for i := range plan.Start {
		if p.Activities[i].Modes[plan.Mode[i]].Demand[u.Renewable] == 0 {
			continue
		}
		for s := range p.runs(plan, end, i, int(u.Renewable)) {
			for k := max(0, hours.before(s.From)-1); k < len(hours.Open) && hours.Open[k].From < s.To; k++ {
				if from, to := max(s.From, hours.Open[k].From), min(s.To, hours.Open[k].To); from < to {
					first[k], last[k] = min(first[k], from), max(last[k], to)
				}
			}
		}
	}
	sum := int64(0)
	for k := range first {
		sum += int64(max(0, last[k]-first[k]))
	}
	return sum
}

func (p *Problem) setUps(plan Plan, end []int32, machine int32) int64 {
	runs := p.standing(plan, end, machine)
	sum := int64(0)
	for k := 1; k < len(runs); k++ {
		a, b := runs[k-1], runs[k]
		if p.Machines[machine].Rule[a.class][b.class]&Apart != 0 {
			sum += int64(p.Machines[machine].Gap[a.class][b.class])
		}
	}
	return sum
}

// standing is one run on a machine.
type standing struct {
	activity, class int32
	from, to        int32
}

// standing returns the runs on a machine in the order of their starts.
func (p *Problem) standing(plan Plan, end []int32, machine int32) []standing {
	var runs []standing
	for i := range plan.Start {
		for _, s := range p.Activities[i].Modes[plan.Mode[i]].Stands {
			if s.Machine == machine && plan.Start[i] < end[i] {
				runs = append(runs, standing{int32(i), s.Class, plan.Start[i], end[i]})
			}
		}
	}
	slices.SortStableFunc(runs, func(a, b standing) int { return cmp.Compare(a.from, b.from) })
	return runs
}

// runs yields the spans in which activity i uses a resource that it demands: all from its start
// to its end, or without its pauses.
func (p *Problem) runs(plan Plan, end []int32, i, resource int) func(yield func(Span) bool) {
	calendar := p.Activities[i].Modes[plan.Mode[i]].Calendar
	from, to := plan.Start[i], end[i]
	return func(yield func(Span) bool) {
		if from >= to {
			return
		}
		if calendar == 0 || p.Renewable[resource].Held {
			yield(Span{from, to})
			return
		}
		c := &p.Calendars[calendar-1]
		for k := max(0, c.before(from)-1); k < len(c.Open) && c.Open[k].From < to; k++ {
			s := Span{max(from, c.Open[k].From), min(to, c.Open[k].To)}
			if s.From < s.To && !yield(s) {
				return
			}
		}
	}
}
