package heat

import (
	"fmt"
	"math"
	"time"

	"chablon/material"
	"chablon/unit"
)

// Freezing returns how long the centre of the body takes from start to the core target in
// surroundings at air with coefficient h, through the freezing of the food.
//
// Method of Pham (1984, 1986) with the shape factor of 1991. The heat to remove is the whole
// difference of enthalpy, since sweet foods freeze over a span of temperatures; conductivity is that
// at the target. The published error is 10 % for slabs of foods with over 55 % water that start to
// freeze near -1 degC. For mousse that starts at -4 degC it came out 7 to 8 % short of a fine
// numerical solution, hence 15 % here below -2 degC, and 25 % outside the published range
// (0.02 < Bi < 11) or under 55 % water.
//
// Three additions are our own, since the formula has no answer there: the mean freezing temperature
// is kept between the target and the freezing point; food that starts below that mean gives off
// all its heat at the mean of start and target; and the last quarter of the way from the freezing
// point to the air is an exponential approach with the mean heat capacity of that stretch, so that
// the time grows without limit as the target nears the air.
//
// A target that is not above air is a *NeverError, one that needs no freezing is answered by
// Cooling, a start that is not above the target takes no time; unusable figures are an *InputError.
//
// Source: Pham as in Singh & Heldman, Introduction to Food Engineering, freezing chapter.
func Freezing(b Body, food material.Thermal, start, target, air unit.Temperature, h unit.HeatTransfer) (Estimate, error) {
	if err := checkInput(b, food, start, target, air, h); err != nil {
		return Estimate{}, err
	}
	if start <= target {
		return Estimate{Method: "none: the core is at its target"}, nil
	}
	if target <= air {
		return Estimate{}, &NeverError{start, target, air}
	}
	first, freezes := food.FreezingPoint()
	if !freezes || target >= first {
		return Cooling(b, food, start, target, air, h)
	}
	bend := max(target, air+(first-air)/4) // from here on the approach is exponential
	bend = min(bend, start)
	rho := float64(food.Density(start))
	held := func(t unit.Temperature) float64 { return rho * float64(food.Enthalpy(t)) }
	atBend := held(bend)
	all := held(start) - atBend
	tail := 0.0 // heat capacity of the stretch from bend to target
	if target < bend {
		tail = (atBend - held(target)) / float64(bend-target)
	}
	mean := max(bend, min(first, meanFreezing(bend, air)))
	frozen := start <= mean // partly, at the start
	above := 0.0
	if frozen {
		mean = (start + bend) / 2
	} else {
		above = min(rho*float64(food.SpecificHeat(max(start, first)))*float64(start-mean), all)
	}
	below := all - above
	r := b.half()
	k := float64(food.Conductivity(target))
	shape := b.shaped()
	var decay func(byH, byK float64) float64
	way := 0.0 // of the tail, as a logarithm
	if target < bend {
		decay, way = b.decay(float64(h), k, tail), math.Log(float64((bend-air)/(target-air)))
	}
	seconds := func(byH, byK float64) float64 {
		h, k := byH*float64(h), byK*k
		t := pham(r, shape.factor(h*r/k), h, k, above, below, start, mean, air)
		if decay != nil {
			t += way / decay(byH, byK)
		}
		return t
	}
	method, notes := 0.10, []string(nil)
	if first < -2 {
		method = 0.15
		notes = append(notes, fmt.Sprintf("the food starts to freeze at %.1f degC; the method was fitted near -1 degC", first.Celsius()))
	}
	if bi := float64(h) * r / k; !(bi > 0.02 && bi < 11) {
		method = 0.25
		notes = append(notes, fmt.Sprintf("Biot number %.2g is outside the 0.02 to 11 of the method", bi))
	}
	if food.WaterFraction() < 0.55 {
		method = 0.25
		notes = append(notes, fmt.Sprintf("%.0f %% water is less than the 55 %% of the method", 100*food.WaterFraction()))
	}
	if frozen {
		method = 0.25
		notes = append(notes, "the food starts partly frozen")
	}
	if target < bend {
		method = 0.25
		notes = append(notes, fmt.Sprintf("the target is only %.2g K above the air: a small error of either changes the time much", float64(target-air)))
	}
	e, err := ranged(seconds, doubtOfConductivity, method)
	if err != nil {
		return Estimate{}, err
	}
	e.Method = "Pham's formula with shape factor"
	e.Notes = append(append(e.Notes, notes...), food.Assumptions()...)
	return e, nil
}

// meanFreezing returns the mean freezing temperature of Pham 1986 for a core target and the air.
func meanFreezing(target, air unit.Temperature) unit.Temperature {
	return 1.8 + 0.263*target + 0.105*air
}

// pham returns the freezing time in seconds of Pham 1986: r half the shortest dimension, m; e the
// shape factor; h W/(m2 K); k of the frozen food, W/(m K); h1 and h2 the heat above and below the
// mean freezing temperature mean, J/m3.
func pham(r, e, h, k, h1, h2 float64, start, mean, air unit.Temperature) float64 {
	return r / (e * h) * (h1/float64((start+mean)/2-air) + h2/float64(mean-air)) * (1 + h*r/k/2)
}

// Plank returns the freezing time of Plank (1913) for comparison: it counts only the heat between
// the freezing point and the core target, given off at the freezing point, and so is 10 to 40 % short.
// Temperatures and errors are those of Freezing; a food or target without freezing is an *InputError.
func Plank(b Body, food material.Thermal, target, air unit.Temperature, h unit.HeatTransfer) (time.Duration, error) {
	first, freezes := food.FreezingPoint()
	if err := checkInput(b, food, first, target, air, h); err != nil {
		return 0, err
	}
	if target <= air {
		return 0, &NeverError{first, target, air}
	}
	if !freezes || target >= first {
		return 0, &InputError{"target temperature", fmt.Sprintf("%.3g degC", target.Celsius()), "the food does not freeze there: ask for the cooling time"}
	}
	k := float64(food.Conductivity(target))
	latent := float64(food.Density(first)) * float64(food.Enthalpy(first)-food.Enthalpy(target))
	e := b.shapeFactor(float64(h) * b.half() / k)
	return duration(plank(2*b.half(), e, float64(h), k, latent, first, air))
}

// plank returns the freezing time in seconds: a the full thickness or diameter, m; e the shape
// factor, 1 for a slab, 2 for a long cylinder, 3 for a sphere; latent heat J/m3.
func plank(a, e, h, k, latent float64, freezing, air unit.Temperature) float64 {
	return latent / float64(freezing-air) / e * (a/(2*h) + a*a/(8*k))
}
