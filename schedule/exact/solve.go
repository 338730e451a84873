package exact

import (
	"context"
	"fmt"
	"math/rand/v2"

	"chablon/schedule/project"
)

// Solve looks for a plan of p with the least makespan and for the proof that there is none
// shorter. An error means that p or o was refused and says why. ctx ends the search within a
// few milliseconds with what has been found.
func Solve(ctx context.Context, p *project.Problem, o Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, fmt.Errorf("exact: %w", err)
	}
	if o.Windows != nil && len(o.Windows) != len(p.Activities) {
		return Result{}, fmt.Errorf("exact: %d windows for %d activities, want one each or none", len(o.Windows), len(p.Activities))
	}
	for k, a := range o.Arcs {
		if n := int32(len(p.Activities)); a.From < 0 || a.From >= n || a.To < 0 || a.To >= n {
			return Result{}, fmt.Errorf("exact: arc %d joins %d and %d, want activities 0 to %d", k, a.From, a.To, n-1)
		}
	}
	s, open := prepare(ctx, p, o)
	if open {
		open = !s.run()
	}
	if s.fault != nil {
		return Result{Conflicts: s.conflicts, Stopped: true}, s.fault
	}
	return s.result(!open), nil
}

// prepare poses the problem and draws what follows without a search. It returns false if that
// leaves no plan under the bound on the makespan.
func prepare(ctx context.Context, p *project.Problem, o Options) (*search, bool) {
	s := &search{o: o, upper: p.Horizon + 1, lower: max(o.Lower, 0)}
	if o.Seed != 0 {
		s.rng = rand.New(rand.NewPCG(o.Seed, 0))
	}
	if o.Upper > 0 && o.Upper < s.upper {
		s.upper, s.limited = o.Upper, true
	}
	s.hint(p)
	e, open := build(p, &o)
	s.engine = e
	e.ctx = ctx
	if !open || !e.tighten(s.upper, s.lower) {
		return s, false
	}
	s.guide()
	return s, true
}

// search is the state of one Solve beside its engine.
type search struct {
	*engine
	o         Options
	upper     int32 // exclusive
	lower     int32
	limited   bool // upper came from outside and no plan of that makespan is at hand
	best      project.Plan
	found     bool
	conflicts int64
	restarts  int64
	rng       *rand.Rand // nil without a seed
	stopped   bool
	fault     error // of this package: a plan that project.Check refused
}

// result sums up. closed says that no plan under upper is left.
func (s *search) result(closed bool) Result {
	r := Result{Plan: s.best, Lower: s.lower, Conflicts: s.conflicts, Stopped: s.stopped}
	if closed {
		r.Lower = s.upper
	}
	switch {
	case closed && s.found && !s.limited:
		r.Status = Optimal
	case closed && s.limited:
		r.Status = Exhausted
	case closed:
		r.Status = Infeasible
	case s.found:
		r.Status = Feasible
	}
	return r
}

// hint takes the caller's plan as the first incumbent if it is one.
func (s *search) hint(p *project.Problem) {
	h := s.o.Hint
	if h == nil || project.Check(p, *h) != nil || h.Makespan >= s.upper {
		return
	}
	s.best, s.found = copyPlan(*h), true
	s.upper, s.limited = h.Makespan, false
}

func copyPlan(p project.Plan) project.Plan {
	p.Start = append([]int32(nil), p.Start...)
	p.Mode = append([]int32(nil), p.Mode...)
	return p
}

// tighten bounds the makespan at level zero and draws the consequences. It returns false if
// nothing is left.
func (e *engine) tighten(upper, lower int32) bool {
	if !e.set(atMost(e.makespan, upper-1), byNothing) || !e.set(atLeast(e.makespan, lower), byNothing) {
		return false
	}
	for col := range e.bound {
		if !e.wakeArcs(int32(col), absent) {
			return false
		}
	}
	if !e.propagate() {
		return false
	}
	e.settle()
	return true
}

// guide sets the values near which to search from the caller's plan.
func (s *search) guide() {
	h := s.o.Hint
	if h == nil || len(h.Start) != len(s.acts) || len(h.Mode) != len(s.acts) {
		return
	}
	for i := range s.acts {
		a := &s.acts[i]
		s.phase[a.start.x] = h.Start[i]
		for m, l := range a.modes {
			if l.col>>1 != s.makespan && int32(m) == h.Mode[i] {
				s.phase[l.col>>1] = 1
			}
		}
	}
}
