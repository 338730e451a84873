package mould

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Drawn is an outline with a height and a straight wall that may lean in towards the bottom:
// frames, sheets and rectangular pans. Make it with Frame or Tapered.
//
// At depth y under the rim its width is the rim's less 2*leanW*y, its depth less 2*leanD*y and
// the radius of its corners less leanC*y, but never below zero.
type Drawn struct {
	rim                 Outline
	height              unit.Length
	leanW, leanD, leanC float64 // per unit of height, of each side
	sharp               float64 // height in metres up to which the corners have run out to sharp ones
	volumes             [3]float64
	turn                float64 // corner wall per height and unit of radius, all four corners
}

var _ Solid = (*Drawn)(nil)

// newDrawn makes the solid of checked dimensions.
func newDrawn(rim Outline, height unit.Length, leanW, leanD, leanC float64) *Drawn {
	s := &Drawn{rim: rim, height: height, leanW: leanW, leanD: leanD, leanC: leanC}
	if leanC > 0 {
		s.sharp = max(0, float64(height)-float64(rim.Corner)/leanC)
	}
	h := float64(height)
	w, d := float64(rim.Width)-2*leanW*h, float64(rim.Depth)-2*leanD*h
	s.volumes = [3]float64{w * d, leanW*d + leanD*w, 4 * leanW * leanD / 3}
	s.turn = cornerTurn(leanW, leanD, leanC)
	return s
}

// cornerTurn returns the integral over the four corners of the length of wall per height,
// sqrt(1 + v²), where v is how fast the wall moves out along the normal at angle θ:
// (leanW-leanC) cos θ + (leanD-leanC) sin θ + leanC. It is 2π sqrt(1 + leanC²) where the corner
// narrows as the walls do, a part of a cone; otherwise Simpson's rule, to 1e-12.
func cornerTurn(leanW, leanD, leanC float64) float64 {
	if leanW == leanC && leanD == leanC {
		return 2 * math.Pi * math.Hypot(1, leanC)
	}
	f := func(theta float64) float64 {
		sin, cos := math.Sincos(theta)
		return math.Hypot(1, (leanW-leanC)*cos+(leanD-leanC)*sin+leanC)
	}
	const n = 256
	sum := f(0) + f(math.Pi/2)
	for i := 1; i < n; i++ {
		sum += float64(2+2*(i%2)) * f(float64(i)*math.Pi/(2*n))
	}
	return 4 * sum * math.Pi / (2 * n) / 3
}

// Height implements Solid.
func (s *Drawn) Height() unit.Length { return s.height }

// At implements Solid.
func (s *Drawn) At(z unit.Length) Outline {
	y := float64(s.height) - s.clamp(float64(z))
	return Outline{
		Width:  s.rim.Width - unit.Length(2*s.leanW*y),
		Depth:  s.rim.Depth - unit.Length(2*s.leanD*y),
		Corner: unit.Length(s.corner(float64(s.height) - y)),
	}
}

func (s *Drawn) clamp(z float64) float64 {
	if !(z > 0) {
		return 0
	}
	return min(z, float64(s.height))
}

// corner returns the radius of the corners at height z within the solid.
func (s *Drawn) corner(z float64) float64 {
	return max(0, float64(s.rim.Corner)-s.leanC*(float64(s.height)-z))
}

// Below implements Solid, in closed form: the integral of width times depth, less what the
// corners lose.
func (s *Drawn) Below(z unit.Length) unit.Volume {
	return unit.Volume(s.below(s.clamp(float64(z))))
}

func (s *Drawn) below(z float64) float64 {
	v := z * (s.volumes[0] + z*(s.volumes[1]+z*s.volumes[2]))
	if s.rim.Corner == 0 && s.leanC == 0 || z <= s.sharp {
		return v
	}
	low, high := s.corner(s.sharp), s.corner(z)
	return v - cornerLoss*(z-s.sharp)*(low*low+low*high+high*high)/3
}

// Wall implements Solid.
func (s *Drawn) Wall(z0, z1 unit.Length) unit.Area {
	lo, hi := span(z0, z1)
	return unit.Area(s.wall(s.clamp(hi)) - s.wall(s.clamp(lo)))
}

// wall returns the area under z: the four flat sides and the corners. Every dimension is linear
// in height, so its integral is the mean of its ends times the height.
func (s *Drawn) wall(z float64) float64 {
	bottom, top := s.At(0), s.At(unit.Length(z))
	corners := 0.0 // integral of the radius
	if z > s.sharp {
		corners = (z - s.sharp) * (s.corner(s.sharp) + s.corner(z)) / 2
	}
	alongWidth := z*float64(bottom.Width+top.Width)/2 - 2*corners
	alongDepth := z*float64(bottom.Depth+top.Depth)/2 - 2*corners
	return 2*alongWidth*math.Hypot(1, s.leanD) + 2*alongDepth*math.Hypot(1, s.leanW) + corners*s.turn
}

// Breaks implements Solid.
func (s *Drawn) Breaks() []unit.Length {
	if s.sharp > 0 && s.sharp < float64(s.height) {
		return []unit.Length{0, unit.Length(s.sharp), s.height}
	}
	return []unit.Length{0, s.height}
}

// level implements leveller.
func (s *Drawn) level(v float64) float64 {
	h := float64(s.height)
	return invert(v, h*v/s.below(h), h, func(z float64) (float64, float64) {
		return s.below(z), float64(s.At(unit.Length(z)).Area())
	})
}

// Grown implements Solid. Measured level, a film on a wall that leans is thicker than t; the
// corners take the film of the two walls beside them, which is exact where both lean alike. Of
// walls that lean differently they take the mean: the two differ by less than 2 % of t while
// none leans more than 10 degrees.
func (s *Drawn) Grown(t unit.Length) (Solid, error) {
	if err := checkZeroOrLength("the thickness of the film", t); err != nil {
		return nil, err
	}
	if t == 0 {
		return s, nil
	}
	filmW, filmD := t*unit.Length(math.Hypot(1, s.leanW)), t*unit.Length(math.Hypot(1, s.leanD))
	rim := Outline{Width: s.rim.Width + 2*filmW, Depth: s.rim.Depth + 2*filmD, Corner: s.rim.Corner}
	if rim.Corner > 0 {
		rim.Corner = min(rim.Corner+(filmW+filmD)/2, rim.Width/2, rim.Depth/2)
	}
	height := s.height + t
	for _, l := range []unit.Length{rim.Width, rim.Depth, height} {
		if err := checkLength("the mould with a film of "+show(t), l); err != nil {
			return nil, err
		}
	}
	grown := newDrawn(rim, height, s.leanW, s.leanD, s.leanC)
	if bottom := grown.At(0); bottom.Empty() || 2*bottom.Corner > min(bottom.Width, bottom.Depth)*(1+1e-9) {
		return nil, fmt.Errorf("with a film of %s the walls or the corners meet above the bottom: take a thinner one", show(t))
	}
	return grown, nil
}
