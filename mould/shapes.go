package mould

import (
	"errors"
	"fmt"

	"chablon/unit"
)

// Ring returns the straight round wall of inner diameter d and height h. An error names the
// dimension that is not above 0 and at most MaxLength; so with the shapes below.
func Ring(d, h unit.Length) (Solid, error) {
	return round("ring diameter", "ring diameter", "ring height", d, d, h)
}

// Round returns the round pan, tapered if the inner diameters at the rim and at the bottom
// differ.
func Round(top, bottom, h unit.Length) (Solid, error) {
	return round("round pan diameter at the rim", "round pan diameter at the bottom", "round pan height", top, bottom, h)
}

func round(topName, bottomName, heightName string, top, bottom, h unit.Length) (Solid, error) {
	for _, c := range []struct {
		name string
		l    unit.Length
	}{{topName, top}, {bottomName, bottom}, {heightName, h}} {
		if err := checkLength(c.name, c.l); err != nil {
			return nil, err
		}
	}
	return turned([]ProfilePoint{{R: bottom / 2}, {R: top / 2, Z: h}})
}

// turned keeps a nil *Turned out of the interface.
func turned(points []ProfilePoint) (Solid, error) {
	t, err := NewTurned(points)
	if err != nil {
		return nil, err
	}
	return t, nil
}

// Dome returns the half sphere, or lower cap of a sphere, with its rim up and its pole at the
// bottom. The diameter is the rim's; height 0 means half of it. A cap higher than a half sphere
// is refused: it narrows again towards the rim.
func Dome(diameter, height unit.Length) (Solid, error) {
	if err := checkLength("dome diameter", diameter); err != nil {
		return nil, err
	}
	a := diameter / 2
	if height == 0 {
		height = a
	}
	if err := checkLength("dome height", height); err != nil {
		return nil, err
	}
	if height > a {
		return nil, fmt.Errorf("dome height is %s, more than half of its diameter of %s: it would narrow again towards the rim and not unmould; give at most %s, or draw a turned profile", show(height), show(diameter), show(a))
	}
	sphere := (a*a + height*height) / (2 * height)
	return turned([]ProfilePoint{{}, {R: a, Z: height, Arc: sphere}})
}

// Frame returns the rectangular frame, sheet or pan with its inner width, depth and corner
// radius at the rim. Draft is how far each wall leans in from rim to bottom; the corners become
// tighter by as much, down to sharp ones.
func Frame(width, depth, height, corner, draft unit.Length) (Solid, error) {
	if err := checkOutline("frame", "", Rectangle(width, depth, corner)); err != nil {
		return nil, err
	}
	if err := errors.Join(checkLength("frame height", height), checkZeroOrLength("frame draft", draft)); err != nil {
		return nil, err
	}
	if room := min(width, depth) / 2; room-draft < leastLength {
		return nil, fmt.Errorf("frame draft is %s on each side, but half of the narrower side is %s: give less, or the walls meet above the bottom", show(draft), show(room))
	}
	lean := float64(draft / height)
	leanC := lean
	if corner == 0 {
		leanC = 0
	}
	return newDrawn(Rectangle(width, depth, corner), height, lean, lean, leanC), nil
}

// Tapered returns the rectangular pan whose outlines at the rim and at the bottom are given;
// the walls between are straight, and the width and the depth may lean by different amounts.
func Tapered(rim, bottom Outline, height unit.Length) (Solid, error) {
	if err := checkOutline("pan", " at the rim", rim); err != nil {
		return nil, err
	}
	if err := checkOutline("pan", " at the bottom", bottom); err != nil {
		return nil, err
	}
	if err := checkLength("pan height", height); err != nil {
		return nil, err
	}
	return newDrawn(rim, height,
		float64((rim.Width-bottom.Width)/2/height),
		float64((rim.Depth-bottom.Depth)/2/height),
		float64((rim.Corner-bottom.Corner)/height)), nil
}

func checkOutline(what, where string, o Outline) error {
	if err := errors.Join(checkLength(what+" width"+where, o.Width), checkLength(what+" depth"+where, o.Depth)); err != nil {
		return err
	}
	if half := min(o.Width, o.Depth) / 2; !(o.Corner >= 0 && o.Corner <= half) {
		return fmt.Errorf("%s corner radius%s is %s: give from 0 to half of the narrower side, %s", what, where, show(o.Corner), show(half))
	}
	return nil
}
