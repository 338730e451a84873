package mould

import (
	"math"

	"chablon/unit"
)

// Log is a profile run along a length between two upright ends: a log or gutter mould, standing on
// its lowest line with its opening up. Make it with NewLog or RoundLog.
type Log struct {
	profile *Turned // half of the section: distance from the middle and height
	length  unit.Length
	areas   []float64 // of the whole section under each segment of the profile
	section float64
}

var _ Solid = (*Log)(nil)

// NewLog returns the log whose half section runs through the points from the lowest to the rim,
// R being the distance from the middle; see NewTurned.
func NewLog(points []ProfilePoint, length unit.Length) (Solid, error) {
	if err := checkLength("the length", length); err != nil {
		return nil, err
	}
	p, err := NewTurned(points)
	if err != nil {
		return nil, err
	}
	return newLog(p, length), nil
}

// RoundLog returns the log of a width and a height over all whose walls are straight down to an
// arc of a rise: half the width makes it half a cylinder.
func RoundLog(width, height, rise, length unit.Length) (Solid, error) {
	if err := checkLength("the width", width); err != nil {
		return nil, err
	}
	if err := checkLength("the rise of the arc", rise); err != nil {
		return nil, err
	}
	a := width / 2
	points := []ProfilePoint{{}, {R: a, Z: rise, Arc: (a*a + rise*rise) / (2 * rise)}}
	if height > rise {
		points = append(points, ProfilePoint{R: a, Z: height})
	}
	return NewLog(points, length)
}

func newLog(p *Turned, length unit.Length) *Log {
	l := &Log{profile: p, length: length}
	for i := range p.segments {
		s := &p.segments[i]
		l.areas = append(l.areas, l.section)
		l.section += 2 * s.width(s.z1-s.z0)
	}
	return l
}

// width returns the integral of the distance from the middle between the start of the segment and
// t: half of the section's area there.
func (s *segment) width(t float64) float64 {
	if !s.arc {
		return t * (s.r0 + s.slope*t/2)
	}
	return s.c*t + s.beside(t)
}

// along returns the length of the profile between the start of the segment and t.
func (s *segment) along(t float64) float64 {
	if !s.arc {
		return t * s.run
	}
	return s.a * s.angle(t)
}

// Length returns how long the log is.
func (l *Log) Length() unit.Length { return l.length }

// Developed returns the width of a band that lines the section from rim to rim.
func (l *Log) Developed() unit.Length {
	sum := float64(2 * l.profile.segments[0].r0) // a flat bottom
	for i := range l.profile.segments {
		s := &l.profile.segments[i]
		if s.z0 == s.z1 {
			sum += 2 * math.Abs(s.r1-s.r0)
			continue
		}
		sum += 2 * s.along(s.z1-s.z0)
	}
	return unit.Length(sum)
}

// Height implements Solid.
func (l *Log) Height() unit.Length { return l.profile.Height() }

// At implements Solid: a rectangle as wide as the section there and as long as the log.
func (l *Log) At(z unit.Length) Outline {
	return Rectangle(l.profile.At(z).Width, l.length, 0)
}

// Below implements Solid, in closed form.
func (l *Log) Below(z unit.Length) unit.Volume {
	return unit.Volume(l.area(float64(z)) * float64(l.length))
}

// area returns the area of the section under a height.
func (l *Log) area(z float64) float64 {
	if !(z > 0) {
		return 0
	}
	for i := range l.profile.segments {
		if s := &l.profile.segments[i]; z < s.z1 {
			return l.areas[i] + 2*s.width(z-s.z0)
		}
	}
	return l.section
}

// Wall implements Solid: both sides and both ends.
func (l *Log) Wall(z0, z1 unit.Length) unit.Area {
	lo, hi := span(z0, z1)
	sum := 2 * (l.area(hi) - l.area(lo))
	for i := range l.profile.segments {
		s := &l.profile.segments[i]
		if s.z0 == s.z1 {
			if lo <= s.z0 && s.z0 < hi {
				sum += 2 * math.Abs(s.r1-s.r0) * float64(l.length)
			}
			continue
		}
		if from, to := max(lo, s.z0), min(hi, s.z1); from < to {
			sum += 2 * (s.along(to-s.z0) - s.along(from-s.z0)) * float64(l.length)
		}
	}
	return unit.Area(sum)
}

// Breaks implements Solid.
func (l *Log) Breaks() []unit.Length { return l.profile.Breaks() }

// Grown implements Solid.
func (l *Log) Grown(t unit.Length) (Solid, error) {
	p, err := l.profile.Grown(t)
	if err != nil {
		return nil, err
	}
	if err := checkLength("the log with its film", l.length+2*t); err != nil {
		return nil, err
	}
	return newLog(p.(*Turned), l.length+2*t), nil
}

func (l *Log) scaled(across, up float64) (Solid, bool) {
	p, ok := l.profile.scaled(across, up)
	if !ok {
		return nil, false
	}
	return newLog(p.(*Turned), l.length*unit.Length(across)), true
}
