package heat_test

import (
	"context"
	"fmt"
	"math"
	"time"

	"chablon/heat"
	"chablon/material"
	"chablon/unit"
)

// table makes a food of water, fat, sugar and protein, with air in closed cells.
func table(water, fat, sugar, protein, air float64) *material.Table {
	var c material.Composition
	for k, share := range map[material.Component]float64{
		material.Water: water, material.Protein: protein, material.Fat: fat, material.Carbohydrate: sugar,
		material.Sugars: sugar, material.Sucrose: sugar, material.Ash: 0, material.Sodium: 0, material.Alcohol: 0,
	} {
		c.Set(k, share)
	}
	x, err := c.Thermal(air)
	if err != nil {
		panic(err)
	}
	t, err := x.WithClosedCells().Table()
	if err != nil {
		panic(err)
	}
	return t
}

// A ring of mousse round a frozen insert goes into a fan freezer on a board. A steel ring hardly
// keeps the cold off and is left out.
func ExampleField_Solve() {
	const mm = unit.Millimetre
	mousse, fruit := table(.58, .20, .17, .05, .40), table(.72, 0, .27, .01, 0)
	grid := heat.DiscGrid(heat.Edges(8*mm, 0, 70*mm, 90*mm), heat.Edges(6*mm, 0, 15*mm, 27*mm, 45*mm))
	f, err := heat.NewField(grid, []*material.Table{mousse, fruit}, func(at heat.Point) heat.Cell {
		if at.X < 70*mm && at.Z > 15*mm && at.Z < 27*mm {
			return heat.Cell{Food: 1, Start: -18}
		}
		return heat.Cell{Food: 0, Start: 14}
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	freezer := heat.Around(0, heat.FanFreezer.Boundary())
	freezer.Bottom.Covers = []heat.Cover{{Thickness: 2 * mm, Conductivity: 0.065}}
	r, err := f.Solve(context.Background(), []heat.Stage{freezer}, heat.WarmestBelow(-15), heat.Options{})
	fmt.Println(r.Status, r.Time.Round(15*time.Minute), r.GridError < 0.01, err)
	// Output: reached 4h45m0s true <nil>
}

// A dome of 70 mm frozen in silicone, then thawed on a plate; the run goes on from what the first left.
func ExampleField_Resume() {
	const mm = unit.Millimetre
	ctx := context.Background()
	dome := heat.TurnedGrid(heat.Edges(4*mm, 0, 35*mm), heat.Edges(4*mm, 0, 35*mm), func(z unit.Length) (inner, outer unit.Length) {
		return 0, unit.Length(math.Sqrt(float64(35*mm*35*mm - z*z)))
	})
	f, err := heat.NewField(dome, []*material.Table{table(.60, .18, .18, .04, .35)}, func(heat.Point) heat.Cell { return heat.Cell{Start: 10} })
	if err != nil {
		fmt.Println(err)
		return
	}
	in := heat.BlastFreezer.Boundary()
	mould := in
	mould.Covers = []heat.Cover{{Thickness: 2 * mm, Conductivity: 0.2}}
	frozen, err := f.Run(ctx, []heat.Stage{{Bottom: in, Side: mould}}, heat.WarmestBelow(-18), heat.Options{})
	fmt.Println(frozen.Status, frozen.Time.Round(5*time.Minute), err)

	f, err = f.Resume(frozen.Final)
	if err != nil {
		fmt.Println(err)
		return
	}
	thawed, err := f.Run(ctx, []heat.Stage{heat.Around(0, heat.Refrigerator.Boundary())}, heat.ColdestAbove(0), heat.Options{})
	fmt.Println(thawed.Status, thawed.Time.Round(15*time.Minute), err)

	never, err := f.Run(ctx, []heat.Stage{heat.Around(0, heat.Refrigerator.Boundary())}, heat.ColdestAbove(6), heat.Options{})
	fmt.Println(never.Status, never.Reason, err)
	// Output:
	// reached 45m0s <nil>
	// reached 5h15m0s <nil>
	// never coldest point never reaches 6 degC in surroundings of 4 degC: take warmer surroundings or a lower target <nil>
}

// One probe reading in a freezer whose coefficient was thought to be 8: the piece is ahead of what that
// says, so the coefficient is higher and the range narrower.
func ExampleCalibrate() {
	const mm = unit.Millimetre
	ctx := context.Background()
	f, err := heat.NewField(heat.SlabGrid(heat.Edges(5*mm, 0, 45*mm)), []*material.Table{table(.60, .18, .18, .04, .35)},
		func(heat.Point) heat.Cell { return heat.Cell{Start: 10} })
	if err != nil {
		fmt.Println(err)
		return
	}
	around := func(h float64) []heat.Stage {
		return []heat.Stage{heat.Around(0, heat.Boundary{Air: -20, Transfer: unit.HeatTransfer(h)})}
	}
	read := heat.ProbeReading{At: 3 * time.Hour, Temperature: -5, Error: 0.5}
	fit, err := heat.Calibrate([]heat.Unknown{{Name: "coefficient", Guess: 8, Doubt: 0.3}}, []heat.ProbeReading{read},
		func(v []float64) ([]unit.Temperature, error) {
			r, err := f.Run(ctx, around(v[0]), heat.Criterion{}, heat.Options{Limit: read.At})
			if err != nil {
				return nil, err
			}
			return []unit.Temperature{r.Last().Core}, nil
		})
	if err != nil {
		fmt.Println(err)
		return
	}
	ready, err := fit.Ready(0.05, func(v []float64) (time.Duration, error) {
		r, err := f.Run(ctx, around(v[0]), heat.CoreBelow(-15), heat.Options{})
		return r.Time, err
	})
	fmt.Println(fit.Values[0] > 8, fit.Doubt[0] < 0.3, ready.High.Seconds()/ready.Low.Seconds() < 1.5, err)
	// Output: true true true <nil>
}

// A custard in a steel bowl in stirred ice water, judged by the clock of the code.
func ExampleBowl_Cool() {
	var c material.Composition
	for k, share := range map[material.Component]float64{
		material.Water: .70, material.Protein: .04, material.Fat: .08, material.Carbohydrate: .17, material.Sugars: .17, material.Ash: .01,
	} {
		c.Set(k, share)
	}
	custard, err := c.Thermal(0)
	if err != nil {
		fmt.Println(err)
		return
	}
	bowl := heat.Bowl{Food: custard, Mass: 2, Area: 0.09, Inside: 150, Vessel: 400, VesselAt: 20}
	record, err := bowl.Cool(82, []heat.Bath{{Boundary: heat.StirredIceBath.Boundary()}}, 2*time.Hour)
	if err != nil {
		fmt.Println(err)
		return
	}
	clock, err := material.CoolingClock(record)
	fmt.Println(clock.Verdict, clock.At5.Round(5*time.Minute), err)
	// Output: pass 30m0s <nil>
}
