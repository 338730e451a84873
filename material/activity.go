package material

import (
	"fmt"
	"math"
	"strings"

	"chablon/unit"
)

// Activity is a predicted water activity: the vapour pressure of a food over that of pure water.
type Activity struct {
	Value       float64 // 0 to 1
	Error       float64 // expected error either way, from comparisons of the methods with tables
	Method      string
	Assumptions []string
}

// High returns the activity with its error added, at most 1: what to compare with a limit that
// must not be passed.
func (a Activity) High() float64 { return math.Min(1, a.Value+a.Error) }

// Low returns the activity with its error taken off, at least 0.
func (a Activity) Low() float64 { return math.Max(0, a.Value-a.Error) }

// Activity returns the water activity of the food at t, -40 to 150 degC, all its water liquid.
//
// Each solute acts as if alone in all the water, and their activities multiply (Ross 1975): sucrose
// by Starzak & Peacock 1997; glucose, fructose, lactose, maltose, the longer chains of glucose syrup
// (with maltose's constant, our choice) and polyols by Norrish 1966; salt by Pitzer's equation;
// other minerals ideally; alcohol by the osmotic coefficients of its freezing points below 0 degC,
// ideally from 25 degC. Protein holds 0.4 of its mass of the water; starch and fibre hold none,
// which errs on the side of a high activity. Fat and acids have no part in it.
//
// Expected error: 0.005 for sucrose alone (0.001 at 25 degC to 67 %), 0.01 for mixtures above 0.9,
// 0.02 to 0.75, 0.05 below (beyond the range of Ross and Norrish; our estimate); 0.01 more where
// something had to be assumed, and at least 0.02 with alcohol. A solution above saturation is given
// as if nothing crystallised. It is an estimate: a meter decides.
//
// Errors name the component that is missing, the option, or the temperature.
func (c Composition) Activity(t unit.Temperature, o Solutes) (Activity, error) {
	if !(t >= thermalLowest && t <= thermalHighest) {
		return Activity{}, fmt.Errorf("water activity: temperature %g degC: must lie between %g and %g", t.Celsius(), float64(thermalLowest), float64(thermalHighest))
	}
	s, notes, err := c.solution("water activity", o)
	if err != nil {
		return Activity{}, err
	}
	if s.water <= 0 {
		return Activity{}, fmt.Errorf("water activity: the food has no free water (water %g, of which protein holds up to %g): it must be measured", c.At(Water), proteinBoundWater*c.At(Protein))
	}
	a := Activity{Value: math.Exp(s.lnActivity(s.water, t.Celsius())), Assumptions: notes}
	a.Method, a.Error = s.method(a.Value)
	if notes != nil {
		a.Error += 0.01
	}
	return a, nil
}

// method names how the activity of the solution is computed, and its error at that value.
func (s solution) method(value float64) (string, float64) {
	var by []string
	if s.sucrose > 0 {
		by = append(by, "Starzak & Peacock (sucrose)")
	}
	if len(s.others) > 0 {
		by = append(by, "Norrish (other sugars, polyols)")
	}
	if s.salt > 0 {
		by = append(by, "Pitzer (salt)")
	}
	if s.ideal > 0 {
		by = append(by, "ideal (other minerals)")
	}
	if s.alcohol > 0 {
		by = append(by, "osmotic coefficient (alcohol)")
	}
	if len(by) == 0 {
		return "nothing dissolved", 0.005
	}
	text, of := by[0], 0.005
	if len(by) > 1 {
		text = "Ross product: " + strings.Join(by, ", ")
	}
	if len(by) > 1 || s.sucrose == 0 {
		of = 0.01
		if value < 0.9 {
			of = 0.02
		}
	}
	switch {
	case value < 0.75 && (len(by) > 1 || s.sucrose == 0), value < 0.25:
		of = 0.05
	case s.alcohol > 0:
		of = 0.02
	}
	return text, of
}

