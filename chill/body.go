package chill

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"chablon/assembly"
	"chablon/formula"
	"chablon/heat"
	"chablon/material"
	"chablon/mould"
	"chablon/unit"
)

// Body is a laid piece as the field solver takes it: its section divided into cells, each layer of
// its own food and at its own temperature.
type Body struct {
	Notes   []string // what of the piece is simplified
	section *assembly.Section
	inside  []inside
	foods   []*material.Table
	names   []string // of the foods, each with its density
	called  []string // the same, as the cook calls them
	round   bool     // solved as turned
	portion Portion  // zero for a whole piece
}

// inside is a layer with a region, or one of an insert, with its place in the piece.
type inside struct {
	layer  *assembly.Placed
	food   int
	start  unit.Temperature
	z0, z1 unit.Length
	lift   unit.Length // of the insert's own mould over the piece's
	turned bool        // the insert stands on its rim
	height unit.Length // of the insert
	rank   int         // bodies come before fills
}

// Start says how warm a layer is when the piece goes in.
type Start func(l *assembly.Placed) unit.Temperature

// At returns a Start of one temperature for all layers but frozen inserts, which are at another.
func At(fresh, frozen unit.Temperature) Start {
	return func(l *assembly.Placed) unit.Temperature {
		if l.Kind == assembly.Insert {
			return frozen
		}
		return fresh
	}
}

// NewBody divides a laid piece. Round pieces are solved in (r, z), rectangular ones as a quarter of
// a box; any other outline is taken as the round piece of the same area and height, which a note
// says. It returns an error where a component's composition is not known well enough, or the
// piece has no height.
func NewBody(s *assembly.Section, start Start) (*Body, error) {
	if s.Top <= 0 {
		return nil, errors.New("the piece has no height")
	}
	b := &Body{section: s}
	if err := b.collect(s, 0, false, 0, start, -1); err != nil {
		return nil, err
	}
	if len(b.inside) == 0 {
		return nil, errors.New("the piece has no layer that freezes")
	}
	slices.SortStableFunc(b.inside, func(x, y inside) int { return cmp.Compare(x.rank, y.rank) })
	rim := s.Mould.Solid.At(s.Top)
	switch _, log := s.Mould.Solid.(*mould.Log); {
	case log:
		b.Notes = append(b.Notes, "a log is taken as a bar of the same section")
	case rim.IsCircle():
		b.round = true
	case !rim.IsRectangle():
		b.round = true
		b.Notes = append(b.Notes, "its outline is taken as a circle of the same area")
	}
	return b, nil
}

// collect lists the layers that take room, those of inserts in their places.
func (b *Body) collect(s *assembly.Section, lift unit.Length, turned bool, height unit.Length, start Start, frozen float64) error {
	for i := range s.Layers {
		l := &s.Layers[i]
		if l.Region.Empty() && l.Inside == nil || l.Kind == assembly.Coat && !l.Flooded() {
			continue
		}
		at := start(l)
		if frozen > -1 {
			at = unit.Temperature(frozen - 300)
		}
		if l.Inside != nil {
			if err := b.collect(l.Inside, lift+l.Z0, l.TurnedOver, l.Z1-l.Z0, start, float64(at)+300); err != nil {
				return err
			}
			continue
		}
		food, err := b.food(l)
		if err != nil {
			return err
		}
		x := inside{layer: l, food: food, start: at, z0: l.Z0, z1: l.Z1, lift: lift, turned: turned, height: height, rank: 1}
		switch l.Kind {
		case assembly.Fill, assembly.Coat:
			x.rank = 2
		}
		if height > 0 {
			x.rank = 0 // an insert's layers lie in a fill
			if l.Kind == assembly.Fill {
				x.rank = 1
			}
		}
		b.inside = append(b.inside, x)
	}
	return nil
}

// food returns the number of a layer's food.
func (b *Body) food(l *assembly.Placed) (int, error) {
	id := fmt.Sprintf("%s at %.6g", l.Of.ID(), float64(l.Density))
	if i := slices.Index(b.names, id); i >= 0 {
		return i, nil
	}
	var c material.Composition
	switch {
	case l.Of.Formula != nil:
		c = l.Of.Formula.Composition()
	case l.Of.Ingredient != nil:
		c = l.Of.Ingredient.Composition
	}
	f, err := foodOf(l.Of.Name(), c, l.Density)
	if err != nil {
		return 0, err
	}
	table, err := f.table()
	if err != nil {
		return 0, fmt.Errorf("%s: %w", l.Of.Name(), err)
	}
	b.foods, b.names, b.called = append(b.foods, table), append(b.names, id), append(b.called, l.Of.Name())
	return len(b.foods) - 1, nil
}

// at returns what lies at a distance from the axis and a height: the first layer that holds the
// place, else the layer nearest to it.
func (b *Body) at(r, z unit.Length) heat.Cell {
	nearest, off := 0, unit.Length(math.Inf(1))
	for i := range b.inside {
		x := &b.inside[i]
		own := z - x.lift
		if x.turned {
			own = x.height - own
		}
		for _, region := range [2]assembly.Region{x.layer.Region, x.layer.Core} {
			in, out, ok := region.At(own)
			if !ok {
				continue
			}
			if r >= in && r <= out {
				return heat.Cell{Food: x.food, Start: x.start}
			}
			if d := max(in-r, r-out); d < off {
				nearest, off = i, d
			}
		}
	}
	return heat.Cell{Food: b.inside[nearest].food, Start: b.inside[nearest].start}
}

// field divides the piece, or the portion.
func (b *Body) field(cell unit.Length) (*heat.Field, error) {
	switch {
	case b.portion.Wedges > 0:
		return b.wedge(cell, b.portion.Wedges)
	case b.round:
		return b.turned(cell)
	}
	return b.rectangle(cell, b.portion)
}

