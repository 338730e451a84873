package assembly

import (
	"slices"

	"chablon/mould"
	"chablon/unit"
)

// chord bounds how far a drawn straight edge may lie from a curved wall.
const arcSteps = 96 // per stretch between breaks: below 0.02 mm for a sphere of 200 mm

// heights returns the heights at which a half section between two levels must be known: its
// ends, every break of the wall and of the bodies, and steps along curved stretches.
func (p *placement) heights(za, zb unit.Length) []unit.Length {
	zs := []unit.Length{za, zb}
	inside := func(z unit.Length) {
		if z > za && z < zb {
			zs = append(zs, z)
		}
	}
	for _, z := range p.solid.Breaks() {
		inside(z)
	}
	for i := range p.bodies {
		b := &p.bodies[i]
		inside(b.z0)
		inside(b.z1)
		for _, z := range b.breaks {
			inside(z)
		}
	}
	slices.Sort(zs)
	zs = slices.Compact(zs)
	out := zs[:1:1]
	for i := 1; i < len(zs); i++ {
		if p.curved(zs[i-1], zs[i]) {
			for k := 1; k < arcSteps; k++ {
				// Closer near the lower end, where a pole is flat: steps grow as squares.
				t := unit.Length(k) / arcSteps
				out = append(out, zs[i-1]+(zs[i]-zs[i-1])*t*t)
			}
		}
		out = append(out, zs[i])
	}
	return out
}

// curved reports whether the wall or a body's face leaves the straight line between two heights.
func (p *placement) curved(za, zb unit.Length) bool {
	if bent(p.solid.At, za, zb) {
		return true
	}
	for i := range p.bodies {
		if b := &p.bodies[i]; b.z0 <= za && zb <= b.z1 && bent(b.at, za, zb) {
			return true
		}
	}
	return false
}

func bent(at func(unit.Length) mould.Outline, za, zb unit.Length) bool {
	d := (at((za+zb)/2).Width - (at(za).Width+at(zb).Width)/2) / 2
	return d > 1e-7 || d < -1e-7
}

// bodyRegion returns the half section of one body.
func (p *placement) bodyRegion(b *body) Region {
	zs := p.heights(b.z0, b.z1)
	r := roomFor(len(zs))
	for _, z := range zs {
		if b.band {
			r.add(z, b.at(z).Width/2, p.solid.At(z).Width/2)
		} else {
			r.add(z, 0, b.at(z).Width/2)
		}
	}
	return r
}

// freeRegion returns the half section of the space between two levels that no body takes.
func (p *placement) freeRegion(za, zb unit.Length) Region {
	zs := p.heights(za, zb)
	r := roomFor(len(zs) + len(p.bodies))
	for i := 1; i < len(zs); i++ {
		lo, hi := zs[i-1], zs[i]
		in0, out0 := p.stretch(lo, lo, hi)
		in1, out1 := p.stretch(hi, lo, hi)
		if n := len(r.Z); n == 0 || r.Z[n-1] != lo || r.In[n-1] != in0 || r.Out[n-1] != out0 {
			r.add(lo, in0, out0)
		}
		r.add(hi, in1, out1)
	}
	return r
}

// stretch returns what is free at a height z, counting the bodies that stand all the way from lo
// to hi.
func (p *placement) stretch(z, lo, hi unit.Length) (in, out unit.Length) {
	out = p.solid.At(z).Width / 2
	for i := range p.bodies {
		b := &p.bodies[i]
		if b.z0 > lo+1e-12 || b.z1 < hi-1e-12 {
			continue
		}
		if w := b.at(z).Width / 2; b.band {
			out = min(out, w)
		} else {
			in = max(in, w)
		}
	}
	return min(in, out), out
}
