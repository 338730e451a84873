package chill

import (
	"context"
	"fmt"
	"time"

	"chablon/heat"
	"chablon/unit"
)

// Carried is how a piece goes on warming inside once it has left the heat.
type Carried struct {
	Out              time.Duration // when its core is at the temperature asked for, and it is taken out
	OutLow, OutHigh  time.Duration
	Rise             unit.TempDiff // of the core after that, 0 where it only cools
	RiseLow, RiseTop unit.TempDiff
	Peak             time.Duration // after it was taken out, when the core is warmest
	Core             unit.Temperature
	Reason           string // why the core is never that warm, if Out is zero
}

// How long a piece is looked at: in the heat, and after it, by when what still flows inwards has done so.
const (
	heatLimit  = 24 * time.Hour
	carryLimit = 3 * time.Hour
)

// CarryOver answers how long a piece takes in the heat until its core is at a temperature, and how much warmer the
// core still becomes in the place that it is put into then; the times of both legs do not count. Its range is that
// of the coefficients, both weak or both strong. Steam that leaves the surface is not counted: it cools the
// surface, so that a wet piece carries over less than is said here. A core that is as warm from the start, or
// places that cannot be used, are an error.
func (b *Body) CarryOver(ctx context.Context, hot Leg, core unit.Temperature, then Leg) (Carried, error) {
	var out Carried
	for i, of := range coefficients {
		f, err := b.field(Planning.Cell)
		if err != nil {
			return Carried{}, err
		}
		in, err := f.Run(ctx, []heat.Stage{b.stage(0, hot.boundary(of(&hot)), hot.Unmoulded)}, heat.CoreAbove(core), heat.Options{Limit: heatLimit, Tolerance: wayTolerance, Longest: wayStep})
		switch {
		case err != nil:
			return Carried{}, err
		case in.Status != heat.Reached && i > 0: // at an end of the range only
			out.OutHigh = heatLimit
			continue
		case in.Status != heat.Reached:
			reason := in.Reason
			if reason == "" {
				reason = "not within a day"
			}
			return Carried{Reason: reason}, nil
		case in.Time == 0:
			return Carried{}, fmt.Errorf("core at %s: it is as warm from the start: ask for a warmer one", core.Show())
		}
		if f, err = f.Resume(in.Final); err != nil {
			return Carried{}, err
		}
		after, err := f.Run(ctx, []heat.Stage{b.stage(0, then.boundary(of(&then)), then.Unmoulded || hot.Unmoulded)}, heat.Criterion{}, heat.Options{Limit: carryLimit, Tolerance: wayTolerance, Longest: wayStep})
		if err != nil {
			return Carried{}, err
		}
		rise, peak := after.CarryOver(0)
		if i == 0 {
			out = Carried{Out: in.Time, OutLow: in.Time, OutHigh: in.Time, Rise: rise, RiseLow: rise, RiseTop: rise, Peak: peak, Core: core + unit.Temperature(rise)}
			continue
		}
		out.OutLow, out.OutHigh = min(out.OutLow, in.Time), max(out.OutHigh, in.Time)
		out.RiseLow, out.RiseTop = min(out.RiseLow, rise), max(out.RiseTop, rise)
	}
	return out, nil
}
