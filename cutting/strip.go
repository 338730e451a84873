package cutting

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// Rect is a rectangle to place: its size, or where one has been placed.
type Rect struct{ X, Y, W, H float64 }

// Strip places rectangles in a strip of a width so that its height is small, without overlap and,
// unless turn is set, as they stand. It returns them placed, in their order, and the height. work
// bounds the tries; a rectangle wider than the strip makes the height infinite.
func Strip(width float64, items []Rect, turn bool, work int, seed uint64) ([]Rect, float64) {
	s := &strip{width: width, items: items, turn: turn, rng: rand.New(rand.NewPCG(seed, 3))}
	area, tallest := 0.0, 0.0
	for _, r := range items {
		if r.W > width+slack && !(turn && r.H <= width+slack) {
			return nil, math.Inf(1)
		}
		area += r.W * r.H
		if !turn {
			tallest = max(tallest, r.H)
		}
	}
	least := max(area/width, tallest)
	if whole(width, items) {
		least = math.Ceil(least - 1e-9)
	}
	best, height := []Rect(nil), math.Inf(1)
	var order []int
	measures := []func(r Rect) float64{
		func(r Rect) float64 { return r.W*1e6 + r.H }, func(r Rect) float64 { return r.W * r.H },
		func(r Rect) float64 { return r.H*1e6 + r.W }, func(r Rect) float64 { return r.W + r.H },
	}
	tries := 0
	for _, m := range measures {
		o := make([]int, len(items))
		for i := range o {
			o[i] = i
		}
		slices.SortStableFunc(o, func(a, b int) int { return cmp.Compare(m(items[b]), m(items[a])) })
		placed, h := s.place(o, height)
		tries++
		if h < height {
			best, height, order = placed, h, o
		}
	}
	now, nowHeight := slices.Clone(order), height
	temperature := 0.02 * height
	for ; tries < work && height > least*(1+1e-12); tries++ {
		next := slices.Clone(now)
		for range 1 + s.rng.IntN(2) {
			i, j := s.rng.IntN(len(next)), s.rng.IntN(len(next))
			if s.rng.IntN(2) == 0 {
				next[i], next[j] = next[j], next[i]
			} else {
				x := next[i]
				next = slices.Insert(slices.Delete(next, i, i+1), j, x)
			}
		}
		placed, h := s.place(next, math.Inf(1))
		cool := temperature * (1 - float64(tries)/float64(work))
		if h <= nowHeight || s.rng.Float64() < math.Exp((nowHeight-h)/max(cool, 1e-12)) {
			now, nowHeight = next, h
		}
		if h < height-1e-12 {
			best, height = placed, h
		}
	}
	return best, height
}

// whole reports whether every size is a whole number, so that the height is one too.
func whole(width float64, items []Rect) bool {
	is := func(x float64) bool { return x == math.Trunc(x) }
	for _, r := range items {
		if !is(r.W) || !is(r.H) {
			return false
		}
	}
	return is(width)
}

type strip struct {
	width float64
	items []Rect
	turn  bool
	rng   *rand.Rand
	line  []segment
}

// segment is a level stretch of the skyline.
type segment struct{ x, y, w float64 }

// place lays the items by the skyline: the lowest niche takes, of all items left, the one that fits
// it best by how many of its sides it meets; among equals the earliest of the order. Source:
// bib:leung-2011, whose idea the scores follow.
func (s *strip) place(order []int, _ float64) ([]Rect, float64) {
	out := make([]Rect, len(s.items))
	left := slices.Clone(order)
	s.line = append(s.line[:0], segment{0, 0, s.width})
	height := 0.0
	for len(left) > 0 {
		k := 0
		for i := range s.line {
			if s.line[i].y < s.line[k].y {
				k = i
			}
		}
		g := s.line[k]
		wallL, wallR := math.Inf(1), math.Inf(1)
		if k > 0 {
			wallL = s.line[k-1].y - g.y
		}
		if k+1 < len(s.line) {
			wallR = s.line[k+1].y - g.y
		}
		best, at, turned := -1, -1, false
		for i, item := range left {
			r := s.items[item]
			for t := range 2 {
				w, h := r.W, r.H
				if t == 1 {
					if !s.turn || w == h {
						break
					}
					w, h = h, w
				}
				if w > g.w+slack {
					continue
				}
				if score := score(w, h, g.w, wallL, wallR); score > best {
					best, at, turned = score, i, t == 1
				}
			}
			if best >= 4 {
				break
			}
		}
		if at < 0 { // nothing fits: the niche is filled up to its lower wall
			s.raise(k, min(wallL, wallR))
			continue
		}
		item := left[at]
		r := s.items[item]
		w, h := r.W, r.H
		if turned {
			w, h = h, w
		}
		x := g.x
		if wallR < wallL && math.Abs(w-g.w) > slack && !(math.Abs(h-wallL) < slack) || math.Abs(h-wallR) < slack && math.Abs(h-wallL) > slack {
			x = g.x + g.w - w // beside the lower wall, unless the other is met exactly
		}
		if math.Abs(w-g.w) <= slack {
			x = g.x
		}
		out[item] = Rect{x, g.y, w, h}
		height = max(height, g.y+h)
		left = slices.Delete(left, at, at+1)
		s.cover(k, x, w, g.y+h)
	}
	return out, height
}

// score counts what an item meets in a niche: its whole width, and the height of either wall.
func score(w, h, gap, wallL, wallR float64) int {
	full := math.Abs(w-gap) <= slack
	left, right := math.Abs(h-wallL) <= slack, math.Abs(h-wallR) <= slack
	switch {
	case full && left && right:
		return 5
	case full && (left || right):
		return 4
	case full && h > max(finite(wallL), finite(wallR)):
		return 3
	case full:
		return 3
	case left || right:
		return 2
	}
	return 1
}

func finite(x float64) float64 {
	if math.IsInf(x, 1) {
		return 0
	}
	return x
}

// raise lifts a stretch of the skyline and joins it with neighbours of its height.
func (s *strip) raise(k int, by float64) {
	s.line[k].y += by
	s.join()
}

// cover puts an item on a stretch of the skyline.
func (s *strip) cover(k int, x, w, top float64) {
	g := s.line[k]
	var parts []segment
	if x > g.x+slack {
		parts = append(parts, segment{g.x, g.y, x - g.x})
	}
	parts = append(parts, segment{x, top, w})
	if x+w < g.x+g.w-slack {
		parts = append(parts, segment{x + w, g.y, g.x + g.w - x - w})
	}
	s.line = slices.Replace(s.line, k, k+1, parts...)
	s.join()
}

func (s *strip) join() {
	out := s.line[:1]
	for _, g := range s.line[1:] {
		if last := &out[len(out)-1]; math.Abs(last.y-g.y) <= slack {
			last.w += g.w
			continue
		}
		out = append(out, g)
	}
	s.line = out
}
