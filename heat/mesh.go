package heat

import "math"

// side is a group of outer faces that have the same surroundings.
type side uint8

const (
	bottom side = iota
	top
	wall
	bore
	sides
)

// link is what lies between a cell and its next neighbour along a direction: the distances from
// their middles to the face over its area, 1/m; infinite where they do not touch.
type link struct{ own, next float64 }

// face is an outer face of a cell.
type face struct {
	cell   int
	side   side
	area   float64 // m2
	within float64 // distance from the middle of the cell over area, 1/m
}

// mesh is a grid worked out: cells lie one after the other with Z running fastest.
type mesh struct {
	n, stride [3]int
	volume    []float64 // m3; 0 outside the body
	links     [3][]link // to the cell one stride further; nil for a direction without neighbours
	faces     []face
	whole     float64 // m3
	surface   float64 // m2
}

// apertures is a cell's part inside the body: its volume and the middle of that, its open faces low
// and high, and the curved surfaces of the outline in it.
type apertures struct {
	volume      float64
	middle      [3]float64
	low, high   [3]float64
	outer, bore curved
}

// curved is a surface of an outline in a cell, and how much of it faces sideways, m2.
type curved struct{ area, upright float64 }

// within returns how far the middle of a volume lies behind the surface. It is half the volume over the
// surface where that follows the grid; heat that crosses the grid at a slant finds a shorter way. How
// much shorter is set so that a cut ball cools as its series says, with Biot numbers from 0.5 to 10 and
// 10 to 80 cells along its radius.
func (c curved) within(volume float64) float64 {
	const atSlant = 0.1875
	flat := math.Sqrt(math.Max(0, c.area*c.area-c.upright*c.upright))
	return (0.5 - atSlant*2*c.upright*flat/(c.area*c.area)) * volume / c.area
}

func (c *curved) add(o curved) { c.area, c.upright = c.area+o.area, c.upright+o.upright }

func (g Grid) mesh() *mesh {
	m := &mesh{}
	for d := range m.n {
		m.n[d] = len(g.edges[d]) - 1
	}
	m.stride = [3]int{m.n[1] * m.n[2], m.n[2], 1}
	cells := m.n[0] * m.stride[0]
	m.volume = make([]float64, cells)
	parts := make([]apertures, cells)
	m.each(func(c int, i [3]int) {
		parts[c] = g.part(i)
		m.volume[c] = parts[c].volume
		m.whole += parts[c].volume
	})
	for d := range m.n {
		if g.divides(d) && m.n[d] > 1 {
			m.links[d] = make([]link, cells)
		}
	}
	m.each(func(c int, i [3]int) {
		p := parts[c]
		for d := range m.n {
			before, after := g.before(&p, d, i[d]), -g.before(&p, d, i[d]+1)
			if m.links[d] != nil {
				l := link{math.Inf(1), math.Inf(1)}
				if i[d]+1 < m.n[d] && p.volume > 0 && m.volume[c+m.stride[d]] > 0 {
					next := &parts[c+m.stride[d]]
					if area := math.Min(p.high[d], next.low[d]); area > 0 {
						l = link{after / area, g.before(next, d, i[d]+1) / area}
					}
				}
				m.links[d][c] = l
			}
			if p.volume == 0 || !g.divides(d) || d == 0 && g.outline != nil {
				continue // an outline brings its own walls
			}
			if i[d] == 0 && p.low[d] > 0 && !g.mirrored(d) {
				m.face(c, g.lowSide(d), p.low[d], before)
			}
			if i[d]+1 == m.n[d] && p.high[d] > 0 {
				s := wall
				if d == 2 {
					s = top
				}
				m.face(c, s, p.high[d], after)
			}
		}
		if p.outer.area > 0 && p.volume > 0 {
			m.face(c, wall, p.outer.area, p.outer.within(p.volume))
		}
		if p.bore.area > 0 && p.volume > 0 {
			m.face(c, bore, p.bore.area, p.bore.within(p.volume))
		}
	})
	return m
}

// before returns how far the middle of a part lies beyond an edge along a direction, m.
func (g Grid) before(p *apertures, d, edge int) float64 {
	off := p.middle[d] - g.edges[d][edge]
	if g.kind == wedgeGrid && d == 1 {
		return p.middle[0] * off // along the arc
	}
	return off
}

// mirrored reports whether the low end along a direction is a plane of symmetry.
func (g Grid) mirrored(d int) bool {
	return g.kind == quarterGrid && d < 2 || g.kind == wedgeGrid && d == 1
}

func (m *mesh) face(c int, s side, area, distance float64) {
	m.faces = append(m.faces, face{c, s, area, distance / area})
	m.surface += area
}

func (g Grid) lowSide(d int) side {
	switch {
	case d == 2:
		return bottom
	case (g.round() || g.kind == ballGrid) && d == 0:
		return bore
	}
	return wall
}

// each calls f for every cell in order.
func (m *mesh) each(f func(c int, i [3]int)) {
	c := 0
	for x := range m.n[0] {
		for y := range m.n[1] {
			for z := range m.n[2] {
				f(c, [3]int{x, y, z})
				c++
			}
		}
	}
}

