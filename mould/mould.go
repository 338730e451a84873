package mould

import (
	"errors"
	"fmt"
	"math"

	"chablon/unit"
)

// Roles of a mould.
const (
	RoleMould = "mould" // a piece is assembled or set in it
	RolePan   = "pan"   // a batter is baked in it
	RoleSheet = "sheet" // pieces are cut from what is baked on it
)

// Mould is a space to fill, bake or freeze in, of one or several equal cavities. A length or
// mass of zero was not given.
type Mould struct {
	ID, Name string
	Solid    Solid  // the inside of one cavity
	Cavities int    // at least 1
	Material string // steel, aluminium, silicone …
	Wall     unit.Length
	// WaterTest is the mass of water at 20 °C that fills one cavity to the rim.
	WaterTest           unit.Mass
	OpenTop, OpenBottom bool
	Role                string

	RoomWidth, RoomDepth, RoomHeight unit.Length // what it takes on a shelf
}

// waterAt20 is the density of water at 20 °C and one atmosphere, 0.9982 g/ml.
// Source: CRC Handbook of Chemistry and Physics, properties of water in the range 0-100 °C.
const waterAt20 = 0.9982 * unit.GramPerMillilitre

// Capacity returns the volume of one cavity, struck level with the rim: that of the nominal
// shape. A water test does not change it, nor the levels; see WaterRatio.
func (m *Mould) Capacity() unit.Volume { return m.Solid.Below(m.Solid.Height()) }

// WaterRatio returns the volume that the water test measured over that of the nominal shape.
// It is not ok where no test is on record. Levels and outlines are of the nominal shape for
// now: a ratio far from 1 is for a check to report.
func (m *Mould) WaterRatio() (ratio float64, ok bool) {
	if !(m.WaterTest > 0) || math.IsInf(float64(m.WaterTest), 0) {
		return 0, false
	}
	return float64(waterAt20.Volume(m.WaterTest) / m.Capacity()), true
}

// Validate returns what is wrong with the mould, all at once, or nil.
func (m *Mould) Validate() error {
	var errs []error
	refuse := func(format string, args ...any) {
		errs = append(errs, fmt.Errorf("mould %q: "+format, append([]any{m.ID}, args...)...))
	}
	if m.Solid == nil {
		refuse("it has no shape: give a ring, round pan, frame, dome or turned profile")
	}
	if m.Cavities < 1 {
		refuse("cavities is %d: give 1 or more", m.Cavities)
	}
	if !(m.WaterTest >= 0) || math.IsInf(float64(m.WaterTest), 0) {
		refuse("water test is %s: give the mass of water in one cavity, or leave it out", unit.Number(m.WaterTest.Grams(), 1)+" g")
	}
	for _, l := range []struct {
		name string
		l    unit.Length
	}{{"wall", m.Wall}, {"room width", m.RoomWidth}, {"room depth", m.RoomDepth}, {"room height", m.RoomHeight}} {
		if err := checkZeroOrLength(l.name, l.l); err != nil {
			refuse("%w", err)
		}
	}
	switch m.Role {
	case "", RoleMould, RolePan, RoleSheet:
	default:
		refuse("role is %q: accepted are mould, pan, sheet", m.Role)
	}
	return errors.Join(errs...)
}
