package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// The temperatures between which the component polynomials hold.
const (
	thermalLowest  unit.Temperature = -40
	thermalHighest unit.Temperature = 150
)

// Heat of fusion of water at 0 degC, J/kg (ASHRAE Handbook-Refrigeration, Thermal Properties of
// Foods).
const fusionHeat = 333.6e3

// quadratic is a0 + a1 t + a2 t^2 with t in degC.
type quadratic [3]float64

func (q quadratic) at(t float64) float64 { return q[0] + t*(q[1]+t*q[2]) }

// integral returns the integral of q from 0 degC to t.
func (q quadratic) integral(t float64) float64 { return t * (q[0] + t*(q[1]/2+t*q[2]/3)) }

// The phases whose properties are added up, in the order of thermalTable. Water here is what is
// liquid, carbohydrate excludes fibre.
const (
	phaseWater = iota
	phaseIce
	phaseProtein
	phaseFat
	phaseCarbohydrate
	phaseFibre
	phaseAsh
	phaseAlcohol
	phaseCount
)

// phaseProperty holds conductivity W/(m K), density kg/m3 and specific heat kJ/(kg K) over
// temperature.
type phaseProperty struct{ k, rho, c quadratic }

// thermalTable is Choi & Okos 1986, -40 to 150 degC, as corrected for the known misprints of the
// fat conductivity (slope -2.7604e-4, not e-3) and the specific heat of water (4.1762).
//
// Water below 0 degC keeps the branch that was fitted above it: the published branch for
// supercooled pure water jumps by 2 % at 0 degC and rises to 5.9 kJ/(kg K) at -40, which the
// water in a syrup does not do.
//
// Alcohol is ethanol: density 789 at 20 degC, specific heat 2.44 at 25, conductivity 0.174 at 0
// and 0.167 at 25 (handbook figures from memory, unconfirmed).
var thermalTable = [phaseCount]phaseProperty{
	phaseWater:        {quadratic{0.57109, 1.7625e-3, -6.7036e-6}, quadratic{997.18, 3.1439e-3, -3.7574e-3}, quadratic{4.1762, -9.0864e-5, 5.4731e-6}},
	phaseIce:          {quadratic{2.2196, -6.2489e-3, 1.0154e-4}, quadratic{916.89, -0.13071}, quadratic{2.0623, 6.0769e-3}},
	phaseProtein:      {quadratic{0.17881, 1.1958e-3, -2.7178e-6}, quadratic{1329.9, -0.51840}, quadratic{2.0082, 1.2089e-3, -1.3129e-6}},
	phaseFat:          {quadratic{0.18071, -2.7604e-4, -1.7749e-7}, quadratic{925.59, -0.41757}, quadratic{1.9842, 1.4733e-3, -4.8008e-6}},
	phaseCarbohydrate: {quadratic{0.20141, 1.3874e-3, -4.3312e-6}, quadratic{1599.1, -0.31046}, quadratic{1.5488, 1.9625e-3, -5.9399e-6}},
	phaseFibre:        {quadratic{0.18331, 1.2497e-3, -3.1683e-6}, quadratic{1311.5, -0.36589}, quadratic{1.8459, 1.8306e-3, -4.6509e-6}},
	phaseAsh:          {quadratic{0.32962, 1.4011e-3, -2.9069e-6}, quadratic{2423.8, -0.28063}, quadratic{1.0926, 1.8896e-3, -3.6817e-6}},
	phaseAlcohol:      {quadratic{0.174, -2.8e-4}, quadratic{806.3, -0.85}, quadratic{2.44}},
}

// Thermal is how a food takes up and passes on heat, as a function of temperature. It is made by
// Composition.Thermal; the zero Thermal is no food.
//
// Temperatures must be numbers. Outside -40 to 150 degC the properties keep their value at the
// nearer end; enthalpy goes on with the specific heat found there.
//
// Not contained: the heat of fat that sets or melts (50 to 120 kJ per kg of fat between 5 and
// 35 degC), starch and protein that change in the oven, vapour that carries heat through a warm
// crumb.
type Thermal struct {
	phase       [phaseCount]float64 // mass fractions without ice, sum 1
	air         float64             // volume fraction
	closedCells bool
	coldest     unit.SpecificEnergy // enthalpy at -40 degC counted from 0 degC
	Freezing
}

// Thermal returns the thermal properties of a food of this composition in which air takes
// airFraction of the volume (0 to 0.99), its solutes as Solutes{} has them.
//
// Water, protein, fat and carbohydrate must be known and the whole must add up to 1 within 0.1;
// it is then scaled to 1. Unknown ash, alcohol and fibre count as none. What was assumed about the
// solutes is in Assumptions. Errors name the component and what to give.
func (c Composition) Thermal(airFraction float64) (Thermal, error) {
	return c.ThermalWith(airFraction, Solutes{})
}

