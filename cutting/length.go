package cutting

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// lengths is the problem of strips in one dimension: the fewest stock lengths of a capacity from
// which all sizes can be cut. Sizes are above zero and fit the capacity; each occurs once.
type lengths struct {
	capacity int
	sizes    []int
	counts   []int
}

// bar is one way to cut a stock length, as counts of sizes, and how often it is used.
type bar struct {
	take  []int
	times int
}

// solve returns bars that give all sizes, as few as it finds, and a number that none can beat.
func (p *lengths) solve(ctx context.Context, work int, rng *rand.Rand) (best []bar, least int, stopped bool) {
	least = p.bound()
	best = p.decreasing()
	c := &cover{demand: p.counts}
	for k := range p.sizes {
		c.pool = append(c.pool, column{at: []int{k}, n: []int{1}})
	}
	c.price = func(prices []float64, left []int) (column, float64) {
		return p.knapsack(prices, left, &c.work)
	}
	factor := make([]float64, len(p.sizes))
	for k := range factor {
		factor[k] = 1
	}
	for try := 0; barsOf(best) > least && c.work < work; try++ {
		if ctx.Err() != nil {
			return best, least, true
		}
		if try%8 != firstFills {
			if plan := p.full(factor, fillNodes<<(try%4), c); barsOf(plan) < barsOf(best) {
				best = plan
			}
			continue
		}
		used := c.dive(ctx, barsOf(best), c.work+(work-c.work)/2, try > firstFills, rng)
		if least = max(least, c.least); used == nil {
			continue
		}
		best = nil
		for col := range c.pool {
			if n := used[col]; n > 0 {
				take := make([]int, len(p.sizes))
				for i, k := range c.pool[col].at {
					take[k] = c.pool[col].n[i]
				}
				best = append(best, bar{take, n})
			}
		}
	}
	return best, least, false
}

// firstFills is how many times bars are filled one by one before columns are generated, and
// fillNodes the least that the search for such a bar may take.
const (
	firstFills = 6
	fillNodes  = 300
)

// full fills one bar after the other, each with the longest strip that is left and what makes
// it dearest; then it makes strips dearer that lay in badly used bars (sequential value
// correction). The bars go into the pool.
func (p *lengths) full(factor []float64, nodes int, c *cover) []bar {
	left := slices.Clone(p.counts)
	prices := make([]float64, len(p.sizes))
	var out []bar
	for {
		longest := -1
		for k, n := range left {
			prices[k] = factor[k] * float64(p.sizes[k]) / float64(p.capacity)
			if n > 0 && (longest < 0 || prices[k] > prices[longest]) {
				longest = k
			}
		}
		if longest < 0 {
			break
		}
		left[longest]--
		rest := lengths{p.capacity - p.sizes[longest], p.sizes, nil}
		col, _ := rest.search(prices, left, nodes, &c.work)
		take := make([]int, len(p.sizes))
		for i, k := range col.at {
			take[k] = col.n[i]
		}
		take[longest]++
		left[longest]++
		col = columnOf(take, 0)
		n := col.times(left)
		for k := range left {
			left[k] -= n * take[k]
		}
		c.pool = append(c.pool, col)
		out = append(out, bar{take, n})
	}
	for _, b := range out {
		used := 0
		for k, n := range b.take {
			used += n * p.sizes[k]
		}
		for k, n := range b.take {
			if n > 0 {
				factor[k] = 0.7*factor[k] + 0.3*math.Pow(float64(p.capacity)/float64(used), 2)
			}
		}
	}
	return out
}

func barsOf(list []bar) int {
	n := 0
	for _, b := range list {
		n += b.times
	}
	return n
}

// bound returns the dual feasible bound: that of sheets as wide as the strips are long and one
// strip deep.
func (p *lengths) bound() int {
	q := &packing{w: p.capacity, h: 1}
	for k, s := range p.sizes {
		q.kinds = append(q.kinds, kind{s, 1, p.counts[k]})
	}
	return q.bound()
}

// decreasing fills one bar after the other, always with the longest that still fits.
func (p *lengths) decreasing() []bar {
	order := p.order(func(k int) float64 { return float64(p.sizes[k]) })
	left := slices.Clone(p.counts)
	var out []bar
	for {
		take := make([]int, len(p.sizes))
		room := p.capacity
		for _, k := range order {
			take[k] = min(left[k], room/p.sizes[k])
			room -= take[k] * p.sizes[k]
		}
		if room == p.capacity {
			return out
		}
		n := columnOf(take, 0).times(left)
		for k := range left {
			left[k] -= n * take[k]
		}
		out = append(out, bar{take, n})
	}
}

