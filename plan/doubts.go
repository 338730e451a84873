package plan

import (
	"fmt"
	"math"
	"slices"

	"chablon/assembly"
	"chablon/doubt"
	"chablon/formula"
	"chablon/unit"
)

// Doubts is what cannot be controlled exactly in a job, and what it does to the amounts: the
// factors, each with the layers and components that it reaches, and every component's need as a
// function of them.
type Doubts struct {
	Factors    []doubt.Factor
	Components []*formula.Formula // one output each

	lines   []Piece // what is laid, by order line
	reaches [][]target
	index   map[string]int // of a component's output by formula ID
	slope   doubt.Slope
	levels  []float64 // to which components are made, in standard deviations; see allot
}

// target is one figure that a factor multiplies: of a layer or mould in an order line's piece, or
// the yield of a component.
type target struct {
	line, site int
	what       figure
	component  int
	loss       float64 // share of a named loss as written
}

type figure uint8

const (
	ofThickness figure = iota
	ofDensity
	ofAmount
	ofMouldAcross
	ofMouldUp
	ofYield // the factor is the loss's share over that written
)

// Relative doubts, one standard deviation. Source: bib:chablon-uncertainty, compiled from
// practice; common practice, no source, where a kitchen has no records.
const (
	doubtOfGas    = 0.10 // of the logarithm of the gas volume in a whipped or folded mix, same cook and mixer
	doubtOfPour   = 0.02 // of a mass poured and levelled
	doubtOfSpread = 0.08 // of a thickness spread with a spatula
	doubtOfSheet  = 0.08 // of a thickness of what is baked flat
	doubtOfFilm   = 0.20 // of the logarithm of a film that runs off
	doubtOfSoak   = 0.10
	doubtOfBowl   = 0.35 // of the logarithm of what stays in the bowl
)

// Half widths of a mould's inner size. Source: bib:iso-2768-1, class m, as taken up in
// bib:chablon-uncertainty; a rolled ring is rather worse, and its ovality of second order.
func doubtOfSize(l unit.Length) unit.Length {
	switch {
	case l <= 120*unit.Millimetre:
		return 0.3 * unit.Millimetre
	case l <= 400*unit.Millimetre:
		return 0.5 * unit.Millimetre
	}
	return 0.8 * unit.Millimetre
}

const doubtOfHeight = 0.3 * unit.Millimetre // of a ring

// newDoubts collects the factors of everything laid and evaluates them to first order.
func newDoubts(d *Day) *Doubts {
	b := &doubtBuilder{Doubts: &Doubts{index: map[string]int{}, lines: d.Pieces}, byID: map[string]int{}}
	for line := range d.Pieces {
		b.section(line, d.Pieces[line].Section, d.Pieces[line].Pieces, 0, 0)
	}
	for _, f := range b.Components {
		if f.MadeIn != formula.Sheet {
			b.yield(f)
		}
	}
	if len(b.Components) > 0 {
		b.slope = doubt.Line(b.Factors, len(b.Components), b.Evaluator())
	}
	return b.Doubts
}

type doubtBuilder struct {
	*Doubts
	byID map[string]int // of a factor
}

// add gives a factor one more target; the first one makes it.
func (b *doubtBuilder) add(f doubt.Factor, t target) {
	i, known := b.byID[f.ID]
	if !known {
		i = len(b.Factors)
		b.byID[f.ID] = i
		b.Factors = append(b.Factors, f)
		b.reaches = append(b.reaches, nil)
	}
	b.reaches[i] = append(b.reaches[i], t)
}

func (b *doubtBuilder) component(f *formula.Formula) int {
	i, known := b.index[f.ID]
	if !known {
		i = len(b.Components)
		b.index[f.ID] = i
		b.Components = append(b.Components, f)
		for _, l := range f.Lines {
			if l.Formula != nil {
				b.component(l.Formula)
			}
		}
	}
	return i
}

