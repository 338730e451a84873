package search

import (
	"slices"

	"chablon/schedule/project"
)

// tally is what the placed activities come to by the goals of a net, kept up with every change.
// A gap counts once both of its activities are placed.
type tally struct {
	value       []int64
	span        int32     // the last end
	first, last [][]int32 // by index in presence, and span of its calendar
}

func (t *tally) begin(x *net) {
	t.value = make([]int64, len(x.goals))
	for _, u := range x.presence {
		t.first, t.last = append(t.first, make([]int32, len(u.hours.Open))), append(t.last, make([]int32, len(u.hours.Open)))
	}
}

func (t *tally) clear() {
	clear(t.value)
	t.span = 0
	for k := range t.first {
		for s := range t.first[k] {
			t.first[k][s], t.last[k][s] = 1<<30, -1
		}
	}
}

// add changes the value by that of a run of i that is not among those counted (sign 1), or no
// longer (-1), and takes up the run with sign 1.
func (b *board) add(i, m, s, e int32, sign int64) {
	b.delta(i, m, s, e, sign, b.value)
	if sign < 0 {
		return
	}
	b.span = max(b.span, e)
	y := b.way(i, m)
	for _, u := range y.uses {
		for _, k := range b.x.present[u.resource] {
			b.attend(k, y, u, s, e)
		}
	}
}

// attend widens the first and last use of presence k by a run.
func (b *board) attend(k int32, y *way, u use, s, e int32) {
	b.shifts(k, y, u, s, e, func(n int, from, to int32) {
		b.first[k][n], b.last[k][n] = min(b.first[k][n], from), max(b.last[k][n], to)
	})
}

// shifts yields the parts of a run within each span of the calendar of presence k.
func (b *board) shifts(k int32, y *way, u use, s, e int32, yield func(n int, from, to int32)) {
	hours := b.x.presence[k].hours
	y.pieces(u, s, e, func(from, to int32) bool {
		for n := max(0, begun(hours, from)-1); n < len(hours.Open) && hours.Open[n].From < to; n++ {
			if a, b := max(from, hours.Open[n].From), min(to, hours.Open[n].To); a < b {
				yield(n, a, b)
			}
		}
		return true
	})
}

// retract narrows spans and presence when i, which is out already, leaves what it had set.
func (b *board) retract(i, m, s, e int32) {
	if e == b.span && len(b.x.spans) > 0 {
		b.span = 0
		for j, in := range b.in {
			if in {
				b.span = max(b.span, b.end[j])
			}
		}
	}
	y := b.way(i, m)
	for _, u := range y.uses {
		for _, k := range b.x.present[u.resource] {
			edge := false
			b.shifts(k, y, u, s, e, func(n int, from, to int32) {
				edge = edge || b.first[k][n] == from || b.last[k][n] == to
			})
			if !edge {
				continue
			}
			for n := range b.first[k] {
				b.first[k][n], b.last[k][n] = 1<<30, -1
			}
			for _, j := range b.x.users[u.resource] {
				if !b.in[j] {
					continue
				}
				for _, v := range b.way(j, b.mode[j]).uses {
					if v.resource == u.resource {
						b.attend(k, b.way(j, b.mode[j]), v, b.start[j], b.end[j])
					}
				}
			}
		}
	}
}

// delta adds sign times what a run of i would add to the value to out.
func (b *board) delta(i, m, s, e int32, sign int64, out []int64) {
	x, y := b.x, b.way(i, m)
	for _, k := range x.spans {
		out[k] += sign * int64(max(0, e-b.span))
	}
	for k := range x.hinges[i] {
		h := &x.hinges[i][k]
		out[h.goal] += sign * b.hinge(&h.gap, i, s, e)
	}
	for _, u := range y.uses {
		for k := range x.outside[u.resource] {
			c := &x.outside[u.resource][k]
			y.pieces(u, s, e, func(from, to int32) bool {
				out[c.goal] += sign * c.weight * int64(u.amount) * int64(to-from-(c.hours.Work(to)-c.hours.Work(from)))
				return true
			})
		}
		for _, k := range x.present[u.resource] {
			out[x.presence[k].goal] += sign * x.presence[k].weight * b.more(k, y, u, s, e)
		}
	}
	for _, st := range y.stands {
		if len(x.setUps[st.Machine]) == 0 {
			continue
		}
		d := sign * b.setUp(st, run{i, st.Class, s, e})
		for _, k := range x.setUps[st.Machine] {
			out[k] += d
		}
	}
}

// hinge is the cost of a gap with i from s to e, 0 while the other is out.
func (b *board) hinge(g *project.Gap, i, s, e int32) int64 {
	at := func(j int32, ends bool) (int64, bool) {
		switch {
		case j == project.Clock:
			return 0, true
		case j == i && ends:
			return int64(e), true
		case j == i:
			return int64(s), true
		case ends:
			return int64(b.end[j]), b.in[j]
		}
		return int64(b.start[j]), b.in[j]
	}
	from, ok := at(g.From, g.FromEnd)
	to, okTo := at(g.To, g.ToEnd)
	if !ok || !okTo {
		return 0
	}
	return int64(g.Weight) * max(0, to-from-int64(g.Lag))
}

// more is by how much a run lengthens presence k.
func (b *board) more(k int32, y *way, u use, s, e int32) int64 {
	// Several pieces may lie in one span: they are taken together.
	sum, n, from, to := int64(0), -1, int32(0), int32(0)
	b.shifts(k, y, u, s, e, func(next int, f, t int32) {
		if next != n {
			if n >= 0 {
				sum += longer(b.first[k][n], b.last[k][n], from, to)
			}
			n, from = next, f
		}
		to = t
	})
	if n >= 0 {
		sum += longer(b.first[k][n], b.last[k][n], from, to)
	}
	return sum
}

func longer(first, last, from, to int32) int64 {
	if last < 0 {
		return int64(to - from)
	}
	return int64(max(last, to) - min(first, from) - (last - first))
}

// setUp is by how much a run that is not on the machine lengthens its set-ups.
func (b *board) setUp(st project.Stand, r run) int64 {
	m, list := &b.x.p.Machines[st.Machine], b.runs[st.Machine]
	gap := func(a, b int32) int64 {
		if m.Rule[a][b]&project.Apart == 0 {
			return 0
		}
		return int64(m.Gap[a][b])
	}
	k, _ := slices.BinarySearchFunc(list, r, byStart)
	d := int64(0)
	if k > 0 {
		d += gap(list[k-1].class, r.class)
	}
	if k < len(list) {
		d += gap(r.class, list[k].class)
	}
	if k > 0 && k < len(list) {
		d -= gap(list[k-1].class, list[k].class)
	}
	return d
}
