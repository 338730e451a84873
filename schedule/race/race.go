// Package race runs the engines of package schedule side by side on one problem: heuristics that
// find good plans and an exact engine that proves. They share plans and bounds over a board, and
// the race ends when the best plan meets the best bound, when there is proof that no plan
// exists, or when the caller's context ends.
package race

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"chablon/schedule/project"
)

// Status is how a race ended.
type Status uint8

// Outcomes. Optimal and Infeasible are proofs.
const (
	Unknown Status = iota
	Feasible
	Optimal
	Infeasible
)

// String returns "unknown", "feasible", "optimal" or "infeasible".
func (s Status) String() string {
	return [...]string{"unknown", "feasible", "optimal", "infeasible"}[s]
}

// Options steer Solve.
type Options struct {
	// Workers is how many engines run at once; below 1 means 2.
	Workers int
	// Seed of all random choices. Plans also depend on when engines meet, which is a matter of
	// time, unless the race ends by proof.
	Seed uint64
	// Clock returns the time since some beginning; nil leaves First at 0.
	Clock func() time.Duration
}

// Result is what a race found.
type Result struct {
	Plan   project.Plan // has passed project.Check; no starts if there is none
	Lower  int32        // no plan is shorter
	Status Status
	First  time.Duration // by the clock, when the first plan was there
}

// Solve runs the race until ctx ends or there is a proof. An error says what is wrong with the
// form of p (Problem.Validate), or that an engine returned
// a plan that breaks the problem, or a proof that a plan contradicts: a fault of ours, whose
// plan is never returned.
func Solve(ctx context.Context, p *project.Problem, o Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	if o.Workers < 1 {
		o.Workers = 2
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	b := &board{p: p, cancel: cancel, clock: o.Clock}
	var group sync.WaitGroup
	for k := range o.Workers {
		group.Go(func() { enter(ctx, b, k, o) })
	}
	group.Wait()
	return b.result()
}

// board is what the engines know together.
type board struct {
	p      *project.Problem
	cancel context.CancelFunc
	clock  func() time.Duration

	mu     sync.Mutex
	best   project.Plan
	lower  int32
	none   bool // proof that there is no plan
	proved bool // proof that there is none shorter than best
	first  time.Duration
	fault  error
}

// offer takes a plan that has passed the checker, if it is the shortest yet.
func (b *board) offer(plan project.Plan, from string) {
	b.mu.Lock()
	known := b.best.Start != nil && plan.Makespan >= b.best.Makespan
	b.mu.Unlock()
	if known {
		return
	}
	err := project.Check(b.p, plan)
	b.mu.Lock()
	defer b.mu.Unlock()
	switch {
	case err != nil:
		b.fail(fmt.Errorf("the %s returned a plan that breaks the problem: %w", from, err))
	case b.best.Start != nil && plan.Makespan >= b.best.Makespan:
	case b.none || b.proved || plan.Makespan < b.lower:
		b.fail(fmt.Errorf("the %s returned a plan of %d, but the bound is %d", from, plan.Makespan, b.lower))
	default:
		if b.best.Start == nil && b.clock != nil {
			b.first = b.clock()
		}
		b.best = plan
		b.settle()
	}
}

// raise takes a bound.
func (b *board) raise(lower int32) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if lower > b.lower {
		b.lower = lower
		b.settle()
	}
}

// close takes the proof that no plan is shorter than upper, a makespan, or that there is none.
func (b *board) close(upper int32, from string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch {
	case b.best.Start == nil:
		b.none = true
		b.cancel()
	case b.best.Makespan < upper:
		b.fail(fmt.Errorf("the %s proved that no plan is shorter than %d, but one of %d is there", from, upper, b.best.Makespan))
	default:
		b.lower = max(b.lower, upper)
		b.settle()
	}
}

// settle ends the race if plan and bound meet.
func (b *board) settle() {
	if b.best.Start == nil {
		return
	}
	if b.lower > b.best.Makespan {
		b.fail(fmt.Errorf("a bound of %d contradicts a plan of %d", b.lower, b.best.Makespan))
	}
	if b.lower >= b.best.Makespan {
		b.proved = true
		b.cancel()
	}
}

func (b *board) fail(err error) {
	b.fault = errors.Join(b.fault, err)
	b.cancel()
}

// state returns what is known now.
func (b *board) state() (plan project.Plan, lower int32) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.best, b.lower
}

func (b *board) result() (Result, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.fault != nil {
		return Result{}, fmt.Errorf("race: %w", b.fault)
	}
	r := Result{Plan: b.best, Lower: b.lower, First: b.first}
	switch {
	case b.proved:
		r.Status = Optimal
	case b.best.Start != nil:
		r.Status = Feasible
	case b.none:
		r.Status = Infeasible
	}
	return r, nil
}
