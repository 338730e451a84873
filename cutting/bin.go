package cutting

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"chablon/unit"
)

// rect is a rectangle to place, or one placed.
type rect struct {
	x, y, w, h float64
	item       int
}

// bin is one sheet with what is free of it. Of guillotine cuts the free rectangles do not overlap;
// of free cuts they are the largest empty ones and do.
type bin struct {
	placed []rect
	free   []rect
	filled float64
}

// pack lays items into as few bins of a size as it finds, within a number of tries. Every item
// must fit an empty bin.
func pack(items []rect, w, h float64, guillotine, turn bool, work int, seed uint64) [][]rect {
	p := &packer{items: items, w: w, h: h, guillotine: guillotine, turn: turn, rng: rand.New(rand.NewPCG(seed, 0x5bd1e995))}
	least := binBound(items, w, h, turn)
	var best []bin
	bestValue := math.Inf(-1)
	take := func(bins []bin) bool {
		if v := value(bins, w*h); v > bestValue && (!guillotine || allPart(bins)) {
			bestValue = v
			best = cloneBins(bins)
		}
		return best != nil && len(best) <= least
	}
	orders := p.orders()
	for i, order := range orders {
		for rule := range 3 {
			if take(p.fill(nil, order, rule)) || best != nil && i*3+rule+1 >= work {
				return placedOf(best)
			}
		}
	}
	if best == nil { // none could be parted: rows can
		best = p.rows(orders[2])
		bestValue = value(best, w*h)
	}
	// Ruin and recreate: the emptiest bins and some others are taken apart and laid again.
	now, nowValue := cloneBins(best), bestValue
	for try := len(orders) * 3; try < work; try++ {
		kept, loose := p.ruin(now)
		next := p.fill(kept, loose, p.rng.IntN(3))
		v := value(next, w*h)
		if v >= nowValue || p.rng.Float64() < 0.02*math.Exp(4*(v-nowValue)) {
			now, nowValue = next, v
			if take(next) {
				break
			}
		} else if try%200 == 199 {
			now, nowValue = cloneBins(best), bestValue
		}
	}
	return placedOf(best)
}

func allPart(bins []bin) bool {
	for i := range bins {
		cuts := make([]Cut, len(bins[i].placed))
		for k, r := range bins[i].placed {
			cuts[k] = Cut{X: unit.Length(r.x), Y: unit.Length(r.y), Width: unit.Length(r.w), Height: unit.Length(r.h)}
		}
		if !parts(cuts) {
			return false
		}
	}
	return true
}

// value is higher for fewer bins, and among as many for those that leave one of them emptier.
func value(bins []bin, area float64) float64 {
	sum := 0.0
	for i := range bins {
		f := bins[i].filled / area
		sum += f * f
	}
	return sum - 2*float64(len(bins))
}

func cloneBins(bins []bin) []bin {
	out := make([]bin, len(bins))
	for i := range bins {
		out[i] = bin{slices.Clone(bins[i].placed), slices.Clone(bins[i].free), bins[i].filled}
	}
	return out
}

func placedOf(bins []bin) [][]rect {
	var out [][]rect
	for i := range bins {
		out = append(out, bins[i].placed)
	}
	return out
}

type packer struct {
	items      []rect
	w, h       float64
	guillotine bool
	turn       bool
	rng        *rand.Rand
}

// orders are the usual ones to place items in, largest first by several measures.
func (p *packer) orders() [][]int {
	by := []func(r rect) float64{
		func(r rect) float64 { return r.w * r.h },
		func(r rect) float64 { return max(r.w, r.h) },
		func(r rect) float64 { return r.h },
		func(r rect) float64 { return r.w },
		func(r rect) float64 { return min(r.w, r.h) },
	}
	var out [][]int
	for _, measure := range by {
		order := make([]int, len(p.items))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int {
			ra, rb := p.items[a], p.items[b]
			return cmp.Or(cmp.Compare(measure(rb), measure(ra)), cmp.Compare(rb.w*rb.h, ra.w*ra.h))
		})
		out = append(out, order)
	}
	return out
}

