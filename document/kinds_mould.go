package document

import "chablon/unit"

// Mould is a space to fill, bake or freeze in. Exactly one of its shapes is given.
type Mould struct {
	Head
	Ring       *RingShape    `doc:"ring" help:"straight round wall"`
	Round      *RoundShape   `doc:"round" help:"round pan, straight or tapered"`
	Frame      *FrameShape   `doc:"frame" help:"rectangular frame, sheet or pan"`
	Dome       *DomeShape    `doc:"dome" help:"half sphere, or a cap of one"`
	Turned     *TurnedShape  `doc:"turned" help:"any profile turned about its axis"`
	Drawn      *DrawnShape   `doc:"drawn" help:"any outline with a height"`
	Log        *LogShape     `doc:"log" help:"a profile run along a length"`
	Savarin    *SavarinShape `doc:"savarin" help:"half a torus, filled from its round side"`
	Fluted     *FlutedShape  `doc:"fluted" help:"round pan with a waving wall; with inner a fluted tube pan"`
	Bowl       *BowlShape    `doc:"bowl" help:"half an ellipsoid, the rim up"`
	Inner      []ProfileStep `doc:"inner" help:"inner profile of a tube or ring"`
	Material   string        `doc:"material" enum:"steel aluminium silicone plastic glass ceramic paper wood"`
	Wall       unit.Quantity `doc:"wall" dim:"length" help:"thickness of the wall"`
	Cavities   int           `doc:"cavities" min:"1" max:"10000" help:"1 if not said"`
	WaterTest  unit.Quantity `doc:"water_test" dim:"mass" help:"mass of water that fills one cavity to the rim"`
	OpenTop    bool          `doc:"open_top"`
	OpenBottom bool          `doc:"open_bottom"`
	Role       string        `doc:"role" enum:"mould pan sheet"`
	Room       *Box          `doc:"room" help:"room it takes on a shelf"`
}

// RingShape is a straight round wall.
type RingShape struct {
	Diameter unit.Quantity `doc:"diameter,required" dim:"length" help:"inner"`
	Height   unit.Quantity `doc:"height,required" dim:"length"`
}

// RoundShape is a round pan.
type RoundShape struct {
	Top    unit.Quantity `doc:"top,required" dim:"length" help:"inner diameter at the rim"`
	Bottom unit.Quantity `doc:"bottom" dim:"length" help:"inner diameter at the bottom; as the top if not said"`
	Height unit.Quantity `doc:"height,required" dim:"length"`
}

// FrameShape is a rectangle with a height.
type FrameShape struct {
	Width  unit.Quantity `doc:"width,required" dim:"length"`
	Depth  unit.Quantity `doc:"depth,required" dim:"length"`
	Height unit.Quantity `doc:"height,required" dim:"length"`
	Corner unit.Quantity `doc:"corner" dim:"length" help:"radius of the corners at the rim"`
	Draft  unit.Quantity `doc:"draft" dim:"length" help:"how far the wall leans in from rim to bottom, on each side"`
}

// DomeShape is a half sphere with the rim up, or a cap of a sphere.
type DomeShape struct {
	Diameter unit.Quantity `doc:"diameter,required" dim:"length" help:"of the rim"`
	Height   unit.Quantity `doc:"height" dim:"length" help:"half the diameter if not said"`
}

// TurnedShape is a profile of lines and arcs, from the bottom at the axis to the rim.
type TurnedShape struct {
	Profile []ProfileStep `doc:"profile,required"`
}

// ProfileStep is the next point of a profile, reached by a line or an arc.
type ProfileStep struct {
	R   unit.Quantity `doc:"r,required" dim:"length" help:"distance from the axis"`
	Z   unit.Quantity `doc:"z,required" dim:"length" help:"height over the bottom"`
	Arc unit.Quantity `doc:"arc" dim:"length" help:"radius of the arc that leads here, bulging outward; a line if not said"`
}

// DrawnShape is an outline with a height: SVG path data, or a figure with its size.
type DrawnShape struct {
	Path   string        `doc:"path" help:"SVG path data, in millimetres"`
	Figure string        `doc:"figure" enum:"hexagon octagon triangle oval heart" help:"instead of a path"`
	Width  unit.Quantity `doc:"width" dim:"length" help:"of the figure: across the flats, the longer axis, or the side of a triangle or heart"`
	Depth  unit.Quantity `doc:"depth" dim:"length" help:"of an oval: the shorter axis"`
	Height unit.Quantity `doc:"height,required" dim:"length"`
	Corner unit.Quantity `doc:"corner" dim:"length" help:"radius of the corners of a hexagon, octagon or triangle"`
	Draft  unit.Quantity `doc:"draft" dim:"length" help:"how far the wall leans in from rim to bottom, all round"`
}

// LogShape is a profile run along a length: drawn, or an arc under straight walls.
type LogShape struct {
	Profile []ProfileStep `doc:"profile" help:"half of the section, from the lowest point to the rim"`
	Width   unit.Quantity `doc:"width" dim:"length" help:"instead of a profile, with height and rise"`
	Height  unit.Quantity `doc:"height" dim:"length"`
	Rise    unit.Quantity `doc:"rise" dim:"length" help:"of the arc; half the width if not said"`
	Length  unit.Quantity `doc:"length,required" dim:"length"`
}

// SavarinShape is half a torus.
type SavarinShape struct {
	Middle unit.Quantity `doc:"middle,required" dim:"length" help:"diameter of the line in the middle of the ring"`
	Radius unit.Quantity `doc:"radius,required" dim:"length" help:"of the half disc that is its section"`
	Height unit.Quantity `doc:"height" dim:"length" help:"the radius if not said; straight walls above it"`
}

// FlutedShape is a round pan whose wall waves in and out.
type FlutedShape struct {
	Top    unit.Quantity `doc:"top,required" dim:"length" help:"mean diameter at the rim"`
	Bottom unit.Quantity `doc:"bottom" dim:"length" help:"as the top if not said"`
	Height unit.Quantity `doc:"height,required" dim:"length"`
	Flutes int           `doc:"flutes,required" min:"3" max:"48" help:"how many"`
	Depth  unit.Quantity `doc:"depth,required" dim:"length" help:"of a flute, out and in from the mean"`
}

// BowlShape is half an ellipsoid.
type BowlShape struct {
	Width  unit.Quantity `doc:"width,required" dim:"length" help:"of the rim"`
	Depth  unit.Quantity `doc:"depth" dim:"length" help:"as the width if not said"`
	Height unit.Quantity `doc:"height,required" dim:"length"`
}

// Box is a room on a shelf.
type Box struct {
	Width  unit.Quantity `doc:"width,required" dim:"length"`
	Depth  unit.Quantity `doc:"depth,required" dim:"length"`
	Height unit.Quantity `doc:"height,required" dim:"length"`
}
