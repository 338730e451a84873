package assembly

import (
	"chablon/mould"
)

// Evaluator lays one assembly into one mould again and again with figures that differ a little
// each time: the piece as it may come out, not as it is written. It runs the same code as Lay
// without drawing and without looking for what does not fit. It keeps its room between calls, so
// that it is not safe for concurrent use: give each goroutine its own.
type Evaluator struct {
	section *Section
	place   placement
	written []Layer      // as they are in this mould
	nominal mould.Solid  // of the mould as written
	inside  []*Evaluator // by layer: of an insert that is an assembly of its own
	bare    []Placed
	first   int // index of this assembly's first layer among the sites
	sites   int
	number  int // of this mould among those of the assembly and its inserts
	moulds  int
}

// Variation is how one piece differs from what is written, as factors: one means no difference.
// Layers has one entry for each of Evaluator.Sites, and Moulds one for each of Evaluator.Moulds;
// shorter lists leave the rest as it is.
type Variation struct {
	Layers []LayerFactors
	Moulds []MouldFactors
}

// LayerFactors are the factors of one layer. A factor of zero counts as one.
type LayerFactors struct {
	Thickness float64 // of a body, a spread or a band; of an unflooded coat, its film
	Density   float64
	Amount    float64 // of a soak, a fill, a flooded coat and a counted décor
}

// MouldFactors are the factors of one mould. A factor of zero counts as one.
type MouldFactors struct{ Across, Up float64 }

// Site is a layer of the assembly, or of an insert in it, that may vary.
type Site struct {
	Section *Section // as written
	Layer   *Placed
}

// Compile prepares an assembly for being laid into a mould many times.
func (a *Assembly) Compile(m *mould.Mould) *Evaluator {
	e := compile(a, m, 0)
	e.count(0, 0)
	return e
}

func compile(a *Assembly, m *mould.Mould, depth int) *Evaluator {
	n := len(a.Layers)
	e := &Evaluator{
		section: &Section{Assembly: a, Mould: m, Layers: make([]Placed, n)},
		nominal: m.Solid, written: make([]Layer, n), inside: make([]*Evaluator, n), bare: make([]Placed, n),
	}
	for i := range a.Layers {
		l := a.Layers[i].in(m.ID)
		if l.MadeIn == nil && l.Of.Assembly != nil {
			l.MadeIn = l.Of.Assembly.Mould
		}
		e.written[i], e.bare[i] = l, Placed{Layer: l}
		if l.Kind == Insert && l.Of.Assembly != nil && l.MadeIn != nil && depth < maxNesting {
			e.inside[i] = compile(l.Of.Assembly, l.MadeIn, depth+1)
		}
	}
	e.place = placement{section: e.section, solid: m.Solid, depth: depth, quiet: true, figuresOnly: true, compiled: e}
	return e
}

// number_ gives the assembly and its inserts their places in a Variation.
func (e *Evaluator) count(first, mould int) (int, int) {
	e.first, e.number = first, mould
	e.sites, e.moulds = len(e.written), 1
	for _, in := range e.inside {
		if in != nil {
			s, m := in.count(first+e.sites, mould+e.moulds)
			e.sites, e.moulds = e.sites+s, e.moulds+m
		}
	}
	return e.sites, e.moulds
}

// Counts returns how many layers and moulds a Variation may change.
func (e *Evaluator) Counts() (layers, moulds int) { return e.sites, e.moulds }

// Sites returns every layer in the order in which a Variation counts them: the assembly's own,
// then those of each insert.
func (e *Evaluator) Sites() []Site {
	s := e.section.Assembly.Lay(e.section.Mould)
	return sites(e, s, nil)
}

func sites(e *Evaluator, s *Section, out []Site) []Site {
	for i := range s.Layers {
		out = append(out, Site{s, &s.Layers[i]})
	}
	for i, in := range e.inside {
		if in != nil && s.Layers[i].Inside != nil {
			out = sites(in, s.Layers[i].Inside, out)
		}
	}
	return out
}

// Moulds returns the moulds in the order in which a Variation counts them: the assembly's own,
// then those of each insert.
func (e *Evaluator) Moulds() []*mould.Mould {
	out := []*mould.Mould{e.section.Mould}
	for _, in := range e.inside {
		if in != nil {
			out = append(out, in.Moulds()...)
		}
	}
	return out
}

// Lay lays the piece with a variation. The section has the heights, volumes and masses of every
// layer, and neither regions nor findings; it is overwritten by the next call.
func (e *Evaluator) Lay(v *Variation) *Section {
	copy(e.section.Layers, e.bare)
	for i := range e.written {
		if k := e.first + i; k < len(v.Layers) {
			f := &v.Layers[k]
			l := &e.section.Layers[i].Layer
			factor(&l.Thickness, f.Thickness)
			factor(&l.Film, f.Thickness)
			factor(&l.SoakLoad, f.Amount)
			factor(&l.SoakShare, f.Amount)
			factor(&l.Each, f.Amount)
		}
	}
	e.place.solid = e.nominal
	if e.number < len(v.Moulds) {
		f := v.Moulds[e.number]
		e.place.solid = scaled(e.nominal, f)
	}
	e.place.variation = v
	e.place.lay()
	return e.section
}

// factor multiplies a figure; zero leaves it.
func factor[T ~float64](x *T, f float64) {
	if f > 0 {
		*x *= T(f)
	}
}

// scaled returns the mould's solid as it varies.
func scaled(s mould.Solid, f MouldFactors) mould.Solid {
	if (f.Across == 0 || f.Across == 1) && (f.Up == 0 || f.Up == 1) {
		return s
	}
	across, up := f.Across, f.Up
	if across == 0 {
		across = 1
	}
	if up == 0 {
		up = 1
	}
	return mould.Scaled(s, across, up)
}

// density returns the density of a layer, varied where the placement is.
func (p *placement) density(i int) float64 {
	if p.compiled == nil || p.variation == nil {
		return 1
	}
	if k := p.compiled.first + i; k < len(p.variation.Layers) && p.variation.Layers[k].Density > 0 {
		return p.variation.Layers[k].Density
	}
	return 1
}

// amount returns the factor of the mass of a fill or flooded coat.
func (p *placement) amount(i int) float64 {
	if p.compiled == nil || p.variation == nil {
		return 1
	}
	if k := p.compiled.first + i; k < len(p.variation.Layers) && p.variation.Layers[k].Amount > 0 && (p.section.Layers[i].Kind == Fill || p.section.Layers[i].Flooded()) {
		return p.variation.Layers[k].Amount
	}
	return 1
}

// inside lays an insert that is an assembly of its own, and returns what it was frozen in.
func (p *placement) inside(i int, l *Placed) (*Section, mould.Solid) {
	if p.compiled != nil {
		if in := p.compiled.inside[i]; in != nil {
			return in.Lay(p.variation), in.place.solid
		}
	}
	return l.Of.Assembly.lay(l.MadeIn, p.depth+1), l.MadeIn.Solid
}
