package chill

import (
	"cmp"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"slices"
	"sync"
	"time"

	"chablon/assembly"
	"chablon/formula"
	"chablon/heat"
	"chablon/kitchen"
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
	names   []string
	field   func(cell unit.Length) (*heat.Field, error)
	round   bool
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
		b.field = b.box
	case rim.IsCircle():
		b.round = true
		b.field = b.turned
	case rim.IsRectangle():
		b.field = b.box
	default:
		b.round = true
		b.Notes = append(b.Notes, "its outline is taken as a circle of the same area")
		b.field = b.turned
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
	airless, ok := c.Density(20)
	if !ok {
		return 0, fmt.Errorf("the composition of %s is not known well enough to say how it freezes", l.Of.Name())
	}
	air := 0.0
	if l.Density.Known() && l.Density < airless {
		air = min(0.95, 1-float64(l.Density/airless))
	}
	table, err := tableOf(c, air)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", l.Of.Name(), err)
	}
	b.foods, b.names = append(b.foods, table), append(b.names, id)
	return len(b.foods) - 1, nil
}

// tables are remembered by what they are made of: a table takes longer to make than a piece to
// solve.
var (
	tablesMu sync.Mutex // guards tables
	tables   = map[foodKey]*material.Table{}
)

type foodKey struct {
	c   material.Composition
	air float64
}

const mostTables = 256

