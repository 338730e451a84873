// Package heat says how long a piece of food takes to cool, freeze, thaw or warm, and what happens
// inside it on the way. It stands on its own: it knows foods by their properties (package material)
// and nothing of recipes or moulds.
//
// Quick estimates are closed formulas for one food in a plain shape, evenly warm at the start, the same
// surroundings on all faces; they take microseconds and come with a range:
//
//	ring := heat.Cylinder(180*unit.Millimetre, 45*unit.Millimetre)
//	e, err := heat.Freezing(ring, mousse, unit.Celsius(4), unit.Celsius(-18), unit.Celsius(-35), heat.BlastFreezer.Default)
//
// Freezing is by Pham, with Plank and ClelandEarle as second opinions; Cooling by the series of
// Carslaw & Jaeger; Thawing by Cleland; LagOf is for odd shapes, BakeTime for another pan.
//
// A Field is the piece itself: slab, disc or tube, dome, box or ball, divided into cells of several
// foods that may start at different temperatures, each face with its own surroundings and covers, in
// stages. Run follows it until a Criterion is met, Solve also checks the grid, Estimate gives the
// range. It solves the heat equation
// in enthalpy form: implicit finite volumes, second order in space and time, heat conserved to
// rounding. A slice that comes up in a page takes some 10 ms.
//
//	f, err := heat.NewField(heat.DiscGrid(r, z), []*material.Table{mousse, sponge}, fill)
//	run, err := f.Solve(ctx, []heat.Stage{heat.Around(0, heat.StillFreezer.Boundary())}, heat.CoreBelow(-15), heat.Options{})
//
// Around it: Coat, a warm glaze on a frozen top; Bowl and Standing, a hot cream in a bath; LoadOf, what a
// freezer is asked at once; Calibrate, which corrects coefficient and time by probe readings.
//
// Limits. Nothing flows, boils or evaporates; moisture of the air settles on a cold piece where its
// humidity is given; ice forms in equilibrium, without undercooling;
// fat sets without heat; covers hold no heat. The solver is within 1 % of the equations, the properties of
// airless foods within 5 to 10 %, of frozen foams 15 to 20 %, and the coefficient of the surroundings is
// known to 30 %, which moves the time of a small piece by 20 to 27 %. No answer replaces a probe thermometer.
package heat
