package search

import (
	"slices"

	"chablon/schedule/project"
)

// ranked is the search for problems with goals, calendars or machines. Restarts of the serial
// scheme in both directions of time look for a first plan; then parts of it are taken out and
// placed anew, soon or late, and single activities are shifted, as long as the goals in their
// order do not become worse.
type ranked struct {
	p       *project.Problem
	n       int
	rng     *random
	stop    func() bool
	ahead   *serial // time as it is
	back    *serial // reversed
	boost   []int64 // by activity: how much sooner in the order after failures
	round   int
	work    int
	none    bool // the bounds contradict each other: no plan exists
	best    project.Plan
	value   []int64
	related [][]int32 // by activity: those that an arc or a machine ties to it
	late    int       // of neighbourhoods: how often placing late helped, and soon
	soon    int
}

func newRanked(p *project.Problem, rng *random, stop func() bool) *ranked {
	back, ends := turned(p)
	r := &ranked{p: p, n: len(p.Activities), rng: rng, stop: stop, boost: make([]int64, len(p.Activities))}
	r.ahead, r.back = newSerial(newBench(p, nil), stop), newSerial(newBench(back, ends), stop)
	r.none = !r.ahead.restart() && !stop()
	r.relate()
	return r
}

func (r *ranked) relate() {
	r.related = make([][]int32, r.n)
	for _, a := range r.p.Arcs {
		if a.From != a.To {
			r.related[a.From] = append(r.related[a.From], a.To)
			r.related[a.To] = append(r.related[a.To], a.From)
		}
	}
}

func (r *ranked) result() project.Plan { return clone(r.best) }
func (r *ranked) spent() int           { return r.work }
func (r *ranked) over() bool           { return r.none || r.n == 0 && r.best.Start != nil }

func (r *ranked) offer(plan project.Plan) {
	if v := r.p.Value(plan); r.best.Start == nil || slices.Compare(v, r.value) < 0 {
		r.best, r.value = clone(plan), v
	}
}

func (r *ranked) try() bool {
	r.round++
	switch {
	case r.none:
		return false
	case r.best.Start == nil:
		return r.first()
	case r.round%4 == 0:
		return r.shift()
	case r.round%16 == 1:
		return r.first()
	}
	return r.replace()
}

// first makes one pass of the serial scheme over all, in one direction or the other: for a first
// plan, and now and then for one far from the best.
func (r *ranked) first() bool {
	r.work++
	s := r.ahead
	if r.backward() {
		s = r.back
	}
	for i := range s.only {
		s.only[i] = -1
	}
	if !s.restart() {
		return false
	}
	r.keys(s)
	if !s.complete(10*r.n + 20) {
		r.note(s.met)
		return false
	}
	return r.take(s)
}

// backward reports in which direction the next pass goes: plans with goals are wanted late more
// often.
func (r *ranked) backward() bool {
	if len(r.p.Goals) > 0 && r.p.Goals[0].Measure != project.Makespan {
		return r.round%3 != 0
	}
	return r.round%3 == 0
}

// keys sets the order of a pass: by priority rules first, and then disturbed ever more, with modes
// and starts chosen here and there.
func (r *ranked) keys(s *serial) {
	q, turn := s.q, (r.round-1)/3
	for k := range s.key {
		i := int32(k)
		lo, hi, end := int64(q.lo[startOf(i)]), int64(q.hi[startOf(i)]), int64(q.hi[endOf(i)])
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
			spread := 1 + int(r.p.Horizon)*min(turn, 20)/20
			s.key[i] = end + int64(r.rng.below(spread)) - r.boost[i]
			if modes := len(r.p.Activities[i].Modes); modes > 1 && r.rng.below(3) == 0 {
				s.only[i] = int32(r.rng.below(modes))
			}
			if r.rng.below(6) == 0 {
				s.raise[i] = int32(lo) + int32(r.rng.below(int(max(0, hi-lo))+1))
			}
		}
	}
	if turn > 3 && !s.q.reset(s.raise) {
		clear(s.raise)
		s.q.reset(s.raise)
	}
	s.q.keep()
}

