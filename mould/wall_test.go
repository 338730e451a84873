package mould_test

import (
	"math"
	"testing"

	"chablon/mould"
	"chablon/unit"
)

// meshArea measures the wall by triangles between outlines at many heights.
func meshArea(s mould.Solid) float64 {
	const slices, turns = 60, 300
	quarter := func(z float64) (p [][3]float64) {
		o := s.At(unit.Length(z))
		c := float64(o.Corner)
		a, b := float64(o.Width)/2-c, float64(o.Depth)/2-c
		p = append(p, [3]float64{a + c, 0, z})
		for i := range turns + 1 {
			sin, cos := math.Sincos(float64(i) / turns * math.Pi / 2)
			p = append(p, [3]float64{a + c*cos, b + c*sin, z})
		}
		return append(p, [3]float64{0, b + c, z})
	}
	triangle := func(p, q, r [3]float64) float64 {
		var u, v [3]float64
		for i := range u {
			u[i], v[i] = q[i]-p[i], r[i]-p[i]
		}
		x, y, z := u[1]*v[2]-u[2]*v[1], u[2]*v[0]-u[0]*v[2], u[0]*v[1]-u[1]*v[0]
		return math.Sqrt(x*x+y*y+z*z) / 2
	}
	area := 0.0
	breaks := s.Breaks()
	for b := 1; b < len(breaks); b++ {
		lo, hi := float64(breaks[b-1]), float64(breaks[b])
		low := quarter(lo)
		for i := 1; i <= slices; i++ {
			high := quarter(lo + (hi-lo)*float64(i)/slices*(1-1e-12))
			for k := 1; k < len(low); k++ {
				area += triangle(low[k-1], low[k], high[k]) + triangle(low[k-1], high[k], high[k-1])
			}
			low = high
		}
	}
	return 4 * area
}

// The wall of every family against a mesh of it. The mesh is inscribed, so it is less by the
// square of its step: under 1e-4 on these shapes.
func TestWallAgreesWithMesh(t *testing.T) {
	t.Parallel()
	frame := func(w, d, h, corner, draft float64) mould.Solid {
		s, err := mould.Frame(unit.Length(w)*mm, unit.Length(d)*mm, unit.Length(h)*mm, unit.Length(corner)*mm, unit.Length(draft)*mm)
		return ok(t, s, err)
	}
	dome, err := mould.Dome(160*mm, 50*mm)
	ok(t, dome, err)
	tapered, err := mould.Tapered(mould.Rectangle(229*mm, 127*mm, 30*mm), mould.Rectangle(180*mm, 115*mm, 5*mm), 76*mm)
	ok(t, tapered, err)
	flared, err := mould.Tapered(mould.Rectangle(200*mm, 120*mm, 10*mm), mould.Rectangle(140*mm, 140*mm, 60*mm), 50*mm)
	ok(t, flared, err)
	barrel, err := mould.NewTurned([]mould.ProfilePoint{{R: 50 * mm}, {R: 60 * mm, Z: 80 * mm, Arc: 70 * mm}})
	ok(t, barrel, err)
	for name, s := range map[string]mould.Solid{
		"straight frame":                frame(300, 200, 50, 20, 0),
		"draft, corners stay round":     frame(300, 200, 50, 40, 25),
		"draft, corners run out":        frame(300, 200, 50, 10, 25),
		"draft, sharp corners":          frame(300, 200, 50, 0, 25),
		"walls that lean differently":   tapered,
		"corners wider towards the top": flared,
		"cap":                           dome,
		"barrel":                        barrel,
	} {
		got, want := float64(s.Wall(0, s.Height())), meshArea(s)
		if !(math.Abs(got-want) <= 1e-4*want) {
			t.Errorf("%s: wall is %.8g m², mesh %.8g", name, got, want)
		}
	}
}

