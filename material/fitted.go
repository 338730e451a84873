package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Simple describes a food by the few figures that are printed for meat, fish and fruit, where its
// solutes are not known: water, what of it is bound, and where it starts to freeze. Its equations are
// those of Chen and Schwartzberg in ASHRAE Handbook-Refrigeration, Thermal Properties of Foods. They
// hold for first ice above about -5 degC; for a composition that is known, Thermal is better.
type Simple struct {
	Water float64          // mass fraction, 0 to 1
	Bound float64          // of that, what never freezes: 0.4 of the protein
	First unit.Temperature // below 0 and above -40 degC
}

// Validate reports a figure that cannot be used.
func (s Simple) Validate() error {
	if !(s.Water >= 0 && s.Water <= 1 && s.Bound >= 0 && s.Bound <= s.Water) {
		return fmt.Errorf("food of %g water, %g bound: give water from 0 to 1 and no more bound than that", s.Water, s.Bound)
	}
	if !(s.First < -0.01 && s.First > thermalLowest) {
		return fmt.Errorf("food that starts to freeze at %g degC: give a point between %g and -0.01", s.First.Celsius(), float64(thermalLowest))
	}
	return nil
}

// IceFraction returns the ice in a kilogram at t (Miles 1974): 0 from First up.
func (s Simple) IceFraction(t unit.Temperature) float64 {
	if t >= s.First {
		return 0
	}
	return (s.Water - s.Bound) * (1 - float64(s.First/t))
}

// SpecificHeat returns the apparent specific heat at t, latent heat included below First (Chen 1985).
func (s Simple) SpecificHeat(t unit.Temperature) unit.SpecificHeat {
	x := 1 - s.Water
	c := 4.19 - 2.30*x - 0.628*x*x*x
	if t < s.First {
		c = 1.55 + 1.26*x - (s.Water-s.Bound)*fusionHeat/1000*float64(s.First)/sq(float64(t))
	}
	return unit.SpecificHeat(c) * unit.KilojoulePerKilogramKelvin
}

// Enthalpy returns the heat in a kilogram, counted from -40 degC (Chen 1985), for t from -40 degC up.
func (s Simple) Enthalpy(t unit.Temperature) unit.SpecificEnergy {
	below := func(t float64) float64 {
		x := 1 - s.Water
		return (t + 40) * (1.55 + 1.26*x + (s.Water-s.Bound)*fusionHeat/1000*float64(s.First)/(40*t))
	}
	if t < s.First {
		return unit.SpecificEnergy(below(float64(t))) * unit.KilojoulePerKilogram
	}
	return unit.SpecificEnergy(below(float64(s.First)))*unit.KilojoulePerKilogram +
		unit.SpecificEnergy(float64(t-s.First))*unit.SpecificEnergy(s.SpecificHeat(t))
}

// Temperature returns the temperature at which a kilogram holds h, the inverse of Enthalpy.
func (s Simple) Temperature(h unit.SpecificEnergy) unit.Temperature {
	if first := s.Enthalpy(s.First); h >= first {
		return s.First + unit.Temperature(float64(h-first)/float64(s.SpecificHeat(s.First)))
	}
	a := 1.55 + 1.26*(1-s.Water)
	b := (s.Water - s.Bound) * fusionHeat / 1000 * float64(s.First) / 40
	p := 40*a + b - h.KilojoulesPerKilogram()
	return unit.Temperature((-p - math.Sqrt(p*p-160*a*b)) / (2 * a))
}

// Tchigeov returns the ice in a kilogram of a food with so much water that starts to freeze at
// first (Tchigeov 1979, in ASHRAE Handbook-Refrigeration). It was fitted to meat, fish and fruit that
// freeze from -0.4 to -2 degC, down to -45: for sweet foods it gives too much ice just below first.
func Tchigeov(water float64, first, t unit.Temperature) float64 {
	if t >= first {
		return 0
	}
	return 1.105 * water / (1 + 0.7138/math.Log(float64(first-t)+1))
}

func sq(x float64) float64 { return x * x }

// ConductivityBounds returns what the conductivity of the food cannot leave, whatever its structure:
// all phases, air too, in layers across the flow of heat, and side by side along it.
func (x Thermal) ConductivityBounds(t unit.Temperature) (low, high unit.Conductivity) {
	at := bounded(t)
	whole, part := volumes(x.phases(t), at)
	if whole == 0 {
		return 0, 0
	}
	air := airConductivity(at)
	return unit.Conductivity(1 / ((1-x.air)/across(part, at) + x.air/air)),
		unit.Conductivity((1-x.air)*parallel(part, at) + x.air*air)
}

// across returns the conductivity of phases that lie in layers across the flow of heat, by their
// parts of the volume: the lower bound.
func across(part [phaseCount]float64, t float64) float64 {
	resistance := 0.0
	for i, share := range part {
		resistance += share / thermalTable[i].k.at(t)
	}
	return 1 / resistance
}

// Temperature returns the temperature at which a kilogram of the food holds h, the inverse of
// Enthalpy, to a microkelvin; where pure water freezes in a step, 0 degC. h must lie between the
// enthalpies at -40 and 150 degC, else the error says so. For many of them make a Table.
func (x Thermal) Temperature(h unit.SpecificEnergy) (unit.Temperature, error) {
	low, high := thermalLowest, thermalHighest
	if most := x.Enthalpy(high); !(h >= 0 && h <= most) || most == 0 {
		return 0, fmt.Errorf("enthalpy %g kJ/kg: must lie between 0, at %g degC, and %.4g, at %g", h.KilojoulesPerKilogram(), float64(low), most.KilojoulesPerKilogram(), float64(high))
	}
	return unit.Celsius(rising(low.Celsius(), high.Celsius(), float64(h), func(t float64) float64 { return float64(x.Enthalpy(unit.Celsius(t))) })), nil
}
