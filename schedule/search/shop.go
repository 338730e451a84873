package search

import (
	"slices"

	"chablon/schedule/project"
)

// shop is the tabu search for problems whose resources do one activity at a time and of which
// every activity takes at most one: job shops and their like. A move takes an activity at an end
// of a critical block past others of the block (Balas and Vazacopoulos, Management Science 44,
// 1998); orders that a move has turned are tabu for some time (Nowicki and Smutnicki,
// Management Science 42, 1996).
type shop struct {
	w      *passes
	rng    *random
	start  *evolution // makes the first plan, and holds the best
	before []int32    // activity before each on its resource, -1 for none
	after  []int32
	head   []int32
	tail   []int32 // from the start of the activity to the end of all
	order  []int32 // follows all arcs and sequences
	open   []int32
	tabu   []int32 // of pairs of activities that must not be put in that order: until when
	weight []int32 // of the arcs out of each activity
	now    int32
	last   int32
	best   int32
	idle   int
	plan   []int32
	work   int
	moves  []move
	path   []int32
	patch  []int32
	warm   int // plans to make by rules and crossing before the first move
}

// move takes u to just after v (forward), or v to just before u.
type move struct {
	u, v    int32
	forward bool
	value   int32
}

// isShop reports whether f is such a problem.
func (f *frame) isShop() bool {
	if !f.regular() || f.choice || f.steps || f.n < 6 || f.n > 4000 {
		return false
	}
	for _, r := range f.p.Renewable {
		if r.Capacity != 1 {
			return false
		}
	}
	some := false
	for _, a := range f.p.Activities {
		uses := int32(0)
		for _, d := range a.Modes[0].Demand {
			uses += d
		}
		if uses > 1 || a.Earliest > 0 || (uses > 0 && a.Modes[0].Duration == 0) {
			return false
		}
		some = some || uses > 0
	}
	return some
}

func newShop(f *frame, rng *random, stop func() bool) *shop {
	n := f.n
	s := &shop{
		rng: rng, start: newEvolution(f, rng), before: make([]int32, n), after: make([]int32, n), head: make([]int32, n),
		tail: make([]int32, n), open: make([]int32, n), plan: make([]int32, n), best: 1 << 30,
	}
	s.w = s.start.w
	s.w.stop = stop
	s.tabu = make([]int32, n*n)
	s.warm = 20
	if n > 250 {
		s.warm = n
	}
	for _, a := range f.out {
		s.weight = append(s.weight, weight(f.arcs[a], s.w.duration))
	}
	return s
}

// resource returns what i takes, -1 for nothing.
func (s *shop) resource(i int32) int {
	return slices.IndexFunc(s.w.f.p.Activities[i].Modes[0].Demand, func(d int32) bool { return d > 0 })
}

// adopt takes the sequences of a plan.
func (s *shop) adopt(start []int32) {
	lists := make([][]int32, len(s.w.f.p.Renewable))
	for i := range start {
		s.before[i], s.after[i] = -1, -1
		if r := s.resource(int32(i)); r >= 0 {
			lists[r] = append(lists[r], int32(i))
		}
	}
	for _, list := range lists {
		slices.SortStableFunc(list, func(a, b int32) int { return int(start[a]) - int(start[b]) })
		for k := 1; k < len(list); k++ {
			s.before[list[k]], s.after[list[k-1]] = list[k-1], list[k]
		}
	}
	s.evaluate()
}

// evaluate computes heads and tails; false if the sequences make a cycle.
func (s *shop) evaluate() bool {
	in, d := &s.w.forward, s.w.duration
	s.order = s.order[:0]
	for i := range s.open {
		s.open[i] = in.at[i+1] - in.at[i]
		if s.before[i] >= 0 {
			s.open[i]++
		}
		if s.open[i] == 0 {
			s.order = append(s.order, int32(i))
		}
	}
	s.last = 0
	for k := 0; k < len(s.order); k++ {
		i := s.order[k]
		t := in.earliest(i, 0, s.head)
		if b := s.before[i]; b >= 0 {
			t = max(t, s.head[b]+d[b])
		}
		s.head[i] = t
		s.last = max(s.last, t+d[i])
		for a := in.outAt[i]; a < in.outAt[i+1]; a++ {
			if j := in.to[a]; s.open[j] == 1 {
				s.order = append(s.order, j)
			} else {
				s.open[j]--
			}
		}
		if j := s.after[i]; j >= 0 {
			if s.open[j]--; s.open[j] == 0 {
				s.order = append(s.order, j)
			}
		}
	}
	if len(s.order) < len(s.head) {
		return false
	}
	for k := len(s.order) - 1; k >= 0; k-- {
		i := s.order[k]
		t := d[i]
		for a := in.outAt[i]; a < in.outAt[i+1]; a++ {
			t = max(t, s.tail[in.to[a]]+s.weight[a])
		}
		if j := s.after[i]; j >= 0 {
			t = max(t, s.tail[j]+d[i])
		}
		s.tail[i] = t
	}
	return true
}

