package psplib

import (
	"io"

	"chablon/schedule/project"
)

// ReadPatterson reads a .rcp file: counts, capacities, then each job with its duration, demands
// and successors. Line breaks mean nothing.
func ReadPatterson(r io.Reader) (*Instance, error) {
	src, err := readLines(r)
	if err != nil {
		return nil, err
	}
	t := &tokens{src: src}
	jobs, err := t.next("the number of jobs", 2, maxJobs)
	if err != nil {
		return nil, err
	}
	resources, err := t.next("the number of resources", 0, maxResources)
	if err != nil {
		return nil, err
	}
	capacity, err := t.list(int(resources), "a capacity", 0, maxValue)
	if err != nil {
		return nil, err
	}
	b := newBuilder(int(jobs), capacity)
	successors := make([][]int32, jobs)
	for j := range successors {
		duration, err := t.next("a duration", 0, maxValue)
		if err != nil {
			return nil, err
		}
		demand, err := t.list(int(resources), "a demand", 0, maxValue)
		if err != nil {
			return nil, err
		}
		count, err := t.next("a number of successors", 0, int(jobs))
		if err != nil {
			return nil, err
		}
		if successors[j], err = t.list(int(count), "a successor", 1, int(jobs)); err != nil {
			return nil, err
		}
		b.add([]project.Mode{{Duration: duration, Demand: demand}})
	}
	if err := t.done(); err != nil {
		return nil, err
	}
	for i, list := range successors {
		for _, j := range list {
			b.follows(i, int(j)-1)
		}
	}
	return b.finish()
}

// list reads n numbers.
func (t *tokens) list(n int, what string, low, high int) ([]int32, error) {
	var out []int32
	for range n {
		v, err := t.next(what, low, high)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}
