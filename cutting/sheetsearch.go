package cutting

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// solve returns patterns that take every rectangle of the problem, on as few sheets as it finds
// by sequential value correction: sheets are filled one after the other, each by the most
// valuable of many tries; then rectangles that ended on badly used sheets become dearer, and all
// begins again. It ends at least sheets, when the work is done, or when the context ends.
//
// Every kind must fit the sheet. Source: the idea is Belov and Scheithauer's, "Setup and open
// stacks minimization in one-dimensional stock cutting" and later work; the fills are our own.
func (p *packing) solve(ctx context.Context, least, work int, rng *rand.Rand) (best []pattern, stopped bool) {
	s := &search{filler: filler{packing: p, left: make([]int, len(p.kinds))}, rng: rng, limit: work}
	s.factor = make([]float64, len(p.kinds))
	for k, q := range p.kinds {
		s.factor[k] = 1
		s.pieces += q.count
	}
	most := math.MaxInt
	for round := 0; ; round++ {
		tries := 1
		if round > 0 {
			tries = 4 << (round % 5)
		}
		var plan []pattern
		var sheets int
		if round%divesEvery == divesEvery-1 && len(p.kinds) <= mostDived {
			plan, sheets = s.dive(ctx, most, round)
		} else {
			plan, sheets = s.round(tries, most)
		}
		if plan != nil && sheets < most {
			best, most = plan, sheets
		}
		if most <= least || s.work >= work {
			return best, false
		}
		if ctx.Err() != nil {
			return best, true
		}
	}
}

// A dive takes place after so many rounds of filling, for so many kinds at most.
const (
	divesEvery = 12
	mostDived  = 200
)

// dive combines patterns that were met, and new ones, by column generation; the prices of the
// relaxation are the values by which sheets are filled.
func (s *search) dive(ctx context.Context, most, round int) (plan []pattern, sheets int) {
	if s.cover == nil {
		c := &cover{demand: make([]int, len(s.kinds))}
		s.patterns = nil
		for k, q := range s.kinds {
			c.demand[k] = q.count
			sides, n := s.sides(k)
			side := sides[0]
			if side[0] > s.w || side[1] > s.h {
				side = sides[n-1]
			}
			c.pool = append(c.pool, column{[]int{k}, []int{1}, len(s.patterns)})
			s.patterns = append(s.patterns, pattern{spots: []spot{{k, 0, 0, side[0], side[1]}}, area: float64(q.w) * float64(q.h)})
		}
		c.price = s.priced
		s.cover = c
		for _, met := range s.met {
			s.add(met)
		}
	}
	kept := slices.Clone(s.factor)
	before := s.work
	used := s.cover.dive(ctx, most, s.limit-before, round > divesEvery, s.rng)
	s.factor = kept
	if used == nil {
		return nil, 0
	}
	for col := range s.cover.pool {
		if n := used[col]; n > 0 {
			pat := s.patterns[s.cover.pool[col].tag]
			pat.sheets = n
			plan = append(plan, pat)
			sheets += n
		}
	}
	return plan, sheets
}

// add puts a pattern into the pool of the dives.
func (s *search) add(p pattern) column {
	take := make([]int, len(s.kinds))
	for _, sp := range p.spots {
		take[sp.kind]++
	}
	col := columnOf(take, len(s.patterns))
	s.patterns = append(s.patterns, p)
	s.cover.pool = append(s.cover.pool, col)
	return col
}

// priced fills a sheet for the prices of a dive.
func (s *search) priced(prices []float64, left []int) (column, float64) {
	before := s.work
	copy(s.left, left)
	for k, q := range s.kinds {
		s.factor[k] = max(prices[k], 1e-9) / (float64(q.w) * float64(q.h))
	}
	pat, take := s.best(pricedTries)
	s.cover.work += s.work - before
	col := columnOf(take, len(s.patterns))
	if col.value(prices) > 1+1e-7 {
		s.patterns = append(s.patterns, pat)
	}
	return col, math.Inf(1)
}

// pricedTries is how many fills a price is asked of, and mostLook bounds among how many pieces
// that fit a fill chooses.
const (
	pricedTries = 24
	mostLook    = 4
)

// mostFree bounds for how many rectangles holes are kept: with more of them, rows are as good.
const mostFree = 2000

// search is the state of solve.
type search struct {
	filler
	rng      *rand.Rand
	limit    int       // of work
	met      []pattern // before the first dive
	cover    *cover
	patterns []pattern // of the columns, by tag
	pieces   int
	factor   []float64 // by which a kind's area counts
	key      []float64
	order    []int
	take     []int
	spots    []spot
}

