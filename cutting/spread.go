package cutting

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// spread places n discs in an arena with the greatest common radius that it finds: local optima
// from scattered and latticed starts, then monotonic basin hopping from the best, each polished
// when it may be a new best. It ends when the radius reaches enough, when the work is done, or
// when the context ends; the radius holds exactly for the centres returned. What it used is taken
// from work.
func (a arena) spread(ctx context.Context, n int, enough float64, work *int, rng *rand.Rand) (xy []float64, r float64) {
	s := newSpreader(a, n, rng)
	if n == 1 {
		return s.single()
	}
	s.search(ctx, enough, *work)
	*work -= s.work + s.descent.work
	return s.out()
}

func (s *spreader) search(ctx context.Context, enough float64, work int) {
	for _, start := range s.lattices() {
		s.try(start, s.radiusBest)
		if s.done(ctx, enough, work) {
			return
		}
	}
	// One round hops from a start until hops no longer gain; two rounds in three start from the
	// best.
	for !s.done(ctx, enough, work) {
		var at []float64
		var here float64
		if s.rng.IntN(3) == 0 {
			at = s.scatter()
			here = s.try(at, 0.99*s.radiusBest)
		} else {
			at, here = slices.Clone(s.best), s.radiusBest
		}
		for fails := 0; fails < 8+s.n/2 && !s.done(ctx, enough, work); fails++ {
			next := s.hop(at, here)
			if got := s.try(next, here); got > here*(1+1e-9) {
				at, here, fails = next, got, -1
			}
		}
	}
}

// spreader works in lengths in which the arena's longer side is 1.
type spreader struct {
	arena
	n          int
	rng        *rand.Rand
	scale      float64
	descent    *descent
	best       []float64
	radiusBest float64
	work       int
}

func newSpreader(a arena, n int, rng *rand.Rand) *spreader {
	scale := max(a.w, a.h)
	unitArena := arena{a.w / scale, a.h / scale, a.round}
	return &spreader{arena: unitArena, n: n, rng: rng, scale: scale, descent: newDescent(unitArena, n)}
}

func (s *spreader) single() ([]float64, float64) {
	xy := []float64{s.w / 2, s.h / 2}
	if s.round {
		xy[1] = s.w / 2
	}
	s.best, s.radiusBest = xy, s.radius(xy)
	return s.out()
}

func (s *spreader) out() ([]float64, float64) {
	out := make([]float64, len(s.best))
	for i, v := range s.best {
		out[i] = v * s.scale
	}
	return out, s.radiusBest * s.scale
}

func (s *spreader) done(ctx context.Context, enough float64, work int) bool {
	return (s.best != nil && s.radiusBest*s.scale >= enough) || s.work+s.descent.work >= work || ctx.Err() != nil
}

// try descends from the centres, which it moves, and keeps them if they are the best. A descent
// that is likely to end below goal is not polished.
func (s *spreader) try(xy []float64, goal float64) float64 {
	r := s.descent.run(xy, s.guess(), 3)
	// After three rounds the unpolished radius is short by some per cent, but that of the
	// Lagrangian is near the local optimum (measured: within 0.3 % nearly always).
	if likely := s.descent.z[2*s.n]; likely > 0.997*goal {
		if r = s.polish(xy, 5, &s.work); r > 0.9985*goal {
			r = s.polish(xy, 25, &s.work)
		}
	}
	if s.best == nil || r > s.radiusBest {
		s.best, s.radiusBest = slices.Clone(xy), r
	}
	return r
}

// guess returns a radius a little below what may be reached.
func (s *spreader) guess() float64 {
	area := s.w * s.h
	if s.round {
		area = math.Pi / 4 * s.w * s.w
	}
	r := math.Sqrt(0.75 * area / (math.Pi * float64(s.n)))
	return min(r, 0.45*s.w, s.height()*0.45)
}

// scatter returns centres at random.
func (s *spreader) scatter() []float64 {
	xy := make([]float64, 0, 2*s.n)
	for range s.n {
		x, y := s.point()
		xy = append(xy, x, y)
	}
	return xy
}

func (s *spreader) point() (x, y float64) {
	for {
		x = s.rng.Float64() * s.w
		if !s.round {
			return x, s.rng.Float64() * s.h
		}
		if y = s.rng.Float64() * s.w; s.wall(x, y) > 0 {
			return x, y
		}
	}
}

// hop disturbs centres: a few discs move elsewhere, into the widest of some random holes, or all
// are shaken.
func (s *spreader) hop(from []float64, r float64) []float64 {
	xy := slices.Clone(from)
	if s.rng.IntN(3) == 0 {
		shake := r * (0.2 + 0.8*s.rng.Float64())
		for i := range xy {
			xy[i] += shake * s.rng.NormFloat64()
		}
	} else {
		for range 1 + s.rng.IntN(1+s.n/12) {
			i := 2 * s.rng.IntN(s.n)
			bx, by, room := 0.0, 0.0, -1.0
			for range 10 {
				x, y := s.point()
				free := 2 * s.wall(x, y)
				for j := 0; j < len(xy); j += 2 {
					if j != i {
						free = min(free, math.Hypot(x-xy[j], y-xy[j+1]))
					}
				}
				if free > room {
					bx, by, room = x, y, free
				}
			}
			xy[i], xy[i+1] = bx, by
		}
		for i := range xy {
			xy[i] += 0.05 * r * s.rng.NormFloat64()
		}
	}
	return xy
}

// lattices returns starts on rows: square and hexagonal, of as many columns as may be, with what
// is too much left out at random.
func (s *spreader) lattices() [][]float64 {
	var out [][]float64
	h := s.height()
	ideal := math.Sqrt(float64(s.n) * s.w / h)
	for columns := max(1, int(ideal)-1); columns <= int(ideal)+2; columns++ {
		for shift := range 2 {
			var xy []float64
			rows := 1
			for s.latticeCount(columns, rows, shift) < s.n {
				rows++
			}
			for j := range rows {
				count := columns - shift*(j%2)
				for i := range count {
					x := (float64(i) + 0.5 + 0.5*float64(shift*(j%2))) / float64(columns)
					y := (float64(j) + 0.5) / float64(rows)
					xy = append(xy, x*s.w, y*h)
				}
			}
			for len(xy) > 2*s.n {
				i := 2 * s.rng.IntN(len(xy)/2)
				xy = slices.Delete(xy, i, i+2)
			}
			for i := range xy {
				xy[i] += 1e-3 / float64(s.n) * s.rng.NormFloat64()
			}
			out = append(out, xy)
		}
	}
	return out
}

func (s *spreader) latticeCount(columns, rows, shift int) int {
	return columns*rows - shift*(rows/2)
}