func (s *shop) try() bool {
	if s.start.modesOf.short {
		return false
	}
	if s.warm > 0 {
		// Long searches begin better from a population.
		s.warm--
		better := s.start.try()
		if s.start.best < s.best {
			s.adopt(s.start.plan)
			s.keep()
		}
		return better
	}
	better := false
	for range 50 {
		if s.step() {
			better = true
			break
		}
	}
	s.work += 10
	if s.idle > 4000 {
		s.restart()
	}
	return better
}

// keep takes over the present sequences as the best.
func (s *shop) keep() {
	s.best, s.idle = s.last, 0
	copy(s.plan, s.head)
}

// restart goes back to the best plan and makes some random moves from there; now and then it
// begins with a new plan.
func (s *shop) restart() {
	s.idle = 0
	clear(s.tabu)
	if s.rng.below(4) == 0 {
		s.start.renewal()
		for s.start.seeded = 3; s.start.seeded < 6; {
			s.start.try()
		}
		if len(s.start.members) > 0 {
			s.adopt(s.start.members[0].start)
			return
		}
	}
	s.adopt(s.plan)
	for range 4 + s.rng.below(12) {
		s.critical()
		if len(s.moves) == 0 {
			return
		}
		s.apply(s.moves[s.rng.below(len(s.moves))])
		s.evaluate()
	}
}

// step makes the best move that is not tabu; true if it leads to a plan better than all.
func (s *shop) step() bool {
	s.now++
	s.idle++
	s.critical()
	if len(s.moves) == 0 {
		s.idle = 1 << 20
		return false
	}
	chosen, value, ties := -1, int32(1<<30), 0
	for k := range s.moves {
		m := &s.moves[k]
		m.value = s.estimate(*m)
		if m.value >= s.best && s.forbidden(*m) {
			continue
		}
		switch {
		case m.value < value:
			chosen, value, ties = k, m.value, 1
		case m.value == value:
			if ties++; s.rng.below(ties) == 0 {
				chosen = k
			}
		}
	}
	if chosen < 0 {
		chosen = s.rng.below(len(s.moves))
	}
	s.apply(s.moves[chosen])
	if !s.evaluate() {
		s.adopt(s.plan) // arcs with lags may close a cycle that the rules of block do not see
	}
	if s.last < s.best {
		s.keep()
		return true
	}
	return false
}

// critical fills moves with those at the ends of the blocks of one critical path.
func (s *shop) critical() {
	in, d := &s.w.forward, s.w.duration
	s.path = s.path[:0]
	at := int32(-1)
	for _, i := range s.order {
		if s.head[i] == 0 && s.tail[i] == s.last {
			at = i
			break
		}
	}
	for at >= 0 {
		s.path = append(s.path, at)
		next := int32(-1)
		if j := s.after[at]; j >= 0 && s.head[j] == s.head[at]+d[at] && s.head[j]+s.tail[j] == s.last {
			next = j
		}
		if next < 0 || s.rng.below(2) == 0 {
			for a := in.outAt[at]; a < in.outAt[at+1]; a++ {
				j := in.to[a]
				if s.head[j]+s.tail[j] == s.last && s.head[j] == s.head[at]+s.weight[a] {
					next = j
					break
				}
			}
		}
		at = next
	}
	s.moves = s.moves[:0]
	for a := 0; a < len(s.path); {
		b := a
		for b+1 < len(s.path) && s.after[s.path[b]] == s.path[b+1] {
			b++
		}
		if b > a {
			s.block(s.path[a : b+1])
		}
		a = b + 1
	}
}

// block adds the moves of its first activity to later places, its last to earlier ones, and of
// those within to either end, as far as they surely make no cycle.
func (s *shop) block(list []int32) {
	first, last := list[0], list[len(list)-1]
	for k := 1; k < len(list); k++ {
		if s.pastAll(first, list[k]) {
			s.moves = append(s.moves, move{u: first, v: list[k], forward: true})
		}
		if k > 1 && s.beforeAll(list[k], first) {
			s.moves = append(s.moves, move{u: first, v: list[k]})
		}
	}
	for k := len(list) - 2; k > 0; k-- {
		if s.beforeAll(last, list[k]) {
			s.moves = append(s.moves, move{u: list[k], v: last})
		}
		if k < len(list)-2 && s.pastAll(list[k], last) {
			s.moves = append(s.moves, move{u: list[k], v: last, forward: true})
		}
	}
}