// ruin takes the emptiest bin and one to three others apart, and returns what stays and the loose
// items, largest first but for some noise.
func (p *packer) ruin(bins []bin) (kept []bin, loose []int) {
	out := map[int]bool{}
	emptiest := 0
	for i := range bins {
		if bins[i].filled < bins[emptiest].filled {
			emptiest = i
		}
	}
	out[emptiest] = true
	for range 1 + p.rng.IntN(3) {
		out[p.rng.IntN(len(bins))] = true
	}
	for i := range bins {
		if !out[i] {
			kept = append(kept, bin{slices.Clone(bins[i].placed), slices.Clone(bins[i].free), bins[i].filled})
			continue
		}
		for _, r := range bins[i].placed {
			loose = append(loose, r.item)
		}
	}
	key := make(map[int]float64, len(loose))
	measure := p.rng.IntN(4)
	for _, i := range loose {
		r := p.items[i]
		k := r.w * r.h
		switch measure {
		case 1:
			k = max(r.w, r.h)
		case 2:
			k = r.h
		case 3:
			k = r.w
		}
		key[i] = k * math.Exp(0.25*p.rng.NormFloat64())
	}
	slices.SortFunc(loose, func(a, b int) int { return cmp.Or(cmp.Compare(key[b], key[a]), cmp.Compare(a, b)) })
	return kept, loose
}

// fill places items in order, each where it fits best among all bins, and opens bins as needed.
func (p *packer) fill(bins []bin, order []int, rule int) []bin {
	for _, i := range order {
		it := p.items[i]
		best, at, where, turned := math.Inf(1), -1, -1, false
		for b := range bins {
			for k := range bins[b].free {
				f := &bins[b].free[k]
				for t := range 2 {
					w, h := it.w, it.h
					if t == 1 {
						if !p.turn || w == h {
							break
						}
						w, h = h, w
					}
					if w > f.w+slack || h > f.h+slack {
						continue
					}
					if score := fitness(f, w, h, rule); score < best {
						best, at, where, turned = score, b, k, t == 1
					}
				}
			}
			if rule == 2 && at >= 0 {
				break // first bin that takes it
			}
		}
		if at < 0 {
			bins = append(bins, bin{free: []rect{{w: p.w, h: p.h}}})
			at, where = len(bins)-1, 0
			turned = !(it.w <= p.w+slack && it.h <= p.h+slack)
		}
		w, h := it.w, it.h
		if turned {
			w, h = h, w
		}
		bins[at].put(rect{w: w, h: h, item: i}, where, p.guillotine, rule)
	}
	return bins
}

// rows places items side by side in rows, one row over another, in the order of their heights.
func (p *packer) rows(order []int) []bin {
	var bins []bin
	x, y, high := 0.0, 0.0, math.Inf(1)
	for _, i := range order {
		w, h := p.items[i].w, p.items[i].h
		if w > p.w+slack || h > p.h+slack {
			w, h = h, w
		}
		if x+w > p.w+slack || h > high+slack { // the next row
			if y += high; math.IsInf(high, 1) {
				y = 0
			}
			x, high = 0, h
		}
		if len(bins) == 0 || y+h > p.h+slack {
			bins = append(bins, bin{})
			x, y, high = 0, 0, h
		}
		b := &bins[len(bins)-1]
		b.placed = append(b.placed, rect{x: x, y: y, w: w, h: h, item: i})
		b.filled += w * h
		x += w
	}
	return bins
}

// fitness is what a rectangle would leave of a free one; less is better.
func fitness(f *rect, w, h float64, rule int) float64 {
	a, b := f.w-w, f.h-h
	switch rule {
	case 0: // shorter side left over
		return min(a, b) + 1e-3*max(a, b)
	case 1: // area left over
		return f.w*f.h - w*h
	}
	return max(a, b)
}

// put places a rectangle in the lower left corner of a free one.
func (b *bin) put(r rect, k int, guillotine bool, rule int) {
	f := b.free[k]
	r.x, r.y = f.x, f.y
	b.placed = append(b.placed, r)
	b.filled += r.w * r.h
	if !guillotine {
		b.cover(r)
		return
	}
	b.free = slices.Delete(b.free, k, k+1)
	right, above := f.w-r.w, f.h-r.h
	// The cut goes along the side that leaves the larger rectangle whole.
	vertical := right > above
	if rule == 1 {
		vertical = r.w*above > right*r.h
	}
	side, top := rect{x: f.x + r.w, y: f.y, w: right, h: r.h}, rect{x: f.x, y: f.y + r.h, w: f.w, h: above}
	if vertical {
		side.h, top.w = f.h, r.w
	}
	for _, n := range []rect{side, top} {
		if n.w > slack && n.h > slack {
			b.free = append(b.free, n)
		}
	}
	b.merge()
}

