package mould

import (
	"math"

	"chablon/unit"
)

// Scaled returns a solid enlarged by a factor across and a factor upward, both above zero and
// near one: a ring that is a little wider or higher than it should be. A solid with arcs in its
// wall is enlarged alike in all directions, to the same volume.
func Scaled(s Solid, across, up float64) Solid {
	if across == 1 && up == 1 {
		return s
	}
	if own, ok := s.(interface {
		scaled(across, up float64) (Solid, bool)
	}); ok {
		if out, ok := own.scaled(across, up); ok {
			return out
		}
	}
	return similar{s, unit.Length(math.Cbrt(across * across * up))}
}

// scaled implements what Scaled looks for; false where the profile has arcs.
func (t *Turned) scaled(across, up float64) (Solid, bool) {
	out := &Turned{segments: make([]segment, len(t.segments))}
	for i := range t.segments {
		s := &t.segments[i]
		if s.arc {
			return nil, false
		}
		line := newLine(s.r0*across, s.z0*up, s.r1*across, s.z1*up)
		line.below = out.capacity
		out.capacity += line.volume(line.z1 - line.z0)
		out.segments[i] = line
	}
	return out, true
}

func (s *Drawn) scaled(across, up float64) (Solid, bool) {
	lean := across / up
	return newDrawn(s.rim.Scaled(across), s.height*unit.Length(up), s.leanW*lean, s.leanD*lean, s.leanC*lean), true
}

// similar is a solid enlarged by one factor in all directions.
type similar struct {
	s Solid
	f unit.Length
}

func (x similar) Height() unit.Length      { return x.f * x.s.Height() }
func (x similar) At(z unit.Length) Outline { return x.s.At(z / x.f).Scaled(float64(x.f)) }
func (x similar) Below(z unit.Length) unit.Volume {
	return unit.Volume(x.f*x.f*x.f) * x.s.Below(z/x.f)
}

func (x similar) Wall(z0, z1 unit.Length) unit.Area {
	return unit.Area(x.f*x.f) * x.s.Wall(z0/x.f, z1/x.f)
}

func (x similar) Breaks() []unit.Length {
	out := make([]unit.Length, 0, 8)
	for _, z := range x.s.Breaks() {
		out = append(out, x.f*z)
	}
	return out
}

func (x similar) Grown(t unit.Length) (Solid, error) {
	g, err := x.s.Grown(t / x.f)
	if err != nil {
		return nil, err
	}
	return similar{g, x.f}, nil
}
