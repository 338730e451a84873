package chill

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"chablon/formula"
	"chablon/heat"
	"chablon/material"
	"chablon/unit"
)

// Vessel is what a cream stands in.
type Vessel struct {
	Diameter unit.Length // of a round bowl or pan with an upright wall
	Length   unit.Length // of a tray, with Width; zero for a round one
	Width    unit.Length
	Steel    unit.Mass // its own mass, as steel
	Stirred  bool
}

func (v Vessel) base() float64 {
	if v.Length > 0 {
		return float64(v.Length) * float64(v.Width)
	}
	return math.Pi / 4 * sq(float64(v.Diameter))
}

func (v Vessel) around() float64 {
	if v.Length > 0 {
		return 2 * float64(v.Length+v.Width)
	}
	return math.Pi * float64(v.Diameter)
}

func sq(x float64) float64 { return x * x }

// Cooling is how a cream cools, judged by the clock of the Food Code.
type Cooling struct {
	Clock        material.Cooling
	At21, At5    unit.Range // hours after the clock started at 57 °C; a side of 0 is not reached within twelve hours
	History      material.History
	Depth        unit.Length
	Pour         unit.Temperature // once the vessel has taken its share
	Verdict      material.Verdict // at the slow end of the range
	SlowestClock material.Cooling
}

const steelHeat = 500.0 // J/(kg K), of stainless steel at room temperature (handbooks give 490 to 500)

// Bath is what stands round the vessel, from a time on.
type Bath struct {
	From time.Duration
	heat.Surroundings
	At unit.Temperature
}

// Custard answers how long a mass of a formula's hot cream takes to cool in a vessel and a sequence of
// baths, and what the clock of the Food Code (2022, 3-501.14(A): 57 to 21 °C in two hours, to 5 °C in
// six in all) says to it. A stirred cream has one temperature; one that stands is judged by its warmest place.
// The range is that of the bath's coefficient. Nothing evaporates, which errs on the slow side.
func Custard(ctx context.Context, f *formula.Formula, m unit.Mass, v Vessel, start unit.Temperature, baths []Bath) (Cooling, error) {
	cream, err := finished(f)
	if err != nil {
		return Cooling{}, err
	}
	base := v.base()
	if base <= 0 || !(m > 0) {
		return Cooling{}, errors.New("the vessel has no size, or there is no cream in it: give a mass and a diameter, or length and width")
	}
	if len(baths) == 0 {
		return Cooling{}, errors.New("nothing stands round the vessel: choose a bath")
	}
	depth := float64(m) / float64(cream.density) / base
	if depth > 1 {
		return Cooling{}, fmt.Errorf("%s would stand %s deep: give a wider vessel", m.Show(), unit.Length(depth).Show())
	}
	thermal, err1 := cream.thermal()
	table, err2 := cream.table()
	if err := cmp.Or(err1, err2); err != nil {
		return Cooling{}, err
	}
	const limit = 12 * time.Hour
	run := func(of func(heat.Surroundings) unit.HeatTransfer) (material.History, error) {
		if !v.Stirred {
			var stages []heat.Stage
			for _, b := range baths {
				bare := heat.Boundary{Air: b.At, Transfer: of(b.Surroundings)}
				top := bare
				if b.liquid() { // a bath wets the tray from below; above it is room air
					top = heat.Room.At(20)
				}
				stages = append(stages, heat.Stage{From: b.From, Bottom: bare, Top: top, Side: bare, Bore: bare})
			}
			return heat.Standing(ctx, table, unit.Length(depth), start, stages, limit)
		}
		bowl := heat.Bowl{Food: thermal, Mass: m, Area: unit.Area(base + v.around()*depth), Inside: 150, Vessel: float64(v.Steel) * steelHeat, VesselAt: 20}
		var list []heat.Bath
		for _, b := range baths {
			list = append(list, heat.Bath{From: b.From, Boundary: heat.Boundary{Air: b.At, Transfer: of(b.Surroundings)}})
		}
		return bowl.Cool(start, list, limit)
	}
	out := Cooling{Depth: unit.Length(depth)}
	for i, of := range []func(heat.Surroundings) unit.HeatTransfer{
		func(s heat.Surroundings) unit.HeatTransfer { return s.Default },
		func(s heat.Surroundings) unit.HeatTransfer { return s.High },
		func(s heat.Surroundings) unit.HeatTransfer { return s.Low },
	} {
		h, err := run(of)
		if err != nil {
			return Cooling{}, err
		}
		clock, err := material.CoolingClock(h)
		if err != nil {
			return Cooling{}, err
		}
		switch i {
		case 0:
			out.Clock, out.History, out.Pour = clock, h, h[0].Temperature
		case 1:
			out.At21.Low, out.At5.Low = clock.At21.Hours(), clock.At5.Hours()
		default:
			out.At21.High, out.At5.High = clock.At21.Hours(), clock.At5.Hours()
			out.Verdict, out.SlowestClock = clock.Verdict, clock
		}
	}
	return out, nil
}

// liquid says whether a place wets what stands in it.
func (b Bath) liquid() bool { return b.Low >= 100 }
