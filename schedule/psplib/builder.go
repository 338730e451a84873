package psplib

import (
	"fmt"
	"slices"

	"chablon/schedule/project"
)

// builder collects the jobs of a file whose first and last are dummies.
type builder struct {
	in   *Instance
	jobs int
	last int64 // sum of all durations and lags, which no plan need exceed
}

func newBuilder(jobs int, capacity []int32) *builder {
	b := &builder{in: &Instance{}, jobs: jobs}
	for _, c := range capacity {
		b.in.Problem.Renewable = append(b.in.Problem.Renewable, project.Renewable{Capacity: c})
	}
	return b
}

// add appends the next job. The first and the last have no activity if they are empty.
func (b *builder) add(modes []project.Mode) {
	j := len(b.in.Job)
	if (j == 0 || j == b.jobs-1) && len(modes) == 1 && empty(modes[0]) {
		b.in.Job = append(b.in.Job, Source)
		if j > 0 {
			b.in.Job[j] = Sink
		}
		return
	}
	b.in.Job = append(b.in.Job, b.activity(modes))
}

func (b *builder) activity(modes []project.Mode) int {
	longest := int32(0)
	for _, m := range modes {
		longest = max(longest, m.Duration)
	}
	b.last += int64(longest)
	b.in.Problem.Activities = append(b.in.Problem.Activities, project.Activity{Modes: modes})
	return len(b.in.Problem.Activities) - 1
}

func empty(m project.Mode) bool {
	isZero := func(n int32) bool { return n == 0 }
	return m.Duration == 0 && !slices.ContainsFunc(m.Demand, func(n int32) bool { return !isZero(n) }) &&
		!slices.ContainsFunc(m.Consume, func(n int32) bool { return !isZero(n) })
}

// follows adds the arc from the end of job i to the start of job j.
func (b *builder) follows(i, j int) {
	from, to := b.in.Job[i], b.in.Job[j]
	if from >= 0 && to >= 0 {
		b.in.Problem.Arcs = append(b.in.Problem.Arcs, project.Arc{From: int32(from), To: int32(to), FromEnd: true})
	}
}

// finish sets the horizon, and with it the latest start of every activity.
func (b *builder) finish() (*Instance, error) {
	if b.last > maxHorizon {
		return nil, fmt.Errorf("line 1: durations and lags add up to %d; at most %d is expected", b.last, maxHorizon)
	}
	p := &b.in.Problem
	p.Horizon = int32(b.last)
	for i := range p.Activities {
		p.Activities[i].Latest = p.Horizon
	}
	return b.in, nil
}
