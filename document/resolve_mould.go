package document

import (
	"fmt"

	"chablon/mould"
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
		points := make([]mould.ProfilePoint, len(d.Turned.Profile))
		for i, p := range d.Turned.Profile {
			points[i] = mould.ProfilePoint{R: p.R.Length(), Z: p.Z.Length(), Arc: p.Arc.Length()}
		}
		return mould.NewTurned(points)
	})
	later := func() (mould.Solid, error) {
		return nil, fmt.Errorf("is not computed by this version: give a ring, round, frame, dome or turned shape")
	}
	shape(d.Drawn != nil, "drawn", later)
	shape(d.Log != nil, "log", later)
	switch {
	case given == 0:
		r.fail(d, "", Error{Reason: "has no shape", Remedy: "give one of ring, round, frame, dome and turned"})
		return nil
	case given > 1:
		r.fail(d, path, Error{Reason: fmt.Sprintf("has %d shapes", given), Remedy: "keep one of ring, round, frame, dome and turned"})
		return nil
	case err != nil:
		r.fail(d, path, Error{Reason: err.Error()})
		return nil
	case len(d.Inner) > 0:
		r.fail(d, "inner", Error{Reason: "an inner profile is not computed by this version", Remedy: "leave it out"})
		return nil
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
	return m
}
