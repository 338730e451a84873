// Package cutting takes pieces out of sheets: discs, rectangles and strips from what was baked,
// bands that are pieced from several strips, and hidden layers that are joined from trimmings.
//
// # Use
//
// Lay is what most callers want: it takes a Sheet (or a round Cake), the pieces and Options, and
// returns a Layout on as few sheets as it finds, with a bound that no layout can beat. Unless
// Options.Free is set, rectangles are laid so that a knife and a ruler part them by straight
// cuts from edge to edge, in three stages: rows across the sheet, columns in a row, pieces in a
// column. Discs are stamped with a cutter and so are nested into each other's gaps.
// Bands plans strips for bands of given lengths, Joined counts what trimmings still give, and
// Check verifies any layout by means of its own.
//
// # Model
//
// A piece other than a disc is a rectangle, or an outline that is given by its bounding rectangle
// and its own area. The cutter or knife takes the kerf between two pieces; a piece may lie at the
// trimmed edge itself. Layouts are searched on a fine grid, so that they do not depend on how a
// measure was computed.
//
// The searches are heuristics with a bounded amount of work and a seed: the same input gives the
// same layout. Layout.Proven says when a layout cannot be improved.
package cutting

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Piece is a shape to be cut, so many times.
type Piece struct {
	Name          string
	Width, Height unit.Length // of the bounding rectangle; a strip's length is its Width
	Area          unit.Area   // of the piece itself; zero means the whole rectangle, or disc
	Count         int
	Round         bool // a disc: Width is its diameter
	Joined        bool // nobody sees it: it may be joined from offcuts
}

// Disc returns a piece cut with a round cutter.
func Disc(name string, diameter unit.Length, count int) Piece {
	return Piece{Name: name, Width: diameter, Height: diameter, Count: count, Round: true}
}

// Rectangle returns a piece with four straight sides; a strip's length is its width.
func Rectangle(name string, width, height unit.Length, count int) Piece {
	return Piece{Name: name, Width: width, Height: height, Count: count}
}

// area returns the area of one piece.
func (p Piece) area() unit.Area {
	switch {
	case p.Area > 0:
		return p.Area
	case p.Round:
		return unit.Area(math.Pi / 4 * float64(p.Width) * float64(p.Width))
	}
	return unit.Area(float64(p.Width) * float64(p.Height))
}

// Sheet is what pieces are cut from: its inner size, the edge that is trimmed off all round, and
// the width that a cut, or the wall of a cutter, takes between two pieces.
type Sheet struct {
	Width, Depth unit.Length
	Edge, Kerf   unit.Length
	Round        bool // a round cake: Width and Depth are its diameter
}

// Cake returns a round cake as something to cut from.
func Cake(diameter, edge, kerf unit.Length) Sheet {
	return Sheet{Width: diameter, Depth: diameter, Edge: edge, Kerf: kerf, Round: true}
}

// Area returns the area of the whole sheet, edges included.
func (s Sheet) Area() unit.Area {
	if s.Round {
		return unit.Area(math.Pi / 4 * float64(s.Width) * float64(s.Width))
	}
	return unit.Area(float64(s.Width) * float64(s.Depth))
}

// usable returns the size inside the trimmed edges.
func (s Sheet) usable() (w, d unit.Length) { return s.Width - 2*s.Edge, s.Depth - 2*s.Edge }

// Cut is one piece where it lies on a sheet, from the lower left corner of the sheet.
type Cut struct {
	Piece         int // index into the pieces
	X, Y          unit.Length
	Width, Height unit.Length // as laid
	Turned        bool        // by a quarter against the piece as it was given
}

// Layout is how the pieces lie.
type Layout struct {
	Sheet     Sheet
	Pieces    []Piece
	Sheets    [][]Cut
	Strokes   [][]Stroke // of each sheet: the straight cuts in order, nil where cutters or free cuts part the pieces
	Taken     unit.Area  // by the pieces themselves
	Trimmings unit.Area  // what is left of whole sheets, edges included
	Joined    []int      // of each piece: how many are joined from offcuts instead of cut whole; nil if none
	Least     int        // no layout under the same rules takes fewer sheets
	Stopped   bool       // the context ended the search: more work might have helped
}

// Proven reports whether no layout under the same rules takes fewer sheets.
func (l Layout) Proven() bool { return len(l.Sheets) <= l.Least }

