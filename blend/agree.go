package blend

import "math"

// verdict says whether limits can hold together.
type verdict uint8

const (
	unsure   verdict = iota // rounding or the pivot limit spoilt the answer
	agree                   // the point meets them all
	conflict                // they cannot
)

const (
	mostPivots    = 20_000 // Bland's rule ends by itself; this bounds its time
	smallestPivot = 1e-10  // of a tableau whose rows begin at length one
)

// tableau is the simplex method's dictionary: each basic quantity is a combination of the free
// ones. Free quantities lie within their ranges, basic ones may not.
type tableau struct {
	s     *system
	r     ranges
	t     [][]float64 // t[i][j] multiplies free[j] in basic[i]
	basic []int
	free  []int
	value []float64 // of each quantity
	least bool      // Bland's rule is in force
}

// agree finds a point within the limits that are on (all if on is nil), or the limits among them
// that conflict, in order. It starts at the present amounts, so that a point near them is likely.
//
// The quantity that is broken most leaves, and of the free ones that can mend it the one with the
// largest coefficient enters, which is quick and steady but might go round in circles. After two
// pivots for each quantity Bland's rule takes over, which cannot: the broken quantity of least
// index leaves, the free one of least index enters.
//
// Source: bib:dutertre-demoura, section 3.2 (check), where termination is proved.
func (s *system) agree(on []bool) (verdict, []float64, []int) {
	tb := &tableau{s: s, r: s.ranges(on)}
	k := s.n + len(s.rows)
	for q := range k {
		if gap := tb.r.lo[q] - tb.r.hi[q]; gap > tolerance {
			return conflict, nil, s.named([]int{tb.r.low[q], tb.r.high[q]})
		} else if gap > 0 {
			tb.r.hi[q] = tb.r.lo[q]
		}
	}
	tb.value = make([]float64, k)
	for j := range s.n {
		tb.free = append(tb.free, j)
		tb.value[j] = min(max(s.now[j], tb.r.lo[j]), tb.r.hi[j])
	}
	for i, row := range s.rows {
		tb.basic = append(tb.basic, s.n+i)
		tb.t = append(tb.t, append([]float64(nil), row...))
		tb.value[s.n+i] = dot(row, tb.value[:s.n])
	}
	for step := range mostPivots {
		tb.least = step > 2*k
		i, up := tb.leaving()
		if i < 0 {
			y := tb.value[:s.n:s.n]
			if s.broken(y, tb.r) > 10*tolerance {
				return unsure, nil, nil
			}
			return agree, y, nil
		}
		j := tb.entering(i, up)
		if j < 0 { // true under either rule
			if !tb.proves(i, up) {
				return unsure, nil, nil
			}
			return conflict, nil, s.named(tb.reasons(i, up))
		}
		tb.pivot(i, j, up)
	}
	return unsure, nil, nil
}

// leaving returns the row of the basic quantity that is to be mended, -1 if none is out of its
// range, and whether it must go up.
func (tb *tableau) leaving() (row int, up bool) {
	row = -1
	most := tolerance
	for i, q := range tb.basic {
		below, above := tb.r.lo[q]-tb.value[q], tb.value[q]-tb.r.hi[q]
		out := max(below, above)
		if out <= tolerance {
			continue
		}
		if (tb.least && (row < 0 || q < tb.basic[row])) || (!tb.least && out > most) {
			row, up, most = i, below > above, out
		}
	}
	return row, up
}

// entering returns the column of the free quantity that is to move basic[i] the right way, -1 if
// none can.
func (tb *tableau) entering(i int, up bool) int {
	best := -1
	for j, q := range tb.free {
		f := tb.t[i][j]
		if math.Abs(f) < smallestPivot {
			continue
		}
		if rise := (f > 0) == up; (rise && tb.value[q] >= tb.r.hi[q]) || (!rise && tb.value[q] <= tb.r.lo[q]) {
			continue
		}
		if best < 0 || (tb.least && q < tb.free[best]) || (!tb.least && math.Abs(f) > math.Abs(tb.t[i][best])) {
			best = j
		}
	}
	return best
}

