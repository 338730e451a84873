package cutting

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// rolled is the problem of rectangles on a sheet of given width and least depth, by free cuts.
type rolled struct {
	w    int
	turn bool
	rect [][2]int // width and height of each
}

// segment is a level stretch of the skyline.
type segment struct{ x, y, w int }

// skyline lays rectangles one after the other into the lowest gap of their outline.
type skyline struct {
	rolled
	sky  []segment
	next []int // linked list of the rectangles that are left, in order; the last entry is its head
	work int
}

// lay lays all rectangles and returns the depth, or ok = false once it is sure to exceed most.
// In the lowest gap it puts what fits best: what fills its width, then what ends level with a
// wall beside it; of those that fit alike, the first in order. spots, where not nil, receives
// the places.
//
// Source: best fit after Burke, Kendall and Whitwell, "A new placement heuristic for the
// orthogonal stock-cutting problem" (2004); the scores are our own.
func (s *skyline) lay(order []int, most int, spots []spot) (depth int, ok bool) {
	head := len(s.rect)
	at := head
	area := 0.0
	for _, i := range order {
		s.next[at] = i
		at = i
		area += float64(s.rect[i][0]) * float64(s.rect[i][1])
	}
	s.next[at] = -1
	spare := float64(s.w)*float64(most) - area // what may be wasted
	s.sky = append(s.sky[:0], segment{0, 0, s.w})
	for s.next[head] >= 0 {
		g := 0
		for i, seg := range s.sky {
			if seg.y < s.sky[g].y {
				g = i
			}
		}
		gap := s.sky[g]
		left, right := math.MaxInt, math.MaxInt
		if g > 0 {
			left = s.sky[g-1].y - gap.y
		}
		if g+1 < len(s.sky) {
			right = s.sky[g+1].y - gap.y
		}
		prev, w, h := s.fit(gap.w, left, right)
		if prev < 0 { // nothing fits: the gap is lost up to its lower wall
			up := min(left, right)
			if spare -= float64(up) * float64(gap.w); spare < 0 {
				return 0, false
			}
			s.raise(g, up)
			continue
		}
		i := s.next[prev]
		s.next[prev] = s.next[i]
		if gap.y+h > most {
			return 0, false
		}
		depth = max(depth, gap.y+h)
		// Against the wall that it is level with, else the higher one.
		x := gap.x
		if h != left && (h == right || right > left && right != math.MaxInt) {
			x = gap.x + gap.w - w
		}
		if spots != nil {
			spots[i] = spot{i, x, gap.y, w, h}
		}
		s.put(g, x, w, h)
	}
	return depth, true
}

// fit returns the predecessor in the list of the rectangle that fits a gap best, and how it is
// laid; −1 where none fits.
func (s *skyline) fit(gap, left, right int) (prev, w, h int) {
	prev = -1
	best := -1
	looked := 0
	defer func() { s.work += looked/8 + 1 }()
	for p, i := len(s.rect), s.next[len(s.rect)]; i >= 0; p, i = i, s.next[i] {
		looked++
		for turned := range 2 {
			rw, rh := s.rect[i][turned], s.rect[i][1-turned]
			if rw <= gap {
				score := 0
				if rw == gap {
					score += 4
					if rh == left || rh == right {
						score += 2
					}
					if rh == left && rh == right {
						score++
					}
				} else if rh == left || rh == right {
					score = 2
				}
				if score > best {
					prev, w, h, best = p, rw, rh, score
				}
			}
			if !s.turn || rw == rh {
				break
			}
		}
		if best == 7 {
			break
		}
	}
	return prev, w, h
}

// raise lifts a gap and joins it with neighbours that are then level.
func (s *skyline) raise(g, up int) {
	s.sky[g].y += up
	if g+1 < len(s.sky) && s.sky[g+1].y == s.sky[g].y {
		s.sky[g].w += s.sky[g+1].w
		s.sky = slices.Delete(s.sky, g+1, g+2)
	}
	if g > 0 && s.sky[g-1].y == s.sky[g].y {
		s.sky[g-1].w += s.sky[g].w
		s.sky = slices.Delete(s.sky, g, g+1)
	}
}