// section collects the factors of one section and of the inserts in it, sites and moulds counted as
// an evaluator counts them.
func (b *doubtBuilder) section(line int, s *assembly.Section, pieces, site, mould int) (sites, moulds int) {
	name := s.Mould.Name
	rim := s.Mould.Solid.At(s.Mould.Solid.Height())
	across := doubt.Uniform(1, float64(doubtOfSize(rim.Width)/rim.Width)).Mean(pieces)
	up := doubt.Uniform(1, float64(doubtOfHeight/s.Mould.Solid.Height())).Mean(pieces)
	b.add(doubt.Factor{
		ID: "across " + s.Mould.ID, Name: "inner width of " + name, Law: across, Scope: doubt.Mould,
		Source: "ISO 2768-1, class m", Remedy: "Measure the mould, or weigh the water that fills it.",
	}, target{line: line, site: mould, what: ofMouldAcross})
	b.add(doubt.Factor{
		ID: "up " + s.Mould.ID, Name: "height of " + name, Law: up, Scope: doubt.Mould,
		Source: "ISO 2768-1, class m", Remedy: "Measure the mould's height.",
	}, target{line: line, site: mould, what: ofMouldUp})
	for i := range s.Layers {
		b.layer(line, site+i, &s.Layers[i], pieces)
	}
	sites, moulds = len(s.Layers), 1
	for i := range s.Layers {
		if in := s.Layers[i].Inside; in != nil {
			ns, nm := b.section(line, in, pieces, site+sites, mould+moulds)
			sites, moulds = sites+ns, moulds+nm
		}
	}
	return sites, moulds
}

// layer collects the factors of one layer.
func (b *doubtBuilder) layer(line, site int, l *assembly.Placed, pieces int) {
	if l.Of.Formula != nil {
		b.component(l.Of.Formula)
	}
	if l.Inside != nil || l.Mass <= 0 {
		return
	}
	own := fmt.Sprintf("%s in line %d", l.ID, line+1)
	piece := func(what, name string, law doubt.Law, remedy string, f figure) {
		b.add(doubt.Factor{ID: what + " of " + own, Name: name + " of " + l.Name, Law: law.Mean(pieces), Scope: doubt.Piece, Source: "common practice, no source", Remedy: remedy}, target{line: line, site: site, what: f})
	}
	switch l.Kind {
	case assembly.Soak:
		b.spread(line, site, l, pieces, spread{
			what: "soak", name: "amount of " + l.Name + " taken up", usual: doubt.Normal(1, doubtOfSoak), scope: doubt.Batch,
			common: "soak " + l.Of.ID(), figure: ofAmount, remedy: "Weigh the soak for each piece.",
		})
	case assembly.Base, assembly.Disc, assembly.Spread, assembly.Band:
		b.spread(line, site, l, pieces, spread{
			what: "thickness", name: "thickness of " + l.Name, usual: doubt.LogNormal(1, doubtOfSpread), scope: doubt.Piece,
			// What is baked at one thickness is common to all that is cut from it.
			common: fmt.Sprintf("thickness of %s, %s", l.Of.ID(), l.Thickness.Show()), figure: ofThickness, remedy: "Spread it between rulers, or weigh the batter for each sheet.",
		})
	case assembly.Coat:
		if l.Flooded() {
			piece("level", "level", doubt.Normal(1, doubtOfPour), "Weigh the coat of each piece.", ofAmount)
			break
		}
		b.spread(line, site, l, pieces, spread{
			what: "film", name: "film of " + l.Name, usual: doubt.LogNormal(1, doubtOfFilm), scope: doubt.Batch,
			common: "film " + l.Of.ID(), figure: ofThickness, remedy: "Weigh a piece before and after it is coated.",
		})
	case assembly.Fill:
		piece("filling", "filling", doubt.Normal(1, doubtOfPour), "Weigh what goes into each piece.", ofAmount)
	}
	if f := l.Of.Formula; f != nil {
		b.density(line, site, f)
	}
}

// spread is how far a figure of a layer is off, where the document does not say it.
type spread struct {
	what, name, remedy string
	usual              doubt.Law
	scope              doubt.Scope
	common             string // ID of the factor where its scope is wider than a piece
	figure             figure
}

// spread adds the document's own spread or the usual one, in its scope.
func (b *doubtBuilder) spread(line, site int, l *assembly.Placed, pieces int, x spread) {
	f := doubt.Factor{ID: x.common, Name: x.name, Law: x.usual, Scope: x.scope, Source: "common practice, no source", Remedy: x.remedy}
	if own := l.Doubt; own.High > own.Low {
		if law, err := doubt.Between(own.Low, 1, own.High, own.Covers); err == nil {
			f.Law, f.Scope, f.Source = law, own.Scope, "the assembly's own spread"
		}
	}
	if f.Scope == doubt.Piece {
		f.ID, f.Law = fmt.Sprintf("%s of %s in line %d", x.what, l.ID, line+1), f.Law.Mean(pieces)
	}
	b.add(f, target{line: line, site: site, what: x.figure})
}

