package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Brix is the sucrose in a solution, per cent by mass. For other sugars a density or a refractometer
// gives the Brix of the sucrose solution that reads the same.
type Brix float64

// Share returns b as a mass fraction.
func (b Brix) Share() float64 { return float64(b) / 100 }

// The ends of the scale for which density and refraction were fitted.
const (
	mostBrixDensity    Brix = 85
	mostBrixRefraction Brix = 80
)

// referenceWater is the density of water at 20 degC, kg/m3, the reference of SG 20/20.
const referenceWater = 998.203

// hackbarth holds c1 to c10 of SG = 1 + sum c_k (Bx/100)^k (Hackbarth 2011, fitted to the table of
// AOAC International).
var hackbarth = [...]float64{
	0.3875135555, 0.09702881653, 0.3883357480, -1.782845295, 5.591472292,
	-11.00667976, 13.62230734, -10.33082001, 4.387787019, -0.7995558730,
}

// refraction holds c1 to c3 of nD = 1.33299 + sum c_k (Bx/100)^k: our least squares over the 28 rows
// of bib:crc-handbook (Concentrative Properties of Aqueous Solutions), 1 to 80 %, largest error 4.4e-5.
var refraction = [...]float64{0.14280188757803952, 0.0544779941664466, 0.016661619926361435}

const waterRefraction = 1.33299

// power returns sum c_k x^k, k from 1.
func power(c []float64, x float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = (sum + c[i]) * x
	}
	return sum
}

