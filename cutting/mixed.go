package cutting

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// disc is a disc where it lies; kind is an index into the diameters.
type disc struct {
	x, y, r float64
	kind    int
}

// mixer fills arenas with discs of several diameters: each goes where it touches two things that
// lie already, rim or discs, and has least room besides.
type mixer struct {
	arena
	diameters []float64
	discs     []disc
	work      int
}

// fill returns the greatest area of discs that it lays in so many tries; left says how many of
// each diameter there are.
func (m *mixer) fill(ctx context.Context, left []int, tries, work int, rng *rand.Rand) []disc {
	order := make([]int, len(left))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(m.diameters[b], m.diameters[a]) })
	var best []disc
	most := -1.0
	for try := range tries {
		if try > 0 && (m.work >= work || ctx.Err() != nil) {
			break
		}
		m.discs = m.discs[:0]
		todo := slices.Clone(left)
		if try%3 == 1 { // the largest on rows, the others in the gaps
			k := order[rng.IntN(len(order))]
			for xy := m.rows(m.diameters[k], todo[k]); len(xy) > 0; xy = xy[2:] {
				m.discs = append(m.discs, disc{xy[0], xy[1], m.diameters[k] / 2, k})
				todo[k]--
			}
		}
		sequence := slices.Clone(order)
		if try > 1 {
			for i := 1; i < len(sequence); i++ {
				if rng.IntN(3) == 0 {
					sequence[i-1], sequence[i] = sequence[i], sequence[i-1]
				}
			}
		}
		for _, k := range sequence {
			for todo[k] > 0 && len(m.discs) < 2*mostMixed && m.place(k, try%2 == 0) {
				todo[k]--
			}
		}
		area := 0.0
		for _, d := range m.discs {
			area += d.r * d.r
		}
		if area > most {
			most, best = area, slices.Clone(m.discs)
		}
		if !slices.ContainsFunc(todo, func(n int) bool { return n > 0 }) {
			break
		}
	}
	return best
}

// place lays one more disc, or reports that none fits where it would touch two things.
func (m *mixer) place(k int, low bool) bool {
	r := m.diameters[k] / 2
	best, found, score := disc{}, false, math.Inf(1)
	consider := func(x, y float64) {
		m.work += len(m.discs)/8 + 1
		room, ok := m.room(x, y, r)
		if !ok {
			return
		}
		s := room + 1e-3*y
		if low {
			s = y + 1e-3*x
		}
		if s < score {
			best, found, score = disc{x, y, r, k}, true, s
		}
	}
	if m.round {
		consider(m.w/2, r)
	} else {
		for _, c := range [4][2]float64{{r, r}, {m.w - r, r}, {r, m.h - r}, {m.w - r, m.h - r}} {
			consider(c[0], c[1])
		}
	}
	for i, a := range m.discs {
		if reach := a.r + r; m.round {
			meet(a.x, a.y, reach, m.w/2, m.w/2, m.w/2-r, consider)
		} else {
			for _, x := range [2]float64{r, m.w - r} {
				if q := reach*reach - (x-a.x)*(x-a.x); q >= 0 {
					consider(x, a.y+math.Sqrt(q))
					consider(x, a.y-math.Sqrt(q))
				}
			}
			for _, y := range [2]float64{r, m.h - r} {
				if q := reach*reach - (y-a.y)*(y-a.y); q >= 0 {
					consider(a.x+math.Sqrt(q), y)
					consider(a.x-math.Sqrt(q), y)
				}
			}
		}
		for _, b := range m.discs[:i] {
			if math.Abs(a.x-b.x) < a.r+b.r+2*r && math.Abs(a.y-b.y) < a.r+b.r+2*r {
				meet(a.x, a.y, a.r+r, b.x, b.y, b.r+r, consider)
			}
		}
	}
	if found {
		m.discs = append(m.discs, best)
	}
	return found
}

// room returns how far a disc lies from the third nearest of rim and discs, and whether it lies
// free at all.
func (m *mixer) room(x, y, r float64) (float64, bool) {
	eps := touch * r
	near := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	note := func(gap float64) bool {
		if gap < -eps {
			return false
		}
		for i := range near {
			if gap < near[i] {
				near[i], gap = gap, near[i]
			}
		}
		return true
	}
	if m.round {
		if !note(m.wall(x, y) - r) {
			return 0, false
		}
	} else if !note(x-r) || !note(y-r) || !note(m.w-r-x) || !note(m.h-r-y) {
		return 0, false
	}
	for _, d := range m.discs {
		dx, dy, reach := x-d.x, y-d.y, r+d.r
		if q := dx*dx + dy*dy; q < 9*reach*reach {
			if !note(math.Sqrt(q) - reach) {
				return 0, false
			}
		}
	}
	if math.IsInf(near[2], 1) {
		return m.w, true
	}
	return near[2], true
}

// meet calls f with the points at distance ra from one centre and rb from another.
func meet(ax, ay, ra, bx, by, rb float64, f func(x, y float64)) {
	dx, dy := bx-ax, by-ay
	d2 := dx*dx + dy*dy
	if d2 == 0 || rb < 0 {
		return
	}
	t := (d2 + ra*ra - rb*rb) / (2 * d2)
	q := ra*ra/d2 - t*t
	if q < 0 {
		return
	}
	s := math.Sqrt(q)
	f(ax+t*dx-s*dy, ay+t*dy+s*dx)
	f(ax+t*dx+s*dy, ay+t*dy-s*dx)
}
