package assembly

import (
	"chablon/finding"
	"chablon/mould"
	"chablon/unit"
)

// Section is an assembly laid into one mould: what one piece measures and weighs.
type Section struct {
	Assembly *Assembly
	Mould    *mould.Mould
	Layers   []Placed
	Top      unit.Length  // of the highest face over the mould's bottom, coats left out
	Findings finding.List // what does not fit, gravest faults included

	bodies []body
}

// Placed is a layer where it lies.
type Placed struct {
	Layer
	Z0, Z1 unit.Length // heights over the mould's bottom, as laid
	Volume unit.Volume // of one piece; a soak and a décor take no space of their own
	Mass   unit.Mass   // of one piece; zero if no density is on record

	Density unit.Density
	Region  Region        // half section; empty for a soak and a décor
	Core    Region        // in a mould with a tube: what of a fill or coat lies next to the tube
	Plan    mould.Outline // from above, of bodies
	Filled  []Filling     // stages of a fill, one if it goes in at once
	Inside  *Section      // of an insert that is an assembly of its own

	StripLength unit.Length // of a band, all pieces laid end to end, joints included
	BandInside  unit.Length // clear width inside a band

	Poured unit.Mass // of a coat: what has to be poured on one piece
	RunOff unit.Mass // and what of it runs off
}

// Filling is one stage of a fill: what is piped into one cavity.
type Filling struct {
	After  string // layer laid before it, empty for the first
	Z0, Z1 unit.Length
	Volume unit.Volume
	Mass   unit.Mass
}

// Layer returns the placed layer of that ID.
func (s *Section) Layer(id string) (*Placed, bool) {
	for i := range s.Layers {
		if s.Layers[i].ID == id {
			return &s.Layers[i], true
		}
	}
	return nil, false
}

// Mass returns the mass of one finished piece.
func (s *Section) Mass() unit.Mass {
	var m unit.Mass
	for i := range s.Layers {
		m += s.Layers[i].Mass
	}
	return m
}

// Part is so much of a component in one piece.
type Part struct {
	Component Component
	Each      unit.Mass
	Pieces    int    // of a counted décor
	Layer     string // first layer that takes it
}

// Parts returns what one piece is made of: formulas, ingredients laid as they are, and stand-ins,
// inserts taken apart into theirs. Layers of the same component are added up; the order is that
// of laying.
func (s *Section) Parts() []Part {
	var out []Part
	s.addParts(&out)
	return out
}

func (s *Section) addParts(out *[]Part) {
	for i := range s.Layers {
		p := &s.Layers[i]
		if p.Inside != nil {
			p.Inside.addParts(out)
			continue
		}
		id, found := p.Of.ID(), false
		for j := range *out {
			if (*out)[j].Component.ID() == id {
				(*out)[j].Each += p.Mass
				(*out)[j].Pieces += p.Pieces
				found = true
				break
			}
		}
		if !found {
			*out = append(*out, Part{Component: p.Of, Each: p.Mass, Pieces: p.Pieces, Layer: p.ID})
		}
	}
}

// Region is a layer in the half section: at each height, the stretch from In to Out, measured
// from the axis along the section's plane. Heights ascend; between two of them the edges are
// straight. Where a height stands twice the edge jumps.
type Region struct {
	Z, In, Out []unit.Length
}

// Empty reports whether there is nothing to draw.
func (r Region) Empty() bool { return len(r.Z) < 2 }

// At returns the region's stretch at a height, and whether there is one. Where the edge jumps it is the
// stretch below the jump, unless that is empty.
func (r Region) At(z unit.Length) (in, out unit.Length, ok bool) {
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

// roomFor returns an empty region that n heights fit into.
func roomFor(n int) Region {
	all := make([]unit.Length, 3*n)
	return Region{Z: all[:0:n], In: all[n : n : 2*n], Out: all[2*n : 2*n : 3*n]}
}

func (r *Region) add(z, in, out unit.Length) {
	r.Z = append(r.Z, z)
	r.In = append(r.In, min(in, out))
	r.Out = append(r.Out, out)
}

// Shift returns the region raised by dz.
func (r Region) Shift(dz unit.Length) Region {
	z := make([]unit.Length, len(r.Z))
	for i := range z {
		z[i] = r.Z[i] + dz
	}
	return Region{Z: z, In: r.In, Out: r.Out}
}

// TurnOver returns the region mirrored about the height z.
func (r Region) TurnOver(z unit.Length) Region {
	n := len(r.Z)
	out := Region{Z: make([]unit.Length, n), In: make([]unit.Length, n), Out: make([]unit.Length, n)}
	for i := range n {
		out.Z[i], out.In[i], out.Out[i] = 2*z-r.Z[n-1-i], r.In[n-1-i], r.Out[n-1-i]
	}
	return out
}
