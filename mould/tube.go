package mould

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"chablon/unit"
)

// Tube is a solid with a tube in the middle: a tube pan, straight, tapered or fluted. Make it with
// NewTube.
type Tube struct {
	outer Solid
	inner *Turned // of the tube, as a solid: from the bottom to the rim
}

var _ Solid = (*Tube)(nil)

// NewTube puts a tube into a solid. The inner profile gives the tube's distance from the axis from
// the bottom to the rim, in straight lines; it must leave room inside the solid at every height.
func NewTube(outer Solid, inner []ProfilePoint) (Solid, error) {
	for i, p := range inner {
		if p.Arc != 0 {
			return nil, fmt.Errorf("inner profile point %d has an arc: a tube is given in straight lines, and a savarin as half a torus", i+1)
		}
		if !(p.R > 0) {
			return nil, fmt.Errorf("inner profile point %d lies %s from the axis: a tube reaches from bottom to rim, so give more than 0", i+1, show(p.R))
		}
	}
	t, err := NewTurned(inner)
	if err != nil {
		return nil, fmt.Errorf("inner profile: %w", err)
	}
	if d := t.Height() - outer.Height(); d > leastLength || d < -leastLength {
		return nil, fmt.Errorf("the inner profile is %s high, but the rim is at %s: end it at the rim", show(t.Height()), show(outer.Height()))
	}
	s := &Tube{outer, t}
	for _, z := range s.Breaks() {
		if o := outer.At(z); o.Hole > 0 || t.At(z).Width >= min(o.Width, o.Depth) {
			return nil, fmt.Errorf("at a height of %s the tube is %s wide, but the mould only %s: make it narrower", show(z), show(t.At(z).Width), show(min(o.Width, o.Depth)))
		}
	}
	return s, nil
}

// Height implements Solid.
func (s *Tube) Height() unit.Length { return s.outer.Height() }

// At implements Solid: the outline has the tube as its hole.
func (s *Tube) At(z unit.Length) Outline { return s.outer.At(z).WithHole(s.inner.At(z).Width) }

// Below implements Solid.
func (s *Tube) Below(z unit.Length) unit.Volume { return s.outer.Below(z) - s.inner.Below(z) }

// Wall implements Solid: that of the tube counts.
func (s *Tube) Wall(z0, z1 unit.Length) unit.Area { return s.outer.Wall(z0, z1) + s.inner.Wall(z0, z1) }

// Breaks implements Solid.
func (s *Tube) Breaks() []unit.Length {
	out := append(s.outer.Breaks(), s.inner.Breaks()...)
	slices.Sort(out)
	return slices.CompactFunc(out, func(a, b unit.Length) bool { return max(a-b, b-a) < leastLength })
}

// Grown implements Solid: the film lies on the tube too, which makes it narrower.
func (s *Tube) Grown(t unit.Length) (Solid, error) {
	outer, err := s.outer.Grown(t)
	if err != nil {
		return nil, err
	}
	lift := outer.Height() - s.outer.Height()
	points := []ProfilePoint{}
	for i := range s.inner.segments {
		g := &s.inner.segments[i]
		move := t * unit.Length(math.Hypot(1, g.slope))
		if g.z1 == g.z0 {
			return nil, errors.New("a film cannot follow a ledge of the tube: draw the tube in slanting lines")
		}
		if i == 0 { // down to the film's own bottom
			points = append(points, ProfilePoint{R: unit.Length(g.r0-g.slope*float64(lift)) - move})
		}
		points = append(points, ProfilePoint{R: unit.Length(g.r1) - move, Z: unit.Length(g.z1) + lift})
	}
	for _, p := range points {
		if p.R < leastLength {
			return nil, fmt.Errorf("a film of %s closes the tube: take a thinner one", show(t))
		}
	}
	return NewTube(outer, points)
}

func (s *Tube) scaled(across, up float64) (Solid, bool) {
	inner, _ := s.inner.scaled(across, up)
	return &Tube{Scaled(s.outer, across, up), inner.(*Turned)}, true
}

