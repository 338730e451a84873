package heat

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"chablon/material"
	"chablon/unit"
)

// Estimate is how long something takes and how sure that is.
type Estimate struct {
	Time      time.Duration
	Low, High time.Duration // two times out of three the truth lies between, our judgement
	Method    string        // of which formula, by whom
	Notes     []string      // why the range is what it is, limits left behind, assumptions
}

// InputError says which figure cannot be used, and what to give instead.
type InputError struct{ Field, Value, Remedy string }

// Error names the field, its value and the remedy.
func (e *InputError) Error() string { return e.Field + " " + e.Value + ": " + e.Remedy }

// NeverError says that the core does not get to the target in these surroundings.
type NeverError struct{ Start, Target, Air unit.Temperature }

// Error gives the temperatures and what to change.
func (e *NeverError) Error() string {
	if e.Start < e.Target {
		return fmt.Sprintf("core never reaches %g degC in air of %g degC: take warmer surroundings or a lower target", e.Target.Celsius(), e.Air.Celsius())
	}
	return fmt.Sprintf("core never reaches %g degC in air of %g degC: take colder surroundings or a higher target", e.Target.Celsius(), e.Air.Celsius())
}

// Relative doubts that go into the range of an Estimate, one standard deviation each. The
// coefficient as commonly known; conductivity 10 % airless and unfrozen, 20 % else (Carson et al.
// 2016); heat content 7 %.
const (
	doubtOfSurface      = 0.30
	doubtOfConductivity = 0.20
	doubtOfPlain        = 0.10
	doubtOfHeat         = 0.07
)

// ranged turns seconds, a function of by how many times coefficient and conductivity are what they are taken
// for, into an Estimate: it is run again with each of them at both ends, and the differences are added in
// quadrature with the doubt of the method and of the heat content.
func ranged(seconds func(h, k float64) float64, kDoubt, method float64) (Estimate, error) {
	t := seconds(1, 1)
	own := sq(method) + sq(doubtOfHeat)
	up := math.Sqrt(own + sq(seconds(1-doubtOfSurface, 1)/t-1) + sq(seconds(1, 1-kDoubt)/t-1))
	down := math.Sqrt(own + sq(seconds(1+doubtOfSurface, 1)/t-1) + sq(seconds(1, 1+kDoubt)/t-1))
	high, err := duration(t * (1 + up))
	if err != nil {
		return Estimate{}, err
	}
	return Estimate{
		Time: time.Duration(t * float64(time.Second)), Low: time.Duration(t * max(0, 1-down) * float64(time.Second)), High: high,
		Notes: []string{rangeNote(down, up, method, kDoubt)},
	}, nil
}

// rangeNote says what a range is made of. It is written by hand: formatting by fmt took a tenth of an estimate.
func rangeNote(down, up, method, kDoubt float64) string {
	var room [128]byte
	text := room[:0]
	percent := func(before string, x float64) {
		text = append(text, before...)
		text = strconv.AppendInt(text, int64(math.RoundToEven(100*x)), 10)
	}
	percent("range -", down)
	percent("/+", up)
	percent(" %: method ", method)
	text = append(text, " %, surface coefficient 30 %, conductivity"...)
	percent(" ", kDoubt)
	return string(append(text, " %, heat content 7 %"...))
}

func sq(x float64) float64 { return x * x }

// longest is the longest time that is called an answer, s: 30 years.
const longest = 1e9

// duration returns seconds as a time, or an *InputError for those that are no sensible answer.
func duration(seconds float64) (time.Duration, error) {
	if !(seconds >= 0 && seconds < longest) {
		return 0, &InputError{"time", fmt.Sprintf("%.3g s", seconds), "the body or its surroundings are out of proportion: check dimensions and coefficient"}
	}
	return time.Duration(seconds * float64(time.Second)), nil
}

// checkInput returns an *InputError for a body, food, temperatures or coefficient that cannot be
// used.
func checkInput(b Body, food material.Thermal, start, target, air unit.Temperature, h unit.HeatTransfer) error {
	if err := b.check(); err != nil {
		return err
	}
	for _, t := range []struct {
		name string
		at   unit.Temperature
	}{{"start", start}, {"target", target}, {"air", air}} {
		if !(t.at >= -200 && t.at <= 300) {
			return &InputError{t.name + " temperature", fmt.Sprintf("%g degC", t.at.Celsius()), "give one between -200 and 300 degC"}
		}
	}
	if !(h >= 0.1 && h <= 1e5) {
		return &InputError{"surface coefficient", fmt.Sprintf("%g W/(m2 K)", float64(h)), "give one between 0.1 and 100000"}
	}
	if food.Density(20) <= 0 { // where there is no ice to work out
		return &InputError{"food", "without properties", "give a composition"}
	}
	return nil
}

