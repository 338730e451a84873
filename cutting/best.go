package cutting

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Best cuts one sheet for the greatest value: any number of each piece, whose Count is not read;
// values are those of one piece each. Cuts run from edge to edge in any number of stages, and the
// result is the optimum under that rule. Discs count as their bounding squares. The pieces of the
// layout have the counts that were cut.
//
// It is dynamic programming over the places where cuts can be needed: sums of widths and of
// heights. It returns an error where these are more than memory allows (many small pieces of
// odd measures), for a round cake, or for a value that is not a number of zero or more.
//
// Source: Gilmore and Gomory, "The theory and computation of knapsack functions" (1966); Herz,
// "Recursive computational procedure for two-dimensional stock cutting" (1972).
func Best(ctx context.Context, sheet Sheet, pieces []Piece, values []float64, o Options) (Layout, float64, error) {
	out := Layout{Sheet: sheet, Pieces: slices.Clone(pieces)}
	for i := range out.Pieces {
		out.Pieces[i].Count = 0
	}
	if err := validate(sheet, out.Pieces, o.Fixed); err != nil {
		return out, 0, err
	}
	if sheet.Round {
		return out, 0, errors.New("the best use is worked out for rectangular sheets only: take a square that fits into the cake")
	}
	for i, p := range pieces {
		if i >= len(values) || !(values[i] >= 0 && values[i] <= math.MaxFloat64/mostPieces) {
			return out, 0, fmt.Errorf("%s has no value: give one of zero or more", p.Name)
		}
	}
	y := &layer{sheet: sheet, pieces: out.Pieces, o: o, ctx: ctx, least: 1}
	y.measure()
	p := y.packing(func(Piece) bool { return true })
	t, err := newValueTable(p, values)
	if err != nil {
		return out, 0, err
	}
	if !t.fill(ctx) {
		return out, 0, ctx.Err()
	}
	pat := pattern{sheets: 1}
	t.cut(len(t.xs)-1, len(t.ys)-1, 0, 0, &pat.spots)
	for _, s := range pat.spots {
		y.pieces[s.kind].Count++
	}
	l := y.layout([]laid{y.cutsOf(p, pat)})
	if fault := Check(l); len(fault) > 0 {
		return l, 0, unsound{fault[0].Reason}
	}
	return l, t.value[len(t.value)-1], nil
}

// valueTable holds the best value of every part of a sheet that can be needed.
type valueTable struct {
	*packing
	xs, ys []int // sizes of parts, in order; the last is the whole
	value  []float64
	choice []int32 // of a part: 0 waste; a kind plus one, below zero if turned; else a cut
}

// mostCells bounds the parts of a table: a sheet of 1200 by 1000 mm in whole millimetres.
const mostCells = 1_200_000

// choices beyond kinds.
const (
	cutUp     = 1 << 24 // cut at xs[choice − cutUp]
	cutAcross = 1 << 25 // cut at ys[choice − cutAcross]
)

func newValueTable(p *packing, values []float64) (*valueTable, error) {
	t := &valueTable{packing: p}
	var ws, hs []int
	for _, k := range p.kinds {
		ws, hs = append(ws, k.w), append(hs, k.h)
		if p.turn {
			ws, hs = append(ws, k.h), append(hs, k.w)
		}
	}
	var ok1, ok2 bool
	t.xs, ok1 = sums(ws, p.w)
	t.ys, ok2 = sums(hs, p.h)
	if !ok1 || !ok2 || len(t.xs)*len(t.ys) > mostCells {
		return nil, errors.New("the pieces could be combined in too many ways to find the best: leave out the smallest, or round their measures")
	}
	t.value = make([]float64, len(t.xs)*len(t.ys))
	t.choice = make([]int32, len(t.value))
	for k, q := range p.kinds {
		t.put(q.w, q.h, values[k], int32(k+1))
		if p.turn {
			t.put(q.h, q.w, values[k], int32(-k-1))
		}
	}
	return t, nil
}

