package search

import (
	"cmp"
	"slices"
)

// serial places activities one by one, by rising key, where their labels and what is placed
// allow: the serial scheme with unscheduling (Franck, Neumann and Schwindt, OR Spektrum 23, 2001)
// for problems with calendars, machines and open modes. When a maximum lag or a bound leaves no
// room, the placed activity that set it is moved to later by what is lacking, and all that this
// can push is taken up again.
type serial struct {
	*bench
	before [][]int32 // by activity: those that arcs put before it
	after  [][]int32 // by activity: those that arcs from it can push
	key    []int64
	only   []int32 // by activity: its one mode, -1 for any
	raise  []int32 // by activity: start no earlier
	moves  int     // unschedulings left
	met    int32   // the activity that found no room when a pass failed, or -1
	stop   func() bool
	marks  []bool
	places []place
}

// place is where an activity fits.
type place struct{ mode, start, end int32 }

func newSerial(b *bench, stop func() bool) *serial {
	n := len(b.placed)
	s := &serial{bench: b, before: make([][]int32, n), after: make([][]int32, n), key: make([]int64, n), only: make([]int32, n), raise: make([]int32, n), marks: make([]bool, n), stop: stop}
	for i := range s.only {
		s.only[i] = -1
	}
	q := b.q
	for _, a := range q.arcs {
		i, j := a.from/2, a.to/2
		if i == j {
			continue
		}
		s.after[i] = append(s.after[i], j)
		// The least distance from start to start that the arc asks for.
		gap := a.lag
		if a.calendar == 0 {
			if a.from == endOf(i) {
				gap += q.arcs[q.out[startOf(i)][0]].lag
			}
			if a.to == endOf(j) {
				gap -= longestOf(b, j)
			}
		}
		if gap >= 0 {
			s.before[j] = append(s.before[j], i)
		}
	}
	return s
}

func longestOf(b *bench, i int32) int32 {
	d := int32(0)
	for _, m := range b.p.Activities[i].Modes {
		d = max(d, m.Duration)
	}
	return d
}

// restart forgets all placing. It is false if the bounds and raised starts contradict each other.
func (s *serial) restart() bool {
	s.clear()
	clear(s.raise)
	return s.q.reset(s.raise)
}

// relabel sets the labels anew from the bounds, the raised starts and what is placed.
func (s *serial) relabel() bool {
	if !s.q.reset(s.raise) {
		return false
	}
	ok := true
	for i, in := range s.placed {
		ok = ok && (!in || s.q.set(int32(i), s.start[i], s.end[i]))
	}
	ok = s.q.spread() && ok
	s.q.keep()
	return ok
}

// complete places all that is not placed, with so many unschedulings at most. The labels must
// agree with what is placed.
func (s *serial) complete(moves int) bool {
	s.moves, s.met = moves, -1
	left := 0
	for _, in := range s.placed {
		if !in {
			left++
		}
	}
	for tries := 0; left > 0; tries++ {
		if tries%16 == 15 && s.stop() {
			return false
		}
		i := s.next()
		s.q.keep()
		lacking := s.settle(i)
		if lacking == 0 {
			left--
			continue
		}
		s.met = i
		culprit := s.blame(i)
		if culprit < 0 || lacking >= never || s.moves == 0 {
			return false
		}
		s.moves--
		s.raise[culprit] = s.start[culprit] + lacking
		left += s.takeUp(culprit)
		if !s.relabel() {
			return false
		}
	}
	return true
}

// next returns the activity to place: one whose start is settled already if there is any, else
// the one of smallest key among those with nothing unplaced before them.
func (s *serial) next() int32 {
	best, waiting := int32(-1), int32(-1)
	for k := range s.placed {
		i := int32(k)
		if s.placed[i] {
			continue
		}
		if v := startOf(i); s.q.lo[v] == s.q.hi[v] && len(s.p.Activities[i].Modes) == 1 {
			return i
		}
		if waiting < 0 || s.key[i] < s.key[waiting] {
			waiting = i
		}
		if best >= 0 && s.key[i] >= s.key[best] {
			continue
		}
		if !slices.ContainsFunc(s.before[i], func(j int32) bool { return !s.placed[j] }) {
			best = i
		}
	}
	if best < 0 {
		return waiting // activities tied to each other at a fixed distance
	}
	return best
}

// settle places i where it ends first, or returns how much later than allowed it would have
// found room: never if nowhere.
func (s *serial) settle(i int32) (lacking int32) {
	lo, hi := s.q.lo[startOf(i)], s.q.hi[startOf(i)]
	endLo, endHi := s.q.lo[endOf(i)], s.q.hi[endOf(i)]
	s.places, lacking = s.places[:0], never
	for m := range s.p.Activities[i].Modes {
		if s.only[i] >= 0 && s.only[i] != int32(m) || !s.affords(i, int32(m)) {
			continue
		}
		start, end, ok := s.fit(i, int32(m), lo, s.p.Horizon, endLo)
		switch {
		case !ok:
		case start <= hi && end <= endHi:
			s.places = append(s.places, place{int32(m), start, end})
		default:
			lacking = min(lacking, max(start-hi, end-endHi))
		}
	}
	slices.SortStableFunc(s.places, func(a, b place) int { return cmp.Compare(a.end, b.end) })
	for _, at := range s.places {
		if s.q.fix(i, at.start, at.end) {
			s.put(i, at.mode, at.start, at.end)
			return 0
		}
		s.q.undo()
	}
	return lacking
}

// blame returns the placed activity that set the latest time of i, -1 if that was bounds alone.
func (s *serial) blame(i int32) int32 {
	if k := s.q.culprit(startOf(i), s.placed); k >= 0 {
		return k
	}
	return s.q.culprit(endOf(i), s.placed)
}

// takeUp removes i and all placed activities that some chain of arcs from i can push, and counts
// them.
func (s *serial) takeUp(i int32) (taken int) {
	clear(s.marks)
	s.marks[i] = true
	for todo := []int32{i}; len(todo) > 0; {
		j := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if s.placed[j] {
			s.takeOut(j)
			taken++
		}
		for _, k := range s.after[j] {
			if !s.marks[k] {
				s.marks[k] = true
				todo = append(todo, k)
			}
		}
	}
	return taken
}
