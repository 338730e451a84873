package assembly

import (
	"fmt"

	"chablon/finding"
	"chablon/mould"
	"chablon/unit"
)

// Lay puts the assembly into a mould. It always returns a section, with everything that does
// not fit as a finding in it: a fault where the piece cannot be made as written. Layers that
// cannot be placed at all have no volume.
//
// Layers are laid in order. A body rests on the highest face so far unless it has an offset, a
// level or a distance below the rim of its own. A fill takes all the space from the level of the
// fill before it (the bottom, at first) up to its own level, less the bodies in it, whether they
// were laid before or are pressed in after.
func (a *Assembly) Lay(m *mould.Mould) *Section {
	return a.lay(m, 0)
}

// maxNesting bounds how deep assemblies stand in assemblies.
const maxNesting = 8

func (a *Assembly) lay(m *mould.Mould, depth int) *Section {
	s := &Section{Assembly: a, Mould: m}
	p := placement{section: s, solid: m.Solid, depth: depth}
	s.Layers = make([]Placed, len(a.Layers))
	for i := range a.Layers {
		s.Layers[i].Layer = a.Layers[i].in(m.ID)
	}
	p.lay()
	return s
}

// lay goes through the whole work on the section's layers.
func (p *placement) lay() {
	p.resolveShares()
	p.fillVolumes()
	p.onSurfaces()
	p.masses()
	p.section.bodies = p.bodies
}

// placement is the work of laying one assembly.
type placement struct {
	section *Section
	solid   mould.Solid
	depth   int
	bodies  []body
	stageZ  map[[2]int]unit.Length // levels of stages given as shares, by layer and stage
	quiet   bool                   // findings are kept back

	// figuresOnly leaves out what only a reader looks at: half sections and what overlaps.
	figuresOnly bool
	compiled    *Evaluator
	variation   *Variation
}

func (p *placement) fault(code string, l *Placed, reason, remedy string) {
	p.report(finding.Finding{Code: code, Level: finding.Fault, Where: p.where(l), Reason: reason, Remedy: remedy, Source: "geometry"})
}

func (p *placement) report(f finding.Finding) {
	if !p.quiet {
		p.section.Findings.Add(f)
	}
}

func (p *placement) where(l *Placed) string {
	return fmt.Sprintf("assembly %s in %s, layer %q", p.section.Assembly.ID, p.section.Mould.ID, l.ID)
}

// place finds the heights of bodies and fills.
func (p *placement) place() {
	p.bodies = p.bodies[:0]
	p.section.Top = 0
	surface, fillFrom := unit.Length(0), unit.Length(0)
	type pending struct{ layer, stage int }
	var after []pending // stages that wait for a layer
	for i := range p.section.Layers {
		l := &p.section.Layers[i]
		l.Inside, l.Filled = nil, nil
		switch l.Kind {
		case Base, Disc, Insert, Spread:
			b, ok := p.body(i, surface)
			if ok {
				p.bodies = append(p.bodies, b)
				surface = max(surface, l.Z1)
			}
		case Band:
			if b, ok := p.band(i); ok {
				p.bodies = append(p.bodies, b)
			}
		case Fill, Coat:
			if l.Kind == Coat && !l.Flooded() {
				continue
			}
			if !p.fillHeights(l, fillFrom, surface) {
				continue
			}
			fillFrom = l.Z1
			for k := range max(1, len(l.Stages)) {
				if k > 0 && p.later(i, l.Stages[k].After) {
					after = append(after, pending{i, k})
					continue
				}
				surface = max(surface, p.stageLevel(i, k))
			}
		}
		for _, st := range after {
			if p.section.Layers[st.layer].Stages[st.stage].After == l.ID {
				surface = max(surface, p.stageLevel(st.layer, st.stage))
			}
		}
		p.section.Top = max(p.section.Top, l.Z1)
	}
	if !p.figuresOnly {
		p.overlaps()
	}
}

// upper returns the height of a layer's upper face where the layer says it.
func (p *placement) upper(l *Placed) (unit.Length, bool) {
	switch {
	case l.Level.Given:
		return l.Level.Length, true
	case l.BelowRim.Given:
		return p.solid.Height() - l.BelowRim.Length, true
	}
	return 0, false
}

