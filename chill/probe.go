package chill

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// Probe is a temperature that the cook read in a piece, so long after it went in.
type Probe struct {
	At          time.Duration
	Temperature unit.Temperature
	Off         unit.Length // how far from the core the tip may have been; 5 mm if zero
}

// Corrected is what probe readings make of an answer.
type Corrected struct {
	Before Answer
	After  Wait
	// Transfer is the surface coefficient of the place that explains the readings, with the range in
	// which it lies two times out of three.
	Transfer  unit.HeatTransfer
	Low, High unit.HeatTransfer
	// Conductivity is by how many times the foods conduct better than computed, with its range; 1 with no range
	// where it was not fitted.
	Conductivity, ConductivityLow, ConductivityHigh float64
	Expected                                        []unit.Temperature // what the uncorrected model had said at the readings
	Misfit                                          float64            // see heat.Fit
	readings                                        []Probe
}

// Calibration returns what the kitchen keeps of it, for its day and the id of the piece that was probed.
func (c *Corrected) Calibration(date, piece string) kitchen.Calibration {
	out := kitchen.Calibration{Date: date, Transfer: float64(c.Transfer), Low: float64(c.Low), High: float64(c.High), Piece: piece}
	if c.ConductivityHigh > c.ConductivityLow {
		out.Conductivity, out.ConductivityLow, out.ConductivityHigh = c.Conductivity, c.ConductivityLow, c.ConductivityHigh
	}
	for _, r := range c.readings {
		out.Readings = append(out.Readings, kitchen.Reading{After: r.At, Temperature: r.Temperature})
	}
	return out
}

// Doubts of a reading and of a corrected time, one standard deviation each: our judgement.
const (
	probeError    = unit.TempDiff(0.7)
	probeOff      = 5 * unit.Millimetre
	correctedRest = 0.05
	// doubtOfConductivity is that of a foam's or a frozen food's computed conductivity, of its logarithm (Carson et
	// al. 2016, see heat).
	doubtOfConductivity = 0.20
	// probeTolerance is the error of one step, K: small, since the fit takes differences of runs.
	probeTolerance = 0.005
	// fewestReadings are needed to tell the conductivity from the coefficient.
	fewestReadings = 3
)

// CorrectFreezing corrects the time of a freezing by readings of the core: the surface coefficient is the
// one unknown, known before as well as its place lets it be known. A reading on the plateau, where the core freezes and hardly cools, tells
// little, and the range stays wide then by itself. The After range is that in which the time lies nine
// times out of ten.
//
// Readings must be after the piece went in, at temperatures of food, and the freezer must be able to
// do it at all.
func (b *Body) CorrectFreezing(ctx context.Context, in kitchen.Equipment, readings []Probe) (Corrected, error) {
	return b.correct(ctx, in, readings, false)
}

// CorrectFreezingWithFood is CorrectFreezing with the conductivity of the foods as a second unknown, known before
// to 20 %. It takes three readings or more. What is found of the coefficient is less sure than with the
// conductivity taken as computed, since either of them speeds the freezing up: readings early on, before the
// core freezes, and late ones tell the two apart best.
func (b *Body) CorrectFreezingWithFood(ctx context.Context, in kitchen.Equipment, readings []Probe) (Corrected, error) {
	if len(readings) < fewestReadings {
		return Corrected{}, fmt.Errorf("%d readings: the coefficient and the conductivity together take %d or more", len(readings), fewestReadings)
	}
	return b.correct(ctx, in, readings, true)
}

