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
		if e.works(10 * n) {
			return nil, false
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

// settleOrders posts the orders that the lags alone force, until there are no more, and returns
// the choices that remain open. It returns false if one has no side left.
func (e *engine) settleOrders(choices []either) ([]either, bool) {
	for {
		d, ok := e.closure()
		if !ok {
			return nil, false
		}
		open := choices[:0]
		posted := false
		for _, c := range choices {
			if d.holds(c.first) || d.holds(c.second) {
				continue
			}
			first, second := d.allows(c.first), d.allows(c.second)
			switch {
			case !first && !second:
				return nil, false
			case first && second:
				open = append(open, c)
				continue
			case first:
				e.addArc(c.first.from, c.first.to, c.first.lag, free)
			default:
				e.addArc(c.second.from, c.second.to, c.second.lag, free)
			}
			posted = true
		}
		choices = open
		if !posted {
			return choices, true
		}
	}
}

// holds reports whether a link holds in any case.
func (d lags) holds(l link) bool {
	return d[l.from.x][l.to.x] >= l.lag+l.from.off-l.to.off
}

// allows reports whether a link may hold.
func (d lags) allows(l link) bool {
	return d[l.to.x][l.from.x]+l.lag+l.from.off-l.to.off <= 0
}