// body places a base, disc, insert or spread.
func (p *placement) body(i int, surface unit.Length) (body, bool) {
	l := &p.section.Layers[i]
	thickness := l.Thickness
	var insertSolid mould.Solid
	if l.MadeIn == nil && l.Of.Assembly != nil {
		l.MadeIn = l.Of.Assembly.Mould
	}
	if l.Kind == Insert && l.MadeIn != nil {
		insertSolid = l.MadeIn.Solid
		if l.Of.Assembly != nil {
			if p.depth >= maxNesting {
				p.fault("nested-too-deep", l, fmt.Sprintf("assemblies stand in each other more than %d deep", maxNesting), "Take one of them apart into layers.")
				return body{}, false
			}
			l.Inside, insertSolid = p.inside(i, l)
			p.section.Findings = appendOnce(p.section.Findings, l.Inside.Findings)
			thickness = l.Inside.Top
		} else if thickness == 0 {
			thickness = insertSolid.Height()
		}
		if thickness > insertSolid.Height()+1e-9 {
			p.fault("insert-over-its-mould", l, fmt.Sprintf("is %s high, but its own mould %s is %s", thickness.Show(), l.MadeIn.ID, insertSolid.Height().Show()),
				fmt.Sprintf("Make it at most %s high, or take a higher mould.", insertSolid.Height().Show()))
			thickness = insertSolid.Height()
		}
	}
	if thickness <= 0 {
		p.fault("layer-without-thickness", l, "has no thickness", "Give its thickness, or for an insert the mould it is frozen in.")
		return body{}, false
	}
	top, hasTop := p.upper(l)
	switch {
	case l.Offset.Given:
		l.Z0 = l.Offset.Length
	case hasTop:
		l.Z0 = top - thickness
	default:
		l.Z0 = surface
	}
	l.Z1 = l.Z0 + thickness
	if l.Z0 < -1e-9 {
		p.below(l)
	}
	if l.Z1 > p.solid.Height()+1e-9 {
		p.fault("layer-over-capacity", l, fmt.Sprintf("reaches from %s to %s, but the mould is %s high", l.Z0.Show(), l.Z1.Show(), p.solid.Height().Show()),
			fmt.Sprintf("Take %s from it or from a layer below, or a mould at least %s high.", (l.Z1-p.solid.Height()).Show(), l.Z1.Show()))
	}
	if insertSolid != nil {
		b := moulded(i, insertSolid, thickness, l.Z0, l.TurnedOver)
		l.Plan = insertSolid.At(thickness)
		if o := insertSolid.At(0); o.Area() > l.Plan.Area() {
			l.Plan = o
		}
		return b, true
	}
	l.Plan = p.plan(l)
	if l.Plan.Empty() {
		p.fault("layer-without-room", l, fmt.Sprintf("has nothing left inside a wall of %s: its inset of %s takes all the width", p.solid.At(l.Z0).Width.Show(), l.Outline.Inset.Show()), "Make the inset smaller.")
		l.Z1 = l.Z0
		return body{}, false
	}
	return prism(i, l.Plan, l.Z0, l.Z1), true
}

// below reports a layer that would reach under the bottom of the mould.
func (p *placement) below(l *Placed) {
	p.fault("layer-under-bottom", l, fmt.Sprintf("reaches from %s to %s, but the mould begins at its bottom, 0 mm", l.Z0.Show(), l.Z1.Show()),
		fmt.Sprintf("Raise it by %s.", (-l.Z0).Show()))
}

