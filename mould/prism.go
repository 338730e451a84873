package mould

import (
	"errors"
	"fmt"
	"math"

	"chablon/unit"
)

// Prism is any outline with a height and a straight wall that leans in towards the bottom by the
// same amount all round. Make it with NewPrism.
type Prism struct {
	rim    Outline
	height unit.Length
	lean   float64 // horizontal, per unit of height
	// The area at depth y under the rim is rim.area - perimeter lean y + bend (lean y)², as long as
	// no side of the outline vanishes on the way down; otherwise it is integrated.
	area, perimeter, bend float64
	closed                bool
}

var _ Solid = (*Prism)(nil)

// NewPrism returns the frame or pan of any outline. Draft is how far the wall leans in from rim to
// bottom. Errors name the dimension.
func NewPrism(rim Outline, height, draft unit.Length) (Solid, error) {
	if rim.Empty() {
		return nil, errors.New("the outline is empty: draw at least three points")
	}
	if err := errors.Join(checkLength("the outline's width", rim.Width), checkLength("the outline's depth", rim.Depth), checkLength("the height", height), checkZeroOrLength("the draft", draft)); err != nil {
		return nil, err
	}
	if rim.path == nil && rim.Hole == 0 {
		return Frame(rim.Width, rim.Depth, height, rim.Corner, draft)
	}
	s := newPrism(rim, height, float64(draft/height))
	if draft > 0 && s.At(0).Empty() {
		return nil, fmt.Errorf("the draft is %s on each side, and the walls meet above the bottom: give less", show(draft))
	}
	return s, nil
}

func newPrism(rim Outline, height unit.Length, lean float64) *Prism {
	s := &Prism{rim: rim, height: height, lean: lean, area: float64(rim.Area()), perimeter: float64(rim.Perimeter())}
	s.bend = math.Pi // of a circle or a rectangle whose corners stay round
	if rim.path != nil {
		s.bend = rim.path.bendIn
	}
	if rim.Hole > 0 {
		s.bend -= math.Pi
	}
	t := lean * float64(height)
	expected := s.area - s.perimeter*t + s.bend*t*t
	s.closed = lean == 0 || rim.path != nil && math.Abs(float64(rim.Inset(unit.Length(t)).Area())-expected) < 1e-9*s.area
	return s
}

// Height implements Solid.
func (s *Prism) Height() unit.Length { return s.height }

func (s *Prism) clamp(z unit.Length) float64 {
	if !(z > 0) {
		return 0
	}
	return float64(min(z, s.height))
}

// At implements Solid.
func (s *Prism) At(z unit.Length) Outline {
	if s.lean == 0 {
		return s.rim
	}
	return s.rim.Inset(unit.Length(s.lean * (float64(s.height) - s.clamp(z))))
}

// Below implements Solid: in closed form where no side of the outline vanishes, else by quadrature
// to a relative 1e-9.
func (s *Prism) Below(z unit.Length) unit.Volume {
	y := s.clamp(z)
	if s.closed {
		h := float64(s.height)
		deep, high := s.lean*h, s.lean*(h-y) // inset at the bottom and at z
		if s.lean == 0 {
			return unit.Volume(s.area * y)
		}
		sum := s.area*(deep-high) - s.perimeter*(deep*deep-high*high)/2 + s.bend*(deep*deep*deep-high*high*high)/3
		return unit.Volume(sum / s.lean)
	}
	return unit.Volume(quadrature(func(z float64) float64 { return float64(s.At(unit.Length(z)).Area()) }, 0, y, 1e-9))
}

// Wall implements Solid.
func (s *Prism) Wall(z0, z1 unit.Length) unit.Area {
	lo, hi := span(z0, z1)
	lo, hi = s.clamp(unit.Length(lo)), s.clamp(unit.Length(hi))
	slant := math.Hypot(1, s.lean)
	if s.lean == 0 {
		return unit.Area(s.perimeter * (hi - lo))
	}
	if s.closed {
		h := float64(s.height)
		mean := s.lean * (h - (lo+hi)/2) // the perimeter is linear in the height
		return unit.Area((s.perimeter - 2*s.bend*mean) * (hi - lo) * slant)
	}
	return unit.Area(slant * quadrature(func(z float64) float64 { return float64(s.At(unit.Length(z)).Perimeter()) }, lo, hi, 1e-8))
}

// Breaks implements Solid.
func (s *Prism) Breaks() []unit.Length { return []unit.Length{0, s.height} }

// Grown implements Solid.
func (s *Prism) Grown(t unit.Length) (Solid, error) {
	if err := checkZeroOrLength("the thickness of the film", t); err != nil {
		return nil, err
	}
	if t == 0 {
		return s, nil
	}
	rim := s.rim.Inset(-t * unit.Length(math.Hypot(1, s.lean)))
	if rim.Hole == 0 && s.rim.Hole > 0 {
		return nil, fmt.Errorf("a film of %s closes the hole in the middle: take a thinner one", show(t))
	}
	height := s.height + t
	if rim.Width > MaxLength || rim.Depth > MaxLength || height > MaxLength || rim.Empty() {
		return nil, fmt.Errorf("with a film of %s the mould is larger than %s or its outline closes: take a thinner one", show(t), MaxLength.Show())
	}
	return newPrism(rim, height, s.lean), nil
}

func (s *Prism) scaled(across, up float64) (Solid, bool) {
	return newPrism(s.rim.Scaled(across), s.height*unit.Length(up), s.lean*across/up), true
}

// quadrature integrates a function between two bounds to a relative error by Gauss's rule of five
// points on stretches that are halved until two halves agree with the whole.
func quadrature(f func(float64) float64, a, b, relative float64) float64 {
	if b <= a {
		return 0
	}
	rule := func(a, b float64) float64 {
		sum := 0.0
		for i, x := range gaussNodes {
			sum += gaussWeights[i] * f(a+(b-a)*x)
		}
		return sum * (b - a)
	}
	var halve func(a, b, whole, tolerance float64, depth int) float64
	halve = func(a, b, whole, tolerance float64, depth int) float64 {
		mid := (a + b) / 2
		left, right := rule(a, mid), rule(mid, b)
		if depth == 0 || math.Abs(left+right-whole) <= tolerance {
			return left + right
		}
		return halve(a, mid, left, tolerance/2, depth-1) + halve(mid, b, right, tolerance/2, depth-1)
	}
	whole := rule(a, b)
	return halve(a, b, whole, math.Abs(whole)*relative, 14)
}