// pastAll reports whether u may go after v: no successor of u by an arc can lead to v.
func (s *shop) pastAll(u, v int32) bool {
	in := &s.w.forward
	for a := in.outAt[u]; a < in.outAt[u+1]; a++ {
		if j := in.to[a]; j == v || s.tail[j] > s.tail[v] || (s.tail[j] == s.tail[v] && s.w.duration[j] == 0) {
			return false
		}
	}
	return true
}

// beforeAll reports whether v may go before u.
func (s *shop) beforeAll(v, u int32) bool {
	in, d := &s.w.forward, s.w.duration
	for a := in.at[v]; a < in.at[v+1]; a++ {
		if j := in.from[a]; j == u || s.head[j]+d[j] > s.head[u]+d[u] || (s.head[j]+d[j] == s.head[u]+d[u] && d[j] == 0) {
			return false
		}
	}
	return true
}

// span returns the activities from u to v in their order after the move.
func (s *shop) span(m move) []int32 {
	s.patch = s.patch[:0]
	if !m.forward {
		s.patch = append(s.patch, m.v)
	}
	for i := m.u; ; i = s.after[i] {
		if (m.forward && i != m.u) || (!m.forward && i != m.v) {
			s.patch = append(s.patch, i)
		}
		if i == m.v {
			break
		}
	}
	if m.forward {
		s.patch = append(s.patch, m.u)
	}
	return s.patch
}

// estimate returns the longest path through the activities that a move shifts, with the heads
// and tails of all others as they are.
func (s *shop) estimate(m move) int32 {
	d, in := s.w.duration, &s.w.forward
	list := s.span(m)
	prior, next := s.before[m.u], s.after[m.v]
	free := int32(0)
	if prior >= 0 {
		free = s.head[prior] + d[prior]
	}
	var heads [64]int32
	long := len(list) > len(heads)
	value := int32(0)
	for k, i := range list {
		t := max(free, in.earliest(i, 0, s.head))
		free = t + d[i]
		if !long {
			heads[k] = t
		}
	}
	if long {
		return free
	}
	rest := int32(0)
	if next >= 0 {
		rest = s.tail[next]
	}
	for k := len(list) - 1; k >= 0; k-- {
		i := list[k]
		t := rest + d[i]
		for a := in.outAt[i]; a < in.outAt[i+1]; a++ {
			t = max(t, s.tail[in.to[a]]+s.weight[a])
		}
		rest = t
		value = max(value, heads[k]+t)
	}
	return value
}

// forbidden reports whether the move puts a pair into a tabu order.
func (s *shop) forbidden(m move) bool {
	for i := m.u; ; i = s.after[i] {
		pair := s.pair(i, m.u)
		if !m.forward {
			pair = s.pair(m.v, i)
		}
		if i != m.u && m.forward || i != m.v && !m.forward {
			if s.tabu[pair] > s.now {
				return true
			}
		}
		if i == m.v {
			return false
		}
	}
}

func (s *shop) pair(i, j int32) int { return int(i)*len(s.head) + int(j) }

// apply makes the move and forbids to turn its pairs back for some time.
func (s *shop) apply(m move) {
	until := s.now + 3 + int32(s.rng.below(8))
	for i := m.u; ; i = s.after[i] {
		switch {
		case m.forward && i != m.u:
			s.tabu[s.pair(m.u, i)] = until
		case !m.forward && i != m.v:
			s.tabu[s.pair(i, m.v)] = until
		}
		if i == m.v {
			break
		}
	}
	list := s.span(m)
	prior, next := s.before[m.u], s.after[m.v]
	for _, i := range list {
		s.before[i] = prior
		if prior >= 0 {
			s.after[prior] = i
		}
		prior = i
	}
	s.after[prior] = next
	if next >= 0 {
		s.before[next] = prior
	}
}

func (s *shop) result() project.Plan {
	if s.best > s.w.f.p.Horizon {
		return project.Plan{}
	}
	return project.Plan{Start: slices.Clone(s.plan), Mode: make([]int32, len(s.plan)), Makespan: s.best}
}

func (s *shop) offer(plan project.Plan) {
	s.adopt(plan.Start)
	if s.last < s.best {
		s.keep()
	}
}

func (s *shop) spent() int { return s.work + s.w.work }
func (s *shop) over() bool { return s.start.over() }