// density is a formula's own spread, or what its gas leaves uncertain: common to a batch.
func (b *doubtBuilder) density(line, site int, f *formula.Formula) {
	t := target{line: line, site: site, what: ofDensity}
	x := doubt.Factor{ID: "density " + f.ID, Name: "density of " + f.Name, Scope: doubt.Batch, Source: "common practice, no source", Remedy: "Weigh a cup of it before it is filled in."}
	gas := f.AirFraction()
	switch {
	case f.DensityHigh > f.DensityLow && f.Density.Known():
		law, err := doubt.Between(float64(f.DensityLow/f.Density), 1, float64(f.DensityHigh/f.Density), 0.9)
		if err != nil {
			return
		}
		x.Law, x.Source = law, "the formula's own spread"
	case gas > 0:
		// More gas by a factor g makes the whole 1 - gas + gas g of its volume; to first order the
		// density falls by gas times the spread of ln g.
		x.Law = doubt.LogNormal(1, doubtOfGas*gas)
	default:
		return
	}
	b.add(x, t)
}

// yield collects the losses whose size is uncertain.
func (b *doubtBuilder) yield(f *formula.Formula) {
	for i, l := range f.Losses {
		t := target{what: ofYield, component: b.index[f.ID], loss: l.Share}
		switch {
		case l.Share > 0 && l.High > l.Low:
			law, err := doubt.Between(l.Low/l.Share, 1, l.High/l.Share, 0.9)
			if err != nil {
				continue
			}
			b.add(doubt.Factor{ID: fmt.Sprintf("loss %d of %s", i, f.ID), Name: l.Name + " loss of " + f.Name, Law: law, Scope: doubt.Batch, Source: "the formula's own spread", Remedy: "Weigh it before and after."}, t)
		case l.PerBatch > 0 && f.Written() > 0:
			t.loss = float64(l.PerBatch / max(f.Written(), l.PerBatch*2))
			b.add(doubt.Factor{ID: fmt.Sprintf("loss %d of %s", i, f.ID), Name: "what stays in the " + l.Name + " of " + f.Name, Law: doubt.LogNormal(1, doubtOfBowl), Scope: doubt.Batch, Source: "common practice, no source", Remedy: "Scrape the bowl and weigh what is in the bag."}, t)
		}
	}
}

// Evaluator returns a function from the values of all factors to the need of every component,
// over that as planned: what the pieces take, more or less, through a yield that is more or less.
func (d *Doubts) Evaluator() doubt.Evaluate {
	type laid struct {
		e *assembly.Evaluator
		v assembly.Variation
	}
	lines := make([]laid, len(d.lines))
	for i := range lines {
		p := &d.lines[i]
		e := p.Section.Assembly.Compile(p.Section.Mould)
		sites, moulds := e.Counts()
		lines[i] = laid{e: e, v: assembly.Variation{Layers: make([]assembly.LayerFactors, sites), Moulds: make([]assembly.MouldFactors, moulds)}}
	}
	outputs := len(d.Components)
	nominal, yields := make([]float64, outputs), make([]float64, outputs)
	need := make([]float64, outputs*len(lines)) // by line
	last := make([]float64, len(d.Factors))
	sum := func(i int) {
		row := need[i*outputs : (i+1)*outputs]
		clear(row)
		d.takes(lines[i].e.Lay(&lines[i].v), float64(d.lines[i].Pieces), row)
	}
	for i := range lines {
		sum(i)
		for k := range nominal {
			nominal[k] += need[i*outputs+k]
		}
	}
	for i := range last {
		last[i] = 1
	}
	dirty := make([]bool, len(lines))
	return func(x, y []float64) {
		for k := range yields {
			yields[k] = 1
		}
		for i, reach := range d.reaches {
			changed := x[i] != last[i]
			last[i] = x[i]
			for _, t := range reach {
				if t.what == ofYield {
					// The need grows as less of what goes in is kept.
					yields[t.component] *= (1 - t.loss) / max(0.05, 1-min(0.95, t.loss*x[i]))
					continue
				}
				if !changed {
					continue
				}
				dirty[t.line] = true
				v := &lines[t.line].v
				switch t.what {
				case ofThickness:
					v.Layers[t.site].Thickness = x[i]
				case ofDensity:
					v.Layers[t.site].Density = x[i]
				case ofAmount:
					v.Layers[t.site].Amount = x[i]
				case ofMouldAcross:
					v.Moulds[t.site].Across = x[i]
				default:
					v.Moulds[t.site].Up = x[i]
				}
			}
		}
		for i := range lines {
			if dirty[i] {
				dirty[i] = false
				sum(i)
			}
		}
		for k := range y {
			total := 0.0
			for i := range lines {
				total += need[i*outputs+k]
			}
			y[k] = yields[k]
			if nominal[k] > 0 {
				y[k] *= total / nominal[k]
			}
		}
	}
}

