// Package heat says how long a body of food takes to cool, warm or freeze.
//
// For now it is the quick estimate only: closed formulas and series for one food in a plain shape,
// evenly warm at the start, the same surroundings on all faces. It does not know layers of
// different foods, changing air, thawing or the temperature between surface and centre. No
// estimate replaces a probe thermometer.
//
//	mousse, err := composition.Thermal(0.45)
//	ring := heat.Cylinder(180*unit.Millimetre, 45*unit.Millimetre)
//	e, err := heat.Freezing(ring, mousse, unit.Celsius(4), unit.Celsius(-18), unit.Celsius(-35), heat.BlastFreezer.Default)
//
// Freezing is by Pham (1984 to 1991), Cooling by the series of Carslaw & Jaeger. Plank's older
// formula is kept for comparison. The coefficient of the surroundings is the largest doubt: 30 %
// of it moves the time by 20 to 27 % in a small piece, which is why an Estimate is a range.
package heat
