package mould

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"chablon/unit"
)

// ProfilePoint is a point of the profile of a Turned solid: R from the axis, Z over the bottom.
// Arc is the radius of the arc that leads here from the point before, bulging away from the
// axis and never more than half a circle; 0 means a line.
type ProfilePoint struct{ R, Z, Arc unit.Length }

// Turned is a profile turned about the axis: rings, round pans, domes and their combinations.
// Make it with NewTurned or one of the shapes.
type Turned struct {
	segments []segment
	capacity float64
}

var _ Solid = (*Turned)(nil)

// NewTurned makes the solid whose half section runs through the points, from the bottom to the
// rim. The first point has Z = 0; if it lies off the axis the bottom is flat out to it. Heights
// must not fall; two points of one height make a ledge, except at the rim.
//
// Heights lie between 0 and MaxLength, distances from the axis between 0 and half of it. Errors name the point, counted from 1.
func NewTurned(points []ProfilePoint) (*Turned, error) {
	if len(points) < 2 {
		return nil, fmt.Errorf("the profile has %d points: give at least the bottom and the rim", len(points))
	}
	for i, p := range points {
		name := fmt.Sprintf("profile point %d", i+1)
		if !(p.R >= 0 && p.R <= MaxLength/2) {
			return nil, fmt.Errorf("%s distance from the axis is %s: give from 0 to 1.5 m, half of the greatest diameter", name, show(p.R))
		}
		if err := checkZeroOrLength(name+" height", p.Z); err != nil {
			return nil, err
		}
		if !(p.Arc >= 0) || math.IsInf(float64(p.Arc), 0) {
			return nil, fmt.Errorf("%s arc is %s: give the radius of the arc, or 0 for a line", name, show(p.Arc))
		}
	}
	if points[0].Z != 0 {
		return nil, fmt.Errorf("profile point 1 height is %s: heights are over the bottom, so the first is 0", show(points[0].Z))
	}
	t := &Turned{segments: make([]segment, 0, len(points)-1)}
	for i := 1; i < len(points); i++ {
		s, err := step(points[i-1], points[i])
		if err != nil {
			return nil, fmt.Errorf("profile point %d: %w", i+1, err)
		}
		if s.z1 == 0 { // part of the flat bottom
			if s.r1 < s.r0 {
				return nil, fmt.Errorf("profile point %d: the bottom runs back towards the axis: give its points from the axis outward", i+1)
			}
			continue
		}
		if s.z1 == s.z0 {
			if s.r1 == s.r0 {
				continue // the same point twice
			}
			if n := len(t.segments); n > 0 && t.segments[n-1].z1 == t.segments[n-1].z0 {
				return nil, fmt.Errorf("profile point %d: three points lie at the height %s: give a ledge by its two ends", i+1, show(points[i].Z))
			}
		}
		s.below = t.capacity
		t.capacity += s.volume(s.z1 - s.z0)
		t.segments = append(t.segments, s)
	}
	if err := checkLength("profile height", points[len(points)-1].Z); err != nil {
		return nil, err
	}
	if last := t.segments[len(t.segments)-1]; last.z1 == last.z0 {
		return nil, fmt.Errorf("profile point %d: the profile ends in a flat: end it at the inner edge of the rim", len(points))
	}
	return t, nil
}

// step makes the segment between two points that are each within bounds.
func step(from, to ProfilePoint) (segment, error) {
	switch {
	case to.Z < from.Z:
		return segment{}, fmt.Errorf("its height %s is below the %s before it: give the points from the bottom to the rim", show(to.Z), show(from.Z))
	case to.R < leastLength && from.R < leastLength:
		return segment{}, errors.New("the profile runs along the axis and encloses nothing: give it a distance from the axis")
	case to.Arc > 0:
		return newArc(float64(from.R), float64(from.Z), float64(to.R), float64(to.Z), float64(to.Arc))
	}
	return newLine(float64(from.R), float64(from.Z), float64(to.R), float64(to.Z)), nil
}

// Height implements Solid.
func (t *Turned) Height() unit.Length {
	return unit.Length(t.segments[len(t.segments)-1].z1)
}

// At implements Solid. The outline is a circle.
func (t *Turned) At(z unit.Length) Outline {
	y := max(0, float64(z))
	if math.IsNaN(y) {
		y = 0
	}
	for i := range t.segments {
		if s := &t.segments[i]; y < s.z1 {
			return Circle(unit.Length(2 * s.radius(y-s.z0)))
		}
	}
	return Circle(unit.Length(2 * t.segments[len(t.segments)-1].r1))
}

// Below implements Solid, in closed form.
func (t *Turned) Below(z unit.Length) unit.Volume {
	y := float64(z)
	if !(y > 0) {
		return 0
	}
	for i := range t.segments {
		if s := &t.segments[i]; y < s.z1 {
			return unit.Volume(s.below + s.volume(y-s.z0))
		}
	}
	return unit.Volume(t.capacity)
}

// Wall implements Solid, in closed form.
func (t *Turned) Wall(z0, z1 unit.Length) unit.Area {
	lo, hi := span(z0, z1)
	area := 0.0
	for i := range t.segments {
		s := &t.segments[i]
		if s.z0 == s.z1 {
			if lo <= s.z0 && s.z0 < hi {
				area += math.Pi * math.Abs(s.r1*s.r1-s.r0*s.r0)
			}
			continue
		}
		from, to := max(lo, s.z0), min(hi, s.z1)
		if from < to {
			area += s.wall(to-s.z0) - s.wall(from-s.z0)
		}
	}
	return unit.Area(area)
}

// span puts two heights in order, one that is not a number as 0.
func span(z0, z1 unit.Length) (lo, hi float64) {
	lo, hi = float64(z0), float64(z1)
	if math.IsNaN(lo) {
		lo = 0
	}
	if math.IsNaN(hi) {
		hi = 0
	}
	return min(lo, hi), max(lo, hi)
}

// Breaks implements Solid.
func (t *Turned) Breaks() []unit.Length {
	out := []unit.Length{0}
	for i := range t.segments {
		out = append(out, unit.Length(t.segments[i].z1))
	}
	return slices.Compact(out)
}

// level implements leveller.
func (t *Turned) level(v float64) float64 {
	last := len(t.segments) - 1
	for i := range t.segments {
		s := &t.segments[i]
		if s.z0 == s.z1 || i < last && v >= t.segments[i+1].below {
			continue
		}
		if v <= s.below {
			return s.z0
		}
		return s.z0 + s.level(v-s.below)
	}
	return t.segments[last].z1
}
