package mould

import "chablon/unit"

// moreSizes adds what is neither a ring, a plain frame nor a dome. Where makers differ, the size is
// one of the usual ones; a water test makes it that of the mould at hand.
func moreSizes(add func(m Mould, s Solid, err error)) {
	const mm = unit.Millimetre
	pan := func(kind string, s Solid, err error, dims ...unit.Length) {
		add(Mould{ID: id(kind, dims...), Name: name(kind, dims...), Material: "steel", Role: RolePan}, s, err)
	}
	tray := func(kind string, cavities int, s Solid, err error, dims ...unit.Length) {
		add(Mould{ID: id(kind, dims...), Name: name(kind, dims...), Material: "silicone", Role: RoleMould, Cavities: cavities}, s, err)
	}
	form := func(kind string, o Outline, bad error, h unit.Length, dims ...unit.Length) {
		s, err := NewPrism(o, h, 0)
		if bad != nil {
			err = bad
		}
		add(Mould{ID: id(kind, append(dims, h)...), Name: name(kind, append(dims, h)...), Material: "steel", OpenBottom: true, Role: RoleMould}, s, err)
	}
	cavity := func(kind string, cavities int, o Outline, bad error, h, draft unit.Length, dims ...unit.Length) {
		s, err := NewPrism(o, h, draft)
		if bad != nil {
			err = bad
		}
		tray(kind, cavities, s, err, append(dims, h)...)
	}

	for _, d := range []unit.Length{180 * mm, 200 * mm, 220 * mm, 240 * mm, 260 * mm, 280 * mm} {
		s, err := Ring(d, 70*mm)
		pan("springform", s, err, d, 70*mm)
		s, err = Round(d, d-10*mm, 50*mm)
		pan("cake-pan", s, err, d, 50*mm)
	}
	for _, w := range []unit.Length{150 * mm, 200 * mm, 230 * mm} {
		s, err := Frame(w, w, 50*mm, 10*mm, 3*mm)
		pan("square-pan", s, err, w, w, 50*mm)
	}
	for _, l := range [][3]unit.Length{{180 * mm, 80 * mm, 70 * mm}, {250 * mm, 110 * mm, 75 * mm}, {300 * mm, 110 * mm, 80 * mm}} {
		s, err := Tapered(Rectangle(l[0], l[1], 0), Rectangle(l[0]-20*mm, l[1]-20*mm, 0), l[2])
		pan("loaf", s, err, l[0], l[1], l[2])
	}
	s, err := Round(229*mm, 190*mm, 32*mm)
	pan("pie", s, err, 229*mm, 32*mm)
	s, err = Round(254*mm, 216*mm, 102*mm)
	tube, err := tubeIn(s, err, 38*mm, 25*mm)
	pan("tube-pan", tube, err, 254*mm, 102*mm)
	s, err = NewFlutes(220*mm, 180*mm, 95*mm, 5*mm, 16)
	tube, err = tubeIn(s, err, 35*mm, 25*mm)
	pan("fluted-tube-pan", tube, err, 220*mm, 95*mm)

	s, err = Round(70*mm, 50*mm, 35*mm)
	tray("muffins", 12, s, err, 70*mm, 35*mm)
	s, err = Round(60*mm, 10*mm, 70*mm)
	tray("cones", 8, s, err, 60*mm, 70*mm)
	for _, d := range []unit.Length{40 * mm, 60 * mm} {
		s, err = Round(d, d-2*mm, d/2+10*mm)
		tray("cylinders", 8, s, err, d, d/2+10*mm)
	}
	s, err = NewSavarin(45*mm, 12*mm, 17*mm)
	tray("savarins", 8, s, err, 69*mm, 17*mm)
	s, err = NewSavarin(140*mm, 35*mm, 45*mm)
	tray("savarin", 1, s, err, 210*mm, 45*mm)
	oval, err := Ellipse(70*mm, 32*mm)
	if err == nil {
		s, err = NewBowl(oval, 16*mm)
	}
	tray("quenelles", 12, s, err, 70*mm, 32*mm, 16*mm)

	for _, l := range [][3]unit.Length{{80 * mm, 70 * mm, 250 * mm}, {80 * mm, 70 * mm, 500 * mm}, {90 * mm, 75 * mm, 500 * mm}} {
		s, err = RoundLog(l[0], l[1], l[0]/2, l[2])
		tray("log", 1, s, err, l[2], l[0], l[1])
	}
	s, err = RoundLog(40*mm, 40*mm, 20*mm, 480*mm)
	tray("insert-log", 1, s, err, 480*mm, 40*mm, 40*mm)

	for _, side := range []unit.Length{90 * mm, 120 * mm} {
		o, err := Heart(side)
		form("heart", o, err, 45*mm, o.Width)
	}
	o, err := Heart(42 * mm)
	cavity("hearts", 8, o, err, 35*mm, 2*mm, o.Width)
	for _, across := range []unit.Length{160 * mm, 180 * mm, 220 * mm} {
		o, err = RegularPolygon(6, across, 0)
		form("hexagon", o, err, 45*mm, across)
	}
	o, err = RegularPolygon(6, 65*mm, 4*mm)
	cavity("hexagons", 6, o, err, 35*mm, 2*mm, 65*mm)
	for _, l := range [][2]unit.Length{{180 * mm, 120 * mm}, {240 * mm, 170 * mm}} {
		o, err = Ellipse(l[0], l[1])
		form("oval", o, err, 45*mm, l[0], l[1])
	}
	o, err = Ellipse(80*mm, 45*mm)
	cavity("ovals", 8, o, err, 30*mm, 2*mm, 80*mm, 45*mm)
	o, err = Triangle(90 * mm)
	form("triangle", o, err, 40*mm, 90*mm)
	cavity("squares", 8, Rectangle(55*mm, 55*mm, 6*mm), nil, 40*mm, 1.5*mm, 55*mm, 55*mm)
	for _, w := range []unit.Length{160 * mm, 180 * mm} {
		form("square", Rectangle(w, w, 0), nil, 45*mm, w, w)
	}
}

// tubeIn puts a tapered tube into a pan.
func tubeIn(s Solid, err error, bottom, top unit.Length) (Solid, error) {
	if err != nil {
		return nil, err
	}
	return NewTube(s, []ProfilePoint{{R: bottom}, {R: top, Z: s.Height()}})
}
