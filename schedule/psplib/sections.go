package psplib

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"chablon/schedule/project"
)

// ReadPSPLIB reads a .sm or .mm file. Sections are found by their headings. An arc runs from
// the end of a job to the start of its successor.
func ReadPSPLIB(r io.Reader) (*Instance, error) {
	src, err := readLines(r)
	if err != nil {
		return nil, err
	}
	p := sections{src: src}
	for _, read := range []func() error{p.header, p.precedence, p.requests, p.capacities} {
		if err := read(); err != nil {
			return nil, err
		}
	}
	return p.instance()
}

// sections is a PSPLIB file while it is read.
type sections struct {
	src                     *source
	line                    int
	jobs, renewable, budget int
	modes                   [][]project.Mode // by job
	modeCount               []int32
	successors              [][]int32
	capacity                []int32
}

func (p *sections) errorf(format string, args ...any) error {
	at := min(p.line, len(p.src.number)-1)
	return fmt.Errorf("line %d: %s", p.src.number[at], fmt.Sprintf(format, args...))
}

// find moves to the line after the next heading, which is compared without blanks.
func (p *sections) find(heading string) error {
	for i := p.line; i < len(p.src.lines); i++ {
		if strings.HasPrefix(strings.ReplaceAll(p.src.lines[i], " ", ""), heading) {
			p.line = i + 1
			return nil
		}
	}
	return p.errorf("the heading %q is expected below", heading)
}

// header takes the count of jobs and of resources.
func (p *sections) header() error {
	double := 0
	for _, h := range []struct {
		heading string
		into    *int
		limit   int
	}{
		{"jobs(incl", &p.jobs, maxJobs},
		{"-renewable", &p.renewable, maxResources},
		{"-nonrenewable", &p.budget, maxResources},
		{"-doublyconstrained", &double, 0},
	} {
		if err := p.find(h.heading); err != nil {
			return err
		}
		p.line--
		_, after, _ := strings.Cut(p.src.lines[p.line], ":")
		words := strings.Fields(after)
		n := -1
		if len(words) > 0 {
			if v, err := strconv.Atoi(words[0]); err == nil {
				n = v
			}
		}
		if n < 0 || n > h.limit {
			return p.errorf("after %q and a colon a whole number from 0 to %d is expected", h.heading, h.limit)
		}
		*h.into = n
		p.line++
	}
	if p.jobs < 2 {
		return p.errorf("%d jobs; the two dummies at least are expected", p.jobs)
	}
	return nil
}

// numbers returns the numbers of the next line that is not a rule of dashes or stars.
func (p *sections) numbers(what string) ([]int32, error) {
	for p.line < len(p.src.lines) && strings.Trim(p.src.lines[p.line], "-*") == "" {
		p.line++
	}
	if p.line >= len(p.src.lines) {
		return nil, p.errorf("the file ends where %s is expected", what)
	}
	words := strings.Fields(p.src.lines[p.line])
	out := make([]int32, len(words))
	for i, word := range words {
		n, err := strconv.Atoi(word)
		if err != nil || n < 0 || n > maxValue {
			return nil, p.errorf("%q stands where %s is expected, in whole numbers up to %d", word, what, maxValue)
		}
		out[i] = int32(n)
	}
	p.line++
	return out, nil
}

func (p *sections) precedence() error {
	if err := p.find("PRECEDENCERELATIONS"); err != nil {
		return err
	}
	p.line++ // names of the columns
	p.successors, p.modeCount = make([][]int32, p.jobs), make([]int32, p.jobs)
	for j := range p.jobs {
		n, err := p.numbers("a job with its modes and successors")
		if err != nil {
			return err
		}
		p.line--
		if len(n) < 3 || int(n[0]) != j+1 || n[1] < 1 || int(n[2]) != len(n)-3 {
			return p.errorf("job %d, its number of modes, of successors, and so many successors are expected", j+1)
		}
		for _, to := range n[3:] {
			if to < 1 || int(to) > p.jobs {
				return p.errorf("successor %d; a job from 1 to %d is expected", to, p.jobs)
			}
		}
		p.modeCount[j], p.successors[j] = n[1], n[3:]
		p.line++
	}
	return nil
}

func (p *sections) requests() error {
	if err := p.find("REQUESTS/DURATIONS"); err != nil {
		return err
	}
	p.line++ // names of the columns
	p.modes = make([][]project.Mode, p.jobs)
	width := 2 + p.renewable + p.budget // mode, duration, demands
	for j := range p.jobs {
		for m := range p.modeCount[j] {
			n, err := p.numbers("a mode with its duration and demands")
			if err != nil {
				return err
			}
			p.line--
			if m == 0 && len(n) == width+1 && int(n[0]) == j+1 {
				n = n[1:]
			}
			if len(n) != width || n[0] != m+1 {
				return p.errorf("mode %d of job %d with a duration and %d demands is expected", m+1, j+1, p.renewable+p.budget)
			}
			mode := project.Mode{Duration: n[1], Demand: n[2 : 2+p.renewable : 2+p.renewable]}
			if p.budget > 0 {
				mode.Consume = n[2+p.renewable:]
			}
			p.modes[j] = append(p.modes[j], mode)
			p.line++
		}
	}
	return nil
}

func (p *sections) capacities() error {
	if err := p.find("RESOURCEAVAILABILITIES"); err != nil {
		return err
	}
	p.line++ // names of the resources
	n, err := p.numbers("the capacities")
	if err != nil {
		return err
	}
	if len(n) != p.renewable+p.budget {
		p.line--
		return p.errorf("%d capacities; %d are expected", len(n), p.renewable+p.budget)
	}
	p.capacity = n
	return nil
}

func (p *sections) instance() (*Instance, error) {
	b := newBuilder(p.jobs, p.capacity[:p.renewable])
	if p.budget > 0 {
		b.in.Problem.Budget = p.capacity[p.renewable:]
	}
	for _, modes := range p.modes {
		b.add(modes)
	}
	for i, list := range p.successors {
		for _, j := range list {
			b.follows(i, int(j)-1)
		}
	}
	return b.finish()
}
