package assembly

import (
	"fmt"
	"strings"

	"chablon/unit"
)

// Piping is one filling of one cavity, with what the cook sees when it is in.
type Piping struct {
	Layer string // of the fill
	Name  string
	Stage int // from 1
	Of    int // how many stages the fill has
	Mass  unit.Mass
	// Stands is the level over the bottom of what is in the mould once this stage is piped and
	// before anything more is laid: the bodies of later stages have not yet raised it.
	Stands unit.Length
	// Press names the layers laid next that sink into it, and Lay those that lie on it, in their
	// order, up to the next stage or the end.
	Press, Lay []string
	// Level is where it reaches when they are laid.
	Level unit.Length
}

// Piping returns what is piped into one cavity, fill by fill and stage by stage.
func (s *Section) Piping() []Piping {
	p := placement{section: s, solid: s.Mould.Solid, quiet: true, figuresOnly: true}
	var out []Piping
	for i := range s.Layers {
		l := &s.Layers[i]
		if l.Kind != Fill && !l.Flooded() {
			continue
		}
		laid := i // index of the last layer laid before the stage
		for k := range l.Filled {
			f := &l.Filled[k]
			if at := s.index(f.After); at > laid {
				laid = at
			}
			next := len(s.Layers)
			if k+1 < len(l.Filled) {
				if at := s.index(l.Filled[k+1].After); at >= 0 {
					next = at + 1
				}
			}
			g := Piping{Layer: l.ID, Name: l.Name, Stage: k + 1, Of: len(l.Filled), Mass: f.Mass, Level: f.Z1}
			for j := laid + 1; j < next; j++ {
				b := &s.Layers[j]
				switch {
				case b.Kind != Base && b.Kind != Disc && b.Kind != Insert || b.Z0 > l.Z1:
				case b.Z0 < f.Z1-1e-9:
					g.Press = append(g.Press, b.Name)
				default:
					g.Lay = append(g.Lay, b.Name)
				}
			}
			g.Stands = p.standing(i, k, laid)
			out = append(out, g)
		}
	}
	return out
}

// index returns the place of a layer, −1 if there is none.
func (s *Section) index(id string) int {
	for i := range s.Layers {
		if s.Layers[i].ID == id {
			return i
		}
	}
	return -1
}

// standing returns the level at which a stage of a fill stands before the layers after one are
// laid.
func (p *placement) standing(fill, stage, laid int) unit.Length {
	l := &p.section.Layers[fill]
	p.bodies = p.bodies[:0]
	for _, b := range p.section.bodies {
		if b.layer <= laid {
			p.bodies = append(p.bodies, b)
		}
	}
	var in unit.Volume
	for _, f := range l.Filled[:stage+1] {
		in += f.Volume
	}
	return p.levelFor(l.Z0, l.Filled[stage].Z1, in)
}

// PipingText writes the pipings of a section as one line for the bench: "38 g, press the insert,
// 12 g, base; 4 mm below the rim". Masses are rounded to the division of a scale.
func (s *Section) PipingText(division unit.Mass) string {
	var words []string
	top := unit.Length(0)
	for _, g := range s.Piping() {
		m := g.Mass
		if division > 0 {
			m = unit.Mass(float64(int64(float64(m/division)+0.5))) * division
		}
		words = append(words, fmt.Sprintf("%s of %s", m.Show(), g.Name))
		for _, name := range g.Press {
			words = append(words, "press in "+name)
		}
		for _, name := range g.Lay {
			words = append(words, "lay "+name)
		}
		top = max(top, g.Level)
	}
	if len(words) == 0 {
		return ""
	}
	text := strings.Join(words, ", ")
	if left := s.Mould.Solid.Height() - top; left > 1e-4 {
		return text + "; " + left.Show() + " below the rim"
	}
	return text + "; level with the rim"
}
