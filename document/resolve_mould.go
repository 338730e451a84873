package document

import (
	"errors"
	"fmt"
	"math"

	"chablon/mould"
	"chablon/unit"
)

// moulds builds every mould of the set, beside the built-in sizes.
func (r *resolver) moulds() {
	for _, m := range mould.Sizes() {
		r.book.Moulds[m.ID] = &m
	}
	for _, d := range Every[*Mould](r.set) {
		if m := r.mould(d); m != nil {
			r.book.Moulds[d.ID] = m
		}
	}
	for _, k := range Every[*Kitchen](r.set) {
		for i, o := range k.MouldsOwned {
			id := r.id(k, fmt.Sprintf("moulds[%d].mould", i), o.Mould, "mould")
			if r.book.Moulds[id] == nil {
				r.missing(k, fmt.Sprintf("moulds[%d].mould", i), o.Mould, "mould", ids(r.book.Moulds))
				continue
			}
			r.book.Kitchen.Moulds[id] += max(1, o.Count)
		}
	}
}

// mould builds one mould; nil if it cannot be.
func (r *resolver) mould(d *Mould) *mould.Mould {
	var solid mould.Solid
	var err error
	given, path := 0, ""
	shape := func(there bool, field string, build func() (mould.Solid, error)) {
		if there {
			given++
			path = field
			if given == 1 {
				solid, err = build()
			}
		}
	}
	shape(d.Ring != nil, "ring", func() (mould.Solid, error) { return mould.Ring(d.Ring.Diameter.Length(), d.Ring.Height.Length()) })
	shape(d.Round != nil, "round", func() (mould.Solid, error) {
		bottom := d.Round.Bottom
		if !bottom.Given() {
			bottom = d.Round.Top
		}
		return mould.Round(d.Round.Top.Length(), bottom.Length(), d.Round.Height.Length())
	})
	shape(d.Frame != nil, "frame", func() (mould.Solid, error) {
		f := d.Frame
		return mould.Frame(f.Width.Length(), f.Depth.Length(), f.Height.Length(), f.Corner.Length(), f.Draft.Length())
	})
	shape(d.Dome != nil, "dome", func() (mould.Solid, error) { return mould.Dome(d.Dome.Diameter.Length(), d.Dome.Height.Length()) })
	shape(d.Turned != nil, "turned", func() (mould.Solid, error) {
		return mould.NewTurned(profile(d.Turned.Profile))
	})
	shape(d.Drawn != nil, "drawn", func() (mould.Solid, error) {
		o, err := figure(d.Drawn)
		if err != nil {
			return nil, err
		}
		return mould.NewPrism(o, d.Drawn.Height.Length(), d.Drawn.Draft.Length())
	})
	shape(d.Log != nil, "log", func() (mould.Solid, error) {
		l := d.Log
		if len(l.Profile) > 0 {
			return mould.NewLog(profile(l.Profile), l.Length.Length())
		}
		rise := l.Rise.Length()
		if !l.Rise.Given() {
			rise = l.Width.Length() / 2
		}
		return mould.RoundLog(l.Width.Length(), l.Height.Length(), rise, l.Length.Length())
	})
	shape(d.Savarin != nil, "savarin", func() (mould.Solid, error) {
		return mould.NewSavarin(d.Savarin.Middle.Length(), d.Savarin.Radius.Length(), d.Savarin.Height.Length())
	})
	shape(d.Fluted != nil, "fluted", func() (mould.Solid, error) {
		f := d.Fluted
		bottom := f.Bottom
		if !bottom.Given() {
			bottom = f.Top
		}
		return mould.NewFlutes(f.Top.Length(), bottom.Length(), f.Height.Length(), f.Depth.Length(), f.Flutes)
	})
	shape(d.Bowl != nil, "bowl", func() (mould.Solid, error) {
		depth := d.Bowl.Depth
		if !depth.Given() {
			depth = d.Bowl.Width
		}
		rim, err := mould.Ellipse(d.Bowl.Width.Length(), depth.Length())
		if err != nil {
			return nil, err
		}
		return mould.NewBowl(rim, d.Bowl.Height.Length())
	})
	const shapes = "ring, round, frame, dome, turned, drawn, log, savarin, fluted and bowl"
	switch {
	case given == 0:
		r.fail(d, "", Error{Reason: "has no shape", Remedy: "give one of " + shapes})
		return nil
	case given > 1:
		r.fail(d, path, Error{Reason: fmt.Sprintf("has %d shapes", given), Remedy: "keep one of " + shapes})
		return nil
	case err != nil:
		r.fail(d, path, Error{Reason: err.Error()})
		return nil
	}
	if len(d.Inner) > 0 {
		if solid, err = mould.NewTube(solid, profile(d.Inner)); err != nil {
			r.fail(d, "inner", Error{Reason: err.Error()})
			return nil
		}
	}
	m := &mould.Mould{
		ID: d.ID, Name: orID(d.Name, d.ID), Solid: solid, Cavities: max(1, d.Cavities), Material: d.Material, Wall: d.Wall.Length(),
		WaterTest: d.WaterTest.Mass(), OpenTop: d.OpenTop, OpenBottom: d.OpenBottom, Role: orID(d.Role, mould.RoleMould),
	}
	if d.Room != nil {
		m.RoomWidth, m.RoomDepth, m.RoomHeight = d.Room.Width.Length(), d.Room.Depth.Length(), d.Room.Height.Length()
	}
	if err := m.Validate(); err != nil {
		r.fail(d, "", Error{Reason: err.Error()})
		return nil
	}
	if err := m.Correct(); err != nil {
		r.fail(d, "water_test", Error{Reason: err.Error()})
		return nil
	}
	return m
}

func profile(steps []ProfileStep) []mould.ProfilePoint {
	points := make([]mould.ProfilePoint, len(steps))
	for i, p := range steps {
		points[i] = mould.ProfilePoint{R: p.R.Length(), Z: p.Z.Length(), Arc: p.Arc.Length()}
	}
	return points
}

// figure returns the outline of a drawn shape.
func figure(d *DrawnShape) (mould.Outline, error) {
	switch {
	case (d.Path != "") == (d.Figure != ""):
		return mould.Outline{}, errors.New("it has neither a path nor a figure, or both: give one")
	case d.Path != "" && d.Corner.Given():
		return mould.Outline{}, errors.New("a path has corners of its own: draw their rounding into it, and leave corner out")
	case d.Path != "":
		return mould.ParseOutline(d.Path)
	}
	w := d.Width.Length()
	switch d.Figure {
	case "hexagon":
		return mould.RegularPolygon(6, w, d.Corner.Length())
	case "octagon":
		return mould.RegularPolygon(8, w, d.Corner.Length())
	case "triangle":
		return mould.RegularPolygon(3, w/unit.Length(math.Sqrt(3)), d.Corner.Length())
	case "oval":
		return mould.Ellipse(w, d.Depth.Length())
	}
	return mould.Heart(w)
}
