package cutting

import "math"

// polish raises the common radius of discs to a local optimum by sequential linear programs, and
// returns it; the centres are moved. A distance between centres is at least what it is to first
// order, so that in a rectangle no step loses; in a round arena a step that would is halved.
func (a arena) polish(xy []float64, steps int, work *int) float64 {
	r := a.radius(xy)
	reach := 0.1 * r
	next := make([]float64, len(xy))
	for range steps {
		if !(r > 0) || reach < 1e-14*r {
			break
		}
		dz := a.linearise(xy, r, reach).solve(work)
		for i := range xy {
			next[i] = xy[i] + reach*dz[i]
		}
		got := a.radius(next)
		if !(got > r) {
			reach /= 4
			continue
		}
		gain := got - r
		copy(xy, next)
		r = got
		if gain < 1e-15 {
			break
		}
		if far := greatest(dz[:len(xy)]); far < 0.5 {
			reach *= max(2*far, 1e-3)
		}
	}
	return r
}

// row is one constraint of a linear program: coefficients of at most five variables.
type row struct {
	at [5]int
	by [5]float64
	n  int
	b  float64
}

// program is a linear program: the greatest last variable with every row · z ≤ b. z = 0 keeps
// all rows.
type program struct {
	vars int
	rows []row
}

// linearise returns the program of one step of at most reach in each coordinate. Lengths are in
// multiples of reach.
func (a arena) linearise(xy []float64, r, reach float64) *program {
	p := &program{vars: len(xy) + 1}
	t := len(xy)
	near := 2*r + 6*reach
	for i := 0; i < len(xy); i += 2 {
		x, y := xy[i], xy[i+1]
		for j := 0; j < i; j += 2 {
			dx, dy := x-xy[j], y-xy[j+1]
			dist := math.Hypot(dx, dy)
			if dist > near || dist == 0 {
				continue
			}
			ux, uy := dx/dist, dy/dist
			p.rows = append(p.rows, row{[5]int{i, i + 1, j, j + 1, t}, [5]float64{-ux, -uy, ux, uy, 2}, 5, (dist - 2*r) / reach})
		}
		for k := range 2 {
			p.rows = append(p.rows, row{[5]int{i + k}, [5]float64{1}, 1, 1}, row{[5]int{i + k}, [5]float64{-1}, 1, 1})
		}
		if a.round {
			cx, cy := x-a.w/2, y-a.w/2
			if dist := math.Hypot(cx, cy); dist > 0 && a.w/2-dist < r+3*reach {
				p.rows = append(p.rows, row{[5]int{i, i + 1, t}, [5]float64{cx / dist, cy / dist, 1}, 3, (a.w/2 - dist - r) / reach})
			}
			continue
		}
		for s, gap := range [4]float64{x - r, y - r, a.w - x - r, a.h - y - r} {
			if gap < 3*reach {
				sign := -1.0
				if s >= 2 {
					sign = 1
				}
				p.rows = append(p.rows, row{[5]int{i + s%2, t}, [5]float64{sign, 1}, 2, gap / reach})
			}
		}
	}
	p.rows = append(p.rows, row{[5]int{t}, [5]float64{1}, 1, 4})
	return p
}

// solve returns the optimum z by a primal-dual interior point method with Mehrotra's
// predictor and corrector; the last z reached where the numbers fail.
//
// Source: Nocedal and Wright, "Numerical optimization", 2nd edition, chapter 14.
func (p *program) solve(work *int) []float64 {
	n, m := p.vars, len(p.rows)
	z, dz, rhs := make([]float64, n), make([]float64, n), make([]float64, n)
	s, l := make([]float64, m), make([]float64, m)
	ds, dl, rc, rp := make([]float64, m), make([]float64, m), make([]float64, m), make([]float64, m)
	h := make([]float64, n*n)
	for i, c := range p.rows {
		s[i], l[i] = max(c.b, 0.1), 0.1
	}
	step := func(chol bool) bool {
		for j := range rhs {
			rhs[j] = 0
		}
		rhs[n-1] = 1 // minus the gradient of −t
		for i, c := range p.rows {
			v := l[i] + (l[i]*rp[i]-rc[i])/s[i]
			for q := range c.n {
				rhs[c.at[q]] -= c.by[q] * v
			}
		}
		if chol && !p.factor(h, s, l) {
			return false
		}
		substitute(h, n, rhs, dz)
		for i, c := range p.rows {
			az := 0.0
			for q := range c.n {
				az += c.by[q] * dz[c.at[q]]
			}
			ds[i] = -rp[i] - az
			dl[i] = (-rc[i] - l[i]*ds[i]) / s[i]
		}
		return true
	}
	for range 40 {
		*work += n*n*n/600 + m
		gap, off := 0.0, 0.0
		for i, c := range p.rows {
			az := 0.0
			for q := range c.n {
				az += c.by[q] * z[c.at[q]]
			}
			rp[i] = az + s[i] - c.b
			rc[i] = s[i] * l[i]
			gap += rc[i]
			off = max(off, math.Abs(rp[i]))
		}
		mu := gap / float64(m)
		if mu < 1e-13 && off < 1e-12 {
			break
		}
		if !step(true) {
			break
		}
		primal, dual := ratio(s, ds), ratio(l, dl)
		after := 0.0
		for i := range s {
			after += (s[i] + primal*ds[i]) * (l[i] + dual*dl[i])
		}
		sigma := math.Pow(after/gap, 3)
		for i := range rc {
			rc[i] += ds[i]*dl[i] - sigma*mu
		}
		step(false)
		primal, dual = min(1, 0.995*ratio(s, ds)), min(1, 0.995*ratio(l, dl))
		for j := range z {
			z[j] += primal * dz[j]
		}
		for i := range s {
			s[i] += primal * ds[i]
			l[i] += dual * dl[i]
		}
	}
	for _, v := range z {
		if math.IsNaN(v) {
			return make([]float64, n)
		}
	}
	return z
}

// ratio returns the longest step up to 1 that keeps v + step·d at or above zero.
func ratio(v, d []float64) float64 {
	most := 1.0
	for i := range v {
		if d[i] < 0 {
			most = min(most, -v[i]/d[i])
		}
	}
	return most
}

// factor sets h to the Cholesky factor of Σ l/s · row rowᵀ, lower triangle.
func (p *program) factor(h, s, l []float64) bool {
	n := p.vars
	clear(h)
	for i, c := range p.rows {
		w := l[i] / s[i]
		for a := range c.n {
			for b := range c.n {
				if c.at[b] <= c.at[a] {
					h[c.at[a]*n+c.at[b]] += w * c.by[a] * c.by[b]
				}
			}
		}
	}
	for j := range n {
		hj := h[j*n : j*n+j+1]
		for i := j; i < n; i++ {
			hi := h[i*n : i*n+j+1]
			v := hi[j]
			for k := range j {
				v -= hi[k] * hj[k]
			}
			if i > j {
				hi[j] = v / hj[j]
				continue
			}
			if !(v > 1e-300) {
				return false
			}
			hj[j] = math.Sqrt(v)
		}
	}
	return true
}

// substitute solves h hᵀ x = b.
func substitute(h []float64, n int, b, x []float64) {
	for i := range n {
		v := b[i]
		for k := range i {
			v -= h[i*n+k] * x[k]
		}
		x[i] = v / h[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		v := x[i]
		for k := i + 1; k < n; k++ {
			v -= h[k*n+i] * x[k]
		}
		x[i] = v / h[i*n+i]
	}
}
