package heat

import (
	"fmt"
	"math"

	"chablon/material"
	"chablon/unit"
)

// Cell is what fills a cell of a Field at the start: which of its foods, how warm.
type Cell struct {
	Food  int
	Start unit.Temperature
}

// Field is a body of one or more foods, each where it lies and as warm as it is, whose temperatures
// Run follows. It is made by NewField and not changed by a run.
type Field struct {
	grid  Grid
	mesh  *mesh
	foods []*material.Table
	food  []int32   // of each cell
	heat  []float64 // of each cell at the start, J/m3
}

// NewField divides a body by a grid and asks fill for the food and temperature in the middle of every
// cell. Layers that end at an edge of the grid are met exactly (see Edges).
//
// Errors are *InputError and name the grid, the food or the temperature that cannot be used:
// temperatures between -120 and 200 degC, up to 200 000 cells.
func NewField(g Grid, foods []*material.Table, fill func(at Point) Cell) (*Field, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	if len(foods) == 0 {
		return nil, &InputError{"foods", "none", "give at least one"}
	}
	for i, t := range foods {
		if t == nil {
			return nil, &InputError{fmt.Sprintf("food %d", i), "without properties", "make its table"}
		}
	}
	if g.outline != nil {
		for _, z := range g.edges[2] {
			if a, b := g.outline(z); math.IsNaN(a) || math.IsNaN(b) || a < 0 {
				return nil, &InputError{"outline", fmt.Sprintf("%g to %g m at height %g mm", a, b, 1000*z), "give radii from 0 up"}
			}
		}
	}
	f := &Field{grid: g, mesh: g.mesh(), foods: foods}
	if !(f.mesh.whole > 0) {
		return nil, &InputError{"outline", "outside the grid", "let the grid cover the body"}
	}
	f.food = make([]int32, len(f.mesh.volume))
	f.heat = make([]float64, len(f.mesh.volume))
	var err error
	f.mesh.each(func(c int, i [3]int) {
		at := g.centre(i)
		x := fill(at)
		if err != nil {
			return
		}
		if x.Food < 0 || x.Food >= len(foods) {
			err = &InputError{"food", fmt.Sprintf("number %d", x.Food), fmt.Sprintf("choose from 0 to %d", len(foods)-1)}
			return
		}
		if err = checkTemperature(fmt.Sprintf("start at %g, %g, %g mm:", at.X.Millimetres(), at.Y.Millimetres(), at.Z.Millimetres()), x.Start); err != nil {
			return
		}
		f.food[c] = int32(x.Food)
		f.heat[c] = foods[x.Food].Heat(x.Start)
	})
	if err != nil {
		return nil, err
	}
	return f, nil
}

// Cells returns into how many cells the body is divided.
func (f *Field) Cells() int { return len(f.heat) }

// Mass returns the mass of the body.
func (f *Field) Mass() unit.Mass {
	sum := 0.0
	for c, v := range f.mesh.volume {
		sum += v * float64(f.foods[f.food[c]].Density())
	}
	return unit.Mass(sum)
}

// Resume returns the field as a run left it: another run goes on from there.
func (f *Field) Resume(s State) (*Field, error) {
	if len(s.heat) != len(f.heat) {
		return nil, &InputError{"state", fmt.Sprintf("of %d cells", len(s.heat)), fmt.Sprintf("take one of a run on this field, of %d", len(f.heat))}
	}
	next := *f
	next.heat = append([]float64(nil), s.heat...)
	return &next, nil
}

// refined returns the field with every cell halved along each direction; the parts keep food and
// temperature of the whole.
func (f *Field) refined() *Field {
	g := f.grid.refined()
	next := &Field{grid: g, mesh: g.mesh(), foods: f.foods}
	next.food = make([]int32, len(next.mesh.volume))
	next.heat = make([]float64, len(next.mesh.volume))
	next.mesh.each(func(c int, i [3]int) {
		parent := 0
		for d := range i {
			k := i[d]
			if g.divides(d) {
				k /= 2
			}
			parent += k * f.mesh.stride[d]
		}
		next.food[c], next.heat[c] = f.food[parent], f.heat[parent]
	})
	return next
}

// probe is a place between the middles of cells: which of them, with what weight.
type probe []struct {
	cell   int
	weight float64
}

// probe returns the weights for a place. Towards a plane or an axis of symmetry the temperature is
// taken as a parabola, elsewhere as straight; outside the outermost middles as that of the cell.
func (f *Field) probe(at Point) probe {
	p := probe{{0, 1}}
	for d, x := range [3]float64{float64(at.X), float64(at.Y), float64(at.Z)} {
		e, n := f.grid.edges[d], f.mesh.n[d]
		if n == 1 || !f.grid.divides(d) {
			continue
		}
		mid := func(i int) float64 { return (e[i] + e[i+1]) / 2 }
		i := 0
		for i+2 < n && mid(i+1) <= x {
			i++
		}
		part := math.Max(0, math.Min(1, (x-mid(i))/(mid(i+1)-mid(i))))
		mirrored := f.grid.mirrored(d) || (f.grid.kind == discGrid || f.grid.kind == ballGrid) && d == 0 && e[0] == 0
		if i == 0 && mirrored && x < mid(0) {
			a, b, y := mid(0)-e[0], mid(1)-e[0], math.Max(0, x-e[0])
			part = (y*y - a*a) / (b*b - a*a)
		}
		var next probe
		for _, q := range p {
			low := q
			low.cell += i * f.mesh.stride[d]
			low.weight *= 1 - part
			high := low
			high.cell += f.mesh.stride[d]
			high.weight = q.weight * part
			next = append(next, low, high)
		}
		p = next
	}
	// Cells outside the body have no say.
	var inside probe
	sum := 0.0
	for _, q := range p {
		if q.weight != 0 && f.mesh.volume[q.cell] > 0 {
			inside = append(inside, q)
			sum += q.weight
		}
	}
	if len(inside) == 0 || math.Abs(sum) < 1e-6 {
		return nil
	}
	for i := range inside {
		inside[i].weight /= sum
	}
	return inside
}