// note moves an activity that found no room, with all before it, forward in later orders.
func (r *ranked) note(met int32) {
	if met < 0 {
		return
	}
	seen := make([]bool, r.n)
	for todo := []int32{met}; len(todo) > 0; {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if seen[i] {
			continue
		}
		seen[i] = true
		r.boost[i] = min(r.boost[i]+1+int64(r.p.Horizon)/8, never)
		todo = append(todo, r.ahead.before[i]...)
	}
}

// take adopts what a direction has placed if it is no worse than the best, and reports whether it
// is better.
func (r *ranked) take(s *serial) bool {
	plan := r.read(s)
	v := r.p.Value(plan)
	if r.best.Start != nil && slices.Compare(v, r.value) > 0 {
		return false
	}
	better := r.best.Start == nil || slices.Compare(v, r.value) < 0
	r.best, r.value = plan, v
	return better
}

// read turns what a direction has placed into a plan.
func (r *ranked) read(s *serial) project.Plan {
	plan := project.Plan{Start: make([]int32, r.n), Mode: slices.Clone(s.mode)}
	for i := range plan.Start {
		start, end := s.start[i], s.end[i]
		if s == r.back {
			start, end = r.p.Horizon-end, r.p.Horizon-start
		}
		plan.Start[i] = start
		plan.Makespan = max(plan.Makespan, end)
	}
	return plan
}

// load places the best plan in a direction, but for those that out marks.
func (r *ranked) load(s *serial, out []bool) bool {
	s.clear()
	clear(s.raise)
	for k, start := range r.best.Start {
		i := int32(k)
		s.only[i] = -1
		if out[i] {
			continue
		}
		end, _ := r.p.End(i, r.best.Mode[i], start)
		if s == r.back {
			start, end = r.p.Horizon-end, r.p.Horizon-start
		}
		s.put(i, r.best.Mode[i], start, end)
	}
	return s.relabel()
}

// replace takes out some activities that have to do with each other and places them anew.
func (r *ranked) replace() bool {
	r.work++
	out := r.choose()
	s := r.ahead
	if r.rng.below(r.late+r.soon+2) <= r.late {
		s = r.back
	}
	if !r.load(s, out) {
		return false
	}
	for k := range s.key {
		i := int32(k)
		s.key[i] = int64(s.q.hi[endOf(i)])
		if out[k] && r.rng.below(2) == 0 {
			at := s.q.lo[startOf(i)]
			s.key[i] = int64(at) + int64(r.rng.below(int(max(0, s.q.hi[startOf(i)]-at))+1))
		}
		if modes := len(r.p.Activities[i].Modes); out[k] && modes > 1 && r.rng.below(3) == 0 {
			s.only[i] = int32(r.rng.below(modes))
		}
		if lo, hi := s.q.lo[startOf(i)], s.q.hi[startOf(i)]; out[k] && lo < hi && r.rng.below(5) == 0 {
			s.raise[i] = lo + 1 + int32(r.rng.below(int(hi-lo)))
			s.q.raise(startOf(i), s.raise[i])
		}
	}
	if !s.q.spread() {
		return false
	}
	if !s.complete(2*len(r.p.Activities)/3+10) || !r.take(s) {
		return false
	}
	if s == r.back {
		r.late = min(r.late+1, 50)
	} else {
		r.soon = min(r.soon+1, 50)
	}
	return true
}

// choose marks the activities to take out: near in time, tied by arcs, sharing a resource, or any.
func (r *ranked) choose() []bool {
	out := make([]bool, r.n)
	want := min(r.n, 2+r.rng.below(12))
	first := int32(r.rng.below(r.n))
	out[first] = true
	list := []int32{first}
	add := func(i int32) {
		if !out[i] {
			out[i] = true
			list = append(list, i)
		}
	}
	way := r.rng.below(4)
	for tries := 0; len(list) < want && tries < 8*want; tries++ {
		from := list[r.rng.below(len(list))]
		switch near := r.related[from]; {
		case way == 0 && len(near) > 0:
			add(near[r.rng.below(len(near))])
		case way == 1:
			i := int32(r.rng.below(r.n))
			if away := r.best.Start[i] - r.best.Start[first]; max(away, -away) <= max(1, r.best.Makespan/8) {
				add(i)
			}
		case way == 2:
			if i := int32(r.rng.below(r.n)); r.share(first, i) {
				add(i)
			}
		default:
			add(int32(r.rng.below(r.n)))
		}
	}
	return out
}