// Conducting returns the piece with the conductivity of all its foods times a factor, such as a calibration
// gives, above 0.
func (b *Body) Conducting(factor float64) (*Body, error) {
	if !(factor >= 0.05 && factor <= 20) {
		return nil, fmt.Errorf("conductivity times %g: give a factor from 0.05 to 20", factor)
	}
	next := *b
	next.foods = make([]*material.Table, len(b.foods))
	for i, t := range b.foods {
		next.foods[i] = t.Conducting(factor)
	}
	return &next, nil
}

// turned divides a round piece, or one of another outline as the round one of its area.
func (b *Body) turned(cell unit.Length) (*heat.Field, error) {
	g, fill := b.turnedGrid(cell)
	return heat.NewField(g, b.foods, fill)
}

// turnedGrid returns the grid of a round piece and what fills it.
func (b *Body) turnedGrid(cell unit.Length) (heat.Grid, func(heat.Point) heat.Cell) {
	s := b.section
	solid, top := s.Mould.Solid, s.Top
	scale := unit.Length(1)
	if o := solid.At(top); !o.IsCircle() {
		scale = unit.Length(math.Sqrt(float64(o.Area())/math.Pi)) / o.HalfWidth()
	}
	outline := func(z unit.Length) (unit.Length, unit.Length) {
		o := solid.At(z)
		return o.Hole / 2, o.HalfWidth() * scale
	}
	zs := b.stops(top)
	inner, outer := outline(top)
	upright := true
	for _, z := range append(solid.Breaks(), zs...) {
		if z > top {
			continue
		}
		i, o := outline(min(z, top-1e-9))
		upright = upright && math.Abs(float64(i-inner)) < 1e-7 && math.Abs(float64(o-outer)) < 1e-7
		inner, outer = min(inner, i), max(outer, o)
	}
	fill := func(p heat.Point) heat.Cell { return b.at(p.X/scale, p.Z) }
	if upright {
		rs := []unit.Length{inner}
		for i := range b.inside {
			for _, r := range append(slices.Clone(b.inside[i].layer.Region.In), b.inside[i].layer.Region.Out...) {
				rs = append(rs, r*scale)
			}
		}
		rs = append(rs, outer)
		return heat.DiscGrid(heat.Edges(cell, merged(rs, inner, outer, cell/3)...), heat.Edges(cell, zs...)), fill
	}
	return heat.TurnedGrid(heat.Edges(cell, inner, outer), heat.Edges(cell, zs...), outline), fill
}

// stops are the heights of the layers' faces.
func (b *Body) stops(top unit.Length) []unit.Length {
	zs := []unit.Length{0, top}
	for i := range b.inside {
		x := &b.inside[i]
		z0, z1 := x.z0, x.z1
		if x.turned {
			z0, z1 = x.height-x.z1, x.height-x.z0
		}
		zs = append(zs, x.lift+z0, x.lift+z1)
	}
	return merged(zs, 0, top, 0.5*unit.Millimetre)
}

// merged sorts stops, keeps those within bounds and leaves out what lies nearer than a distance to
// the one before; the bounds themselves stay.
func merged(list []unit.Length, low, high, apart unit.Length) []unit.Length {
	slices.Sort(list)
	out := []unit.Length{low}
	for _, x := range list {
		if x > out[len(out)-1]+apart && x < high-apart {
			out = append(out, x)
		}
	}
	return append(out, high)
}

// leastCells is into how many cells half of a portion is divided at least.
const leastCells = 3

// rectangle divides a quarter of a rectangular piece, or of a portion from its middle; a log as a bar of the same
// section.
func (b *Body) rectangle(cell unit.Length, p Portion) (*heat.Field, error) {
	s := b.section
	o := s.Mould.Solid.At(s.Top)
	w, d := o.Width/2, o.Depth/2
	if _, log := s.Mould.Solid.(*mould.Log); log {
		w = unit.Length(float64(s.Mould.Solid.Below(s.Top)) / float64(s.Top*o.Depth) / 2)
	}
	narrow := func(p heat.Point) unit.Length { // as far from the wall as the nearer of the two sides
		return max(p.X, p.Y-(d-w))
	}
	wide, deep := w, d // of the portion
	if p.Width > 0 {
		wide = min(wide, p.Width/2)
	}
	if p.Depth > 0 {
		deep = min(deep, p.Depth/2)
	}
	xs := []unit.Length{0, wide}
	for i := range b.inside {
		xs = append(xs, b.inside[i].layer.Region.Out...)
	}
	edges := heat.Edges(min(cell, wide/leastCells), merged(xs, 0, wide, cell/3)...)
	ys := heat.Edges(min(max(cell, deep/24), deep/leastCells), 0, deep)
	if wide == w && deep == d && d-w > cell { // the same layers as seen from the side
		ys = heat.Edges(max(cell, (d-w)/8), 0, d-w)
		for _, x := range edges[1:] {
			ys = append(ys, d-w+x)
		}
	}
	return heat.NewField(heat.BoxGrid(edges, ys, heat.Edges(cell, b.stops(s.Top)...), true), b.foods, func(p heat.Point) heat.Cell { return b.at(narrow(p), p.Z) })
}

// Plain is a section of one food filled into a mould up to a height: an insert that is not an
// assembly of its own, or a base for trying out a freezer.
func Plain(f *formula.Formula, m *mould.Mould, height unit.Length) *assembly.Section {
	a := &assembly.Assembly{ID: f.ID, Name: f.Name, Mould: m, Layers: []assembly.Layer{
		{ID: "fill", Name: f.Name, Kind: assembly.Fill, Of: assembly.Component{Formula: f}, Level: assembly.At(height)},
	}}
	return a.Lay(m)
}
