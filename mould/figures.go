package mould

import (
	"errors"
	"fmt"
	"math"

	"chablon/unit"
)

// OutlinePoint is a point of an outline. Bulge is the radius of the arc that leads here from the
// point before, the shorter of the two possible ones; it bulges outwards, of an outline drawn
// counter-clockwise to the right, and inwards if negative. Zero means a straight side.
type OutlinePoint struct{ X, Y, Bulge unit.Length }

// NewOutline returns the outline through at least three points; the last leads back to the first,
// whose Bulge belongs to that side. It may be drawn either way round and anywhere: the centre of
// its area comes to lie on the axis. An error names the point, counted from 1, or says where the
// outline crosses itself.
func NewOutline(points []OutlinePoint) (Outline, error) {
	if len(points) < 2 {
		return Outline{}, fmt.Errorf("the outline has %d points: give at least three, or two with an arc between them", len(points))
	}
	curves := make([]curve, 0, len(points))
	for i := range points {
		from, to := points[i], points[(i+1)%len(points)]
		for _, x := range []unit.Length{to.X, to.Y, to.Bulge} {
			if !(x >= -MaxLength && x <= MaxLength) {
				return Outline{}, fmt.Errorf("outline point %d has a measure of %s: give at most %s", (i+1)%len(points)+1, show(x), MaxLength.Show())
			}
		}
		a, b := point2{float64(from.X), float64(from.Y)}, point2{float64(to.X), float64(to.Y)}
		if to.Bulge == 0 {
			curves = append(curves, straight(a, b))
			continue
		}
		c, err := bulge(a, b, float64(to.Bulge))
		if err != nil {
			return Outline{}, fmt.Errorf("outline point %d: %w", (i+1)%len(points)+1, err)
		}
		curves = append(curves, c)
	}
	return outlineOf(curves)
}

// bulge returns the shorter arc of a radius between two points, to the right of the way from one
// to the other, to the left if the radius is negative.
func bulge(a, b point2, r float64) (curve, error) {
	chord := b.sub(a)
	half := chord.length() / 2
	if half < float64(leastLength) {
		return curve{}, errors.New("the arc begins where it ends: give two half circles for a circle")
	}
	if math.Abs(r) < half*(1-1e-9) {
		return curve{}, fmt.Errorf("the arc has a radius of %s, but its ends lie %s apart: give a radius of at least %s", show(unit.Length(math.Abs(r))), show(unit.Length(2*half)), show(unit.Length(half)))
	}
	rise := math.Sqrt(max(0, r*r-half*half))
	side := point2{-chord.y / (2 * half), chord.x / (2 * half)} // to the left
	turn := 2 * math.Asin(min(1, half/math.Abs(r)))
	mid := a.along(chord, 0.5)
	if r < 0 {
		side, turn = point2{-side.x, -side.y}, -turn
	}
	c := mid.along(side, rise)
	return arcOf(c, math.Abs(r), math.Atan2(a.y-c.y, a.x-c.x), turn), nil
}

func outlineOf(curves []curve) (Outline, error) {
	p, err := newPath(curves)
	if err != nil {
		return Outline{}, err
	}
	o := p.outline()
	if o.Width < leastLength || o.Depth < leastLength || o.Width > MaxLength || o.Depth > MaxLength {
		return Outline{}, fmt.Errorf("the outline measures %s by %s: a mould measures more than 0 and at most %s", show(o.Width), show(o.Depth), MaxLength.Show())
	}
	return o, nil
}

// RegularPolygon returns the figure of n equal sides, 3 to 60 of them, by the distance across two
// parallel sides, or twice that from the middle to a side where n is odd. One corner points up.
// Corners are rounded by a radius, zero for sharp ones.
func RegularPolygon(n int, acrossFlats, corner unit.Length) (Outline, error) {
	if n < 3 || n > 60 {
		return Outline{}, fmt.Errorf("the outline has %d sides: give 3 to 60", n)
	}
	if err := checkLength("the distance across the flats", acrossFlats); err != nil {
		return Outline{}, err
	}
	if !(corner >= 0 && corner <= acrossFlats/2) {
		return Outline{}, fmt.Errorf("the corners have a radius of %s: give from 0 to half of the width across the flats, %s", show(corner), show(acrossFlats/2))
	}
	half := math.Pi / float64(n)
	r := (float64(acrossFlats)/2 - float64(corner)) / math.Cos(half) // to the middles of the rounded corners
	var points []OutlinePoint
	for i := range n {
		angle := math.Pi/2 + 2*half*float64(i)
		s, c := math.Sincos(angle)
		at := func(side float64) OutlinePoint { // where the corner's arc meets a side
			s1, c1 := math.Sincos(angle + side*half)
			return OutlinePoint{X: unit.Length(r*c) + corner*unit.Length(c1), Y: unit.Length(r*s) + corner*unit.Length(s1)}
		}
		if corner == 0 {
			points = append(points, at(0))
			continue
		}
		end := at(1)
		end.Bulge = corner
		points = append(points, at(-1), end)
	}
	return NewOutline(points)
}

