package heat

import (
	"chablon/finding"
	"chablon/unit"
)

// Surroundings is a place that takes or gives heat: its coefficient, convection and radiation
// together, on a bare surface, and the temperatures that it is met at. A mould or wrapping weakens it, see
// unit.HeatTransfer.Through and Cover.
type Surroundings struct {
	Name      string // as documents call it: "blast-freezer"
	Low, High unit.HeatTransfer
	Default   unit.HeatTransfer
	// What its thermometer shows: at the coldest, usually, at the warmest.
	Coldest, Usual, Warmest unit.Temperature
	Humidity                float64 // usual, relative; 0 below freezing and in water
	Source                  string  // of the coefficients; temperatures and humidities are common practice
}

// Boundary returns the place as a face of a Field meets it: usual temperature and humidity, default coefficient.
func (s Surroundings) Boundary() Boundary { return s.At(s.Usual) }

// At returns the place at a temperature that was read off.
func (s Surroundings) At(t unit.Temperature) Boundary {
	return Boundary{Air: t, Transfer: s.Default, Humidity: s.Humidity}
}

// Sources of textbook figures that were not compared with a text.
const (
	fromMemory = "typical textbook range, from memory"
	judged     = "our choice between a still room and a fan refrigerator"
)

// Places of a pastry kitchen. A freezer that follows Directive 89/108/EEC is at -18 degC or colder, a
// refrigerator that follows bib:food-code-2022 3-501.16 at 5 or colder.
var (
	StillFreezer    = Surroundings{"still-freezer", 5, 10, 8, -25, -18, -15, 0, fromMemory}
	FanFreezer      = Surroundings{"fan-freezer", 10, 20, 14, -25, -20, -18, 0, fromMemory}
	BlastChiller    = Surroundings{"blast-chiller", 15, 30, 22, -5, 1, 3, 0.8, fromMemory}
	BlastFreezer    = Surroundings{"blast-freezer", 20, 50, 30, -40, -35, -28, 0, "ASHRAE Handbook-Refrigeration: batch blast freezers stay below 50"}
	PlateFreezer    = Surroundings{"plate-freezer", 50, 500, 100, -40, -35, -30, 0, fromMemory}
	Refrigerator    = Surroundings{"refrigerator", 5, 10, 8, 1, 4, 7, 0.8, "ASHRAE Handbook-Refrigeration: a cooked ham in still air, 5 to 9"}
	FanRefrigerator = Surroundings{"fan-refrigerator", 10, 20, 14, 1, 3, 5, 0.8, fromMemory}
	Room            = Surroundings{"room", 6, 12, 9, 16, 21, 32, 0.5, fromMemory}
	Counter         = Surroundings{"counter", 6, 12, 9, 18, 23, 35, 0.5, "as a still room; the board below is a face of its own"}
	Van             = Surroundings{"van", 8, 16, 11, 2, 5, 8, 0.8, judged}
	IceBath         = Surroundings{"ice-bath", 100, 300, 200, 0, 0.5, 4, 0, fromMemory}
	StirredIceBath  = Surroundings{"stirred-ice-bath", 400, 1000, 600, 0, 0.5, 2, 0, fromMemory}
	WaterBath       = Surroundings{"water-bath", 200, 600, 350, 40, 65, 95, 0, "our choice between an ice bath at rest and a stirred one"}
)

// AllSurroundings lists the places, the gentlest freezer first.
func AllSurroundings() []Surroundings {
	return []Surroundings{
		StillFreezer, FanFreezer, BlastChiller, BlastFreezer, PlateFreezer,
		Refrigerator, FanRefrigerator, Room, Counter, Van, IceBath, StirredIceBath, WaterBath,
	}
}

// Wall is a material of moulds and wrappings, by its conductivity.
type Wall struct {
	Name         string
	Conductivity unit.Conductivity
	Source       string
}

// Walls lists what stands between food and air.
func Walls() []Wall {
	return []Wall{
		{"silicone", 0.20, finding.CommonPractice},
		{"acetate", 0.2, finding.CommonPractice},
		{"polystyrene-foam", 0.033, finding.CommonPractice},
		{"card", 0.065, finding.CommonPractice},
		{"stainless-steel", 16, finding.CommonPractice},
		{"aluminium", 200, finding.CommonPractice},
		{"air-gap", 0.0245, finding.CommonPractice},
	}
}

// Radiation returns the coefficient of radiation between a surface of an emissivity, 0 to 1 (food and
// frost 0.9, bright metal 0.1), and walls around it, whose mean temperature is mean: 4 e s T^3 with the
// constant of Stefan and Boltzmann. It is contained in the figures of Surroundings.
func Radiation(emissivity float64, mean unit.Temperature) unit.HeatTransfer {
	const stefanBoltzmann = 5.670374419e-8 // W/(m2 K4), exact since 2019
	t := mean.Kelvin()
	return unit.HeatTransfer(4 * emissivity * stefanBoltzmann * t * t * t)
}
