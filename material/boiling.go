package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Pressure is a pressure, held in pascals.
type Pressure float64

// Units of pressure, and that of the standard atmosphere.
const (
	Pascal     Pressure = 1
	Kilopascal          = 1000 * Pascal
	Atmosphere          = 101325 * Pascal // standard, exact
)

// Kilopascals returns p in kilopascals.
func (p Pressure) Kilopascals() float64 { return float64(p) / 1000 }

// saturation holds n1 to n10 of the saturation line, IAPWS-IF97 region 4.
var saturation = [...]float64{
	0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
	0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
}

// The temperatures between which the boiling of syrups is sought. The saturation line itself holds
// from 0 to 374 degC.
const coldestBoil, hottestBoil = 0.0, 250.0

// saturationPressure is the vapour pressure of water at t of 0 to 374 degC.
func saturationPressure(t float64) Pressure {
	n, k := saturation, t+273.15
	theta := k + n[8]/(k-n[9])
	a, b, c := (theta+n[0])*theta+n[1], (n[2]*theta+n[3])*theta+n[4], (n[5]*theta+n[6])*theta+n[7]
	root := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return Pressure(root * root * root * root * 1e6)
}

// SaturationPressure returns the pressure at which pure water boils at t, 0 to 373 degC, by
// IAPWS-IF97 region 4; right to 0.03 %. Outside it returns an error.
func SaturationPressure(t unit.Temperature) (Pressure, error) {
	if !(t >= 0 && t <= 373) {
		return 0, fmt.Errorf("vapour pressure of water at %g degC: given from 0 to 373", t.Celsius())
	}
	return saturationPressure(t.Celsius()), nil
}

// PressureAt returns the pressure of the air at a height above the sea, -500 to 11000 m, in the
// standard atmosphere (ICAO). Weather moves it by 3 % at most, which is 1 K at the boiling point.
// Outside it returns an error.
func PressureAt(height unit.Length) (Pressure, error) {
	h := float64(height)
	if !(h >= -500 && h <= 11000) {
		return 0, fmt.Errorf("height %g m: must lie between -500 and 11000", h)
	}
	return Atmosphere * Pressure(math.Pow(1-2.25577e-5*h, 5.25588)), nil
}

// boiling returns where psat(t) aw(t) reaches p, and whether that is between 0 and 250 degC.
func boiling(p Pressure, ln func(t float64) float64) (unit.Temperature, bool) {
	vapour := func(t float64) float64 { return float64(saturationPressure(t)) * math.Exp(ln(t)) }
	if !(p > 0 && vapour(coldestBoil) <= float64(p) && vapour(hottestBoil) >= float64(p)) {
		return 0, false
	}
	return unit.Celsius(rising(coldestBoil, hottestBoil, float64(p), vapour)), true
}

// pure is the logarithm of the activity of water.
func pure(float64) float64 { return 0 }

// WaterBoilingPoint returns where water boils at p, 0.7 kPa to 3 MPa: 99.974 degC at one atmosphere.
// Outside it returns an error.
func WaterBoilingPoint(p Pressure) (unit.Temperature, error) {
	t, ok := boiling(p, pure)
	if !ok || p < 700 || p > 3e6 {
		return 0, fmt.Errorf("pressure %g kPa: boiling is given from 0.7 to 3000 kPa", p.Kilopascals())
	}
	return t, nil
}

// BoilingPoint returns where the food boils at p: where its water activity times the vapour
// pressure of water is p. Sucrose solutions are right to 1 K to 80 %, 3 K to 95 %; other sugars
// are by Norrish's equation, which gives too high a point from 80 % on. It counts what is dissolved
// when the composition is as given; what coats the pan or spits is not.
//
// An error names the component, the option or the pressure, or says that the food does not boil
// below 250 degC.
func (c Composition) BoilingPoint(p Pressure, o Solutes) (unit.Temperature, error) {
	s, _, err := c.solution("boiling point", o)
	if err != nil {
		return 0, err
	}
	if s.water <= 0 {
		return 0, fmt.Errorf("boiling point: the food has no free water (water %g)", c.At(Water))
	}
	if s.alcohol > 0 {
		return 0, fmt.Errorf("boiling point: with alcohol (%g by mass) the vapour is not water alone, and its boiling point is not computed: leave the alcohol out", c.At(Alcohol))
	}
	t, ok := boiling(p, func(t float64) float64 { return s.lnActivity(s.water, t) })
	if !ok {
		return 0, fmt.Errorf("boiling point: it does not boil between 0 and 250 degC at %g kPa: check the pressure and the water (%g)", p.Kilopascals(), c.At(Water))
	}
	return t, nil
}

// mostBoiled is the strongest sucrose solution that is said to boil: beyond it is a melt.
const mostBoiled Brix = 99

// lnSyrup is the logarithm of the water activity of a sucrose solution at t degC.
func lnSyrup(b, t float64) float64 {
	return solution{sucrose: b / 100 / sucroseMolar}.lnActivity(1-b/100, t)
}

// SyrupBoilingPoint returns where a sucrose solution of 0 to 99 Bx boils at p; right to 1 K to 80 Bx
// and 2 to 3 K to 95. Older textbook tables lie 2.5 K above it at 80 Bx. Outside, or where it
// does not boil between 0 and 250 degC, it returns an error.
func SyrupBoilingPoint(b Brix, p Pressure) (unit.Temperature, error) {
	if !(b >= 0 && b <= mostBoiled) {
		return 0, fmt.Errorf("%g Bx: boiling is given from 0 to %g", float64(b), float64(mostBoiled))
	}
	t, ok := boiling(p, func(t float64) float64 { return lnSyrup(float64(b), t) })
	if !ok {
		return 0, fmt.Errorf("a syrup of %g Bx does not boil between 0 and 250 degC at %g kPa: check the pressure", float64(b), p.Kilopascals())
	}
	return t, nil
}

// BoiledTo returns the concentration of a sucrose solution that boils at t under p, the inverse of
// SyrupBoilingPoint. With glucose syrup or invert sugar in the pan the same temperature means less
// sugar. Where water alone boils above t, or a syrup of 99 Bx below it, it returns an error.
func BoiledTo(t unit.Temperature, p Pressure) (Brix, error) {
	at := t.Celsius()
	if !(at >= coldestBoil && at <= hottestBoil && p > 0) {
		return 0, fmt.Errorf("syrup at %g degC and %g kPa: give 0 to 250 degC and a pressure above 0", at, p.Kilopascals())
	}
	want := math.Log(float64(p / saturationPressure(at))) // ln aw
	if want > 0 {
		return 0, fmt.Errorf("at %g kPa no syrup boils at %g degC: water already boils above that", p.Kilopascals(), at)
	}
	if want < lnSyrup(float64(mostBoiled), at) {
		return 0, fmt.Errorf("at %g kPa a syrup that boils at %g degC has more than %g %% of sugar: it is a melt", p.Kilopascals(), at, float64(mostBoiled))
	}
	return Brix(rising(0, float64(mostBoiled), -want, func(b float64) float64 { return -lnSyrup(b, at) })), nil
}
