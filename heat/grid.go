package heat

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Point is a place in a Field. In a turned body X is the distance from the axis and Y is not used, nor in a
// wedge, where every place is named by its mirror image in the wedge's own plane of symmetry; in a slab only Z counts, in a ball only X. Z is the height.
type Point struct{ X, Y, Z unit.Length }

// Grid divides a body into cells. It is made by SlabGrid, DiscGrid, BallGrid, TurnedGrid or BoxGrid and
// checked by NewField.
type Grid struct {
	kind    gridKind
	edges   [3][]float64 // X, Y, Z, m
	outline func(z float64) (inner, outer float64)
}

type gridKind uint8

const (
	slabGrid gridKind = iota
	discGrid
	ballGrid
	boxGrid
	quarterGrid
	wedgeGrid // of a disc, half of it: Y is the angle from the plane of symmetry, in radians
)

// SlabGrid is a body that exchanges heat only through its Bottom and Top, of one square metre; z are
// the heights of its cells' edges.
func SlabGrid(z []unit.Length) Grid {
	return Grid{slabGrid, [3][]float64{{0, 1}, {0, 1}, metres(z)}, nil}
}

// DiscGrid is a round body: r are the distances of the cells' edges from the axis, z their heights.
// From a first r above 0 it has a hole, whose wall is the Bore.
func DiscGrid(r, z []unit.Length) Grid {
	return Grid{discGrid, [3][]float64{metres(r), {0, 1}, metres(z)}, nil}
}

// BallGrid is a ball that exchanges heat through its Side; r are the distances of its shells from the
// middle. From a first r above 0 it is hollow, and the wall inside is the Bore.
func BallGrid(r []unit.Length) Grid {
	return Grid{ballGrid, [3][]float64{metres(r), {0, 1}, {0, 1}}, nil}
}

// TurnedGrid is a round body whose wall is not upright, such as a dome: outline gives its inner and
// outer radius at a height. Cells that the outline crosses are filled in part; their curved
// surface is Side where the outer radius cuts, Bore where the inner does. Bottom and Top are the
// flat ends at the first and last z. Volume and surface follow the outline to second order.
func TurnedGrid(r, z []unit.Length, outline func(z unit.Length) (inner, outer unit.Length)) Grid {
	return Grid{discGrid, [3][]float64{metres(r), {0, 1}, metres(z)}, func(z float64) (float64, float64) {
		a, b := outline(unit.Length(z))
		return float64(a), float64(b)
	}}
}

// BoxGrid is a body with square edges. Where quarter is true, x and y start in its two planes of
// symmetry, through which no heat flows; else all four walls are Side.
func BoxGrid(x, y, z []unit.Length, quarter bool) Grid {
	kind := boxGrid
	if quarter {
		kind = quarterGrid
	}
	return Grid{kind, [3][]float64{metres(x), metres(y), metres(z)}, nil}
}

// WedgeGrid is one of equal parts into which a turned body is cut through its axis, as a cake is: between 2
// and 64. Half of the wedge is divided, by angles cells between its plane of symmetry and the cut face,
// which is Side like the wall; the other half is its mirror image. g is a grid of DiscGrid or TurnedGrid.
// Other grids and numbers are an *InputError.
func WedgeGrid(g Grid, parts, angles int) (Grid, error) {
	switch {
	case g.kind != discGrid:
		return Grid{}, &InputError{"wedge", "of a body that is not round", "cut a disc or a turned body"}
	case parts < 2 || parts > 64:
		return Grid{}, &InputError{"wedge", fmt.Sprintf("one of %d parts", parts), "cut into 2 to 64"}
	case angles < 1 || angles > 1000:
		return Grid{}, &InputError{"wedge", fmt.Sprintf("%d cells of its angle", angles), "give 1 to 1000"}
	}
	g.kind = wedgeGrid
	g.edges[1] = make([]float64, angles+1)
	for i := range g.edges[1] {
		g.edges[1][i] = math.Pi / float64(parts) * float64(i) / float64(angles)
	}
	return g, nil
}

// round reports whether X is a distance from an axis.
func (g Grid) round() bool { return g.kind == discGrid || g.kind == wedgeGrid }

// Edges returns cell edges through all stops, which must rise: between two of them equal cells, as few
// as keep each at or below size. It panics on fewer than two stops, stops that do not rise, or no size.
func Edges(size unit.Length, stops ...unit.Length) []unit.Length {
	if len(stops) < 2 || !(size > 0) {
		panic("heat: edges need two stops and a size")
	}
	out := []unit.Length{stops[0]}
	for i, to := range stops[1:] {
		from := stops[i]
		if !(to > from) {
			panic("heat: stops of edges must rise")
		}
		n := math.Ceil(float64((to-from)/size) - 1e-9)
		for k := 1.0; k < n; k++ {
			out = append(out, from+unit.Length(k/n)*(to-from))
		}
		out = append(out, to)
	}
	return out
}

