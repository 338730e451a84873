package cutting

import (
	"fmt"
	"math"
	"slices"

	"chablon/unit"
)

// Piece is a shape to be cut, so many times.
type Piece struct {
	Name          string
	Width, Height unit.Length // of the bounding rectangle; a strip's length is its Width
	Area          unit.Area   // of the piece itself
	Count         int
	Round         bool
	Joined        bool // nobody sees it: it may be joined from trimmings
}

// Sheet is what pieces are cut from: its inner size, the edge that is trimmed off all round, and
// the width that a cut takes. A round cake has its diameter for both.
type Sheet struct {
	Width, Depth unit.Length
	Edge, Kerf   unit.Length
	Round        bool
}

// Area returns the area of a whole sheet.
func (s Sheet) Area() unit.Area {
	a := unit.Area(float64(s.Width) * float64(s.Depth))
	if s.Round {
		a *= math.Pi / 4
	}
	return a
}

// Cut is one piece where it lies on a sheet, from the lower left corner of the sheet.
type Cut struct {
	Piece         int // index into the pieces
	X, Y          unit.Length
	Width, Height unit.Length // as laid: turned by a quarter where that fits better
}

// Layout is how the pieces lie.
type Layout struct {
	Sheet     Sheet
	Pieces    []Piece
	Sheets    [][]Cut
	Taken     unit.Area // by the pieces themselves
	Trimmings unit.Area // what is left of whole sheets, edges included
	// Joined is how many of each piece are put together from trimmings instead of being cut whole.
	Joined []int
	// Least is a lower bound on the number of sheets; with as many the layout is proven best.
	Least int
	// EdgeToEdge reports that every piece can be parted by cuts that go right through.
	EdgeToEdge bool
}

// Options say how Lay may cut. The zero Options cut from edge to edge and turn pieces.
type Options struct {
	Free  bool // cuts need not go right through
	Fixed bool // pieces may not be turned by a quarter
	// Work bounds the search in tries to lay all pieces; 0 means 60, quick enough for a page.
	Work int
	Seed uint64
}

// mostPieces bounds a layout: more pieces than any kitchen cuts in a day. Beyond manyPieces only
// one try is made.
const (
	mostPieces = 200_000
	manyPieces = 2_000
	usualWork  = 60
)

// slack is less than any knife sees, in metres.
const slack = 1e-9

// joinShare is the part of trimmings that pieces can be put together from; the rest is too small or
// falls off at the joints. Source: common practice, no source.
const joinShare = 0.6

// Lay puts the pieces on as few sheets as it finds. Pieces that may be joined are put together from
// the trimmings of the others as far as these go, if that saves a sheet. It returns an error naming
// the piece that is larger than the usable sheet, or counted beyond reason.
func Lay(sheet Sheet, pieces []Piece, o Options) (Layout, error) {
	whole, err := lay(sheet, pieces, o)
	hidden := 0
	for _, p := range pieces {
		if p.Joined {
			hidden += p.Count
		}
	}
	if err != nil || hidden == 0 {
		return whole, err
	}
	best := whole
	for joined := hidden; joined > 0; joined = joined * 3 / 4 { // as many as the trimmings give
		fewer := append([]Piece(nil), pieces...)
		from := make([]int, len(pieces))
		left, area := joined, unit.Area(0)
		for i := range fewer {
			if fewer[i].Joined {
				from[i] = min(left, fewer[i].Count)
				fewer[i].Count -= from[i]
				left -= from[i]
				area += fewer[i].Area * unit.Area(from[i])
			}
		}
		l, err := lay(sheet, fewer, o)
		if err != nil || area > l.Trimmings*joinShare {
			continue
		}
		if len(l.Sheets) < len(best.Sheets) {
			l.Pieces, l.Joined = pieces, from
			l.Taken += area
			l.Trimmings -= area
			best = l
		}
		break
	}
	return best, nil
}