// Options are the rules of a layout and the work that may be put into it. The zero Options cut
// from edge to edge, turn pieces by a quarter where that helps, and answer while a page is edited.
type Options struct {
	Free  bool   // cuts need not run from edge to edge
	Fixed bool   // no piece is turned: a grain, a print
	Work  int    // steps of the search, about ten million a second; zero means Interactive
	Seed  uint64 // another seed, another search
}

// Amounts of work for Options.Work.
const (
	Interactive = 300_000    // for a page that answers while it is edited: under 50 ms
	Thorough    = 10_000_000 // about a second
)

// Limits of what is laid out: more than any kitchen cuts in a day, and measures that the grid
// holds.
const (
	mostPieces = 200_000
	mostLength = 100 * unit.Metre
)

// validate returns the first thing that keeps the pieces from being laid, naming the piece, its
// size and the usable size.
func validate(s Sheet, pieces []Piece, fixed bool) error {
	for _, m := range []struct {
		name string
		l    unit.Length
	}{{"width", s.Width}, {"depth", s.Depth}, {"trimmed edge", s.Edge}, {"width of a cut", s.Kerf}} {
		if !(m.l >= 0 && m.l <= mostLength) {
			return fmt.Errorf("the %s of a sheet is %v m: give a length of 0 to %s", m.name, float64(m.l), mostLength.Show())
		}
	}
	if s.Round && s.Width != s.Depth {
		return fmt.Errorf("a round cake is %s by %s: give it one diameter", s.Width.Show(), s.Depth.Show())
	}
	w, d := s.usable()
	if w <= 0 || d <= 0 {
		return fmt.Errorf("a sheet of %s by %s has nothing left inside its trimmed edges", s.Width.Show(), s.Depth.Show())
	}
	total := 0
	for _, p := range pieces {
		if p.Count < 0 || p.Count > mostPieces-total {
			return fmt.Errorf("%s is to be cut %d times: at most %d pieces can be laid out", p.Name, p.Count, mostPieces)
		}
		total += p.Count
		if !(p.Width > 0 && p.Height > 0) || math.IsInf(float64(p.Width), 0) || math.IsInf(float64(p.Height), 0) {
			return fmt.Errorf("%s measures %v by %v m: give both sides a length above zero", p.Name, float64(p.Width), float64(p.Height))
		}
		if !(p.Area >= 0 && p.Area <= unit.Area(float64(p.Width)*float64(p.Height)*(1+1e-9))) {
			return fmt.Errorf("%s has an area of %v m², which a rectangle of %s by %s does not hold", p.Name, float64(p.Area), p.Width.Show(), p.Height.Show())
		}
		if p.Round && p.Width != p.Height {
			return fmt.Errorf("%s is round but measures %s by %s: give it one diameter", p.Name, p.Width.Show(), p.Height.Show())
		}
		if !s.holds(p, fixed) {
			left := fmt.Sprintf("%s by %s", w.Show(), d.Show())
			if s.Round {
				left = "Ø " + w.Show()
			}
			return fmt.Errorf("%s measures %s by %s, but a sheet leaves %s to cut from: piece it from shorter strips or take a larger sheet",
				p.Name, p.Width.Show(), p.Height.Show(), left)
		}
	}
	return nil
}

// holds reports whether one piece fits the sheet.
func (s Sheet) holds(p Piece, fixed bool) bool {
	w, d := s.usable()
	if s.Round {
		if p.Round {
			return fits(p.Width, 0, w, d)
		}
		return fits(unit.Length(math.Hypot(float64(p.Width), float64(p.Height))), 0, w, d)
	}
	return fits(p.Width, p.Height, w, d) || (!fixed && fits(p.Height, p.Width, w, d))
}

// slack is what rounding to the grid may add to a measure.
const slack = 1e-9 * unit.Metre

func fits(w, h, sheetW, sheetD unit.Length) bool { return w <= sheetW+slack && h <= sheetD+slack }

// taken returns the area of all pieces.
func taken(pieces []Piece) unit.Area {
	var a unit.Area
	for _, p := range pieces {
		a += p.area() * unit.Area(p.Count)
	}
	return a
}

// Strips returns the least number of equal strips that go round a length when each may be at
// most longest and every joint laps by overlap: the least m with m (longest − overlap) ≥ length.
// It returns zero where an overlap leaves nothing of a strip.
func Strips(length, longest, overlap unit.Length) int {
	if longest <= overlap || length <= 0 {
		return 0
	}
	return int(math.Ceil(float64(length/(longest-overlap)) - 1e-12))
}

// tooMany is the error for more pieces than Roll lays.
func tooMany(n int) error {
	return fmt.Errorf("%d pieces are to be laid on one sheet: at most %d can be", n, mostRolled)
}
