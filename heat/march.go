package heat

import (
	"context"
	"math"

	"chablon/material"
	"chablon/unit"
)

// Alexander's two-stage diagonally implicit Runge-Kutta scheme (1977): second order, L-stable, its
// second stage being the result. Weights of the error estimate are the differences from the third-order
// rule through the rates at the start and in both stages.
var (
	gamma  = 1 - 1/math.Sqrt2
	third1 = 1 / (6 * gamma * (1 - gamma))
	third2 = 0.5 - 1/(6*(1-gamma))
	short  = [3]float64{third1 + third2 - 1, 1 - gamma - third1, gamma - third2}
)

const (
	newtonTolerance = 2e-4 // of a food's heat between -20 and 20 degC
	newtonRounds    = 20
	linearTolerance = 0.01 // of what a round still has to solve
)

// march carries a Field through time. All its memory is taken when it is made.
//
// The heat in each cell is what is stepped. Once the equations of a stage are solved closely enough,
// the heat of the cells is brought forward by the flows between them, each of which leaves one cell
// and enters another: so heat is conserved to rounding whatever the tolerances.
type march struct {
	f           *Field
	ctx         context.Context
	finest      []float64 // reciprocal of newtonTolerance in each cell, 1/J
	heat, start []float64 // now; at the start of the step, J/m3
	base, stage []float64
	t, k, c     []float64 // temperature, conductivity, heat capacity J/(m3 K) of the last properties
	flux        []float64 // integral of conductivity over temperature, W/m
	g           [3][]float64
	rate        [3][]float64 // flow into each cell at the start and in the stages, W
	drift       []float64    // the mean rate over the last step, J/(m3 s)
	power       [3]float64   // flow into the body, W
	gross       [3]float64   // sum of the absolute flows through faces, W
	air         [sides]float64
	resist      [sides]float64 // of surroundings and covers, m2 K/W
	open        [sides]bool
	humidity    [sides]float64 // of the air at bare faces, 0 to 1
	across      []float64      // conductance of each face, W/K
	low, high   []float64      // heat that each food never leaves, J/m3
	sys         *system
	steps       int
}

func newMarch(ctx context.Context, f *Field) *march {
	n := len(f.heat)
	m := &march{f: f, ctx: ctx, sys: newSystem(f.mesh)}
	for _, v := range []*[]float64{&m.heat, &m.start, &m.base, &m.stage, &m.t, &m.k, &m.c, &m.flux, &m.rate[0], &m.rate[1], &m.rate[2], &m.drift} {
		*v = make([]float64, n)
	}
	for d, l := range f.mesh.links {
		if l != nil {
			m.g[d] = make([]float64, n)
		}
	}
	m.across = make([]float64, len(f.mesh.faces))
	copy(m.heat, f.heat)
	m.finest = make([]float64, n)
	for c, v := range f.mesh.volume {
		if t := f.foods[f.food[c]]; v > 0 {
			m.finest[c] = 1 / (v * newtonTolerance * (t.Heat(20) - t.Heat(-20)))
		}
	}
	return m
}

// confine sets the span of temperatures, degC, that no cell leaves, with room for rounding and the
// tolerance of a step.
func (m *march) confine(low, high float64) {
	room := 0.02 + 0.01*(high-low)
	for _, t := range m.f.foods {
		m.low = append(m.low, t.Heat(unit.Celsius(low-room)))
		m.high = append(m.high, t.Heat(unit.Celsius(high+room)))
	}
}

// enter puts the body into a stage.
func (m *march) enter(s *Stage) {
	for of := range sides {
		b := s.boundary(of)
		m.air[of] = b.Air.Celsius()
		u := float64(b.Overall())
		m.open[of] = u > 0
		if m.open[of] {
			m.resist[of] = 1 / u
		}
		m.humidity[of] = 0
		if len(b.Covers) == 0 {
			m.humidity[of] = b.Humidity
		}
	}
	m.properties(m.heat)
	m.power[0], m.gross[0] = m.flows(m.rate[0])
	clear(m.drift)
}

// alike is the difference of temperature, K, under which two cells have one conductivity: the mean.
const alike = 1e-4

// properties works out temperatures, conductivities and capacities for the heat of the cells, and
// the conductances that follow: within a food by the mean of the conductivity over the temperatures
// between the two middles (Kirchhoff), which a front of ice that lies between them does not upset;
// between two foods by their conductivities in series.
func (m *march) properties(heat []float64) {
	var table *material.Table
	last := int32(-1)
	for c, h := range heat {
		if f := m.f.food[c]; f != last {
			table, last = m.f.foods[f], f
		}
		t, slope, k, flux := table.At(h)
		m.t[c], m.k[c], m.c[c], m.flux[c] = t, k, 1/slope, flux
	}
	for d, links := range m.f.mesh.links {
		if links == nil {
			continue
		}
		step := m.f.mesh.stride[d]
		g := m.g[d]
		for c := range len(links) - step {
			l := links[c]
			a, b := m.k[c], m.k[c+step]
			if m.f.food[c] != m.f.food[c+step] {
				g[c] = a * b / (l.own*b + l.next*a)
				continue
			}
			mean := (a + b) / 2
			if rise := m.t[c+step] - m.t[c]; math.Abs(rise) > alike {
				mean = (m.flux[c+step] - m.flux[c]) / rise
			}
			g[c] = mean / (l.own + l.next)
		}
	}
	for i := range m.f.mesh.faces {
		x := &m.f.mesh.faces[i]
		if !m.open[x.side] {
			m.across[i] = 0
			continue
		}
		inside, resist := x.within/m.k[x.cell], m.resist[x.side]
		if m.humidity[x.side] > 0 {
			// The surface is where the last conductance puts it.
			air := m.air[x.side]
			surface := m.t[x.cell] + (air-m.t[x.cell])*math.Min(1, m.across[i]*inside)
			resist = 1 / (1/resist + dew(1/resist, air, m.humidity[x.side], surface))
		}
		m.across[i] = 1 / (inside + resist/x.area)
	}
}

