package cutting

import "math"

// descent finds a local optimum of the problem: place n discs so that their common radius is
// greatest. It minimises an augmented Lagrangian of −r under the constraints |xi − xj| ≥ 2r and
// r ≤ distance from the walls, by L-BFGS. Lengths are in units in which the arena is about 1.
//
// Source: method of multipliers and limited-memory BFGS as in Nocedal and Wright, "Numerical
// optimization", 2nd edition, chapters 7 and 17.
type descent struct {
	arena
	n      int
	z      []float64 // x and y of each centre, then r
	grad   []float64
	pair   []float64 // multipliers by i·n + j, j < i
	rim    []float64 // four a disc; of a round arena the first of them
	weight float64   // of the penalty
	memory lbfgs
	work   int
}

func newDescent(a arena, n int) *descent {
	return &descent{
		arena: a, n: n, z: make([]float64, 2*n+1), grad: make([]float64, 2*n+1), pair: make([]float64, n*n), rim: make([]float64, 4*n),
		memory: newLBFGS(2*n + 1),
	}
}

// value returns the augmented Lagrangian at z and fills grad.
func (d *descent) value(z, grad []float64) float64 {
	clear(grad)
	n, r, mu := d.n, z[2*d.n], d.weight
	total, dr := -r, -1.0
	d.work += n*n/18 + n
	for i := range n {
		x, y := z[2*i], z[2*i+1]
		for j := range i {
			dx, dy := x-z[2*j], y-z[2*j+1]
			l := d.pair[i*n+j]
			reach := 2*r + l/mu // beyond which the constraint is idle
			d2 := dx*dx + dy*dy
			if reach <= 0 || d2 >= reach*reach {
				total -= l * l / (2 * mu)
				continue
			}
			dist := math.Sqrt(d2)
			t := l + mu*(2*r-dist)
			total += (t*t - l*l) / (2 * mu)
			dr += 2 * t
			if dist > 1e-300 {
				gx, gy := t*dx/dist, t*dy/dist
				grad[2*i] -= gx
				grad[2*i+1] -= gy
				grad[2*j] += gx
				grad[2*j+1] += gy
			}
		}
		if d.round {
			cx, cy := x-d.w/2, y-d.w/2
			dist := math.Hypot(cx, cy)
			t, v := hinge(d.rim[4*i], mu, r+dist-d.w/2)
			total += v
			if dr += t; dist > 1e-300 {
				grad[2*i] += t * cx / dist
				grad[2*i+1] += t * cy / dist
			}
			continue
		}
		for s, g := range [4]float64{r - x, r - y, r + x - d.w, r + y - d.h} {
			t, v := hinge(d.rim[4*i+s], mu, g)
			total += v
			dr += t
			if s < 2 {
				grad[2*i+s] -= t
			} else {
				grad[2*i+s-2] += t
			}
		}
	}
	grad[2*n] = dr
	return total
}

// hinge returns the force and value of one constraint g ≤ 0 with a multiplier.
func hinge(l, mu, g float64) (force, value float64) {
	force = max(0, l+mu*g)
	return force, (force*force - l*l) / (2 * mu)
}

// multipliers moves the multipliers to the forces at z.
func (d *descent) multipliers() {
	n, r, mu := d.n, d.z[2*d.n], d.weight
	for i := range n {
		x, y := d.z[2*i], d.z[2*i+1]
		for j := range i {
			d.pair[i*n+j] = max(0, d.pair[i*n+j]+mu*(2*r-math.Hypot(x-d.z[2*j], y-d.z[2*j+1])))
		}
		if d.round {
			d.rim[4*i] = max(0, d.rim[4*i]+mu*(r+math.Hypot(x-d.w/2, y-d.w/2)-d.w/2))
			continue
		}
		for s, g := range [4]float64{r - x, r - y, r + x - d.w, r + y - d.h} {
			d.rim[4*i+s] = max(0, d.rim[4*i+s]+mu*g)
		}
	}
}

