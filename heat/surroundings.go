package heat

import (
	"chablon/finding"
	"chablon/unit"
)

// Surroundings is a place that takes or gives heat: its coefficient, convection and radiation
// together, on a bare surface. A mould or wrapping weakens it, see unit.HeatTransfer.Through.
type Surroundings struct {
	Name      string // as documents call it: "blast-freezer"
	Low, High unit.HeatTransfer
	Default   unit.HeatTransfer
	Source    string
}

// fromMemory is the source of textbook figures that were not compared with a text.
const fromMemory = "typical textbook range, from memory"

// Places of a pastry kitchen.
var (
	StillFreezer    = Surroundings{"still-freezer", 5, 10, 8, fromMemory}
	FanFreezer      = Surroundings{"fan-freezer", 10, 20, 14, fromMemory}
	BlastChiller    = Surroundings{"blast-chiller", 15, 30, 22, fromMemory}
	BlastFreezer    = Surroundings{"blast-freezer", 20, 50, 30, "ASHRAE Handbook-Refrigeration: batch blast freezers stay below 50"}
	PlateFreezer    = Surroundings{"plate-freezer", 50, 500, 100, fromMemory}
	Refrigerator    = Surroundings{"refrigerator", 5, 10, 8, "ASHRAE Handbook-Refrigeration: a cooked ham in still air, 5 to 9"}
	FanRefrigerator = Surroundings{"fan-refrigerator", 10, 20, 14, fromMemory}
	Room            = Surroundings{"room", 6, 12, 9, fromMemory}
	IceBath         = Surroundings{"ice-bath", 100, 300, 200, fromMemory}
	StirredIceBath  = Surroundings{"stirred-ice-bath", 400, 1000, 600, fromMemory}
)

// AllSurroundings lists the places, the gentlest freezer first.
func AllSurroundings() []Surroundings {
	return []Surroundings{
		StillFreezer, FanFreezer, BlastChiller, BlastFreezer, PlateFreezer,
		Refrigerator, FanRefrigerator, Room, IceBath, StirredIceBath,
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
