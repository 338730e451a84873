package chill

import (
	"context"
	"fmt"
	"time"

	"chablon/formula"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/material"
	"chablon/unit"
)

// Glazing is a warm glaze on a frozen piece, see heat.Coat.
func Glazing(ctx context.Context, glaze, piece *formula.Formula, film unit.Length, pour, set, cold, room unit.Temperature) (heat.Coating, error) {
	var tables [2]*material.Table
	for i, f := range [2]*formula.Formula{glaze, piece} {
		x, err := finished(f)
		if err != nil {
			return heat.Coating{}, err
		}
		if tables[i], err = x.table(); err != nil {
			return heat.Coating{}, err
		}
	}
	return heat.Coat(ctx, heat.Film{Food: tables[0], Thickness: film, Pour: pour, Set: set}, tables[1], cold, heat.Boundary{Air: room, Transfer: heat.Room.Default})
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
	out.Run, err = f.Run(ctx, []heat.Stage{b.stage(0, standing(room, humidity), true)}, heat.Criterion{}, heat.Options{Limit: out.Looked, Tolerance: 0.02})
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
	fridge, err := placeOf(in)
	if err != nil {
		return Served{}, err
	}
	f, err := b.field(Planning.Cell)
	if err != nil {
		return Served{}, err
	}
	o := heat.Options{Tolerance: 0.02}
	thaw, err := f.Run(ctx, []heat.Stage{b.stage(0, fridge.At(fridge.Usual), true)}, heat.ColdestAbove(coldest), o)
	if err != nil {
		return Served{}, err
	}
	if thaw.Status != heat.Reached {
		reason := thaw.Reason
		if reason == "" {
			reason = notInTime
		}
		return Served{Reason: reason}, nil
	}
	out := Served{Ready: thaw.Time, Looked: 8 * time.Hour}
	if f, err = f.Resume(thaw.Final); err != nil {
		return Served{}, err
	}
	o.Limit = out.Looked
	stand, err := f.Run(ctx, []heat.Stage{b.stage(0, standing(room, humidity), true)}, heat.Criterion{}, o)
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

// standing is the air of a room.
func standing(room unit.Temperature, humidity float64) heat.Boundary {
	place := heat.Room.At(room)
	place.Humidity = humidity
	return place
}
