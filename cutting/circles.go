package cutting

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Circles places n equal circles in a rectangle, as large as it can, and returns their middles and
// their radius. starts bounds how often it begins anew. n is 1 to 400.
func Circles(n int, w, h float64, starts int, seed uint64) ([][2]float64, float64) {
	return circlesIn(n, box{w, h}, starts, seed)
}

// CirclesInCircle is Circles within a circle of a radius about the origin.
func CirclesInCircle(n int, radius float64, starts int, seed uint64) ([][2]float64, float64) {
	return circlesIn(n, round(radius), starts, seed)
}

// container is what circles lie in. A middle keeps a distance r from the wall if it lies in the
// container shrunk by r.
type container interface {
	// gap returns how far a point lies inside the wall, negative outside, and the way inwards.
	gap(p [2]float64) (float64, [2]float64)
	// clamp moves a point into the container shrunk by r.
	clamp(p [2]float64, r float64) [2]float64
	// some returns a random point.
	some(rng *rand.Rand) [2]float64
	area() float64
	lattices(n int) [][][2]float64
}

type box struct{ w, h float64 }

func (b box) area() float64 { return b.w * b.h }

func (b box) gap(p [2]float64) (float64, [2]float64) {
	g, d := p[0], [2]float64{1, 0}
	if x := b.w - p[0]; x < g {
		g, d = x, [2]float64{-1, 0}
	}
	if y := p[1]; y < g {
		g, d = y, [2]float64{0, 1}
	}
	if y := b.h - p[1]; y < g {
		g, d = y, [2]float64{0, -1}
	}
	return g, d
}

func (b box) clamp(p [2]float64, r float64) [2]float64 {
	in := func(x, w float64) float64 {
		if 2*r >= w {
			return w / 2
		}
		return min(max(x, r), w-r)
	}
	return [2]float64{in(p[0], b.w), in(p[1], b.h)}
}

func (b box) some(rng *rand.Rand) [2]float64 {
	return [2]float64{rng.Float64() * b.w, rng.Float64() * b.h}
}

// lattices are rows of points to begin from: square and set into gaps, in both directions.
func (b box) lattices(n int) [][][2]float64 {
	var out [][][2]float64
	for rows := 1; rows <= n && rows <= 40; rows++ {
		cols := (n + rows - 1) / rows
		if cols > 60 {
			continue
		}
		for _, stagger := range []bool{false, true} {
			for _, over := range []bool{false, true} {
				w, h := b.w, b.h
				if over {
					w, h = h, w
				}
				var p [][2]float64
				for r := range rows {
					k := cols
					shift := 0.0
					if stagger && r%2 == 1 {
						shift = 0.5
					}
					for c := range k {
						x, y := (float64(c)+0.25+shift)/(float64(k)+0.5)*w, (float64(r)+0.5)/float64(rows)*h
						if over {
							x, y = y, x
						}
						p = append(p, [2]float64{x, y})
					}
				}
				out = append(out, p[:n])
			}
		}
	}
	return out
}

type round float64

func (c round) area() float64 { return math.Pi * float64(c*c) }

func (c round) gap(p [2]float64) (float64, [2]float64) {
	d := math.Hypot(p[0], p[1])
	if d < 1e-300 {
		return float64(c), [2]float64{1, 0}
	}
	return float64(c) - d, [2]float64{-p[0] / d, -p[1] / d}
}

func (c round) clamp(p [2]float64, r float64) [2]float64 {
	most := max(0, float64(c)-r)
	if d := math.Hypot(p[0], p[1]); d > most {
		return [2]float64{p[0] * most / d, p[1] * most / d}
	}
	return p
}

func (c round) some(rng *rand.Rand) [2]float64 {
	s, k := math.Sincos(2 * math.Pi * rng.Float64())
	r := float64(c) * math.Sqrt(rng.Float64())
	return [2]float64{r * k, r * s}
}

// lattices are rings of points about the middle.
func (c round) lattices(n int) [][][2]float64 {
	var out [][][2]float64
	for _, middle := range []int{0, 1} { // one ring that touches the wall and itself, round one or none
		k := n - middle
		if k < 1 {
			continue
		}
		sin := math.Sin(math.Pi / float64(max(2, k)))
		radius := float64(c) / (1 + sin)
		p := make([][2]float64, 0, n)
		for i := range k {
			s, co := math.Sincos(2 * math.Pi * float64(i) / float64(k))
			p = append(p, [2]float64{radius * co, radius * s})
		}
		if middle == 1 {
			p = append(p, [2]float64{})
		}
		if n > 1 {
			out = append(out, p)
		}
	}
	for inner := range min(n, 7) {
		var p [][2]float64
		left, ring := n, 0
		for left > 0 {
			k := inner
			if ring > 0 || inner == 0 {
				k = int(math.Round(float64(inner) + 6*float64(ring)))
				if inner == 0 {
					k = 6 * (ring + 1)
				}
			}
			k = min(max(1, k), left)
			radius := float64(c) * (float64(ring) + 0.5) / (math.Sqrt(float64(n)/3) + 0.5)
			for i := range k {
				s, co := math.Sincos(2*math.Pi*float64(i)/float64(k) + 0.3*float64(ring))
				p = append(p, [2]float64{radius * co, radius * s})
			}
			left -= k
			ring++
		}
		out = append(out, p)
	}
	return out
}

