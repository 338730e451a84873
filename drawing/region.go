package drawing

import (
	"slices"

	"chablon/assembly"
	"chablon/unit"
)

// thin is taken as nothing: half a micrometre of a stretch is rounding.
const thin = 5e-7 * unit.Metre

// outlineOf returns the whole section of a half one: loops for the even-odd rule, both sides of
// the axis, with holes where a body lies inside. Where the region reaches the axis its halves are
// one figure, without a seam.
func outlineOf(r assembly.Region, at func(x, z unit.Length) Point) [][]Point {
	var loops [][]Point
	n := len(r.Z)
	solid := func(i int) bool { return r.Out[i]-r.In[i] > thin || r.Out[i-1]-r.In[i-1] > thin }
	for i := 1; i < n; i++ {
		if !solid(i) || r.Z[i]-r.Z[i-1] < 0 {
			continue
		}
		from := i - 1
		for i+1 < n && solid(i+1) {
			i++
		}
		loops = append(loops, runLoops(r, from, i, at)...)
	}
	return slices.DeleteFunc(loops, func(l []Point) bool { return len(l) < 3 })
}

// hollow is a stretch of knots between which the region does not reach the axis.
type hollow struct{ from, to int }

// runLoops returns the loops of the unbroken stretch of a region between two of its knots.
func runLoops(r assembly.Region, from, to int, at func(x, z unit.Length) Point) [][]Point {
	var hollows []hollow
	for i := from; i < to; i++ {
		if r.In[i] <= thin && r.In[i+1] <= thin {
			continue
		}
		if n := len(hollows); n > 0 && hollows[n-1].to == i {
			hollows[n-1].to = i + 1
		} else {
			hollows = append(hollows, hollow{i, i + 1})
		}
	}
	side := func(sign unit.Length, edge []unit.Length, a, b int) []Point { // knots a to b, either way
		step := 1
		if a > b {
			step = -1
		}
		var p []Point
		for i := a; i != b+step; i += step {
			p = append(p, at(sign*edge[i], r.Z[i]))
		}
		return p
	}
	if len(hollows) == 1 && hollows[0].from == from && hollows[0].to == to && r.In[from] > thin && r.In[to] > thin {
		right := append(side(1, r.Out, from, to), side(1, r.In, to, from)...)
		left := append(side(-1, r.In, from, to), side(-1, r.Out, to, from)...)
		return [][]Point{clean(left), clean(right)}
	}
	outer := side(1, r.Out, from, to)
	var holes [][]Point
	var below []Point // the notch at the lower end
	for _, h := range hollows {
		switch {
		case h.to == to && r.In[to] > thin: // open above: down the right inner edge, up the left
			outer = append(append(outer, side(1, r.In, to, h.from)...), side(-1, r.In, h.from, to)...)
		case h.from == from && r.In[from] > thin:
			below = append(side(-1, r.In, from, h.to), side(1, r.In, h.to, from)...)
		default:
			holes = append(holes, clean(append(side(1, r.In, h.from, h.to), side(-1, r.In, h.to, h.from)...)))
		}
	}
	outer = append(append(outer, side(-1, r.Out, to, from)...), below...)
	return append([][]Point{clean(outer)}, holes...)
}

// clean returns a closed loop without points that lie on the one before.
func clean(p []Point) []Point {
	const near = 1e-9
	same := func(a, b Point) bool { return abs(a.X-b.X) < near && abs(a.Y-b.Y) < near }
	p = slices.CompactFunc(p, same)
	if n := len(p); n > 1 && same(p[0], p[n-1]) {
		p = p[:n-1]
	}
	return p
}

func abs(x float64) float64 { return max(x, -x) }
