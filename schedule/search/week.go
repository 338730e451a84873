package search

import (
	"fmt"

	"chablon/schedule/project"
)

// What a production week is made of: resources of Week, in its order.
const (
	people = iota
	mixers
	ovens
	racks
	freezers
	weekResources
)

// Week makes a production week of about n activities in minutes: batches of a dozen products,
// each weighed, mixed, baked, cooled, assembled, frozen and glazed, some from two components,
// by people in shifts round the clock, with ovens that rest at night. Crew and equipment grow
// with n, so that the work takes about a week. The same seed gives the same week. It is our
// own making and stands for no real house.
func Week(n int, seed uint64) (*project.Problem, error) {
	if n < 20 || n > 1_000_000 {
		return nil, fmt.Errorf("a week of %d activities; from 20 to 1000000 are expected", n)
	}
	rng := newRandom(seed)
	span := func(low, high int) int32 { return int32(low + rng.below(high-low+1)) }
	p := &project.Problem{}
	add := func(duration int32, after []int32, use ...int32) int32 {
		demand := make([]int32, weekResources)
		for k := 0; k < len(use); k += 2 {
			demand[use[k]] = use[k+1]
		}
		i := int32(len(p.Activities))
		p.Activities = append(p.Activities, project.Activity{Modes: []project.Mode{{Duration: duration, Demand: demand}}})
		for _, before := range after {
			p.Arcs = append(p.Arcs, project.Arc{From: before, To: i, FromEnd: true})
		}
		return i
	}
	type product struct {
		weigh, mix, bake, cool, assemble, freeze, glaze, second int32
		trays, shelves, hands                                   int32
	}
	var list []product
	for range 12 {
		list = append(list, product{
			weigh: span(5, 12), mix: span(8, 20), bake: span(12, 50), cool: span(20, 60), assemble: span(10, 30),
			freeze: span(90, 300), glaze: span(6, 15), second: span(0, 1) * span(10, 25),
			trays: span(1, 3), shelves: span(1, 4), hands: span(1, 2),
		})
	}
	for len(p.Activities) < n {
		k := list[rng.below(len(list))]
		for batch := 1 + rng.below(6); batch > 0 && len(p.Activities) < n; batch-- {
			weighed := add(k.weigh, nil, people, 1)
			mixed := add(k.mix, []int32{weighed}, people, 1, mixers, 1)
			baked := add(k.bake, []int32{mixed}, ovens, k.trays)
			cooled := add(k.cool, []int32{baked}, racks, k.trays)
			parts := []int32{cooled}
			if k.second > 0 {
				other := add(k.weigh, nil, people, 1)
				parts = append(parts, add(k.second, []int32{other}, people, 1, mixers, 1))
			}
			assembled := add(k.assemble, parts, people, k.hands)
			frozen := add(k.freeze, []int32{assembled}, freezers, k.shelves)
			add(k.glaze, []int32{frozen}, people, 1)
		}
	}
	var work [weekResources]int64
	total := int64(0)
	for _, a := range p.Activities {
		m := a.Modes[0]
		total += int64(m.Duration)
		for r, d := range m.Demand {
			work[r] += int64(d) * int64(m.Duration)
		}
	}
	const day, week = 24 * 60, 7 * 24 * 60
	p.Horizon = int32(min(total+8*week, 1<<30))
	enough := func(r int, share float64) int32 { return max(4, int32(float64(work[r])/(share*week))) }
	// Shares of the week that each resource is busy when the work takes a week.
	crew, oven := enough(people, 0.62), enough(ovens, 0.55)
	p.Renewable = []project.Renewable{
		{Capacity: crew},
		{Capacity: enough(mixers, 0.6)},
		{Capacity: oven},
		{Capacity: enough(racks, 0.7)},
		{Capacity: enough(freezers, 0.85)},
	}
	// Shifts are written for as many days as the work may take, and then stay.
	for t := int32(0); t < min(p.Horizon, 6*week); t += day {
		p.Renewable[people].Steps = append(p.Renewable[people].Steps, project.Step{From: t, Capacity: max(2, crew/4)},
			project.Step{From: t + 5*60, Capacity: crew}, project.Step{From: t + 13*60, Capacity: max(2, 3*crew/4)},
			project.Step{From: t + 21*60, Capacity: max(2, crew/4)})
		p.Renewable[ovens].Steps = append(p.Renewable[ovens].Steps, project.Step{From: t, Capacity: max(3, oven/2)},
			project.Step{From: t + 4*60, Capacity: oven}, project.Step{From: t + 22*60, Capacity: max(3, oven/2)})
	}
	for i := range p.Activities {
		p.Activities[i].Latest = p.Horizon
	}
	return p, nil
}
