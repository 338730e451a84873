package cutting

import (
	"context"
	"math"
	"slices"

	"chablon/finding"
	"chablon/unit"
)

// Offcut is a rectangle that is left on a sheet.
type Offcut struct {
	Sheet         int // index
	X, Y          unit.Length
	Width, Height unit.Length
}

// Offcuts returns what a layout leaves inside the trimmed edges as rectangles that do not
// overlap, none narrower than least: the largest first, then the largest of what it leaves. What
// lies inside the bounding rectangle of a piece is not counted, nor a kerf. A round cake's
// offcuts are left out: they are segments that no rectangle describes.
func (l Layout) Offcuts(least unit.Length) []Offcut {
	if l.Sheet.Round || !(least > 0) {
		return nil
	}
	w, d := l.Sheet.usable()
	var out []Offcut
	for i, cuts := range l.Sheets {
		f := filler{packing: &packing{}, holes: []hole{{0, 0, grid(float64(w)), grid(float64(d))}}}
		kerf := l.Sheet.Kerf
		for _, c := range cuts {
			x, y := grid(float64(c.X-l.Sheet.Edge-kerf)), grid(float64(c.Y-l.Sheet.Edge-kerf))
			f.split(spot{0, x, y, grid(float64(c.Width + 2*kerf)), grid(float64(c.Height + 2*kerf))})
		}
		for {
			f.holes = slices.DeleteFunc(f.holes, func(h hole) bool { return min(h.w, h.h) < grid(float64(least)) })
			if len(f.holes) == 0 {
				break
			}
			best := slices.MaxFunc(f.holes, func(a, b hole) int {
				if d := float64(a.w)*float64(a.h) - float64(b.w)*float64(b.h); d != 0 {
					return int(math.Copysign(1, d))
				}
				return 0
			})
			at := func(v int) unit.Length { return unit.Length(float64(v) * step) }
			out = append(out, Offcut{i, l.Sheet.Edge + at(best.x), l.Sheet.Edge + at(best.y), at(best.w), at(best.h)})
			f.split(spot{0, best.x, best.y, best.w, best.h})
		}
	}
	return out
}

// JoinedShare is the share of the area of offcuts that ends in a joined layer; the rest is
// trimmed where pieces meet and at the rim.
const JoinedShare = 0.8

// JoinedSource says where JoinedShare comes from.
const JoinedSource = finding.CommonPractice

// Joined returns how many hidden layers of an area can be joined from offcuts, and what area of
// offcuts is then left: each takes its area divided by the share (JoinedShare where that is
// zero). It is an area rule: whether pieces of these shapes do fit a layer is for the cook to
// see. It returns zero for an area or a share that is none.
func Joined(offcuts []Offcut, area unit.Area, share float64) (layers int, left unit.Area) {
	for _, o := range offcuts {
		left += unit.Area(float64(o.Width) * float64(o.Height))
	}
	if share == 0 {
		share = JoinedShare
	}
	each := float64(area) / share
	if !(area > 0 && share > 0 && share <= 1) || math.IsInf(each, 0) {
		return 0, left
	}
	layers = int(min(float64(left)/each*(1+1e-12), mostPieces))
	return layers, max(0, left-unit.Area(float64(layers)*each))
}

// leastJoined is the narrowest offcut that is worth joining. Source: common practice, no source.
const leastJoined = 30 * unit.Millimetre

// joinTries bounds how often joinSome lays again what it cannot join.
const joinTries = 5

// joinSome returns a layout on fewer sheets in which some pieces are joined from the offcuts of
// the others, or whole where there is none. Offcuts are those of the layout that is returned, so
// that no area is used twice.
func joinSome(ctx context.Context, whole Layout, o Options) Layout {
	pieces := slices.Clone(whole.Pieces)
	joined := make([]int, len(pieces))
	for i, p := range pieces {
		if p.Joined {
			joined[i] = p.Count
		}
	}
	least := 0
	for range joinTries {
		for i, p := range whole.Pieces {
			pieces[i].Count = p.Count - joined[i]
		}
		l, err := layWhole(ctx, whole.Sheet, pieces, o)
		if err != nil || len(l.Sheets) >= len(whole.Sheets) {
			break
		}
		if least == 0 { // of what must be cut whole, and of the area of all
			w, d := whole.Sheet.usable()
			least = max(l.Least, int(math.Ceil(float64(taken(whole.Pieces))/float64(w*d)-1e-9)))
		}
		offcuts, enough := l.Offcuts(leastJoined), true
		for i, p := range whole.Pieces {
			n, _ := Joined(offcuts, p.area(), 0)
			if n < joined[i] {
				joined[i], enough = n, false
			}
			offcuts = without(offcuts, float64(joined[i])*float64(p.area())/JoinedShare)
		}
		if !enough {
			continue
		}
		l.Pieces, l.Joined, l.Least = whole.Pieces, joined, least
		l.Taken = taken(l.Pieces)
		l.Trimmings = l.Sheet.Area()*unit.Area(len(l.Sheets)) - l.Taken
		if len(Check(l)) > 0 {
			break
		}
		return l
	}
	return whole
}

// without returns what is left of offcuts after an area has been taken from the first of them.
func without(offcuts []Offcut, area float64) []Offcut {
	out := slices.Clone(offcuts)
	for len(out) > 0 && area > 0 {
		if whole := float64(out[0].Width) * float64(out[0].Height); whole > area {
			out[0].Width -= unit.Length(area / float64(out[0].Height))
			break
		} else {
			area -= whole
			out = out[1:]
		}
	}
	return out
}
