package mould

import (
	"errors"
	"fmt"
	"math"

	"chablon/unit"
)

// Bowl is the lower half of an ellipsoid over any outline, its rim up: a quenelle mould, a stone.
// At each height its outline is the rim's, smaller in the ratio of an ellipse. Make it with
// NewBowl.
type Bowl struct {
	rim    Outline
	height unit.Length
}

var _ Solid = (*Bowl)(nil)

// NewBowl returns the bowl of a rim and a height.
func NewBowl(rim Outline, height unit.Length) (Solid, error) {
	if rim.Empty() || rim.Hole > 0 {
		return nil, errors.New("the rim is empty or has a hole: draw a plain outline")
	}
	if err := errors.Join(checkLength("the rim's width", rim.Width), checkLength("the rim's depth", rim.Depth), checkLength("the height", height)); err != nil {
		return nil, err
	}
	return &Bowl{rim, height}, nil
}

// Height implements Solid.
func (s *Bowl) Height() unit.Length { return s.height }

// share returns a height as a share of the bowl's.
func (s *Bowl) share(z unit.Length) float64 {
	if !(z > 0) {
		return 0
	}
	return min(1, float64(z/s.height))
}

// At implements Solid.
func (s *Bowl) At(z unit.Length) Outline {
	x := s.share(z)
	f := math.Sqrt(x * (2 - x))
	if f <= 0 {
		return Outline{}
	}
	return s.rim.Scaled(f)
}

// Below implements Solid, in closed form: the area grows with x (2 - x) of the share x of the
// height.
func (s *Bowl) Below(z unit.Length) unit.Volume {
	x := s.share(z)
	return s.rim.Area().Times(s.height) * unit.Volume(x*x*(1-x/3))
}

// Wall implements Solid, by quadrature to a relative 1e-8: at each height the perimeter times the
// length of the wall on a rise, with the mean of its two half widths.
func (s *Bowl) Wall(z0, z1 unit.Length) unit.Area {
	lo, hi := span(z0, z1)
	a := math.Sqrt(float64(s.rim.Area()) / math.Pi)
	h := float64(s.height)
	angle := func(z float64) float64 { return math.Acos(1 - s.share(unit.Length(z))) }
	return unit.Area(quadrature(func(t float64) float64 {
		sin, cos := math.Sincos(t)
		return float64(s.rim.Perimeter()) * sin * math.Hypot(a*cos, h*sin)
	}, angle(lo), angle(hi), 1e-8))
}

// Breaks implements Solid.
func (s *Bowl) Breaks() []unit.Length { return []unit.Length{0, s.height} }

// Grown implements Solid. The grown solid is a bowl too: its axes are longer by so much that the
// film has its thickness in the mean over the wall. On the axes it is a little thicker, between
// them a little thinner.
func (s *Bowl) Grown(t unit.Length) (Solid, error) {
	if err := checkZeroOrLength("the thickness of the film", t); err != nil {
		return nil, err
	}
	rim, err := NewBowl(s.rim.Inset(-t), s.height+t)
	if err != nil || t == 0 {
		return rim, wrapFilm(t, err)
	}
	mean := s.Wall(0, s.height).Times(t) / (rim.Below(s.height+t) - s.Below(s.height))
	grow := t * unit.Length(mean)
	rim, err = NewBowl(s.rim.Inset(-grow), s.height+grow)
	return rim, wrapFilm(t, err)
}

func wrapFilm(t unit.Length, err error) error {
	if err != nil {
		return fmt.Errorf("with a film of %s: %w", show(t), err)
	}
	return nil
}

func (s *Bowl) scaled(across, up float64) (Solid, bool) {
	return &Bowl{s.rim.Scaled(across), s.height * unit.Length(up)}, true
}
