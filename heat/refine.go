package heat

import (
	"context"
	"math"
)

// defaultGridError is the grid error that Solve is content with.
const defaultGridError = 0.01

// Solve runs the field as it is divided and again with every cell halved, and goes on halving until
// the estimated grid error of the time is at most Options.GridError (1 % by default) or the body
// has too many cells; the result is that of the finest run. GridError says what was reached:
// with an error that falls with the square of the cell (see Run), a third of the difference between the
// last two runs (Richardson); the whole of it for a turned body, whose cut cells converge less evenly.
//
// Where the runs do not end by the criterion, the error is that of the core temperature at the end,
// as a part of its way from the start.
func (f *Field) Solve(ctx context.Context, stages []Stage, until Criterion, o Options) (Run, error) {
	goal := o.GridError
	if goal == 0 {
		goal = defaultGridError
	}
	observe := o.Observe
	o.Observe = nil // the coarse run is nobody's business
	last, err := f.Run(ctx, stages, until, o)
	if err != nil {
		return last, err
	}
	o.Observe = observe
	for {
		f = f.refined()
		next, err := f.Run(ctx, stages, until, o)
		if err != nil {
			return next, err
		}
		next.GridError = difference(last, next)
		if f.grid.outline == nil {
			next.GridError /= 3
		}
		if next.GridError <= goal || 8*f.Cells() > mostCells {
			return next, nil
		}
		last = next
	}
}

// difference is by what part of it the result of two runs differs.
func difference(a, b Run) float64 {
	if a.Status == Reached && b.Status == Reached {
		if a.Time == b.Time {
			return 0
		}
		return math.Abs(a.Time.Seconds()-b.Time.Seconds()) / math.Max(a.Time.Seconds(), b.Time.Seconds())
	}
	way := math.Abs(float64(b.Last().Core - b.Curve[0].Core))
	if off := math.Abs(float64(a.Last().Core - b.Last().Core)); off > 0 {
		return off / math.Max(way, off)
	}
	return 0
}
