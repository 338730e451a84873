package assembly

import (
	"math"
	"slices"

	"chablon/mould"
	"chablon/unit"
)

// body is something solid in the mould: all the space round the axis up to an outline, or, for a
// band, all the space from an outline to the wall.
type body struct {
	layer  int // index in the section
	z0, z1 unit.Length
	band   bool
	at     func(z unit.Length) mould.Outline    // outer face, or the inner face of a band
	volume func(za, zb unit.Length) unit.Volume // between two heights within z0 to z1
	breaks []unit.Length                        // heights where the face changes its course
}

// between returns the body's volume between two heights.
func (b *body) between(za, zb unit.Length) unit.Volume {
	za, zb = max(za, b.z0), min(zb, b.z1)
	if za >= zb {
		return 0
	}
	return b.volume(za, zb)
}

// prism is a body with upright sides.
func prism(layer int, o mould.Outline, z0, z1 unit.Length) body {
	area := o.Area()
	return body{
		layer: layer, z0: z0, z1: z1,
		at:     func(unit.Length) mould.Outline { return o },
		volume: func(za, zb unit.Length) unit.Volume { return area.Times(zb - za) },
	}
}

// moulded is a body that has the shape of a mould filled up to a height: an insert frozen in it.
// Turned over, the mould's rim end is down.
func moulded(layer int, s mould.Solid, height, z0 unit.Length, turnedOver bool) body {
	in := func(z unit.Length) unit.Length { return z - z0 } // height in the insert's own mould
	if turnedOver {
		in = func(z unit.Length) unit.Length { return z0 + height - z }
	}
	var breaks []unit.Length
	for _, z := range s.Breaks() {
		if z < height {
			if turnedOver {
				breaks = append(breaks, z0+height-z)
			} else {
				breaks = append(breaks, z0+z)
			}
		}
	}
	return body{
		layer: layer, z0: z0, z1: z0 + height, breaks: breaks,
		at: func(z unit.Length) mould.Outline { return s.At(in(z)) },
		volume: func(za, zb unit.Length) unit.Volume {
			return unit.Volume(math.Abs(float64(s.Below(in(zb)) - s.Below(in(za)))))
		},
	}
}

// bandBody is a strip of a thickness along the wall.
func bandBody(layer int, s mould.Solid, thickness, z0, z1 unit.Length) body {
	at := func(z unit.Length) mould.Outline {
		wall := s.At(z)
		return wall.Outer().Inset(thickness * unit.Length(lean(s, z))).WithHole(wall.Hole)
	}
	if upright(s) { // a sleeve, by far the most frequent
		wall := s.At(z0)
		inner := wall.Outer().Inset(thickness).WithHole(wall.Hole)
		sleeve := s.At(z0).Area() - inner.Area()
		return body{
			layer: layer, z0: z0, z1: z1, band: true, breaks: s.Breaks(),
			at:     func(unit.Length) mould.Outline { return inner },
			volume: func(za, zb unit.Length) unit.Volume { return sleeve.Times(zb - za) },
		}
	}
	breaks := bends(at, s.Breaks())
	return body{
		layer: layer, z0: z0, z1: z1, band: true, at: at, breaks: breaks,
		volume: func(za, zb unit.Length) unit.Volume {
			inner := integrate(func(z unit.Length) unit.Area { return at(z).Area() }, za, zb, breaks)
			return s.Below(zb) - s.Below(za) - inner
		},
	}
}

// bends returns the breaks of a wall and, between them, the heights where an outline in from it
// loses its rounded corners or closes altogether.
func bends(at func(unit.Length) mould.Outline, breaks []unit.Length) []unit.Length {
	out := breaks[:1:1]
	for i := 1; i < len(breaks); i++ {
		inside := (breaks[i] - breaks[i-1]) * 1e-9 // off the break itself, where a wall may jump
		for _, is := range []func(mould.Outline) bool{mould.Outline.Empty, func(o mould.Outline) bool { return o.Corner > 0 }} {
			lo, hi := breaks[i-1]+inside, breaks[i]-inside
			if is(at(lo)) == is(at(hi)) {
				continue
			}
			for range 60 {
				if mid := (lo + hi) / 2; is(at(mid)) == is(at(hi)) {
					hi = mid
				} else {
					lo = mid
				}
			}
			out = append(out, hi)
		}
		out = append(out, breaks[i])
	}
	slices.Sort(out)
	return out
}

// lean returns how much farther a thickness reaches along the horizontal than square to the
// wall: 1 for an upright wall, sqrt(1 + slope²) for a leaning one.
func lean(s mould.Solid, z unit.Length) float64 {
	const h = 1e-6 // metres: far below any wall's course, far above rounding
	lo, hi := max(0, z-h), min(s.Height(), z+h)
	if hi <= lo {
		return 1
	}
	slope := float64((s.At(hi).Width - s.At(lo).Width) / 2 / (hi - lo))
	return math.Sqrt(1 + slope*slope)
}

// integrate returns the volume under an area between two heights by Gauss–Legendre quadrature of
// five points on each stretch between breaks: exact for areas up to the ninth degree in height,
// which covers upright and straight leaning walls; below 1e-9 of the volume for arcs met here.
func integrate(area func(unit.Length) unit.Area, za, zb unit.Length, breaks []unit.Length) unit.Volume {
	var sum unit.Volume
	from := za
	for i := 0; i <= len(breaks); i++ {
		to := zb
		if i < len(breaks) {
			to = min(breaks[i], zb)
		}
		if to <= from {
			continue
		}
		mid, half := (from+to)/2, (to-from)/2
		for k, x := range gaussX {
			sum += unit.Volume(float64(area(mid+half*unit.Length(x))) * gaussW[k] * float64(half))
		}
		from = to
	}
	return sum
}

// Nodes and weights of five-point Gauss–Legendre quadrature on [-1, 1].
// Source: bib:abramowitz-stegun, table 25.4.
var (
	gaussX = [5]float64{-0.906179845938664, -0.538469310105683, 0, 0.538469310105683, 0.906179845938664}
	gaussW = [5]float64{0.236926885056189, 0.478628670499366, 0.568888888888889, 0.478628670499366, 0.236926885056189}
)
