package schedule_test

import (
	"context"
	"fmt"

	"chablon/schedule"
)

// clock writes minutes after eight.
func clock(tick int) string { return fmt.Sprintf("%02d:%02d", 8+tick/60, tick%60) }

// morning is five steps, to be served at noon, with one cook and one oven.
func morning() *schedule.Model {
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
	m.Minimise(m.AsLate("fresh", mix, bake, whip, fold, assemble))
	return m
}

// Five steps of a morning, each as late as noon allows, with the proof that none can be later
// in all.
func ExampleSolve() {
	m := morning()
	res, err := schedule.Solve(context.Background(), m, schedule.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for a, start := range res.Starts {
		fmt.Println(clock(start), m.Name(schedule.ActivityID(a)))
	}
	fmt.Println(res.Status, res.Goals[0].Name, res.Goals[0].Value, "min")
	fmt.Println(len(schedule.Check(m, res.Starts, res.Modes)), "broken rules")
	// Output:
	// 10:48 mix batter
	// 10:58 bake sponge
	// 11:27 whip cream
	// 11:35 fold mousse
	// 11:40 assemble
	// optimal fresh 157 min
	// 0 broken rules
}

// What the order of the morning leaves: how much earlier each step could be, and why it could be
// no later.
func ExampleOrder_Slack() {
	m := morning()
	res, err := schedule.Solve(context.Background(), m, schedule.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	order, err := schedule.NewOrder(m, res.Plan)
	if err != nil {
		fmt.Println(err)
		return
	}
	for a, s := range order.Slack() {
		fmt.Printf("%s: %d min earlier, %d later: %s\n", m.Name(schedule.ActivityID(a)), s.Earlier, s.Later, s.NotLater)
	}
	// Output:
	// mix batter: 168 min earlier, 0 later: "bake what is mixed": at least 0 min from the end of "mix batter" to the start of "bake sponge"
	// bake sponge: 168 min earlier, 0 later: "cool before cutting": at least 30 min from the end of "bake sponge" to the start of "assemble"
	// whip cream: 197 min earlier, 0 later: "fold what is whipped": at least 0 min from the end of "whip cream" to the start of "fold mousse"
	// fold mousse: 197 min earlier, 0 later: "assemble what is folded": at least 0 min from the end of "fold mousse" to the start of "assemble"
	// assemble: 168 min earlier, 0 later: "assemble" must end by 12:00
}

// The smallest of the classic job shops (Fisher and Thompson, "Probabilistic learning combinations
// of local job-shop scheduling rules", 1963): six jobs on six machines, of which the least
// makespan is known to be 55.
func ExampleSolve_jobShop() {
	jobs := [6][6][2]int{ // machine, duration
		{{2, 1}, {0, 3}, {1, 6}, {3, 7}, {5, 3}, {4, 6}},
		{{1, 8}, {2, 5}, {4, 10}, {5, 10}, {0, 10}, {3, 4}},
		{{2, 5}, {3, 4}, {5, 8}, {0, 9}, {1, 1}, {4, 7}},
		{{1, 5}, {0, 5}, {2, 5}, {3, 3}, {4, 8}, {5, 9}},
		{{2, 9}, {1, 3}, {4, 5}, {5, 4}, {0, 3}, {3, 1}},
		{{1, 3}, {3, 3}, {5, 9}, {0, 10}, {4, 4}, {2, 1}},
	}
	m := schedule.NewModel(200)
	var machines [6]schedule.ResourceID
	for k := range machines {
		machines[k] = m.Resource(fmt.Sprintf("machine %d", k), 1)
	}
	for j, job := range jobs {
		var last schedule.ActivityID
		for k, step := range job {
			next := m.Activity(fmt.Sprintf("job %d, step %d", j, k), schedule.Mode{
				Duration: step[1], Demands: []schedule.Demand{{Resource: machines[step[0]], Amount: 1}},
			})
			if k > 0 {
				m.AtLeast(schedule.End(last), schedule.Start(next), 0, "in turn")
			}
			last = next
		}
	}
	res, err := schedule.Solve(context.Background(), m, schedule.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(res.Status, res.Makespan)
	// Output: optimal 55
}

// A day on which three trays do not fit into the oven before service, although any two would.
func ExampleSolve_infeasible() {
	m := schedule.NewModel(4 * 60)
	m.Clock, m.Tick = clock, "min"
	oven := m.Resource("deck oven", 1)
	for _, name := range []string{"choux", "sponge", "shells"} {
		bake := m.Activity("bake "+name, schedule.Mode{Duration: 40, Demands: []schedule.Demand{{Resource: oven, Amount: 1}}})
		m.Release(bake, 60)
		m.Due(bake, 3*60-5)
	}
	m.Activity("count spoons", schedule.Mode{Duration: 10})

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
	// - "deck oven" has 1
	// - "bake choux" may not start before 09:00
	// - "bake sponge" may not start before 09:00
	// - "bake shells" may not start before 09:00
	// - "bake choux" must end by 10:55
	// - "bake sponge" must end by 10:55
	// - "bake shells" must end by 10:55
}
