// Package cutting takes pieces out of sheets: discs, rectangles and strips from what was baked.
//
// This version places pieces on shelves, highest first, each in its bounding rectangle: rows that
// one straight cut parts from each other. It is quick and never wrong, and it may take a sheet
// more than a better layout would; discs are not yet set into each other's gaps.
package cutting

import (
	"cmp"
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
}

// Sheet is what pieces are cut from: its inner size, the edge that is trimmed off all round, and
// the width that a cut takes.
type Sheet struct {
	Width, Depth unit.Length
	Edge, Kerf   unit.Length
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
}

// mostPieces bounds a layout: more pieces than any kitchen cuts in a day.
const mostPieces = 200_000

// Shelves lays the pieces on as many sheets as it needs. It returns an error naming the piece
// that is larger than the usable sheet in either direction.
func Shelves(sheet Sheet, pieces []Piece) (Layout, error) {
	out := Layout{Sheet: sheet, Pieces: pieces}
	w, d := sheet.Width-2*sheet.Edge, sheet.Depth-2*sheet.Edge
	if w <= 0 || d <= 0 {
		return out, fmt.Errorf("a sheet of %s by %s has nothing left inside its trimmed edges", sheet.Width.Show(), sheet.Depth.Show())
	}
	type item struct {
		piece int
		w, h  unit.Length
	}
	var items []item
	for i, p := range pieces {
		iw, ih := p.Width, p.Height
		if !fits(iw, ih, w, d) || (fits(ih, iw, w, d) && ih > iw && !p.Round) {
			iw, ih = ih, iw // lying: rows as low as they can be
		}
		if !fits(iw, ih, w, d) {
			return out, fmt.Errorf("%s measures %s by %s, but a sheet leaves %s by %s to cut from: piece it from shorter strips or take a larger sheet",
				p.Name, p.Width.Show(), p.Height.Show(), w.Show(), d.Show())
		}
		if p.Count < 0 || len(items)+p.Count > mostPieces {
			return out, fmt.Errorf("%s is to be cut %d times: at most %d pieces can be laid out", p.Name, p.Count, mostPieces)
		}
		for range p.Count {
			items = append(items, item{i, iw, ih})
		}
		out.Taken += p.Area * unit.Area(p.Count)
	}
	slices.SortStableFunc(items, func(a, b item) int { return cmp.Or(cmp.Compare(b.h, a.h), cmp.Compare(b.w, a.w)) })

	type shelf struct {
		sheet       int
		y, h, right unit.Length
	}
	var shelves []shelf
	var top []unit.Length // used depth of each sheet
	for _, it := range items {
		placed := false
		for s := range shelves {
			sh := &shelves[s]
			if it.h <= sh.h+1e-12 && sh.right+it.w <= w+1e-12 {
				out.Sheets[sh.sheet] = append(out.Sheets[sh.sheet], Cut{it.piece, sheet.Edge + sh.right, sheet.Edge + sh.y, it.w, it.h})
				sh.right += it.w + sheet.Kerf
				placed = true
				break
			}
		}
		if placed {
			continue
		}
		on := slices.IndexFunc(top, func(t unit.Length) bool { return t+it.h <= d+1e-12 })
		if on < 0 {
			on = len(top)
			top = append(top, 0)
			out.Sheets = append(out.Sheets, nil)
		}
		shelves = append(shelves, shelf{sheet: on, y: top[on], h: it.h, right: it.w + sheet.Kerf})
		out.Sheets[on] = append(out.Sheets[on], Cut{it.piece, sheet.Edge, sheet.Edge + top[on], it.w, it.h})
		top[on] += it.h + sheet.Kerf
	}
	out.Trimmings = unit.Area(float64(len(out.Sheets))*float64(sheet.Width)*float64(sheet.Depth)) - out.Taken
	return out, nil
}

func fits(w, h, sheetW, sheetD unit.Length) bool { return w <= sheetW+1e-12 && h <= sheetD+1e-12 }

// Strips returns the least number of equal strips that go round a length when each may be at
// most longest and every joint laps by overlap: the least m with m (longest − overlap) ≥ length.
// It returns zero where an overlap leaves nothing of a strip.
func Strips(length, longest, overlap unit.Length) int {
	if longest <= overlap || length <= 0 {
		return 0
	}
	return int(math.Ceil(float64(length/(longest-overlap)) - 1e-12))
}
