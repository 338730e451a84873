package exact

import (
	"fmt"
	"math/bits"

	"chablon/schedule/project"
)

// Restarts come after restartUnit conflicts times the terms of Luby's series. The first
// warmUp conflicts are spent on branching by earliest start.
const (
	restartUnit = 100
	warmUp      = 500
	pollEvery   = 256
)

// run searches until the goal is closed in, which it reports as true, or the work is done.
func (s *search) run() bool {
	for {
		s.restarts++
		budget := restartUnit * luby(s.restarts)
		if s.conflicts < warmUp {
			budget = warmUp
		}
		if closed := s.round(budget); closed || s.stopped {
			return closed
		}
		s.backTo(0)
		if s.learnt > 2000+int(s.conflicts/10) || len(s.arena) > arenaLimit {
			if !s.propagate() {
				return true
			}
			if s.ended {
				s.stopped = true
				return false
			}
			s.settle()
			s.reduce()
			if s.ended {
				s.stopped = true
				return false
			}
		}
	}
}

// round searches for so many conflicts.
func (s *search) round(budget int64) bool {
	for {
		if !s.propagate() {
			s.conflicts++
			budget--
			if s.depth() == 0 || !s.learn() {
				return true
			}
			if s.ended {
				s.stopped = true
				return false
			}
			s.order.decay()
			s.useStep /= 0.999
			if s.conflicts%pollEvery == 0 && !s.poll() {
				return true
			}
			continue
		}
		if s.works(len(s.acts)/8+64) || s.o.Conflicts > 0 && s.conflicts >= s.o.Conflicts {
			s.stopped = true
		}
		if s.stopped || budget <= 0 || len(s.arena) > 2*arenaLimit && s.learnt > 0 {
			return false
		}
		if s.depth() == 0 {
			s.settle()
			if s.raise(s.engine.lower(s.goal)); s.lower >= s.upper {
				return true
			}
			if s.fromBelow() && !s.fixed(s.goal) {
				s.decide(atMost(s.goal, s.engine.lower(s.goal)))
				continue
			}
		}
		if l, ok := s.choose(); ok {
			s.decide(l)
			continue
		}
		if !s.take() {
			return true
		}
	}
}

func (s *search) fromBelow() bool {
	return s.o.Strategy == BottomUp || s.o.Strategy == Alternate && s.restarts%2 == 0
}

// raise reports a better lower bound.
func (s *search) raise(lower int32) {
	if lower > s.lower {
		s.lower = lower
		if s.o.Bound != nil {
			s.o.Bound(lower)
		}
	}
}

// poll takes in what is known outside. It returns false if that leaves nothing to look for.
func (s *search) poll() bool {
	if s.o.Poll == nil {
		return true
	}
	upper, lower, stop := s.o.Poll()
	s.stopped = s.stopped || stop
	if upper > 0 && upper < s.upper {
		s.upper, s.limited = upper, true
		s.backTo(0)
		if !s.set(atMost(s.goal, upper-1), byNothing) {
			return false
		}
	}
	if lower > s.engine.lower(s.goal) {
		s.backTo(0)
		return s.set(atLeast(s.goal, lower), byNothing)
	}
	return true
}

// take makes the plan that the bounds have come down to the incumbent and asks for a shorter
// one. It returns false if there is none.
func (s *search) take() bool {
	if s.lazy {
		if list := s.missing(); s.ended || len(list) > 0 {
			return s.supply(list)
		}
	}
	n := len(s.acts)
	plan := project.Plan{Start: make([]int32, n), Mode: make([]int32, n)}
	for i := range s.acts {
		a := &s.acts[i]
		plan.Start[i] = s.engine.lower(a.start.x)
		for m, l := range a.modes {
			if s.holds(l) {
				plan.Mode[i] = int32(m)
			}
		}
		end, _ := s.p.End(int32(i), plan.Mode[i], plan.Start[i])
		plan.Makespan = max(plan.Makespan, end)
	}
	if err := project.Check(s.p, plan); err != nil {
		s.fault = fmt.Errorf("exact: the search holds a rule that its plan breaks: %w", err)
		s.stopped = true
		return true
	}
	value, ok := s.o.value(s.p, plan)
	if !ok || value >= int64(s.upper) {
		s.fault = fmt.Errorf("exact: a plan comes to %d, but the search is for less than %d", value, s.upper)
		s.stopped = true
		return true
	}
	for x := range s.phase {
		s.phase[x] = s.engine.lower(int32(x))
	}
	for _, x := range s.hopeful {
		s.phase[x] = s.root[2*x]
	}
	s.best, s.value, s.found, s.upper, s.limited = plan, int32(value), true, int32(value), false
	if s.o.Report != nil {
		s.o.Report(copyPlan(plan))
	}
	s.backTo(0)
	return s.lower < s.upper && s.set(atMost(s.goal, s.upper-1), byNothing)
}

// supply poses rules that were left out. It returns false if that leaves no plan.
func (s *search) supply(list []missing) bool {
	s.backTo(0)
	for _, m := range list {
		if !s.addChoice(m.either, m.a, m.b) {
			return false
		}
	}
	return s.first()
}

// choose returns the next decision; without one every start and mode is fixed.
func (s *search) choose() (lit, bool) {
	// With a seed, one choice in 64 is left to the other rule.
	if s.conflicts >= warmUp && (s.rng == nil || s.rng.Uint32()&63 != 0) {
		if a := s.order.next(s.engine); a != nil {
			l := atLeast(a.x, a.key)
			if s.phase[a.x] < a.key {
				l = l.not()
			}
			return l, true
		}
	}
	return s.earliest()
}

// earliest branches on the activity that could start first: its mode, then that start.
func (s *search) earliest() (lit, bool) {
	best := -1
	var when, until int32
	for i := range s.acts {
		a := &s.acts[i]
		low, high := s.engine.lower(a.start.x), s.engine.upper(a.start.x)
		if low == high && s.decided(a) {
			continue
		}
		if best < 0 || low < when || low == when && high < until {
			best, when, until = i, low, high
		}
	}
	if best < 0 {
		return lit{}, false
	}
	a := &s.acts[best]
	if l, ok := s.mode(best); ok {
		return l, true
	}
	return atMost(a.start.x, when), true
}

func (s *search) decided(a *activity) bool {
	for _, l := range a.modes {
		if s.holds(l) {
			return true
		}
	}
	return false
}

// mode returns the statement that takes a mode for an activity without one: that of the
// incumbent or the shortest that remains.
func (s *search) mode(i int) (lit, bool) {
	a := &s.acts[i]
	if s.decided(a) {
		return lit{}, false
	}
	best := int32(-1)
	modes := s.p.Activities[i].Modes
	for m, l := range a.modes {
		if s.fails(l) {
			continue
		}
		if s.phase[l.col>>1] == 1 {
			return l, true
		}
		if best < 0 || modes[m].Duration < modes[best].Duration {
			best = int32(m)
		}
	}
	return a.modes[best], true
}

// luby returns term k, from 1, of the series 1 1 2 1 1 2 4 1 1 2 1 1 2 4 8 ...
func luby(k int64) int64 {
	for {
		n := bits.Len64(uint64(k))
		if k == 1<<n-1 {
			return 1 << (n - 1)
		}
		k -= 1<<(n-1) - 1
	}
}