// pivot moves basic[i] to the end of its range that it has left, and exchanges it with free[j].
func (tb *tableau) pivot(i, j int, up bool) {
	leaves, enters := tb.basic[i], tb.free[j]
	target := tb.r.hi[leaves]
	if up {
		target = tb.r.lo[leaves]
	}
	row := tb.t[i]
	step := (target - tb.value[leaves]) / row[j]
	tb.value[leaves] = target
	tb.value[enters] += step
	inverse := 1 / row[j]
	for k := range row {
		row[k] *= -inverse
	}
	row[j] = inverse
	for k, other := range tb.t {
		if k == i {
			continue
		}
		f := other[j]
		tb.value[tb.basic[k]] += f * step
		if f == 0 {
			continue
		}
		for c, v := range row {
			other[c] += f * v
		}
		other[j] = f * inverse
	}
	tb.basic[i], tb.free[j] = enters, leaves
}

// reasons returns the limits that keep basic[i] out of its range: the one that it breaks, and for
// each free quantity in its row the one that it rests on. -1 stands for a natural zero.
func (tb *tableau) reasons(i int, up bool) []int {
	side := func(q int, high bool) int {
		if high {
			return tb.r.high[q]
		}
		return tb.r.low[q]
	}
	out := []int{side(tb.basic[i], !up)}
	for j, q := range tb.free {
		if math.Abs(tb.t[i][j]) >= smallestPivot {
			out = append(out, side(q, (tb.t[i][j] > 0) == up))
		}
	}
	return out
}

// proves checks the row by which basic[i] cannot be mended against the rows as they were given:
// the combination of amounts that it stands for must vanish. The rest, times amounts of order
// one, must be below the gap that is to be proved.
func (tb *tableau) proves(i int, up bool) bool {
	rest := make([]float64, tb.s.n)
	add := func(q int, f float64) {
		if q < tb.s.n {
			rest[q] += f
			return
		}
		for k, v := range tb.s.rows[q-tb.s.n] {
			rest[k] += f * v
		}
	}
	end := func(q int, high bool) float64 {
		if high {
			return tb.r.hi[q]
		}
		return tb.r.lo[q]
	}
	q := tb.basic[i]
	add(q, -1)
	reach, scale := 0.0, 1.0 // what the row can come to
	for j, f := range tb.t[i] {
		if math.Abs(f) < smallestPivot {
			continue
		}
		add(tb.free[j], f)
		reach += f * end(tb.free[j], (f > 0) == up)
		scale = max(scale, math.Abs(f))
	}
	gap := end(q, !up) - reach
	if !up {
		gap = -gap
	}
	off := 0.0
	for _, v := range rest {
		off += math.Abs(v)
	}
	return gap > tolerance/2 && off <= 1e-9*scale
}

// named returns the caller's limits among list, sorted and each once.
func (s *system) named(list []int) []int {
	in := make([]bool, len(s.limits))
	for _, l := range list {
		if l >= 0 {
			in[l] = true
		}
	}
	return members(in)
}

func members(in []bool) []int {
	var out []int
	for i, yes := range in {
		if yes {
			out = append(out, i)
		}
	}
	return out
}

// conflicting reduces limits that conflict to a set that no longer does when any one of them is
// left out (deletion filter: bib:chinneck, section 6.2). A limit about which rounding leaves a
// doubt is kept.
func (s *system) conflicting(core []int) []int {
	without := func(set []int, left int) (verdict, []int) {
		on := make([]bool, len(s.limits))
		for _, l := range set {
			on[l] = l != left
		}
		v, _, smaller := s.agree(on)
		return v, smaller
	}
	if v, smaller := without(core, -1); v == conflict {
		core = smaller
	} else {
		core = core[:0:0]
		for i := range s.limits {
			core = append(core, i)
		}
	}
	for at := 0; at < len(core); {
		left := core[at]
		v, smaller := without(core, left)
		if v != conflict {
			at++
			continue
		}
		core = smaller
		for at = 0; at < len(core) && core[at] < left; at++ { // those below left have been tried
		}
	}
	return core
}
