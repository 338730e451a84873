package cutting

import (
	"context"
	"math"
	"math/rand/v2"
)

// column is one way to cut a stock piece: how many of some kinds it gives.
type column struct {
	at, n []int
	tag   int // what the owner knows it by
}

// columnOf returns the column of a dense count.
func columnOf(take []int, tag int) column {
	c := column{tag: tag}
	for k, n := range take {
		if n > 0 {
			c.at, c.n = append(c.at, k), append(c.n, n)
		}
	}
	return c
}

func (c column) value(price []float64) float64 {
	v := 0.0
	for i, k := range c.at {
		v += price[k] * float64(c.n[i])
	}
	return v
}

// times returns how often the column can be used for what is left.
func (c column) times(left []int) int {
	most := math.MaxInt
	for i, k := range c.at {
		most = min(most, left[k]/c.n[i])
	}
	return most
}

// cover is a cutting stock problem: the fewest columns, with repetition, that give demand of
// every kind. The first columns of the pool are one piece each of each kind, in order. price
// returns a column that fits left of great value under the prices, and an upper bound of that
// value over all columns (infinite where it knows none).
//
// Source: column generation after Gilmore and Gomory, "A linear programming approach to the
// cutting-stock problem" (1961), with diving: columns of the relaxation are fixed, the rest is
// solved again.
type cover struct {
	demand []int
	pool   []column
	price  func(prices []float64, left []int) (column, float64)
	work   int
	least  int // bound of the first relaxation, where price bounds
}

// dive returns columns, with how often each is used, that cover the demand; nil if it comes to
// need most or more, or the work or the context ends first. A generator breaks ties and, where
// loose, prefers columns at random.
func (c *cover) dive(ctx context.Context, most, limit int, loose bool, rng *rand.Rand) map[int]int {
	left := append([]int(nil), c.demand...)
	used := map[int]int{}
	count := 0
	for {
		todo := false
		for _, n := range left {
			todo = todo || n > 0
		}
		if !todo {
			return used
		}
		if ctx.Err() != nil || c.work >= limit {
			return nil
		}
		weights, value := c.relax(left, limit)
		if count+int(math.Ceil(value-1e-6)) >= most && c.least > 0 || count+1 >= most {
			return nil
		}
		best, top := -1, -1.0
		fixed := false
		for _, w := range weights {
			if n := min(int(w.x+1e-9), c.pool[w.col].times(left)); n > 0 {
				c.use(w.col, n, left, used)
				count += n
				fixed = true
				continue
			}
			if v := w.x + 0.01*rng.Float64(); c.pool[w.col].times(left) > 0 {
				if loose {
					v = w.x * (0.5 + rng.Float64())
				}
				if v > top {
					best, top = w.col, v
				}
			}
		}
		if !fixed {
			if best < 0 {
				return nil
			}
			c.use(best, 1, left, used)
			count++
		}
	}
}

func (c *cover) use(col, n int, left []int, used map[int]int) {
	used[col] += n
	for i, k := range c.pool[col].at {
		left[k] -= n * c.pool[col].n[i]
	}
}

// weight is how often the relaxation uses a column.
type weight struct {
	col int
	x   float64
}

// relax solves the linear relaxation for what is left, adding columns to the pool, and returns
// the weights above zero and the optimum. It is a revised simplex method with the inverse of the
// basis; rows are the kinds of which some are left.
func (c *cover) relax(left []int, limit int) ([]weight, float64) {
	var rows []int
	rowOf := make([]int, len(left))
	for k, n := range left {
		rowOf[k] = -1
		if n > 0 {
			rowOf[k] = len(rows)
			rows = append(rows, k)
		}
	}
	m := len(rows)
	inv := make([]float64, m*m)
	x, pi, dir := make([]float64, m), make([]float64, m), make([]float64, m)
	basis := make([]int, m) // column in the pool, or −1 for a surplus
	for i, k := range rows {
		inv[i*m+i] = 1
		x[i] = float64(left[k])
		basis[i] = k
	}
	var usable []int
	for j := range c.pool {
		if c.pool[j].times(left) > 0 {
			usable = append(usable, j)
		}
	}
	prices := make([]float64, len(left))
	bound := 0.0
	for range 20*m + 50 {
		c.work += m*m/50 + len(usable)/10 + 1
		for j := range pi {
			pi[j] = 0
		}
		for i, b := range basis {
			if b >= 0 {
				for j := range m {
					pi[j] += inv[i*m+j]
				}
			}
		}
		value := 0.0
		for i, k := range rows {
			prices[k] = max(pi[i], 0)
			value += pi[i] * float64(left[k])
		}
		enter, surplus := -1, -1
		worst := -1e-9
		for i := range pi {
			if pi[i] < worst {
				worst, surplus = pi[i], i
			}
		}
		if surplus < 0 {
			top := 1 + 1e-7
			for _, j := range usable {
				if v := c.pool[j].value(prices); v > top {
					enter, top = j, v
				}
			}
			if enter < 0 && c.work < limit {
				col, most := c.price(prices, left)
				if !math.IsInf(most, 1) {
					bound = max(bound, value/max(1, most))
				}
				if col.value(prices) > 1+1e-7 {
					enter = len(c.pool)
					c.pool = append(c.pool, col)
					usable = append(usable, enter)
				}
			}
			if enter < 0 {
				break
			}
		}
		for i := range dir {
			dir[i] = 0
			if surplus >= 0 {
				dir[i] = -inv[i*m+surplus]
				continue
			}
			for q, k := range c.pool[enter].at {
				dir[i] += inv[i*m+rowOf[k]] * float64(c.pool[enter].n[q])
			}
		}
		out, ratio := -1, math.Inf(1)
		for i := range dir {
			if dir[i] > 1e-9 {
				if r := x[i] / dir[i]; r < ratio-1e-12 || (r < ratio+1e-12 && dir[i] > dir[out]) {
					out, ratio = i, r
				}
			}
		}
		if out < 0 {
			break
		}
		pivot := 1 / dir[out]
		for j := range m {
			inv[out*m+j] *= pivot
		}
		x[out] *= pivot
		for i := range m {
			if f := dir[i]; i != out && f != 0 {
				for j := range m {
					inv[i*m+j] -= f * inv[out*m+j]
				}
				x[i] = max(0, x[i]-f*x[out])
			}
		}
		basis[out] = enter
		if surplus >= 0 {
			basis[out] = -1
		}
	}
	var weights []weight
	total := 0.0
	for i, b := range basis {
		if b >= 0 && x[i] > 1e-9 {
			weights = append(weights, weight{b, x[i]})
			total += x[i]
		}
	}
	if c.least == 0 && bound > 0 {
		c.least = int(math.Ceil(bound - 1e-6))
	}
	return weights, total
}
