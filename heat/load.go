package heat

import (
	"fmt"
	"time"

	"chablon/material"
	"chablon/unit"
)

// standardLoad is the heat that a freezer takes from a kilogram of the food that its freezing capacity is
// declared for, from 25 to -18 degC: Tylose of 77 % water, by the data of Cleland & Earle (3.71 and
// 1.90 MJ/(m3 K), 209 MJ/m3, -0.6 degC), at 1000 kg/m3.
const standardLoad = 25.6*3710 + 209e3 + 17.4*1900 // J/kg

// Load is what a freezer is asked to freeze at once.
type Load struct {
	Heat     float64       // J to take out of all pieces together
	Capacity float64       // W that the freezer is declared to take out of food
	Alone    time.Duration // that one piece takes while the air stays cold
	Needed   time.Duration // that all take: the longer of Alone and of Heat at Capacity
	Share    float64       // of Capacity that is used over Alone; above 1 the air warms up
}

// LoadOf judges pieces put into a freezer together. each is the heat that one gives off, alone the time
// it takes in air that stays cold (Freezing or Field.Run), capacity what the freezer is declared to
// freeze in 24 hours (from 25 to -18 degC, as for household freezers; our reading for others).
//
// It is a balance over the whole time: at first the pieces give off heat faster than on average, and the
// air warms a little even at a Share of 1. Unusable figures are an *InputError.
func LoadOf(pieces int, each float64, alone time.Duration, capacity unit.Mass) (Load, error) {
	switch {
	case pieces < 1 || pieces > 1e6:
		return Load{}, &InputError{"pieces", fmt.Sprint(pieces), "give one or more"}
	case !(each >= 0 && each < 1e12):
		return Load{}, &InputError{"heat of a piece", fmt.Sprintf("%g J", each), "give the heat that it gives off, 0 or more"}
	case alone <= 0:
		return Load{}, &InputError{"time", alone.String(), "give the time that one piece takes"}
	case !(capacity > 0 && capacity < 1e6):
		return Load{}, &InputError{"freezing capacity", capacity.Show(), "give what the freezer is declared to freeze in 24 hours"}
	}
	l := Load{Heat: float64(pieces) * each, Capacity: float64(capacity) * standardLoad / (24 * 3600), Alone: alone}
	l.Share = l.Heat / alone.Seconds() / l.Capacity
	long, err := duration(l.Heat / l.Capacity)
	if err != nil {
		return Load{}, err
	}
	l.Needed = max(alone, long)
	return l, nil
}

// HeatOf returns the heat that a mass of food gives off between two temperatures, J; below 0 where it
// takes heat up.
func HeatOf(food material.Thermal, m unit.Mass, from, to unit.Temperature) float64 {
	return float64(m) * float64(food.Enthalpy(from)-food.Enthalpy(to))
}

// Removed returns the heat that a run took out of the body, J; below 0 where it put heat in.
func (f *Field) Removed(s State) float64 {
	sum := 0.0
	for c, v := range f.mesh.volume {
		sum += v * (f.heat[c] - s.heat[c])
	}
	return sum
}