// lnActivity returns the logarithm of the water activity at t degC when water (kg, above 0) of the
// solution is liquid.
func (s solution) lnActivity(water, t float64) float64 {
	n, warm := water/waterMolar, warmth(t)
	ln := -s.ideal / n
	if s.sucrose > 0 {
		ln += lnSucrose(s.sucrose/(s.sucrose+n), math.Log(n/(s.sucrose+n)), t)
	}
	for _, d := range s.others {
		x := d.amount / (d.amount + n)
		ln += math.Log(n/(d.amount+n)) - (d.cold+warm*(d.norrish-d.cold))*x*x
	}
	if s.salt > 0 {
		ln -= 2 * saltOsmotic(s.salt/water, t) * s.salt / n
	}
	if s.alcohol > 0 {
		ln -= alcoholOsmotic(s.alcohol/water, t) * s.alcohol / n
	}
	return ln
}

// warmth is 0 to 0 degC, where coefficients are fitted to freezing points, 1 from 25, where they are
// from vapour pressures, and straight between.
func warmth(t float64) float64 { return math.Max(0, math.Min(1, t/25)) }

// lnSucrose returns the logarithm of the water activity of a sucrose solution of mole fraction x,
// lnWater being ln(1-x), from freezing to caramel (Starzak & Peacock 1997).
//
// The fitted excess is used to x = 1 from 100 degC, to 0.6 (97 % by mass) below 65 and straight
// between, and kept beyond: there it would make a more concentrated syrup the wetter one.
func lnSucrose(x, lnWater, t float64) float64 {
	x = math.Min(x, 0.6+0.4*math.Max(0, math.Min(1, (t-65)/35)))
	return lnWater - 17638/(gasConstant*(t+273.15))*(1-1.0038*x-0.24653*x*x)*x*x
}

// saltOsmotic returns the osmotic coefficient of m mol/kg of sodium chloride at t degC by Pitzer's
// equation (Pitzer & Mayorga 1973 at 25 degC, from memory; within 0.002 of Robinson & Stokes to
// 6 mol/kg). Its first coefficient at 0 degC and below, 0.047, is fitted to the freezing points of
// the CRC Handbook, 2 to 20 % by mass; between it is straight. Above 25 degC and above 6.1 mol/kg
// (saturation) the value at that end is kept.
func saltOsmotic(m, t float64) float64 {
	warm := warmth(t)
	m = math.Min(m, 6.1)
	root := math.Sqrt(m)
	slope, beta := 0.3767+warm*(0.3915-0.3767), 0.047+warm*(0.0765-0.047)
	return 1 - slope*root/(1+1.2*root) + m*(beta+0.2664*math.Exp(-2*root)) + 0.00127*m*m
}

// alcoholTable holds the osmotic coefficients of ethanol, at mol/kg of water, that the freezing
// points of the CRC Handbook (10, 15, 20, 24, 28, 32, 36, 40, 50 and 60 % by mass) give with
// lnIceActivity.
var alcoholTable = [...]struct{ molality, phi float64 }{
	{0, 0.98},
	{2.412, 0.9987},
	{3.831, 1.0368},
	{5.427, 1.0876},
	{6.855, 1.1426},
	{8.442, 1.1837},
	{10.215, 1.1928},
	{12.210, 1.1568},
	{14.471, 1.1005},
	{21.707, 0.9468},
	{32.561, 0.754},
}

// alcoholOsmotic returns the osmotic coefficient of m mol/kg of ethanol at t degC: alcoholTable to
// 0 degC, 1 from 25, straight between; the last row beyond.
func alcoholOsmotic(m, t float64) float64 {
	phi := alcoholTable[len(alcoholTable)-1].phi
	for i, b := range alcoholTable[1:] {
		if m < b.molality {
			a := alcoholTable[i]
			phi = a.phi + (b.phi-a.phi)*(m-a.molality)/(b.molality-a.molality)
			break
		}
	}
	return phi + (1-phi)*warmth(t)
}
