package blend

import "math"

// dependent is the part of a row, against its length, below which it counts as a combination of
// the rows that already hold. Rounding leaves about 1e-15.
const dependent = 1e-11

// side is one end of a range as the half-space a·z ≥ b, or as a plane where both ends are one.
// Its row is in the coordinates z of the least-distance problem.
type side struct {
	a        []float64
	b        float64
	norm     float64
	exact    bool
	quantity int
	high     bool
	sign     float64 // of a against the quantity's own row
}

// distance is the objective as the squared distance |z|², z = R·y − z0, R upper triangular.
type distance struct {
	r  [][]float64
	z0 []float64
}

// outcome is an answer of nearest: the amounts, how strongly the sides that hold press (the
// multipliers, for half of the squared distance), and how many steps it took.
type outcome struct {
	y      []float64
	holds  []side
	press  []float64
	steps  int
	solved bool
}

// distance factors the least-squares objective, with stay the weight of distances from now,
// both divided by unit, the greatest curvature.
func (s *system) distance(stay, unit float64) distance {
	n := s.n
	var a [][]float64 // the rows of the least-squares sum, with what is wanted in column n
	for i, g := range s.goals {
		row := make([]float64, n+1)
		for j, v := range g {
			row[j] = v / math.Sqrt(unit)
		}
		row[n] = s.wanted[i] / math.Sqrt(unit)
		a = append(a, row)
	}
	root := math.Sqrt(stay / unit)
	for i := range n {
		row := make([]float64, n+1)
		row[i], row[n] = root, root*s.now[i]
		a = append(a, row)
	}
	triangulate(a, n)
	d := distance{r: a[:n], z0: make([]float64, n)}
	for i := range n {
		d.z0[i] = a[i][n]
	}
	return d
}

// triangulate brings the first n columns of a to upper triangular form by Householder
// reflections of its rows.
func triangulate(a [][]float64, n int) {
	for k := range n {
		norm := 0.0
		for _, row := range a[k:] {
			norm += row[k] * row[k]
		}
		norm = math.Copysign(math.Sqrt(norm), -a[k][k])
		if norm == 0 {
			continue
		}
		v := make([]float64, len(a)-k)
		for i, row := range a[k:] {
			v[i] = row[k]
		}
		v[0] -= norm
		vv := dot(v, v)
		along := make([]float64, n+1)
		for i, row := range a[k:] {
			for j := k; j <= n; j++ {
				along[j] += v[i] * row[j]
			}
		}
		for i, row := range a[k:] {
			f := 2 * v[i] / vv
			for j := k; j <= n; j++ {
				row[j] -= f * along[j]
			}
		}
		for i := range a[k+1:] {
			a[k+1+i][k] = 0
		}
	}
}

// amounts solves R·y = z + z0.
func (d distance) amounts(z []float64) []float64 {
	n := len(z)
	y := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		v := z[i] + d.z0[i]
		for j := i + 1; j < n; j++ {
			v -= d.r[i][j] * y[j]
		}
		y[i] = v / d.r[i][i]
	}
	return y
}

// turned solves Rᵀ·v = a: a·y is then v·(z + z0).
func (d distance) turned(a []float64) []float64 {
	v := append([]float64(nil), a...)
	for i := range v {
		v[i] /= d.r[i][i]
		if v[i] == 0 {
			continue
		}
		for j := i + 1; j < len(v); j++ {
			v[j] -= d.r[i][j] * v[i]
		}
	}
	return v
}

// sides returns the ends of all ranges, planes first.
func (s *system) sides(d distance, r ranges) []side {
	var planes, halves []side
	for k := range r.lo {
		lo, hi := r.lo[k], r.hi[k]
		if math.IsInf(lo, -1) && math.IsInf(hi, 1) {
			continue
		}
		row := make([]float64, s.n)
		if k < s.n {
			row[k] = 1
		} else {
			row = s.rows[k-s.n]
		}
		a := d.turned(row)
		norm, shift := length(a), dot(a, d.z0)
		if norm == 0 {
			continue // a row of zeros holds or not whatever the amounts; the caller looks
		}
		if lo == hi {
			planes = append(planes, side{a, lo - shift, norm, true, k, false, 1})
			continue
		}
		if !math.IsInf(lo, -1) {
			halves = append(halves, side{a, lo - shift, norm, false, k, false, 1})
		}
		if !math.IsInf(hi, 1) {
			minus := make([]float64, s.n)
			for i, v := range a {
				minus[i] = -v
			}
			halves = append(halves, side{minus, shift - hi, norm, false, k, true, -1})
		}
	}
	return append(planes, halves...)
}

