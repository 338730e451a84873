package search

import (
	"slices"

	"chablon/schedule/project"
)

// ranked is the search for rich problems. It makes a plan by placing one activity after another,
// in rising order of a priority, where it ends first (or, backward, starts last). One that finds
// no place is put where it drives out the least, and what is driven out is placed again; what
// was in trouble weighs more from then on, in this pass and in later ones. A plan is improved by
// taking out a few activities that have to do with each other and putting each where it adds
// least to the goals in order of rank: ruin and recreate (Schrimpf et al., Journal of
// Computational Physics 159, 2000).
type ranked struct {
	x      *net
	b      *board
	rng    *random
	stop   func() bool
	weight []int64 // by activity: how often it was in trouble
	rounds int     // passes tried
	late   bool    // the first pass goes backward

	before, behind [][]int32 // by activity: those that arcs put before and after it
	rank           []int32
	heap           []int64

	serials [2]*serial // time as it is, and reversed: for passes over the whole, once needed

	best  project.Plan
	value []int64 // of best
	ruin
}

func newRanked(x *net, rng *random, stop func() bool) *ranked {
	r := &ranked{x: x, b: newBoard(x), rng: rng, stop: stop, weight: make([]int64, x.n), rank: make([]int32, x.n)}
	r.late = x.goals[0].Measure != project.Makespan
	r.before, r.behind = make([][]int32, x.n), make([][]int32, x.n)
	for k := range x.arcs {
		if a := &x.arcs[k]; a.From != a.To && x.gap(a) >= 0 {
			r.before[a.To] = append(r.before[a.To], a.From)
			r.behind[a.From] = append(r.behind[a.From], a.To)
		}
	}
	r.ruin.begin(x)
	return r
}

func (r *ranked) result() project.Plan { return clone(r.best) }

func (r *ranked) offer(plan project.Plan) {
	value := r.x.p.Value(plan)
	if r.best.Start == nil || slices.Compare(value, r.value) < 0 {
		r.best, r.value = clone(plan), value
		r.b.load(plan)
	}
}

func (r *ranked) spent() int { return r.b.work / max(1, r.x.n) }
func (r *ranked) over() bool { return r.x.dead || r.x.n == 0 && r.best.Start != nil }

// firstPasses are made in both directions before a plan is improved.
const firstPasses = 2

// try makes a pass, or as many attempts to improve as take about the time of one.
func (r *ranked) try() bool {
	if r.x.dead {
		return false
	}
	if r.best.Start == nil || r.rounds < firstPasses {
		return r.pass()
	}
	better := false
	for until := r.b.work + r.x.n + 10; r.b.work < until && !r.stop(); {
		if r.attempt() {
			better = true
		}
	}
	return better
}

// keep takes over the plan on the board if it is the best so far.
func (r *ranked) keep() bool {
	if r.best.Start != nil && slices.Compare(r.b.value, r.value) >= 0 {
		return false
	}
	r.best, r.value = r.b.plan(), slices.Clone(r.b.value)
	return true
}

// pass makes one plan from nothing and keeps it if it is the best.
func (r *ranked) pass() bool {
	late := r.late == (r.rounds%2 == 0)
	if r.serially(late) {
		r.rounds++
		return r.polish(late)
	}
	r.order(late)
	r.rounds++
	r.b.clear()
	r.b.work++ // so that passes that end at once are counted
	r.heap = r.heap[:0]
	for i := range r.x.n {
		r.heap = push(r.heap, int64(r.rank[i])<<32|int64(i))
	}
	if !r.settle(func(i int32) bool { return r.place(i, late) }, 20+10*r.x.n) {
		if r.best.Start != nil {
			r.b.load(r.best)
		}
		return false
	}
	return r.polish(late)
}

// serially makes a plan by the serial scheme on the board.
func (r *ranked) serially(late bool) bool {
	k := 0
	if late {
		k = 1
	}
	if r.serials[k] == nil {
		x := r.x
		if late {
			x = x.turned()
		}
		r.serials[k] = newSerial(x, r.stop)
	}
	s := r.serials[k]
	r.b.work += r.x.n
	if !s.pass(r.rounds/2, r.rng) {
		return false
	}
	if late {
		r.b.load(s.turnedPlan())
	} else {
		r.b.load(s.plan())
	}
	return true
}

// polish shifts the plan on the board and keeps it if it is the best.
func (r *ranked) polish(late bool) bool {
	r.shift(late)
	better := r.keep()
	if !better {
		r.b.load(r.best)
	}
	return better
}

// settle places all that waits in the heap, with so many placements by force where place fails.
func (r *ranked) settle(place func(i int32) bool, forces int) bool {
	for len(r.heap) > 0 {
		i := int32(uint32(r.heap[0]))
		r.heap = pop(r.heap)
		if place(i) {
			continue
		}
		if forces--; forces < 0 || r.stop() || !r.force(i) {
			return false
		}
	}
	return true
}

