package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Raoult returns the water activity of an ideal solution: the part of its molecules that are water.
// solute is the moles of dissolved particles for a kilogram of water, 0 or more. For an activity
// above 0.97. A negative or infinite solute gives an error.
func Raoult(solute float64) (Activity, error) {
	if !(solute >= 0 && !math.IsInf(solute, 0)) {
		return Activity{}, fmt.Errorf("%g mol of solute per kg of water: give 0 or more", solute)
	}
	return Activity{Value: 1 / (1 + solute*waterMolar), Error: quickError(0.005, 6.5, solute), Method: "Raoult"}, nil
}

// quickError is our estimate for rules that know only the number of particles: k times the square of
// moles of solute for one of water, at least that given and at most 1. k covers the departure from
// Starzak & Peacock for sucrose of 5 to 80 %.
func quickError(least, k, solute float64) float64 {
	r := solute * waterMolar
	return math.Min(1, math.Max(least, k*r*r))
}

// MoneyBorn returns the water activity of a sugar mixture by the rule of Money & Born 1951,
// 1/(1 + 0.27 n), n being moles of sugar for 100 g of water; solute is moles for a kilogram, 0 or
// more. For sucrose it is 0.009 too
// low at 45 %, 0.01 too high at 67 and 0.07 at 80. A negative or infinite solute gives an error.
func MoneyBorn(solute float64) (Activity, error) {
	if !(solute >= 0 && !math.IsInf(solute, 0)) {
		return Activity{}, fmt.Errorf("%g mol of solute per kg of water: give 0 or more", solute)
	}
	return Activity{Value: 1 / (1 + 0.027*solute), Error: quickError(0.01, 1.6, solute), Method: "Money & Born"}, nil
}

// groverEquivalents are the sucrose equivalents of Grover 1947, from memory.
const (
	groverInvert, groverSyrup, groverProtein = 1.3, 0.8, 1.3
	groverGlycerol, groverPolyol             = 4.0, 2.0
	groverSalt                               = 9.0
)

// Grover returns the water activity of confectionery by Grover 1947, 1.04 - 0.1 Es + 0.0045 Es^2
// with Es the sucrose equivalent for a gram of water: 1 for sucrose, lactose and maltose, 1.3 for
// glucose, fructose and protein, 0.8 for the longer chains of glucose syrup, starch and fibre, 4 for
// glycerol, 2 for other polyols, 9 for salt (maltose as sucrose is our choice; alcohol is left out).
//
// It holds where it gives 0.70 to 0.95, within about 0.02; outside, and where all is water, it
// returns an error. Water, protein, fat and carbohydrate must be known.
func (c Composition) Grover(o Solutes) (Activity, error) {
	_, notes, err := c.solution("estimate by Grover", o)
	if err != nil {
		return Activity{}, err
	}
	sucrose, chains, _ := c.unnamed(o)
	polyol := groverPolyol
	if o.Polyol == Glycerol {
		polyol = groverGlycerol
	}
	// What is left of the carbohydrate is starch and fibre, or the longer chains: 0.8 each.
	insoluble := math.Max(chains, c.At(Carbohydrate)-c.At(Sucrose)-sucrose-c.At(Glucose)-c.At(Fructose)-c.At(Lactose)-c.At(Maltose)-c.At(Polyols))
	equivalent := c.At(Sucrose) + sucrose + c.At(Lactose) + c.At(Maltose) + groverInvert*(c.At(Glucose)+c.At(Fructose)) +
		groverSyrup*math.Max(0, insoluble) + polyol*c.At(Polyols) + groverProtein*c.At(Protein) + groverSalt*saltPerSodium*c.At(Sodium)
	// The parabola has its lowest point at Es = 11, far below its range.
	if es := equivalent / c.At(Water); c.At(Water) > 0 && es < 10 {
		if a := 1.04 - 0.1*es + 0.0045*es*es; a >= 0.70 && a <= 0.95 {
			return Activity{Value: a, Error: 0.02, Method: "Grover", Assumptions: notes}, nil
		}
	}
	return Activity{}, fmt.Errorf("estimate by Grover: %.3g of sucrose equivalent in %.3g of water is outside 0.70 to 0.95, where it holds: use Activity", equivalent, c.At(Water))
}

// HumiditySalt is a salt whose saturated solution keeps the air above it at a known humidity, by
// which a meter of water activity is checked.
type HumiditySalt struct {
	Name     string
	Activity float64 // at 25 degC
	a, b     float64 // RH % = a exp(b/T), 0 where not given
}

// humiditySalts: Greenspan 1977 (bib:greenspan) at 25 degC, the decimals from memory; a and b of the
// CRC Handbook (Constant Humidity Solutions, after Wexler), bib:crc-handbook.
var humiditySalts = [...]HumiditySalt{
	{"lithium chloride", 0.1130, 14.53, -75},
	{"magnesium chloride", 0.3278, 29.26, 34},
	{"potassium carbonate", 0.4316, 0, 0},
	{"magnesium nitrate", 0.5289, 0, 0},
	{"sodium bromide", 0.5757, 0, 0},
	{"potassium iodide", 0.6886, 0, 0},
	{"sodium chloride", 0.7529, 69.20, 25},
	{"ammonium sulfate", 0.8099, 0, 0},
	{"potassium chloride", 0.8434, 49.38, 159},
	{"potassium nitrate", 0.9358, 0, 0},
	{"potassium sulfate", 0.9730, 86.75, 34},
}

// HumiditySalts lists the salts from the driest to the wettest.
func HumiditySalts() []HumiditySalt { return append([]HumiditySalt(nil), humiditySalts[:]...) }

// At returns the activity over the saturated solution at t of 15 to 35 degC, within 0.01, and
// whether it is known: not for salts without an equation, unless t is 25 degC.
func (s HumiditySalt) At(t unit.Temperature) (float64, bool) {
	switch {
	case s.a > 0 && t >= 15 && t <= 35:
		return s.a * math.Exp(s.b/t.Kelvin()) / 100, true
	case t == 25 && s.Activity > 0:
		return s.Activity, true
	}
	return 0, false
}
