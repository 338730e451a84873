package drawing

import (
	"math"
	"slices"

	"chablon/assembly"
)

// Hatch is a pattern that says what kind of component a region is. Each has its own figure, so
// that hatches are told apart without colour.
type Hatch uint8

// Hatches.
const (
	NoHatch Hatch = iota
	Sponge        // dots: a base
	Rings         // small rings: a disc
	Mousse        // waves: a fill
	Dashes        // staggered dashes: a second fill
	Jelly         // rising diagonals: an insert, and a fill in it
	Cream         // falling diagonals: a second fill in an insert
	Strip         // horizontal lines: a band
	Crosses       // crosses: a spread
	Glaze         // fine upright lines: a coat
	Waiting       // sparse diagonals: waiting time
)

// tile is the figure of a hatch in one repeat.
type tile struct {
	name          string
	ground, line  string // fallback colours
	width, height float64
	stroke        float64
	lines         [][]Point
	dots          []dot
}

type dot struct {
	Point
	r float64
}

var tiles = [...]tile{
	Sponge: {name: "sponge", ground: "#efe3c4", line: "#8d7a45", width: 9, height: 9, dots: []dot{{Point{2.5, 2.5}, 1.3}, {Point{7, 7}, 1}}},
	Rings: {name: "disc", ground: "#e6d3b3", line: "#7a5f35", width: 10, height: 8, stroke: 0.9, lines: [][]Point{
		arc(nil, Point{2.5, 2}, 1.5, 0, 2*math.Pi, 10), arc(nil, Point{7.5, 6}, 1.5, 0, 2*math.Pi, 10),
	}},
	Mousse:  {name: "mousse", ground: "#fff8ec", line: "#cdb58b", width: 16, height: 8, stroke: 1, lines: [][]Point{wave(16, 4, 2, 16)}},
	Dashes:  {name: "cream", ground: "#f6efe6", line: "#a08f7c", width: 16, height: 8, stroke: 1, lines: [][]Point{{{1, 2}, {7, 2}}, {{9, 6}, {15, 6}}}},
	Jelly:   {name: "insert", ground: "#f3b877", line: "#a65a12", width: 9, height: 9, stroke: 1.4, lines: diagonals(9, false)},
	Cream:   {name: "insert-two", ground: "#f7dcae", line: "#9a7332", width: 9, height: 9, stroke: 1, lines: diagonals(9, true)},
	Strip:   {name: "band", ground: "#d9dfc4", line: "#5d6b32", width: 6, height: 6, stroke: 1.4, lines: [][]Point{{{0, 3}, {6, 3}}}},
	Crosses: {name: "spread", ground: "#e7cfae", line: "#6b4520", width: 8, height: 8, stroke: 1, lines: [][]Point{{{2, 2}, {6, 6}}, {{6, 2}, {2, 6}}}},
	Glaze:   {name: "coat", ground: "#e79a4b", line: "#b8661c", width: 3, height: 6, stroke: 0.7, lines: [][]Point{{{1.5, 0}, {1.5, 6}}}},
	Waiting: {name: "waiting", ground: "#f4f0e6", line: "#b9b1a3", width: 8, height: 8, stroke: 0.8, lines: diagonals(8, false)},
}

// wave returns one period of a wave about the height y.
func wave(period, y, amplitude float64, steps int) []Point {
	var p []Point
	for i := range steps + 1 {
		t := float64(i) / float64(steps)
		p = append(p, Point{period * t, y - amplitude*math.Sin(2*math.Pi*t)})
	}
	return p
}

// diagonals returns one line from corner to corner and its ends in the neighbouring repeats.
func diagonals(w float64, falling bool) [][]Point {
	lines := [][]Point{{{0, w}, {w, 0}}, {{-1, 1}, {1, -1}}, {{w - 1, w + 1}, {w + 1, w - 1}}}
	if falling {
		for _, l := range lines {
			for i := range l {
				l[i].Y = w - l[i].Y
			}
		}
	}
	return lines
}

// hatchFor returns the hatch of a layer. nth counts the fills before it, depth the inserts that
// it stands in.
func hatchFor(k assembly.Kind, nth, depth int) Hatch {
	switch k {
	case assembly.Base:
		return Sponge
	case assembly.Disc:
		return Rings
	case assembly.Insert:
		return Jelly
	case assembly.Fill:
		return [2][2]Hatch{{Mousse, Dashes}, {Jelly, Cream}}[min(depth, 1)][nth%2]
	case assembly.Band:
		return Strip
	case assembly.Spread:
		return Crosses
	case assembly.Coat:
		return Glaze
	}
	return NoHatch
}

