package heat

import (
	"context"
	"fmt"
	"math"
	"time"

	"chablon/unit"
)

// doubtOfFoods is the doubt that conductivity and heat content bring to the time of a run, one standard
// deviation: half of the conductivity's 20 %, as the surface takes the other half, with 7 % of heat.
const doubtOfFoods = 0.12

// Estimate is Solve with the range of its time: the field is run again, as it is divided, with the
// coefficients of all faces 30 % lower and higher, which is as well as they are known (the covers stay),
// and the differences are added in quadrature to the doubt of the foods and the grid. For readings that
// narrow it see Calibrate.
//
// The Estimate is zero where the run does not end in Reached; where only weaker surroundings fail, High
// is the limit of the options and a note says so.
func (f *Field) Estimate(ctx context.Context, stages []Stage, until Criterion, o Options) (Estimate, Run, error) {
	solved, err := f.Solve(ctx, stages, until, o)
	if err != nil || solved.Status != Reached {
		return Estimate{}, solved, err
	}
	o.Observe, o.Maps = nil, nil
	e := Estimate{Time: solved.Time, Method: "heat equation on finite volumes, enthalpy form"}
	if solved.Time == 0 {
		return e, solved, nil
	}
	var times [3]float64 // s, with weaker, the given and stronger surroundings
	for i, by := range [...]float64{1 - doubtOfSurface, 1, 1 + doubtOfSurface} {
		r, err := f.Run(ctx, scaled(stages, by), until, o)
		if err != nil {
			return Estimate{}, solved, err
		}
		times[i] = r.Time.Seconds()
		if r.Status != Reached {
			times[i] = math.Inf(1)
		}
	}
	own := sq(doubtOfFoods) + sq(solved.GridError)
	up := math.Sqrt(own + sq(times[0]/times[1]-1))
	down := math.Sqrt(own + sq(1-times[2]/times[1]))
	e.Low = time.Duration(float64(e.Time) * math.Max(0, 1-down))
	if math.IsInf(up, 1) || math.IsNaN(up) {
		if e.High = o.Limit; o.Limit == 0 {
			e.High = defaultLimit
		}
		e.Notes = append(e.Notes, "with a surface coefficient 30 % lower it is never reached")
	} else {
		e.High = time.Duration(float64(e.Time) * (1 + up))
	}
	e.Notes = append(e.Notes, fmt.Sprintf("surface coefficient 30 %%, foods %.0f %%, grid %.1f %%", 100*doubtOfFoods, 100*solved.GridError))
	return e, solved, nil
}

// scaled returns the stages with every coefficient times by.
func scaled(stages []Stage, by float64) []Stage {
	out := append([]Stage(nil), stages...)
	for i := range out {
		for of := range sides {
			b := out[i].boundary(of)
			b.Transfer = min(1e5, b.Transfer*unit.HeatTransfer(by))
		}
	}
	return out
}
