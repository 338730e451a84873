package search

import "chablon/schedule/project"

// board is a layout that knows what it comes to by the goals of its net.
type board struct {
	layout
	tally

	work   int // placements
	region region
	lost   []int32  // victims of the last look
	taken  []uint32 // by activity: the look it was last a victim of
	looks  uint32
}

func newBoard(x *net) *board {
	b := &board{layout: newLayout(x), taken: make([]uint32, x.n)}
	b.region.begin(x.n)
	b.tally.begin(x)
	b.tally.clear()
	return b
}

// clear takes everything out.
func (b *board) clear() {
	b.layout.clear()
	b.tally.clear()
}

// put places i in mode m from s to e.
func (b *board) put(i, m, s, e int32) {
	b.work++
	b.add(i, m, s, e, 1)
	b.layout.put(i, m, s, e)
}

// out takes i out.
func (b *board) out(i int32) {
	m, s, e := b.mode[i], b.start[i], b.end[i]
	b.layout.out(i)
	b.retract(i, m, s, e)
	b.add(i, m, s, e, -1)
}

// load places all of a plan, which must be right.
func (b *board) load(p project.Plan) {
	b.clear()
	for i := range b.x.n {
		e, _ := b.x.p.End(int32(i), p.Mode[i], p.Start[i])
		b.put(int32(i), p.Mode[i], p.Start[i], e)
	}
}

// region is the working memory of window.
type region struct {
	label  []window
	mark   []uint32
	stamp  uint32
	queue  []int32
	queued []bool
}

func (r *region) begin(n int) {
	r.label, r.mark, r.queued = make([]window, n), make([]uint32, n), make([]bool, n)
}

const (
	// wide is how many activities that are out window looks at on the way to those placed.
	wide = 60
	// deep is how often it looks at one.
	deep = 200
)

// window returns what the arcs leave to i, which is out: by way of the placed ones, and of others
// that are out as well.
func (b *board) window(i int32) window {
	r := &b.region
	r.stamp++
	r.queue = r.queue[:0]
	count := 0
	visit := func(j int32) {
		r.mark[j], r.label[j] = r.stamp, b.x.base[j]
		count++
		for _, t := range b.x.ties[j] {
			a := &b.x.arcs[t]
			if o := a.From + a.To - j; b.in[o] {
				b.x.pull(a, j, &r.label[j], window{b.start[o], b.start[o], b.end[o], b.end[o]})
			}
		}
		b.x.tie(j, &r.label[j])
		if !r.queued[j] {
			r.queued[j] = true
			r.queue = append(r.queue, j)
		}
	}
	visit(i)
	for k := 0; k < len(r.queue); k++ {
		j := r.queue[k]
		r.queued[j] = false
		if k > deep || r.label[j].void() {
			continue
		}
		for _, t := range b.x.ties[j] {
			a := &b.x.arcs[t]
			o := a.From + a.To - j
			if b.in[o] {
				continue
			}
			if r.mark[o] != r.stamp {
				if count >= wide {
					continue
				}
				visit(o)
			}
			was := r.label[o]
			b.x.pull(a, o, &r.label[o], r.label[j])
			if r.label[o] == was {
				continue
			}
			b.x.tie(o, &r.label[o])
			if !r.queued[o] {
				r.queued[o] = true
				r.queue = append(r.queue, o)
			}
		}
	}
	return r.label[i]
}

