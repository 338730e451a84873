// Package race runs the engines of package schedule side by side on one problem: heuristics that
// find good plans and an exact engine that proves. They share plans and bounds over a board, and
// the race ends when the best plan meets the best bounds, when there is proof that no plan
// exists, or when the caller's context or budget of work ends.
//
// Goals are proved in stages: the first, then the second among the plans that are best by the
// first, and so on, as far as the exact engine has a proof for their measures.
package race

import (
	"context"
	"errors"
	"fmt"
	"slices"
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
	// Seed of all random choices. Without Work, plans also depend on when engines meet, which is a
	// matter of time, unless the race ends by proof.
	Seed uint64
	// Work, if not zero, bounds the effort in passes that place every activity once. The engines
	// then take turns, and the result does not depend on time unless the context ends.
	Work int
	// Clock returns the time since some beginning; nil leaves First at 0.
	Clock func() time.Duration
	// Report gets every plan that is better than all before. Calls do not overlap, and the engines
	// wait for them.
	Report func(project.Plan)
}

// Result is what a race found.
type Result struct {
	Plan  project.Plan // has passed project.Check; no starts if there is none
	Value []int64      // of the plan, by goal
	// Lower holds a bound for each goal: no plan is under it that is as good by the goals before.
	// Those of goals behind one that is not proved are 0.
	Lower  []int64
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
	b := newBoard(p, cancel)
	b.clock, b.report = o.Clock, o.Report
	if o.Work > 0 {
		turns(ctx, b, o)
		return b.result()
	}
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
	report func(project.Plan)

	mu    sync.Mutex
	best  project.Plan
	value []int64 // of best
	lower []int64 // by goal; see Result.Lower
	stage int     // goals proved
	none  bool    // proof that there is no plan
	first time.Duration
	fault error
}

func newBoard(p *project.Problem, cancel context.CancelFunc) *board {
	return &board{p: p, cancel: cancel, lower: make([]int64, max(1, len(p.Goals)))}
}

// offer takes a plan, if it passes the checker and is the best yet.
func (b *board) offer(plan project.Plan, from string) {
	if len(b.p.Goals) == 0 {
		if now := b.state(); now.plan.Start != nil && plan.Makespan >= now.plan.Makespan {
			return // before the work of checking it
		}
	}
	if err := project.Check(b.p, plan); err != nil {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.fail(fmt.Errorf("the %s returned a plan that breaks the problem: %w", from, err))
		return
	}
	value := b.p.Value(plan)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.best.Start != nil && slices.Compare(value, b.value) >= 0 {
		return
	}
	if b.none {
		b.fail(fmt.Errorf("the %s returned a plan of %d, but it was proved that there is none", from, value))
		return
	}
	for k := range min(b.stage+1, len(value)) {
		if value[k] < b.lower[k] {
			b.fail(fmt.Errorf("the %s returned a plan of %d, but the bound is %d", from, value, b.lower))
			return
		}
		if value[k] > b.lower[k] {
			break
		}
	}
	if b.best.Start == nil && b.clock != nil {
		b.first = b.clock()
	}
	b.best, b.value = plan, value
	b.settle()
	if b.report != nil && b.fault == nil {
		b.report(plan)
	}
}

// raise takes a bound on a goal. It counts if the goals before have been proved.
func (b *board) raise(goal int, lower int64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if goal == b.stage && lower > b.lower[goal] {
		b.lower[goal] = lower
		b.settle()
	}
}

// close takes the proof that, as good by the goals before, no plan is under a value of a goal, or
// none exists.
func (b *board) close(goal int, value int64, from string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch {
	case goal != b.stage: // proved meanwhile
	case b.best.Start == nil:
		b.none = true
		b.cancel()
	case b.value[goal] < value:
		b.fail(fmt.Errorf("the %s proved that no plan is under %d by goal %d, but one of %d is there", from, value, goal, b.value))
	default:
		b.lower[goal] = max(b.lower[goal], value)
		b.settle()
	}
}

// settle goes to the next stage, or ends the race, where plan and bound meet.
func (b *board) settle() {
	if b.best.Start == nil {
		return
	}
	for b.stage < len(b.lower) && b.lower[b.stage] >= b.value[b.stage] {
		if b.lower[b.stage] > b.value[b.stage] {
			b.fail(fmt.Errorf("a bound of %d contradicts a plan of %d", b.lower, b.value))
			return
		}
		b.stage++
	}
	if b.stage == len(b.lower) {
		b.cancel()
	}
}

func (b *board) fail(err error) {
	b.fault = errors.Join(b.fault, err)
	b.cancel()
}

// state is what is known at one time.
type state struct {
	plan  project.Plan
	value []int64
	lower []int64
	stage int
}

func (b *board) state() state {
	b.mu.Lock()
	defer b.mu.Unlock()
	return state{b.best, b.value, slices.Clone(b.lower), b.stage}
}

func (b *board) result() (Result, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.fault != nil {
		return Result{}, fmt.Errorf("race: %w", b.fault)
	}
	r := Result{Plan: b.best, Value: b.value, Lower: b.lower, First: b.first}
	switch {
	case b.stage == len(b.lower):
		r.Status = Optimal
	case b.best.Start != nil:
		r.Status = Feasible
	case b.none:
		r.Status = Infeasible
	}
	return r, nil
}