func (b *Body) correct(ctx context.Context, in kitchen.Equipment, readings []Probe, food bool) (Corrected, error) {
	place, err := placeOf(in)
	if err != nil {
		return Corrected{}, err
	}
	list, err := b.probed(readings, place.Default)
	if err != nil {
		return Corrected{}, err
	}
	before, err := b.Freeze(ctx, in, Planning)
	if err != nil {
		return Corrected{}, err
	}
	if !before.Reached {
		return Corrected{}, errors.New(before.Reason)
	}
	unknowns := []heat.Unknown{{Name: "surface coefficient", Guess: float64(place.Default), Doubt: math.Max(0.05, math.Log(float64(place.High/place.Low))/4)}}
	if food {
		unknowns = append(unknowns, heat.Unknown{Name: "conductivity", Guess: 1, Doubt: doubtOfConductivity})
	}
	model := func(values []float64) ([]unit.Temperature, error) { return b.expected(ctx, place, values, readings) }
	out := Corrected{Before: before, Conductivity: 1, ConductivityLow: 1, ConductivityHigh: 1, readings: readings}
	if out.Expected, err = model([]float64{float64(place.Default)}); err != nil {
		return out, err
	}
	fit, err := heat.Calibrate(unknowns, list, model)
	if err != nil {
		return out, err
	}
	ready, err := fit.Ready(correctedRest, func(values []float64) (time.Duration, error) { return b.readyWith(ctx, in, values) })
	if err != nil {
		return out, err
	}
	const ninety = 1.645 // standard deviations on either side hold nine tenths
	stretched := func(t time.Duration) time.Duration {
		return time.Duration(float64(ready.Time) * math.Pow(float64(t)/float64(ready.Time), ninety))
	}
	out.After = Wait{Time: ready.Time, Low: stretched(ready.Low), High: stretched(ready.High), Criterion: before.Criterion, Place: before.Place, Method: ready.Method}
	span := func(i int) (low, high float64) {
		return fit.Values[i] * math.Exp(-fit.Doubt[i]), fit.Values[i] * math.Exp(fit.Doubt[i])
	}
	low, high := span(0)
	out.Transfer, out.Low, out.High = unit.HeatTransfer(fit.Values[0]), unit.HeatTransfer(low), unit.HeatTransfer(high)
	if len(unknowns) > 1 {
		out.Conductivity = fit.Values[1]
		out.ConductivityLow, out.ConductivityHigh = span(1)
	}
	out.Misfit = fit.Misfit
	return out, nil
}

// probed returns the readings with their doubts, in a place of a coefficient.
func (b *Body) probed(readings []Probe, h unit.HeatTransfer) ([]heat.ProbeReading, error) {
	if len(readings) == 0 {
		return nil, errors.New("no reading: probe the core and write the temperature")
	}
	list := make([]heat.ProbeReading, len(readings))
	for i, r := range readings {
		if r.At < time.Minute || r.At > twoWeeks {
			return nil, fmt.Errorf("reading %d: %s after it went in: must be at least a minute and within two weeks", i+1, unit.ShowDuration(r.At))
		}
		off := r.Off
		if off == 0 {
			off = probeOff
		}
		list[i] = heat.ProbeReading{At: r.At, Temperature: r.Temperature, Error: unit.TempDiff(math.Hypot(float64(probeError), b.offCore(h, off)))}
	}
	return list, nil
}

// with returns the piece with the conductivity that a fit's values tell of: the coefficient, and the factor if
// that was fitted.
func (b *Body) with(values []float64) (*Body, error) {
	if len(values) < 2 {
		return b, nil
	}
	return b.Conducting(values[1])
}

// expected returns the core's temperatures at the readings, for a fit's values.
func (b *Body) expected(ctx context.Context, place heat.Surroundings, values []float64, readings []Probe) ([]unit.Temperature, error) {
	body, err := b.with(values)
	if err != nil {
		return nil, err
	}
	f, err := body.field(Planning.Cell)
	if err != nil {
		return nil, err
	}
	var last time.Duration
	for _, r := range readings {
		last = max(last, r.At)
	}
	bare := place.At(place.Usual)
	bare.Transfer = unit.HeatTransfer(values[0])
	run, err := f.Run(ctx, []heat.Stage{b.stage(0, bare, false)}, heat.Criterion{}, heat.Options{Limit: last, Tolerance: probeTolerance, Longest: wayStep})
	if err != nil {
		return nil, err
	}
	out := make([]unit.Temperature, len(readings))
	for i, r := range readings {
		out[i] = (&follower{curve: run.Curve}).at(r.At).Core
	}
	return out, nil
}

// readyWith returns how long the piece takes in a place, for a fit's values.
func (b *Body) readyWith(ctx context.Context, in kitchen.Equipment, values []float64) (time.Duration, error) {
	body, err := b.with(values)
	if err != nil {
		return 0, err
	}
	in.Transfer, in.TransferLow, in.TransferHigh = values[0], 0, 0
	a, err := body.Freeze(ctx, in, Planning)
	if err == nil && !a.Reached {
		err = errors.New(a.Reason)
	}
	return a.Time, err
}

// offCore returns by how many kelvin a tip that is off the core may read wrong while the piece freezes:
// temperature runs about as a parabola from core to surface, and the two are 20 K apart less what
// the air's resistance takes of it.
func (b *Body) offCore(h unit.HeatTransfer, off unit.Length) float64 {
	const between = 20 // K, between the freezing point and a freezer's air
	const frozen = 1.2 // W/(m K), of an airy cream: enough for a doubt
	half := float64(min(b.section.Top, b.section.Mould.Solid.At(b.section.Top).Width) / 2)
	biot := float64(h) * half / frozen
	return between * biot / (2 + biot) * math.Min(1, sq(float64(off)/half))
}