// takes adds up what so many pieces take of each component.
func (d *Doubts) takes(s *assembly.Section, pieces float64, row []float64) {
	for i := range s.Layers {
		l := &s.Layers[i]
		switch {
		case l.Inside != nil:
			d.takes(l.Inside, pieces, row)
		case l.Of.Formula != nil && !cutFrom(l):
			row[d.index[l.Of.Formula.ID]] += pieces * float64(max(l.Mass, l.Poured))
		}
	}
}

// Sample draws the factors many times through the pieces and yields. The sample's outputs are the
// needs of Components over those planned. An error names what is not a number.
func (d *Doubts) Sample(n int, seed uint64, workers int) (*doubt.Sample, error) {
	if len(d.Components) == 0 {
		return nil, fmt.Errorf("nothing is made, so nothing is in doubt: order a piece of a component that has a formula")
	}
	return doubt.Run(n, d.Factors, seed, len(d.Components), workers, d.Evaluator)
}

// Sure is what a sample says of the amounts of a day.
type Sure struct {
	Sample *doubt.Sample
	// Enough is the chance that nothing runs short of what is made, and Asked the confidence that
	// it was made for.
	Enough, Asked float64
	Components    []ComponentDoubt
}

// ComponentDoubt is how sure one component is.
type ComponentDoubt struct {
	Formula     *formula.Formula
	Low, High   unit.Mass // finished, 5 % and 95 % of what the pieces will take
	Made        unit.Mass // finished, for the pieces, with what is in stock
	RunsShort   float64   // the chance that this one does
	Causes      []doubt.Cause
	NarrowedLow unit.Mass // the range when the first cause is known
	NarrowedTop unit.Mass
}

// How returns how sure the amounts of the day are, from a sample of n draws.
func (d *Day) How(n int, seed uint64, workers int) (*Sure, error) {
	s, err := d.Doubts.Sample(n, seed, workers)
	if err != nil {
		return nil, err
	}
	out := &Sure{Sample: s, Asked: d.Job.Kitchen.Confidence}
	made := make([]float64, len(d.Doubts.Components)) // over what is needed as planned
	for k, f := range d.Doubts.Components {
		made[k] = math.Inf(1)
		i := slices.IndexFunc(d.Batches, func(b Batch) bool { return b.Formula == f })
		if i < 0 {
			continue // wholly in stock
		}
		b := &d.Batches[i]
		base := b.forPieces() + b.stocked
		if base <= 0 {
			continue
		}
		extra := b.spare
		for _, l := range b.LeftOver {
			if l.Name != "run-off kept" && l.Name != "to pour the last piece" {
				extra += l.Mass
			}
		}
		made[k] = float64((base + extra) / base)
		c := ComponentDoubt{Formula: f, Low: base * unit.Mass(s.Quantile(k, 0.05)), High: base * unit.Mass(s.Quantile(k, 0.95)), Made: base + extra, Causes: s.Causes(k)}
		c.RunsShort = s.Chance(func(y []float64) bool { return y[k] > made[k]*(1+1e-12) })
		if len(c.Causes) > 0 {
			narrow := c.Causes[0].Narrowed()
			mid := base * unit.Mass(s.Quantile(k, 0.5))
			c.NarrowedLow, c.NarrowedTop = mid-(mid-c.Low)*unit.Mass(narrow), mid+(c.High-mid)*unit.Mass(narrow)
		}
		out.Components = append(out.Components, c)
	}
	out.Enough = s.Chance(func(y []float64) bool {
		for k := range y {
			if y[k] > made[k]*(1+1e-12) {
				return false
			}
		}
		return true
	})
	return out, nil
}

// forPieces returns what the pieces take of a batch's component, its sheets counted whole.
func (b *Batch) forPieces() unit.Mass {
	if len(b.Sheets) == 0 {
		return b.Needed
	}
	var m unit.Mass
	for _, s := range b.Sheets {
		m += s.EachMass * unit.Mass(s.Count)
	}
	return m
}