func (p *lengths) order(key func(k int) float64) []int {
	out := make([]int, len(p.sizes))
	for k := range out {
		out[k] = k
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Or(cmp.Compare(key(b), key(a)), cmp.Compare(p.sizes[b], p.sizes[a])) })
	return out
}

// mostNodes bounds a search for a bar before the table takes over, and mostTable the cells of it.
const (
	mostNodes = 4000
	mostTable = 3_000_000
)

// knapsack returns the bar of greatest value under the prices from what is left, and a bound of
// that value, infinite where none is known. Where the search takes long and finds no bar worth
// more than one, a table decides.
func (p *lengths) knapsack(prices []float64, left []int, work *int) (column, float64) {
	col, proven := p.search(prices, left, mostNodes, work)
	value := col.value(prices)
	if proven {
		return col, value
	}
	if value > 1.01 { // good enough to go on with
		return col, math.Inf(1)
	}
	other, most := p.table(prices, left, work)
	if other.value(prices) > value {
		return other, most
	}
	return col, most
}

// wanted returns the kinds that are left and have a price, by value for length.
func (p *lengths) wanted(prices []float64, left []int) []int {
	var order []int
	for _, k := range p.order(func(k int) float64 { return prices[k] / float64(p.sizes[k]) }) {
		if left[k] > 0 && prices[k] > 1e-12 {
			order = append(order, k)
		}
	}
	return order
}

// search looks for the dearest bar depth first by value for length, with the fractional bound,
// and reports whether it came to the end within so many nodes.
func (p *lengths) search(prices []float64, left []int, most int, work *int) (column, bool) {
	order := p.wanted(prices, left)
	best, top := make([]int, len(p.sizes)), 0.0
	take := make([]int, len(p.sizes))
	nodes := 0
	var search func(i, room int, value float64)
	search = func(i, room int, value float64) {
		if value > top {
			top = value
			copy(best, take)
		}
		for i < len(order) && p.sizes[order[i]] > room {
			i++
		}
		if i == len(order) || nodes > most {
			return
		}
		nodes++
		bound, rest := value, room
		for _, k := range order[i:] {
			n := min(left[k], rest/p.sizes[k])
			bound += float64(n) * prices[k]
			rest -= n * p.sizes[k]
			if n < left[k] {
				bound += float64(rest) / float64(p.sizes[k]) * prices[k]
				break
			}
		}
		if bound <= top+1e-10 {
			return
		}
		k := order[i]
		for n := min(left[k], room/p.sizes[k]); n >= 0; n-- {
			take[k] = n
			search(i+1, room-n*p.sizes[k], value+float64(n)*prices[k])
		}
		take[k] = 0
	}
	search(0, p.capacity, 0)
	*work += 2*nodes + len(order)
	return columnOf(best, 0), nodes <= most
}

// table is the knapsack by dynamic programming over the capacity, in a unit so coarse that the
// table stays small: sizes rounded up give a bar, rounded down a bound of its value.
func (p *lengths) table(prices []float64, left []int, work *int) (col column, most float64) {
	type lot struct{ kind, n int }
	var lots []lot
	for _, k := range p.wanted(prices, left) {
		for rest, n := min(left[k], p.capacity/p.sizes[k]), 1; rest > 0; n *= 2 {
			lots = append(lots, lot{k, min(n, rest)})
			rest -= min(n, rest)
		}
	}
	take := make([]int, len(p.sizes))
	if len(lots) == 0 {
		return col, 0
	}
	unit := max(1, p.capacity*len(lots)/mostTable)
	rooms := p.capacity/unit + 1
	*work += len(lots) * rooms / 30
	value := make([]float64, rooms)
	taken := make([]bool, len(lots)*rooms)
	fill := func(size func(lot) int, mark bool) {
		clear(value)
		for i, l := range lots {
			s, price := size(l), float64(l.n)*prices[l.kind]
			row := taken[i*rooms : (i+1)*rooms]
			for room := rooms - 1; room >= s; room-- {
				if v := value[room-s] + price; v > value[room] {
					value[room] = v
					if mark {
						row[room] = true
					}
				}
			}
		}
	}
	fill(func(l lot) int { return l.n * p.sizes[l.kind] / unit }, false)
	most = value[rooms-1]
	fill(func(l lot) int { return (l.n*p.sizes[l.kind] + unit - 1) / unit }, true)
	for i, room := len(lots)-1, rooms-1; i >= 0; i-- {
		if l := lots[i]; taken[i*rooms+room] {
			take[l.kind] += l.n
			room -= (l.n*p.sizes[l.kind] + unit - 1) / unit
		}
	}
	return columnOf(take, 0), most
}
