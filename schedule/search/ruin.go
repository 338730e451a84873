package search

import (
	"cmp"
	"slices"

	"chablon/schedule/project"
)

// ruin is the working memory of the improvement.
type ruin struct {
	set        []int32 // taken out in this attempt
	member     []bool
	old        []placed
	was        []int64 // the value before it
	more, less []int64 // what a spot adds, and the least so far
	spot       placed
	ties       int
	lean       lean
	idle       int // plans followed since the best
	turned     int // the goal whose turn it is
}

// placed is where an activity stands.
type placed struct{ mode, start, end int32 }

// lean says which of two spots that add the same is taken.
type lean uint8

const (
	anywhere lean = iota
	lateOnes
	earlyOnes
	leans
)

func (u *ruin) begin(x *net) {
	u.member, u.old = make([]bool, x.n), make([]placed, x.n)
	u.was, u.more, u.less = make([]int64, len(x.goals)), make([]int64, len(x.goals)), make([]int64, len(x.goals))
}

// shift moves every activity once to where it starts last (or ends first), from the last on (or
// the first), where no goal is the worse for it.
func (r *ranked) shift(late bool) {
	order := make([]int32, r.x.n)
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(i, j int32) int {
		if late {
			return cmp.Compare(r.b.end[j], r.b.end[i])
		}
		return cmp.Compare(r.b.start[i], r.b.start[j])
	})
	for _, i := range order {
		if r.stop() {
			return
		}
		r.set = append(r.set[:0], i)
		r.takeOut()
		w, m := r.b.window(i), r.old[i].mode
		var s, e int32
		var ok bool
		if late {
			s, e, ok = r.x.last(&r.b.room, i, m, w)
		} else {
			s, e, ok = r.x.first(&r.b.room, i, m, w)
		}
		if ok {
			r.b.put(i, m, s, e)
		}
		if !ok || slices.Compare(r.b.value, r.was) > 0 {
			r.putBack()
		}
	}
}

func (r *ranked) takeOut() {
	copy(r.was, r.b.value)
	for _, i := range r.set {
		r.old[i] = placed{r.b.mode[i], r.b.start[i], r.b.end[i]}
	}
	for _, i := range r.set {
		r.b.out(i)
	}
}

func (r *ranked) putBack() {
	for _, i := range r.set {
		if r.b.in[i] {
			r.b.out(i)
		}
	}
	for _, i := range r.set {
		r.b.put(i, r.old[i].mode, r.old[i].start, r.old[i].end)
	}
}

// attempt takes out a few activities and puts each back where it adds least. The plan is followed
// if it is no worse than before, or bearable; it is true if it is the best so far. Where all that
// is worse is refused, the search is soon caught (record-to-record travel: Dueck, Journal of
// Computational Physics 104, 1993).
func (r *ranked) attempt() bool {
	r.choose()
	r.takeOut()
	r.sequence()
	r.lean = lean(r.rng.below(int(leans)))
	for _, i := range r.set {
		if !r.insert(i) {
			r.putBack()
			return false
		}
	}
	if slices.Compare(r.b.value, r.was) > 0 && !r.bearable() {
		r.putBack()
		return false
	}
	if r.keep() {
		r.idle = 0
		return true
	}
	if r.idle++; r.idle >= patience {
		r.idle = 0
		r.turn()
	}
	return false
}

const (
	// patience is how many plans that are not the best are followed before the next goal's turn.
	patience = 2000
	// leeway is the part of a goal by which they may be worse.
	leeway = 10
)

// bearable reports whether a plan that is worse than the one before may be followed: no goal
// before the one whose turn it is is worse than in the best plan, and none by more than leeway.
func (r *ranked) bearable() bool {
	for k, v := range r.b.value {
		most := r.value[k]
		if k >= r.turned {
			most += most / leeway
		}
		if v > most {
			return false
		}
	}
	return true
}

// turn goes back to the best plan, and on to the next goal that is not zero.
func (r *ranked) turn() {
	r.b.load(r.best)
	for range r.value {
		if r.turned = (r.turned + 1) % len(r.value); r.value[r.turned] > 0 {
			return
		}
	}
}

// most is how many activities are taken out at once.
const most = 12

// choose fills set with a culprit and others that have to do with it.
func (r *ranked) choose() {
	n := r.x.n
	size := 1 + r.rng.below(min(n, 3))
	if r.rng.below(3) == 0 {
		size = 1 + r.rng.below(min(n, most))
	}
	r.set = r.set[:0]
	r.include(r.culprit())
	if r.rng.below(4) == 0 {
		r.chain(most)
	}
	for tries := 0; len(r.set) < size && tries < 4*size; tries++ {
		r.include(r.related(r.set[r.rng.below(len(r.set))]))
	}
	for _, i := range r.set {
		r.member[i] = false
	}
}

// chain includes what arcs tie to the first of the set, the nearest first.
func (r *ranked) chain(size int) {
	for k := 0; k < len(r.set) && len(r.set) < size; k++ {
		for _, t := range r.x.ties[r.set[k]] {
			a := &r.x.arcs[t]
			r.include(a.From + a.To - r.set[k])
		}
	}
}