// plan returns the outline of a cut piece from above. As the mould, or in from its wall, it is
// the narrowest that the mould is over the piece's height, since its sides are upright.
func (p *placement) plan(l *Placed) mould.Outline {
	if own := l.Outline.Own; !own.Empty() {
		if own.Hole == 0 { // cut to go round the tube
			own.Hole = max(p.solid.At(l.Z0).Hole, p.solid.At(l.Z1).Hole)
		}
		return own
	}
	if l.Kind == Spread {
		if on := p.layerOn(l); on != nil && !on.Plan.Empty() && !l.Outline.Inset.Given {
			return on.Plan
		}
	}
	narrow := p.solid.At(max(0, l.Z0))
	for _, z := range append(p.solid.Breaks(), l.Z1) {
		if z > l.Z0 && z <= l.Z1 {
			if o := p.solid.At(z); o.Area() < narrow.Area() {
				narrow = o
			}
		}
	}
	if l.Outline.Inset.Given {
		return narrow.Inset(l.Outline.Inset.Length)
	}
	for i := range p.bodies { // as the mould: what a band leaves
		if b := &p.bodies[i]; b.band && b.z0 < l.Z1 && l.Z0 < b.z1 {
			for _, z := range [2]unit.Length{max(b.z0, l.Z0), min(b.z1, l.Z1)} {
				if o := b.at(z); o.Area() < narrow.Area() {
					narrow = o
				}
			}
		}
	}
	return narrow
}

// layerOn returns the layer that a spread, soak or décor belongs to: the one named, else the
// nearest body laid before it.
func (p *placement) layerOn(l *Placed) *Placed {
	var last *Placed
	for i := range p.section.Layers {
		o := &p.section.Layers[i]
		if o.ID == l.ID {
			break
		}
		if o.ID == l.On {
			return o
		}
		switch o.Kind {
		case Base, Disc, Insert:
			last = o
		}
	}
	if l.On != "" {
		return nil
	}
	return last
}

// band places a strip round the wall.
func (p *placement) band(i int) (body, bool) {
	l := &p.section.Layers[i]
	if l.BandHeight <= 0 || l.Thickness <= 0 {
		p.fault("band-without-size", l, "has no height or no thickness", "Give both.")
		return body{}, false
	}
	l.Z0 = 0
	if l.Offset.Given {
		l.Z0 = l.Offset.Length
	}
	l.Z1 = l.Z0 + l.BandHeight
	if l.Z0 < -1e-9 {
		p.below(l)
		l.Z0, l.Z1 = 0, max(0, l.Z1)
	}
	if l.Z0 >= p.solid.Height() || l.Z1 <= 0 {
		p.fault("layer-without-room", l, fmt.Sprintf("would stand from %s to %s, but the mould reaches from 0 to %s", l.Z0.Show(), l.Z1.Show(), p.solid.Height().Show()), "Lower it, or leave its offset out so that it stands on the bottom.")
		l.Z0, l.Z1 = 0, 0
		return body{}, false
	}
	if l.Z1 > p.solid.Height()+1e-9 {
		p.fault("layer-over-capacity", l, fmt.Sprintf("stands up to %s, but the mould is %s high", l.Z1.Show(), p.solid.Height().Show()),
			fmt.Sprintf("Cut it to at most %s.", (p.solid.Height()-l.Z0).Show()))
		l.Z1 = p.solid.Height()
	}
	wall := p.solid.At(l.Z0)
	inner := wall.Outer().Inset(l.Thickness)
	if inner.Empty() {
		p.fault("layer-without-room", l, fmt.Sprintf("is %s thick, which leaves nothing inside a mould of %s", l.Thickness.Show(), wall.Width.Show()), "Make it thinner.")
		return body{}, false
	}
	b := bandBody(i, p.solid, l.Thickness, l.Z0, l.Z1)
	l.Plan, l.BandInside = wall, inner.Width
	pieces := max(1, l.BandPieces)
	// A strip bends about its middle: its length is the perimeter half its thickness inside the
	// wall, and every joint that laps adds the overlap.
	l.StripLength = wall.Outer().Inset(l.Thickness/2).Perimeter() + l.Overlap*unit.Length(pieces)
	return b, true
}

