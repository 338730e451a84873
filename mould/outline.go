package mould

import (
	"math"

	"chablon/unit"
)

// Outline is a closed figure about the axis of a mould, seen from above: a rectangle whose corners
// are rounded by the radius Corner, or, made by NewOutline, ParseOutline or one of the named
// shapes, any figure of lines and curves. A circle has Width == Depth == 2*Corner. Width and Depth
// are those of the box round it. Hole is the diameter of a round hole in the middle, as round the
// tube of a pan. The zero Outline is empty. Outlines can be compared with ==.
type Outline struct {
	Width, Depth, Corner unit.Length
	Hole                 unit.Length

	path *path // nil for a rounded rectangle
}

// Circle returns the circle of diameter d.
func Circle(d unit.Length) Outline { return Outline{Width: d, Depth: d, Corner: d / 2} }

// Rectangle returns the rectangle of width w and depth d with corners of the given radius,
// zero for sharp ones.
func Rectangle(w, d, corner unit.Length) Outline {
	return Outline{Width: w, Depth: d, Corner: corner}
}

// WithHole returns the outline with a round hole of diameter d in the middle; zero closes it.
func (o Outline) WithHole(d unit.Length) Outline {
	o.Hole = d
	return o
}

// Outer returns the outline without its hole.
func (o Outline) Outer() Outline { return o.WithHole(0) }

// cornerLoss is the area that rounding four corners takes from a rectangle, in squares of the
// radius: four squares less one circle.
const cornerLoss = 4 - math.Pi

// Empty reports whether the outline encloses nothing.
func (o Outline) Empty() bool {
	return !(o.Width > 0 && o.Depth > 0) || o.Hole > 0 && o.Hole >= min(o.Width, o.Depth)
}

// IsCircle reports whether the outline is a circle, with or without a hole, to one part in 10⁹.
func (o Outline) IsCircle() bool {
	const near = 1 - 1e-9
	return o.path == nil && !o.Empty() && 2*o.Corner >= near*max(o.Width, o.Depth)
}

// IsRectangle reports whether the outline is a rectangle, its corners rounded or not.
func (o Outline) IsRectangle() bool { return o.path == nil && !o.Empty() && !o.IsCircle() }

// Area returns the area enclosed, less the hole.
func (o Outline) Area() unit.Area {
	if o.Empty() {
		return 0
	}
	hole := math.Pi / 4 * float64(o.Hole*o.Hole)
	if o.path != nil {
		return unit.Area(o.path.area - hole)
	}
	return unit.Area(float64(o.Width*o.Depth) - cornerLoss*float64(o.Corner*o.Corner) - hole)
}

// Perimeter returns the length of the outline and of the hole in it.
func (o Outline) Perimeter() unit.Length {
	if o.Empty() {
		return 0
	}
	hole := math.Pi * o.Hole
	if o.path != nil {
		return unit.Length(o.path.perimeter) + hole
	}
	return 2*(o.Width+o.Depth) - (8-2*math.Pi)*o.Corner + hole
}

// HalfWidth returns half of what the outline measures along a line through the middle, left to
// right: what a section through the axis shows on either side. Of a figure that is not the same
// on both sides it is the mean.
func (o Outline) HalfWidth() unit.Length {
	if o.path == nil {
		return o.Width / 2
	}
	return unit.Length(o.path.halfWidth)
}

// Inset returns the outline whose every side lies t further in, that of the hole further out; a
// negative t moves them the other way. The radius of a corner shrinks or grows with it. A sharp
// corner stays sharp (mitred) when the outline grows; a corner that points inwards is rounded when
// it shrinks. Where a figure falls into parts the largest is kept. Where nothing is left, or t is
// not finite, it returns the zero Outline.
func (o Outline) Inset(t unit.Length) Outline {
	if o.Empty() || math.IsInf(float64(t), 0) || math.IsNaN(float64(t)) {
		return Outline{}
	}
	if t == 0 {
		return o
	}
	var in Outline
	if o.path != nil {
		p := o.path.inset(float64(t))
		if p == nil {
			return Outline{}
		}
		in = p.outline()
	} else {
		in = Outline{Width: o.Width - 2*t, Depth: o.Depth - 2*t}
		if o.Corner > 0 {
			in.Corner = max(0, o.Corner-t)
		}
	}
	if o.Hole > 0 {
		in.Hole = max(0, o.Hole+2*t)
	}
	if in.Empty() {
		return Outline{}
	}
	return in
}