// order ranks the activities by a rule, disturbed in later rounds, so that none comes before
// those that arcs put before it (or, late, after it) unless these go round.
func (r *ranked) order(late bool) {
	x := r.x
	rule := r.rounds / 2 % 4
	spread := 0
	if r.rounds >= 2 {
		spread = 1 + int(x.p.Horizon)/20*min(20, r.rounds/2)
	}
	first, next := r.before, r.behind
	if late {
		first, next = next, first
	}
	key := make([]int64, x.n)
	for i, w := range x.base {
		if late {
			w = window{x.p.Horizon - w.e1, x.p.Horizon - w.e0, x.p.Horizon - w.s1, x.p.Horizon - w.s0}
		}
		k := [4]int32{w.s1, w.e1, w.s1 - w.s0, w.s0}[rule]
		key[i] = int64(k)
		if spread > 0 {
			key[i] += int64(r.rng.below(spread)) - r.weight[i]*int64(1+x.p.Horizon/8)
		}
		key[i] = 1<<30 + max(-1<<29, min(key[i], 1<<30-1))
	}
	waiting := make([]int, x.n)
	heap := r.heap[:0]
	for i := range x.n {
		if waiting[i] = len(first[i]); waiting[i] == 0 {
			heap = push(heap, key[i]<<32|int64(i))
		}
	}
	done := make([]bool, x.n)
	for k := int32(0); int(k) < x.n; k++ {
		i := int32(-1)
		if len(heap) > 0 {
			i = int32(uint32(heap[0]))
			heap = pop(heap)
		} else { // arcs go round: the most urgent of them begins
			for j := range x.n {
				if !done[j] && (i < 0 || key[j] < key[i]) {
					i = int32(j)
				}
			}
		}
		if done[i] {
			k--
			continue
		}
		done[i], r.rank[i] = true, k
		for _, j := range next[i] {
			if waiting[j]--; waiting[j] == 0 && !done[j] {
				heap = push(heap, key[j]<<32|int64(j))
			}
		}
	}
	r.heap = heap
}

// place puts i where it ends first, or, late, where it starts last.
func (r *ranked) place(i int32, late bool) bool {
	w := r.b.window(i)
	if w.void() {
		return false
	}
	mode, start, end, score := int32(-1), int32(0), int32(0), int32(1<<30)
	for _, m := range r.x.able[i] {
		if !r.b.allowed(i, m) {
			continue
		}
		var s, e, c int32
		var ok bool
		if late {
			s, e, ok = r.x.last(&r.b.room, i, m, w)
			c = -s
		} else {
			s, e, ok = r.x.first(&r.b.room, i, m, w)
			c = e
		}
		if ok && r.rounds > 2 && r.rng.below(8) == 0 {
			c = int32(r.rng.below(1<<20)) - 1<<19
		}
		if ok && (mode < 0 || c < score || c == score && r.rounds > 1 && r.rng.below(2) == 0) {
			mode, start, end, score = m, s, e, c
		}
	}
	if mode < 0 {
		return false
	}
	r.b.put(i, mode, start, end)
	return true
}

// force puts i where what it drives out weighs least, and lets that wait again.
func (r *ranked) force(i int32) bool {
	x, b := r.x, r.b
	r.weight[i]++
	w := b.window(i)
	mode, start, end, least := int32(-1), int32(0), int32(0), int64(0)
	look := func(m int32, s, e int32, ok bool) {
		if !ok {
			return
		}
		c := b.victims(i, m, s, e, r.weight)
		if c >= 0 && (mode < 0 || c < least || c == least && r.rng.below(2) == 0) {
			mode, start, end, least = m, s, e, c
		}
	}
	modes := x.able[i]
	from, count := 0, len(modes)
	if count > 6 {
		from, count = r.rng.below(count), 6
	}
	for k := range count {
		m := modes[(from+k)%len(modes)]
		for _, in := range []window{w, x.base[i]} {
			if in.void() {
				continue
			}
			s, e, ok := x.first(&x.empty, i, m, in)
			look(m, s, e, ok)
			s, e, ok = x.last(&x.empty, i, m, in)
			look(m, s, e, ok)
			for range 2 {
				part := in
				part.s0 += int32(r.rng.below(int(max(1, in.s1-in.s0+1))))
				s, e, ok = x.first(&x.empty, i, m, part)
				look(m, s, e, ok)
			}
		}
		s, e, ok := x.first(&b.room, i, m, x.base[i])
		look(m, s, e, ok)
		s, e, ok = x.last(&b.room, i, m, x.base[i])
		look(m, s, e, ok)
	}
	if mode < 0 {
		return false
	}
	b.victims(i, mode, start, end, r.weight)
	for _, j := range b.lost {
		b.out(j)
		r.heap = push(r.heap, int64(r.rank[j])<<32|int64(j))
	}
	b.put(i, mode, start, end)
	return true
}