// Cooling returns how long the centre of the body takes from start to target, down or up, in
// surroundings at air with coefficient h, while nothing freezes or thaws.
//
// It is the product of the series for each direction with the properties at the mean of start and
// target; for an egg the lag factor and slope of Lin et al. Evaporation, stirring, setting fat and starch are not counted: a hot cream that steams
// cools faster. The series is exact for constant properties; 5 % is given to their change.
//
// A target that is not between start and air is a *NeverError; start or target below the
// freezing point of the food and unusable figures are an *InputError.
//
// Source: Carslaw & Jaeger, Conduction of Heat in Solids, chapters 3, 7 and 9.
func Cooling(b Body, food material.Thermal, start, target, air unit.Temperature, h unit.HeatTransfer) (Estimate, error) {
	if err := checkInput(b, food, start, target, air, h); err != nil {
		return Estimate{}, err
	}
	if start == target {
		return Estimate{Method: "none: the core is at its target"}, nil
	}
	theta := float64((target - air) / (start - air))
	if start == air || !(theta > 0 && theta < 1) {
		return Estimate{}, &NeverError{start, target, air}
	}
	if first, freezes := food.FreezingPoint(); freezes && min(start, target) < first {
		if target < start {
			return Estimate{}, &InputError{"target temperature", fmt.Sprintf("%.3g degC", target.Celsius()), fmt.Sprintf("the food freezes at %.1f degC: ask for the freezing time", first.Celsius())}
		}
		return Estimate{}, &InputError{"start temperature", fmt.Sprintf("%.3g degC", start.Celsius()), fmt.Sprintf("the food is frozen below %.1f degC and thawing is not estimated: start above that", first.Celsius())}
	}
	mean := (start + target) / 2
	volumetric := float64(food.Density(mean)) * float64(food.SpecificHeat(mean))
	k := float64(food.Conductivity(mean))
	if b.Shape == Egg {
		return coolingOfEgg(b, food, volumetric, k, float64(h), theta)
	}
	d := b.directions(float64(h), k)
	slow := d.response(k)
	last := func(h, k float64) float64 { // about the time, of a change; the terms at the end alone
		rate, amplitude := slow.changed(h, k)
		return math.Log(amplitude/theta) / rate
	}
	scale := d.timeTo(k/volumetric, theta) / last(1, 1)
	seconds := func(h, k float64) float64 { return scale * last(h, k) }
	e, err := ranged(seconds, doubtOf(food), 0.05)
	if err != nil {
		return Estimate{}, err
	}
	e.Method = "series solution, constant properties (Carslaw & Jaeger)"
	return e, nil
}

// doubtOf returns the doubt of the conductivity of an unfrozen food.
func doubtOf(food material.Thermal) float64 {
	if food.AirFraction() > 0 {
		return doubtOfConductivity
	}
	return doubtOfPlain
}

// coolingOfEgg is Cooling for a body that has no product of series; c is its volumetric capacity.
func coolingOfEgg(b Body, food material.Thermal, c, k, h, theta float64) (Estimate, error) {
	seconds := func(byH, byK float64) float64 {
		rate, centre, _ := b.lag(byH*h, byK*k, c)
		return math.Max(0.01, math.Log(centre/theta)) / rate
	}
	e, err := ranged(seconds, doubtOf(food), 0.08)
	if err != nil {
		return Estimate{}, err
	}
	e.Method = "lag factor and slope, constant properties (Lin et al.)"
	return e, nil
}

// decay returns how the slowest rate at which differences in the body fall, 1/s, follows from by how many times
// coefficient h and conductivity k are what they are taken for; c is its volumetric capacity.
func (b Body) decay(h, k, c float64) func(byH, byK float64) float64 {
	if b.Shape == Egg {
		return func(byH, byK float64) float64 {
			rate, _, _ := b.lag(byH*h, byK*k, c)
			return rate
		}
	}
	d := b.directions(h, k)
	slow := d.response(k)
	return func(byH, byK float64) float64 {
		rate, _ := slow.changed(byH, byK)
		return rate / c
	}
}
