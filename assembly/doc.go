// Package assembly lays components into a mould and says what each then measures and weighs:
// the trade's montage, as geometry.
//
// An Assembly is rules: layers in the order of laying, with thicknesses, levels and insets from
// the wall, so that one assembly serves several moulds. Lay puts it into one mould and returns a
// Section: every layer with its heights over the mould's bottom, its volume and its mass, and
// the half section that a drawing shows.
//
// All bodies are centred on the mould's axis and convex from above. A body is either solid round
// the axis (a base, a disc, an insert, a spread) or a band along the wall, so that at any height
// what a fill can take is one stretch between the bodies and the wall. The fill's volume is
// found by subtracting the bodies' closed-form volumes from the mould's between two levels: the
// gaps beside discs and behind inserts belong to it. Nothing is assumed about contraction or
// settling of what is filled.
//
// Heights are measured as laid, upward from the mould's bottom, whichever way up the piece is
// served. A piece that is laid inverted is turned over only to be drawn.
package assembly
