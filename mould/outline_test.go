package mould_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/mould"
	"chablon/unit"
)

// figures are outlines of every kind by name, of some 100 mm.
func figures(t testing.TB) map[string]mould.Outline {
	t.Helper()
	one := func(o mould.Outline, err error) mould.Outline { return ok(t, o, err) }
	return map[string]mould.Outline{
		"circle":    mould.Circle(100 * mm),
		"rectangle": mould.Rectangle(120*mm, 80*mm, 0),
		"rounded":   mould.Rectangle(120*mm, 80*mm, 15*mm),
		"hexagon":   one(mould.RegularPolygon(6, 100*mm, 0)),
		"triangle":  one(mould.Triangle(120 * mm)),
		"cushion":   one(mould.RegularPolygon(4, 100*mm, 20*mm)),
		"ellipse":   one(mould.Ellipse(140*mm, 90*mm)),
		"heart":     one(mould.Heart(80 * mm)),
		"fluted":    one(mould.Fluted(110*mm, 4*mm, 12)),
		"wedge":     one(mould.Sector(180*mm, 60)),
		"arrow":     one(mould.NewOutline([]mould.OutlinePoint{{X: 0, Y: 0}, {X: 100 * mm, Y: 40 * mm}, {X: 0, Y: 80 * mm}, {X: 30 * mm, Y: 40 * mm}})),
		"bezier":    one(mould.ParseOutline("M0 0 C 60 -40 120 20 90 70 S 10 120 -20 60 Q -40 20 0 0 Z")),
		"ring":      mould.Circle(100 * mm).WithHole(30 * mm),
	}
}

// The area of a figure is compared with a count of points of a grid that Contains says are within.
func TestAreaAgainstAGrid(t *testing.T) {
	t.Parallel()
	for name, o := range figures(t) {
		for _, inset := range []unit.Length{0, 6 * mm, -6 * mm} {
			if inset != 0 && name == "bezier" {
				continue
			}
			in := o.Inset(inset)
			const n = 250
			w, d := in.Width*1.2, in.Depth*1.2
			if name == "triangle" || name == "wedge" || name == "heart" || name == "arrow" || name == "bezier" {
				w, d = in.Width*2, in.Depth*2 // the middle of the area is not that of the box
			}
			count := 0
			for i := range n {
				for j := range n {
					if in.Contains(w*unit.Length((float64(i)+0.5)/n-0.5), d*unit.Length((float64(j)+0.5)/n-0.5)) {
						count++
					}
				}
			}
			got, want := float64(in.Area()), float64(w*d)*float64(count)/(n*n)
			if math.Abs(got-want) > 12e-3*want {
				t.Errorf("%s, %v in: area %v, the grid says %v", name, inset, got, want)
			}
		}
	}
}

// Moved in by t, an outline keeps a gap of t all round, and its area falls at the rate of its
// perimeter.
func TestInsetKeepsItsGap(t *testing.T) {
	t.Parallel()
	for name, o := range figures(t) {
		for _, by := range []unit.Length{0.5 * mm, 3 * mm, 10 * mm} {
			in := o.Inset(by)
			if in.Empty() {
				t.Errorf("%s: nothing is left %v in", name, by)
				continue
			}
			if gap := o.Clearance(in); math.Abs(float64(gap-by)) > 3e-6 {
				t.Errorf("%s: %v in leaves a gap of %v", name, by, gap)
			}
			if gap := in.Clearance(o); gap > -by+unit.Length(1e-6) {
				t.Errorf("%s: the whole pokes %v out of itself %v in", name, -gap, by)
			}
			if in.Area() >= o.Area() {
				t.Errorf("%s: the area grows from %v to %v", name, o.Area(), in.Area())
			}
		}
		const h = 1e-3 * mm
		slope := float64(o.Inset(-h).Area()-o.Inset(h).Area()) / float64(2*h)
		if p := float64(o.Perimeter()); math.Abs(slope-p) > 1e-5*p {
			t.Errorf("%s: the area falls by %v for a metre, the perimeter is %v", name, slope, p)
		}
		if !o.Inset(200 * mm).Empty() {
			t.Errorf("%s: something is left 200 mm in", name)
		}
	}
}

