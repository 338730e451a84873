package mould

import (
	"fmt"
	"slices"
	"sync"

	"chablon/unit"
)

// Sizes returns moulds of the usual sizes, to start from before a kitchen has entered its own.
// Dimensions are inner. They are common practice, no source: makers differ by a few
// millimetres, and trays differ in how many cavities they have.
func Sizes() []Mould { return slices.Clone(sizes()) }

// sizes builds the list once: its solids never change.
var sizes = sync.OnceValue(func() []Mould {
	const mm = unit.Millimetre
	var list []Mould
	add := func(m Mould, s Solid, err error) {
		if err != nil {
			panic("mould: built-in size " + m.ID + ": " + err.Error())
		}
		m.Solid, m.OpenTop = s, true
		m.Cavities = max(1, m.Cavities)
		list = append(list, m)
	}
	ring := func(kind string, d, h unit.Length) {
		s, err := Ring(d, h)
		add(Mould{ID: id(kind, d, h), Name: name(kind, d, h), Material: "steel", OpenBottom: true, Role: RoleMould}, s, err)
	}
	for _, d := range []unit.Length{60 * mm, 70 * mm, 80 * mm, 100 * mm, 120 * mm} {
		ring("ring", d, 40*mm)
	}
	for _, h := range []unit.Length{45 * mm, 60 * mm} {
		for _, d := range []unit.Length{140 * mm, 160 * mm, 180 * mm, 200 * mm, 220 * mm, 240 * mm} {
			ring("ring", d, h)
		}
	}
	for _, d := range []unit.Length{200 * mm, 220 * mm, 240 * mm, 260 * mm, 280 * mm} {
		ring("ring", d, 35*mm)
	}
	for _, d := range []unit.Length{100 * mm, 120 * mm, 140 * mm, 160 * mm, 180 * mm, 200 * mm} {
		ring("insert-ring", d, 20*mm)
	}
	for _, tray := range []struct {
		d        unit.Length
		cavities int
	}{{30 * mm, 24}, {60 * mm, 8}, {70 * mm, 6}, {80 * mm, 5}} {
		s, err := Dome(tray.d, 0)
		add(Mould{ID: id("half-spheres", tray.d), Name: name("half-spheres", tray.d), Cavities: tray.cavities, Material: "silicone", Role: RoleMould}, s, err)
	}
	frame := func(kind string, w, d, h unit.Length, m Mould) {
		s, err := Frame(w, d, h, 0, 0)
		m.ID, m.Name = id(kind, w, d, h), name(kind, w, d, h)
		add(m, s, err)
	}
	for _, f := range [][3]unit.Length{{200 * mm, 200 * mm, 45 * mm}, {400 * mm, 300 * mm, 45 * mm}, {560 * mm, 360 * mm, 45 * mm}, {600 * mm, 400 * mm, 45 * mm}} {
		frame("frame", f[0], f[1], f[2], Mould{Material: "steel", OpenBottom: true, Role: RoleMould})
	}
	frame("sheet", 400*mm, 300*mm, 10*mm, Mould{Material: "aluminium", Role: RoleSheet})
	frame("sheet", 600*mm, 400*mm, 10*mm, Mould{Material: "aluminium", Role: RoleSheet})
	// What a gastronorm 1/1 container leaves to cut from; its outer size is 530 x 325 mm (EN 631-1).
	frame("container", 500*mm, 300*mm, 65*mm, Mould{Material: "steel", Role: RolePan})
	for _, inches := range []int{6, 8, 9, 10, 12} {
		d := unit.Length(inches) * unit.Inch
		s, err := Round(d, d, 2*unit.Inch)
		add(Mould{ID: fmt.Sprintf("round-pan-%din", inches), Name: fmt.Sprintf("round pan %d × 2 in", inches), Material: "aluminium", Role: RolePan}, s, err)
	}
	moreSizes(add)
	return list
})

// id joins the kind and the dimensions in millimetres: "ring-180x45".
func id(kind string, dims ...unit.Length) string {
	for i, d := range dims {
		kind += string("-x"[min(i, 1)]) + fmt.Sprintf("%.0f", d.Millimetres())
	}
	return kind
}

var kindNames = map[string]string{
	"ring": "ring", "insert-ring": "insert ring", "half-spheres": "half spheres", "frame": "frame",
	"sheet": "sheet", "container": "container, usable", "springform": "springform", "cake-pan": "cake pan", "square-pan": "square pan",
	"loaf": "loaf pan", "pie": "pie plate", "muffins": "muffin cups", "cones": "cones", "cylinders": "cylinders", "savarins": "savarins",
	"savarin": "savarin ring", "tube-pan": "tube pan", "fluted-tube-pan": "fluted tube pan", "log": "log", "insert-log": "insert log",
	"heart": "heart", "hearts": "hearts", "hexagon": "hexagon", "hexagons": "hexagons", "oval": "oval", "ovals": "ovals",
	"triangle": "triangle", "quenelles": "quenelles", "squares": "squares", "square": "square frame",
}

// name writes the kind and the dimensions for people: "ring 180 × 45 mm".
func name(kind string, dims ...unit.Length) string {
	text := kindNames[kind]
	for i, d := range dims {
		text += [...]string{" ", " × "}[min(i, 1)] + fmt.Sprintf("%.0f", d.Millimetres())
	}
	return text + " mm"
}
