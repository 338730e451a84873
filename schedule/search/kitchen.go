package search

import (
	"fmt"

	"chablon/schedule/project"
)

// kitchenMaker holds what Kitchen builds up.
type kitchenMaker struct {
	p             *project.Problem
	rng           *random
	people, ovens int
	hours         int32 // the calendar of the kitchen's open hours, plus one
	breaks        int32 // the calendar by which desk work pauses, plus one
	due, fresh    []project.Gap
}

// Classes of Kitchen's ovens: three temperatures, and one of them with a door that stays shut.
const (
	cool = iota
	warm
	hot
	shut
	ovenClasses
)

const (
	hour       = 60
	kitchenEnd = 2 * 24 * hour
)

// Kitchen makes a pastry kitchen's day of about n activities and the evening before, in minutes:
// desserts for services from noon to night, each weighed, mixed, rested, baked, cooled, filled
// and glazed soon after, by people in shifts who know some of the work, in ovens whose
// temperatures do not go together and take time to change. Half of the desserts must be there
// for their service, the others may be late at a cost. Goals, in order of rank: what is late,
// work outside of the kitchen's hours, minutes between glaze and service over two hours, how
// long people are there, and changes of the ovens. Crew and ovens grow with n. The same seed
// gives the same day. It is our own making and stands for no real house.
func Kitchen(n int, seed uint64) (*project.Problem, error) {
	if n < 20 || n > 5000 {
		return nil, fmt.Errorf("a kitchen's day of %d activities; from 20 to 5000 are expected", n)
	}
	k := &kitchenMaker{p: &project.Problem{Horizon: kitchenEnd}, rng: newRandom(seed), people: max(3, n/40), ovens: max(1, n/110)}
	k.house()
	for len(k.p.Activities) < n {
		k.dessert()
	}
	k.goals()
	return k.p, nil
}

func (k *kitchenMaker) span(low, high int) int32 { return int32(low + k.rng.below(high-low+1)) }

// house makes people (early, late or in the middle), ovens of four trays, a mixer for three
// people, and hours.
func (k *kitchenMaker) house() {
	p := k.p
	p.Calendars = []project.Calendar{
		project.NewCalendar(project.Span{From: 7 * hour, To: 19 * hour}, project.Span{From: 31 * hour, To: 43 * hour}),
		project.NewCalendar(project.Span{From: 0, To: 12 * hour}, project.Span{From: 12*hour + 30, To: 36 * hour}, project.Span{From: 36*hour + 30, To: kitchenEnd}),
	}
	k.hours, k.breaks = 1, 2
	for i := range k.people {
		begin := int32([]int{5, 7, 12}[i%3] * hour)
		p.Renewable = append(p.Renewable, project.Renewable{Capacity: 1, Steps: []project.Step{
			{From: 0}, {From: begin, Capacity: 1}, {From: begin + 10*hour}, {From: begin + 24*hour, Capacity: 1}, {From: begin + 34*hour},
		}})
	}
	for range k.ovens {
		p.Renewable = append(p.Renewable, project.Renewable{Capacity: 4, Held: true})
		m := project.Machine{Rule: make([][]project.Rule, ovenClasses), Gap: make([][]int32, ovenClasses)}
		degrees := [ovenClasses]int32{120, 160, 210, 160}
		for a := range ovenClasses {
			m.Rule[a], m.Gap[a] = make([]project.Rule, ovenClasses), make([]int32, ovenClasses)
			for b := range ovenClasses {
				up := degrees[b] - degrees[a]
				switch {
				case up > 0: // heats by 8 degrees a minute, cools by 4
					m.Rule[a][b], m.Gap[a][b] = project.Apart, up/8
				case up < 0:
					m.Rule[a][b], m.Gap[a][b] = project.Apart, -up/4
				case a == shut:
					m.Rule[a][b] = project.NoStart | project.NoEnd
				}
			}
		}
		p.Machines = append(p.Machines, m)
	}
	p.Renewable = append(p.Renewable, project.Renewable{Capacity: int32(1 + k.people/3)})
}

func (k *kitchenMaker) mixer() int { return k.people + k.ovens }

// add appends an activity after others.
func (k *kitchenMaker) add(modes []project.Mode, after ...int32) int32 {
	i := int32(len(k.p.Activities))
	k.p.Activities = append(k.p.Activities, project.Activity{Modes: modes, Latest: kitchenEnd})
	for _, b := range after {
		k.p.Arcs = append(k.p.Arcs, project.Arc{From: b, To: i, FromEnd: true})
	}
	return i
}