// put notes a piece at the least part that holds it.
func (t *valueTable) put(w, h int, v float64, choice int32) {
	if w > t.w || h > t.h {
		return
	}
	i, j := t.at(t.xs, w), t.at(t.ys, h)
	if cell := j*len(t.xs) + i; v > t.value[cell] {
		t.value[cell], t.choice[cell] = v, choice
	}
}

// at returns the index of the largest size that is at most v; −1 if none.
func (t *valueTable) at(sizes []int, v int) int {
	i, found := slices.BinarySearch(sizes, v)
	if found {
		return i
	}
	return i - 1
}

// sums returns all sums of sizes up to the whole, and the whole; false if they are very many.
func sums(sizes []int, whole int) ([]int, bool) {
	set := map[int]bool{}
	queue := []int{0}
	for len(queue) > 0 {
		s := queue[0]
		queue = queue[1:]
		for _, v := range sizes {
			if n := s + v; v > 0 && n <= whole && !set[n] {
				set[n] = true
				queue = append(queue, n)
				if len(set) > mostCells/20 {
					return nil, false
				}
			}
		}
	}
	set[whole] = true
	out := make([]int, 0, len(set))
	for s := range set {
		out = append(out, s)
	}
	slices.Sort(out)
	return out, true
}

// fill computes the table from small parts to large; false if the context ended it.
func (t *valueTable) fill(ctx context.Context) bool {
	nx := len(t.xs)
	for j := range t.ys {
		if ctx.Err() != nil {
			return false
		}
		for i := range t.xs {
			cell := j*nx + i
			best, choice := t.value[cell], t.choice[cell]
			if i > 0 && t.value[cell-1] > best {
				best, choice = t.value[cell-1], t.choice[cell-1]
			}
			if j > 0 && t.value[cell-nx] > best {
				best, choice = t.value[cell-nx], t.choice[cell-nx]
			}
			if v, a := t.parted(t.xs[:i+1], j*nx, 1); v > best {
				best, choice = v, int32(cutUp+a)
			}
			if v, b := t.parted(t.ys[:j+1], i, nx); v > best {
				best, choice = v, int32(cutAcross+b)
			}
			t.value[cell], t.choice[cell] = best, choice
		}
	}
	return true
}

// parted returns the most that a part is worth in two, of the last of the sizes, and the size that
// the first of the two has. Values of parts of each size are a step apart.
func (t *valueTable) parted(sizes []int, from, step int) (most float64, first int) {
	rest := len(sizes) - 1
	whole := sizes[rest]
	for a := 0; a < len(sizes)-1 && 2*sizes[a] <= whole; a++ {
		for rest >= 0 && sizes[rest] > whole-sizes[a] {
			rest--
		}
		if rest < 0 {
			break
		}
		if v := t.value[from+a*step] + t.value[from+rest*step]; v > most {
			most, first = v, a
		}
	}
	return most, first
}

// cut follows the choices of a part whose lower left corner is x, y.
func (t *valueTable) cut(i, j, x, y int, spots *[]spot) {
	if i < 0 || j < 0 {
		return
	}
	// A choice that a smaller part had already was taken over as it is.
	switch c := int(t.choice[j*len(t.xs)+i]); {
	case c >= cutAcross:
		b := c - cutAcross
		t.cut(i, b, x, y, spots)
		t.cut(i, t.at(t.ys, t.ys[j]-t.ys[b]), x, y+t.ys[b], spots)
	case c >= cutUp:
		a := c - cutUp
		t.cut(a, j, x, y, spots)
		t.cut(t.at(t.xs, t.xs[i]-t.xs[a]), j, x+t.xs[a], y, spots)
	case c > 0:
		*spots = append(*spots, spot{c - 1, x, y, t.kinds[c-1].w, t.kinds[c-1].h})
	case c < 0:
		*spots = append(*spots, spot{-c - 1, x, y, t.kinds[-c-1].h, t.kinds[-c-1].w})
	}
}