// rising returns where f, which rises from low to high, takes the value want.
func rising(low, high, want float64, f func(float64) float64) float64 {
	for range 60 {
		if mid := (low + high) / 2; f(mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

func gravityOfBrix(b float64) float64 { return 1 + power(hackbarth[:], b/100) }

func refractionOfBrix(b float64) float64 { return waterRefraction + power(refraction[:], b/100) }

// SpecificGravityOf returns SG 20/20 of a sucrose solution of 0 to 85 Bx: its density over that of
// water, both at 20 degC. Within 0.0001 of the CRC Handbook. Outside it returns an error.
func SpecificGravityOf(b Brix) (float64, error) {
	if !(b >= 0 && b <= mostBrixDensity) {
		return 0, fmt.Errorf("%g Bx: must lie between 0 and %g", float64(b), float64(mostBrixDensity))
	}
	return gravityOfBrix(float64(b)), nil
}

// SyrupDensity returns the density at 20 degC of a sucrose solution of 0 to 85 Bx, within
// 0.1 kg/m3 of the CRC Handbook to 80 Bx. Outside it returns an error.
func SyrupDensity(b Brix) (unit.Density, error) {
	sg, err := SpecificGravityOf(b)
	return unit.Density(sg*referenceWater) * unit.KilogramPerCubicMetre, err
}

// BrixOf returns the Brix of a sucrose solution from its SG 20/20, 1 to that of 85 Bx (1.449): the
// inverse of SpecificGravityOf. Outside it returns an error.
func BrixOf(sg float64) (Brix, error) {
	most := gravityOfBrix(float64(mostBrixDensity))
	if !(sg >= 1 && sg <= most) {
		return 0, fmt.Errorf("specific gravity %g: a sugar solution at 20 degC has 1 to %.3f", sg, most)
	}
	return Brix(rising(0, float64(mostBrixDensity), sg, gravityOfBrix)), nil
}

// BrixByNBS returns the Brix of an SG 20/20, read in air, for 0 to 40 Bx (SG 1 to 1.1794): cubic fit
// of National Bureau of Standards Circular 440, root mean square error 0.0009 Bx. Outside it
// returns an error; BrixOf covers more. The two differ by less than 0.05 Bx.
func BrixByNBS(sg float64) (Brix, error) {
	if !(sg >= 1 && sg <= 1.1794) {
		return 0, fmt.Errorf("specific gravity %g: the fit of NBS Circular 440 holds from 1 to 1.1794 (40 Bx)", sg)
	}
	return Brix(math.Max(0, ((182.46007*sg-775.68212)*sg+1262.7794)*sg-669.56218)), nil
}

// Plato returns the degrees Plato, per cent of extract by mass, of a wort's SG 20/20 from 1 to 1.13
// (30 degrees), by the polynomial of the American Society of Brewing Chemists. Outside it returns
// an error.
func Plato(sg float64) (float64, error) {
	if !(sg >= 1 && sg <= 1.13) {
		return 0, fmt.Errorf("specific gravity %g: degrees Plato are given from 1 to 1.13", sg)
	}
	return math.Max(0, ((135.997*sg-630.272)*sg+1111.14)*sg-616.868), nil
}

// Baume returns the degrees Baume (modulus 145) of an SG of 1 or more: 30 Bx has 16.6, 60 Bx 32.5.
// Below 1 it returns an error: light liquids have another scale.
func Baume(sg float64) (float64, error) {
	if !(sg >= 1 && !math.IsInf(sg, 0)) {
		return 0, fmt.Errorf("specific gravity %g: the scale for heavy liquids starts at 1", sg)
	}
	return 145 - 145/sg, nil
}

// GravityOfBaume returns the SG of 0 to 72 degrees Baume (modulus 145), the inverse of Baume.
// Outside it returns an error.
func GravityOfBaume(degrees float64) (float64, error) {
	if !(degrees >= 0 && degrees <= 72) {
		return 0, fmt.Errorf("%g degrees Baume: must lie between 0 and 72", degrees)
	}
	return 145 / (145 - degrees), nil
}

// RefractiveIndex returns nD at 20 degC of a sucrose solution of 0 to 80 Bx, within 0.0001 of the
// CRC Handbook. Outside it returns an error.
func RefractiveIndex(b Brix) (float64, error) {
	if !(b >= 0 && b <= mostBrixRefraction) {
		return 0, fmt.Errorf("%g Bx: refraction is given from 0 to %g", float64(b), float64(mostBrixRefraction))
	}
	return refractionOfBrix(float64(b)), nil
}

// BrixOfRefraction returns the Brix that a refractometer shows for nD at 20 degC, from water
// (1.33299) to 80 Bx (1.4906). Outside it returns an error. It counts every dissolved solid;
// acids, salts and invert sugar read slightly off.
func BrixOfRefraction(n float64) (Brix, error) {
	most := refractionOfBrix(float64(mostBrixRefraction))
	if !(n >= waterRefraction && n <= most) {
		return 0, fmt.Errorf("refractive index %g: sucrose solutions at 20 degC have %g to %.4f", n, waterRefraction, most)
	}
	return Brix(rising(0, float64(mostBrixRefraction), n, refractionOfBrix)), nil
}

// RefractometerCorrection returns the range that is added to the reading of a refractometer without
// compensation, used at t of 10 to 40 degC: 0.06 to 0.08 Bx for each kelvin above 20 degC
// (handbook figures from memory). Outside it returns an error.
func RefractometerCorrection(t unit.Temperature) (unit.Range, error) {
	if !(t >= 10 && t <= 40) {
		return unit.Range{}, fmt.Errorf("sample at %g degC: bring it to 10 to 40 degC and read again", t.Celsius())
	}
	d := t.Celsius() - 20
	return unit.Range{Low: math.Min(0.06*d, 0.08*d), High: math.Max(0.06*d, 0.08*d)}, nil
}

// solubility holds degC and per cent by mass of saturated sucrose solutions (older handbook series;
// modern fits give 0.4 less at 20 degC).
var solubility = [...][2]float64{
	{0, 64.18}, {10, 65.58}, {20, 67.09}, {25, 67.89}, {30, 68.80}, {40, 70.42}, {50, 72.25}, {60, 74.18}, {80, 78.36}, {100, 82.97},
}

// Solubility returns the Brix of a saturated sucrose solution at 0 to 100 degC, straight between the
// rows of the handbook. Sources differ by 0.5. Other sugars beside it keep more in solution
// together, and less of each. Outside it returns an error.
func Solubility(t unit.Temperature) (Brix, error) {
	at := t.Celsius()
	for i, b := range solubility[1:] {
		if a := solubility[i]; at >= a[0] && at <= b[0] {
			return Brix(a[1] + (b[1]-a[1])*(at-a[0])/(b[0]-a[0])), nil
		}
	}
	return 0, fmt.Errorf("solubility of sucrose at %g degC: given from 0 to 100", at)
}

// SucroseMoleFraction returns the part of the molecules of a sucrose solution of 0 to 100 Bx that
// are sucrose. Outside it returns an error.
func SucroseMoleFraction(b Brix) (float64, error) {
	if !(b >= 0 && b <= 100) {
		return 0, fmt.Errorf("%g Bx: must lie between 0 and 100", float64(b))
	}
	n := b.Share() / sucroseMolar
	return n / (n + (1-b.Share())/waterMolar), nil
}
