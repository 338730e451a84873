package assembly

import (
	"fmt"

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
	if on == nil || on.Plan.Empty() {
		p.fault("soak-without-disc", l, "has no base or disc to soak", "Lay it after a base or disc, or name one with on.")
		return
	}
	l.On, l.Z0, l.Z1, l.Plan = on.ID, on.Z0, on.Z1, on.Plan
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
	if p.section.Assembly.Inverted { // the mould's bottom is up: film on wall and bottom end
		g, err := s.Grown(film) // its height 0 lies film below the mould's bottom
		if err != nil {
			p.fault("coat-without-shape", l, fmt.Sprintf("cannot follow the mould's wall: %v", err), "Make the film thinner.")
			return
		}
		l.Z0, l.Z1 = -film, top
		l.Volume = g.Below(top+film) - s.Below(top)
		q := placement{section: p.section, solid: g}
		for _, z := range q.heights(0, top+film) {
			in := unit.Length(0)
			if z >= film {
				in = s.At(z-film).Width / 2
			}
			l.Region.add(z-film, in, g.At(z).Width/2)
		}
		p.poleHeights(l, g, film)
		return
	}
	// The open face is up: film on wall and upper face. Square to a leaning wall the film is
	// thicker along the horizontal.
	outer := func(z unit.Length) mould.Outline {
		return s.At(min(z, top)).Inset(-film * unit.Length(lean(s, min(z, top))))
	}
	area := func(z unit.Length) unit.Area { return outer(z).Area() }
	l.Z0, l.Z1 = 0, top+film
	l.Volume = integrate(area, 0, top, s.Breaks()) - s.Below(top) + outer(top).Area().Times(film)
	for _, z := range p.heights(0, top) {
		l.Region.add(z, s.At(z).Width/2, outer(z).Width/2)
	}
	l.Region.add(top, 0, outer(top).Width/2)
	l.Region.add(top+film, 0, outer(top).Width/2)
}

// poleHeights puts the height of the mould's bottom into a coat's half section twice: with the
// film's full width below it and the piece's bottom above it, since the inner edge jumps there.
func (p *placement) poleHeights(l *Placed, g mould.Solid, film unit.Length) {
	r := l.Region
	var out Region
	out.add(r.Z[0], 0, r.Out[0])
	done := false
	for i := 1; i < len(r.Z); i++ {
		if !done && r.Z[i] >= 0 {
			w := g.At(film).Width / 2
			out.add(0, 0, w)
			out.add(0, p.solid.At(0).Width/2, w)
			done = true
			if r.Z[i] == 0 {
				continue
			}
		}
		out.add(r.Z[i], r.In[i], r.Out[i])
	}
	l.Region = out
}

// masses turns volumes, loads and counts into masses, and reports every density that is missing.
func (p *placement) masses() {
	for i := range p.section.Layers {
		l := &p.section.Layers[i]
		switch l.Kind {
		case Soak:
			l.Mass = l.SoakLoad.Mass(l.Plan.Area())
			if on := p.layerOn(l); l.SoakShare > 0 && on != nil {
				l.Mass = unit.Mass(l.SoakShare) * p.density(on).Mass(on.Volume)
			}
		case Decor:
			p.decor(l)
		default:
			if l.Inside != nil {
				l.Mass = l.Inside.Mass()
				l.Density = unit.DensityOf(l.Mass, l.Volume)
				continue
			}
			l.Density = p.density(l)
			if !l.Density.Known() && l.Volume > 0 {
				p.report(finding.Finding{
					Code: "density-missing", Level: finding.Fault, Where: p.where(l),
					Reason: fmt.Sprintf("takes %s of %s, but no density is on record, so it has no mass", l.Volume.Show(), l.Of.Name()),
					Remedy: "Weigh 100 ml of it and enter that as its density, or give the formula a specific gravity or an overrun.", Source: "geometry",
				})
			}
			l.Mass = l.Density.Mass(l.Volume)
			for k := range l.Filled {
				l.Filled[k].Mass = l.Density.Mass(l.Filled[k].Volume)
			}
		}
		if l.Kind == Coat {
			p.pour(l)
		}
	}
}

func (p *placement) density(l *Placed) unit.Density { return l.Of.density() }

// pour computes what has to be in hand for one piece: what stays over the share that stays, at
// least the least that pours well.
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