func tableOf(c material.Composition, air float64) (*material.Table, error) {
	key := foodKey{c, air}
	tablesMu.Lock()
	t := tables[key]
	tablesMu.Unlock()
	if t != nil {
		return t, nil
	}
	thermal, err := c.Thermal(air)
	if err != nil {
		return nil, err
	}
	if t, err = thermal.Table(); err != nil {
		return nil, err
	}
	tablesMu.Lock()
	defer tablesMu.Unlock()
	if len(tables) >= mostTables {
		clear(tables)
	}
	tables[key] = t
	return t, nil
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
			in, out, ok := stretch(region, own)
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

// stretch returns a region's stretch at a height.
func stretch(r assembly.Region, z unit.Length) (in, out unit.Length, ok bool) {
	for i := 1; i < len(r.Z); i++ {
		z0, z1 := r.Z[i-1], r.Z[i]
		if z < z0 || z > z1 || z1 <= z0 {
			continue
		}
		t := (z - z0) / (z1 - z0)
		in, out = r.In[i-1]+t*(r.In[i]-r.In[i-1]), r.Out[i-1]+t*(r.Out[i]-r.Out[i-1])
		if out > in {
			return in, out, true
		}
	}
	return 0, 0, false
}

// turned divides a round piece, or one of another outline as the round one of its area.
func (b *Body) turned(cell unit.Length) (*heat.Field, error) {
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
		return heat.NewField(heat.DiscGrid(heat.Edges(cell, merged(rs, inner, outer, cell/3)...), heat.Edges(cell, zs...)), b.foods, fill)
	}
	return heat.NewField(heat.TurnedGrid(heat.Edges(cell, inner, outer), heat.Edges(cell, zs...), outline), b.foods, fill)
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

// box divides a quarter of a rectangular piece; a log as a bar of the same section.
func (b *Body) box(cell unit.Length) (*heat.Field, error) {
	s := b.section
	o := s.Mould.Solid.At(s.Top)
	w, d := o.Width/2, o.Depth/2
	if _, log := s.Mould.Solid.(*mould.Log); log {
		w = unit.Length(float64(s.Mould.Solid.Below(s.Top)) / float64(s.Top*o.Depth) / 2)
	}
	narrow := func(p heat.Point) unit.Length { // as far from the wall as the nearer of the two sides
		return max(p.X, p.Y-(d-w))
	}
	xs := []unit.Length{0, w}
	for i := range b.inside {
		xs = append(xs, b.inside[i].layer.Region.Out...)
	}
	edges := heat.Edges(cell, merged(xs, 0, w, cell/3)...)
	ys := heat.Edges(max(cell, d/24), 0, d)
	if d-w > cell && d > w { // the same layers as seen from the side
		ys = heat.Edges(max(cell, (d-w)/8), 0, d-w)
		for _, x := range edges[1:] {
			ys = append(ys, d-w+x)
		}
	}
	return heat.NewField(heat.BoxGrid(edges, ys, heat.Edges(cell, b.stops(s.Top)...), true), b.foods, func(p heat.Point) heat.Cell { return b.at(narrow(p), p.Z) })
}

// stage returns what stands around a piece in a place: bare above, the mould's wall round it, a
// tray below, under which the air moves half as freely (common practice, no source). An inverted
// piece stands in its mould all the same; unmoulded says that the mould is off.
func (b *Body) stage(from time.Duration, e kitchen.Equipment, h unit.HeatTransfer, unmoulded bool) heat.Stage {
	bare := heat.Boundary{Air: e.Setting, Transfer: h}
	if unmoulded && e.Setting > 0 {
		bare.Humidity = heat.Refrigerator.Humidity // what settles on a frozen piece warms it
	}
	st := heat.Around(from, bare)
	st.Bottom.Transfer, st.Bottom.Humidity = h/2, 0
	if m := b.section.Mould; !unmoulded && m.Wall > 0 {
		for _, w := range heat.Walls() {
			if w.Name == m.Material {
				cover := heat.Cover{Thickness: m.Wall, Conductivity: w.Conductivity}
				st.Side.Covers = append(st.Side.Covers, cover)
				st.Bore.Covers = append(st.Bore.Covers, cover)
				if !m.OpenBottom {
					st.Bottom.Covers = append(st.Bottom.Covers, cover)
				}
			}
		}
	}
	return st
}

// Answer is what becomes of a piece in a place.
type Answer struct {
	Wait
	Reached bool
	Reason  string // why it is never reached
	Run     heat.Run
	Quick   time.Duration // by the quick estimate, zero if it has no answer
	Cells   int
	Notes   []string

	removed float64
}

// Precision says how fine the field is: the size of a cell, and the grid error that is aimed at;
// zero takes the cells as they are.
type Precision struct {
	Cell      unit.Length
	GridError float64
}

// Precisions: Planning is for the chain that follows an edit, Stated for an answer that says its own
// error.
var (
	Planning = Precision{Cell: 6 * unit.Millimetre}
	Stated   = Precision{Cell: 5 * unit.Millimetre, GridError: 0.01}
)

// Freeze solves how long a piece takes until it is solid enough to unmould and glaze: until its
// warmest place is at −15 °C, or 3 K over the air of a warmer freezer. That is the core, unless a
// frozen insert lies there. Its range is that of the surface coefficient, which is the
// largest doubt; the two ends are solved too if the precision states an error, else they follow
// the quick estimate.
func (b *Body) Freeze(ctx context.Context, in kitchen.Equipment, p Precision) (Answer, error) {
	target := max(unmouldCore, in.Setting+margin)
	if in.HasSetting && target > warmest {
		return Answer{Reason: fmt.Sprintf("never solid enough to unmould in %s: take a freezer at −13 °C or colder", placeName(in)), Wait: Wait{Place: placeName(in)}}, nil
	}
	return b.solve(ctx, in, p, heat.WarmestBelow(target), "warmest place inside at "+target.Show(), target, false)
}

// Chill solves how long it takes until its warmest place is at 5 °C, or 1 K over a warmer air.
func (b *Body) Chill(ctx context.Context, in kitchen.Equipment, p Precision) (Answer, error) {
	target := max(chilledCore, in.Setting+closeMargin)
	return b.solve(ctx, in, p, heat.WarmestBelow(target), "warmest place at "+target.Show(), target, true)
}

// Thaw solves how long the frozen, unmoulded piece takes until no place in it is colder than a
// temperature.
func (b *Body) Thaw(ctx context.Context, in kitchen.Equipment, core unit.Temperature, p Precision) (Answer, error) {
	return b.solve(ctx, in, p, heat.ColdestAbove(core), "coldest place inside at "+core.Show(), core, true)
}

func (b *Body) solve(ctx context.Context, in kitchen.Equipment, p Precision, until heat.Criterion, words string, target unit.Temperature, unmoulded bool) (Answer, error) {
	_, h, err := surroundings(in)
	if err != nil {
		return Answer{}, err
	}
	low, high := b.doubt(in, h)
	out := Answer{Notes: b.Notes, Wait: Wait{Criterion: words, Place: placeName(in), Method: "heat equation on its section"}}
	run := func(h unit.HeatTransfer, fine bool) (heat.Run, error) {
		f, err := b.field(p.Cell)
		if err != nil {
			return heat.Run{}, err
		}
		out.Cells = f.Cells()
		o := heat.Options{GridError: p.GridError, Tolerance: 0.02}
		stages := []heat.Stage{b.stage(0, in, h, unmoulded)}
		if fine && p.GridError > 0 {
			return f.Solve(ctx, stages, until, o)
		}
		r, err := f.Run(ctx, stages, until, o)
		if err == nil && out.removed == 0 {
			out.removed = f.Removed(r.Final)
		}
		return r, err
	}
	if out.Run, err = run(h, true); err != nil {
		return out, err
	}
	switch out.Run.Status {
	case heat.Reached:
		out.Reached = true
	case heat.Never:
		out.Reason = out.Run.Reason
		return out, nil
	default:
		out.Reason = "not within two weeks"
		return out, nil
	}
	out.Time, out.Low, out.High = out.Run.Time, out.Run.Time, out.Run.Time
	if p.GridError > 0 {
		for _, end := range []struct {
			h  unit.HeatTransfer
			to *time.Duration
		}{{high, &out.Low}, {low, &out.High}} {
			r, err := run(end.h, false)
			if err != nil {
				return out, err
			}
			if r.Status == heat.Reached {
				*end.to = r.Time
			}
		}
	} else { // a piece is slowed by its own depth too: its time goes with about three quarters of 1/h
		out.Low = time.Duration(float64(out.Time) * math.Pow(float64(h/high), 0.75))
		out.High = time.Duration(float64(out.Time) * math.Pow(float64(h/low), 0.75))
	}
	const model = 0.10 // of properties and of what the model leaves out; our judgement
	out.Low = time.Duration(float64(out.Low) * (1 - model))
	out.High = time.Duration(float64(out.High) * (1 + model))
	return out, nil
}

// doubt returns the ends of the range of the surface coefficient.
func (b *Body) doubt(in kitchen.Equipment, h unit.HeatTransfer) (low, high unit.HeatTransfer) {
	if in.Transfer > 0 { // measured in this kitchen
		return h * 0.85, h * 1.15
	}
	for _, s := range heat.AllSurroundings() {
		if s.Default == h {
			return s.Low, s.High
		}
	}
	return h * 0.7, h * 1.3
}

// Heat returns the heat that the run took out of the piece, J.
func (a *Answer) Heat() float64 { return a.removed }

// Plain is a section of one food filled into a mould up to a height: an insert that is not an
// assembly of its own, or a base for trying out a freezer.
func Plain(f *formula.Formula, m *mould.Mould, height unit.Length) *assembly.Section {
	a := &assembly.Assembly{ID: f.ID, Name: f.Name, Mould: m, Layers: []assembly.Layer{
		{ID: "fill", Name: f.Name, Kind: assembly.Fill, Of: assembly.Component{Formula: f}, Level: assembly.At(height)},
	}}
	return a.Lay(m)
}

// Key identifies a body in a place by everything that an answer depends on.
func (b *Body) Key(in kitchen.Equipment, question string) string {
	h := fnv.New128a()
	number := func(list ...float64) {
		var buf [8]byte
		for _, x := range list {
			binary.LittleEndian.PutUint64(buf[:], math.Float64bits(x))
			h.Write(buf[:])
		}
	}
	fmt.Fprintf(h, "%s %s %s %s %s ", question, in.Kind, in.Air, b.section.Mould.Material, placeName(in))
	number(float64(in.Setting), in.Transfer, float64(b.section.Top), float64(b.section.Mould.Wall))
	for z := 0; z <= 16; z++ {
		o := b.section.Mould.Solid.At(b.section.Top * unit.Length(z) / 16)
		number(float64(o.Width), float64(o.Depth), float64(o.Hole), float64(o.Area()))
	}
	for i := range b.inside {
		x := &b.inside[i]
		number(float64(x.food), float64(x.start), float64(x.lift), float64(x.height), float64(x.rank))
		for _, r := range [2]assembly.Region{x.layer.Region, x.layer.Core} {
			for k := range r.Z {
				number(float64(r.Z[k]), float64(r.In[k]), float64(r.Out[k]))
			}
		}
	}
	for _, f := range b.foods {
		number(float64(f.Density()), f.WaterFraction())
		for _, t := range []unit.Temperature{-30, -15, -5, -2, 0, 20} {
			heat := f.Heat(t)
			_, _, k, _ := f.At(heat)
			number(heat, k)
		}
	}
	return string(h.Sum(nil))
}
