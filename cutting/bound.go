package cutting

import (
	"math"
	"slices"
)

// dual is a dual feasible function of one side of a sheet: sizes that fit side by side have
// values that sum to one at most. table holds its value for each kind's width and height.
type dual struct{ w, h []float64 }

// bound returns a number of sheets that no layout, by free cuts or others, can beat: the
// greatest sum over the kinds of f(w) g(h) for dual feasible functions f and g of the sheet's two
// sides. Where pieces may turn, the cheaper way counts.
//
// Source: Fekete and Schepers, "A general framework for bounds for higher-dimensional orthogonal
// packing problems" (2004), functions u(k), U(ε) and φ(ε).
func (p *packing) bound() int {
	var across, along []dual
	for _, f := range dualsOf(p, p.w, func(k kind) int { return k.w }) {
		across = append(across, p.tabulate(f, p.w))
	}
	for _, f := range dualsOf(p, p.h, func(k kind) int { return k.h }) {
		along = append(along, p.tabulate(f, p.h))
	}
	best := 0.0
	for _, f := range across {
		for _, g := range along {
			sum := 0.0
			for k, q := range p.kinds {
				v := f.w[k] * g.h[k]
				if p.turn {
					v = p.cheaper(k, v, f.h[k]*g.w[k])
				}
				sum += v * float64(q.count)
			}
			best = max(best, sum)
		}
	}
	return int(math.Ceil(best - 1e-7))
}

// cheaper returns the lesser value of the ways in which a kind fits the sheet.
func (p *packing) cheaper(k int, straight, turned float64) float64 {
	q := p.kinds[k]
	switch {
	case q.w > p.w || q.h > p.h:
		return turned
	case q.h > p.w || q.w > p.h:
		return straight
	}
	return min(straight, turned)
}

func (p *packing) tabulate(f func(int) float64, side int) dual {
	d := dual{make([]float64, len(p.kinds)), make([]float64, len(p.kinds))}
	for k, q := range p.kinds {
		d.w[k], d.h[k] = f(min(q.w, side)), f(min(q.h, side))
	}
	return d
}

// mostParameters bounds how many values of ε are tried for each side.
const mostParameters = 16

func dualsOf(p *packing, side int, size func(kind) int) []func(int) float64 {
	var sizes []int
	for _, k := range p.kinds {
		for _, s := range []int{size(k), k.w, k.h} {
			if !p.turn {
				s = size(k)
			}
			if s > side/2 {
				s = side - s + 1
			}
			if s > 0 && 2*s <= side && k.count > 0 {
				sizes = append(sizes, s)
			}
		}
	}
	slices.Sort(sizes)
	sizes = slices.Compact(sizes)
	return duals(side, thin(sizes, mostParameters))
}

// thin returns at most n of the values, evenly spaced.
func thin(values []int, n int) []int {
	if len(values) <= n {
		return values
	}
	out := make([]int, 0, n)
	for i := range n {
		out = append(out, values[i*(len(values)-1)/(n-1)])
	}
	return out
}

// duals returns dual feasible functions of one side for the given parameters.
func duals(side int, epsilons []int) []func(int) float64 {
	c := float64(side)
	out := []func(int) float64{func(x int) float64 { return float64(x) / c }}
	for k := 1; k <= 4; k++ {
		out = append(out, func(x int) float64 {
			if (k+1)*x%side == 0 {
				return float64(x) / c
			}
			return float64((k+1)*x/side) / float64(k)
		})
	}
	for _, e := range epsilons {
		if 2*e > side {
			continue
		}
		out = append(out, func(x int) float64 {
			switch {
			case x > side-e:
				return 1
			case x < e:
				return 0
			}
			return float64(x) / c
		})
		whole := float64(2 * (side / e))
		out = append(out, func(x int) float64 {
			switch {
			case 2*x > side:
				return (whole - float64(2*((side-x)/e))) / whole
			case 2*x == side:
				return 0.5
			}
			return float64(2*(x/e)) / whole
		})
	}
	return out
}