// circlesIn begins from lattices, then from random points and from the best found with a circle
// moved elsewhere; each start is spread by repulsion and polished.
func circlesIn(n int, c container, starts int, seed uint64) ([][2]float64, float64) {
	if n < 1 || n > 400 || !(c.area() > 0) {
		return nil, 0
	}
	rng := rand.New(rand.NewPCG(seed, 29))
	var best [][2]float64
	radius := -1.0
	begin := c.lattices(n)
	for _, p := range begin { // some are the best there is as they stand
		if r := smallest(p, c); r > radius {
			best, radius = slices.Clone(p), r
		}
	}
	rng.Shuffle(len(begin), func(i, j int) { begin[i], begin[j] = begin[j], begin[i] })
	for s := range max(1, starts) {
		var p [][2]float64
		switch {
		case s < len(begin) && s < starts/2+1:
			p = slices.Clone(begin[s])
		case best != nil && rng.IntN(2) == 0:
			p = slices.Clone(best)
			for range 1 + rng.IntN(2) {
				p[rng.IntN(n)] = c.some(rng)
			}
		default:
			p = make([][2]float64, n)
			for i := range p {
				p[i] = c.some(rng)
			}
		}
		spread(p, c)
		if r := polish(p, c); r > radius {
			best, radius = p, r
		}
	}
	return best, radius
}

// smallest returns the radius that circles about the points can have: half the least distance, or
// the least gap to the wall.
func smallest(p [][2]float64, c container) float64 {
	r := math.Inf(1)
	for i := range p {
		g, _ := c.gap(p[i])
		r = min(r, g)
		for j := range i {
			r = min(r, math.Hypot(p[i][0]-p[j][0], p[i][1]-p[j][1])/2)
		}
	}
	return r
}

// spread pushes overlapping circles of a growing radius apart, by descent on the squares of their
// overlaps.
func spread(p [][2]float64, c container) {
	n := len(p)
	ideal := math.Sqrt(c.area() / (float64(n) * 2 * math.Sqrt(3)))
	move := make([][2]float64, n)
	for _, share := range []float64{0.8, 0.9, 0.95, 1} {
		r := ideal * share
		for range 40 {
			clear(move)
			worst := 0.0
			for i := range p {
				for j := range i {
					dx, dy := p[i][0]-p[j][0], p[i][1]-p[j][1]
					d := math.Hypot(dx, dy)
					lap := 2*r - d
					if lap <= 0 {
						continue
					}
					worst = max(worst, lap)
					if d < 1e-12*r {
						dx, dy, d = 1, float64(i-j), math.Hypot(1, float64(i-j))
					}
					k := 0.5 * lap / d * 0.8
					move[i][0] += k * dx
					move[i][1] += k * dy
					move[j][0] -= k * dx
					move[j][1] -= k * dy
				}
			}
			for i := range p {
				p[i] = c.clamp([2]float64{p[i][0] + move[i][0], p[i][1] + move[i][1]}, r)
			}
			if worst < 1e-3*r {
				break
			}
		}
	}
}

// polish enlarges the radius as far as the points allow: circles a little too large are pushed
// apart until they no longer overlap, and the excess is halved when that fails. It returns the
// radius that the points have in the end.
func polish(p [][2]float64, c container) float64 {
	n := len(p)
	r := smallest(p, c)
	best := slices.Clone(p)
	grow := 0.03
	move := make([][2]float64, n)
	near := make([][2]int32, 0, 4*n)
	for rounds := 0; grow > 1e-7 && rounds < 80; rounds++ {
		aim := max(r, 1e-9) * (1 + grow)
		near = near[:0]
		for i := range p {
			for j := range i {
				if math.Hypot(p[i][0]-p[j][0], p[i][1]-p[j][1]) < 2.6*aim {
					near = append(near, [2]int32{int32(i), int32(j)})
				}
			}
		}
		reached := false
		for it := range 250 {
			clear(move)
			worst := 0.0
			for _, pair := range near {
				i, j := pair[0], pair[1]
				dx, dy := p[i][0]-p[j][0], p[i][1]-p[j][1]
				d := math.Hypot(dx, dy)
				lap := 2*aim - d
				if lap <= 0 || d == 0 {
					continue
				}
				worst = max(worst, lap)
				k := 0.5 * lap / d
				move[i][0] += k * dx
				move[i][1] += k * dy
				move[j][0] -= k * dx
				move[j][1] -= k * dy
			}
			for i := range p {
				q := c.clamp([2]float64{p[i][0] + 0.9*move[i][0], p[i][1] + 0.9*move[i][1]}, aim)
				p[i] = q
			}
			if worst < 1e-10*aim {
				reached = true
				break
			}
			if it == 60 && worst > 0.3*grow*aim && grow > 1e-4 { // it will not do
				break
			}
		}
		if now := smallest(p, c); now > r {
			gained := now - r
			r = now
			copy(best, p)
			if reached && gained > 0.5*grow*r {
				grow = min(0.05, grow*1.3)
				continue
			}
		} else {
			copy(p, best)
		}
		grow /= 2
	}
	copy(p, best)
	return r
}