func lay(sheet Sheet, pieces []Piece, o Options) (Layout, error) {
	out := Layout{Sheet: sheet, Pieces: pieces}
	w, d := float64(sheet.Width-2*sheet.Edge), float64(sheet.Depth-2*sheet.Edge)
	kerf := float64(sheet.Kerf)
	if !(w > 0 && d > 0) || math.IsInf(w+d, 0) || !(kerf >= 0) || !(sheet.Edge >= 0) {
		return out, fmt.Errorf("a sheet of %s by %s, %s trimmed off each edge, has nothing left to cut from", sheet.Width.Show(), sheet.Depth.Show(), sheet.Edge.Show())
	}
	total, discs := 0, true
	for _, p := range pieces {
		if !(p.Width > 0 && p.Height > 0) || math.IsInf(float64(p.Width+p.Height), 0) {
			return out, fmt.Errorf("%s measures %s by %s: give sizes above zero", p.Name, p.Width.Show(), p.Height.Show())
		}
		if p.Count < 0 || total+p.Count > mostPieces {
			return out, fmt.Errorf("%s is to be cut %d times: at most %d pieces can be laid out", p.Name, p.Count, mostPieces)
		}
		if p.Count > 0 && !sheet.fits(p, w, d, o.Fixed) {
			return out, fmt.Errorf("%s measures %s by %s, but a sheet leaves %s by %s to cut from: piece it from shorter strips or take a larger sheet",
				p.Name, p.Width.Show(), p.Height.Show(), unit.Length(w).Show(), unit.Length(d).Show())
		}
		total += p.Count
		discs = discs && (p.Round || p.Count == 0)
		out.Taken += p.Area * unit.Area(p.Count)
	}
	if o.Work <= 0 {
		o.Work = usualWork
	}
	if total > manyPieces {
		o.Work = 1
	}
	if sheet.Round {
		out.cake(o)
	} else {
		out.rectangles(w, d, kerf, o)
		if discs {
			out.lattices(w, d, kerf, o)
		}
	}
	out.Trimmings = sheet.Area()*unit.Area(len(out.Sheets)) - out.Taken
	out.Least = max(out.Least, out.bound(w, d))
	if out.EdgeToEdge = true; len(out.Sheets) < 200 {
		for _, cuts := range out.Sheets {
			out.EdgeToEdge = out.EdgeToEdge && parts(cuts)
		}
	}
	if wrong := Check(out); len(wrong) > 0 {
		return out, fmt.Errorf("the layout does not hold: %s", wrong[0])
	}
	return out, nil
}

func (s Sheet) fits(p Piece, w, d float64, fixed bool) bool {
	a, b := float64(p.Width), float64(p.Height)
	if s.Round {
		if p.Round {
			return a <= w+slack
		}
		return math.Hypot(a, b) <= w+slack
	}
	return a <= w+slack && b <= d+slack || !fixed && b <= w+slack && a <= d+slack
}

// rectangles lays every piece in its bounding rectangle. A cut is counted by making pieces and
// sheet larger by the kerf.
func (l *Layout) rectangles(w, d, kerf float64, o Options) {
	var items []rect
	var of []int
	for i, p := range l.Pieces {
		for range p.Count {
			items, of = append(items, rect{w: float64(p.Width) + kerf, h: float64(p.Height) + kerf}), append(of, i)
		}
	}
	bins := pack(items, w+kerf, d+kerf, !o.Free, !o.Fixed, o.Work, o.Seed)
	for _, b := range bins {
		var cuts []Cut
		for _, r := range b {
			cuts = append(cuts, Cut{Piece: of[r.item], X: unit.Length(r.x) + l.Sheet.Edge, Y: unit.Length(r.y) + l.Sheet.Edge, Width: unit.Length(r.w - kerf), Height: unit.Length(r.h - kerf)})
		}
		l.Sheets = append(l.Sheets, cuts)
	}
	l.Least = binBound(items, w+kerf, d+kerf, !o.Fixed)
}

// bound is what the areas of the pieces say.
func (l *Layout) bound(w, d float64) int {
	usable := w * d
	if l.Sheet.Round {
		usable *= math.Pi / 4
	}
	if l.Taken <= 0 {
		return 0
	}
	return int(math.Ceil(float64(l.Taken)/usable - 1e-9))
}

