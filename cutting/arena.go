package cutting

import "math"

// arena is where discs lie whole: a rectangle from (0, 0) to (w, h), or a circle of diameter w
// round (w/2, w/2).
type arena struct {
	w, h  float64
	round bool
}

// radius returns the greatest radius with which discs round all centres lie in the arena without
// overlap; below zero where a centre lies outside. xy holds x and y of each centre in turn.
func (a arena) radius(xy []float64) float64 {
	r := math.Inf(1)
	for i := 0; i < len(xy); i += 2 {
		r = min(r, a.wall(xy[i], xy[i+1]))
		for j := 0; j < i; j += 2 {
			r = min(r, math.Hypot(xy[i]-xy[j], xy[i+1]-xy[j+1])/2)
		}
	}
	return r
}

// wall returns the distance of a point from the rim, below zero outside.
func (a arena) wall(x, y float64) float64 {
	if a.round {
		return a.w/2 - math.Hypot(x-a.w/2, y-a.w/2)
	}
	return min(x, y, a.w-x, a.h-y)
}

// mostDiscs returns a number that no layout of discs of this diameter can exceed.
//
// Source: Oler, "An inequality in the geometry of numbers" (1961): points at distance d in a
// compact convex set of area A and perimeter P number at most 2A/(√3 d²) + P/(2d) + 1. The set is
// where the centres may lie.
func (a arena) mostDiscs(d float64) int {
	w, h := a.w-d, a.h-d
	if a.round {
		h = w
	}
	if w < -1e-9*a.w || h < -1e-9*a.w {
		return 0
	}
	w, h = max(w, 0), max(h, 0)
	area, round := w*h, 2*(w+h)
	if a.round {
		area, round = math.Pi/4*w*w, math.Pi*w
	}
	return int(2*area/(math.Sqrt(3)*d*d) + round/(2*d) + 1 + 1e-9)
}

// height returns the size of the arena along y.
func (a arena) height() float64 {
	if a.round {
		return a.w
	}
	return a.h
}
