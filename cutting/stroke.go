package cutting

import (
	"cmp"
	"slices"

	"chablon/unit"
)

// Stroke is one straight cut from edge to edge of what it parts, along a ruler from one point
// to another. The knife takes the kerf to the right of a stroke that runs up the sheet, and above
// one that runs across. Stage counts from one: strokes of a stage run the same way and are made
// before the next stage. The trimming of a sheet's edges comes first and is not listed.
type Stroke struct {
	X1, Y1, X2, Y2 unit.Length
	Stage          int
}

// edge is a stroke on the integer grid.
type edge struct {
	x1, y1, x2, y2 int
	stage          int
}

// strokes returns cuts from edge to edge that part the spots of a region, or ok = false where
// there are none. Cuts across the region are tried before cuts up it.
func strokes(region hole, spots []spot) (out []edge, ok bool) {
	across, ok1 := partInto(region, spots, true, 1, nil)
	if ok1 && stagesOf(across) <= 3 {
		return across, true
	}
	up, ok2 := partInto(region, spots, false, 1, nil)
	if ok2 && (!ok1 || stagesOf(up) < stagesOf(across)) {
		return up, true
	}
	return across, ok1
}

func stagesOf(list []edge) int {
	most := 0
	for _, e := range list {
		most = max(most, e.stage)
	}
	return most
}

// partInto appends the cuts that part a region, those across it first if asked.
func partInto(r hole, spots []spot, across bool, stage int, out []edge) ([]edge, bool) {
	if len(spots) == 0 || (len(spots) == 1 && r == hole{spots[0].x, spots[0].y, spots[0].w, spots[0].h}) {
		return out, true
	}
	for range 2 {
		bands := bandsOf(r, spots, across)
		if len(bands) > 1 || bands[0].hole != r {
			for _, b := range bands {
				if across && b.y > r.y && !slices.ContainsFunc(out, func(e edge) bool { return e.y1 == b.y && e.y2 == b.y && e.x1 == r.x }) {
					out = append(out, edge{r.x, b.y, r.x + r.w, b.y, stage})
				}
				if across && b.y+b.h < r.y+r.h {
					out = append(out, edge{r.x, b.y + b.h, r.x + r.w, b.y + b.h, stage})
				}
				if !across && b.x > r.x && !slices.ContainsFunc(out, func(e edge) bool { return e.x1 == b.x && e.x2 == b.x && e.y1 == r.y }) {
					out = append(out, edge{b.x, r.y, b.x, r.y + r.h, stage})
				}
				if !across && b.x+b.w < r.x+r.w {
					out = append(out, edge{b.x + b.w, r.y, b.x + b.w, r.y + r.h, stage})
				}
			}
			ok := true
			for _, b := range bands {
				if out, ok = partInto(b.hole, b.spots, !across, stage+1, out); !ok {
					return out, false
				}
			}
			return out, true
		}
		across = !across
	}
	return out, false
}

// band is a part of a region between two parallel cuts, and what lies on it.
type band struct {
	hole
	spots []spot
}

// bandsOf parts a region between all rectangles that one direction of cut can part.
func bandsOf(r hole, spots []spot, across bool) []band {
	from := func(s spot) int { return s.x }
	size := func(s spot) int { return s.w }
	if across {
		from, size = func(s spot) int { return s.y }, func(s spot) int { return s.h }
	}
	sorted := slices.Clone(spots)
	slices.SortFunc(sorted, func(a, b spot) int { return cmp.Compare(from(a), from(b)) })
	var out []band
	start := 0
	end := from(sorted[0])
	for i, s := range sorted {
		if i > start && from(s) >= end {
			out = append(out, bandOf(r, sorted[start:i], from(sorted[start]), end, across))
			start = i
		}
		end = max(end, from(s)+size(s))
	}
	return append(out, bandOf(r, sorted[start:], from(sorted[start]), end, across))
}

func bandOf(r hole, spots []spot, from, to int, across bool) band {
	if across {
		return band{hole{r.x, from, r.w, to - from}, spots}
	}
	return band{hole{from, r.y, to - from, r.h}, spots}
}