// Triangle returns the triangle of three equal sides.
func Triangle(side unit.Length) (Outline, error) {
	return RegularPolygon(3, side/unit.Length(math.Sqrt(3)), 0)
}

// Ellipse returns the ellipse of two axes.
func Ellipse(major, minor unit.Length) (Outline, error) {
	if err := errors.Join(checkLength("the ellipse's width", major), checkLength("the ellipse's depth", minor)); err != nil {
		return Outline{}, err
	}
	return outlineOf([]curve{ellipseOf(point2{}, float64(major/2), float64(minor/2), 0, 0, 2*math.Pi)})
}

// Heart returns the square of a side and the two half discs on its upper sides, standing on its
// point.
func Heart(side unit.Length) (Outline, error) {
	if err := checkLength("the heart's side", side); err != nil {
		return Outline{}, err
	}
	h := side / math.Sqrt2
	return NewOutline([]OutlinePoint{{X: 0, Y: -h}, {X: h, Y: 0}, {X: 0, Y: h, Bulge: side / 2}, {X: -h, Y: 0, Bulge: side / 2}})
}

// Fluted returns the outline r(θ) = d/2 + depth cos(n θ): n flutes, each depth out and depth in.
func Fluted(d, depth unit.Length, n int) (Outline, error) {
	if err := errors.Join(checkLength("the diameter", d), checkZeroOrLength("the depth of the flutes", depth)); err != nil {
		return Outline{}, err
	}
	if n < 3 || n > 48 || depth > d/8 {
		return Outline{}, fmt.Errorf("there are %d flutes of %s in a diameter of %s: give 3 to 48, no deeper than an eighth of the diameter", n, show(depth), show(d))
	}
	r, a, k := float64(d/2), float64(depth), float64(n)
	curves := make([]curve, n)
	for i := range curves {
		from := 2 * math.Pi * float64(i) / k
		curves[i] = curve{at: func(t float64) (point2, point2) {
			w := 2 * math.Pi / k
			angle := from + w*t
			s, c := math.Sincos(angle)
			rad, dr := r+a*math.Cos(k*angle), -a*k*math.Sin(k*angle)
			return point2{rad * c, rad * s}, point2{(dr*c - rad*s) * w, (dr*s + rad*c) * w}
		}}
	}
	return outlineOf(curves)
}

// Sector returns the piece of a round outline between two radii, as a wedge is cut: angle in
// degrees, above 0 and below 360.
func Sector(d unit.Length, degrees float64) (Outline, error) {
	if err := checkLength("the diameter", d); err != nil {
		return Outline{}, err
	}
	if !(degrees > 0 && degrees < 360) {
		return Outline{}, fmt.Errorf("the wedge spans %s°: give more than 0° and less than 360°", unit.Number(degrees, 1))
	}
	r, turn := float64(d/2), degrees*math.Pi/180
	tip := point2{}
	a := point2{r, 0}
	b := point2{r * math.Cos(turn), r * math.Sin(turn)}
	return outlineOf([]curve{straight(tip, a), arcOf(tip, r, 0, turn), straight(b, tip)})
}

// TiltLoss returns how much less a solid with an upright wall holds when it is filled to the lower
// side of its rim on a shelf out of level by an angle in degrees, tilted along its longer side.
func TiltLoss(rim Outline, degrees float64) unit.Volume {
	reach := max(rim.Width, rim.Depth) / 2
	return rim.Area().Times(reach * unit.Length(math.Tan(math.Abs(degrees)*math.Pi/180)))
}
