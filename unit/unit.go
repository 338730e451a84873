package unit

import (
	"strings"
	"time"
)

// Dimension says what kind of quantity a unit measures.
type Dimension uint8

// The dimensions that documents use. Count is a bare number: eggs, leaves, pieces.
const (
	Count Dimension = iota
	OfMass
	OfVolume
	OfLength
	OfArea
	OfTemperature
	OfTempDiff
	OfTime
	OfShare
	OfDensity
	OfLoad
)

var dimensionNames = [...]string{
	"count", "mass", "volume", "length", "area", "temperature", "temperature difference", "time", "share", "density", "mass on an area",
}

// String names the dimension in plain English.
func (d Dimension) String() string { return dimensionNames[d] }

// Unit is one unit of measure: its usual symbol, its dimension and the SI value of one of it.
type Unit struct {
	Symbol string
	Dim    Dimension
	si     float64 // SI value of one unit; for degF only the size of a degree
}

// One is the unit of a bare count.
var One = Unit{Symbol: "", Dim: Count, si: 1}

// table lists every unit with all the ways in which it may be written. Spellings are matched
// exactly first (T is a tablespoon, t a teaspoon), with or without a full stop after them, then
// without regard to case, hyphens and full stops. A single letter is never folded.
var table = []struct {
	unit      Unit
	spellings string
}{
	{Unit{"mg", OfMass, float64(Milligram)}, "mg milligram milligrams"},
	{Unit{"g", OfMass, float64(Gram)}, "g gr gram grams gramme grammes"},
	{Unit{"kg", OfMass, float64(Kilogram)}, "kg kilo kilos kilogram kilograms"},
	{Unit{"oz", OfMass, float64(Ounce)}, "oz ounce ounces"},
	{Unit{"lb", OfMass, float64(Pound)}, "lb lbs pound pounds"},

	{Unit{"ml", OfVolume, float64(Millilitre)}, "ml mL millilitre millilitres milliliter milliliters cc"},
	{Unit{"cl", OfVolume, 10 * float64(Millilitre)}, "cl cL centilitre centilitres centiliter centiliters"},
	{Unit{"dl", OfVolume, 100 * float64(Millilitre)}, "dl dL decilitre decilitres deciliter deciliters"},
	{Unit{"L", OfVolume, float64(Litre)}, "L l litre litres liter liters"},
	{Unit{"tsp", OfVolume, float64(Teaspoon)}, "tsp tsps t teaspoon teaspoons teaspoonful"},
	{Unit{"tbsp", OfVolume, float64(Tablespoon)}, "tbsp tbsps tbs T Tbsp tablespoon tablespoons tablespoonful"},
	{Unit{"fl oz", OfVolume, float64(USFluidOz)}, "floz fl.oz fluid-ounce fluid-ounces"},
	{Unit{"cup", OfVolume, float64(USCup)}, "cup cups cupful c"},
	{Unit{"pint", OfVolume, float64(USPint)}, "pint pints pt"},
	{Unit{"quart", OfVolume, float64(USQuart)}, "quart quarts qt"},
	{Unit{"gallon", OfVolume, float64(USGallon)}, "gallon gallons gal"},

	{Unit{"mm", OfLength, float64(Millimetre)}, "mm millimetre millimetres millimeter millimeters"},
	{Unit{"cm", OfLength, float64(Centimetre)}, "cm centimetre centimetres centimeter centimeters"},
	{Unit{"m", OfLength, float64(Metre)}, "m metre metres meter meters"},
	{Unit{"in", OfLength, float64(Inch)}, "in inch inches \" ″"},

	{Unit{"cm²", OfArea, float64(SquareCentimetre)}, "cm² cm2"},
	{Unit{"m²", OfArea, float64(SquareMetre)}, "m² m2"},

	{Unit{"°C", OfTemperature, 1}, "°C C degC celsius"},
	{Unit{"°F", OfTemperature, 1 / 1.8}, "°F F degF fahrenheit"},
	{Unit{"K", OfTempDiff, 1}, "K kelvin"},

	{Unit{"s", OfTime, 1}, "s sec secs second seconds"},
	{Unit{"min", OfTime, 60}, "min mins minute minutes"},
	{Unit{"h", OfTime, 3600}, "h hr hrs hour hours"},
	{Unit{"d", OfTime, 86400}, "d day days"},

	{Unit{"%", OfShare, 0.01}, "% percent"},

	{Unit{"g/ml", OfDensity, 1000}, "g/ml g/mL g/cm3 g/cm³ kg/L kg/l"},
	{Unit{"kg/m³", OfDensity, 1}, "kg/m³ kg/m3"},

	{Unit{"g/cm²", OfLoad, 10}, "g/cm² g/cm2"},
	{Unit{"kg/m²", OfLoad, 1}, "kg/m² kg/m2"},
	{Unit{"g/m²", OfLoad, 0.001}, "g/m² g/m2"},
}

var exact, folded = func() (map[string]Unit, map[string]Unit) {
	e, f := map[string]Unit{}, map[string]Unit{}
	for _, row := range table {
		for _, s := range strings.Fields(row.spellings) {
			e[s] = row.unit
			if len(s) > 1 { // single letters mean different units in capitals
				f[fold(s)] = row.unit
			}
		}
	}
	e["fl oz"], f["fl oz"] = e["floz"], e["floz"]
	return e, f
}()

// punctuation is what stands in a unit without changing it.
var punctuation = strings.NewReplacer(".", "", "-", " ")

func fold(s string) string {
	s = punctuation.Replace(strings.ToLower(s))
	return strings.Join(strings.Fields(s), " ")
}

// ParseUnit reads the name or symbol of a unit. An empty text is a count.
func ParseUnit(s string) (Unit, bool) {
	s = strings.TrimSpace(s)
	if s == "" {
		return One, true
	}
	if u, ok := exact[s]; ok {
		return u, true
	}
	if u, ok := exact[strings.TrimSuffix(s, ".")]; ok {
		return u, true
	}
	u, ok := folded[fold(s)]
	return u, ok
}

// Accepted lists the symbols of the units of the given dimensions, for error messages.
func Accepted(dims ...Dimension) string {
	var out []string
	for _, row := range table {
		for _, d := range dims {
			if row.unit.Dim == d {
				out = append(out, row.unit.Symbol)
			}
		}
	}
	return strings.Join(out, ", ")
}

// seconds converts a number of seconds, saturating far beyond any kitchen's horizon.
func seconds(s float64) time.Duration {
	const most = float64(1<<63-1) / float64(time.Second)
	if s >= most {
		return 1<<63 - 1
	}
	return time.Duration(s * float64(time.Second))
}
