package unit

// Conductivity is how well matter passes heat on, held in watts per metre and kelvin.
type Conductivity float64

// WattPerMetreKelvin is the unit of conductivity. Water has about 0.6, ice 2.2, air 0.024.
const WattPerMetreKelvin Conductivity = 1

// SpecificHeat is the heat that warms a mass by a temperature, held in joules per kilogram and
// kelvin.
type SpecificHeat float64

// Units of specific heat. Water has about 4.18 kilojoules per kilogram and kelvin.
const (
	JoulePerKilogramKelvin     SpecificHeat = 1
	KilojoulePerKilogramKelvin              = 1000 * JoulePerKilogramKelvin
)

// SpecificEnergy is heat in a mass, held in joules per kilogram.
type SpecificEnergy float64

// Units of specific energy.
const (
	JoulePerKilogram     SpecificEnergy = 1
	KilojoulePerKilogram                = 1000 * JoulePerKilogram
)

// KilojoulesPerKilogram returns e in kilojoules per kilogram.
func (e SpecificEnergy) KilojoulesPerKilogram() float64 { return float64(e) / 1000 }

// HeatTransfer is how fast surroundings take heat from a surface, held in watts per square
// metre and kelvin.
type HeatTransfer float64

// WattPerSquareMetreKelvin is the unit of heat transfer. Still air takes about 8, a blast 30.
const WattPerSquareMetreKelvin HeatTransfer = 1

// Through returns the coefficient that is left behind a wall of thickness d and conductivity k,
// such as a mould: 1/U = 1/h + d/k. Walls follow one another by repeated calls. A wall without
// thickness changes nothing; one that conducts nothing leaves zero.
func (h HeatTransfer) Through(d Length, k Conductivity) HeatTransfer {
	switch {
	case d <= 0:
		return h
	case h <= 0 || k <= 0:
		return 0
	}
	return HeatTransfer(1 / (1/float64(h) + float64(d)/float64(k)))
}