// flows sets the flow into every cell, W, from the last properties, and returns that into the body and
// the sum of the absolute flows through its faces.
func (m *march) flows(rate []float64) (power, gross float64) {
	clear(rate)
	for d, g := range m.g {
		if g == nil {
			continue
		}
		step := m.f.mesh.stride[d]
		n := len(g) - step
		t, u, into, from := m.t[:n], m.t[step:step+n], rate[:n], rate[step:step+n]
		for c, x := range g[:n] {
			q := x * (u[c] - t[c])
			into[c] += q
			from[c] -= q
		}
	}
	for i := range m.f.mesh.faces {
		x := &m.f.mesh.faces[i]
		q := m.across[i] * (m.air[x.side] - m.t[x.cell])
		rate[x.cell] += q
		power += q
		gross += math.Abs(q)
	}
	return power, gross
}

// matrix sets up capacity + w times conductance.
func (m *march) matrix(w float64) {
	s := m.sys
	for c, v := range m.f.mesh.volume {
		s.diag[c] = v * m.c[c]
		if v == 0 {
			s.diag[c] = 1
		}
	}
	for d, g := range m.g {
		if g == nil {
			continue
		}
		step := m.f.mesh.stride[d]
		n := len(g) - step
		off, a, b := s.off[d][:n], s.diag[:n], s.diag[step:step+n]
		for c, x := range g[:n] {
			x *= w
			off[c] = x
			a[c] += x
			b[c] += x
		}
	}
	for i := range m.f.mesh.faces {
		s.diag[m.f.mesh.faces[i].cell] += w * m.across[i]
	}
	s.factor()
}

func (m *march) stopped() bool { return m.ctx.Err() != nil }

// implicit solves V (stage - base) = w rate(stage) for stage, starting from what is there, by
// Newton's method in the heat of the cells, and sets the rates that belong to it. It reports false
// where that does not converge or the context ends.
func (m *march) implicit(w float64, rate []float64) (power, gross float64, converged bool) {
	volume := m.f.mesh.volume
	moved := math.Inf(1)
	for range newtonRounds {
		m.properties(m.stage)
		power, gross = m.flows(rate)
		if m.stopped() {
			return 0, 0, false
		}
		// What is left over must be small for a cell as a heat, too: a cell that hardly holds any would
		// make much of a small flow.
		left := 0.0
		for c, v := range volume {
			m.sys.rhs[c] = w*rate[c] - v*(m.stage[c]-m.base[c])
			left = math.Max(left, math.Abs(m.sys.rhs[c])*m.finest[c])
		}
		if moved <= 1 && left <= 1 {
			return power, gross, true
		}
		m.matrix(w)
		if !m.sys.solve(linearTolerance, m.stopped) {
			return 0, 0, false
		}
		moved = 0
		for c, dt := range m.sys.x {
			dh := dt * m.c[c]
			m.stage[c] += dh
			moved = math.Max(moved, math.Abs(dh*volume[c])*m.finest[c])
		}
	}
	return 0, 0, false
}

// step takes the heat from start forward by dt seconds and returns the estimated error as the root
// mean square over the body, K. It reports false, the heat being of no use then, where the equations
// could not be solved or a cell became warmer or colder than anything around it: the scheme may
// overshoot where a long step takes a cell through the end of its thawing.
func (m *march) step(dt float64) (off float64, ok bool) {
	volume := m.f.mesh.volume
	w := gamma * dt
	copy(m.base, m.start)
	for c, h := range m.start {
		m.stage[c] = h + w*m.drift[c]
	}
	if m.power[1], m.gross[1], ok = m.implicit(w, m.rate[1]); !ok {
		return 0, false
	}
	for c, v := range volume {
		if v > 0 {
			m.base[c] = m.start[c] + (1-gamma)*dt*m.rate[1][c]/v
		}
		m.stage[c] = m.start[c] + (m.stage[c]-m.start[c])/gamma
	}
	if m.power[2], m.gross[2], ok = m.implicit(w, m.rate[2]); !ok {
		return 0, false
	}
	for c, v := range volume {
		if v > 0 {
			h := m.start[c] + dt*((1-gamma)*m.rate[1][c]+gamma*m.rate[2][c])/v
			if f := m.f.food[c]; h < m.low[f] || h > m.high[f] {
				return 0, false
			}
			m.heat[c] = h
		}
		m.sys.rhs[c] = dt * (short[0]*m.rate[0][c] + short[1]*m.rate[1][c] + short[2]*m.rate[2][c])
	}
	// The last matrix turns the missing heat into a temperature and damps what decays anyway.
	if !m.sys.solve(0.1, m.stopped) {
		return 0, false
	}
	sum := 0.0
	for c, v := range volume {
		sum += v * m.sys.x[c] * m.sys.x[c]
	}
	return math.Sqrt(sum / m.f.mesh.whole), true
}

// accept makes the heat that step found the present one, and returns the heat that came in and the
// sum of absolute flows, J.
func (m *march) accept(dt float64) (in, gross float64) {
	in = dt * ((1-gamma)*m.power[1] + gamma*m.power[2])
	gross = dt * ((1-gamma)*m.gross[1] + gamma*m.gross[2])
	for c, h := range m.heat {
		m.drift[c] = (h - m.start[c]) / dt
	}
	copy(m.start, m.heat)
	m.properties(m.heat)
	m.power[0], m.gross[0] = m.flows(m.rate[0])
	m.steps++
	return in, gross
}
