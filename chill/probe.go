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
	Expected  []unit.Temperature // what the uncorrected model had said at the readings
	Misfit    float64            // see heat.Fit
}

// Doubts of a reading and of a corrected time, one standard deviation each: our judgement.
const (
	probeError    = unit.TempDiff(0.7)
	probeOff      = 5 * unit.Millimetre
	correctedRest = 0.05
)

// CorrectFreezing corrects the time of a freezing by readings of the core: the surface coefficient is the
// one unknown, known before as well as its place lets it be known. A reading on the plateau, where
// the core freezes and hardly cools, tells little, and the range stays wide then by itself. The After
// range is that in which the time lies nine times out of ten.
//
// Readings must be after the piece went in, at temperatures of food, and the freezer must be able to
// do it at all.
func (b *Body) CorrectFreezing(ctx context.Context, in kitchen.Equipment, readings []Probe) (Corrected, error) {
	if len(readings) == 0 {
		return Corrected{}, errors.New("no reading: probe the core and write the temperature")
	}
	before, err := b.Freeze(ctx, in, Planning)
	if err != nil {
		return Corrected{}, err
	}
	if !before.Reached {
		return Corrected{}, errors.New(before.Reason)
	}
	place, err := placeOf(in)
	if err != nil {
		return Corrected{}, err
	}
	h := place.Default
	var last time.Duration
	for _, r := range readings {
		last = max(last, r.At)
	}
	curve := func(values []float64) (heat.Run, error) {
		f, err := b.field(Planning.Cell)
		if err != nil {
			return heat.Run{}, err
		}
		bare := place.At(place.Usual)
		bare.Transfer = unit.HeatTransfer(values[0])
		return f.Run(ctx, []heat.Stage{b.stage(0, bare, false)}, heat.Criterion{}, heat.Options{Limit: last, Tolerance: 0.02})
	}
	model := func(values []float64) ([]unit.Temperature, error) {
		run, err := curve(values)
		if err != nil {
			return nil, err
		}
		out := make([]unit.Temperature, len(readings))
		for i, r := range readings {
			out[i] = (&follower{curve: run.Curve}).at(r.At).Core
		}
		return out, nil
	}
	out := Corrected{Before: before}
	if out.Expected, err = model([]float64{float64(h)}); err != nil {
		return out, err
	}
	list := make([]heat.ProbeReading, len(readings))
	for i, r := range readings {
		if r.At < time.Minute || r.At > 14*24*time.Hour {
			return out, fmt.Errorf("reading %d: %s after it went in: must be at least a minute and within two weeks", i+1, unit.ShowDuration(r.At))
		}
		off := r.Off
		if off == 0 {
			off = probeOff
		}
		list[i] = heat.ProbeReading{At: r.At, Temperature: r.Temperature, Error: unit.TempDiff(math.Hypot(float64(probeError), b.offCore(h, off)))}
	}
	fit, err := heat.Calibrate([]heat.Unknown{{Name: "surface coefficient", Guess: float64(h), Doubt: math.Max(0.05, math.Log(float64(place.High/place.Low))/4)}}, list, model)
	if err != nil {
		return out, err
	}
	ready, err := fit.Ready(correctedRest, func(values []float64) (time.Duration, error) {
		place := in
		place.Transfer = values[0]
		a, err := b.Freeze(ctx, place, Planning)
		if err == nil && !a.Reached {
			err = errors.New(a.Reason)
		}
		return a.Time, err
	})
	if err != nil {
		return out, err
	}
	const ninety = 1.645 // standard deviations on either side hold nine tenths
	stretched := func(t time.Duration) time.Duration {
		return time.Duration(float64(ready.Time) * math.Pow(float64(t)/float64(ready.Time), ninety))
	}
	out.After = Wait{Time: ready.Time, Low: stretched(ready.Low), High: stretched(ready.High), Criterion: before.Criterion, Place: before.Place, Method: ready.Method}
	out.Transfer = unit.HeatTransfer(fit.Values[0])
	out.Low, out.High = out.Transfer*unit.HeatTransfer(math.Exp(-fit.Doubt[0])), out.Transfer*unit.HeatTransfer(math.Exp(fit.Doubt[0]))
	out.Misfit = fit.Misfit
	return out, nil
}

// offCore returns by how many kelvin a tip that is off the core may read wrong while the piece freezes:
// temperature runs about as a parabola from core to surface, and the two are 20 K apart less what
// the air's resistance takes of it.
func (b *Body) offCore(h unit.HeatTransfer, off unit.Length) float64 {
	const between = 20 // K, between the freezing point and a freezer's air
	const frozen = 1.2 // W/(m K), of an airy cream: enough for a doubt
	half := float64(min(b.section.Top, b.section.Mould.Solid.At(b.section.Top).Width) / 2)
	biot := float64(h) * half / frozen
	return between * biot / (2 + biot) * math.Min(1, math.Pow(float64(off)/half, 2))
}
