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
	// Nominal is the shape as it was described, where a water test has corrected Solid; else nil.
	Nominal Solid
	// WaterTest is the mass of water at 20 °C that fills one cavity to the rim; see Correct.
	WaterTest           unit.Mass
	OpenTop, OpenBottom bool
	Role                string

	RoomWidth, RoomDepth, RoomHeight unit.Length // what it takes on a shelf
}

// waterAt20 is the density of water at 20 °C and one atmosphere, 0.9982 g/ml.
// Source: CRC Handbook of Chemistry and Physics, properties of water in the range 0-100 °C.
const waterAt20 = 0.9982 * unit.GramPerMillilitre

// Capacity returns the volume of one cavity, struck level with the rim.
func (m *Mould) Capacity() unit.Volume { return m.Solid.Below(m.Solid.Height()) }

// WaterRatio returns the volume that the water test measured over that of the nominal shape.
// It is not ok where no test is on record.
func (m *Mould) WaterRatio() (ratio float64, ok bool) {
	if !(m.WaterTest > 0) || math.IsInf(float64(m.WaterTest), 0) {
		return 0, false
	}
	s := m.Solid
	if m.Nominal != nil {
		s = m.Nominal
	}
	return float64(waterAt20.Volume(m.WaterTest) / s.Below(s.Height())), true
}

// Bounds of what a water test may say of the nominal shape: published pans hold 0.54 to 1.25 of
// theirs (testdata/pans.csv). Beyond them a figure is a slip.
const (
	leastWater = 0.5
	mostWater  = 1.3
)

// Correct enlarges or shrinks the shape across until it holds what the water test says. Heights
// stay: they are what the cook reads on a ruler. Without a test nothing changes. An error says
// that the test is too far from the shape to be true of it.
func (m *Mould) Correct() error {
	ratio, ok := m.WaterRatio()
	if !ok || m.Nominal != nil {
		return nil
	}
	if ratio < leastWater || ratio > mostWater {
		nominal := m.Capacity()
		return fmt.Errorf("mould %q: a water test of %s is %s %% of the shape's %s: measure again, or correct the shape's dimensions", m.ID, unit.Number(m.WaterTest.Grams(), 0)+" g", unit.Number(100*ratio, 0), millilitres(nominal))
	}
	m.Nominal, m.Solid = m.Solid, Scaled(m.Solid, math.Sqrt(ratio), 1)
	return nil
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
