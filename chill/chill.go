// Package chill asks package heat what an assembly does in its surroundings: how long it takes to freeze,
// to chill and to thaw, what becomes of it in one place after the other, how warm it is where, what a probe
// reading says of the rest; and of a formula how it cools, sets and glazes.
//
// Body is a piece on its own section, or a portion cut from it, for the field solver. Piece is one body of one material, in the
// shape nearest to the piece's own, for an estimate in microseconds. What else stands in the freezer
// is heat.Load's affair. Every answer carries its range, and a probe thermometer decides.
package chill

import (
	"errors"
	"fmt"
	"time"

	"chablon/assembly"
	"chablon/formula"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/material"
	"chablon/mould"
	"chablon/unit"
)

// Wait is how long something takes, with the range that the estimate is sure of.
type Wait struct {
	Time, Low, High time.Duration
	Criterion       string // "core at −15 °C"
	Place           string // "Freezer, still air at −20 °C"
	Method          string
}

// Core temperatures that end a wait. Source: common practice, no source.
const (
	unmouldCore = unit.Temperature(-15) // solid through: unmoulds and takes a glaze
	warmest     = unit.Temperature(-10) // in a freezer that cannot reach the first
	chilledCore = unit.Temperature(5)   // bib:food-code-2022, 3-501.16
	margin      = 3                     // kelvin between air and the core that it can reach in a night
	closeMargin = 1                     // the same in a refrigerator, where the last kelvin is worth a wait
)

// SolidCore returns the temperature of the warmest place at which a piece in freezer air is called solid
// enough to unmould and glaze: −15 °C, or 3 K over warmer air, since the last kelvins towards the air take
// longer than a night and a place is never as cold as the air. Above −10 °C a piece is not solid enough, so
// that a freezer warmer than −13 °C never does it. Source: common practice, no source.
func SolidCore(air unit.Temperature) unit.Temperature { return max(unmouldCore, air+margin) }

// Piece is what is chilled: its body and its material.
type Piece struct {
	body    heat.Body
	thermal material.Thermal
}

// OfSection returns an assembly as one body. It returns an error where a component's composition
// is not known well enough.
func OfSection(s *assembly.Section) (Piece, error) {
	if s.Top <= 0 {
		return Piece{}, errors.New("the piece has no height")
	}
	var mix material.Mix
	for _, p := range s.Parts() {
		switch c := p.Component; {
		case c.Formula != nil:
			mix.Add(c.Formula.Composition(), p.Each)
		case c.Ingredient != nil:
			mix.Add(c.Ingredient.Composition, p.Each)
		default:
			mix.Add(material.Composition{}, p.Each) // a stand-in: nothing is known of it
		}
	}
	return piece(s.Mould.Solid, s.Top, mix.Composition(), unit.DensityOf(mix.Total(), s.Mould.Solid.Below(s.Top)))
}

// OfFormula returns so much of a formula's component, filled into a mould up to a height.
func OfFormula(f *formula.Formula, s mould.Solid, height unit.Length) (Piece, error) {
	d, _ := f.FinishedDensity()
	return piece(s, height, f.Composition(), d)
}

func piece(s mould.Solid, height unit.Length, c material.Composition, density unit.Density) (Piece, error) {
	f, err := foodOf("a component", c, density)
	if err != nil {
		return Piece{}, err
	}
	t, err := f.thermal()
	if err != nil {
		return Piece{}, err
	}
	return Piece{body: body(s, height), thermal: t}, nil
}

// body returns the nearest simple shape: a disc of the same height and area for an upright wall,
// a box for a frame, and for a dome the ball with the same ratio of volume to surface, which is
// what sets the pace of freezing.
func body(s mould.Solid, height unit.Length) heat.Body {
	rim, low := s.At(height), s.At(height/1000)
	volume := s.Below(height)
	if low.Width < rim.Width/2 { // closes to a pole
		surface := float64(s.Wall(0, height)) + float64(rim.Area())
		return heat.Sphere(unit.Length(6 * float64(volume) / surface))
	}
	if rim.IsCircle() {
		return heat.Cylinder((rim.Width+low.Width)/2, height)
	}
	return heat.Brick((rim.Width+low.Width)/2, (rim.Depth+low.Depth)/2, height)
}

// Freeze returns how long the piece takes from a temperature until its core is solid enough to
// unmould and glaze, see SolidCore. A freezer above −13 °C never does it, and the error says so.
func (p Piece) Freeze(from unit.Temperature, in kitchen.Equipment) (Wait, error) {
	place, err := placeOf(in)
	if err != nil {
		return Wait{}, err
	}
	target := SolidCore(place.Usual)
	if target > warmest {
		return Wait{}, fmt.Errorf("never solid enough to unmould in %s: take a freezer at −13 °C or colder", placeName(in))
	}
	e, err := heat.Freezing(p.body, p.thermal, from, target, place.Usual, place.Default)
	return wait(e, err, target, in)
}

// Chill returns how long the piece takes until its core is at 5 °C, or 1 K above the air of a
// warmer refrigerator; the criterion says which.
func (p Piece) Chill(from unit.Temperature, in kitchen.Equipment) (Wait, error) {
	place, err := placeOf(in)
	if err != nil {
		return Wait{}, err
	}
	target := max(chilledCore, place.Usual+closeMargin)
	e, err := heat.Cooling(p.body, p.thermal, from, target, place.Usual, place.Default)
	return wait(e, err, target, in)
}

// Thaw returns how long the frozen piece takes until its core is at 0 °C: soft through.
func (p Piece) Thaw(from unit.Temperature, in kitchen.Equipment) (Wait, error) {
	place, err := placeOf(in)
	if err != nil {
		return Wait{}, err
	}
	e, err := heat.Thawing(p.body, p.thermal, from, place.Usual, place.Default)
	return wait(e, err, heat.ThawedCore, in)
}

func wait(e heat.Estimate, err error, core unit.Temperature, in kitchen.Equipment) (Wait, error) {
	if err != nil {
		return Wait{}, err
	}
	return Wait{Time: e.Time, Low: e.Low, High: e.High, Criterion: "core at " + core.Show(), Place: placeName(in), Method: e.Method}, nil
}
