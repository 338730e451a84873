package mould

import (
	"fmt"
	"math"

	"chablon/unit"
)

// point is a place in the half section: distance from the axis, height.
type point struct{ r, z float64 }

func (p point) plus(q point, k float64) point { return point{p.r + k*q.r, p.z + k*q.z} }
func (p point) dot(q point) float64           { return p.r*q.r + p.z*q.z }
func (p point) to(q point) point              { return point{q.r - p.r, q.z - p.z} }

// carrier is the whole line or circle on which an offset segment lies.
type carrier struct {
	circle bool
	p      point   // a point of the line, or the centre
	dir    point   // unit direction of the line, upward or outward
	a      float64 // radius
}

// Grown implements Solid. Each segment is moved out by t along its normal, an arc to the
// concentric one; neighbours are extended or cut where they meet, so that edges are mitred.
func (t *Turned) Grown(film unit.Length) (Solid, error) {
	if err := checkZeroOrLength("the thickness of the film", film); err != nil {
		return nil, err
	}
	if film == 0 {
		return t, nil
	}
	d := float64(film)
	segments := t.segments
	if r := segments[0].r0; r > 0 {
		segments = append([]segment{newLine(0, 0, r, 0)}, segments...)
	}
	carriers := make([]carrier, len(segments))
	for i := range segments {
		carriers[i] = segments[i].offset(d)
	}
	first, last := &segments[0], &segments[len(segments)-1]
	axis := carrier{p: point{0, 0}, dir: point{0, 1}}
	rim := carrier{p: point{0, last.z1}, dir: point{1, 0}}

	at := make([]point, 0, len(segments)+1)
	at = append(at, meet(axis, carriers[0], point{first.r0, first.z0 - d}))
	for i := 1; i < len(segments); i++ {
		before, after := &segments[i-1], &segments[i]
		corner := point{after.r0, after.z0}
		normal, next := before.normal(before.r1, before.z1), after.normal(after.r0, after.z0)
		if normal.dot(next) > 1-1e-12 { // they run on smoothly
			at = append(at, corner.plus(next, d))
		} else {
			mitre := point{normal.r + next.r, normal.z + next.z}
			at = append(at, meet(carriers[i-1], carriers[i], corner.plus(mitre, d/(1+normal.dot(next)))))
		}
	}
	at = append(at, meet(carriers[len(carriers)-1], rim, point{last.r1 + d, last.z1}))

	points := make([]ProfilePoint, len(at))
	for i, p := range at {
		z := p.z - at[0].z
		if i > 0 {
			s := &segments[i-1]
			old := point{s.r1 - s.r0, s.z1 - s.z0}
			if at[i-1].to(p).dot(old) <= 0 {
				return nil, fmt.Errorf("a film of %s closes a hollow of the profile: take a thinner one", show(film))
			}
			if s.z1 == s.z0 { // a flat stays one, whatever the rounding
				z = float64(points[i-1].Z)
			}
			if s.arc {
				points[i].Arc = unit.Length(s.a + d)
			}
		}
		points[i].R, points[i].Z = unit.Length(max(0, p.r)), unit.Length(z)
	}
	grown, err := NewTurned(points)
	if err != nil {
		return nil, fmt.Errorf("with a film of %s: %w", show(film), err)
	}
	return grown, nil
}

// normal returns the unit normal away from the body at a point of the segment.
func (s *segment) normal(r, z float64) point {
	if s.arc {
		return point{(r - s.c) / s.a, (z - s.zc) / s.a}
	}
	l := math.Hypot(s.r1-s.r0, s.z1-s.z0)
	return point{(s.z1 - s.z0) / l, -(s.r1 - s.r0) / l}
}

// offset returns what carries the segment after it has moved out by d.
func (s *segment) offset(d float64) carrier {
	if s.arc {
		return carrier{circle: true, p: point{s.c, s.zc}, a: s.a + d}
	}
	n := s.normal(s.r0, s.z0)
	return carrier{p: point{s.r0, s.z0}.plus(n, d), dir: point{-n.z, n.r}}
}

// meet returns where two carriers cross, the place nearest to near. Those of neighbouring
// segments always do: moving both out by one distance cannot part them. Where rounding says
// that they only touch, the touching point is returned.
func meet(a, b carrier, near point) point {
	switch {
	case !a.circle && !b.circle:
		cross := a.dir.r*b.dir.z - a.dir.z*b.dir.r
		gap := a.p.to(b.p)
		return a.p.plus(a.dir, (gap.r*b.dir.z-gap.z*b.dir.r)/cross)
	case a.circle && b.circle:
		// The crossing points lie on the common chord, a line square to that of the centres.
		between := a.p.to(b.p)
		dist := math.Sqrt(between.dot(between))
		dir := point{between.r / dist, between.z / dist}
		along := (dist*dist + a.a*a.a - b.a*b.a) / (2 * dist)
		return meet(a, carrier{p: a.p.plus(dir, along), dir: point{-dir.z, dir.r}}, near)
	case b.circle:
		a, b = b, a
	}
	foot := b.p.plus(b.dir, b.p.to(a.p).dot(b.dir))
	off := foot.to(a.p)
	half := math.Sqrt(max(0, a.a*a.a-off.dot(off)))
	one, other := foot.plus(b.dir, half), foot.plus(b.dir, -half)
	if toOne, toOther := near.to(one), near.to(other); toOther.dot(toOther) < toOne.dot(toOne) {
		return other
	}
	return one
}
