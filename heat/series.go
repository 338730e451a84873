package heat

import "math"

// seriesTerms is enough for a Fourier number of 1e-3 away from the centre.
const seriesTerms = 60

// A symmetry is one of the three bodies that cool in one direction.
type symmetry uint8

const (
	planar symmetry = iota
	axial
	central
)

// characteristic is zero at the eigenvalues z of a body with a convective surface: z tan z = Bi,
// z J1(z) = Bi J0(z), 1 - z cot z = Bi, each multiplied out so that it has no pole; slope is its
// derivative over z.
func (s symmetry) characteristic(z, bi float64) (f, slope float64) {
	if s == axial {
		j0, j1 := math.J0(z), math.J1(z)
		return z*j1 - bi*j0, z*j0 + bi*j1
	}
	sin, cos := math.Sincos(z)
	if s == central {
		return (1-bi)*sin - z*cos, z*sin - bi*cos
	}
	return z*sin - bi*cos, (1+bi)*sin + z*cos
}

// eigenvalue returns the n-th root of the characteristic, from n = 0: Newton's method between bounds
// that hold one root.
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
	// The roots beyond the first start from their lower end.
	z := low + (high-low)*bi/(bi+1.5+2*k)
	if n == 0 {
		z = s.guess(bi)
	}
	rising := n%2 == 0 // through the root
	for range 60 {
		f, slope := s.characteristic(z, bi)
		if f > 0 == rising {
			high = z
		} else {
			low = z
		}
		next := z - f/slope
		if math.Abs(next-z) < 1e-8*z {
			return next // its error is about the square of that
		}
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		z = next
	}
	return z
}

// guess returns the first root to some per cent.
func (s symmetry) guess(bi float64) float64 {
	if s != central && bi > 0.1 && bi <= 100 {
		return s.lacroix(bi)
	}
	end := [...]float64{planar: math.Pi / 2, axial: 2.4048, central: math.Pi}[s] // for bi without limit
	return end * math.Sqrt(bi/(bi+end*end/(1+float64(s))))
}

