package chill

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// stage returns what stands around a piece in a place: bare above, the mould's wall round it, a
// tray below, under which the air moves half as freely (common practice, no source) and no moisture settles. An
// inverted piece stands in its mould all the same; unmoulded says that the mould is off.
func (b *Body) stage(from time.Duration, bare heat.Boundary, unmoulded bool) heat.Stage {
	unmoulded = unmoulded || b.portion != (Portion{})
	st := heat.Around(from, bare)
	st.Bottom.Transfer, st.Bottom.Humidity = bare.Transfer/2, 0
	if m := b.section.Mould; !unmoulded && m.Wall > 0 {
		for _, w := range heat.Walls() {
			if w.Name == m.Material {
				cover := heat.Cover{Thickness: m.Wall, Conductivity: w.Conductivity}
				st.Side.Covers = append(st.Side.Covers, cover)
				st.Bore.Covers = append(st.Bore.Covers, cover)
				if !m.OpenBottom {
					st.Bottom.Covers = append(st.Bottom.Covers, cover)
				}
			}
		}
	}
	return st
}

// Answer is what becomes of a piece in a place.
type Answer struct {
	Wait
	Target  unit.Temperature // what the deciding place is to reach
	Reached bool
	Reason  string // why it is never reached
	Run     heat.Run
	Cells   int
	Notes   []string

	removed float64
}

// As long as anything is looked for, and what is said where it is not found.
const (
	twoWeeks  = 14 * 24 * time.Hour
	notInTime = "not within two weeks"
)

// Precision says how fine the field is: the size of a cell, and the grid error that is aimed at;
// zero takes the cells as they are.
type Precision struct {
	Cell      unit.Length
	GridError float64
}

// Precisions: Planning is for the chain that follows an edit, Stated for an answer that says its own
// error.
var (
	Planning = Precision{Cell: 6 * unit.Millimetre}
	Stated   = Precision{Cell: 5 * unit.Millimetre, GridError: 0.01}
)

// Freeze solves how long a piece takes until it is solid enough to unmould and glaze: until its
// warmest place is at SolidCore of its air. That is the core, unless a
// frozen insert lies there. Its range is that of the surface coefficient, which is the
// largest doubt; the two ends are solved too if the precision states an error, else they follow
// the quick estimate.
func (b *Body) Freeze(ctx context.Context, in kitchen.Equipment, p Precision) (Answer, error) {
	if _, err := placeOf(in); err != nil {
		return Answer{}, err
	}
	target := SolidCore(in.Setting)
	if target > warmest {
		return Answer{Target: target, Reason: fmt.Sprintf("never solid enough to unmould in %s: take a freezer at −13 °C or colder", placeName(in)), Wait: Wait{Place: placeName(in)}}, nil
	}
	return b.solve(ctx, in, p, heat.WarmestBelow(target), "warmest place inside at "+target.Show(), target, false)
}

// Chill solves how long it takes until its warmest place is at 5 °C, or 1 K over a warmer air.
func (b *Body) Chill(ctx context.Context, in kitchen.Equipment, p Precision) (Answer, error) {
	target := max(chilledCore, in.Setting+closeMargin)
	return b.solve(ctx, in, p, heat.WarmestBelow(target), "warmest place at "+target.Show(), target, true)
}

// Thaw solves how long the frozen, unmoulded piece takes until no place in it is colder than a
// temperature.
func (b *Body) Thaw(ctx context.Context, in kitchen.Equipment, core unit.Temperature, p Precision) (Answer, error) {
	return b.solve(ctx, in, p, heat.ColdestAbove(core), "coldest place inside at "+core.Show(), core, true)
}

func (b *Body) solve(ctx context.Context, in kitchen.Equipment, p Precision, until heat.Criterion, words string, target unit.Temperature, unmoulded bool) (Answer, error) {
	place, err := placeOf(in)
	if err != nil {
		return Answer{}, err
	}
	out := Answer{Target: target, Wait: Wait{Criterion: words, Place: placeName(in), Method: "heat equation on its section"}}
	run := func(h unit.HeatTransfer, fine bool) (heat.Run, error) {
		f, err := b.field(p.Cell)
		if err != nil {
			return heat.Run{}, err
		}
		out.Cells = f.Cells()
		o := heat.Options{GridError: p.GridError, Tolerance: 0.02}
		bare := place.At(place.Usual)
		bare.Transfer = h
		stages := []heat.Stage{b.stage(0, bare, unmoulded)}
		if fine && p.GridError > 0 {
			return f.Solve(ctx, stages, until, o)
		}
		r, err := f.Run(ctx, stages, until, o)
		if err == nil && out.removed == 0 {
			out.removed = f.Removed(r.Final)
		}
		return r, err
	}
	if out.Run, err = run(place.Default, true); err != nil {
		return out, err
	}
	out.Notes = b.notes(out.Run, in.Setting)
	switch out.Run.Status {
	case heat.Reached:
		out.Reached = true
	case heat.Never:
		out.Reason = out.Run.Reason
		return out, nil
	default:
		out.Reason = notInTime
		return out, nil
	}
	out.Time, out.Low, out.High = out.Run.Time, out.Run.Time, out.Run.Time
	if p.GridError > 0 {
		for _, end := range []struct {
			h  unit.HeatTransfer
			to *time.Duration
		}{{place.High, &out.Low}, {place.Low, &out.High}} {
			r, err := run(end.h, false)
			if err != nil {
				return out, err
			}
			*end.to = r.Time
			if r.Status != heat.Reached {
				out.Notes = append(out.Notes, "at the weak end of its range the place does not do it within two weeks")
				*end.to = twoWeeks
			}
		}
	} else { // a piece is slowed by its own depth too: its time goes with about three quarters of 1/h
		out.Low = time.Duration(float64(out.Time) * math.Pow(float64(place.Default/place.High), 0.75))
		out.High = time.Duration(float64(out.Time) * math.Pow(float64(place.Default/place.Low), 0.75))
	}
	const model = 0.10 // of properties and of what the model leaves out; our judgement
	out.Low = time.Duration(float64(out.Low) * (1 - model))
	out.High = time.Duration(float64(out.High) * (1 + model))
	return out, nil
}

// notes returns what is simplified of the piece, and in which of its foods nothing freezes at the coldest air of
// a run.
func (b *Body) notes(r heat.Run, air unit.Temperature) []string {
	out := slices.Clone(b.Notes)
	for _, i := range r.NoIce {
		if air < 0 {
			out = append(out, fmt.Sprintf("%s does not freeze at %s: it stays as soft as its fat and sugar leave it", b.called[i], air.Show()))
		}
	}
	return out
}

// Heat returns the heat that the run took out of the piece, J.
func (a *Answer) Heat() float64 { return a.removed }

// NotFrozen compares a time that the cook has written with the answer: short if it ends before even the
// quick end of the range, or the freezer never does it; doubtful if before the time itself.
func (a Answer) NotFrozen(written time.Duration) (short, doubtful bool) {
	if !a.Reached {
		return true, false
	}
	return written < a.Low, written < a.Time
}