func (r *ranked) include(i int32) {
	if i >= 0 && !r.member[i] {
		r.member[i] = true
		r.set = append(r.set, i)
	}
}

// related returns an activity tied to i by an arc or a goal, next to it on a machine, or near to
// it on a resource, -1 for none.
func (r *ranked) related(i int32) int32 {
	x, b := r.x, r.b
	switch r.rng.below(6) {
	case 0, 1:
		if list := x.ties[i]; len(list) > 0 {
			a := &x.arcs[list[r.rng.below(len(list))]]
			return a.From + a.To - i
		}
	case 2:
		if list := x.hinges[i]; len(list) > 0 {
			g := &list[r.rng.below(len(list))].gap
			if g.From == i {
				return g.To // -1 for the clock
			}
			return g.From
		}
	case 3:
		if list := b.way(i, b.mode[i]).stands; len(list) > 0 {
			st := list[r.rng.below(len(list))]
			runs := b.runs[st.Machine]
			k, _ := slices.BinarySearchFunc(runs, run{i, st.Class, b.start[i], b.end[i]}, byStart)
			if k += 1 - 2*r.rng.below(2); k >= 0 && k < len(runs) {
				return runs[k].activity
			}
		}
	case 4:
		return int32(r.rng.below(x.n))
	}
	m := x.able[i][r.rng.below(len(x.able[i]))]
	uses := x.ways[i][m].uses
	if len(uses) == 0 {
		return -1
	}
	users := x.users[uses[r.rng.below(len(uses))].resource]
	best, near := int32(-1), int32(0)
	for range 5 {
		j := users[r.rng.below(len(users))]
		d := b.start[j] - b.start[i]
		if d = max(d, -d); j != i && !r.member[j] && (best < 0 || d < near) {
			best, near = j, d
		}
	}
	return best
}

// culprit returns an activity that a goal has something against, or any.
func (r *ranked) culprit() int32 {
	x, b := r.x, r.b
	k := r.rng.below(2 * len(x.goals))
	if k >= len(x.goals) && r.rng.below(2) == 0 {
		k = r.turned
	}
	any := int32(r.rng.below(x.n))
	if k >= len(x.goals) || b.value[k] == 0 {
		return any
	}
	switch g := &x.goals[k]; g.Measure {
	case project.Makespan:
		for range 30 {
			if i := int32(r.rng.below(x.n)); b.end[i] == b.span {
				return i
			}
		}
	case project.Delay:
		for range 30 {
			d := &g.Delays[r.rng.below(len(g.Delays))]
			i, other := d.To, d.From
			if i == project.Clock || other != project.Clock && r.rng.below(2) == 0 {
				i, other = other, i
			}
			if i != project.Clock && b.hinge(d, i, b.start[i], b.end[i]) > 0 {
				return i
			}
		}
	case project.Outside:
		for range 30 {
			i := int32(r.rng.below(x.n))
			for _, u := range b.way(i, b.mode[i]).uses {
				for n := range x.outside[u.resource] {
					c := &x.outside[u.resource][n]
					if c.goal == k && c.hours.Work(b.end[i])-c.hours.Work(b.start[i]) < b.end[i]-b.start[i] {
						return i
					}
				}
			}
		}
	case project.Presence:
		for range 10 {
			n := r.rng.below(len(x.presence))
			c := &x.presence[n]
			if c.goal != k || len(c.hours.Open) == 0 {
				continue
			}
			s := r.rng.below(len(c.hours.Open))
			if b.last[n][s] < 0 {
				continue
			}
			first := r.rng.below(2) == 0
			for _, i := range x.users[c.resource] {
				t := b.last[n][s] - 1
				if first {
					t = b.first[n][s]
				}
				if amount, _ := b.amount(i, c.resource, t); amount > 0 {
					return i
				}
			}
		}
	case project.SetUps:
		for range 10 {
			m := g.Machines[r.rng.below(len(g.Machines))]
			if runs := b.runs[m]; len(runs) > 1 {
				n := 1 + r.rng.below(len(runs)-1)
				if runs[n].class != runs[n-1].class {
					return runs[n-r.rng.below(2)].activity
				}
			}
		}
	}
	return any
}

// sequence puts the set in the order in which it is to be put back.
func (r *ranked) sequence() {
	switch r.rng.below(3) {
	case 0:
		slices.SortFunc(r.set, func(i, j int32) int { return cmp.Or(cmp.Compare(r.old[i].start, r.old[j].start), cmp.Compare(i, j)) })
	case 1:
		slices.SortFunc(r.set, func(i, j int32) int { return cmp.Or(cmp.Compare(r.old[j].end, r.old[i].end), cmp.Compare(i, j)) })
	default:
		for k := range r.set {
			o := r.rng.below(k + 1)
			r.set[k], r.set[o] = r.set[o], r.set[k]
		}
	}
}

