package chill

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"chablon/formula"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/material"
	"chablon/unit"
)

// thermalOf returns the properties of a formula's component with its air.
func thermalOf(f *formula.Formula) (material.Thermal, *material.Table, unit.Density, error) {
	c := f.Composition()
	airless, ok := c.Density(20)
	if !ok {
		return material.Thermal{}, nil, 0, fmt.Errorf("the composition of %s is not known well enough", f.Name)
	}
	d, _ := f.FinishedDensity()
	air := 0.0
	if d.Known() && d < airless {
		air = min(0.95, 1-float64(d/airless))
	} else {
		d = airless
	}
	t, err := c.Thermal(air)
	if err != nil {
		return t, nil, 0, err
	}
	table, err := tableOf(c, air)
	return t, table, d, err
}

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
	thermal, table, density, err := thermalOf(f)
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
	depth := float64(m) / float64(density) / base
	if depth > 1 {
		return Cooling{}, fmt.Errorf("%s would stand %s deep: give a wider vessel", m.Show(), unit.Length(depth).Show())
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

// Setting is how much time there is before a cream with gelatin sets in its bowl.
type Setting struct {
	From, To    unit.Temperature // it begins to set between these
	Early, Late time.Duration    // when the cream reaches them; zero Late: not within six hours
	Filling     time.Duration    // what filling takes
	Share       float64          // of gelatin in the water phase
}

// Enough says whether everything is filled before the earliest moment of setting.
func (s Setting) Enough() bool { return s.Filling <= s.Early }

// Sets answers how long a mass of a formula's cream stays fluid in a round bowl of a diameter, in a
// room, and compares it with the time to fill pieces. It is cooled as one body by the air round the
// bowl; what lies at the wall sets first and must be folded back. Gel temperatures are those of
// material.GelatinTemperatures, whose width is the doubt.
func Sets(f *formula.Formula, m unit.Mass, diameter unit.Length, start, room unit.Temperature, pieces int, each time.Duration) (Setting, error) {
	thermal, _, density, err := thermalOf(f)
	if err != nil {
		return Setting{}, err
	}
	share, _ := f.Gelatin()
	water, known := f.Composition().Share(material.Water)
	if share <= 0 || !known {
		return Setting{}, fmt.Errorf("%s holds no gelatin, or its water is not on record: it sets by other means, or not at all", f.Name)
	}
	out := Setting{Share: share / (share + water), Filling: time.Duration(pieces) * each}
	g, err := material.GelatinTemperatures(out.Share)
	if err != nil {
		return Setting{}, err
	}
	out.From, out.To = g.Set.High, g.Set.Low
	v := Vessel{Diameter: diameter}
	base := v.base()
	if base <= 0 || !(m > 0) {
		return Setting{}, errors.New("give the mass of the cream and the diameter of its bowl")
	}
	depth := float64(m) / float64(density) / base
	bowl := heat.Bowl{Food: thermal, Mass: m, Area: unit.Area(2*base + v.around()*depth), Inside: 100, VesselAt: min(start, 20)}
	h, err := bowl.Cool(start, []heat.Bath{{Boundary: heat.Room.At(room)}}, 6*time.Hour)
	if err != nil {
		return Setting{}, err
	}
	out.Early, _ = falls(h, out.From)
	out.Late, _ = falls(h, out.To)
	return out, nil
}

// falls returns when a record first reaches a temperature from above.
func falls(h material.History, t unit.Temperature) (time.Duration, bool) {
	for i, r := range h {
		if r.Temperature > t {
			continue
		}
		if i == 0 {
			return 0, true
		}
		a := h[i-1]
		return a.At + time.Duration(float64(r.At-a.At)*float64((a.Temperature-t)/(a.Temperature-r.Temperature))), true
	}
	return 0, false
}

// Glazing is a warm glaze on a frozen piece, see heat.Coat.
func Glazing(ctx context.Context, glaze, piece *formula.Formula, film unit.Length, pour, set, cold, room unit.Temperature) (heat.Coating, error) {
	_, top, _, err := thermalOf(glaze)
	if err != nil {
		return heat.Coating{}, err
	}
	_, under, _, err := thermalOf(piece)
	if err != nil {
		return heat.Coating{}, err
	}
	return heat.Coat(ctx, heat.Film{Food: top, Thickness: film, Pour: pour, Set: set}, under, cold, heat.Boundary{Air: room, Transfer: heat.Room.Default})
}

// Out is what happens to a piece that stands in a room.
type Out struct {
	DewPoint unit.Temperature
	Sweats   bool          // its surface is colder than the dew point as it comes out
	Dry      time.Duration // when it is no longer; zero if not within the time looked at
	Limit    time.Duration // when its surface passes the limit; zero if not within it
	Looked   time.Duration
	Run      heat.Run
}

// Stand answers what happens to the unmoulded piece in a room: when its surface sweats and when it passes
// a limit: −5 °C for a frozen piece that is to be glazed, 5 °C for a chilled one.
func (b *Body) Stand(ctx context.Context, room unit.Temperature, humidity float64, limit unit.Temperature) (Out, error) {
	if !(humidity >= 0 && humidity <= 1) {
		return Out{}, fmt.Errorf("humidity %g: must lie between 0 and 1", humidity)
	}
	dew := heat.DewPoint(room, humidity)
	f, err := b.field(Planning.Cell)
	if err != nil {
		return Out{}, err
	}
	out := Out{DewPoint: dew, Looked: 8 * time.Hour}
	out.Run, err = f.Run(ctx, []heat.Stage{standing(room, humidity)}, heat.Criterion{}, heat.Options{Limit: out.Looked, Tolerance: 0.02})
	if err != nil {
		return out, err
	}
	out.Sweats = out.Run.Curve[0].Surface < dew
	passed := false
	for _, s := range out.Run.Curve {
		if !passed && s.Surface > limit {
			out.Limit, passed = max(s.Time, time.Second), true
		}
		if out.Sweats && out.Dry == 0 && s.Surface >= dew {
			out.Dry = s.Time
		}
	}
	return out, nil
}

// Served is when a thawing piece may be eaten: from when no place in it is colder than a range, in a
// refrigerator, and for how long after that it stays within it, in the room.
type Served struct {
	Ready  time.Duration // in the refrigerator
	Reason string        // why never, if Ready is zero
	Stays  time.Duration // in the room, until its surface is warmer than the range
	Looked time.Duration // how long was looked, if it stays longer
	Cold   time.Duration // in the room, until a place is above 5 °C: from then on the local code's clock runs
}

// Serve answers when the frozen, unmoulded piece has thawed into a range of temperatures in a
// refrigerator, and how long it stays there in a room of a humidity.
func (b *Body) Serve(ctx context.Context, in kitchen.Equipment, room unit.Temperature, humidity float64, coldest, hottest unit.Temperature) (Served, error) {
	if !(coldest < hottest) {
		return Served{}, fmt.Errorf("serving between %s and %s: the first must be the colder", coldest.Show(), hottest.Show())
	}
	_, h, err := surroundings(in)
	if err != nil {
		return Served{}, err
	}
	f, err := b.field(Planning.Cell)
	if err != nil {
		return Served{}, err
	}
	o := heat.Options{Tolerance: 0.02}
	thaw, err := f.Run(ctx, []heat.Stage{b.stage(0, in, h, true)}, heat.ColdestAbove(coldest), o)
	if err != nil {
		return Served{}, err
	}
	if thaw.Status != heat.Reached {
		reason := thaw.Reason
		if reason == "" {
			reason = "not within two weeks"
		}
		return Served{Reason: reason}, nil
	}
	out := Served{Ready: thaw.Time, Looked: 8 * time.Hour}
	if f, err = f.Resume(thaw.Final); err != nil {
		return Served{}, err
	}
	o.Limit = out.Looked
	stand, err := f.Run(ctx, []heat.Stage{standing(room, humidity)}, heat.Criterion{}, o)
	if err != nil {
		return Served{}, err
	}
	out.Stays, out.Cold = out.Looked, out.Looked
	for i := len(stand.Curve) - 1; i >= 0; i-- {
		if s := stand.Curve[i]; s.Surface > hottest {
			out.Stays = s.Time
		}
		if s := stand.Curve[i]; s.Warmest > chilledCore {
			out.Cold = s.Time
		}
	}
	return out, nil
}

// standing is a room, with a board below.
func standing(room unit.Temperature, humidity float64) heat.Stage {
	place := heat.Room.At(room)
	place.Humidity = humidity
	st := heat.Around(0, place)
	st.Bottom.Humidity, st.Bottom.Transfer = 0, st.Bottom.Transfer/2
	return st
}

// NotFrozen compares a time that the cook has written with what freezing takes: short if it ends before even
// the quick end of the range.
func NotFrozen(written time.Duration, a Answer) (short, doubtful bool) {
	if !a.Reached {
		return true, false
	}
	return written < a.Low, written < a.Time
}