// clipped returns the hatch's lines inside a figure, in repeats that start at the drawing's
// corner as an SVG pattern does, and its dots that lie wholly inside.
func (h Hatch) clipped(loops [][]Point) (lines [][2]Point, dots []dot) {
	t := tiles[h]
	x0, y0, x1, y1 := bounds(loops)
	edges := edgesOf(loops)
	for j := math.Floor(y0 / t.height); j*t.height < y1; j++ {
		rowLo, rowHi := j*t.height-1, (j+1)*t.height+1
		var near []edge // of this row
		for _, e := range edges {
			if min(e.a.Y, e.b.Y) <= rowHi && max(e.a.Y, e.b.Y) >= rowLo {
				near = append(near, e)
			}
		}
		for i := math.Floor(x0 / t.width); i*t.width < x1; i++ {
			at := Point{i * t.width, j * t.height}
			for _, l := range t.lines {
				for k := 1; k < len(l); k++ {
					lines = clip(lines, l[k-1].plus(at), l[k].plus(at), near)
				}
			}
			for _, d := range t.dots {
				c := d.plus(at)
				if inside(c, near) && farFrom(c, d.r, near) {
					dots = append(dots, dot{c, d.r})
				}
			}
		}
	}
	return lines, dots
}

func (p Point) plus(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

type edge struct{ a, b Point }

func edgesOf(loops [][]Point) []edge {
	var out []edge
	for _, l := range loops {
		for i := range l {
			out = append(out, edge{l[i], l[(i+1)%len(l)]})
		}
	}
	return out
}

func bounds(loops [][]Point) (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, l := range loops {
		for _, p := range l {
			x0, x1, y0, y1 = min(x0, p.X), max(x1, p.X), min(y0, p.Y), max(y1, p.Y)
		}
	}
	return x0, y0, x1, y1
}

// inside reports whether p lies in the figure by the even-odd rule, by a level ray to the right.
func inside(p Point, edges []edge) bool {
	in := false
	for _, e := range edges {
		if (e.a.Y > p.Y) != (e.b.Y > p.Y) && p.X < e.a.X+(p.Y-e.a.Y)/(e.b.Y-e.a.Y)*(e.b.X-e.a.X) {
			in = !in
		}
	}
	return in
}

// farFrom reports whether no edge comes closer to p than r.
func farFrom(p Point, r float64, edges []edge) bool {
	for _, e := range edges {
		dx, dy := e.b.X-e.a.X, e.b.Y-e.a.Y
		t := 0.0
		if l := dx*dx + dy*dy; l > 0 {
			t = max(0, min(1, ((p.X-e.a.X)*dx+(p.Y-e.a.Y)*dy)/l))
		}
		if math.Hypot(p.X-e.a.X-t*dx, p.Y-e.a.Y-t*dy) < r {
			return false
		}
	}
	return true
}

// clip appends the parts of the line from a to b that lie in the figure.
func clip(out [][2]Point, a, b Point, edges []edge) [][2]Point {
	ts := []float64{0, 1}
	dx, dy := b.X-a.X, b.Y-a.Y
	for _, e := range edges {
		ex, ey := e.b.X-e.a.X, e.b.Y-e.a.Y
		det := dx*ey - dy*ex
		if det == 0 {
			continue
		}
		t := ((e.a.X-a.X)*ey - (e.a.Y-a.Y)*ex) / det
		u := ((e.a.X-a.X)*dy - (e.a.Y-a.Y)*dx) / det
		if t > 0 && t < 1 && u >= 0 && u <= 1 {
			ts = append(ts, t)
		}
	}
	slices.Sort(ts)
	for i := 1; i < len(ts); i++ {
		t0, t1 := ts[i-1], ts[i]
		if mid := (t0 + t1) / 2; t1 > t0 && inside(Point{a.X + mid*dx, a.Y + mid*dy}, edges) {
			out = append(out, [2]Point{{a.X + t0*dx, a.Y + t0*dy}, {a.X + t1*dx, a.Y + t1*dy}})
		}
	}
	return out
}
