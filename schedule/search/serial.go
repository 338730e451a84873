package search

import (
	"cmp"
	"slices"

	"chablon/schedule/project"
)

// serial places activities one by one, by rising key, where their labels and what is placed
// allow: the serial scheme with unscheduling (Franck, Neumann and Schwindt, OR Spektrum 23, 2001)
// for problems with calendars, machines and open modes. When a maximum lag or a bound leaves no
// room, the placed activity that set it is moved to later by what is lacking, and all that this
// can push is taken up again.
type serial struct {
	layout
	q      *points
	before [][]int32 // by activity: those that arcs put before it
	after  [][]int32 // by activity: those that arcs from it can push
	key    []int64
	only   []int32 // by activity: its one mode, -1 for any
	raise  []int32 // by activity: start no earlier
	moves  int     // unschedulings left
	met    int32   // the activity that found no room when a pass failed, or -1
	stop   func() bool
	boost  []int64 // by activity: how much sooner in the order after failures
	marks  []bool
	places []placed
}

func newSerial(x *net, stop func() bool) *serial {
	n := x.n
	s := &serial{
		layout: newLayout(x), q: newPoints(x), before: make([][]int32, n), after: make([][]int32, n), key: make([]int64, n),
		only: make([]int32, n), raise: make([]int32, n), marks: make([]bool, n), boost: make([]int64, n), stop: stop,
	}
	for i := range s.only {
		s.only[i] = -1
	}
	for k := range x.arcs {
		a := &x.arcs[k]
		if a.From == a.To {
			continue
		}
		s.after[a.From] = append(s.after[a.From], a.To)
		if x.gap(a) >= 0 {
			s.before[a.To] = append(s.before[a.To], a.From)
		}
	}
	return s
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
	for i, in := range s.in {
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
	for tries := 0; s.placed < s.x.n; tries++ {
		if tries%16 == 15 && s.stop() {
			return false
		}
		i := s.next()
		s.q.keep()
		lacking := s.settle(i)
		if lacking == 0 {
			continue
		}
		s.met = i
		culprit := s.blame(i)
		if culprit < 0 || lacking >= never || s.moves == 0 {
			return false
		}
		s.moves--
		s.raise[culprit] = s.start[culprit] + lacking
		s.takeUp(culprit)
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
	for i := range int32(s.x.n) {
		if s.in[i] {
			continue
		}
		if v := startOf(i); s.q.lo[v] == s.q.hi[v] && len(s.x.able[i]) == 1 {
			return i
		}
		if waiting < 0 || s.key[i] < s.key[waiting] {
			waiting = i
		}
		if best >= 0 && s.key[i] >= s.key[best] {
			continue
		}
		if !slices.ContainsFunc(s.before[i], func(j int32) bool { return !s.in[j] }) {
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
	for _, m := range s.x.able[i] {
		if s.only[i] >= 0 && s.only[i] != m || !s.allowed(i, m) {
			continue
		}
		start, end, ok := s.x.first(&s.room, i, m, window{lo, s.x.p.Horizon, endLo, s.x.p.Horizon})
		switch {
		case !ok:
		case start <= hi && end <= endHi:
			s.places = append(s.places, placed{m, start, end})
		default:
			lacking = min(lacking, max(start-hi, end-endHi))
		}
	}
	slices.SortStableFunc(s.places, func(a, b placed) int { return cmp.Compare(a.end, b.end) })
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
	if k := s.q.culprit(startOf(i), s.in); k >= 0 {
		return k
	}
	return s.q.culprit(endOf(i), s.in)
}

// takeUp removes i and all placed activities that some chain of arcs from i can push.
func (s *serial) takeUp(i int32) {
	clear(s.marks)
	s.marks[i] = true
	for todo := []int32{i}; len(todo) > 0; {
		j := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if s.in[j] {
			s.out(j)
		}
		for _, k := range s.after[j] {
			if !s.marks[k] {
				s.marks[k] = true
				todo = append(todo, k)
			}
		}
	}
}

// keys sets the order of a pass: by priority rules in the first turns, and then disturbed ever more,
// with modes and starts chosen here and there.
func (s *serial) keys(turn int, rng *random) {
	q := s.q
	for k := range s.key {
		i := int32(k)
		lo, hi, end := int64(q.lo[startOf(i)]), int64(q.hi[startOf(i)]), int64(q.hi[endOf(i)])
		s.only[i] = -1
		switch turn {
		case 0:
			s.key[i] = end
		case 1:
			s.key[i] = hi
		case 2:
			s.key[i] = hi - lo
		case 3:
			s.key[i] = lo
		default:
			spread := 1 + int(s.x.p.Horizon)/20*min(turn, 20)
			s.key[i] = end + int64(rng.below(spread)) - s.boost[i]
			if modes := s.x.able[i]; len(modes) > 1 && rng.below(3) == 0 {
				s.only[i] = modes[rng.below(len(modes))]
			}
			if rng.below(6) == 0 {
				s.raise[i] = int32(lo) + int32(rng.below(int(max(0, hi-lo))+1))
			}
		}
	}
	if turn > 3 && !q.reset(s.raise) {
		clear(s.raise)
		q.reset(s.raise)
	}
	q.keep()
}

// note moves the activity that found no room, with all before it, forward in later orders.
func (s *serial) note() {
	if s.met < 0 {
		return
	}
	clear(s.marks)
	for todo := []int32{s.met}; len(todo) > 0; {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if s.marks[i] {
			continue
		}
		s.marks[i] = true
		s.boost[i] = min(s.boost[i]+1+int64(s.x.p.Horizon)/8, never)
		todo = append(todo, s.before[i]...)
	}
}

// pass places all activities anew; false if one found no room.
func (s *serial) pass(turn int, rng *random) bool {
	if !s.restart() {
		return false
	}
	s.keys(turn, rng)
	if !s.complete(10*s.x.n + 20) {
		s.note()
		return false
	}
	return true
}

// turnedPlan is plan where time is reversed.
func (s *serial) turnedPlan() project.Plan {
	plan := s.plan()
	for i, end := range s.end {
		plan.Start[i] = s.x.p.Horizon - end
		plan.Makespan = max(plan.Makespan, s.x.p.Horizon-s.start[i])
	}
	return plan
}

// never is later than every horizon.
const never = 1 << 30
