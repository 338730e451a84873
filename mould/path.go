package mould

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"chablon/unit"
)

// path is a closed figure: a polygon that follows its curves closely, with the area and the
// perimeter of the curves themselves. Points run counter-clockwise, in metres about the axis.
type path struct {
	points    []point2
	area      float64
	perimeter float64
	// As long as no edge vanishes, the area of the figure t further in is area - perimeter t +
	// bendIn t², and t further out with bendOut.
	bendIn, bendOut float64
	halfWidth       float64
	convex          bool
}

type point2 struct{ x, y float64 }

func (p point2) sub(q point2) point2              { return point2{p.x - q.x, p.y - q.y} }
func (p point2) along(d point2, k float64) point2 { return point2{p.x + k*d.x, p.y + k*d.y} }
func (p point2) cross(q point2) float64           { return p.x*q.y - p.y*q.x }
func (p point2) dot(q point2) float64             { return p.x*q.x + p.y*q.y }
func (p point2) length() float64                  { return math.Hypot(p.x, p.y) }

// curve is one piece of an outline as drawn, as a function of a parameter from 0 to 1, with its
// derivative.
type curve struct {
	at       func(t float64) (p, d point2)
	straight bool
}

// Flattening: how far a chord may lie from its curve, and bounds of the points of one outline.
const (
	sagitta   = 5e-6 // metres
	mostChord = 400  // of one curve
	mostPath  = 2000 // of an outline
)

func straight(a, b point2) curve {
	d := b.sub(a)
	return curve{straight: true, at: func(t float64) (point2, point2) { return a.along(d, t), d }}
}

// arcOf is an arc of a circle about c from an angle through a turn, negative for clockwise.
func arcOf(c point2, r, from, turn float64) curve {
	return ellipseOf(c, r, r, 0, from, turn)
}

// ellipseOf is an arc of an ellipse with half axes a and b, turned by tilt.
func ellipseOf(c point2, a, b, tilt, from, turn float64) curve {
	ts, tc := math.Sincos(tilt)
	return curve{at: func(t float64) (point2, point2) {
		s, k := math.Sincos(from + turn*t)
		x, y, dx, dy := a*k, b*s, -a*s*turn, b*k*turn
		return point2{c.x + x*tc - y*ts, c.y + x*ts + y*tc}, point2{dx*tc - dy*ts, dx*ts + dy*tc}
	}}
}

// bezier is a cubic curve.
func bezier(a, b, c, d point2) curve {
	return curve{at: func(t float64) (point2, point2) {
		u := 1 - t
		w := [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}
		v := [3]float64{3 * u * u, 6 * u * t, 3 * t * t}
		p := point2{w[0]*a.x + w[1]*b.x + w[2]*c.x + w[3]*d.x, w[0]*a.y + w[1]*b.y + w[2]*c.y + w[3]*d.y}
		return p, point2{
			v[0]*(b.x-a.x) + v[1]*(c.x-b.x) + v[2]*(d.x-c.x),
			v[0]*(b.y-a.y) + v[1]*(c.y-b.y) + v[2]*(d.y-c.y),
		}
	}}
}

// newPath makes the path of closed curves, each beginning where the one before ends, moves the
// centre of its area to the axis and turns it counter-clockwise.
func newPath(curves []curve) (*path, error) {
	var points []point2
	area, moment, perimeter := 0.0, point2{}, 0.0
	for _, c := range curves {
		m := measure(c)
		area, perimeter = area+m.area, perimeter+m.length
		moment = moment.along(m.moment, 1)
		n := 1
		if !c.straight {
			n = int(min(mostChord, math.Ceil(2*math.Sqrt(m.length*m.bend/(8*sagitta)))))
			n = max(n, 4)
		}
		for k := range n {
			p, _ := c.at(float64(k) / float64(n))
			if !(math.Abs(p.x) <= float64(MaxLength) && math.Abs(p.y) <= float64(MaxLength)) {
				return nil, fmt.Errorf("the outline reaches beyond %s: give its measures in millimetres", MaxLength.Show())
			}
			points = append(points, p)
		}
		if len(points) > mostPath {
			return nil, fmt.Errorf("the outline has more than %d points: draw it with fewer curves", mostPath)
		}
	}
	points = distinct(points)
	if len(points) < 3 {
		return nil, errNothing
	}
	if i, j, crosses := selfCrossing(points); crosses {
		return nil, fmt.Errorf("the outline crosses itself between %s and %s: draw it so that it goes round once", place(points[i]), place(points[j]))
	}
	if math.Abs(area) < leastArea {
		return nil, errNothing
	}
	centre := point2{moment.x / area, moment.y / area}
	for i := range points {
		points[i] = points[i].sub(centre)
	}
	if area < 0 {
		slices.Reverse(points)
	}
	p := polygonOf(points)
	p.area, p.perimeter = math.Abs(area), perimeter
	p.bendOfCurves(curves)
	return p, nil
}

var errNothing = errors.New("the outline encloses nothing: give at least three points that do not lie on one line")

// leastArea is the smallest area of an outline, in square metres: a square of a tenth of a
// millimetre.
const leastArea = 1e-8

