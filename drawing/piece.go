package drawing

import (
	"fmt"
	"math"
	"strings"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

// piece is a layer to draw: of the assembly itself or of an insert in it.
type piece struct {
	id     string // "insert/jelly" within an insert
	layer  *assembly.Placed
	region assembly.Region // as served
	core   assembly.Region // what of it lies next to the tube of the mould, as served
	hatch  Hatch
	on     string // id of what a soak belongs to
}

// pieces returns the layers of a section and of the inserts in it, each insert before its own
// layers, with regions as served.
func pieces(s *assembly.Section) []piece {
	served := func(r assembly.Region) assembly.Region { return r }
	if s.Assembly != nil && s.Assembly.Inverted {
		served = func(r assembly.Region) assembly.Region { return r.TurnOver(s.Top / 2) }
	}
	return addPieces(nil, s, "", 0, served)
}

func addPieces(out []piece, s *assembly.Section, prefix string, depth int, place func(assembly.Region) assembly.Region) []piece {
	fills := 0
	for i := range s.Layers {
		l := &s.Layers[i]
		p := piece{id: prefix + l.ID, layer: l, hatch: hatchFor(l.Kind, fills, depth), on: prefix + l.On}
		if l.Kind == assembly.Fill {
			fills++
		}
		if !l.Region.Empty() && finite(l.Region) {
			p.region = place(l.Region)
		}
		if !l.Core.Empty() && finite(l.Core) {
			p.core = place(l.Core)
		}
		out = append(out, p)
		if l.Inside == nil {
			continue
		}
		height, z0, turned := l.Z1-l.Z0, l.Z0, l.TurnedOver
		out = addPieces(out, l.Inside, p.id+"/", depth+1, func(r assembly.Region) assembly.Region {
			if turned {
				r = r.TurnOver(height / 2)
			}
			return place(r.Shift(z0))
		})
	}
	return out
}

func finite(r assembly.Region) bool {
	if len(r.In) != len(r.Z) || len(r.Out) != len(r.Z) {
		return false
	}
	for i := range r.Z {
		if sum := float64(r.Z[i] + r.In[i] + r.Out[i]); math.IsNaN(sum) || math.IsInf(sum, 0) {
			return false
		}
	}
	return true
}

// name returns what the cook calls the layer, a counted décor with its number.
func (p *piece) name() string {
	name := p.layer.Name
	if name == "" {
		name = p.layer.Of.Name()
	}
	if name == "" {
		name = p.layer.ID
	}
	if p.layer.Kind == assembly.Decor && p.layer.Pieces > 0 {
		return fmt.Sprintf("%d × %s", p.layer.Pieces, name)
	}
	return name
}

// details returns one line or two: sizes, then volume and mass of one piece.
func (p *piece) details(all []piece) []string {
	l := p.layer
	var parts, more []string
	thickness := l.Z1 - l.Z0
	volume := false
	switch l.Kind {
	case assembly.Base, assembly.Disc, assembly.Insert, assembly.Spread:
		if thickness > 0 && !l.Plan.Empty() {
			parts = append(parts, outlineSize(l.Plan)+" × "+thickness.Show())
		}
		volume = l.Kind == assembly.Insert
	case assembly.Fill:
		if thickness > 0 {
			parts = append(parts, "to "+l.Z1.Show())
		}
		volume = true
		if len(l.Filled) > 1 {
			for i, f := range l.Filled {
				amount := f.Volume.Show()
				if f.Mass > 0 {
					amount = f.Mass.Show()
				}
				more = append(more, [2]string{"first ", "then "}[min(i, 1)]+amount)
			}
		}
	case assembly.Band:
		if l.StripLength > 0 {
			parts = append(parts, bare(l.Thickness)+" × "+bare(l.Z1-l.Z0)+" × "+l.StripLength.Show())
		}
		if l.BandPieces > 1 {
			parts = append(parts, fmt.Sprintf("in %d strips", l.BandPieces))
		}
	case assembly.Coat:
		if l.Flooded() {
			parts = append(parts, thickness.Show())
		} else if l.Film > 0 {
			parts = append(parts, l.Film.Show()+" film")
			if l.RunOff > 0 {
				more = append(more, l.Way+" "+l.Poured.Show())
			}
		}
		volume = true
	case assembly.Soak:
		for i := range all {
			if all[i].id == p.on {
				parts = append(parts, "into "+all[i].name())
			}
		}
	}
	if l.Volume > 0 && (volume || l.Mass <= 0) {
		parts = append(parts, l.Volume.Show())
	}
	if l.Mass > 0 {
		parts = append(parts, l.Mass.Show())
	}
	lines := []string{strings.Join(parts, " · ")}
	if len(parts) == 0 {
		lines = []string{"not placed"}
	}
	if len(more) > 0 {
		lines = append(lines, strings.Join(more, ", "))
	}
	return lines
}

// bare returns a length in millimetres without its unit.
func bare(l unit.Length) string { return strings.TrimSuffix(l.Show(), " mm") }

// outlineSize returns an outline's size without its unit: "Ø 184", "584 × 384".
func outlineSize(o mould.Outline) string {
	if o.IsCircle() {
		return "Ø " + bare(o.Width)
	}
	return bare(o.Width) + " × " + bare(o.Depth)
}
