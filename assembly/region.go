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
	a, mid, b := at(za), at((za+zb)/2), at(zb)
	off := func(a, mid, b unit.Length) bool {
		d := (mid - (a+b)/2) / 2
		return d > 1e-7 || d < -1e-7
	}
	return off(a.Width, mid.Width, b.Width) || off(a.Hole, mid.Hole, b.Hole)
}

// bodyRegion returns the half section of one body.
func (p *placement) bodyRegion(b *body) Region {
	zs := p.heights(b.z0, b.z1)
	r := roomFor(len(zs))
	for _, z := range zs {
		o := b.at(z)
		if b.band {
			r.add(z, o.HalfWidth(), p.solid.At(z).HalfWidth())
		} else {
			r.add(z, o.Hole/2, o.HalfWidth())
		}
	}
	return r
}

// freeRegion returns the half section of the space between two levels that no body takes, outside
// the bodies or, in the core, between them and the tube of the mould.
func (p *placement) freeRegion(za, zb unit.Length, core bool) Region {
	zs := p.heights(za, zb)
	r := roomFor(len(zs) + len(p.bodies))
	for i := 1; i < len(zs); i++ {
		lo, hi := zs[i-1], zs[i]
		in0, out0 := p.stretch(lo, lo, hi, core)
		in1, out1 := p.stretch(hi, lo, hi, core)
		if n := len(r.Z); n == 0 || r.Z[n-1] != lo || r.In[n-1] != in0 || r.Out[n-1] != out0 {
			r.add(lo, in0, out0)
		}
		r.add(hi, in1, out1)
	}
	return r
}

// stretch returns what is free at a height z, counting the bodies that stand all the way from lo
// to hi. With nothing between wall and tube the core has no stretch of its own.
func (p *placement) stretch(z, lo, hi unit.Length, core bool) (in, out unit.Length) {
	wall := p.solid.At(z)
	in, out = wall.Hole/2, wall.HalfWidth()
	nearest := out
	for i := range p.bodies {
		b := &p.bodies[i]
		if b.z0 > lo+1e-12 || b.z1 < hi-1e-12 {
			continue
		}
		o := b.at(z)
		if b.band {
			out = min(out, o.HalfWidth())
			continue
		}
		nearest = min(nearest, o.Hole/2)
		if !core {
			in = max(in, o.HalfWidth())
		}
	}
	if core {
		if nearest == wall.HalfWidth() {
			nearest = in
		}
		return min(in, nearest), nearest
	}
	return min(in, out), out
}
