package material

import (
	"fmt"
	"math"
)

// The dextrose equivalents for which a split is given.
const leastDE, mostDE = 1.0, 100.0

// Fraction is one kind of saccharide in the dry substance of a glucose syrup.
type Fraction struct {
	Share float64 // mass fraction of the dry substance
	Molar float64 // number-average molar mass, kg/mol
}

// Syrup is what the dry substance of a glucose syrup is made of. Its shares add up to 1.
type Syrup struct {
	DE                       float64 // dextrose equivalent
	Molar                    float64 // number-average molar mass of the dry substance, kg/mol
	Glucose, Maltose, Higher Fraction
}

// splits holds the glucose and maltose in the dry substance of starch syrups by dextrose
// equivalent: typical trade analyses, acid-converted to 42 DE, acid and enzyme at 61 (from memory,
// those of 42 DE compared with a published text). They are the figures of the ingredient table.
var splits = [...]struct{ de, glucose, maltose float64 }{
	{0, 0, 0}, {19, 0.02, 0.06}, {38, 0.157, 0.127}, {42, 0.19, 0.14}, {61, 0.36, 0.31}, {100, 1, 0},
}

// GlucoseSyrup returns the split of the dry substance of a glucose syrup or maltodextrin of a
// dextrose equivalent of 1 to 100; outside it returns an error.
//
// The number-average molar mass is 18016/DE g/mol, which is the definition of the dextrose
// equivalent. Glucose and maltose are interpolated straight between typical analyses; the molar
// mass of the longer chains is what the average leaves them, at least that of maltotriose. Shares
// are right to about 0.05 for acid-converted syrups; maltose syrups of the same DE differ by up to
// 0.3, so that a maker's analysis is better. The average hardly depends on that.
func GlucoseSyrup(de float64) (Syrup, error) {
	if !(de >= leastDE && de <= mostDE) {
		return Syrup{}, fmt.Errorf("dextrose equivalent %g: must lie between %g and %g", de, leastDE, mostDE)
	}
	return syrupOf(de), nil
}

// syrupOf is GlucoseSyrup for a dextrose equivalent that has been checked.
func syrupOf(de float64) Syrup {
	const maltotriose = 0.504438
	s := Syrup{DE: de, Molar: 18.016 / de, Glucose: Fraction{Molar: hexoseMolar}, Maltose: Fraction{Molar: sucroseMolar}}
	for i, b := range splits[1:] {
		if a := splits[i]; de <= b.de {
			r := (de - a.de) / (b.de - a.de)
			s.Glucose.Share = a.glucose + r*(b.glucose-a.glucose)
			s.Maltose.Share = a.maltose + r*(b.maltose-a.maltose)
			break
		}
	}
	s.Higher = Fraction{Share: math.Max(0, 1-s.Glucose.Share-s.Maltose.Share), Molar: maltotriose}
	particles := 1/s.Molar - s.Glucose.Share/hexoseMolar - s.Maltose.Share/sucroseMolar
	if s.Higher.Share > 0 && particles > 0 {
		s.Higher.Molar = math.Max(maltotriose, s.Higher.Share/particles)
	}
	return s
}

// FreezingPower returns how much the dry substance of the syrup lowers the freezing point of a
// dilute solution compared with the same mass of sucrose: the ratio of the molar masses, 0.80 at
// 42 DE (trade tables round to 0.75 to 0.9).
func (s Syrup) FreezingPower() float64 {
	if s.Molar <= 0 {
		return 0
	}
	return sucroseMolar / s.Molar
}
