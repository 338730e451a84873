package exact

import (
	"context"
	"fmt"
	"math/rand/v2"

	"chablon/schedule/project"
)

// Solve looks for a plan of p with the least value of a goal and for the proof that there is none
// better. An error means that p or o was refused and says why. ctx ends the search within a
// few milliseconds with what has been found.
func Solve(ctx context.Context, p *project.Problem, o Options) (Result, error) {
	if err := check(p, &o); err != nil {
		return Result{}, err
	}
	s, open := prepare(ctx, p, o)
	closed := !open && !s.ended
	if open {
		closed = s.run()
	}
	if s.huge {
		return Result{}, fmt.Errorf("exact: goal %d or one before it may come to more than 62 bits hold: take smaller weights", o.Goal)
	}
	if s.fault != nil {
		return Result{Conflicts: s.conflicts, Stopped: true}, s.fault
	}
	s.stopped = s.stopped || s.ended && !closed
	return s.result(closed), nil
}

func check(p *project.Problem, o *Options) error {
	if err := p.Validate(); err != nil {
		return fmt.Errorf("exact: %w", err)
	}
	if o.Windows != nil && len(o.Windows) != len(p.Activities) {
		return fmt.Errorf("exact: %d windows for %d activities, want one each or none", len(o.Windows), len(p.Activities))
	}
	for k, a := range o.Arcs {
		if n := int32(len(p.Activities)); a.From < 0 || a.From >= n || a.To < 0 || a.To >= n {
			return fmt.Errorf("exact: arc %d joins %d and %d, want activities 0 to %d", k, a.From, a.To, n-1)
		}
		if a.Calendar < 0 || int(a.Calendar) > len(p.Calendars) {
			return fmt.Errorf("exact: arc %d is measured by calendar %d of %d", k, a.Calendar, len(p.Calendars))
		}
	}
	return checkGoals(p, o)
}

// prepare poses the problem and draws what follows without a search. It returns false if that
// leaves no plan under the bound on the value, or if the context ended.
func prepare(ctx context.Context, p *project.Problem, o Options) (*search, bool) {
	s := &search{o: o, lower: max(o.Lower, 0)}
	if o.Seed != 0 {
		s.rng = rand.New(rand.NewPCG(o.Seed, 0))
	}
	e, open := build(ctx, p, &o)
	s.engine = e
	s.upper, s.limited = MaxValue+1, e.clipped
	switch {
	case o.Any:
		s.upper = 1
	case len(p.Goals) == 0 || p.Goals[o.Goal].Measure == project.Makespan:
		s.upper = p.Horizon + 1
	case open:
		s.upper = e.upper(e.goal) + 1
	}
	if o.Upper > 0 && o.Upper < s.upper {
		s.upper, s.limited = o.Upper, true
	}
	s.hint(p)
	if !open || e.ended || !e.tighten(s.upper, s.lower) || e.ended {
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
	limited   bool // upper came from outside and no plan of that value is at hand
	best      project.Plan
	value     int32 // of best
	found     bool
	conflicts int64
	restarts  int64
	rng       *rand.Rand // nil without a seed
	stopped   bool
	fault     error // of this package: a plan that project.Check refused
}

// result sums up. closed says that no plan under upper is left.
func (s *search) result(closed bool) Result {
	r := Result{Plan: s.best, Value: s.value, Lower: s.lower, Conflicts: s.conflicts, Stopped: s.stopped}
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
	if h == nil || project.Check(p, *h) != nil {
		return
	}
	if v, ok := s.o.value(p, *h); ok && v < int64(s.upper) {
		s.best, s.value, s.found = copyPlan(*h), int32(v), true
		s.upper, s.limited = s.value, false
	}
}

func copyPlan(p project.Plan) project.Plan {
	p.Start = append([]int32(nil), p.Start...)
	p.Mode = append([]int32(nil), p.Mode...)
	return p
}

// tighten bounds the goal at level zero and draws the consequences. It returns false if nothing
// is left.
func (e *engine) tighten(upper, lower int32) bool {
	return e.set(atMost(e.goal, upper-1), byNothing) && e.set(atLeast(e.goal, lower), byNothing) && e.first()
}

// first draws the consequences of all arcs at level zero. It returns false if nothing is left.
func (e *engine) first() bool {
	for col := range e.bound {
		if !e.wakeArcs(int32(col), absent) {
			return false
		}
		if e.works(4) {
			return true
		}
	}
	if !e.propagate() {
		return false
	}
	if !e.ended {
		e.settle()
	}
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
			if l != always && l != never && int32(m) == h.Mode[i] {
				s.phase[l.col>>1] = 1
			}
		}
	}
}