// Scaled returns the outline enlarged about the middle by a factor above zero.
func (o Outline) Scaled(f float64) Outline {
	k := unit.Length(f)
	out := Outline{Width: k * o.Width, Depth: k * o.Depth, Corner: k * o.Corner, Hole: k * o.Hole}
	if o.path != nil {
		out.path = o.path.scaled(f)
	}
	return out
}

// Clearance returns the least gap between o and an outline inside it, both about the axis, at
// their edges and at their holes. It is negative where inner pokes out: then it says how far, at
// the worst place.
func (o Outline) Clearance(inner Outline) unit.Length {
	gap := o.outerClearance(inner)
	if o.Hole > 0 {
		gap = min(gap, (inner.Hole-o.Hole)/2)
	}
	return gap
}

// outerClearance is Clearance without the holes.
//
// The gap of two convex figures is the least difference of their support functions. In the
// first quadrant that of a rounded rectangle is (Width/2-Corner) cos θ + (Depth/2-Corner) sin θ +
// Corner, so the difference of two is one sinusoid and its minimum lies on an axis, or between
// them if both amplitudes are negative. Other figures are compared as polygons.
func (o Outline) outerClearance(inner Outline) unit.Length {
	if o.path != nil || inner.path != nil {
		return unit.Length(clearance(o.polygon(), inner.polygon()))
	}
	width, depth := (o.Width-inner.Width)/2, (o.Depth-inner.Depth)/2
	corner := o.Corner - inner.Corner
	least := min(width, depth)
	if a, b := float64(width-corner), float64(depth-corner); a < 0 && b < 0 {
		least = min(least, corner-unit.Length(math.Hypot(a, b)))
	}
	return least
}

// Contains reports whether a point, from the axis, lies within the outline and not in its hole.
func (o Outline) Contains(x, y unit.Length) bool {
	if o.Empty() || o.Hole > 0 && math.Hypot(float64(x), float64(y)) < float64(o.Hole/2) {
		return false
	}
	if o.path != nil {
		return o.path.contains(point2{float64(x), float64(y)})
	}
	dx, dy := max(x, -x)-(o.Width/2-o.Corner), max(y, -y)-(o.Depth/2-o.Corner)
	switch {
	case dx <= 0:
		return dy <= o.Corner
	case dy <= 0:
		return dx <= o.Corner
	}
	return math.Hypot(float64(dx), float64(dy)) <= float64(o.Corner)
}

// Points returns the outline as a closed polygon about the axis, counter-clockwise, that follows
// its curves to some hundredths of a millimetre; the hole is left out.
func (o Outline) Points() [][2]unit.Length {
	if o.Empty() {
		return nil
	}
	p := o.polygon().points
	out := make([][2]unit.Length, len(p))
	for i := range p {
		out[i] = [2]unit.Length{unit.Length(p[i].x), unit.Length(p[i].y)}
	}
	return out
}

// polygon returns the outline as a path.
func (o Outline) polygon() *path {
	if o.path != nil {
		return o.path
	}
	w, d, c := float64(o.Width/2), float64(o.Depth/2), float64(o.Corner)
	if c <= 0 {
		return polygonOf([]point2{{w, d}, {-w, d}, {-w, -d}, {w, -d}})
	}
	const steps = 48 // a quarter: the chord lies within 0.02 mm of a circle of 200 mm
	var p []point2
	for i, at := range []point2{{w - c, d - c}, {c - w, d - c}, {c - w, c - d}, {w - c, c - d}} {
		for k := range steps + 1 {
			sin, cos := math.Sincos((float64(i) + float64(k)/steps) * math.Pi / 2)
			p = append(p, point2{at.x + c*cos, at.y + c*sin})
		}
	}
	return polygonOf(p)
}
