package psplib

import (
	"io"
	"strings"

	"chablon/schedule/project"
)

// ReadProGenMax reads a .sch file. An arc i to j with the weight w in brackets says that j
// starts at w after the start of i or later; negative weights make maximum lags.
func ReadProGenMax(r io.Reader) (*Instance, error) {
	src, err := readLines(r)
	if err != nil {
		return nil, err
	}
	t := &tokens{src: src}
	n, err := t.next("the number of activities", 1, maxJobs-2)
	if err != nil {
		return nil, err
	}
	resources, err := t.next("the number of resources", 0, maxResources)
	if err != nil {
		return nil, err
	}
	for _, what := range []string{"the number of non-renewable resources", "the number of doubly constrained resources"} {
		if _, err := t.next(what, 0, 0); err != nil {
			return nil, err
		}
	}
	jobs := int(n) + 2
	arcs, err := t.arcs(jobs)
	if err != nil {
		return nil, err
	}
	modes := make([]project.Mode, jobs)
	for j := range modes {
		if err := t.head(j); err != nil {
			return nil, err
		}
		if modes[j].Duration, err = t.next("a duration", 0, maxValue); err != nil {
			return nil, err
		}
		if modes[j].Demand, err = t.list(int(resources), "a demand", 0, maxValue); err != nil {
			return nil, err
		}
		if (j == 0 || j == jobs-1) && !empty(modes[j]) {
			return nil, t.errorf("dummy %d has a duration or a demand; zeros are expected", j)
		}
	}
	capacity, err := t.list(int(resources), "a capacity", 0, maxValue)
	if err != nil {
		return nil, err
	}
	if err := t.done(); err != nil {
		return nil, err
	}
	b := newBuilder(jobs, capacity)
	for _, m := range modes[:jobs-1] {
		b.add([]project.Mode{m})
	}
	return b.lags(modes, arcs)
}

// weighted is an arc between starts.
type weighted struct {
	from, to int
	weight   int32
}

// head reads the number of job j and its one mode.
func (t *tokens) head(j int) error {
	if _, err := t.next("the number of the activity", j, j); err != nil {
		return err
	}
	_, err := t.next("the number of modes", 1, 1)
	return err
}

func (t *tokens) arcs(jobs int) ([]weighted, error) {
	var arcs []weighted
	for j := range jobs {
		if err := t.head(j); err != nil {
			return nil, err
		}
		count, err := t.next("the number of arcs", 0, jobs)
		if err != nil {
			return nil, err
		}
		heads, err := t.list(int(count), "the head of an arc", 0, jobs-1)
		if err != nil {
			return nil, err
		}
		for _, to := range heads {
			word, err := t.word("a weight in brackets")
			if err != nil {
				return nil, err
			}
			inner, open := strings.CutPrefix(word, "[")
			inner, closed := strings.CutSuffix(inner, "]")
			if !open || !closed {
				return nil, t.errorf("%q stands where a weight in brackets is expected", word)
			}
			w, err := t.number(inner, "a weight", -maxValue, maxValue)
			if err != nil {
				return nil, err
			}
			arcs = append(arcs, weighted{j, int(to), w})
		}
	}
	return arcs, nil
}

// lags adds the arcs. Those at the first dummy become bounds on the start; those at the last
// are left out if its place at the latest end keeps them, and otherwise it is kept.
func (b *builder) lags(modes []project.Mode, arcs []weighted) (*Instance, error) {
	sink := len(modes) - 1
	keep := false
	furthest := make([]int64, len(modes))
	for j, m := range modes {
		furthest[j] = int64(m.Duration)
	}
	for _, a := range arcs {
		furthest[a.from] = max(furthest[a.from], int64(a.weight))
		keep = keep || a.from == sink || (a.to == sink && a.weight > modes[a.from].Duration)
	}
	b.last = 0
	for _, far := range furthest {
		b.last += far
	}
	if keep {
		b.in.Job = append(b.in.Job, b.activity([]project.Mode{modes[sink]}))
		for j := 1; j < sink; j++ {
			b.follows(j, sink)
		}
	} else {
		b.in.Job = append(b.in.Job, Sink)
	}
	if _, err := b.finish(); err != nil {
		return nil, err
	}
	p := &b.in.Problem
	for _, a := range arcs {
		from, to := b.in.Job[a.from], b.in.Job[a.to]
		switch {
		case from >= 0 && to >= 0:
			p.Arcs = append(p.Arcs, project.Arc{From: int32(from), To: int32(to), Lag: a.weight})
		case from == Source && to >= 0:
			p.Activities[to].Earliest = max(p.Activities[to].Earliest, a.weight)
		case to == Source && from >= 0:
			p.Activities[from].Latest = min(p.Activities[from].Latest, -a.weight)
		}
	}
	for i := range p.Activities {
		if a := &p.Activities[i]; a.Latest < a.Earliest {
			// Bounds must not cross: a cycle of positive length says that there is no plan.
			a.Latest = a.Earliest
			p.Arcs = append(p.Arcs, project.Arc{From: int32(i), To: int32(i), Lag: 1})
		}
	}
	return b.in, nil
}
