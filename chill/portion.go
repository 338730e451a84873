package chill

import (
	"fmt"
	"math"

	"chablon/heat"
	"chablon/unit"
)

// Portion says how a piece is cut: a round one into equal wedges, a rectangular one into slices or
// rectangles.
type Portion struct {
	Wedges int // of a round piece, 2 to 64
	// Of a rectangular piece, the size of a portion along its width and depth; zero takes the whole of
	// it, between the piece's own walls.
	Width, Depth unit.Length
}

// Cut returns a portion as a body of its own, out of its mould, its cut faces as bare as its top. A wedge
// is solved in three dimensions, as half of it; so is a rectangle, as a quarter, and it is one from the middle
// of the piece, whose layers it has. Layers and start temperatures are those of the piece: it is cut
// as it stands, frozen if that is frozen. A piece that is taken as a round one of its area is cut as that.
// Of an error no body comes: a wedge of a rectangular piece, a slice of a round one, a portion wider
// than the piece.
func (b *Body) Cut(p Portion) (*Body, error) {
	cut := *b
	cut.portion = p
	rim := b.section.Mould.Solid.At(b.section.Top)
	switch {
	case b.portion != (Portion{}):
		return nil, fmt.Errorf("a portion cannot be cut again: cut the whole piece")
	case b.round && (p.Wedges < 2 || p.Wedges > 64 || p.Width != 0 || p.Depth != 0):
		return nil, fmt.Errorf("wedges %d: cut a round piece into 2 to 64 wedges", p.Wedges)
	case b.round:
		return &cut, nil
	case p.Wedges != 0:
		return nil, fmt.Errorf("wedges %d: the piece is not round: give the width or depth of a portion", p.Wedges)
	case p.Width == 0 && p.Depth == 0:
		return nil, fmt.Errorf("portion: give its width or depth")
	}
	for _, x := range [2]struct {
		name       string
		size, most unit.Length
	}{{"width", p.Width, rim.Width}, {"depth", p.Depth, rim.Depth}} {
		if !(x.size == 0 || x.size >= unit.Millimetre && x.size <= x.most) {
			return nil, fmt.Errorf("portion %s %s: give one from 1 mm to the piece's %s, or none", x.name, x.size.Show(), x.most.Show())
		}
	}
	return &cut, nil
}

// wedge divides half of a wedge: as many cells of its angle as make arcs at two thirds of the radius about as
// long as a cell.
func (b *Body) wedge(cell unit.Length, parts int) (*heat.Field, error) {
	g, fill := b.turnedGrid(cell)
	radius := math.Sqrt(float64(b.section.Mould.Solid.At(b.section.Top).Area()) / math.Pi)
	arc := math.Pi / float64(parts) * radius * 2 / 3
	g, err := heat.WedgeGrid(g, parts, max(leastCells, int(math.Ceil(arc/float64(cell)))))
	if err != nil {
		return nil, err
	}
	return heat.NewField(g, b.foods, fill)
}