// parts reports whether cuts that go right through can part all pieces from each other.
func parts(cuts []Cut) bool {
	if len(cuts) <= 1 {
		return true
	}
	for _, across := range []bool{true, false} {
		low := func(c Cut) (from, to unit.Length) {
			if across {
				return c.X, c.X + c.Width
			}
			return c.Y, c.Y + c.Height
		}
		order := slices.Clone(cuts)
		slices.SortFunc(order, func(a, b Cut) int {
			fa, _ := low(a)
			fb, _ := low(b)
			switch {
			case fa < fb:
				return -1
			case fa > fb:
				return 1
			}
			return 0
		})
		_, reach := low(order[0])
		for i := 1; i < len(order); i++ {
			from, to := low(order[i])
			if from >= reach-slack {
				return parts(order[:i]) && parts(order[i:])
			}
			reach = max(reach, to)
		}
	}
	return false
}

// Check verifies a layout apart from how it was made: every piece is laid as often as it is wanted,
// none leaves what is usable of its sheet, and none comes nearer to another than a cut is wide. It
// returns what is wrong, nothing if all holds.
func Check(l Layout) []string {
	const near = 1e-8 // metres: what sums may lose
	var wrong []string
	laid := make([]int, len(l.Pieces))
	centre, radius := float64(l.Sheet.Width)/2, float64(l.Sheet.Width)/2-float64(l.Sheet.Edge)
	for s, cuts := range l.Sheets {
		for i, c := range cuts {
			if c.Piece < 0 || c.Piece >= len(l.Pieces) {
				wrong = append(wrong, fmt.Sprintf("sheet %d: cut %d is of no piece", s+1, i+1))
				continue
			}
			p := l.Pieces[c.Piece]
			laid[c.Piece]++
			straight := math.Abs(float64(c.Width-p.Width)) < near && math.Abs(float64(c.Height-p.Height)) < near
			turned := math.Abs(float64(c.Width-p.Height)) < near && math.Abs(float64(c.Height-p.Width)) < near
			if !straight && !turned {
				wrong = append(wrong, fmt.Sprintf("sheet %d: %s is laid as %s by %s", s+1, p.Name, c.Width.Show(), c.Height.Show()))
			}
			x, y := float64(c.X+c.Width/2), float64(c.Y+c.Height/2)
			edge := float64(l.Sheet.Edge) - near
			switch {
			case l.Sheet.Round && p.Round:
				if math.Hypot(x-centre, y-centre)+float64(c.Width)/2 > radius+near {
					wrong = append(wrong, fmt.Sprintf("sheet %d: %s leaves the cake", s+1, p.Name))
				}
			case l.Sheet.Round:
				if math.Hypot(math.Abs(x-centre)+float64(c.Width)/2, math.Abs(y-centre)+float64(c.Height)/2) > radius+near {
					wrong = append(wrong, fmt.Sprintf("sheet %d: %s leaves the cake", s+1, p.Name))
				}
			case float64(c.X) < edge || float64(c.Y) < edge || float64(c.X+c.Width) > float64(l.Sheet.Width)-edge || float64(c.Y+c.Height) > float64(l.Sheet.Depth)-edge:
				wrong = append(wrong, fmt.Sprintf("sheet %d: %s leaves the usable sheet", s+1, p.Name))
			}
			for _, e := range cuts[:i] {
				gap := max(float64(e.X-c.X-c.Width), float64(c.X-e.X-e.Width), float64(e.Y-c.Y-c.Height), float64(c.Y-e.Y-e.Height))
				if p.Round && l.Pieces[e.Piece].Round {
					gap = max(gap, math.Hypot(float64(e.X+e.Width/2)-x, float64(e.Y+e.Height/2)-y)-float64(c.Width+e.Width)/2)
				}
				if gap < float64(l.Sheet.Kerf)-near {
					wrong = append(wrong, fmt.Sprintf("sheet %d: %s lies %s from %s", s+1, p.Name, unit.Length(gap).Show(), l.Pieces[e.Piece].Name))
				}
			}
		}
	}
	for i, p := range l.Pieces {
		joined := 0
		if i < len(l.Joined) {
			joined = l.Joined[i]
		}
		if joined < 0 || joined > 0 && !p.Joined || laid[i]+joined != p.Count {
			wrong = append(wrong, fmt.Sprintf("%s is laid %d times and joined %d times instead of %d", p.Name, laid[i], joined, p.Count))
		}
	}
	return wrong
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
