package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// lnIceActivity returns the logarithm of the water activity of anything in equilibrium with ice at
// t degC, from the heat of fusion 6009.5 J/mol and the difference of heat capacities
// 38.1 J/(mol K). Source: Fennema, Food Chemistry, tables to -30 degC, within 0.002.
func lnIceActivity(t float64) float64 {
	const t0, fusion, dcp = 273.15, 6009.5, 38.1
	k := t + t0
	return (fusion-dcp*t0)/gasConstant*(1/t0-1/k) - dcp/gasConstant*math.Log(t0/k)
}

// IceActivity returns the water activity of any food in equilibrium with ice at t, -40 to 0 degC:
// whatever it is made of, 0.907 at -10 degC. Within 0.002 of the tables of Fennema (Food Chemistry)
// to -30 degC.
func IceActivity(t unit.Temperature) (float64, error) {
	if !(t >= thermalLowest && t <= 0) {
		return 0, fmt.Errorf("activity of ice: temperature %g degC: must lie between %g and 0", t.Celsius(), float64(thermalLowest))
	}
	return math.Exp(lnIceActivity(t.Celsius())), nil
}

// leastWater is the water, kg per kg of food, below which there is none to freeze.
const leastWater = 1e-9

// freezingPoint returns where the whole solution is in equilibrium with ice, and whether that is
// between -40 and 0 degC.
func (s solution) freezingPoint() (unit.Temperature, bool) {
	if s.water < leastWater {
		return 0, false
	}
	// The solution is liquid down to the temperature sought and would freeze below it.
	low, high := float64(thermalLowest), 0.0
	if s.lnActivity(s.water, low) <= lnIceActivity(low) {
		return 0, false
	}
	for range 50 {
		mid := (low + high) / 2
		if s.lnActivity(s.water, mid) > lnIceActivity(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return unit.Celsius(high), true
}

// ice returns the ice, kg per kg of food, in equilibrium at t degC.
func (s solution) ice(t float64) float64 {
	if s.water < leastWater || t >= 0 {
		return 0
	}
	ln := lnIceActivity(t)
	if s.lnActivity(s.water, t) <= ln {
		return 0
	}
	return s.water - s.liquid(t, ln)
}

// liquid returns the water, kg per kg of food, whose activity at t degC has the logarithm ln, where
// that of all the water is higher. An ideal solute makes the logarithm a straight line over the
// reciprocal of the water, so the secant runs over that; Illinois' rule keeps it in its bracket.
func (s solution) liquid(t, ln float64) float64 {
	above := func(u float64) float64 { return s.lnActivity(1/u, t) - ln } // falls as u rises
	low := 1 / s.water
	atLow := above(low)
	if ln+atLow >= 0 {
		return 0 // nothing dissolved
	}
	high := low * ln / (ln + atLow) // where an ideal solution would be
	atHigh := above(high)
	for range 60 {
		if atHigh <= 0 {
			break
		}
		low, atLow = high, atHigh
		high *= 1.2
		atHigh = above(high)
	}
	side := 0
	for range 100 {
		u := low + (high-low)*atLow/(atLow-atHigh)
		if !(u > low && u < high) {
			u = (low + high) / 2
		}
		f := above(u)
		switch {
		case math.Abs(f) < 1e-11 || high-low < 1e-12*high:
			return 1 / u
		case f > 0:
			low, atLow = u, f
			if side > 0 {
				atHigh /= 2
			}
			side = 1
		default:
			high, atHigh = u, f
			if side < 0 {
				atLow /= 2
			}
			side = -1
		}
	}
	return 2 / (low + high)
}

// Freezing is how a food freezes when it stays in equilibrium with its ice. It is made by
// Composition.Freezing and part of a Thermal; the zero Freezing holds no water.
type Freezing struct {
	brine       solution
	water       float64 // all of it, mass fraction
	point       unit.Temperature
	freezes     bool
	assumptions []string
}

// Freezing returns how the food freezes. Water, protein, fat and carbohydrate must be known and
// the whole add up to 1 within 0.1; it is then scaled to 1.
//
// Carbohydrate that is neither sugar, fibre, starch nor polyol is taken as the longer chains of
// glucose syrup, with the mean molar mass that follows from its dextrose equivalent (o.DE, else
// DefaultDE). Where starch is unknown and o.DE is not given it is taken as starch, which dissolves
// nothing: so flour does not become syrup. What was assumed is in Assumptions. Errors name the
// component or option and what to give.
func (c Composition) Freezing(o Solutes) (Freezing, error) {
	s, notes, err := c.solution("freezing", o)
	if err != nil {
		return Freezing{}, err
	}
	whole, err := c.whole("freezing")
	if err != nil {
		return Freezing{}, err
	}
	f := Freezing{brine: s, water: c.At(Water) / whole, assumptions: notes}
	f.point, f.freezes = s.freezingPoint()
	return f, nil
}

// FreezingPoint returns the temperature at which the first ice is in equilibrium with the food,
// and whether it lies in -40 to 0 degC: fat without water, caramel and strong spirits do not freeze
// there.
//
// The activity of the water (see Composition.Activity) is set equal to that of ice. Against the CRC
// Handbook it is within 2 % for sucrose and 3 % for the other sugars, each to 42 % or the end of the
// table, for glycerol to 40 %, salt to 20 % and alcohol to 50 %. Undercooling and solutes that crystallise are not modelled.
func (f Freezing) FreezingPoint() (unit.Temperature, bool) { return f.point, f.freezes }

// Error returns the expected error of FreezingPoint either way: 3 % of the depression up to 45 %
// of solids dissolved in the syrup, 10 % beyond, at least 0.05 K; half as much again where
// something was assumed (our estimate). Zero where the food does not freeze.
func (f Freezing) Error() unit.TempDiff {
	if !f.freezes {
		return 0
	}
	share := 0.03
	if s := f.brine; s.solids > 0.45*(s.solids+s.water) {
		share = 0.10
	}
	of := math.Max(0.05, -share*f.point.Celsius())
	if f.assumptions != nil {
		of *= 1.5
	}
	return unit.TempDiff(of)
}

// IceFraction returns the mass of ice in a kilogram of food in equilibrium at t. Below -40 degC
// nothing more freezes: a syrup is a glass by then.
//
// It follows the concentration of the remaining syrup, whose water activity is that of ice, and not
// the equations fitted to meat and fish: those assume a first ice above -2 degC and give sweet foods
// too much ice just below their freezing point. A 20 % sucrose syrup has 0.646 at -10 degC.
func (f Freezing) IceFraction(t unit.Temperature) float64 { return f.brine.ice(bounded(t)) }

// FrozenShare returns the part of the food's water, that held by protein included, that is ice in
// equilibrium at t: 0 to 1, and 0 where there is no water. Of a 20 % sucrose syrup at -10 degC it
// is 0.808.
func (f Freezing) FrozenShare(t unit.Temperature) float64 {
	if f.water <= 0 {
		return 0
	}
	return math.Min(1, f.IceFraction(t)/f.water)
}

// Assumptions lists, for the reader, what was taken for granted about the solutes.
func (f Freezing) Assumptions() []string { return f.assumptions }
