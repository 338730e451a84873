// Package mould holds the solids that are filled: rings, round pans, domes, frames, and any
// profile turned about its axis. For each it answers how much it holds, its outline and its
// area at a height, the area of its wall, and how high a volume stands in it.
//
// # Model
//
// A Solid is the inside of one cavity, standing on its bottom with the rim up. There are two
// families. Turned is a half section of lines and arcs that turns about the axis; Ring, Round
// and Dome make it. Drawn is an outline with a straight wall that may lean; Frame and Tapered
// make it, with a rounded rectangle for the outline. An Outline is always convex and centred on
// the axis, so the gap between a mould and what lies in it has a closed form.
//
// Volumes and areas are exact for the nominal shape: truncated cones for lines, and for arcs
// the integrals derived in the comments of segment. Below takes some tens of nanoseconds and
// allocates nothing, so that it can follow a finger. Level inverts it: in closed form on a
// straight wall, by a bounded Newton iteration elsewhere.
//
//	ring, err := mould.Ring(180*unit.Millimetre, 45*unit.Millimetre)
//	…
//	level, err := mould.Level(ring, 700*unit.Millilitre) // 27.5 mm
//
// A film outside the body, such as a coat of glaze on the unmoulded piece, is the difference of
// two solids: Grown(t) less the solid itself.
//
// # Limits
//
// Every dimension lies above zero and is at most MaxLength; the constructors refuse anything
// else with the dimension, its value and what is accepted. Arcs bulge outward only. Hollows in
// a profile may be too narrow for a film, and then Grown says so. There are no flutes, no inner
// tube and no outline other than the rounded rectangle and the circle.
//
// Real pans have rolled rims, rounded bottoms and draft. Charts of pan capacities, which are
// rounded to whole cups, give 0.73 to 1.05 of the nominal shape (testdata/pans.csv); weigh the
// water that a mould holds and compare, see Mould.WaterRatio.
package mould