// victims fills lost with what has to go for i to run in mode m from s to e, and returns its
// cost: one for each and what it weighs. What an arc, a machine, a resource or a budget cannot
// bear goes, of resources and budgets the lightest first. It is negative if that does not do.
func (b *board) victims(i, m, s, e int32, weight []int64) int64 {
	x, y := b.x, b.way(i, m)
	b.lost = b.lost[:0]
	b.looks++
	cost := int64(0)
	lose := func(j int32) {
		if b.taken[j] != b.looks {
			b.taken[j] = b.looks
			b.lost = append(b.lost, j)
			cost += 1 + weight[j]
		}
	}
	for _, t := range x.ties[i] {
		a := &x.arcs[t]
		o := a.From + a.To - i
		switch {
		case !b.in[o]:
		case a.From == i && !x.keeps(a, s, e, b.start[o], b.end[o]), a.To == i && !x.keeps(a, b.start[o], b.end[o], s, e):
			lose(o)
		}
	}
	for _, st := range y.stands {
		for k := range b.runs[st.Machine] {
			if o := &b.runs[st.Machine][k]; clash(&x.p.Machines[st.Machine], o, &run{i, st.Class, s, e}) {
				lose(o.activity)
			}
		}
	}
	for k := range y.uses {
		u := &y.uses[k]
		y.pieces(*u, s, e, func(from, to int32) bool {
			b.crowd(u, from, to, weight, lose)
			return true
		})
	}
	for k, most := range x.p.Budget {
		over := b.spent[k] + y.consumes(k) - x.least[i][k] - int64(most)
		for _, j := range b.lost {
			over -= b.way(j, b.mode[j]).consumes(k) - x.least[j][k]
		}
		for over > 0 {
			best := int32(-1)
			for j := range int32(x.n) {
				if b.in[j] && j != i && b.taken[j] != b.looks && b.way(j, b.mode[j]).consumes(k) > x.least[j][k] && (best < 0 || weight[j] < weight[best]) {
					best = j
				}
			}
			if best < 0 {
				return -1
			}
			over -= b.way(best, b.mode[best]).consumes(k) - x.least[best][k]
			lose(best)
		}
	}
	return cost
}

// crowd loses the lightest users of a resource between from and to until u fits.
func (b *board) crowd(u *use, from, to int32, weight []int64, lose func(j int32)) {
	free := &b.free[u.resource]
	for k := free.find(from); k < len(free.at) && free.at[k] < to; k++ {
		if free.free[k] >= u.amount {
			continue
		}
		end := to
		if k+1 < len(free.at) {
			end = min(end, free.at[k+1])
		}
		// Users may change within a step.
		for t := max(from, free.at[k]); t < end; {
			lack, until := u.amount-free.free[k], end
			leave := func(j int32) {
				if d, e := b.amount(j, u.resource, t); d > 0 {
					lack, until = lack-d, min(until, e)
				}
			}
			for _, j := range b.lost {
				leave(j)
			}
			for lack > 0 {
				best := int32(-1)
				for _, j := range b.x.users[u.resource] {
					if !b.in[j] || b.taken[j] == b.looks || best >= 0 && weight[j] >= weight[best] {
						continue
					}
					if d, _ := b.amount(j, u.resource, t); d > 0 {
						best = j
					}
				}
				if best < 0 {
					return // the empty room is too small, which the caller has ruled out
				}
				lose(best)
				leave(best)
			}
			t = until
		}
	}
}

// amount is what the placed activity j uses of a resource at t, and until when.
func (b *board) amount(j, resource, t int32) (amount, until int32) {
	if t < b.start[j] || t >= b.end[j] {
		return 0, 0
	}
	y := b.way(j, b.mode[j])
	for _, u := range y.uses {
		switch {
		case u.resource != resource:
		case !u.split:
			return u.amount, b.end[j]
		default:
			if s := y.calendar.Open[max(0, begun(y.calendar, t)-1)]; t < s.To {
				return u.amount, min(s.To, b.end[j])
			}
		}
	}
	return 0, 0
}

// clash reports whether two runs do not go together on a machine.
func clash(m *project.Machine, a, b *run) bool {
	rule, back := m.Rule[a.class][b.class], m.Rule[b.class][a.class]
	if rule&project.Apart != 0 {
		return b.from < a.to+m.Gap[a.class][b.class] && a.from < b.to+m.Gap[b.class][a.class]
	}
	in := func(t int32, r *run) bool { return r.from < t && t < r.to }
	return rule&project.NoStart != 0 && in(b.from, a) || back&project.NoStart != 0 && in(a.from, b) ||
		rule&project.NoEnd != 0 && in(b.to, a) || back&project.NoEnd != 0 && in(a.to, b)
}