// insert puts i at the best of the spots that it looks at, false if none is free.
func (r *ranked) insert(i int32) bool {
	w := r.b.window(i)
	if w.void() {
		return false
	}
	r.ties = 0
	modes := r.x.able[i]
	from, count := 0, len(modes)
	if count > 4 {
		from, count = r.rng.below(count), 3
		r.spots(i, r.old[i].mode, w)
	}
	for k := range count {
		r.spots(i, modes[(from+k)%len(modes)], w)
	}
	if r.ties == 0 {
		return false
	}
	r.b.put(i, r.spot.mode, r.spot.start, r.spot.end)
	return true
}

// spots looks at places of i in mode m: the first and the last, and those nearest to moments at
// which a goal changes.
func (r *ranked) spots(i, m int32, w window) {
	if !r.b.allowed(i, m) {
		return
	}
	x, b := r.x, r.b
	s, e, ok := x.first(&b.room, i, m, w)
	if !ok {
		return
	}
	r.look(i, m, s, e, true)
	w.s0 = max(w.s0, s)
	s, e, ok = x.last(&b.room, i, m, w)
	r.look(i, m, s, e, ok)
	if w.s1 = min(w.s1, s); w.s0 >= w.s1 {
		return
	}
	r.near(i, m, w, r.old[i].start, false)
	r.near(i, m, w, w.s0+int32(r.rng.below(int(w.s1-w.s0)+1)), false)
	for k := range x.hinges[i] {
		if k < 3 || r.rng.below(len(x.hinges[i])) < 3 {
			r.nearHinge(i, m, w, &x.hinges[i][k].gap)
		}
	}
	y := b.way(i, m)
	for _, u := range y.uses {
		for _, k := range x.present[u.resource] {
			hours := x.presence[k].hours.Open
			if len(hours) == 0 {
				continue
			}
			n := max(0, begun(x.presence[k].hours, w.s0)-1)
			last := max(n+1, begun(x.presence[k].hours, w.e1))
			n += r.rng.below(last - n)
			if b.last[k][n] >= 0 {
				r.near(i, m, w, b.first[k][n], r.rng.below(2) == 0)
				r.near(i, m, w, b.last[k][n], r.rng.below(2) == 0)
			}
		}
		for k := range x.outside[u.resource] {
			hours := x.outside[u.resource][k].hours
			if len(hours.Open) == 0 {
				continue
			}
			n := max(0, begun(hours, w.s0)-1)
			n += r.rng.below(max(n+1, begun(hours, w.e1)) - n)
			r.near(i, m, w, hours.Open[n].From, false)
			r.near(i, m, w, hours.Open[n].To, true)
		}
	}
	for _, st := range y.stands {
		if runs := b.runs[st.Machine]; len(runs) > 0 && len(x.setUps[st.Machine]) > 0 {
			o := &runs[r.rng.below(len(runs))]
			r.near(i, m, w, o.to, false)
			r.near(i, m, w, o.from, true)
		}
	}
}

// nearHinge looks at the places from which a gap begins to cost.
func (r *ranked) nearHinge(i, m int32, w window, g *project.Gap) {
	b := r.b
	other, ends, mine, sign := g.From, g.FromEnd, g.ToEnd, int32(1)
	if g.To != i {
		other, ends, mine, sign = g.To, g.ToEnd, g.FromEnd, -1
	}
	at := int32(0)
	switch {
	case other == i:
		return
	case other == project.Clock:
	case !b.in[other]:
		return
	case ends:
		at = b.end[other]
	default:
		at = b.start[other]
	}
	r.near(i, m, w, at+sign*g.Lag, mine)
}

// near looks at the places nearest to a start (or an end) at t, before it and after it.
func (r *ranked) near(i, m int32, w window, t int32, ends bool) {
	x, b := r.x, r.b
	low, high := w, w
	if ends {
		low.e1, high.e0 = min(w.e1, t), max(w.e0, t)
	} else {
		low.s1, high.s0 = min(w.s1, t), max(w.s0, t)
	}
	if !low.void() {
		s, e, ok := x.last(&b.room, i, m, low)
		r.look(i, m, s, e, ok)
	}
	if !high.void() {
		s, e, ok := x.first(&b.room, i, m, high)
		r.look(i, m, s, e, ok)
	}
}

// look compares a spot with the best so far. Now and then it looks away, so that not every
// attempt ends at the same plan.
func (r *ranked) look(i, m, s, e int32, ok bool) {
	if !ok || r.ties > 0 && (r.spot == placed{m, s, e} || r.rng.below(32) == 0) {
		return
	}
	clear(r.more)
	r.b.delta(i, m, s, e, 1, r.more)
	c := -1
	if r.ties > 0 {
		c = slices.Compare(r.more, r.less)
	}
	switch {
	case c > 0:
		return
	case c < 0:
		r.ties = 1
	case r.lean == lateOnes && s < r.spot.start, r.lean == earlyOnes && s > r.spot.start:
		return
	default:
		if r.ties++; r.lean == anywhere && r.rng.below(r.ties) != 0 {
			return
		}
	}
	r.spot = placed{m, s, e}
	copy(r.less, r.more)
}
