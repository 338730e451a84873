package assembly

import (
	"fmt"
	"math"
	"slices"

	"chablon/finding"
	"chablon/mould"
	"chablon/unit"
)

// onSurfaces computes what belongs to other layers or to the whole piece: soaks, coats that are
// not flooded, and décor.
func (p *placement) onSurfaces() {
	for i := range p.section.Layers {
		l := &p.section.Layers[i]
		switch {
		case l.Kind == Soak:
			p.soak(l)
		case l.Kind == Coat && !l.Flooded():
			p.coat(l)
		case l.Kind == Decor:
			l.Z0, l.Z1 = p.section.Top, p.section.Top
		}
	}
}

// soak finds where a soak goes; its mass follows from the disc's area or mass.
func (p *placement) soak(l *Placed) {
	on := p.layerOn(l)
	if on != nil && on.Kind <= Insert && on.Plan.Empty() {
		return // it could not be placed, which is a fault of its own
	}
	if on == nil || on.Plan.Empty() {
		p.fault("soak-without-disc", l, "has no base or disc to soak", "Lay it after a base or disc, or name one with on.")
		return
	}
	l.On, l.Z0, l.Z1, l.Plan = on.ID, on.Z0, on.Z1, on.Plan
	if on.Kind == Band { // its face, not what it goes round
		l.Plan = mould.Rectangle(on.StripLength, on.Z1-on.Z0, 0)
	}
	if l.SoakLoad <= 0 && l.SoakShare <= 0 {
		p.fault("soak-without-amount", l, "has no amount", "Give a mass per area, such as 0.25 g/cm², or a share of the disc's mass.")
	}
}

// coat computes a film over the unmoulded piece: on the wall, and on the face that is up when
// it is served. Edges are square: the film's corner fills the mitre.
func (p *placement) coat(l *Placed) {
	film, top := l.Film, p.section.Top
	if film <= 0 {
		film = l.Thickness
	}
	if film <= 0 {
		p.fault("coat-without-film", l, "has no film thickness", "Give the thickness that stays on the piece, such as 2 mm.")
		return
	}
	if top <= 0 {
		p.fault("coat-without-piece", l, "has no piece to cover", "Lay something before the coat.")
		return
	}
	l.Film = film
	s := p.solid
	top = min(top, s.Height()) // what stands higher is a fault of its own
	g, err := s.Grown(film)
	if err != nil {
		p.fault("coat-without-shape", l, fmt.Sprintf("is %s thick, which cannot follow the wall of a mould %s high: %v", film.Show(), s.Height().Show(), err), "Make the film thinner.")
		return
	}
	lift := g.Height() - s.Height() // the film's own bottom lies so far below the mould's
	if math.Abs(float64(lift-film)) < 1e-9 {
		lift = film // but for rounding, on any flat bottom
	}
	outer := func(z unit.Length) unit.Length { return g.At(z + lift).HalfWidth() }
	hole := func(z unit.Length) unit.Length { return g.At(z+lift).Hole / 2 }
	var zs []unit.Length
	if !p.figuresOnly {
		zs = coatHeights(s, g, lift, top)
	}
	l.Region = roomFor(len(zs) + 4)
	if p.section.Assembly.Inverted { // the mould's bottom is up: film on wall and bottom end
		l.Z0, l.Z1 = -lift, top
		l.Volume = g.Below(top+lift) - s.Below(top)
		if under := (placement{section: p.section, solid: g}); !p.figuresOnly {
			for _, z := range under.heights(0, lift) {
				l.Region.add(z-lift, g.At(z).Hole/2, g.At(z).HalfWidth())
			}
		}
	} else { // the open face is up: film on wall and upper face, none under the piece
		face := g.At(top + lift).Area().Times(film)
		l.Z0, l.Z1 = 0, top+film
		l.Volume = g.Below(top+lift) - g.Below(lift) - s.Below(top) + face
	}
	if p.figuresOnly {
		return
	}
	for _, z := range zs {
		l.Region.add(z, s.At(z).HalfWidth(), outer(z))
	}
	if p.hollow() {
		l.Core = roomFor(len(zs))
		for _, z := range zs {
			l.Core.add(z, hole(z), s.At(z).Hole/2)
		}
	}
	if !p.section.Assembly.Inverted {
		l.Region.add(top, hole(top), outer(top))
		l.Region.add(top+film, hole(top), outer(top))
	}
}

