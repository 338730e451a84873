package chill

import (
	"chablon/finding"
	"chablon/kitchen"
	"chablon/unit"
)

// UsualFreezer is a freezer that a cook may compare the own one with.
type UsualFreezer struct {
	kitchen.Equipment
	Source string // of its setting; its coefficient is that of heat.AllSurroundings
}

// UsualFreezers lists freezers from the gentlest on.
func UsualFreezers() []UsualFreezer {
	of := func(name, kind, air string, setting unit.Temperature, source string) UsualFreezer {
		return UsualFreezer{kitchen.Equipment{Name: name, Kind: kind, Air: air, Setting: setting, HasSetting: true}, source}
	}
	return []UsualFreezer{
		of("Home freezer, still air at −18 °C", "freezer", "still", -18, "Directive 89/108/EEC: −18 °C or colder"),
		of("Freezer with a fan at −20 °C", "freezer", "fan", -20, finding.CommonPractice),
		of("Freezer with a fan at −25 °C", "freezer", "fan", -25, finding.CommonPractice),
		of("Blast freezer at −35 °C", "blast-freezer", "blast", -35, finding.CommonPractice),
	}
}
