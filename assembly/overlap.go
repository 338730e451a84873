package assembly

import (
	"fmt"
	"math"

	"chablon/unit"
)

// overlaps reports bodies that would take the same space, and bodies wider than what is round
// them.
func (p *placement) overlaps() {
	for i := range p.bodies {
		b := &p.bodies[i]
		l := &p.section.Layers[b.layer]
		for j := range i {
			o := &p.bodies[j]
			other := &p.section.Layers[o.layer]
			lap := min(b.z1, o.z1) - max(b.z0, o.z0)
			if lap <= 1e-9 {
				continue
			}
			switch {
			case b.band == o.band:
				p.fault("layers-overlap", l, fmt.Sprintf("takes the same %s of height as %q", lap.Show(), other.ID), fmt.Sprintf("Raise it by %s, or leave its offset out so that it rests on what is below.", (o.z1-b.z0).Show()))
			default:
				band, disc, discLayer := o, b, l
				if b.band {
					band, disc, discLayer = b, o, other
				}
				if gap := p.narrowest(band, disc); gap < -1e-9 {
					p.fault("wider-than-band", discLayer, fmt.Sprintf("is %s too wide on each side for the band %q", (-gap).Show(), p.section.Layers[band.layer].ID),
						fmt.Sprintf("Cut it %s smaller all round, or make the band thinner.", (-gap).Show()))
				}
			}
		}
		if b.band {
			continue
		}
		worst, at := unit.Length(0), unit.Length(0)
		for _, z := range p.levels(b.z0, b.z1, b) {
			if gap := p.solid.At(z).Clearance(b.at(z)); gap < worst {
				worst, at = gap, z
			}
		}
		if worst < -1e-9 {
			p.fault("wider-than-mould", l, fmt.Sprintf("is %s too wide on each side at a height of %s", (-worst).Show(), at.Show()),
				fmt.Sprintf("Make it %s smaller all round, or lay it where the mould is wider.", (-worst).Show()))
		}
	}
}

// levels returns the heights at which faces between two levels are compared: the ends, every
// break of the wall and of a body's face, and steps between them for what is curved.
func (p *placement) levels(za, zb unit.Length, b *body) []unit.Length {
	const steps = 8
	out := []unit.Length{za, zb}
	for i := 1; i < steps; i++ {
		out = append(out, za+(zb-za)*unit.Length(i)/steps)
	}
	for _, list := range [2][]unit.Length{p.solid.Breaks(), b.breaks} {
		for _, z := range list {
			if z > za && z < zb {
				out = append(out, z)
			}
		}
	}
	return out
}

// narrowest returns the least gap between a body and the inside of a band where both stand.
func (p *placement) narrowest(band, disc *body) unit.Length {
	z0, z1 := max(band.z0, disc.z0), min(band.z1, disc.z1)
	least := unit.Length(math.Inf(1))
	for _, z := range p.levels(z0, z1, disc) {
		least = min(least, band.at(z).Clearance(disc.at(z)))
	}
	return least
}