// round fills sheets until all is laid or as many as the best are used, and corrects the values.
func (s *search) round(tries, most int) (plan []pattern, sheets int) {
	todo := 0
	for k, q := range s.kinds {
		s.left[k] = q.count
		todo += q.count
	}
	for todo > 0 {
		// A first plan is always finished; later rounds end with the work.
		if most < math.MaxInt && (sheets+1 >= most && s.restArea() > float64(s.w)*float64(s.h) || s.work >= s.limit) {
			sheets = most
			break
		}
		pat, take := s.best(tries)
		pat.sheets = math.MaxInt
		for k, n := range take {
			if n > 0 {
				pat.sheets = min(pat.sheets, s.left[k]/n)
			}
		}
		for k, n := range take {
			s.left[k] -= n * pat.sheets
			todo -= n * pat.sheets
		}
		sheets += pat.sheets
		plan = append(plan, pat)
		if s.cover != nil {
			s.add(pat)
		} else {
			s.met = append(s.met, pat)
		}
	}
	s.correct(plan)
	if todo > 0 {
		return nil, sheets
	}
	return plan, sheets
}

func (s *search) restArea() float64 {
	a := 0.0
	for k, n := range s.left {
		a += float64(n) * float64(s.kinds[k].w) * float64(s.kinds[k].h)
	}
	return a
}

// correct makes kinds dearer that lay on badly used sheets, or were not reached.
func (s *search) correct(plan []pattern) {
	whole := float64(s.w) * float64(s.h)
	for _, p := range plan {
		used := p.area / whole
		for _, sp := range p.spots {
			s.factor[sp.kind] = 0.6*s.factor[sp.kind] + 0.4/math.Pow(max(used, 0.05), 1.5)
		}
	}
	for k, n := range s.left {
		if n > 0 {
			s.factor[k] *= 1.3
		}
	}
}

// best returns the most valuable of so many fills of one sheet.
func (s *search) best(tries int) (pattern, []int) {
	if s.take == nil {
		s.take, s.key = make([]int, len(s.kinds)), make([]float64, len(s.kinds))
	}
	dearest, top := -1, 0.0
	todo := s.order[:0]
	for k, n := range s.left {
		if n > 0 {
			todo = append(todo, k)
			if v := s.factor[k] * float64(s.kinds[k].w) * float64(s.kinds[k].h); v > top {
				dearest, top = k, v
			}
		}
	}
	s.order = todo
	var out pattern
	var outTake []int
	bestValue := -1.0
	whole := float64(s.w) * float64(s.h)
	for try := range tries {
		if try > 0 && s.work >= s.limit {
			break
		}
		s.rank(try, dearest)
		s.spots = s.fill(try)
		area, value := 0.0, 0.0
		for _, sp := range s.spots {
			a := float64(sp.w) * float64(sp.h)
			area += a
			value += a * s.factor[sp.kind]
		}
		if value > bestValue {
			bestValue = value
			out.spots, out.area = append(out.spots[:0], s.spots...), area
			outTake = append(outTake[:0], s.take...)
			if area >= whole {
				break
			}
		}
	}
	out.spots = slices.Clone(out.spots)
	return out, outTake
}

// rank orders the kinds that are left for one fill: by a measure that changes from try to try,
// corrected and with noise, the dearest first.
func (s *search) rank(try, dearest int) {
	by := try % 4
	noise := 0.0
	if try >= 4 {
		noise = 0.1 + 0.6*s.rng.Float64()
	}
	for _, k := range s.order {
		q := s.kinds[k]
		w, h := float64(q.w), float64(q.h)
		if s.turn {
			w, h = max(w, h), min(w, h)
		}
		var v float64
		switch by {
		case 0:
			v = w * h * s.factor[k]
		case 1:
			v = h + 1e-3*w
		case 2:
			v = w + 1e-3*h
		default:
			v = (w + h) * math.Sqrt(s.factor[k])
		}
		s.key[k] = v * (1 + noise*(s.rng.Float64()-0.5))
	}
	if by == 0 || by == 3 || noise > 0.4 {
		s.key[dearest] = math.Inf(1)
	}
	slices.SortFunc(s.order, func(a, b int) int { return cmp.Or(cmp.Compare(s.key[b], s.key[a]), cmp.Compare(a, b)) })
	s.work += 4 * len(s.order)
}

// fill fills one sheet by a method that changes from try to try.
func (s *search) fill(try int) []spot {
	spots := s.spots[:0]
	s.skip, s.look = 0, 1
	if try >= 4 {
		s.look += s.rng.IntN(mostLook)
	}
	if try >= 6 && try/2%2 == 0 {
		s.skip = s.rng.Uint64() | 1
	}
	if s.free && try%3 != 1 && s.pieces <= mostFree {
		return s.freely(s.order, (try/4+try)%rules, s.take, spots)
	}
	if s.down && try/2%2 == 1 {
		return s.sideways(spots, try)
	}
	return s.stages(s.order, try%2 == 1, s.take, spots)
}

// sideways fills by stages with the first cuts down the sheet.
func (s *search) sideways(spots []spot, try int) []spot {
	s.transpose()
	spots = s.stages(s.order, try%2 == 1, s.take, spots)
	s.transpose()
	for i, p := range spots {
		spots[i] = spot{p.kind, p.y, p.x, p.h, p.w}
	}
	return spots
}

func (s *search) transpose() {
	s.w, s.h = s.h, s.w
	for k, q := range s.kinds {
		s.kinds[k].w, s.kinds[k].h = q.h, q.w
	}
}
