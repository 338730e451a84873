package cutting

import (
	"context"
	"math"
	"math/rand/v2"
)

// touch is by how much of themselves discs may come closer than their distance: what polishing
// leaves, and far below what Check allows.
const touch = 4e-10

// mostSearched bounds for how many discs on one sheet the search goes beyond rows: above it rows
// are dense, and a search is slow.
const mostSearched = 120

// searched reports whether a search for n discs makes sense with so much work: one local optimum
// takes about n³ steps.
func searched(n, work int) bool { return n <= mostSearched && 2*n*n*n <= work }

// nest returns centres of as many discs of diameter d as it finds room for in the arena, at most
// want: the best rows, or what a search finds where rows hold fewer than want and the bound
// leaves room.
func (a arena) nest(ctx context.Context, d float64, want, work int, rng *rand.Rand) []float64 {
	best := a.rows(d, want)
	bound := min(want, a.mostDiscs(d))
	for n := len(best)/2 + 1; n <= bound && searched(n, work) && ctx.Err() == nil; n++ {
		if xy, ok := a.pack(ctx, d, n, &work, rng); ok {
			best = xy
		} else {
			break
		}
	}
	return best
}

// pack searches for room for exactly n discs of diameter d.
func (a arena) pack(ctx context.Context, d float64, n int, work *int, rng *rand.Rand) ([]float64, bool) {
	enough := d / 2 * (1 - touch)
	xy, r := a.spread(ctx, n, enough, work, rng)
	return xy, r >= enough
}

// rows returns centres of at most want discs of diameter d on the rows that hold most.
func (a arena) rows(d float64, want int) []float64 {
	if a.round {
		return a.roundRows(d, want)
	}
	best := lattice{}
	w, h := a.w-d, a.h-d
	if w < -touch*d || h < -touch*d || want <= 0 {
		return nil
	}
	along := bestLattice(max(w, 0), max(h, 0), d)
	up := bestLattice(max(h, 0), max(w, 0), d)
	best, turned := along, false
	if up.count > along.count {
		best, turned = up, true
	}
	xy := best.centres(d, want)
	if turned {
		for i := 0; i < len(xy); i += 2 {
			xy[i], xy[i+1] = xy[i+1], xy[i]
		}
	}
	return xy
}

// lattice is rows of discs: pitch apart in a row; steps of rise to a row that is shifted by half
// a pitch, or of a whole diameter to one that is not.
type lattice struct {
	count, long, short int // discs in all, in a row, and in a shifted row
	pitch, rise        float64
	shifted, straight  int // steps of each kind
}

// bestLattice returns the rows that hold most discs where centres may lie in w × h. It tries the
// hexagonal lattice, the same stretched along the rows until they just fill the width (which
// brings rows closer), and each with some rows stacked straight.
func bestLattice(w, h, d float64) lattice {
	var best lattice
	full := int(w/d + 1e-9)
	pitches := []float64{d}
	for k := max(1, int(w/(math.Sqrt(3)*d))); k <= full && k > 0; k++ {
		pitches = append(pitches, w/float64(k), w/(float64(k)+0.5))
	}
	if full == 0 { // a zigzag of single discs
		pitches = append(pitches, min(2*w, math.Sqrt(3)*d))
	}
	for _, p := range pitches {
		if p < d*(1-1e-12) && full > 0 {
			continue
		}
		l := lattice{pitch: p, rise: math.Sqrt(max(0, d*d-p*p/4))}
		if l.rise < d/2 {
			l.rise = d / 2
		}
		l.long, l.short = 1, 0
		if p >= d*(1-1e-12) {
			l.long = int(w/p+1e-9) + 1
		}
		if w >= p/2-1e-9*d {
			l.short = 1
			if p >= d*(1-1e-12) {
				l.short = int((w-p/2)/p+1e-9) + 1
			}
		}
		for l.straight = 0; float64(l.straight)*d <= h+1e-9*d; l.straight++ {
			l.shifted = int((h-float64(l.straight)*d)/l.rise + 1e-9)
			if l.short == 0 {
				l.shifted = 0
			}
			if l.count = (l.shifted+l.straight+1)*l.long - (l.shifted+1)/2*(l.long-l.short); l.count > best.count {
				best = l
			}
		}
	}
	return best
}

// centres returns the first want centres of the lattice, row by row.
func (l lattice) centres(d float64, want int) []float64 {
	want = min(want, l.count)
	xy := make([]float64, 0, 2*want)
	y, odd := d/2, false
	straight := l.straight
	for len(xy) < 2*want {
		n, x := l.long, d/2
		if odd {
			n, x = l.short, d/2+l.pitch/2
		}
		for i := 0; i < n && len(xy) < 2*want; i++ {
			xy = append(xy, x+float64(i)*l.pitch, y)
		}
		if straight > 0 && !odd { // stacked where rows are long
			straight--
			y += d
			continue
		}
		y += l.rise
		odd = !odd
	}
	return xy
}

// shifts is how many shifts of a lattice, along each axis, are tried in a round arena.
const shifts = 12

// roundRows returns centres on the hexagonal or square lattice whose shift holds most discs in a
// circle.
func (a arena) roundRows(d float64, want int) []float64 {
	reach := a.w/2 - d/2
	if reach < -touch*d || want <= 0 {
		return nil
	}
	reach = max(reach, 0) + 1e-12*d
	var best []float64
	for _, hex := range []bool{true, false} {
		rise := d
		if hex {
			rise = d * math.Sqrt(3) / 2
		}
		rowsUp := int(reach/rise) + 1
		for sx := range shifts {
			for sy := range shifts {
				var xy []float64
				for j := -rowsUp; j <= rowsUp && len(xy) < 2*want; j++ {
					y := (float64(j) + float64(sy)/shifts) * rise
					half := reach*reach - y*y
					if half < 0 {
						continue
					}
					half = math.Sqrt(half)
					off := float64(sx) / shifts * d
					if hex && j%2 != 0 {
						off += d / 2
					}
					for k := math.Ceil((-half - off) / d); off+k*d <= half && len(xy) < 2*want; k++ {
						xy = append(xy, a.w/2+off+k*d, a.w/2+y)
					}
				}
				if len(xy) > len(best) {
					best = xy
				}
				if len(best) == 2*want {
					return best
				}
			}
		}
	}
	return best
}