// merge joins free rectangles that share a whole side: the cut between them need not be made. In
// rare cases the result can no longer be parted by cuts that go right through; pack looks for
// that before it takes a layout.
func (b *bin) merge() {
	for i := 0; i < len(b.free); i++ {
		for j := i + 1; j < len(b.free); j++ {
			p, q := &b.free[i], &b.free[j]
			same := func(a, b float64) bool { return math.Abs(a-b) < slack }
			switch {
			case same(p.x, q.x) && same(p.w, q.w) && (same(p.y+p.h, q.y) || same(q.y+q.h, p.y)):
				p.y, p.h = min(p.y, q.y), p.h+q.h
			case same(p.y, q.y) && same(p.h, q.h) && (same(p.x+p.w, q.x) || same(q.x+q.w, p.x)):
				p.x, p.w = min(p.x, q.x), p.w+q.w
			default:
				continue
			}
			b.free = slices.Delete(b.free, j, j+1)
			j--
		}
	}
	b.free = slices.DeleteFunc(b.free, func(r rect) bool { return r.w <= slack || r.h <= slack })
}

// cover takes a rectangle out of all free ones that it meets and keeps the largest that are left.
func (b *bin) cover(r rect) {
	var out []rect
	for _, f := range b.free {
		if r.x >= f.x+f.w-slack || r.x+r.w <= f.x+slack || r.y >= f.y+f.h-slack || r.y+r.h <= f.y+slack {
			out = append(out, f)
			continue
		}
		if r.x > f.x+slack {
			out = append(out, rect{x: f.x, y: f.y, w: r.x - f.x, h: f.h})
		}
		if r.x+r.w < f.x+f.w-slack {
			out = append(out, rect{x: r.x + r.w, y: f.y, w: f.x + f.w - r.x - r.w, h: f.h})
		}
		if r.y > f.y+slack {
			out = append(out, rect{x: f.x, y: f.y, w: f.w, h: r.y - f.y})
		}
		if r.y+r.h < f.y+f.h-slack {
			out = append(out, rect{x: f.x, y: r.y + r.h, w: f.w, h: f.y + f.h - r.y - r.h})
		}
	}
	inside := func(a, b rect) bool {
		return a.x >= b.x-slack && a.y >= b.y-slack && a.x+a.w <= b.x+b.w+slack && a.y+a.h <= b.y+b.h+slack
	}
	b.free = b.free[:0]
	for i, f := range out {
		covered := false
		for j, g := range out {
			if i != j && inside(f, g) && !(inside(g, f) && i < j) {
				covered = true
				break
			}
		}
		if !covered {
			b.free = append(b.free, f)
		}
	}
}

// binBound is a lower bound on the bins: areas, and areas after sizes have been rounded by dual
// feasible functions, which count that large items do not lie beside each other.
// Source: Fekete and Schepers 2004, functions u(k) and U(ε).
func binBound(items []rect, w, h float64, turn bool) int {
	round := func(x, e float64) float64 { // U(ε): small ones vanish, large ones fill
		switch {
		case x > 1-e+1e-12:
			return 1
		case x < e-1e-12:
			return 0
		}
		return x
	}
	step := func(x float64, k float64) float64 { // u(k)
		if y := (k + 1) * x; math.Abs(y-math.Round(y)) < 1e-9 {
			return x
		}
		return math.Floor((k+1)*x) / k
	}
	functions := []func(float64) float64{func(x float64) float64 { return x }}
	for _, k := range []float64{1, 2, 3, 4, 5} {
		functions = append(functions, func(x float64) float64 { return step(x, k) })
	}
	for _, e := range []float64{0.1, 0.2, 0.25, 0.3, 1.0 / 3, 0.4, 0.5} {
		functions = append(functions, func(x float64) float64 { return round(x, e) })
	}
	best := 0.0
	for _, f := range functions {
		for _, g := range functions {
			sum := 0.0
			for _, r := range items {
				v := f(r.w/w) * g(r.h/h)
				if turn {
					o := math.Inf(1)
					if r.h <= w+slack && r.w <= h+slack {
						o = f(r.h/w) * g(r.w/h)
					}
					if r.w <= w+slack && r.h <= h+slack {
						v = min(v, o)
					} else {
						v = o
					}
				}
				sum += v
			}
			best = max(best, sum)
		}
	}
	return int(math.Ceil(best - 1e-6))
}
