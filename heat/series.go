package heat

import "math"

// seriesTerms is enough for a Fourier number of 1e-3; below it the middle has not felt anything.
const seriesTerms = 60

// A symmetry is one of the three bodies that cool in one direction.
type symmetry uint8

const (
	planar symmetry = iota
	axial
	central
)

// characteristic is zero at the eigenvalues z of a body with a convective surface: z tan z = Bi,
// z J1(z) = Bi J0(z), 1 - z cot z = Bi, each multiplied out so that it has no pole.
func (s symmetry) characteristic(z, bi float64) float64 {
	switch s {
	case axial:
		return z*math.J1(z) - bi*math.J0(z)
	case central:
		return (1-bi)*math.Sin(z) - z*math.Cos(z)
	}
	return z*math.Sin(z) - bi*math.Cos(z)
}

// eigenvalue returns the n-th root of the characteristic, from n = 0.
func (s symmetry) eigenvalue(n int, bi float64) float64 {
	k := float64(n)
	var low, high float64
	switch s {
	case planar:
		low, high = k*math.Pi, (k+0.5)*math.Pi
	case central:
		low, high = k*math.Pi, (k+1)*math.Pi
		if n == 0 {
			low = 1e-9 // the root at 0 is none of the body's
		}
	case axial:
		// Between the zeros of J1 and of J0, by McMahon's first terms, widened by their error.
		high = (k + 0.75) * math.Pi
		high += 1/(8*high) + 0.02
		if n > 0 {
			low = (k + 0.25) * math.Pi
			low -= 3/(8*low) + 0.02
		}
	}
	rising := s.characteristic(high, bi) > 0
	for range 60 {
		mid := (low + high) / 2
		if (s.characteristic(mid, bi) > 0) == rising {
			high = mid
		} else {
			low = mid
		}
	}
	return (low + high) / 2
}

// amplitude returns the weight of the term of eigenvalue z at the centre.
func (s symmetry) amplitude(z float64) float64 {
	switch s {
	case axial:
		j0, j1 := math.J0(z), math.J1(z)
		return 2 * j1 / (z * (j0*j0 + j1*j1))
	case central:
		return 4 * (math.Sin(z) - z*math.Cos(z)) / (2*z - math.Sin(2*z))
	}
	return 4 * math.Sin(z) / (2*z + math.Sin(2*z))
}

// profile returns the term of eigenvalue z at a distance x from the centre, as a part of the half
// dimension, relative to the centre.
func (s symmetry) profile(z, x float64) float64 {
	switch {
	case x == 0:
		return 1
	case s == axial:
		return math.J0(z * x)
	case s == central:
		return math.Sin(z*x) / (z * x)
	}
	return math.Cos(z * x)
}

// A term is an eigenvalue of the series and its amplitude at the centre.
type term struct{ z, a float64 }

// terms returns the series of a body of Biot number bi.
func (s symmetry) terms(bi float64) []term {
	out := make([]term, seriesTerms)
	for n := range out {
		z := s.eigenvalue(n, bi)
		out[n] = term{z, s.amplitude(z)}
	}
	return out
}

// theta returns the part of the first difference to the surroundings that is left at x after a
// Fourier number fo = alpha t/R^2, with constant properties. Source: Carslaw & Jaeger, Conduction
// of Heat in Solids; series with seriesTerms terms.
func (s symmetry) theta(terms []term, fo, x float64) float64 {
	if fo < 1e-3 && x == 0 {
		return 1 // off by less than 1e-100
	}
	sum := 0.0
	for _, t := range terms {
		sum += t.a * math.Exp(-t.z*t.z*fo) * s.profile(t.z, x)
	}
	return min(1, sum)
}

// A direction is one factor of the product solution of a body: R and the series along it.
type direction struct {
	symmetry
	r     float64 // m
	terms []term
}

// directions splits a body into those it cools along (same coefficient h, W/(m2 K), on all faces).
func (b Body) directions(h, k float64) []direction {
	along := func(s symmetry, size int) direction {
		r := float64(b.Size[size]) / 2
		return direction{s, r, s.terms(h * r / k)}
	}
	switch b.Shape {
	case Disc:
		return []direction{along(axial, 0), along(planar, 1)}
	case Box:
		return []direction{along(planar, 0), along(planar, 1), along(planar, 2)}
	case Ball:
		return []direction{along(central, 0)}
	}
	return []direction{along(planar, 0)}
}

// centre returns what is left of the first difference at the centre of the body after t seconds;
// alpha is the diffusivity, m2/s.
func centre(along []direction, alpha, t float64) float64 {
	theta := 1.0
	for _, d := range along {
		theta *= d.theta(d.terms, alpha*t/(d.r*d.r), 0)
	}
	return theta
}

// timeTo returns the seconds after which centre falls to theta, between 0 and 1.
func timeTo(along []direction, alpha, theta float64) float64 {
	rate := 0.0 // of the last, slowest decay, 1/s
	for _, d := range along {
		rate += d.terms[0].z * d.terms[0].z * alpha / (d.r * d.r)
	}
	low, high := 0.0, 1/rate
	for centre(along, alpha, high) > theta && high < 1e30 {
		low, high = high, 2*high
	}
	for range 60 {
		mid := (low + high) / 2
		if centre(along, alpha, mid) > theta {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