// Savarin is half a torus, filled from its round side, with straight walls above it if it is
// higher than its radius. Make it with NewSavarin.
type Savarin struct{ centre, r, height float64 }

var _ Solid = (*Savarin)(nil)

// NewSavarin returns the ring mould whose section is half a disc: the diameter of its middle line,
// the radius of the half disc, and the height, which is that radius if zero.
func NewSavarin(middle, radius, height unit.Length) (Solid, error) {
	if err := errors.Join(checkLength("the diameter of the middle line", middle), checkLength("the radius of the section", radius), checkZeroOrLength("the height", height)); err != nil {
		return nil, err
	}
	if radius >= middle/2 {
		return nil, fmt.Errorf("the section has a radius of %s, but its middle lies only %s from the axis: nothing is left of the hole", show(radius), show(middle/2))
	}
	if height == 0 {
		height = radius
	}
	if height < radius {
		return nil, fmt.Errorf("the height is %s, less than the radius of the section, %s: give at least that", show(height), show(radius))
	}
	return &Savarin{float64(middle / 2), float64(radius), float64(height)}, nil
}

// Height implements Solid.
func (s *Savarin) Height() unit.Length { return unit.Length(s.height) }

// half returns half the width of the section at a height.
func (s *Savarin) half(z float64) float64 {
	if z >= s.r {
		return s.r
	}
	z = max(0, z)
	return math.Sqrt(z * (2*s.r - z))
}

// At implements Solid.
func (s *Savarin) At(z unit.Length) Outline {
	q := s.half(float64(z))
	return Circle(unit.Length(2 * (s.centre + q))).WithHole(unit.Length(2 * (s.centre - q)))
}

// Below implements Solid: by Pappus, the area of the section times the way of its middle.
func (s *Savarin) Below(z unit.Length) unit.Volume {
	y := min(max(0, float64(z)), s.height)
	if math.IsNaN(float64(z)) {
		y = 0
	}
	low := min(y, s.r)
	area := s.r*s.r*math.Acos(max(-1, 1-low/s.r)) - (s.r-low)*s.half(low) + 2*s.r*(y-low)
	if low < s.r/100 { // the difference cancels: a parabola, then its next term
		area = 4.0 / 3 * low * math.Sqrt(2*s.r*low) * (1 - 0.15*low/s.r)
		if low > 1e-4*s.r {
			area = 2 * quadrature(s.half, 0, low, 1e-12)
		}
	}
	return unit.Volume(2 * math.Pi * s.centre * area)
}

// Wall implements Solid: both sides, whose ways round the axis are together those of the middle.
func (s *Savarin) Wall(z0, z1 unit.Length) unit.Area {
	lo, hi := span(z0, z1)
	along := func(z float64) float64 {
		low := min(max(0, z), s.r)
		return s.r*math.Acos(max(-1, 1-low/s.r)) + max(0, min(z, s.height)-s.r)
	}
	return unit.Area(4 * math.Pi * s.centre * (along(hi) - along(lo)))
}

// Breaks implements Solid.
func (s *Savarin) Breaks() []unit.Length {
	if s.height > s.r {
		return []unit.Length{0, unit.Length(s.r), unit.Length(s.height)}
	}
	return []unit.Length{0, unit.Length(s.height)}
}

// Grown implements Solid.
func (s *Savarin) Grown(t unit.Length) (Solid, error) {
	if err := checkZeroOrLength("the thickness of the film", t); err != nil {
		return nil, err
	}
	if s.r+float64(t) >= s.centre {
		return nil, fmt.Errorf("a film of %s closes the hole in the middle: take a thinner one", show(t))
	}
	return NewSavarin(unit.Length(2*s.centre), unit.Length(s.r)+t, unit.Length(s.height)+t)
}

func (s *Savarin) scaled(across, up float64) (Solid, bool) {
	if math.Abs(across-up) > 1e-12 {
		return nil, false
	}
	return &Savarin{s.centre * across, s.r * across, s.height * across}, true
}