// Graded returns n cell edges from 0 to length whose cells shrink evenly towards length, the last
// being the part ratio (0 to 1) of the first: fine at a surface, coarse in the middle.
func Graded(length unit.Length, n int, ratio float64) []unit.Length {
	if n < 1 || !(ratio > 0 && ratio <= 1) || !(length > 0) {
		panic("heat: graded edges need a length, a cell and a ratio from 0 to 1")
	}
	step := 1.0
	if n > 1 {
		step = math.Pow(ratio, 1/float64(n-1))
	}
	out, size, sum := make([]unit.Length, n+1), 1.0, 0.0
	for i := range n {
		sum += size
		out[i+1] = unit.Length(sum)
		size *= step
	}
	for i := range out {
		out[i] *= length / unit.Length(sum)
	}
	return out
}

func metres(l []unit.Length) []float64 {
	out := make([]float64, len(l))
	for i, x := range l {
		out[i] = float64(x)
	}
	return out
}

// mostCells keeps a run within seconds.
const mostCells = 200_000

func (g Grid) check() error {
	cells := 1
	for d, name := range [...]string{"x", "y", "z"} {
		e := g.edges[d]
		if (g.round() || g.kind == ballGrid) && d == 0 {
			name = "r"
		}
		if len(e) < 2 {
			return &InputError{"grid " + name, fmt.Sprintf("%d edges", len(e)), "give at least two"}
		}
		for i, x := range e {
			if !(math.Abs(x) <= 5) {
				return &InputError{"grid " + name, fmt.Sprintf("edge at %g mm", 1000*x), "give lengths up to 5 m"}
			}
			if i > 0 && !(x-e[i-1] >= 1e-6) {
				return &InputError{"grid " + name, fmt.Sprintf("edge at %g mm after %g mm", 1000*x, 1000*e[i-1]), "let edges rise by at least 0.001 mm"}
			}
		}
		cells *= len(e) - 1
	}
	if (g.round() || g.kind == ballGrid) && g.edges[0][0] < 0 {
		return &InputError{"grid r", fmt.Sprintf("edge at %g mm", 1000*g.edges[0][0]), "count radii from the axis"}
	}
	if cells > mostCells {
		return &InputError{"grid", fmt.Sprintf("%d cells", cells), fmt.Sprintf("take up to %d: larger cells, or a quarter of a body that is symmetrical", mostCells)}
	}
	return nil
}

// refined returns the grid with every cell halved along each direction that counts.
func (g Grid) refined() Grid {
	for d := range g.edges {
		if !g.divides(d) {
			continue
		}
		e := g.edges[d]
		fine := make([]float64, 0, 2*len(e)-1)
		for i, x := range e {
			if i > 0 {
				fine = append(fine, (e[i-1]+x)/2)
			}
			fine = append(fine, x)
		}
		g.edges[d] = fine
	}
	return g
}

// divides reports whether a direction is one along which heat flows.
func (g Grid) divides(d int) bool {
	switch g.kind {
	case slabGrid:
		return d == 2
	case ballGrid:
		return d == 0
	case discGrid:
		return d != 1
	}
	return true
}

// centre returns the middle of a cell.
func (g Grid) centre(i [3]int) Point {
	mid := func(d int) unit.Length { return unit.Length(g.edges[d][i[d]]+g.edges[d][i[d]+1]) / 2 }
	return g.within(Point{mid(0), mid(1), mid(2)})
}

// within returns p without the directions that do not count.
func (g Grid) within(p Point) Point {
	for d, x := range [...]*unit.Length{&p.X, &p.Y, &p.Z} {
		if !g.divides(d) || g.kind == wedgeGrid && d == 1 {
			*x = 0
		}
	}
	return p
}

// middle returns the place farthest from the surface of the whole grid: on the axis or in the middle
// of the wall of a body with a hole, in a wedge where a circle touches wall and cut faces; halfway up.
func (g Grid) middle() Point {
	span := func(d int) unit.Length { e := g.edges[d]; return unit.Length(e[0]+e[len(e)-1]) / 2 }
	p := Point{span(0), span(1), span(2)}
	switch g.kind {
	case discGrid, ballGrid:
		if g.edges[0][0] == 0 {
			p.X = 0
		}
	case wedgeGrid:
		in, out := g.edges[0][0], g.edges[0][len(g.edges[0])-1]
		half := g.edges[1][len(g.edges[1])-1]
		p.X = unit.Length(math.Max(out/(1+math.Sin(half)), (in+out)/2))
	case quarterGrid:
		p.X, p.Y = unit.Length(g.edges[0][0]), unit.Length(g.edges[1][0])
	}
	return g.within(p)
}