// bendOfCurves takes the bends from the tangents of the curves, which a polygon only approaches.
// Where a curve has no tangent at an end, what the polygon says is kept.
func (p *path) bendOfCurves(curves []curve) {
	smooth, whole := 0.0, 0.0
	turns := make([]float64, len(curves))
	for i, c := range curves {
		_, from := curves[(i+len(curves)-1)%len(curves)].at(1)
		_, to := c.at(0)
		if from.length() == 0 || to.length() == 0 {
			return
		}
		turns[i] = math.Atan2(from.cross(to), from.dot(to))
		turn := measure(c).turn
		smooth, whole = smooth+turn, whole+turn+turns[i]
	}
	sign := math.Copysign(1, whole) // negative if drawn clockwise
	if math.Abs(math.Abs(whole)-2*math.Pi) > 1e-6 {
		return
	}
	p.bendIn, p.bendOut = sign*smooth/2, sign*smooth/2
	for _, turn := range turns {
		p.bendIn += corner(sign*turn, true)
		p.bendOut += corner(sign*turn, false)
	}
}

// corner returns what a corner adds to the bend of an outline: the mitre, or the arc of one that
// points inwards as the outline shrinks.
func corner(turn float64, inwards bool) float64 {
	if turn < 0 && inwards {
		return turn / 2
	}
	return math.Tan(turn / 2)
}

// polygonOf returns the path of a polygon whose points are known to be sound.
func polygonOf(points []point2) *path {
	p := &path{points: points}
	for i := range points {
		a, b := points[i], points[(i+1)%len(points)]
		p.area += a.cross(b) / 2
		p.perimeter += b.sub(a).length()
		turn := p.turn(i)
		p.bendIn, p.bendOut = p.bendIn+corner(turn, true), p.bendOut+corner(turn, false)
	}
	p.finish()
	return p
}

// turn returns the angle by which the polygon turns at a point, left positive.
func (p *path) turn(i int) float64 {
	n := len(p.points)
	a, b, c := p.points[(i+n-1)%n], p.points[i], p.points[(i+1)%n]
	d, e := b.sub(a), c.sub(b)
	return math.Atan2(d.cross(e), d.dot(e))
}

// finish finds what follows from the points.
func (p *path) finish() {
	p.convex = true
	right, left := 0.0, 0.0
	n := len(p.points)
	for i := range p.points {
		a, b := p.points[i], p.points[(i+1)%n]
		p.convex = p.convex && p.turn(i) > -1e-9
		if (a.y <= 0) != (b.y <= 0) {
			x := a.x + (b.x-a.x)*(-a.y)/(b.y-a.y)
			right, left = max(right, x), max(left, -x)
		}
	}
	p.halfWidth = (right + left) / 2
}

// outline returns the Outline of a path.
func (p *path) outline() Outline {
	low, high := point2{math.Inf(1), math.Inf(1)}, point2{math.Inf(-1), math.Inf(-1)}
	for _, q := range p.points {
		low = point2{min(low.x, q.x), min(low.y, q.y)}
		high = point2{max(high.x, q.x), max(high.y, q.y)}
	}
	return Outline{Width: unit.Length(high.x - low.x), Depth: unit.Length(high.y - low.y), path: p}
}

func (p *path) scaled(f float64) *path {
	out := *p
	out.points = make([]point2, len(p.points))
	for i, q := range p.points {
		out.points[i] = point2{f * q.x, f * q.y}
	}
	out.area, out.perimeter, out.halfWidth = f*f*p.area, f*p.perimeter, f*p.halfWidth
	return &out
}

// contains reports whether a point lies within, by the parity of crossings to its right.
func (p *path) contains(q point2) bool {
	in := false
	n := len(p.points)
	for i := range p.points {
		a, b := p.points[i], p.points[(i+1)%n]
		if (a.y > q.y) != (b.y > q.y) && q.x < a.x+(b.x-a.x)*(q.y-a.y)/(b.y-a.y) {
			in = !in
		}
	}
	return in
}

// measured is what a curve adds to its figure.
type measured struct {
	area, length, turn, bend float64 // turn is signed, bend the sum of all turning
	moment                   point2
}

// measure integrates over a curve by Gauss's rule of five points on sixteen stretches, a relative
// 1e-13 for arcs up to a full circle.
func measure(c curve) measured {
	var m measured
	const stretches = 16
	_, before := c.at(0)
	for k := range stretches {
		for i, x := range gaussNodes {
			t := (float64(k) + x) / stretches
			p, d := c.at(t)
			w := gaussWeights[i] / stretches
			da := p.cross(d) / 2 * w
			m.area += da
			m.moment = m.moment.along(p, da*2/3)
			m.length += d.length() * w
			m.step(before, d)
			before = d
		}
	}
	_, last := c.at(1)
	m.step(before, last)
	if c.straight {
		m.turn, m.bend = 0, 0
	}
	return m
}

func (m *measured) step(from, to point2) {
	if from.length() == 0 || to.length() == 0 {
		return
	}
	a := math.Atan2(from.cross(to), from.dot(to))
	m.turn += a
	m.bend += math.Abs(a)
}

// distinct leaves out points that lie on the one before.
func distinct(points []point2) []point2 {
	const near = 1e-9
	p := slices.CompactFunc(points, func(a, b point2) bool { return a.sub(b).length() < near })
	for len(p) > 1 && p[0].sub(p[len(p)-1]).length() < near {
		p = p[:len(p)-1]
	}
	return p
}

func place(p point2) string {
	return fmt.Sprintf("(%s, %s)", unit.Number(p.x*1000, 1), unit.Number(p.y*1000, 1))
}