// coatHeights returns the heights from the mould's bottom to the top at which a film's half
// section must be known: those of the wall and those of its own outer face.
func coatHeights(s, g mould.Solid, lift, top unit.Length) []unit.Length {
	wall := placement{solid: s}
	film := placement{solid: g}
	zs := wall.heights(0, top)
	for _, z := range film.heights(lift, top+lift) {
		zs = append(zs, z-lift)
	}
	slices.Sort(zs)
	return slices.CompactFunc(zs, func(a, b unit.Length) bool { return max(a-b, b-a) < 1e-12 })
}

// masses turns volumes, loads and counts into masses, and reports every density that is missing.
func (p *placement) masses() {
	for i := range p.section.Layers {
		l := &p.section.Layers[i]
		switch l.Kind {
		case Soak:
			l.Mass = l.SoakLoad.Mass(l.Plan.Area())
			if on := p.layerOn(l); l.SoakShare > 0 && on != nil {
				l.Mass = unit.Mass(l.SoakShare) * on.Mass
			}
		case Decor:
			p.decor(l)
		default:
			if l.Inside != nil {
				l.Mass = l.Inside.Mass()
				l.Density = unit.DensityOf(l.Mass, l.Volume)
				continue
			}
			l.Density = l.Of.FinishedDensity() * unit.Density(p.density(i))
			if !l.Density.Known() && l.Volume > 0 {
				p.report(finding.Finding{
					Code: "density-missing", Level: finding.Fault, Where: p.where(l),
					Reason: fmt.Sprintf("takes %s of %s, but no density is on record, so it has no mass", l.Volume.Show(), l.Of.Name()),
					Remedy: "Weigh 100 ml of it and enter that as its density, or give the formula a specific gravity or an overrun.", Source: "geometry",
				})
			}
			l.Mass = l.Density.Mass(l.Volume) * unit.Mass(p.amount(i))
			for k := range l.Filled {
				l.Filled[k].Mass = l.Density.Mass(l.Filled[k].Volume)
			}
		}
		if l.Kind == Coat {
			p.pour(l)
		}
	}
}

// pour computes what is poured on one piece: what stays over the share that stays. The least that
// must be in hand counts once for a batch, not for each piece: see LeastToPour.
func (p *placement) pour(l *Placed) {
	l.Poured = l.Mass
	if l.Stays > 0 && l.Stays < 1 {
		l.Poured = l.Mass / unit.Mass(l.Stays)
		l.RunOff = l.Poured * unit.Mass(1-l.Stays)
	}
}

// decor weighs counted pieces.
func (p *placement) decor(l *Placed) {
	each := l.Each
	if each <= 0 && l.Of.Ingredient != nil {
		for _, measure := range []string{"piece", "each", "medium", "whole", "leaf"} {
			if q, ok := l.Of.Ingredient.Portion(measure); ok {
				each = q.Mass
				break
			}
		}
	}
	if each <= 0 && l.Pieces > 0 {
		p.report(finding.Finding{
			Code: "decor-without-mass", Level: finding.Fault, Where: p.where(l),
			Reason: fmt.Sprintf("counts %d pieces of %s, but the mass of one is not on record", l.Pieces, l.Of.Name()),
			Remedy: "Give the mass of one piece with each.", Source: "geometry",
		})
	}
	l.Each, l.Mass = each, each*unit.Mass(l.Pieces)
}