// Two half discs that meet in a cleft, moved in until the cleft has eaten half of the figure, are
// still in one piece; a dumb-bell falls into two, of which the larger is kept.
func TestInsetOfAFigureThatFallsApart(t *testing.T) {
	t.Parallel()
	bell, err := mould.NewOutline([]mould.OutlinePoint{
		{X: 0, Y: 0},
		{X: 40 * mm, Y: 0},
		{X: 40 * mm, Y: 15 * mm},
		{X: 60 * mm, Y: 15 * mm},
		{X: 60 * mm, Y: -10 * mm},
		{X: 120 * mm, Y: -10 * mm},
		{X: 120 * mm, Y: 50 * mm},
		{X: 60 * mm, Y: 50 * mm},
		{X: 60 * mm, Y: 25 * mm},
		{X: 40 * mm, Y: 25 * mm},
		{X: 40 * mm, Y: 40 * mm},
		{X: 0, Y: 40 * mm},
	})
	in := ok(t, bell, err).Inset(8 * mm)
	// Of the larger square of 60 mm, 44 mm are left, and a little in the mouth of the neck of 10 mm,
	// between the arcs of 8 mm round its corners: twice the integral of 8 - √(64 - u²) up to 5.
	mouth := 2 * (40 - (5*math.Sqrt(39)+64*math.Asin(5.0/8))/2)
	if got, want := float64(in.Area())*1e6, 44*44+mouth; math.Abs(got-want) > 1e-5*want {
		t.Errorf("left are %v m², want the larger square's %v", got, want)
	}
}

func TestParseOutline(t *testing.T) {
	t.Parallel()
	for path, area := range map[string]float64{ // mm²
		"M0 0 H100 V50 H0 Z":                            5000,
		"m10,10 l100,0 0,50-100,0z":                     5000, // relative, numbers run together
		"M0 0L100 0 100 50":                             2500, // closed by a straight side
		"M 50 0 A 50 50 0 1 1 -50 0 A 50 50 0 1 1 50 0": math.Pi * 2500,
		"M40 0a40 20 0 0 1-80 0a40 20 0 01 80 0z":       math.Pi * 800, // flags run together
		// A parabola over 100, 30 high at the control point's half: 2/3 · 100 · 30.
		"M0 0 Q50 60 100 0 Z":               2000,
		"M0 0 C0 40 100 40 100 0 Z":         2.4e3 * 1.0, // 3/5 · 100 · 40, by the integral of the cubic
		"M0 0 q 25 -40 50 0 t 50 0 V60 H0z": 6000,        // half a wave up, half down
	} {
		o, err := mould.ParseOutline(path)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		if got := float64(o.Area()) * 1e6; math.Abs(got-area) > 1e-9*area {
			t.Errorf("%s: %v mm², want %v", path, got, area)
		}
	}
	for path, part := range map[string]string{
		"":                                  "empty",
		"L 1 2":                             "begin with M",
		"M0 0 X":                            "character 6",
		"M0 0 L10":                          "a number is wanted",
		"M0 0 L1e9 0 0 1":                   "measure in millimetres",
		"M0 0 A1 1 0 2 0 5 5":               "flag",
		"M0 0 H10 V10 H0 Z M1 1":            "closed already",
		"M0 0 H10 V10 H0 Z L1 1":            "closed already",
		"M0 0 L100 100 L100 0 L0 100 Z":     "crosses itself",
		"M0 0 H100 H50 Z":                   "crosses itself",
		"M0 0 H1000 H500 V1 Z":              "crosses itself",
		"M0 0 0 0 0 0 0 0":                  "encloses nothing",
		"M0 0 L 2999 0 L 2999 1 L -2000 0z": "measures",
	} {
		if o, err := mould.ParseOutline(path); err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: %v mm wide, %v; want an error with %q", path, o.Width, err, part)
		}
	}
}

func FuzzParseOutline(f *testing.F) {
	for _, s := range []string{"M0 0H10V10z", "M0 0a5 5 0 1 0 10 0z", "m1e2.5-3", "M0 0C1 2 3 4 5 6S7 8 9 10Q1 1 2 2T3 3z", "M0,0L1e-9,0 0,1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		o, err := mould.ParseOutline(s)
		if err != nil {
			return
		}
		a, p := float64(o.Area()), float64(o.Perimeter())
		if !(a > 0 && a < 10) || !(p > 0 && p < 1e6) || o.Empty() {
			t.Fatalf("%q: area %v, perimeter %v", s, a, p)
		}
		for _, by := range []unit.Length{mm, -mm, 100 * mm} {
			if in := o.Inset(by); !in.Empty() && (math.IsNaN(float64(in.Area())) || in.Area() < 0) {
				t.Fatalf("%q: %v in, area %v", s, by, in.Area())
			}
		}
	})
}