// profile samples the half section of a turned solid, its flat bottom included.
func profile(s mould.Solid, n int) (p [][2]float64) {
	h := float64(s.Height())
	for i := range n + 1 {
		p = append(p, [2]float64{float64(s.At(0).Width) / 2 * float64(i) / float64(n), 0})
	}
	for i := range n + 1 {
		z := h * (1 - math.Cos(math.Pi/2*float64(i)/float64(n))) // close together near a pole
		p = append(p, [2]float64{float64(s.At(unit.Length(z)).Width) / 2, z})
	}
	return p
}

// On a profile without edges the grown wall lies at the film's thickness everywhere; at an edge
// it lies further (the mitre), and nowhere nearer.
func TestGrownKeepsItsDistance(t *testing.T) {
	t.Parallel()
	const film = 3 * mm
	bottomed := func(points ...mould.ProfilePoint) mould.Solid {
		s, err := mould.NewTurned(points)
		return ok(t, s, err)
	}
	dome, err := mould.Dome(160*mm, 0)
	ok(t, dome, err)
	spot, err := mould.Dome(160*mm, 40*mm)
	ok(t, spot, err)
	pan, err := mould.Round(229*mm, 203*mm, 51*mm)
	ok(t, pan, err)
	for _, c := range []struct {
		name  string
		s     mould.Solid
		mitre float64 // furthest point from the solid in film thicknesses; 1 where it is smooth
	}{
		{"half sphere", dome, 1},
		{"cap", spot, 1},
		{"half sphere under a cylinder", bottomed(mould.ProfilePoint{}, mould.ProfilePoint{R: 80 * mm, Z: 80 * mm, Arc: 80 * mm}, mould.ProfilePoint{R: 80 * mm, Z: 110 * mm}), 1},
		{"rounded bottom", bottomed(mould.ProfilePoint{R: 65 * mm}, mould.ProfilePoint{R: 80 * mm, Z: 15 * mm, Arc: 15 * mm}, mould.ProfilePoint{R: 80 * mm, Z: 45 * mm}), 1},
		{"ledge", bottomed(mould.ProfilePoint{R: 60 * mm}, mould.ProfilePoint{R: 60 * mm, Z: 20 * mm}, mould.ProfilePoint{R: 80 * mm, Z: 20 * mm}, mould.ProfilePoint{R: 80 * mm, Z: 45 * mm}), math.Sqrt2},
		// 1/sin of half the angle between bottom and wall, atan2(51, -13).
		{"tapered pan", pan, 1 / math.Sin(math.Atan2(51, -13)/2)},
		// Two arcs that meet at an angle: the crossing of circles of radius 33, see below.
		{"two bulges", bottomed(mould.ProfilePoint{R: 40 * mm}, mould.ProfilePoint{R: 40 * mm, Z: 40 * mm, Arc: 30 * mm}, mould.ProfilePoint{R: 40 * mm, Z: 80 * mm, Arc: 30 * mm}), 0},
	} {
		g, err := c.s.Grown(film)
		ok(t, g, err)
		lift := float64(g.Height() - c.s.Height())
		inner := profile(c.s, 4000)
		least, most := math.Inf(1), 0.0
		for _, p := range profile(g, 400) {
			dist := math.Inf(1)
			for _, q := range inner {
				dist = min(dist, math.Hypot(p[0]-q[0], p[1]-lift-q[1]))
			}
			if p[1]-lift > float64(c.s.Height())*(1-1e-3)-float64(film) {
				continue // the film ends square at the rim, above the nearest wall of a slant
			}
			least, most = min(least, dist), max(most, dist)
		}
		if least < float64(film)*(1-1e-3) {
			t.Errorf("%s: the film is %.4g mm at its thinnest, want 3", c.name, least*1000)
		}
		if c.mitre > 0 && most > float64(film)*(c.mitre+5e-3) {
			t.Errorf("%s: the film reaches %.4g mm, want at most %.4g", c.name, most*1000, 3*c.mitre)
		}
	}
}
