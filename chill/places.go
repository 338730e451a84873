package chill

import (
	"fmt"

	"chablon/finding"
	"chablon/heat"
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

// placeOf returns a place of the kitchen as its surroundings: those of its kind, with its own setting as the
// usual temperature, and the coefficient that was measured here if there is one.
func placeOf(e kitchen.Equipment) (heat.Surroundings, error) {
	if !e.HasSetting {
		return heat.Surroundings{}, fmt.Errorf("the temperature of %s is not on record: enter its setting", e.Name)
	}
	if !(e.Setting >= coldestPlace && e.Setting <= hottestPlace) {
		return heat.Surroundings{}, &heat.InputError{Field: "temperature of " + e.Name, Value: fmt.Sprintf("%g °C", e.Setting.Celsius()), Remedy: fmt.Sprintf("enter a setting between %g and %g °C", float64(coldestPlace), float64(hottestPlace))}
	}
	s := heat.StillFreezer
	switch {
	case e.Kind == "blast-freezer" || e.Air == "blast":
		s = heat.BlastFreezer
	case e.Air == "plate":
		s = heat.PlateFreezer
	case e.Kind == "refrigerator" && e.Air == "fan":
		s = heat.FanRefrigerator
	case e.Kind == "refrigerator":
		s = heat.Refrigerator
	case e.Kind == "ice-bath":
		s = heat.IceBath
	case e.Kind == "counter":
		s = heat.Counter
	case e.Air == "fan":
		s = heat.FanFreezer
	}
	s.Usual = e.Setting
	switch { // what settles on a frozen piece warms it; the ice of a freezer's own air does not
	case e.Setting <= 0:
		s.Humidity = 0
	case s.Humidity == 0:
		s.Humidity = heat.Refrigerator.Humidity
	}
	if e.Transfer > 0 {
		s.Default = unit.HeatTransfer(e.Transfer)
		s.Low, s.High = s.Default*(1-measuredDoubt), s.Default*(1+measuredDoubt)
		if e.TransferLow > 0 { // two standard deviations, as the ranges of the other places
			s.Low = min(s.Low, unit.HeatTransfer(e.TransferLow*e.TransferLow/e.Transfer))
			s.High = max(s.High, unit.HeatTransfer(e.TransferHigh*e.TransferHigh/e.Transfer))
		}
		s.Source = "measured in this kitchen"
	}
	return s, nil
}

// Temperatures that a place may have: those that heat.Field takes.
const (
	coldestPlace = unit.Temperature(-120)
	hottestPlace = unit.Temperature(200)
)

// measuredDoubt is what is at least left of the doubt of a coefficient that was measured: a freezer is not the
// same every day, full or empty, iced or not. Our judgement.
const measuredDoubt = 0.15

func placeName(e kitchen.Equipment) string {
	air := map[string]string{"still": "still air", "fan": "fan", "blast": "blast", "plate": "plate"}[e.Air]
	if air != "" {
		air += " at "
	}
	return fmt.Sprintf("%s, %s%s", e.Name, air, e.Setting.Show())
}