// A profile of any points is refused with words, or is a solid whose volume is finite, rises, and whose level
// inverts it.
func FuzzTurned(f *testing.F) {
	f.Add([]byte{0, 0, 0, 40, 0, 0, 50, 45, 0})
	f.Add([]byte{0, 0, 0, 35, 35, 35})
	f.Add([]byte{20, 0, 0, 20, 10, 0, 40, 10, 0, 40, 30, 250})
	f.Fuzz(func(t *testing.T, b []byte) {
		var points []mould.ProfilePoint
		for ; len(b) >= 3 && len(points) < 40; b = b[3:] {
			p := mould.ProfilePoint{R: unit.Length(b[0]) * mm, Z: unit.Length(b[1]) * mm, Arc: unit.Length(int8(b[2])) * mm}
			if b[0] == 255 { // figures that no cook writes
				p.R = []unit.Length{unit.Length(math.NaN()), unit.Length(math.Inf(1)), -1, 1e300}[b[1]%4]
			}
			points = append(points, p)
		}
		s, err := mould.NewTurned(points)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		full, last := float64(s.Below(s.Height())), -1e-18
		if !(full > 0 && full < 30) {
			t.Fatalf("%v holds %v m³", points, full)
		}
		for k := 0; k <= 16; k++ {
			z := s.Height() * unit.Length(k) / 16
			v := float64(s.Below(z))
			if !(v >= last-1e-15*full) {
				t.Fatalf("%v: %v m³ below %v, %v below less", points, v, z, last)
			}
			last = v
			if level, err := mould.Level(s, unit.Volume(v)); err != nil || math.Abs(float64(s.Below(level))-v) > 1e-9*full {
				t.Fatalf("%v: level of %v m³ is %v, %v", points, v, level, err)
			}
		}
	})
}

// Every family of solids: volume rises with height and Level inverts it; the film of a grown one
// has about the volume of its wall and bottom times its thickness.
func TestEverySolid(t *testing.T) {
	t.Parallel()
	for name, s := range families(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := s.Height()
			if b := s.Breaks(); b[0] != 0 || b[len(b)-1] != h || len(b) < 2 {
				t.Errorf("breaks %v, want 0 to %v", b, h)
			}
			last := unit.Volume(0)
			for k := 1; k <= 40; k++ {
				z := h * unit.Length(k) / 40
				v := s.Below(z)
				if v <= last {
					t.Fatalf("%v ml below %v, %v below less", v.Millilitres(), z, last.Millilitres())
				}
				// The volume is what the areas add up to.
				mid := s.At(z - h/80).Area().Times(h / 40)
				if got := v - last; k > 6 && math.Abs(float64(got-mid)) > 5e-3*float64(got) {
					t.Errorf("%v of volume up to %v, the area says %v", got, z, mid)
				}
				level, err := mould.Level(s, v)
				if err != nil || math.Abs(float64(level-z)) > 1e-8*float64(h) {
					t.Fatalf("%v back to %v, %v", z, level, err)
				}
				last = v
			}
			if got, want := s.Wall(0, h/3)+s.Wall(h, h/3), s.Wall(0, h); math.Abs(float64(got-want)) > 1e-6*float64(want) {
				t.Errorf("two parts of the wall have %v, the whole %v", got, want)
			}
			const film = 0.02 * mm
			g, err := s.Grown(film)
			if err != nil {
				t.Fatal(err)
			}
			got := float64(g.Below(g.Height()) - s.Below(h))
			want := float64(s.Wall(0, h)+s.At(0).Area()) * float64(film)
			if math.Abs(got-want) > 0.02*want {
				t.Errorf("a film of %v has %v m³, wall and bottom say %v", film, got, want)
			}
			big := mould.Scaled(s, 1.01, 1.02)
			if got, want := float64(big.Below(big.Height())), 1.01*1.01*1.02*float64(s.Below(h)); math.Abs(got-want) > 1e-8*want {
				t.Errorf("enlarged, it holds %v, want %v", got, want)
			}
		})
	}
}

