package material

import (
	"fmt"

	"chablon/unit"
)

// Portion is a mass of food at a temperature.
type Portion struct {
	Food        Thermal
	Mass        unit.Mass
	Temperature unit.Temperature
}

// MixedTemperature returns the temperature of portions stirred together with no heat lost: that at
// which they hold the heat that they bring. It uses Thermal.Enthalpy, the integral of SpecificHeat
// with the latent heat of ice.
//
// Fat that melts or sets is ignored (50 to 120 kJ for a kilogram of fat between 5 and 35 degC), so
// cold butter or cream gives too warm a result there; so are the heat of solution of dry sugar, the
// bowl, and what evaporates from a hot syrup: a real bowl is colder. Where no fat changes and the
// bowl is warm expect 2 to 3 K.
//
// It returns an error without any mass, for a mass below 0, a temperature outside -40 to 150 degC, or
// a Thermal that is zero.
func MixedTemperature(parts ...Portion) (unit.Temperature, error) {
	var mass unit.Mass
	heat := 0.0
	for i, p := range parts {
		switch {
		case !(p.Mass >= 0 && p.Mass < 1e9):
			return 0, fmt.Errorf("portion %d: %g g: give a mass of 0 or more", i+1, p.Mass.Grams())
		case !(p.Temperature >= thermalLowest && p.Temperature <= thermalHighest):
			return 0, fmt.Errorf("portion %d: %g degC: must lie between %g and %g", i+1, p.Temperature.Celsius(), float64(thermalLowest), float64(thermalHighest))
		case p.Food.SpecificHeat(p.Temperature) <= 0:
			return 0, fmt.Errorf("portion %d: no food is given: make it with Composition.Thermal", i+1)
		}
		mass += p.Mass
		heat += float64(p.Mass) * float64(p.Food.Enthalpy(p.Temperature))
	}
	if mass <= 0 {
		return 0, fmt.Errorf("nothing to mix: give a mass")
	}
	low, high := thermalHighest, thermalLowest
	for _, p := range parts {
		if p.Mass > 0 {
			low, high = min(low, p.Temperature), max(high, p.Temperature)
		}
	}
	return unit.Celsius(rising(low.Celsius(), high.Celsius(), heat, func(t float64) float64 {
		sum := 0.0
		for _, p := range parts {
			sum += float64(p.Mass) * float64(p.Food.Enthalpy(unit.Celsius(t)))
		}
		return sum
	})), nil
}