func (k *kitchenMaker) mode(duration int32) project.Mode {
	return project.Mode{Duration: duration, Demand: make([]int32, len(k.p.Renewable))}
}

// hands returns a mode for each of two to four people, who take more or less time.
func (k *kitchenMaker) hands(duration int32, mixing, pausing bool) []project.Mode {
	var modes []project.Mode
	from := k.rng.below(k.people)
	for j := range min(k.people, 2+k.rng.below(3)) {
		m := k.mode(duration + duration*k.span(-2, 3)/10)
		m.Demand[(from+j)%k.people] = 1
		if mixing {
			m.Demand[k.mixer()] = 1
		}
		if pausing {
			m.Calendar = k.breaks
		}
		modes = append(modes, m)
	}
	return modes
}

func (k *kitchenMaker) dessert() {
	p := k.p
	service := []int32{36 * hour, 39 * hour, 42 * hour, 43 * hour}[k.rng.below(4)]
	class := int32(k.rng.below(ovenClasses))
	trays := k.span(1, 2)
	weighed := k.add(k.hands(k.span(5, 15), false, true))
	mixed := k.add(k.hands(k.span(8, 20), true, false), weighed)
	rested := k.add([]project.Mode{k.mode(k.span(20, 60))}, mixed)
	var ovens []project.Mode
	bake := k.span(12, 45)
	for o := range k.ovens {
		m := k.mode(bake)
		m.Demand[k.people+o] = trays
		m.Stands = []project.Stand{{Machine: int32(o), Class: class}}
		ovens = append(ovens, m)
	}
	baked := k.add(ovens, rested)
	p.Arcs = append(p.Arcs, project.Arc{From: baked, To: rested, Lag: -90, ToEnd: true}) // batter waits 90 minutes at the most
	cooled := k.add([]project.Mode{k.mode(k.span(20, 50))}, baked)
	parts := []int32{cooled}
	if k.rng.below(2) == 0 {
		cream := k.add(k.hands(k.span(10, 25), true, false))
		parts = append(parts, cream)
		defer func() { // cream is used within three hours
			p.Arcs = append(p.Arcs, project.Arc{From: cream + 1, To: cream, Lag: -180, ToEnd: true})
		}()
	}
	filled := k.add(k.hands(k.span(10, 30), false, false), parts...)
	glazed := k.add(k.hands(k.span(6, 15), false, false), filled)
	p.Arcs = append(p.Arcs, project.Arc{From: glazed, To: filled, Lag: -20, ToEnd: true}) // glaze within 20 minutes
	if k.rng.below(3) == 0 {
		// Signed off after ten minutes or more of the kitchen's hours.
		checked := k.add(k.hands(5, false, false))
		p.Arcs = append(p.Arcs, project.Arc{From: glazed, To: checked, FromEnd: true, Lag: 10, Calendar: k.hours})
		glazed = checked
	}
	served := k.add([]project.Mode{k.mode(0)})
	p.Activities[served].Earliest, p.Activities[served].Latest = service, service
	k.fresh = append(k.fresh, project.Gap{From: glazed, FromEnd: true, To: served, Lag: 2 * hour, Weight: trays})
	if k.rng.below(2) == 0 {
		p.Arcs = append(p.Arcs, project.Arc{From: glazed, To: served, FromEnd: true})
		return
	}
	k.due = append(k.due, project.Gap{From: served, To: glazed, ToEnd: true, Weight: trays})
}

func (k *kitchenMaker) goals() {
	var outside, presence []project.Use
	for i := range k.people {
		outside = append(outside, project.Use{Renewable: int32(i), Calendar: k.hours, Weight: 1})
		presence = append(presence, project.Use{Renewable: int32(i), Calendar: k.hours, Weight: 1})
	}
	ovens := make([]int32, k.ovens)
	for o := range ovens {
		ovens[o] = int32(o)
	}
	k.p.Goals = []project.Goal{
		{Measure: project.Delay, Delays: k.due},
		{Measure: project.Outside, Uses: outside},
		{Measure: project.Delay, Delays: k.fresh},
		{Measure: project.Presence, Uses: presence},
		{Measure: project.SetUps, Machines: ovens},
	}
}
