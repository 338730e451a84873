package exact

// closureLimit is up to how many variables all longest paths are computed. They settle the
// order of pairs before the search.
const closureLimit = 500

// lags holds, for all pairs of variables, the longest path over arcs without a guard: the least
// y - x, or unreached.
type lags [][]int32

const unreached = -1 << 30

// closure returns all longest paths, and false if there is a cycle of positive length.
func (e *engine) closure() (lags, bool) {
	n := len(e.phase)
	if !e.acyclic(n) {
		return nil, false
	}
	d := make(lags, n)
	queued := make([]bool, n)
	var queue []int32
	for x := range d {
		row := make([]int32, n)
		for y := range row {
			row[y] = unreached
		}
		row[x] = 0
		queue = append(queue[:0], int32(x))
		for k := 0; k < len(queue); k++ {
			y := queue[k]
			queued[y] = false
			for _, h := range e.hops[2*y] {
				z := h.to / 2
				if v := row[y] + h.lag; v > row[z] {
					row[z] = v
					if !queued[z] {
						queued[z] = true
						queue = append(queue, z)
					}
				}
			}
		}
		d[x] = row
	}
	return d, true
}

// acyclic reports whether no cycle of arcs without a guard has a positive length: then the
// longest walks settle within n rounds.
func (e *engine) acyclic(n int) bool {
	at := make([]int64, n)
	for range n + 1 {
		moved := false
		for x := range at {
			for _, h := range e.hops[2*x] {
				if v := at[x] + int64(h.lag); v > at[h.to/2] {
					at[h.to/2], moved = v, true
				}
			}
		}
		if !moved {
			return true
		}
	}
	return false
}

// pair is two activities that can never run at the same time.
type pair struct{ i, j int32 }

// settleOrders posts the orders that the lags alone force, until there are no more, and returns
// the pairs that remain open. It returns false if a pair has no order.
func (e *engine) settleOrders(pairs []pair) ([]pair, bool) {
	for {
		d, ok := e.closure()
		if !ok {
			return nil, false
		}
		open := pairs[:0]
		posted := false
		for _, p := range pairs {
			a, b := &e.acts[p.i], &e.acts[p.j]
			if d.before(a, b) || d.before(b, a) {
				continue
			}
			first, second := d.allows(a, b), d.allows(b, a)
			switch {
			case !first && !second:
				return nil, false
			case first && second:
				open = append(open, p)
				continue
			case first:
				e.addArc(a.end, b.start, 0, free)
			default:
				e.addArc(b.end, a.start, 0, free)
			}
			posted = true
		}
		pairs = open
		if !posted {
			return pairs, true
		}
	}
}

// before reports whether a ends before b starts in any case.
func (d lags) before(a, b *activity) bool {
	return d[a.end.x][b.start.x] >= a.end.off-b.start.off
}

// allows reports whether a may end before b starts.
func (d lags) allows(a, b *activity) bool {
	return d[b.start.x][a.end.x]+a.end.off-b.start.off <= 0
}
