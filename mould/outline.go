package mould

import (
	"math"

	"chablon/unit"
)

// Outline is a closed convex figure centred on the axis of a mould, seen from above: a rectangle
// whose corners are rounded by the radius Corner. A circle has Width == Depth == 2*Corner. The
// zero Outline is empty.
type Outline struct{ Width, Depth, Corner unit.Length }

// Circle returns the circle of diameter d.
func Circle(d unit.Length) Outline { return Outline{d, d, d / 2} }

// Rectangle returns the rectangle of width w and depth d with corners of the given radius,
// zero for sharp ones.
func Rectangle(w, d, corner unit.Length) Outline { return Outline{w, d, corner} }

// cornerLoss is the area that rounding four corners takes from a rectangle, in squares of the
// radius: four squares less one circle.
const cornerLoss = 4 - math.Pi

// Empty reports whether the outline encloses nothing.
func (o Outline) Empty() bool { return !(o.Width > 0 && o.Depth > 0) }

// IsCircle reports whether the outline is a circle, to one part in 10⁹.
func (o Outline) IsCircle() bool {
	const near = 1 - 1e-9
	return !o.Empty() && 2*o.Corner >= near*max(o.Width, o.Depth)
}

// Area returns the area enclosed.
func (o Outline) Area() unit.Area {
	if o.Empty() {
		return 0
	}
	return unit.Area(float64(o.Width*o.Depth) - cornerLoss*float64(o.Corner*o.Corner))
}

// Perimeter returns the length of the outline.
func (o Outline) Perimeter() unit.Length {
	if o.Empty() {
		return 0
	}
	return 2*(o.Width+o.Depth) - (8-2*math.Pi)*o.Corner
}

// Inset returns the outline whose every side lies t further in; a negative t moves it out. The
// radius of a corner shrinks or grows with it, but a sharp corner stays sharp (mitred) when the
// outline grows. Where nothing is left, or t is not finite, it returns the zero Outline.
func (o Outline) Inset(t unit.Length) Outline {
	in := Outline{Width: o.Width - 2*t, Depth: o.Depth - 2*t}
	if o.Empty() || in.Empty() || math.IsInf(float64(t), 0) {
		return Outline{}
	}
	if o.Corner > 0 {
		in.Corner = max(0, o.Corner-t)
	}
	return in
}

// Clearance returns the least gap between o and an outline inside it, both centred. It is
// negative where inner pokes out: then it says how far, at the worst place.
//
// The gap of two convex figures is the least difference of their support functions. In the
// first quadrant that of an outline is (Width/2-Corner) cos θ + (Depth/2-Corner) sin θ + Corner,
// so the difference is one sinusoid and its minimum lies on an axis, or between them if both
// amplitudes are negative.
func (o Outline) Clearance(inner Outline) unit.Length {
	width, depth := (o.Width-inner.Width)/2, (o.Depth-inner.Depth)/2
	corner := o.Corner - inner.Corner
	least := min(width, depth)
	if a, b := float64(width-corner), float64(depth-corner); a < 0 && b < 0 {
		least = min(least, corner-unit.Length(math.Hypot(a, b)))
	}
	return least
}
