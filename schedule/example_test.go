package schedule_test

import (
	"context"
	"fmt"

	"chablon/schedule"
)

// clock writes minutes after eight.
func clock(tick int) string { return fmt.Sprintf("%02d:%02d", 8+tick/60, tick%60) }

// Five steps of a morning, served at noon, with one cook and one oven.
func ExampleSolve() {
	m := schedule.NewModel(4 * 60)
	m.Clock, m.Tick = clock, "min"
	cook, oven := m.Resource("cook", 1), m.Resource("deck oven", 1)
	by := func(r schedule.ResourceID, minutes int) schedule.Mode {
		return schedule.Mode{Duration: minutes, Demands: []schedule.Demand{{Resource: r, Amount: 1}}}
	}
	mix := m.Activity("mix batter", by(cook, 10))
	bake := m.Activity("bake sponge", by(oven, 12))
	whip := m.Activity("whip cream", by(cook, 8))
	fold := m.Activity("fold mousse", by(cook, 5))
	assemble := m.Activity("assemble", by(cook, 20))
	m.AtLeast(schedule.End(mix), schedule.Start(bake), 0, "bake what is mixed")
	m.AtMost(schedule.End(mix), schedule.Start(bake), 5, "batter falls")
	m.AtLeast(schedule.End(bake), schedule.Start(assemble), 30, "cool before cutting")
	m.AtLeast(schedule.End(whip), schedule.Start(fold), 0, "fold what is whipped")
	m.AtMost(schedule.End(whip), schedule.Start(fold), 4, "foam falls")
	m.AtLeast(schedule.End(fold), schedule.Start(assemble), 0, "assemble what is folded")
	m.Due(assemble, 4*60)

	res, err := schedule.Solve(context.Background(), m, schedule.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(res.Status)
	for a, start := range res.Starts {
		fmt.Println(clock(start), m.Name(schedule.ActivityID(a)))
	}
	fmt.Println(len(schedule.Check(m, res.Starts, res.Modes)), "broken rules")
	// Output:
	// feasible
	// 10:48 mix batter
	// 10:58 bake sponge
	// 11:27 whip cream
	// 11:35 fold mousse
	// 11:40 assemble
	// 0 broken rules
}

// A day on which the freezing time does not fit between opening and service.
func ExampleSolve_infeasible() {
	m := schedule.NewModel(4 * 60)
	m.Clock, m.Tick = clock, "min"
	pour := m.Activity("pour insert", schedule.Mode{Duration: 15})
	glaze := m.Activity("glaze", schedule.Mode{Duration: 10})
	m.AtLeast(schedule.End(pour), schedule.Start(glaze), 180, "freeze to the core")
	m.Release(pour, 60)
	m.Due(glaze, 4*60)

	res, err := schedule.Solve(context.Background(), m, schedule.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(res.Status)
	for _, text := range res.Conflict {
		fmt.Println("-", text)
	}
	// Output:
	// infeasible
	// - "pour insert" may not start before 09:00
	// - "pour insert" takes 15 min
	// - "freeze to the core": at least 180 min from the end of "pour insert" to the start of "glaze"
	// - "glaze" takes 10 min
	// - "glaze" must end by 12:00
}
