package assembly

import (
	"math"

	"chablon/unit"
)

// Strip is one of the equal pieces that a band is cut as, laid flat.
type Strip struct {
	Pieces  int
	Overlap unit.Length // of each joint, counted in Length; zero for a butt joint
	Height  unit.Length // along the wall, across the strip
	Length  unit.Length // of the lower edge as laid, and of both edges of a straight strip

	// A wall that leans takes a curved strip, a sector between two arcs. Radius is that of the
	// shorter edge and Angle, in radians, what the strip spans; both are zero for a straight one.
	Radius unit.Length
	Angle  float64
	// Upper is the length of the upper edge: it differs from Length on a leaning wall.
	Upper unit.Length
}

// Straight reports whether the strip is a rectangle.
func (s Strip) Straight() bool { return s.Angle == 0 }

// Strip returns how a band is cut. Round an upright wall it is a rectangle as long as its middle
// line. Against a round wall that leans, the sector is that of the wall itself, which is the
// face that has to fit: its edges lie on the cone from which the wall is a slice. A wall that
// curves or changes its lean is taken as straight between the band's two edges.
func (s *Section) Strip(l *Placed) Strip {
	n := max(1, l.BandPieces)
	out := Strip{Pieces: n, Overlap: l.Overlap, Height: l.Z1 - l.Z0, Length: l.StripLength / unit.Length(n)}
	out.Upper = out.Length
	low, high := s.Mould.Solid.At(l.Z0), s.Mould.Solid.At(l.Z1)
	r0, r1 := float64(low.Width/2), float64(high.Width/2)
	if !low.IsCircle() || !high.IsCircle() || math.Abs(r1-r0) < 1e-6 {
		return out
	}
	slant := math.Hypot(r1-r0, float64(out.Height))
	turn := 2 * math.Pi * math.Abs(r1-r0) / slant // of the whole wall, unrolled
	lap := float64(out.Overlap)
	shorter := min(r0, r1) * slant / math.Abs(r1-r0)
	out.Height, out.Radius = unit.Length(slant), unit.Length(shorter)
	out.Angle = turn/float64(n) + lap/shorter
	out.Length, out.Upper = unit.Length(out.Angle*shorter), unit.Length(out.Angle*(shorter+slant))
	if r0 > r1 {
		out.Length, out.Upper = out.Upper, out.Length
	}
	return out
}
