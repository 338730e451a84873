package search

// squeaky is the repeated construction for problems with maximum lags. Until a plan is there
// priorities vary round the rules, and activities that found no room move ahead in the next
// pass (squeaky wheel; Smith and Pyle, AAAI 2004). Afterwards priorities vary round the starts
// of the best plan, forward and in reversed time by turns, under a deadline that the next plan
// must beat.
type squeaky struct {
	ahead, back *lagged
	rng         *random
	boost       []int32
	best        int32 // last end; above the horizon while there is no plan
	plan        []int32
	now         []int32 // the plan that priorities vary round, which may be a little longer than the best
	last        int32   // its last end
	components  [][]int32
	mode        []int32
	tries       int
	idle        int
	dead        bool // the arcs alone allow no plan of the length asked for
	horizon     int32
}

func newSqueaky(f, mirrored *frame, mode []int32, rng *random, stop func() bool) *squeaky {
	s := &squeaky{
		ahead: newLagged(f), back: newLagged(mirrored), rng: rng, mode: mode,
		components: f.components(), boost: make([]int32, f.n), plan: make([]int32, f.n), horizon: f.p.Horizon, best: f.p.Horizon + 1,
	}
	s.ahead.stop, s.back.stop = stop, stop
	s.dead = !s.prepare(f.p.Horizon)
	return s
}

func (s *squeaky) prepare(deadline int32) bool {
	// Reversed time begins at the horizon, so its deadline is an earliest start.
	return (s.ahead.prepare(s.mode, deadline) && s.back.prepareBack(s.mode, s.horizon-deadline)) ||
		s.ahead.halted || s.back.halted
}

// prepareBack is prepare in reversed time, where nothing starts before early.
func (l *lagged) prepareBack(mode []int32, early int32) bool {
	if !l.prepare(mode, l.f.p.Horizon) {
		return false
	}
	for i := range l.es0 {
		l.es0[i] = max(l.es0[i], early)
		if l.es0[i] > l.ls0[i] {
			return false
		}
	}
	return l.relax(l.es0, l.ls0)
}

// found takes over a plan that is shorter than the best, and tightens the deadline to less.
func (s *squeaky) found(start []int32, last int32) bool {
	if last >= s.best {
		return false
	}
	s.best, s.idle = last, 0
	copy(s.plan, start)
	s.walk(start, last)
	s.dead = !s.prepare(last - 1)
	return true
}

// walk goes on from a plan if it is hardly longer than the best.
func (s *squeaky) walk(start []int32, last int32) {
	if last <= s.best+s.best/30 {
		s.now, s.last = append(s.now[:0], start...), last
	}
}

// longest is up to which horizon reversed time is searched: its profile reaches from 0, although
// the plan lies at the end.
const longest = 1 << 21

// try makes one pass; it is true if that found a better plan.
func (s *squeaky) try() bool {
	if s.dead || s.ahead.stop() {
		return false
	}
	l, n := s.ahead, s.ahead.f.n
	backward := s.tries%2 == 1 && s.horizon <= longest
	if backward {
		l = s.back
	}
	s.tries++
	s.idle++
	limit := n + 220
	if s.best > s.horizon {
		s.first(l)
	} else {
		if s.idle%64 == 0 {
			s.walk(s.plan, s.best)
		}
		s.vary(l, backward)
		if s.idle%4 > 0 {
			// A deadline makes most passes fail; without one they go somewhere.
			s.prepare(min(s.horizon, 2*s.best))
			defer s.tighten()
		}
	}
	last := l.pass(limit)
	if last < 0 {
		s.boost[l.trouble] += 1 + int32(s.rng.below(8))
		return false
	}
	if backward {
		return s.turn(l)
	}
	if s.found(l.start, last) {
		return true
	}
	s.walk(l.start, last)
	return false
}

// tighten asks for less than the best again.
func (s *squeaky) tighten() { s.dead = !s.prepare(s.best - 1) }

// first sets priorities while there is no plan.
func (s *squeaky) first(l *lagged) {
	noise := 0
	if s.tries > 6 {
		noise = 1 << s.rng.below(6)
	}
	kind := (s.tries - 1) / 2 % 3
	for i := range l.prio {
		p := l.ls0[i]
		switch kind {
		case 1:
			p = l.es0[i]
		case 2:
			p = (l.es0[i] + l.ls0[i]) / 2
		}
		if noise > 0 {
			p += int32(s.rng.below(noise)) - s.boost[i]
		}
		l.prio[i] = p
	}
}

// vary sets priorities round the present plan: all a little off, some, those in a window, or a
// few whole components by much.
func (s *squeaky) vary(l *lagged, backward bool) {
	noise := 1
	if s.idle > 1 {
		noise = 1 + s.rng.below(2+int(s.last)/6)
	}
	kind := s.rng.below(6)
	from := int32(s.rng.below(int(s.last) + 1))
	to := from + s.last/10 + int32(s.rng.below(int(s.last)/5+1))
	for i := range l.prio {
		p := s.now[i]
		off := kind == 0 || (kind == 1 && s.rng.below(8) == 0) || ((kind == 2 || kind == 3) && p >= from && p < to)
		if backward {
			p = s.horizon - p - l.duration[i]
		}
		if off {
			p += int32(s.rng.below(2*noise+1) - noise)
		}
		l.prio[i] = p
	}
	if kind < 4 {
		return
	}
	for range 1 + s.rng.below(3) {
		off := int32(s.rng.below(int(s.last)+1)) - s.last/2
		for _, i := range s.components[s.rng.below(len(s.components))] {
			l.prio[i] += off
		}
	}
}

// turn shifts a plan of reversed time to the left in forward time.
func (s *squeaky) turn(l *lagged) bool {
	a := s.ahead
	first := s.horizon
	for i, t := range l.start {
		a.prio[i] = s.horizon - t - l.duration[i]
		first = min(first, a.prio[i])
	}
	better := false
	last := int32(0)
	start := append([]int32(nil), a.prio...)
	for i, t := range start {
		last = max(last, t+l.duration[i])
	}
	if s.valid(start) {
		better = s.found(start, last)
	}
	if s.dead {
		return better
	}
	for i := range a.prio {
		a.prio[i] -= first
	}
	if last := a.pass(s.ahead.f.n); last >= 0 {
		better = s.found(a.start, last) || better
		s.walk(a.start, last)
	}
	return better
}

// valid reports whether starts keep the bounds that the mirror may have widened.
func (s *squeaky) valid(start []int32) bool {
	for i, t := range start {
		if a := s.ahead.f.p.Activities[i]; t < a.Earliest || t > a.Latest {
			return false
		}
	}
	return true
}