// ThermalWith is Thermal for a food whose solutes are better known.
func (c Composition) ThermalWith(airFraction float64, o Solutes) (Thermal, error) {
	if !(airFraction >= 0 && airFraction <= 0.99) {
		return Thermal{}, fmt.Errorf("air fraction %g: must lie between 0 and 0.99 of the volume", airFraction)
	}
	whole, err := c.whole("thermal properties")
	if err != nil {
		return Thermal{}, err
	}
	x := Thermal{air: airFraction}
	if x.Freezing, err = c.Freezing(o); err != nil {
		return Thermal{}, err
	}
	fibre := math.Min(c.At(Fibre), c.At(Carbohydrate))
	x.phase = [phaseCount]float64{
		phaseWater: c.At(Water), phaseProtein: c.At(Protein), phaseFat: c.At(Fat), phaseFibre: fibre,
		phaseCarbohydrate: c.At(Carbohydrate) - fibre, phaseAsh: c.At(Ash), phaseAlcohol: c.At(Alcohol),
	}
	for i := range x.phase {
		x.phase[i] /= whole
	}
	x.coldest = x.enthalpyFromZero(float64(thermalLowest))
	return x, nil
}

// AirFraction returns the part of the volume that is air.
func (x Thermal) AirFraction() float64 { return x.air }

// WaterFraction returns the mass fraction of water, frozen or not.
func (x Thermal) WaterFraction() float64 { return x.phase[phaseWater] }

// WithClosedCells returns the same food with its air in closed cells surrounded by food, as in a
// mousse or a whipped cream: Conductivity then follows Maxwell and Eucken, the upper of the
// plausible figures, instead of effective medium theory.
func (x Thermal) WithClosedCells() Thermal {
	x.closedCells = true
	return x
}

// bounded returns t in degC, held between the ends of the range.
func bounded(t unit.Temperature) float64 {
	return float64(max(thermalLowest, min(thermalHighest, t)))
}

// phases returns the mass fractions at t, ice apart from water.
func (x Thermal) phases(t unit.Temperature) [phaseCount]float64 {
	p := x.phase
	p[phaseIce] = x.IceFraction(t)
	p[phaseWater] -= p[phaseIce]
	return p
}

// Density returns the mass in a volume of the food, its air included and without weight, by
// additive volumes. Ice, being lighter than water, lowers it. Without air it is right to about
// 1 %, some 2 % low in concentrated syrups; 0 for the zero Thermal.
func (x Thermal) Density(t unit.Temperature) unit.Density {
	volume, _ := volumes(x.phases(t), bounded(t))
	if volume == 0 {
		return 0
	}
	return unit.Density((1 - x.air) / volume)
}

// SpecificHeat returns the heat that warms the food by a kelvin, as the sum over its components at
// t with the ice of that temperature. Latent heat is not in it: below FreezingPoint take
// differences of Enthalpy.
func (x Thermal) SpecificHeat(t unit.Temperature) unit.SpecificHeat {
	sum, at := 0.0, bounded(t)
	for i, share := range x.phases(t) {
		sum += share * thermalTable[i].c.at(at)
	}
	return unit.SpecificHeat(sum) * unit.KilojoulePerKilogramKelvin
}

// Enthalpy returns the heat in a kilogram of food, latent heat of ice included, counted from
// -40 degC. The heat between two temperatures is the difference of their enthalpies. It is
// continuous and rises with t, its slope jumping at FreezingPoint; only water with nothing dissolved
// in it takes up its latent heat in a step, at 0 degC.
//
// Each component carries the integral of its specific heat, ice lies 333.6 kJ/kg below water at
// 0 degC, so that the latent heat falls with temperature as the specific heats demand. Expect 5 to
// 10 % of the difference.
func (x Thermal) Enthalpy(t unit.Temperature) unit.SpecificEnergy {
	at := bounded(t)
	h := x.enthalpyFromZero(at) - x.coldest
	if beyond := float64(t) - at; beyond != 0 {
		h += unit.SpecificEnergy(beyond) * unit.SpecificEnergy(x.SpecificHeat(t))
	}
	return h
}

func (x Thermal) enthalpyFromZero(t float64) unit.SpecificEnergy {
	p := x.phases(unit.Celsius(t))
	sum := -p[phaseIce] * fusionHeat
	for i, share := range p {
		sum += share * thermalTable[i].c.integral(t) * 1000
	}
	return unit.SpecificEnergy(sum)
}
