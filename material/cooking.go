package material

import (
	"fmt"

	"chablon/unit"
)

// CookingStage is a degree to which sugar syrup is cooked, with the temperatures that charts give
// at sea level.
type CookingStage struct {
	Name      string
	Low, High unit.Temperature
	Sugar     unit.Range // in the syrup, per cent by mass, as charts give it
	Cue       string     // a little dropped into cold water
}

// SugarStages lists the stages from the weakest to caramel. Temperatures and sugar are those of
// cooking charts, which agree within 2 K; cues are common practice, no source.
func SugarStages() []CookingStage {
	return []CookingStage{
		{"thread", 110, 112, unit.Range{Low: 80, High: 80}, "draws a thread between two fingers"},
		{"soft ball", 112, 116, unit.Range{Low: 85, High: 85}, "a ball that flattens when it is taken out"},
		{"firm ball", 118, 120, unit.Range{Low: 87, High: 87}, "a ball that keeps its shape and gives when pressed"},
		{"hard ball", 121, 130, unit.Range{Low: 90, High: 92}, "a hard ball that still gives a little"},
		{"soft crack", 132, 143, unit.Range{Low: 95, High: 95}, "threads that bend before they break"},
		{"hard crack", 146, 154, unit.Range{Low: 98, High: 99}, "threads that snap"},
		{"caramel", 160, 177, unit.Range{Low: 100, High: 100}, "no water is left: judge it by its colour"},
	}
}

// StageAt returns the first stage whose temperatures, at sea level, hold t; false between stages.
func StageAt(t unit.Temperature) (CookingStage, bool) {
	for _, s := range SugarStages() {
		if t >= s.Low && t <= s.High {
			return s, true
		}
	}
	return CookingStage{}, false
}

// At returns the temperatures of the stage at another pressure: those at which the same syrup boils
// there, by the model of SyrupBoilingPoint. At 1600 m they are about 6 K lower (the kitchen's rule is
// 2 degF for 1000 ft). Caramel is a melt and keeps its temperatures. A pressure at which the syrup
// cannot boil gives an error.
func (s CookingStage) At(p Pressure) (low, high unit.Temperature, err error) {
	move := func(t unit.Temperature) unit.Temperature {
		if err != nil {
			return t
		}
		var b Brix
		if b, err = BoiledTo(t, Atmosphere); err != nil {
			return t
		}
		t, err = SyrupBoilingPoint(b, p)
		return t
	}
	if s.Low >= 160 {
		if p <= 0 {
			return 0, 0, fmt.Errorf("pressure %g kPa: give one above 0", p.Kilopascals())
		}
		return s.Low, s.High, nil
	}
	low, high = move(s.Low), move(s.High)
	if err != nil {
		return 0, 0, fmt.Errorf("stage %q: %w", s.Name, err)
	}
	return low, high, nil
}

// BoilOff returns the water that leaves when m of a syrup is cooked from one concentration of
// solids to another, m (1 - from/to): the solids stay. from must lie above 0, to between from
// and 100 Bx, and m be 0 or more; else it returns an error.
func BoilOff(m unit.Mass, from, to Brix) (unit.Mass, error) {
	switch {
	case !(m >= 0 && m < 1e9):
		return 0, fmt.Errorf("syrup of %g g: give a mass of 0 or more", m.Grams())
	case !(from > 0 && from <= 100):
		return 0, fmt.Errorf("%g Bx at the start: must lie above 0 and not above 100", float64(from))
	case !(to >= from && to <= 100):
		return 0, fmt.Errorf("%g Bx at the end: must lie between %g at the start and 100; a syrup is thinned by adding water", float64(to), float64(from))
	}
	return m * unit.Mass(1-from/to), nil
}
