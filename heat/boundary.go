package heat

import (
	"fmt"
	"math"
	"time"

	"chablon/unit"
)

// Cover is a wall between food and surroundings: a mould, a board, a tray, a layer of air. Its own
// heat is not counted.
type Cover struct {
	Thickness    unit.Length
	Conductivity unit.Conductivity
}

// Boundary is what a face meets: surroundings of a temperature, their coefficient, and the covers in
// between. A coefficient of 0 insulates.
//
// Humidity is that of the air, relative, 0 to 1: moisture settles on a bare face that is colder than the
// dew point and warms it. It is 0 for none: on a covered face, in a closed box, below freezing.
type Boundary struct {
	Air      unit.Temperature
	Transfer unit.HeatTransfer
	Covers   []Cover
	Humidity float64
}

// Overall returns the coefficient with the covers in series, in dry air.
func (b Boundary) Overall() unit.HeatTransfer {
	h := b.Transfer
	for _, c := range b.Covers {
		h = h.Through(c.Thickness, c.Conductivity)
	}
	return h
}

// Stage is what stands around a Field from a time on, until the next stage: freezer, refrigerator,
// room; or the same freezer with the mould taken off.
type Stage struct {
	From time.Duration
	// The flat ends, the outer wall, and the wall of the hole of a ring that has one.
	Bottom, Top, Side, Bore Boundary
}

// Around is a stage with the same surroundings on all faces.
func Around(from time.Duration, b Boundary) Stage { return Stage{from, b, b, b, b} }

// boundary returns what a group of faces meets.
func (s *Stage) boundary(of side) *Boundary {
	return [...]*Boundary{bottom: &s.Bottom, top: &s.Top, wall: &s.Side, bore: &s.Bore}[of]
}

var sideNames = [sides]string{"bottom", "top", "side", "bore"}

// Temperatures that a Field takes, degC.
const (
	coldestField = -120
	hottestField = 200
)

// checkTemperature returns an *InputError for a temperature that no cook means.
func checkTemperature(field string, t unit.Temperature) error {
	if !(t >= coldestField && t <= hottestField) {
		return &InputError{field, fmt.Sprintf("%g degC", t.Celsius()), fmt.Sprintf("give one between %d and %d degC", coldestField, hottestField)}
	}
	return nil
}

// checkStages returns an *InputError unless there is a stage, the first from 0 on, each later than
// the one before, with figures that can be used on the faces that the mesh has.
func (m *mesh) checkStages(stages []Stage) error {
	if len(stages) == 0 {
		return &InputError{"stages", "none", "say what stands around the food"}
	}
	var used [sides]bool
	for _, f := range m.faces {
		used[f.side] = true
	}
	for i := range stages {
		s := &stages[i]
		if i == 0 && s.From > 0 || i > 0 && s.From <= stages[i-1].From {
			return &InputError{fmt.Sprintf("stage %d", i+1), "from " + s.From.String(), "let the first begin at 0 and each later than the one before"}
		}
		for of := range sides {
			if !used[of] {
				continue
			}
			name := fmt.Sprintf("stage %d, %s: ", i+1, sideNames[of])
			if err := s.boundary(of).check(name); err != nil {
				return err
			}
		}
	}
	return nil
}

func (b *Boundary) check(name string) error {
	if err := checkTemperature(name+"air", b.Air); err != nil {
		return err
	}
	if !(b.Transfer >= 0 && b.Transfer <= 1e5) {
		return &InputError{name + "surface coefficient", fmt.Sprintf("%g W/(m2 K)", float64(b.Transfer)), "give one between 0 (insulated) and 100000"}
	}
	if !(b.Humidity >= 0 && b.Humidity <= 1) {
		return &InputError{name + "humidity", fmt.Sprintf("%g", b.Humidity), "give the relative one, from 0 to 1"}
	}
	for _, c := range b.Covers {
		if !(c.Thickness >= 0 && c.Thickness <= 1) {
			return &InputError{name + "cover", fmt.Sprintf("%g mm thick", c.Thickness.Millimetres()), "give a thickness between 0 and 1 m"}
		}
		if !(c.Conductivity > 0) || math.IsInf(float64(c.Conductivity), 0) {
			return &InputError{name + "cover", fmt.Sprintf("of conductivity %g W/(m K)", float64(c.Conductivity)), "give one above 0"}
		}
	}
	return nil
}
