package heat

import (
	"fmt"
	"math"

	"chablon/material"
	"chablon/unit"
)

// ThawedCore is the core temperature that Thawing answers for.
const ThawedCore = unit.Temperature(0)

// Thawing returns how long the centre of a frozen body takes from start to 0 °C in surroundings
// at air with coefficient h.
//
// Method of Cleland et al. (1987), stated error 12 % for foods that freeze near −1 °C, divided by
// the shape factor of Freezing for other shapes. A mousse that freezes at −4 °C is outside what
// it was fitted to, so 25 % is given below −2 °C. It says nothing of serving temperatures below
// zero.
//
// The air must be above 0 °C and the start below the freezing point of the food, else a
// *NeverError or an *InputError; a food that does not freeze is warmed by Cooling.
//
// Source: bib:cleland-1987, regression for thawing times, from memory.
func Thawing(b Body, food material.Thermal, start, air unit.Temperature, h unit.HeatTransfer) (Estimate, error) {
	if err := checkInput(b, food, start, ThawedCore, air, h); err != nil {
		return Estimate{}, err
	}
	if air <= ThawedCore {
		return Estimate{}, &NeverError{start, ThawedCore, air}
	}
	if start >= ThawedCore {
		return Estimate{Method: "none: the core is at its target"}, nil
	}
	first, freezes := food.FreezingPoint()
	if !freezes {
		return Cooling(b, food, start, ThawedCore, air, h)
	}
	if start >= first {
		return Estimate{}, &InputError{"start temperature", fmt.Sprintf("%.3g degC", start.Celsius()), fmt.Sprintf("the food is frozen only below %.1f degC: start below that", first.Celsius())}
	}
	rho := float64(food.Density(start))
	warm := (ThawedCore + air) / 2
	liquid := rho * float64(food.SpecificHeat(max(warm, first)))
	atTen := food.Enthalpy(-10)
	frozen := rho * float64(atTen-food.Enthalpy(-20)) / 10
	span := rho * float64(food.Enthalpy(0)-atTen) // volumetric enthalpy from −10 to 0 °C
	full := 2 * b.half()
	k := float64(food.Conductivity(warm))
	shape := b.shaped()
	seconds := func(byH, byK float64) float64 {
		h, k := byH*float64(h), byK*k
		return cleland(full, h, k, liquid, frozen, span, start, first, air) / shape.factor(h*full/k/2)
	}
	method, notes := 0.12, []string(nil)
	if first < -2 {
		method = 0.25
		notes = append(notes, fmt.Sprintf("the food thaws from %.1f degC; the method was fitted near -1 degC", first.Celsius()))
	}
	e, err := ranged(seconds, doubtOfConductivity, method)
	if err != nil {
		return Estimate{}, err
	}
	e.Method = "Cleland's formula for thawing with shape factor"
	e.Notes = append(append(e.Notes, notes...), food.Assumptions()...)
	return e, nil
}

// cleland returns the thawing time of a slab in seconds: full thickness, m; h, W/(m2 K); k thawed,
// W/(m K); heat capacities thawed and frozen, J/(m3 K); span the enthalpy from −10 to 0 °C, J/m3.
func cleland(full, h, k, liquid, frozen, span float64, start, first, air unit.Temperature) float64 {
	bi := h * full / k
	ste := liquid * float64(air-first) / span
	pk := frozen * float64(first-start) / span
	fo := 1.4291 * math.Exp(1.0248*math.Log(0.5/(bi*ste)+0.125/ste)+0.2712*math.Log(ste)+0.0610*math.Log(pk))
	return fo * liquid * full * full / k
}