// part works out how much of a cell is inside.
func (g Grid) part(i [3]int) apertures {
	low := func(d int) float64 { return g.edges[d][i[d]] }
	high := func(d int) float64 { return g.edges[d][i[d]+1] }
	dx, dy, dz := high(0)-low(0), high(1)-low(1), high(2)-low(2)
	if g.kind == ballGrid {
		r0, r1 := low(0), high(0)
		shell := func(r float64) [3]float64 { return [3]float64{4 * math.Pi * r * r} }
		return apertures{
			volume: 4 * math.Pi / 3 * (r1*r1*r1 - r0*r0*r0), middle: [3]float64{(r0 + r1) / 2}, low: shell(r0), high: shell(r1),
		}
	}
	middle := [3]float64{low(0) + dx/2, low(1) + dy/2, low(2) + dz/2}
	if !g.round() {
		a := [3]float64{dy * dz, dx * dz, dx * dy}
		return apertures{volume: dx * dy * dz, middle: middle, low: a, high: a}
	}
	r0, r1 := low(0), high(0)
	if g.kind == wedgeGrid {
		whole := g
		whole.kind = discGrid
		p := whole.part(i)
		p.wedge(dy)
		p.middle[1] = middle[1]
		return p
	}
	if g.outline == nil {
		ring := math.Pi * (r1*r1 - r0*r0)
		return apertures{
			volume: ring * dz, middle: middle,
			low: [3]float64{2 * math.Pi * r0 * dz, 0, ring}, high: [3]float64{2 * math.Pi * r1 * dz, 0, ring},
		}
	}
	return g.turnedPart(r0, r1, low(2), high(2))
}

// wedge makes a ring's part that of an angle in radians, open at the cuts.
func (p *apertures) wedge(angle float64) {
	if p.volume == 0 {
		return
	}
	by := angle / (2 * math.Pi)
	p.volume *= by
	for d := range p.low {
		p.low[d], p.high[d] = by*p.low[d], by*p.high[d]
	}
	for _, c := range []*curved{&p.outer, &p.bore} {
		c.area, c.upright = by*c.area, by*c.upright
	}
	cut := p.volume / (angle * p.middle[0])
	p.low[1], p.high[1] = cut, cut
}

// outlinePieces is into how many straight pieces the outline is cut within a cell's height.
const outlinePieces = 16

// turnedPart works out a cell of a turned body, its outline straight over each of outlinePieces.
func (g Grid) turnedPart(r0, r1, z0, z1 float64) apertures {
	var p apertures
	ring := func(inner, outer float64) float64 {
		a, b := math.Max(r0, inner), math.Min(r1, outer)
		if b <= a {
			return 0
		}
		return math.Pi * (b*b - a*a)
	}
	dz := (z1 - z0) / outlinePieces
	radii := g.edges[0]
	outline := func(z float64) (bore, wall float64) {
		bore, wall = g.outline(z)
		return math.Max(bore, radii[0]), math.Min(wall, radii[len(radii)-1])
	}
	bore0, wall0 := outline(z0)
	p.low[2] = ring(bore0, wall0)
	for n := range outlinePieces {
		bore1, wall1 := outline(z0 + float64(n+1)*dz)
		bore, outer := (bore0+bore1)/2, (wall0+wall1)/2
		if outer > bore {
			v := ring(bore, outer) * dz
			p.volume += v
			p.middle[0] += v * (math.Max(r0, bore) + math.Min(r1, outer)) / 2
			p.middle[2] += v * (z0 + (float64(n)+0.5)*dz)
			if bore <= r0 && r0 < outer {
				p.low[0] += 2 * math.Pi * r0 * dz
			}
			if bore < r1 && r1 <= outer {
				p.high[0] += 2 * math.Pi * r1 * dz
			}
			p.outer.add(frustum(wall0, wall1, r0, r1, dz, false))
			if bore > 0 {
				p.bore.add(frustum(bore0, bore1, r0, r1, dz, true))
			}
		}
		bore0, wall0 = bore1, wall1
	}
	p.high[2] = ring(bore0, wall0)
	if p.volume < 1e-6*math.Pi*(r1*r1-r0*r0)*(z1-z0) {
		return apertures{}
	}
	p.middle[0] /= p.volume
	p.middle[2] /= p.volume
	return p
}

// frustum returns the surface of a cone's piece of height dz, from radius a to b, that lies between r0
// and r1. An upright one in an edge belongs to the cell on the food's side: outside a bore.
func frustum(a, b, r0, r1, dz float64, outside bool) curved {
	if a > b {
		a, b = b, a
	}
	if a == b {
		if !outside && a > r0 && a <= r1 || outside && a >= r0 && a < r1 {
			return curved{2 * math.Pi * a * dz, 2 * math.Pi * a * dz}
		}
		return curved{}
	}
	from, to := math.Max(a, r0), math.Min(b, r1)
	if to <= from {
		return curved{}
	}
	ring := math.Pi * (to + from) * (to - from) / (b - a)
	return curved{ring * math.Hypot(b-a, dz), ring * dz}
}
