package cutting

import (
	"cmp"
	"errors"
	"slices"

	"chablon/unit"
)

// Shelves lays the pieces on rows that one straight cut parts from each other, highest first,
// each piece in its bounding rectangle. It is quick, never wrong, and may take a sheet more than
// Lay would. The errors are those of Lay.
func Shelves(sheet Sheet, pieces []Piece) (Layout, error) {
	out := Layout{Sheet: sheet, Pieces: pieces}
	if err := validate(sheet, pieces, false); err != nil {
		return out, err
	}
	if sheet.Round {
		return out, errors.New("rows from edge to edge are for rectangular sheets: lay a round cake out by Lay")
	}
	w, d := sheet.usable()
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
		for range p.Count {
			items = append(items, item{i, iw, ih})
		}
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
			if it.h <= sh.h+slack && sh.right+it.w <= w+slack {
				out.Sheets[sh.sheet] = append(out.Sheets[sh.sheet], newCut(pieces, it.piece, sheet.Edge+sh.right, sheet.Edge+sh.y, it.w, it.h))
				sh.right += it.w + sheet.Kerf
				placed = true
				break
			}
		}
		if placed {
			continue
		}
		on := slices.IndexFunc(top, func(t unit.Length) bool { return t+it.h <= d+slack })
		if on < 0 {
			on = len(top)
			top = append(top, 0)
			out.Sheets = append(out.Sheets, nil)
		}
		shelves = append(shelves, shelf{sheet: on, y: top[on], h: it.h, right: it.w + sheet.Kerf})
		out.Sheets[on] = append(out.Sheets[on], newCut(pieces, it.piece, sheet.Edge, sheet.Edge+top[on], it.w, it.h))
		top[on] += it.h + sheet.Kerf
	}
	out.Taken = taken(pieces)
	out.Trimmings = sheet.Area()*unit.Area(len(out.Sheets)) - out.Taken
	return out, nil
}

// newCut returns a piece as laid, and whether that turned it.
func newCut(pieces []Piece, piece int, x, y, w, h unit.Length) Cut {
	p := pieces[piece]
	return Cut{piece, x, y, w, h, !p.Round && w != p.Width && h == p.Width}
}