// lacroix returns the first root of a slab or a cylinder to about 1 %, for 0.1 < bi <= 100 (Lacroix &
// Castaigne 1987, in ASHRAE Handbook-Refrigeration, Cooling and Freezing Times of Foods).
func (s symmetry) lacroix(bi float64) float64 {
	x := math.Log(bi)
	if s == axial {
		return 1.257493 + x*(0.487941+x*(0.025322+x*(-0.026568+x*(-0.002888+x*0.001078))))
	}
	return 0.860972 + x*(0.312133+x*(0.007986+x*(-0.016192+x*(-0.001190+x*0.000581))))
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

// A series is the solution along one direction. Its terms are worked out when they are needed: at the
// times that matter two or three say everything.
type series struct {
	symmetry
	bi    float64
	known int
	first [4]term
	more  []term
}

// term returns the n-th term.
func (s *series) term(n int) term {
	for ; s.known <= n; s.known++ {
		z := s.eigenvalue(s.known, s.bi)
		t := term{z, s.amplitude(z)}
		if s.known < len(s.first) {
			s.first[s.known] = t
		} else {
			s.more = append(s.more, t)
		}
	}
	if n < len(s.first) {
		return s.first[n]
	}
	return s.more[n-len(s.first)]
}

// theta returns the part of the first difference to the surroundings that is left at x after a
// Fourier number fo = alpha t/R^2, with constant properties; at most seriesTerms terms. Source:
// Carslaw & Jaeger, Conduction of Heat in Solids.
func (s *series) theta(fo, x float64) float64 {
	if fo < unfelt && x == 0 {
		return 1
	}
	if fo < early && x == 0 && s.symmetry == planar {
		return earlyPlate(fo, s.bi)
	}
	sum := 0.0
	for n := range seriesTerms {
		t := s.term(n)
		decay := math.Exp(-t.z * t.z * fo)
		if decay < negligible {
			break
		}
		sum += t.a * decay * s.profile(t.z, x)
	}
	return min(1, sum)
}

const (
	// negligible is what a term may be worth and be left out.
	negligible = 1e-7
	// unfelt is the Fourier number up to which the centre has not felt anything: exp(-1/(4 Fo)) is 6e-8,
	// times 9 in a ball.
	unfelt = 0.015
	// early is the Fourier number up to which a plate's centre feels its two faces as if the other were not there:
	// what it leaves out is below 4 erfc(1.5/sqrt(Fo)) = 8e-11.
	early = 0.1
)

// earlyPlate is what is left of the first difference at the middle of a plate while its faces do not feel each
// other: twice the half space of Carslaw & Jaeger 2.7.
func earlyPlate(fo, bi float64) float64 {
	root := math.Sqrt(fo)
	a := 1 / (2 * root)
	felt := math.Erfc(a)
	if b := a + bi*root; b < 25 { // beyond, the product below is Bi^-1 of what is felt and less
		felt -= math.Exp(bi+bi*root*bi*root) * math.Erfc(b)
	} else {
		felt -= math.Exp(-a*a) / (b * math.Sqrt(math.Pi)) * (1 - 1/(2*b*b))
	}
	return 1 - 2*felt
}

// A direction is one factor of the product solution of a body: R, m, and the series along it.
type direction struct {
	series
	r float64
}

// directions are the one to three along which a body cools.
type directions struct {
	n     int
	along [3]direction
}

// directions splits a body into those it cools along (same coefficient h, W/(m2 K), on all faces).
func (b Body) directions(h, k float64) (d directions) {
	add := func(s symmetry, size int) {
		r := float64(b.Size[size]) / 2
		x := &d.along[d.n]
		x.symmetry, x.bi, x.r = s, h*r/k, r
		d.n++
	}
	switch b.Shape {
	case Disc:
		add(axial, 0)
		add(planar, 1)
	case Box:
		add(planar, 0)
		add(planar, 1)
		add(planar, 2)
	case Ball:
		add(central, 0)
	default:
		add(planar, 0)
	}
	return d
}

// centre returns what is left of the first difference at the centre of the body after t seconds;
// alpha is the diffusivity, m2/s.
func (d *directions) centre(alpha, t float64) float64 {
	theta := 1.0
	for i := range d.n {
		x := &d.along[i]
		theta *= x.theta(alpha*t/(x.r*x.r), 0)
	}
	return theta
}

// rate returns the decay of the last, slowest terms, 1/s, and the product of their amplitudes.
func (d *directions) rate(alpha float64) (rate, amplitude float64) {
	amplitude = 1
	for i := range d.n {
		x := &d.along[i]
		t := x.term(0)
		rate += t.z * t.z * alpha / (x.r * x.r)
		amplitude *= t.a
	}
	return rate, amplitude
}

// late returns the seconds after which the last terms alone fall to theta.
func (d *directions) late(alpha, theta float64) float64 {
	rate, amplitude := d.rate(alpha)
	return math.Log(amplitude/theta) / rate
}

// timeTo returns the seconds after which centre falls to theta, between 0 and 1: a secant on its
// logarithm, which is straight once the last terms are left, between bounds.
func (d *directions) timeTo(alpha, theta float64) float64 {
	rate, _ := d.rate(alpha)
	want := math.Log(theta)
	// The last terms alone overstate what is left of the first, so the answer lies before them but for
	// the rounding; before it 1 is left.
	low, high := 0.0, d.late(alpha, theta)*(1+1e-9)+1e-12
	for math.Log(d.centre(alpha, high)) > want && high < 1e30 {
		low, high = high, 2*high
	}
	t, slope := high, -rate
	last, lastOff := 0.0, 0.0
	for n := range 60 {
		off := math.Log(d.centre(alpha, t)) - want
		if off > 0 {
			low = t
		} else {
			high = t
		}
		if n > 0 && off != lastOff {
			slope = (off - lastOff) / (t - last)
		}
		last, lastOff = t, off
		next := t - off/slope
		if math.Abs(next-t) <= 1e-7*t {
			return next
		}
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		t = next
	}
	return t
}

// A response says how the last, slowest terms of a body follow a change of the coefficient or of the
// conductivity from those that it is made for: by the slope of its first eigenvalues, taken as straight in
// 1/z^2 over 1/Bi, which both ends of the scale are. For changes of some tenths that is within 1 %.
type response struct {
	n     int
	along [3]struct{ rate, slope, amplitude float64 } // rate: z^2 k/r^2, W/(m3 K); slope: d ln z^2 / d ln Bi
}

func (d *directions) response(k float64) response {
	out := response{n: d.n}
	for i := range d.n {
		x := &d.along[i]
		t := x.term(0)
		z2 := t.z * t.z
		below := x.bi*x.bi + z2
		switch x.symmetry {
		case planar:
			below += x.bi
		case central:
			below -= x.bi
		}
		out.along[i].rate, out.along[i].slope, out.along[i].amplitude = z2*k/(x.r*x.r), 2*x.bi/below, t.a
	}
	return out
}

// changed returns the rate of decay times the capacity, W/(m3 K), and the product of the amplitudes, with the
// coefficient and the conductivity times h and k.
func (r *response) changed(h, k float64) (rate, amplitude float64) {
	amplitude = 1
	for i := range r.n {
		x := &r.along[i]
		less := 1 + x.slope*(k/h-1) // of z^2, by how many times
		rate += x.rate * k / less
		amplitude *= 1 + (x.amplitude-1)/less
	}
	return rate, amplitude
}