// nearest finds the amounts within the ranges at the least distance, by the dual active-set
// method of bib:goldfarb-idnani for the unit matrix. The farthest broken side is taken up first,
// the earlier one where two are equal; planes come before all. A side that is a combination of those
// that hold and is missed by less than slackest counts as holding.
func (s *system) nearest(d distance, r ranges) outcome {
	all := s.sides(d, r)
	state := make([]sideState, len(all))
	f := newFace(s.n)
	z := make([]float64, s.n)
	var holds []int
	var press []float64
	out := outcome{}
	for out.steps < 200+20*len(all) {
		p := worst(all, state, z)
		if p < 0 {
			out.solved = true
			break
		}
		plus := all[p]
		if plus.exact && dot(plus.a, z) > plus.b { // approach the plane from its other side
			minus := make([]float64, s.n)
			for i, v := range plus.a {
				minus[i] = -v
			}
			plus.a, plus.b, plus.sign = minus, -plus.b, -1
			all[p] = plus
		}
		pressure := 0.0
		for taken := false; !taken; {
			out.steps++
			missed := plus.b - dot(plus.a, z)
			along := f.along(plus.a)
			step := f.rest(along)
			back := f.solve(along)
			let, t := -1, math.Inf(1)
			for i, j := range holds {
				if !all[j].exact && back[i] > 1e-14*plus.norm && press[i]/back[i] < t {
					let, t = i, press[i]/back[i]
				}
			}
			full := math.Inf(1)
			if gain := dot(step, step); math.Sqrt(gain) > dependent*plus.norm {
				full = max(missed, 0) / gain
			}
			if math.IsInf(t, 1) && math.IsInf(full, 1) {
				if missed > slackest {
					return out
				}
				state[p] = follows
				break
			}
			t, taken = min(t, full), full <= t
			for i := range press {
				press[i] -= t * back[i]
			}
			pressure += t
			if !math.IsInf(full, 1) {
				for i := range z {
					z[i] += t * step[i]
				}
			}
			if taken {
				f.add(along)
				holds, press = append(holds, p), append(press, pressure)
				reopen(state, all)
				state[p] = held
				continue
			}
			f.drop(let)
			state[holds[let]] = open
			holds = append(holds[:let], holds[let+1:]...)
			press = append(press[:let], press[let+1:]...)
			if out.steps > 400+40*len(all) {
				return out
			}
		}
	}
	out.y = d.amounts(z)
	for i, j := range holds {
		out.holds, out.press = append(out.holds, all[j]), append(out.press, press[i])
		if q := all[j].quantity; q < s.n { // on its end exactly, not but for rounding
			out.y[q] = r.lo[q]
			if all[j].high {
				out.y[q] = r.hi[q]
			}
		}
	}
	return out
}

// sideState is what has become of a side: open to be taken up, held, or following from the
// others.
type sideState uint8

const (
	open sideState = iota
	held
	follows
)

// reopen lets half-spaces that followed from the others be looked at again. Planes are never let
// go, so what follows from them follows for good.
func reopen(state []sideState, all []side) {
	for i := range state {
		if state[i] == follows && !all[i].exact {
			state[i] = open
		}
	}
}

// worst returns the first open plane, or else the open half-space that lies farthest off in
// the coordinates z, -1 if none is missed.
func worst(all []side, state []sideState, z []float64) int {
	at, most := -1, 0.0
	v := 0.0 // e.a·z; the two ends of a range follow each other and differ in its sign
	for i, e := range all {
		if i > 0 && all[i-1].quantity == e.quantity {
			v = -v
		} else {
			v = dot(e.a, z)
		}
		if state[i] != open {
			continue
		}
		if e.exact {
			return i
		}
		if missed := e.b - v; missed > tolerance && missed > most*e.norm {
			at, most = i, missed/e.norm
		}
	}
	return at
}

// face is the set of rows that hold, as an orthonormal basis of all space whose first q members
// span them, and their coordinates in it, column by column, upper triangular.
type face struct {
	basis [][]float64
	r     [][]float64
}

func newFace(n int) *face {
	f := &face{basis: make([][]float64, n)}
	for i := range n {
		f.basis[i] = make([]float64, n)
		f.basis[i][i] = 1
	}
	return f
}

// along returns the coordinates of a in the basis.
func (f *face) along(a []float64) []float64 {
	out := make([]float64, len(f.basis))
	for i, b := range f.basis {
		out[i] = dot(b, a)
	}
	return out
}

// rest returns the part of a row, given by its coordinates, that is square to all rows that hold.
func (f *face) rest(along []float64) []float64 {
	out := make([]float64, len(along))
	for i := len(f.r); i < len(along); i++ {
		for j, v := range f.basis[i] {
			out[j] += along[i] * v
		}
	}
	return out
}

// solve returns the rest of the row, given by its coordinates, as a combination of the rows that
// hold.
func (f *face) solve(along []float64) []float64 {
	q := len(f.r)
	out := append([]float64(nil), along[:q]...)
	for j := q - 1; j >= 0; j-- {
		out[j] /= f.r[j][j]
		for i := range j {
			out[i] -= out[j] * f.r[j][i]
		}
	}
	return out
}

// add takes up the row with these coordinates. It must not depend on those that hold.
func (f *face) add(along []float64) {
	q := len(f.r)
	col := append([]float64(nil), along...)
	for i := len(col) - 1; i > q; i-- {
		c, s, h := rotation(col[i-1], col[i])
		if s == 0 {
			continue
		}
		col[i-1], col[i] = h, 0
		rotate(f.basis[i-1], f.basis[i], c, s)
	}
	f.r = append(f.r, col[:q+1])
}

// drop lets row l go.
func (f *face) drop(l int) {
	f.r = append(f.r[:l], f.r[l+1:]...)
	for i := l; i < len(f.r); i++ { // column i reaches one below the diagonal
		c, s, h := rotation(f.r[i][i], f.r[i][i+1])
		f.r[i][i] = h
		f.r[i] = f.r[i][:i+1]
		for _, col := range f.r[i+1:] {
			col[i], col[i+1] = c*col[i]+s*col[i+1], c*col[i+1]-s*col[i]
		}
		rotate(f.basis[i], f.basis[i+1], c, s)
	}
}

// rotation returns the plane rotation that brings (a, b) to (h, 0).
func rotation(a, b float64) (c, s, h float64) {
	h = math.Hypot(a, b)
	if h == 0 {
		return 1, 0, 0
	}
	return a / h, b / h, h
}

func rotate(a, b []float64, c, s float64) {
	for i, v := range a {
		a[i], b[i] = c*v+s*b[i], c*b[i]-s*v
	}
}
