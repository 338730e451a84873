// Package mould holds the solids that are filled: rings, round pans, domes, frames, and any
// profile turned about its axis. For each it answers how much it holds, its outline and its
// area at a height, the area of its wall, and how high a volume stands in it.
//
// # Model
//
// A Solid is the inside of one cavity, standing on its bottom with the rim up. The families are
// few. Turned is a half section of lines and arcs that turns about the axis; Ring, Round and Dome
// make it, and Tube, Savarin and Flutes are its relatives with a tube in the middle or a waving
// wall. Drawn is a rounded rectangle, and Prism any other outline, with a straight wall that may
// lean; Frame, Tapered and NewPrism make them. Log is a profile run along a length, and Bowl half
// an ellipsoid over an outline.
//
// An Outline is seen from above: a rounded rectangle or circle, a named figure, a polygon with
// arcs, or SVG path data. It knows its area, its offset to either side, the gap to another in it,
// and the hole that a tube leaves.
//
// Volumes and areas are exact for the nominal shape wherever there is a closed form: truncated
// cones for lines, for arcs the integrals derived in the comments of segment, and for a leaning
// outline the quadratic by which its area falls, as long as no side vanishes on the way down. Else
// they are integrated to a relative 1e-8. Below takes some tens of nanoseconds on the plain shapes
// and allocates nothing, so that it can follow a finger. Level inverts it: in closed form on a
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
// Every dimension lies above zero and is at most MaxLength; the constructors refuse anything else
// with the dimension, its value and what is accepted. Arcs of a turned profile bulge outward only.
// Hollows in a profile may be too narrow for a film, and then Grown says so. Curves of an outline
// are kept as fine polygons beside the exact area and length of the curves, so that gaps between
// them are right to some micrometres, areas to rounding.
//
// Real pans have rolled rims, rounded bottoms and draft. Charts of pan capacities, which are
// rounded to whole cups, give 0.54 to 1.25 of the nominal shape (testdata/pans.csv); weigh the
// water that a mould holds, and Mould.Correct makes the shape hold as much.
package mould