// run descends from the centres, which it moves, and returns the radius that they then hold
// without overlap. give is the radius from which it starts.
func (d *descent) run(xy []float64, give float64, rounds int) float64 {
	copy(d.z, xy)
	d.z[2*d.n] = give
	clear(d.pair)
	clear(d.rim)
	scale := 1 / (float64(d.n) * give)
	d.weight = 4 * scale
	tol := 2e-3 / float64(d.n)
	for k := range rounds {
		d.memory.minimise(d.z, d.grad, d.value, 150, tol)
		tol /= 4
		d.multipliers()
		if k < 5 {
			d.weight *= 3
		}
	}
	copy(xy, d.z[:2*d.n])
	for i := range xy {
		side := d.w
		if i%2 == 1 && !d.round {
			side = d.h
		}
		xy[i] = min(max(xy[i], 0), side)
	}
	return d.radius(xy)
}

// lbfgs is the memory of limited-memory BFGS.
type lbfgs struct {
	s, y            [7][]float64
	rho             [7]float64
	dir, next, gnew []float64
}

func newLBFGS(n int) lbfgs {
	var m lbfgs
	for i := range m.s {
		m.s[i], m.y[i] = make([]float64, n), make([]float64, n)
	}
	m.dir, m.next, m.gnew = make([]float64, n), make([]float64, n), make([]float64, n)
	return m
}

// minimise moves z to lower values of f for at most so many steps, or until the gradient's
// greatest component is at most tol.
func (m *lbfgs) minimise(z, g []float64, f func(z, g []float64) float64, steps int, tol float64) {
	v := f(z, g)
	kept, at := 0, 0
	for range steps {
		if greatest(g) <= tol {
			return
		}
		m.direction(g, kept, at)
		slope := dot(m.dir, g)
		if slope >= 0 {
			kept = 0
			for i := range g {
				m.dir[i] = -g[i]
			}
			slope = -dot(g, g)
		}
		step := 1.0
		if kept == 0 {
			step = min(1, 0.01/greatest(g))
		}
		var vn float64
		ok := false
		for range 12 {
			for i := range z {
				m.next[i] = z[i] + step*m.dir[i]
			}
			if vn = f(m.next, m.gnew); vn <= v+1e-4*step*slope {
				ok = true
				break
			}
			step *= min(0.5, max(0.1, slope*step/(2*(slope*step+v-vn))))
		}
		if !ok {
			if kept == 0 {
				return
			}
			kept = 0
			f(z, g)
			continue
		}
		s, y := m.s[at], m.y[at]
		for i := range z {
			s[i], y[i] = m.next[i]-z[i], m.gnew[i]-g[i]
		}
		if sy := dot(s, y); sy > 1e-14*dot(y, y) {
			m.rho[at] = 1 / sy
			at = (at + 1) % len(m.s)
			kept = min(kept+1, len(m.s))
		}
		copy(z, m.next)
		copy(g, m.gnew)
		v = vn
	}
}

// direction sets dir to minus the inverse Hessian's estimate times g (two-loop recursion).
func (m *lbfgs) direction(g []float64, kept, at int) {
	var alpha [7]float64
	for i := range g {
		m.dir[i] = -g[i]
	}
	for k := 1; k <= kept; k++ {
		i := (at - k + len(m.s)) % len(m.s)
		alpha[i] = m.rho[i] * dot(m.s[i], m.dir)
		for j := range g {
			m.dir[j] -= alpha[i] * m.y[i][j]
		}
	}
	if kept > 0 {
		i := (at - 1 + len(m.s)) % len(m.s)
		scale := 1 / (m.rho[i] * dot(m.y[i], m.y[i]))
		for j := range g {
			m.dir[j] *= scale
		}
	}
	for k := kept; k >= 1; k-- {
		i := (at - k + len(m.s)) % len(m.s)
		beta := m.rho[i] * dot(m.y[i], m.dir)
		for j := range g {
			m.dir[j] += (alpha[i] - beta) * m.s[i][j]
		}
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

func greatest(v []float64) float64 {
	most := 0.0
	for _, x := range v {
		most = max(most, math.Abs(x))
	}
	return most
}
