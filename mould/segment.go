package mould

import (
	"errors"
	"fmt"
	"math"

	"chablon/unit"
)

// segment is one step of a turned profile, from (r0, z0) up to (r1, z1) in metres: a line, or
// an arc that bulges away from the axis. Heights inside it are t = z - z0.
//
// On an arc r = c + q with q = sqrt(a² - u²) and u = u0 + t, where a is the radius and (c, zc)
// the centre. The square root is taken of (low+t)(high-t), whose factors are the distances from
// the lowest and highest point of the circle: so nothing cancels near a pole.
type segment struct {
	r0, z0, r1, z1 float64
	below          float64 // volume of the segments under this one

	arc        bool
	a, c, zc   float64
	q0, u0     float64
	low, high  float64
	slope, run float64 // of a line: dr/dz, and length of wall per height
}

func newLine(r0, z0, r1, z1 float64) segment {
	s := segment{r0: r0, z0: z0, r1: r1, z1: z1}
	if z1 > z0 {
		s.slope = (r1 - r0) / (z1 - z0)
		s.run = math.Hypot(1, s.slope)
	}
	return s
}

// newArc finds the centre, to the left of the chord on the way up, and refuses an arc on which
// the height would not rise all the way.
func newArc(r0, z0, r1, z1, a float64) (segment, error) {
	s := segment{r0: r0, z0: z0, r1: r1, z1: z1, arc: true, a: a}
	dr, dz := r1-r0, z1-z0
	half := math.Hypot(dr, dz) / 2
	if dz <= 0 {
		return s, errors.New("the arc does not rise: give its end a greater height, or draw a line")
	}
	const rounding = 1e-9
	if a < half*(1-rounding) {
		return s, fmt.Errorf("the arc has a radius of %s, but its ends lie %s apart: give a radius of at least %s", show(unit.Length(a)), show(unit.Length(2*half)), show(unit.Length(half)))
	}
	rise := math.Sqrt(max(0, (a-half)*(a+half)))
	s.c = (r0+r1)/2 - dz/(2*half)*rise
	s.zc = (z0+z1)/2 + dr/(2*half)*rise
	if math.Abs(s.c) < 1e-12*a {
		s.c = 0
	}
	if min(r0, r1)-s.c < -rounding*a {
		return s, fmt.Errorf("the arc of radius %s runs below its start or above its end: give a larger radius, or put a point at its lowest or highest place", show(unit.Length(a)))
	}
	s.q0 = max(0, r0-s.c)
	s.u0 = z0 - s.zc
	if s.u0 < 0 { // low*high is q0²; the larger factor is the exact one
		s.high = a - s.u0
		s.low = s.q0 * s.q0 / s.high
	} else {
		s.low = a + s.u0
		s.high = s.q0 * s.q0 / s.low
	}
	return s, nil
}

// radius returns the distance of the wall from the axis.
func (s *segment) radius(t float64) float64 {
	if s.arc {
		return max(0, s.c+s.q(t))
	}
	return max(0, s.r0+s.slope*t)
}

func (s *segment) q(t float64) float64 { return math.Sqrt(max(0, (s.low+t)*(s.high-t))) }

// volume returns the volume between the start of the segment and t.
//
// Line: a truncated cone, π t (r0² + r0 r + r²)/3. Arc: π times the integral of
// c² + 2 c q + q², where the middle term is the area beside the arc and the last a slice of
// a sphere, t (q0² - u0 t - t²/3).
func (s *segment) volume(t float64) float64 {
	if !s.arc {
		r := s.r0 + s.slope*t
		return math.Pi * t * (s.r0*s.r0 + s.r0*r + r*r) / 3
	}
	if s.c < 0 {
		if phi := s.angle(t); phi < 0.2 {
			return s.thin(phi)
		}
	}
	v := t * (s.low*s.high - s.u0*t - t*t/3)
	if s.c != 0 {
		v += s.c * (s.c*t + 2*s.beside(t))
	}
	return math.Pi * v
}

// thin returns the volume under a small angle φ of an arc whose centre lies beyond the axis,
// where the three terms of the closed form cancel near a point on the axis. It is Gauss's rule
// of five points on π r² q dψ, whose relative error at φ = 0.2 is below 1e-14.
func (s *segment) thin(phi float64) float64 {
	sum := 0.0
	for i, x := range gaussNodes {
		sin, cos := math.Sincos(phi * x)
		half := math.Sin(phi * x / 2)
		r := s.r0 - 2*s.q0*half*half - s.u0*sin
		sum += gaussWeights[i] * r * r * (s.q0*cos - s.u0*sin)
	}
	return math.Pi * phi * sum
}

// Gauss-Legendre rule of five points on 0 to 1. Source: Abramowitz and Stegun, table 25.4.
var (
	gaussNodes   = [5]float64{0.046910077030668, 0.2307653449471585, 0.5, 0.7692346550528415, 0.953089922969332}
	gaussWeights = [5]float64{0.11846344252809454, 0.23931433524968324, 0.28444444444444444, 0.23931433524968324, 0.11846344252809454}
)

// beside returns the integral of q: the trapezium under the chord and the slice between chord
// and arc, a² (φ - sin φ)/2.
func (s *segment) beside(t float64) float64 {
	phi := s.angle(t)
	slice := phi - math.Sin(phi)
	if phi < 0.3 { // the difference cancels; its series to a relative 1e-14
		x := phi * phi
		slice = phi * x / 6 * (1 - x/20*(1-x/42*(1-x/72*(1-x/110))))
	}
	return t*(s.q0+s.q(t))/2 + s.a*s.a*slice/2
}

// angle returns the angle φ that the arc has turned through between its start and t.
func (s *segment) angle(t float64) float64 {
	q, u := s.q(t), s.u0+t
	dq := 0.0
	if q+s.q0 > 0 {
		dq = -t * (s.u0 + u) / (q + s.q0)
	}
	if chord := math.Hypot(t, dq); chord < s.a {
		return 2 * math.Asin(chord/(2*s.a))
	}
	return math.Atan2(math.Abs(s.q0*u-s.u0*q), s.q0*q+s.u0*u)
}

// wall returns the area of the wall between the start of the segment and t. On an arc it is
// 2π times the integral of (c + a cos θ) a dθ, that is 2π a (c φ + t).
func (s *segment) wall(t float64) float64 {
	if !s.arc {
		return math.Pi * (2*s.r0 + s.slope*t) * t * s.run
	}
	area := t
	if s.c != 0 {
		area += s.c * s.angle(t)
	}
	return 2 * math.Pi * s.a * area
}

// level returns the t at which the segment holds v > 0. On a line r³ = r0³ + 3 slope v/π, and
// the height follows from the volume of the truncated cone without a division by the slope.
func (s *segment) level(v float64) float64 {
	h := s.z1 - s.z0
	if !s.arc {
		r := math.Cbrt(max(0, s.r0*s.r0*s.r0+3*s.slope*v/math.Pi))
		return min(h, 3*v/math.Pi/(s.r0*s.r0+s.r0*r+r*r))
	}
	return invert(v, h*math.Sqrt(min(1, v/s.volume(h))), h, func(t float64) (float64, float64) {
		r := s.radius(t)
		return s.volume(t), math.Pi * r * r
	})
}