// families are solids of every family.
func families(t testing.TB) map[string]mould.Solid {
	t.Helper()
	one := func(s mould.Solid, err error) mould.Solid { return ok(t, s, err) }
	out := map[string]mould.Solid{}
	for name, o := range figures(t) {
		out["upright "+name] = one(mould.NewPrism(o, 45*mm, 0))
		if name != "bezier" && name != "ring" {
			out["leaning "+name] = one(mould.NewPrism(o, 45*mm, 5*mm))
		}
	}
	ring := one(mould.Round(230*mm, 200*mm, 80*mm))
	out["tube"] = one(mould.NewTube(ring, []mould.ProfilePoint{{R: 40 * mm}, {R: 30 * mm, Z: 80 * mm}}))
	out["fluted tube"] = one(mould.NewTube(one(mould.NewFlutes(200*mm, 160*mm, 80*mm, 5*mm, 16)), []mould.ProfilePoint{{R: 30 * mm}, {R: 25 * mm, Z: 80 * mm}}))
	out["savarin"] = one(mould.NewSavarin(120*mm, 25*mm, 0))
	out["savarin with a wall"] = one(mould.NewSavarin(120*mm, 25*mm, 35*mm))
	out["round log"] = one(mould.RoundLog(80*mm, 70*mm, 40*mm, 250*mm))
	out["log"] = one(mould.NewLog([]mould.ProfilePoint{{R: 20 * mm}, {R: 35 * mm, Z: 30 * mm}, {R: 35 * mm, Z: 60 * mm}}, 300*mm))
	oval := one(mould.NewBowl(figures(t)["ellipse"], 25*mm))
	out["bowl"] = oval
	return out
}

func TestRefusedShapes(t *testing.T) {
	t.Parallel()
	nan := unit.Length(math.NaN())
	ring, err := mould.Ring(100*mm, 40*mm)
	s := ok(t, ring, err)
	for name, call := range map[string]func() error{
		"no points": func() error { _, err := mould.NewOutline(nil); return err },
		"NaN":       func() error { _, err := mould.NewOutline([]mould.OutlinePoint{{X: nan}, {X: mm}, {Y: mm}}); return err },
		"flat arc": func() error {
			_, err := mould.NewOutline([]mould.OutlinePoint{{}, {X: 100 * mm, Bulge: 10 * mm}, {Y: 50 * mm}})
			return err
		},
		"two sides":     func() error { _, err := mould.RegularPolygon(2, 50*mm, 0); return err },
		"no ellipse":    func() error { _, err := mould.Ellipse(0, 50*mm); return err },
		"deep flutes":   func() error { _, err := mould.Fluted(100*mm, 40*mm, 8); return err },
		"whole wedge":   func() error { _, err := mould.Sector(100*mm, 360); return err },
		"no height":     func() error { _, err := mould.NewPrism(figures(t)["heart"], 0, 0); return err },
		"walls meet":    func() error { _, err := mould.NewPrism(figures(t)["heart"], 40*mm, 60*mm); return err },
		"empty outline": func() error { _, err := mould.NewPrism(mould.Outline{}, 40*mm, 0); return err },
		"wide tube": func() error {
			_, err := mould.NewTube(s, []mould.ProfilePoint{{R: 50 * mm}, {R: 50 * mm, Z: 40 * mm}})
			return err
		},
		"low tube": func() error {
			_, err := mould.NewTube(s, []mould.ProfilePoint{{R: 10 * mm}, {R: 10 * mm, Z: 30 * mm}})
			return err
		},
		"closed savarin":    func() error { _, err := mould.NewSavarin(50*mm, 25*mm, 0); return err },
		"low savarin":       func() error { _, err := mould.NewSavarin(100*mm, 25*mm, 20*mm); return err },
		"log of no length":  func() error { _, err := mould.RoundLog(80*mm, 70*mm, 40*mm, nan); return err },
		"bowl of no height": func() error { _, err := mould.NewBowl(mould.Circle(50*mm), 0); return err },
	} {
		if err := call(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// Random polygons drawn as stars are compared with a count of a grid, upright and leaning.
func TestRandomStars(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "corners")
		points := make([]mould.OutlinePoint, n)
		for i := range points {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r := unit.Length(rapid.Float64Range(35, 90).Draw(t, "r")) * mm
			points[i] = mould.OutlinePoint{X: r * unit.Length(c), Y: r * unit.Length(s)}
		}
		o, err := mould.NewOutline(points)
		if err != nil {
			t.Fatal(err)
		}
		by := unit.Length(rapid.Float64Range(-10, 10).Draw(t, "inset")) * mm
		in := o.Inset(by)
		if in.Empty() {
			return
		}
		const grid = 150
		w, d := 2*in.Width, 2*in.Depth
		count := 0
		for i := range grid {
			for j := range grid {
				if in.Contains(w*unit.Length((float64(i)+0.5)/grid-0.5), d*unit.Length((float64(j)+0.5)/grid-0.5)) {
					count++
				}
			}
		}
		got, want := float64(in.Area()), float64(w*d)*float64(count)/(grid*grid)
		if math.Abs(got-want) > 0.04*want+4e-5 {
			t.Fatalf("%v in: area %v, the grid says %v", by, got, want)
		}
		if gap := o.Clearance(in); by > 0 && math.Abs(float64(gap-by)) > 1e-4 {
			t.Fatalf("%v in: the gap is %v", by, gap)
		}
	})
}