// put lays w × h at x in gap g, at its left or right end.
func (s *skyline) put(g, x, w, h int) {
	gap := s.sky[g]
	if w == gap.w {
		s.raise(g, h)
		return
	}
	if x == gap.x {
		s.sky = slices.Insert(s.sky, g, segment{x, gap.y, w})
		s.sky[g+1] = segment{gap.x + w, gap.y, gap.w - w}
		s.raise(g, h)
		return
	}
	s.sky = slices.Insert(s.sky, g+1, segment{x, gap.y, w})
	s.sky[g].w -= w
	s.raise(g+1, h)
}

// solve returns where the rectangles lie on the least depth that it finds, and that depth: best
// fits of several orders, then swaps in the order, kept where they lose nothing.
func (p rolled) solve(ctx context.Context, least, work int, rng *rand.Rand) (spots []spot, depth int, stopped bool) {
	s := &skyline{rolled: p, next: make([]int, len(p.rect)+1)}
	depth = math.MaxInt / 4
	var starts [][]int
	for _, key := range []func(r [2]int) int{
		func(r [2]int) int { return r[0] },
		func(r [2]int) int { return r[1] },
		func(r [2]int) int { return r[0] + r[1] },
		func(r [2]int) int { return max(r[0], r[1]) },
		func(r [2]int) int { return int(math.Sqrt(float64(r[0]) * float64(r[1]))) },
	} {
		order := make([]int, len(p.rect))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(key(p.rect[b]), key(p.rect[a])) })
		starts = append(starts, order)
	}
	limit := math.MaxInt / 4
	for _, h := range p.rect {
		limit = min(limit, math.MaxInt/4-h[0]-h[1])
	}
	var best []int
	for _, order := range starts {
		if got, ok := s.lay(order, min(depth, limit), nil); ok && got < depth {
			depth, best = got, order
		}
	}
	for round := 0; depth > least && s.work < work && len(p.rect) > 1; round++ {
		order := slices.Clone(best)
		here := depth
		if round%2 == 1 {
			order = slices.Clone(starts[rng.IntN(len(starts))])
			if here, _ = s.lay(order, limit, nil); here == 0 {
				break
			}
		}
		for idle := 0; idle < 40*len(order) && depth > least && s.work < work; idle++ {
			if ctx.Err() != nil {
				stopped = true
				break
			}
			i, j := rng.IntN(len(order)), rng.IntN(len(order))
			if i == j {
				continue
			}
			order[i], order[j] = order[j], order[i]
			got, ok := s.lay(order, here, nil)
			if !ok {
				order[i], order[j] = order[j], order[i]
				continue
			}
			if got < here {
				here, idle = got, 0
			}
			if got < depth {
				depth, best = got, slices.Clone(order)
			}
		}
		if stopped {
			break
		}
	}
	spots = make([]spot, len(p.rect))
	depth, _ = s.lay(best, depth, spots)
	return spots, depth, stopped
}

// bound returns a depth that no layout can beat: the greatest sum of f(w) h for dual feasible
// functions f of the width.
func (p rolled) bound() int {
	q := &packing{w: p.w, h: 1, turn: p.turn}
	best := 0.0
	for _, r := range p.rect {
		q.kinds = append(q.kinds, kind{r[0], r[1], 1})
		if !p.turn || min(r[0], r[1]) > 0 && r[1] > p.w {
			best = max(best, float64(r[1]))
		} else {
			best = max(best, float64(min(r[0], r[1])))
		}
	}
	for _, f := range dualsOf(q, p.w, func(k kind) int { return k.w }) {
		sum := 0.0
		for _, r := range p.rect {
			v := f(min(r[0], p.w)) * float64(r[1])
			if p.turn && r[1] <= p.w {
				v = min(v, f(r[1])*float64(r[0]))
			}
			sum += v
		}
		best = max(best, sum)
	}
	return int(math.Ceil(best*(1-1e-12) - 1e-6))
}
