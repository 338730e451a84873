package mould

import (
	"errors"
	"fmt"
	"math"

	"chablon/unit"
)

// Flutes is a round pan, straight or tapered, whose wall waves in and out by the same depth at
// every height: at an angle θ it lies R(z) + depth cos(n θ) from the axis. Make it with NewFlutes;
// NewTube puts a tube into it.
type Flutes struct {
	bottom, top   float64 // mean radii
	depth, height float64
	n             int
}

var _ Solid = (*Flutes)(nil)

// NewFlutes returns the fluted pan of mean diameters at the rim and at the bottom, with n flutes
// each so deep out and in.
func NewFlutes(top, bottom, height, depth unit.Length, n int) (Solid, error) {
	if err := errors.Join(checkLength("the diameter at the rim", top), checkLength("the diameter at the bottom", bottom), checkLength("the height", height)); err != nil {
		return nil, err
	}
	for _, d := range []unit.Length{top, bottom} {
		if _, err := Fluted(d, depth, n); err != nil {
			return nil, err
		}
	}
	return &Flutes{float64(bottom / 2), float64(top / 2), float64(depth), float64(height), n}, nil
}

// Height implements Solid.
func (s *Flutes) Height() unit.Length { return unit.Length(s.height) }

func (s *Flutes) clamp(z unit.Length) float64 {
	if !(z > 0) {
		return 0
	}
	return min(float64(z), s.height)
}

func (s *Flutes) radius(z float64) float64 { return s.bottom + (s.top-s.bottom)*z/s.height }

// At implements Solid.
func (s *Flutes) At(z unit.Length) Outline {
	r := s.radius(s.clamp(z))
	const each = 20 // points of a flute
	points := make([]point2, each*s.n)
	for i := range points {
		angle := 2 * math.Pi * float64(i) / float64(len(points))
		sin, cos := math.Sincos(angle)
		rad := r + s.depth*math.Cos(float64(s.n)*angle)
		points[i] = point2{rad * cos, rad * sin}
	}
	p := polygonOf(points)
	p.area, p.perimeter = math.Pi*(r*r+s.depth*s.depth/2), s.perimeter(r)
	return p.outline()
}

// perimeter integrates over one flute, a relative 1e-12.
func (s *Flutes) perimeter(r float64) float64 {
	return quadrature(func(a float64) float64 {
		return math.Hypot(r+s.depth*math.Cos(a), s.depth*float64(s.n)*math.Sin(a))
	}, 0, 2*math.Pi, 1e-10)
}

// Below implements Solid, in closed form: flutes add π depth²/2 to every area.
func (s *Flutes) Below(z unit.Length) unit.Volume {
	y := s.clamp(z)
	r := s.radius(y)
	return unit.Volume(math.Pi * y * ((s.bottom*s.bottom+s.bottom*r+r*r)/3 + s.depth*s.depth/2))
}

// Wall implements Solid.
func (s *Flutes) Wall(z0, z1 unit.Length) unit.Area {
	lo, hi := span(z0, z1)
	slant := math.Hypot(1, (s.top-s.bottom)/s.height)
	return unit.Area(slant * quadrature(func(z float64) float64 { return s.perimeter(s.radius(z)) }, s.clamp(unit.Length(lo)), s.clamp(unit.Length(hi)), 1e-8))
}

// Breaks implements Solid.
func (s *Flutes) Breaks() []unit.Length { return []unit.Length{0, unit.Length(s.height)} }

// Grown implements Solid. The flutes stay as deep; the film has its thickness in the mean over the
// wall, is a little thicker on the crests and a little thinner on the flanks.
func (s *Flutes) Grown(t unit.Length) (Solid, error) {
	if err := checkZeroOrLength("the thickness of the film", t); err != nil {
		return nil, err
	}
	lean := (s.top - s.bottom) / s.height
	mid := (s.bottom + s.top) / 2
	film := float64(t) * math.Hypot(1, lean) * s.perimeter(mid) / (2 * math.Pi * mid)
	g := &Flutes{s.bottom - lean*float64(t) + film, s.top + film, s.depth, s.height + float64(t), s.n}
	if g.bottom <= s.depth || 2*g.top > float64(MaxLength) {
		return nil, fmt.Errorf("with a film of %s the pan closes at the bottom or is larger than %s: take a thinner one", show(t), MaxLength.Show())
	}
	return g, nil
}

func (s *Flutes) scaled(across, up float64) (Solid, bool) {
	return &Flutes{s.bottom * across, s.top * across, s.depth * across, s.height * up, s.n}, true
}