// share reports whether two activities use a resource in common, in the modes of the best plan.
func (r *ranked) share(i, j int32) bool {
	a, b := r.p.Activities[i].Modes[r.best.Mode[i]].Demand, r.p.Activities[j].Modes[r.best.Mode[j]].Demand
	for k := range a {
		if a[k] > 0 && b[k] > 0 {
			return true
		}
	}
	return false
}

// shift moves each activity by itself, in an order by chance, to where the goals like it best: as
// soon or as late as the others allow, in each of its modes.
func (r *ranked) shift() bool {
	r.work++
	better := false
	out := make([]bool, r.n)
	if !r.load(r.ahead, out) || !r.load(r.back, out) {
		return false
	}
	// The ends first and then the starts, or the other way: what moves makes room.
	order := make([]int32, r.n)
	for i := range order {
		order[i] = int32(i)
	}
	sign := int32(1 - 2*r.rng.below(2))
	slices.SortStableFunc(order, func(a, b int32) int { return int(sign * (r.best.Start[a] - r.best.Start[b])) })
	for k, i := range order {
		if k%16 == 15 && r.stop() {
			break
		}
		better = r.shiftOne(i) || better
	}
	return better
}

func (r *ranked) shiftOne(i int32) bool {
	was := place{r.best.Mode[i], r.ahead.start[i], r.ahead.end[i]}
	r.ahead.takeOut(i)
	r.back.takeOut(i)
	now := was
	better := false
	for m := range r.p.Activities[i].Modes {
		if !r.ahead.affords(i, int32(m)) {
			continue
		}
		for _, s := range [2]*serial{r.back, r.ahead} {
			lo, hi, endLo, endHi := s.between(i)
			start, end, ok := s.fit(i, int32(m), lo, hi, endLo)
			if !ok || end > endHi || !s.q.alone(i, start, end) {
				continue
			}
			if s == r.back {
				start, end = r.p.Horizon-end, r.p.Horizon-start
			}
			at := place{int32(m), start, end}
			if at == now {
				continue
			}
			r.best.Mode[i], r.best.Start[i] = at.mode, at.start
			makespan := r.best.Makespan
			r.best.Makespan = at.end
			for j, e := range r.ahead.end {
				if int32(j) != i {
					r.best.Makespan = max(r.best.Makespan, e)
				}
			}
			if v := r.p.Value(r.best); slices.Compare(v, r.value) < 0 {
				r.value, now, better = v, at, true
			} else {
				r.best.Mode[i], r.best.Start[i], r.best.Makespan = now.mode, now.start, makespan
			}
		}
	}
	r.ahead.put(i, now.mode, now.start, now.end)
	r.back.put(i, now.mode, r.p.Horizon-now.end, r.p.Horizon-now.start)
	return better
}

// between returns what the others, where they stand, leave to the start and end of i.
func (s *serial) between(i int32) (lo, hi, endLo, endHi int32) {
	q := s.q
	var low, high [2]int32
	for k := range int32(2) {
		v := 2*i + k
		low[k], high[k] = q.lo0[v], q.hi0[v]
		for _, j := range q.in[v] {
			if a := &q.arcs[j]; a.from/2 != i {
				low[k] = max(low[k], q.push(a, s.at(a.from)))
			}
		}
		for _, j := range q.out[v] {
			if a := &q.arcs[j]; a.to/2 != i {
				high[k] = min(high[k], q.pull(a, s.at(a.to)))
			}
		}
	}
	return low[0], high[0], low[1], high[1]
}
