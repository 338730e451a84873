package mould

import (
	"fmt"
	"math"
	"strconv"

	"chablon/unit"
)

// MaxLength is the greatest dimension that a mould may have: a bound on slips of the pen, far
// beyond any bench (our choice).
const MaxLength = 3 * unit.Metre

// leastLength is taken as zero: no mould measures a micrometre.
const leastLength = unit.Metre / 1e6

// Solid is a space that is filled from the bottom. Heights are over the bottom; one outside
// 0 to Height counts as the nearer end, and one that is not a number as 0. A Solid does not
// change and may be used from several goroutines.
type Solid interface {
	// Height returns the height of the rim.
	Height() unit.Length
	// At returns the inner outline at height z. Where the wall has a ledge it is the outline
	// just above.
	At(z unit.Length) Outline
	// Below returns the volume between the bottom and height z.
	Below(z unit.Length) unit.Volume
	// Wall returns the area of the wall between two heights, in either order. The flat bottom
	// does not count; a ledge counts with the wall above it.
	Wall(z0, z1 unit.Length) unit.Area
	// Breaks returns the heights at which the wall changes its form, 0 and Height included,
	// each once and rising.
	Breaks() []unit.Length
	// Grown returns the solid with a film of thickness t outside its wall and its bottom. The
	// plane of the rim stays, so that a flat-bottomed solid becomes t higher; edges are mitred.
	// An error says that t is negative, not finite or more than the shape or MaxLength allows.
	Grown(t unit.Length) (Solid, error)
}

// leveller is a Solid that inverts its own volume: 0 < v < the whole.
type leveller interface{ level(v float64) float64 }

// Level returns the height to which v fills the solid: the inverse of Below, to 1e-12 of v.
//
// An error says that v is negative, not finite, or more than the solid holds.
func Level(s Solid, v unit.Volume) (unit.Length, error) {
	height := s.Height()
	capacity := s.Below(height)
	const slack = 1e-12 // what a sum of volumes may lose in rounding
	switch {
	case math.IsNaN(float64(v)) || math.IsInf(float64(v), 0):
		return 0, fmt.Errorf("the volume to fill in is not a finite number: give one from 0 to %s", millilitres(capacity))
	case v < 0:
		return 0, fmt.Errorf("the volume to fill in is %s: give one from 0 to %s", millilitres(v), millilitres(capacity))
	case v > capacity*(1+slack):
		return 0, fmt.Errorf("the volume to fill in is %s, but the mould holds %s: take less or a larger mould", millilitres(v), millilitres(capacity))
	case v == 0:
		return 0, nil
	case v >= capacity:
		return height, nil
	}
	if l, ok := s.(leveller); ok {
		return min(height, unit.Length(l.level(float64(v)))), nil
	}
	guess := float64(height) * float64(v/capacity)
	z := invert(float64(v), guess, float64(height), func(z float64) (float64, float64) {
		return float64(s.Below(unit.Length(z))), float64(s.At(unit.Length(z)).Area())
	})
	return unit.Length(z), nil
}

// invert returns the t in 0 to h at which a rising volume reaches v > 0. It is Newton's method,
// kept between bounds: a step that leaves them is replaced by halving. The function at returns
// the volume below t and its derivative, the area at t.
func invert(v, guess, h float64, at func(t float64) (volume, area float64)) float64 {
	lo, hi, t := 0.0, h, guess
	for range 200 {
		volume, area := at(t)
		miss := volume - v
		if math.Abs(miss) <= 2e-16*v {
			return t
		}
		if miss > 0 {
			hi = t
		} else {
			lo = t
		}
		next := t - miss/area
		if !(next > lo && next < hi) { // also where the area is zero
			next = (lo + hi) / 2
		}
		if math.Abs(next-t) <= 2e-16*t {
			return next
		}
		t = next
	}
	return t
}

// checkLength refuses a dimension that is not above 0 and at most MaxLength.
func checkLength(what string, l unit.Length) error {
	if l >= leastLength && l <= MaxLength {
		return nil
	}
	return fmt.Errorf("%s is %s: a mould measures more than 0 and at most 3 m", what, show(l))
}

// checkZeroOrLength is checkLength for what may also be 0.
func checkZeroOrLength(what string, l unit.Length) error {
	if l >= 0 && l <= MaxLength {
		return nil
	}
	return fmt.Errorf("%s is %s: it measures from 0 to 3 m", what, show(l))
}

func show(l unit.Length) string {
	switch a := math.Abs(float64(l)); {
	case math.IsNaN(a):
		return "not a number"
	case math.IsInf(a, 0):
		return "infinite"
	case a >= 1:
		return strconv.FormatFloat(float64(l), 'g', 4, 64) + " m"
	}
	return l.Show()
}

// millilitres shows a tenth, since the two figures of a message may lie close together.
func millilitres(v unit.Volume) string { return unit.Number(v.Millilitres(), 1) + " ml" }
