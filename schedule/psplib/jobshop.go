package psplib

import (
	"io"
	"strings"

	"chablon/schedule/project"
)

// ReadJobShop reads a .jss file: after comments that begin with #, the number of jobs and of
// machines, then a line for each job with pairs of machine, counted from 0, and duration. A
// machine becomes a resource of capacity one. The file has no dummies: its jobs are the
// operations, one line after another.
func ReadJobShop(r io.Reader) (*Instance, error) {
	src, err := readLines(r)
	if err != nil {
		return nil, err
	}
	kept := &source{}
	for i, line := range src.lines {
		if !strings.HasPrefix(line, "#") {
			kept.lines, kept.number = append(kept.lines, line), append(kept.number, src.number[i])
		}
	}
	if len(kept.lines) == 0 {
		kept.lines, kept.number = []string{""}, src.number[len(src.number)-1:]
	}
	t := &tokens{src: kept}
	jobs, err := t.next("the number of jobs", 1, maxJobs)
	if err != nil {
		return nil, err
	}
	machines, err := t.next("the number of machines", 1, maxResources)
	if err != nil {
		return nil, err
	}
	one := make([]int32, machines)
	for m := range one {
		one[m] = 1
	}
	b := newBuilder(0, one)
	rows := make([][]int32, machines) // demands, shared by the operations of a machine
	for range jobs {
		if len(t.rest) > 0 {
			return nil, t.errorf("%q stands where the end of the line is expected", t.rest[0])
		}
		for k := 0; k == 0 || len(t.rest) > 0; k++ {
			machine, err := t.next("a machine", 0, int(machines)-1)
			if err != nil {
				return nil, err
			}
			if len(t.rest) == 0 {
				return nil, t.errorf("machine %d is without a duration", machine)
			}
			duration, err := t.next("a duration", 0, maxValue)
			if err != nil {
				return nil, err
			}
			if rows[machine] == nil {
				rows[machine] = make([]int32, machines)
				rows[machine][machine] = 1
			}
			b.in.Job = append(b.in.Job, b.activity([]project.Mode{{Duration: duration, Demand: rows[machine]}}))
			if k > 0 {
				b.follows(len(b.in.Job)-2, len(b.in.Job)-1)
			}
			if len(b.in.Job) > maxJobs {
				return nil, t.errorf("more than %d operations", maxJobs)
			}
		}
	}
	if err := t.done(); err != nil {
		return nil, err
	}
	return b.finish()
}