// fillHeights finds the lower and upper level of a fill or a flooded coat.
func (p *placement) fillHeights(l *Placed, from, surface unit.Length) bool {
	top, ok := p.upper(l)
	l.Z0, l.Z1 = from, from
	thickness := l.Thickness
	if l.Flooded() && thickness == 0 {
		thickness = l.Film
	}
	switch {
	case ok:
	case thickness > 0:
		top = max(from, surface) + thickness
	case l.Kind == Fill:
		top = p.solid.Height()
	default:
		p.fault("layer-without-thickness", l, "has no level and no thickness", "Say up to where it goes: a level, a thickness or how far below the rim.")
		return false
	}
	l.Z0, l.Z1 = from, top
	if top > p.solid.Height()+1e-9 {
		need := p.solid.Below(p.solid.Height()) + p.solid.At(p.solid.Height()).Area().Times(top-p.solid.Height())
		p.fault("layer-over-capacity", l, fmt.Sprintf("would stand at %s in a mould %s high: %s in a mould of %s", top.Show(), p.solid.Height().Show(), need.Show(), p.solid.Below(p.solid.Height()).Show()),
			fmt.Sprintf("Lower it by %s, or take a mould at least %s high.", (top-p.solid.Height()).Show(), top.Show()))
		l.Z1 = p.solid.Height()
	}
	if l.Z1 <= l.Z0 {
		p.fault("fill-without-room", l, fmt.Sprintf("ends at %s, but what is below it already reaches %s", l.Z1.Show(), l.Z0.Show()), "Raise its level, or lower the layer below.")
		l.Z1 = l.Z0
		return false
	}
	return true
}

// free returns the space between two levels that no body takes.
func (p *placement) free(za, zb unit.Length) unit.Volume {
	v := p.solid.Below(zb) - p.solid.Below(za)
	for i := range p.bodies {
		v -= p.bodies[i].between(za, zb)
	}
	return max(0, v)
}

// fillVolumes computes the volumes and half sections of bodies and fills.
func (p *placement) fillVolumes() {
	for i := range p.bodies {
		b := &p.bodies[i]
		l := &p.section.Layers[b.layer]
		l.Volume = b.between(b.z0, b.z1)
		if !p.figuresOnly {
			l.Region = p.bodyRegion(b)
		}
	}
	for i := range p.section.Layers {
		l := &p.section.Layers[i]
		if l.Kind != Fill && !l.Flooded() || l.Z1 <= l.Z0 {
			continue
		}
		l.Volume = p.free(l.Z0, l.Z1)
		if l.Volume < leastFill {
			p.fault("fill-without-room", l, fmt.Sprintf("has nothing to fill between %s and %s: what lies there takes all of it", l.Z0.Show(), l.Z1.Show()), "Raise its level, or make what lies in it smaller.")
			l.Volume = 0
			continue
		}
		if !p.figuresOnly {
			l.Region = p.freeRegion(l.Z0, l.Z1, false)
			if p.hollow() {
				l.Core = p.freeRegion(l.Z0, l.Z1, true)
			}
		}
		z := l.Z0
		for k := range max(1, len(l.Stages)) {
			st := Filling{Z0: z, Z1: l.Z1}
			if len(l.Stages) > 0 {
				st.After, st.Z1 = l.Stages[k].After, p.stageLevel(i, k)
			}
			if st.Z1 < st.Z0 || st.Z1 > l.Z1 {
				p.fault("stage-out-of-order", l, fmt.Sprintf("stage %d ends at %s, outside %s to %s", k+1, st.Z1.Show(), st.Z0.Show(), l.Z1.Show()), "Give the stages rising levels below the fill's own.")
				break
			}
			st.Volume = p.free(st.Z0, st.Z1)
			z = st.Z1
			l.Filled = append(l.Filled, st)
		}
	}
}

// hollow reports whether the mould has a tube in the middle.
func (p *placement) hollow() bool { return p.solid.At(p.solid.Height()).Hole > 0 }

// leastFill is less than anyone can pipe; what rounding leaves of no room lies below it.
const leastFill = unit.Millilitre / 1000

// appendOnce adds the findings of an insert unless they are already there: the same insert may
// be laid while shares are sought.
func appendOnce(list, more finding.List) finding.List {
	for _, f := range more {
		seen := false
		for _, g := range list {
			seen = seen || f == g
		}
		if !seen {
			list = append(list, f)
		}
	}
	return list
}
