package unit

import "math"

// Mass is an amount of matter, held in kilograms. The zero Mass is no mass.
type Mass float64

// Units of mass. Multiply by them: 250 * unit.Gram.
const (
	Kilogram  Mass = 1
	Gram           = Kilogram / 1000
	Milligram      = Gram / 1000
	Ounce          = 28.349523125 * Gram // avoirdupois, exact (NIST Handbook 44, App. C)
	Pound          = 453.59237 * Gram    // avoirdupois, exact
)

// Grams returns m in grams.
func (m Mass) Grams() float64 { return float64(m) * 1000 }

// Volume is an amount of space, held in cubic metres.
type Volume float64

// Units of volume.
const (
	CubicMetre Volume = 1
	Litre             = CubicMetre / 1000
	Millilitre        = Litre / 1000
	USGallon          = 3785.411784 * Millilitre // 231 cubic inches, exact
	USQuart           = USGallon / 4
	USPint            = USGallon / 8
	USCup             = USGallon / 16
	USFluidOz         = USGallon / 128
	Tablespoon        = USGallon / 256 // US
	Teaspoon          = USGallon / 768 // US
)

// Millilitres returns v in millilitres (cubic centimetres).
func (v Volume) Millilitres() float64 { return float64(v) * 1e6 }

// Length is a distance, held in metres.
type Length float64

// Units of length.
const (
	Metre      Length = 1
	Millimetre        = Metre / 1000
	Centimetre        = Metre / 100
	Inch              = 25.4 * Millimetre // exact since 1959
)

// Millimetres returns l in millimetres.
func (l Length) Millimetres() float64 { return float64(l) * 1000 }

// Area is an extent of surface, held in square metres.
type Area float64

// Units of area.
const (
	SquareMetre      Area = 1
	SquareCentimetre      = SquareMetre / 1e4
	SquareMillimetre      = SquareMetre / 1e6
)

// SquareCentimetres returns a in square centimetres.
func (a Area) SquareCentimetres() float64 { return float64(a) * 1e4 }

// Times returns the volume of a layer of thickness l over the area.
func (a Area) Times(l Length) Volume { return Volume(float64(a) * float64(l)) }

// Temperature is a point on the Celsius scale, held in degrees Celsius. It is affine: points
// are not added to each other, see TempDiff.
type Temperature float64

// Celsius returns the temperature c degrees Celsius.
func Celsius(c float64) Temperature { return Temperature(c) }

// Fahrenheit returns the temperature f degrees Fahrenheit: (f - 32)/1.8 degC, exact.
func Fahrenheit(f float64) Temperature { return Temperature((f - 32) / 1.8) }

// Celsius returns t in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) }

// Fahrenheit returns t in degrees Fahrenheit.
func (t Temperature) Fahrenheit() float64 { return float64(t)*1.8 + 32 }

// Kelvin returns t in kelvin.
func (t Temperature) Kelvin() float64 { return float64(t) + 273.15 }

// Minus returns the difference t - u.
func (t Temperature) Minus(u Temperature) TempDiff { return TempDiff(t - u) }

// Plus returns t shifted by d.
func (t Temperature) Plus(d TempDiff) Temperature { return t + Temperature(d) }

// TempDiff is a distance between temperatures, held in kelvin (equal to Celsius degrees).
type TempDiff float64

// Kelvins returns d in kelvin.
func (d TempDiff) Kelvins() float64 { return float64(d) }

// Density is mass in a volume, held in kilograms per cubic metre. The zero Density means that
// none is on record: it converts nothing, and callers report it instead of using it.
type Density float64

// Units of density. One gram per millilitre is 1000 kilograms per cubic metre.
const (
	KilogramPerCubicMetre Density = 1
	GramPerMillilitre             = 1000 * KilogramPerCubicMetre
)

// GramsPerMillilitre returns d in grams per millilitre.
func (d Density) GramsPerMillilitre() float64 { return float64(d) / 1000 }

// Known reports whether a usable density is on record: above zero and finite.
func (d Density) Known() bool { return d > 0 && !math.IsInf(float64(d), 0) }

// Mass returns the mass of v at this density.
func (d Density) Mass(v Volume) Mass { return Mass(float64(d) * float64(v)) }

// Volume returns the volume of m at this density, or zero if the density is not Known.
func (d Density) Volume(m Mass) Volume {
	if !d.Known() {
		return 0
	}
	return Volume(float64(m) / float64(d))
}

// DensityOf returns the density of a mass that takes a volume, or zero if the volume is not
// above zero.
func DensityOf(m Mass, v Volume) Density {
	if v <= 0 {
		return 0
	}
	return Density(float64(m) / float64(v))
}

// Load is mass on an area, held in kilograms per square metre: a soak, a spread, a film.
type Load float64

// Units of load.
const (
	KilogramPerSquareMetre  Load = 1
	GramPerSquareCentimetre      = 10 * KilogramPerSquareMetre
)

// Mass returns the mass that lies on a at this load.
func (l Load) Mass(a Area) Mass { return Mass(float64(l) * float64(a)) }
