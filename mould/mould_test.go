package mould_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"chablon/mould"
	"chablon/unit"
)

// TestPans holds nominal volumes against published capacities (testdata/pans.csv, each row with
// its source). The charts round to whole cups, so what is held is the ratio of stated to
// nominal, row by row to its last digit, and the range and median of each group.
func TestPans(t *testing.T) {
	t.Parallel()
	ratios := map[string][]float64{}
	for _, row := range readTable(t, "pans.csv") {
		p := parameters(row["dimensions_mm"])
		var s mould.Solid
		var err error
		switch row["solid"] {
		case "cylinder":
			d := unit.Length(p["d"]) * mm
			s, err = mould.Round(d, d, unit.Length(p["h"])*mm)
		case "box":
			s, err = mould.Frame(unit.Length(p["a"])*mm, unit.Length(p["b"])*mm, unit.Length(p["h"])*mm, 0, 0)
		default:
			t.Fatalf("%s: solid %q", row["id"], row["solid"])
		}
		ok(t, s, err)
		if row["stated_unit"] != "cup" {
			t.Fatalf("%s: unit %q", row["id"], row["stated_unit"])
		}
		m := mould.Mould{Solid: s}
		got := float64(unit.Volume(number(t, row["stated"])) * unit.USCup / m.Capacity())
		if want := number(t, row["ratio"]); !(math.Abs(got-want) <= 0.0005001) {
			t.Errorf("%s, %s: stated over nominal is %.4f, want %.3f (%s)", row["id"], row["dimensions_mm"], got, want, row["source"])
		}
		ratios[row["group"]] = append(ratios[row["group"]], got)
	}
	for _, c := range []struct {
		group               string
		rows                int
		median, least, most float64
	}{
		{"chart", 15, 0.91, 0.77, 1.05},    // round, springform and square, "full to the rim"
		{"textbook", 13, 0.89, 0.73, 1.01}, // batter "allowing for rise"
	} {
		r := slices.Sorted(slices.Values(ratios[c.group]))
		if len(r) != c.rows {
			t.Fatalf("%s: %d rows, want %d", c.group, len(r), c.rows)
		}
		for name, pair := range map[string][2]float64{"median": {r[len(r)/2], c.median}, "least": {r[0], c.least}, "greatest": {r[len(r)-1], c.most}} {
			if math.Round(pair[0]*100) != math.Round(pair[1]*100) {
				t.Errorf("%s: %s ratio is %.3f, want %.2f", c.group, name, pair[0], pair[1])
			}
		}
	}
}

// Capacities in millilitres by the formulas of testdata/geometry.csv: π d² h/4, a b h, π d³/12.
func TestSizes(t *testing.T) {
	t.Parallel()
	want := map[string]float64{
		"ring-60x40": 113.1, "ring-160x45": 904.8, "ring-180x45": 1145.1, "ring-180x60": 1526.8, "ring-240x45": 2035.8,
		"insert-ring-160x20": 402.1, "half-spheres-30": 7.1, "half-spheres-70": 89.8, "half-spheres-80": 134.0,
		"frame-400x300x45": 5400, "frame-600x400x45": 10800, "sheet-600x400x10": 2400, "container-500x300x65": 9750,
		"round-pan-8in": 1647.4, "round-pan-9in": 2085.0,
	}
	seen := map[string]bool{}
	for _, m := range mould.Sizes() {
		if seen[m.ID] {
			t.Errorf("%s is listed twice", m.ID)
		}
		seen[m.ID] = true
		if err := m.Validate(); err != nil {
			t.Error(err)
		}
		if m.Name == "" || m.Material == "" || m.Role == "" {
			t.Errorf("%s lacks a name, material or role: %+v", m.ID, m)
		}
		if v, listed := want[m.ID]; listed && math.Abs(m.Capacity().Millilitres()-v) > 0.051 {
			t.Errorf("%s holds %.2f ml, want %.1f", m.ID, m.Capacity().Millilitres(), v)
		}
		delete(want, m.ID)
	}
	if len(want) > 0 {
		t.Errorf("not listed: %v", want)
	}
}

func TestWaterRatio(t *testing.T) {
	t.Parallel()
	s, err := mould.Frame(100*mm, 100*mm, 100*mm, 0, 0) // one litre
	m := mould.Mould{ID: "cube", Solid: ok(t, s, err), Cavities: 1}
	if r, given := m.WaterRatio(); given {
		t.Errorf("no water test, but a ratio of %v", r)
	}
	m.WaterTest = 948.29 * unit.Gram // 0.95 L at 0.9982 g/ml
	if r, given := m.WaterRatio(); !given || math.Abs(r-0.95) > 1e-12 {
		t.Errorf("got ratio %v, %v, want 0.95", r, given)
	}
	if got := m.Capacity().Millilitres(); math.Abs(got-1000) > 1e-9 {
		t.Errorf("the nominal capacity is %v ml, want 1000", got)
	}
	if err := m.Correct(); err != nil || math.Abs(m.Capacity().Millilitres()-950) > 1e-9 || m.Solid.Height() != 100*mm {
		t.Errorf("corrected, it holds %v ml at %v, %v; want 950 and the height as it was", m.Capacity().Millilitres(), m.Solid.Height(), err)
	}
	if r, given := m.WaterRatio(); !given || math.Abs(r-0.95) > 1e-12 {
		t.Errorf("corrected, the ratio is %v, %v, want 0.95 still", r, given)
	}
	if err := m.Correct(); err != nil || math.Abs(m.Capacity().Millilitres()-950) > 1e-9 {
		t.Errorf("corrected twice, it holds %v ml", m.Capacity().Millilitres())
	}
	for _, mass := range []unit.Mass{400 * unit.Gram, 1400 * unit.Gram} {
		slip := mould.Mould{ID: "cube", Solid: s, Cavities: 1, WaterTest: mass}
		if err := slip.Correct(); err == nil || !strings.Contains(err.Error(), "measure again") {
			t.Errorf("%v of water in a litre: %v", mass, err)
		}
	}
	bad := mould.Mould{ID: "bad", WaterTest: unit.Mass(math.NaN()), Wall: -1, Role: "vase"}
	err = bad.Validate()
	for _, part := range []string{"no shape", "cavities is 0", "water test is —", "wall is -1 m", `role is "vase"`} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("error %q does not say %q", err, part)
		}
	}
	if _, given := bad.WaterRatio(); given {
		t.Error("a water test that is not a number gives a ratio")
	}
}

// Every dimension of every constructor, one at a time, with values that no mould has.
func TestBadDimensions(t *testing.T) {
	t.Parallel()
	const zeroAllowed = true
	build := func(s mould.Solid, err error) error { return err }
	for _, c := range []struct {
		says string
		zero bool
		make func(l unit.Length) error
	}{
		{"ring diameter", false, func(l unit.Length) error { return build(mould.Ring(l, 45*mm)) }},
		{"ring height", false, func(l unit.Length) error { return build(mould.Ring(180*mm, l)) }},
		{"diameter at the rim", false, func(l unit.Length) error { return build(mould.Round(l, 100*mm, 45*mm)) }},
		{"diameter at the bottom", false, func(l unit.Length) error { return build(mould.Round(100*mm, l, 45*mm)) }},
		{"round pan height", false, func(l unit.Length) error { return build(mould.Round(100*mm, 100*mm, l)) }},
		{"dome diameter", false, func(l unit.Length) error { return build(mould.Dome(l, 0)) }},
		{"dome height", zeroAllowed, func(l unit.Length) error { return build(mould.Dome(160*mm, l)) }},
		{"frame width", false, func(l unit.Length) error { return build(mould.Frame(l, 300*mm, 45*mm, 0, 0)) }},
		{"frame depth", false, func(l unit.Length) error { return build(mould.Frame(400*mm, l, 45*mm, 0, 0)) }},
		{"frame height", false, func(l unit.Length) error { return build(mould.Frame(400*mm, 300*mm, l, 0, 0)) }},
		{"frame corner radius", zeroAllowed, func(l unit.Length) error { return build(mould.Frame(400*mm, 300*mm, 45*mm, l, 0)) }},
		{"frame draft", zeroAllowed, func(l unit.Length) error { return build(mould.Frame(400*mm, 300*mm, 45*mm, 0, l)) }},
		{"pan width at the bottom", false, func(l unit.Length) error {
			return build(mould.Tapered(mould.Rectangle(400*mm, 300*mm, 0), mould.Rectangle(l, 300*mm, 0), 45*mm))
		}},
		{"profile point 2 distance", false, func(l unit.Length) error {
			_, err := mould.NewTurned([]mould.ProfilePoint{{R: 50 * mm}, {R: l, Z: 45 * mm}, {R: 0, Z: 50 * mm}})
			if l == 0 { // a tip and then the axis
				return build(nil, err)
			}
			return err
		}},
		{"profile", false, func(l unit.Length) error {
			_, err := mould.NewTurned([]mould.ProfilePoint{{R: 50 * mm}, {R: 60 * mm, Z: l}})
			return err
		}},
		{"arc", zeroAllowed, func(l unit.Length) error {
			if l == 9 {
				l = 9 * mm // shorter than the chord needs; a large radius is only a flat arc
			}
			_, err := mould.NewTurned([]mould.ProfilePoint{{R: 50 * mm}, {R: 60 * mm, Z: 45 * mm, Arc: l}})
			return err
		}},
	} {
		for _, bad := range []float64{0, -0.1, math.NaN(), math.Inf(1), math.Inf(-1), 9} {
			if bad == 0 && c.zero {
				continue
			}
			err := c.make(unit.Length(bad))
			switch {
			case err == nil:
				t.Errorf("%s of %v: no error", c.says, bad)
			case strings.Contains(err.Error(), "NaN") || strings.Contains(err.Error(), "Inf"):
				t.Errorf("%s of %v: error %q shows a raw number", c.says, bad, err)
			case !strings.Contains(err.Error(), c.says) && !(c.says == "profile point 2 distance" && bad == 0):
				t.Errorf("%s of %v: error %q does not name it", c.says, bad, err)
			}
		}
	}
}

func TestErrorTexts(t *testing.T) {
	t.Parallel()
	turned := func(points ...mould.ProfilePoint) error {
		_, err := mould.NewTurned(points)
		return err
	}
	_, nine := mould.Ring(9, 45*mm)
	_, high := mould.Dome(160*mm, 100*mm)
	_, draft := mould.Frame(100*mm, 80*mm, 45*mm, 0, 40*mm)
	_, corner := mould.Frame(100*mm, 80*mm, 45*mm, 41*mm, 0)
	ring, err := mould.Ring(160*mm, 45*mm)
	_, over := mould.Level(ok(t, ring, err), 950*unit.Millilitre)
	_, below := mould.Level(ring, -5*unit.Millilitre)
	_, film := ring.Grown(-1 * mm)
	_, thick := ring.Grown(unit.Length(math.NaN()))
	_, vast := ring.Grown(2)
	groove, err := mould.NewTurned([]mould.ProfilePoint{{R: 50 * mm}, {R: 50 * mm, Z: 20 * mm}, {R: 40 * mm, Z: 20 * mm}, {R: 40 * mm, Z: 22 * mm}, {R: 50 * mm, Z: 22 * mm}, {R: 50 * mm, Z: 40 * mm}})
	_, closed := ok(t, groove, err).Grown(2 * mm)
	for _, c := range []struct {
		err  error
		want string
	}{
		{nine, "ring diameter is 9 m: a mould measures more than 0 and at most 3 m"},
		{high, "give at most 80 mm"},
		{draft, "half of the narrower side is 40 mm"},
		{corner, "give from 0 to half of the narrower side, 40 mm"},
		{over, "the volume to fill in is 950.0 ml, but the mould holds 904.8 ml"},
		{below, "the volume to fill in is −5.0 ml"},
		{film, "the thickness of the film is −1 mm"},
		{thick, "the thickness of the film is not a number"},
		{vast, "with a film of 2 m"},
		{closed, "a film of 2 mm closes a hollow"},
		{turned(mould.ProfilePoint{R: 50 * mm}), "the profile has 1 points"},
		{turned(mould.ProfilePoint{R: 50 * mm, Z: 1 * mm}, mould.ProfilePoint{R: 50 * mm, Z: 9 * mm}), "point 1 height is 1 mm"},
		{turned(mould.ProfilePoint{R: 50 * mm}, mould.ProfilePoint{R: 50 * mm, Z: 9 * mm}, mould.ProfilePoint{R: 60 * mm, Z: 8 * mm}), "point 3: its height 8 mm is below the 9 mm before it"},
		{turned(mould.ProfilePoint{R: 50 * mm}, mould.ProfilePoint{R: 40 * mm}, mould.ProfilePoint{R: 60 * mm, Z: 8 * mm}), "point 2: the bottom runs back"},
		{turned(mould.ProfilePoint{}, mould.ProfilePoint{Z: 8 * mm}), "runs along the axis"},
		{turned(mould.ProfilePoint{R: 50 * mm}, mould.ProfilePoint{R: 50 * mm, Z: 8 * mm}, mould.ProfilePoint{R: 60 * mm, Z: 8 * mm}), "point 3: the profile ends in a flat"},
		{turned(mould.ProfilePoint{R: 50 * mm}, mould.ProfilePoint{R: 50 * mm, Z: 8 * mm}, mould.ProfilePoint{R: 60 * mm, Z: 8 * mm}, mould.ProfilePoint{R: 55 * mm, Z: 8 * mm}, mould.ProfilePoint{R: 55 * mm, Z: 9 * mm}), "point 4: three points lie at the height 8 mm"},
		{turned(mould.ProfilePoint{R: 50 * mm}, mould.ProfilePoint{R: 60 * mm, Arc: 20 * mm}, mould.ProfilePoint{R: 60 * mm, Z: 8 * mm}), "point 2: the arc does not rise"},
		{turned(mould.ProfilePoint{}, mould.ProfilePoint{R: 60 * mm, Z: 20 * mm, Arc: 35 * mm}), "runs below its start or above its end"},
		{turned(mould.ProfilePoint{}, mould.ProfilePoint{R: 60 * mm, Z: 80 * mm, Arc: 30 * mm}), "give a radius of at least 50 mm"},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("got error %q, want one that says %q", c.err, c.want)
		}
	}
}

func TestOutline(t *testing.T) {
	t.Parallel()
	circle, sharp := mould.Circle(180*mm), mould.Rectangle(100*mm, 60*mm, 0)
	round := mould.Rectangle(100*mm, 60*mm, 10*mm)
	near := func(a, b mould.Outline) bool {
		const eps = 1e-12
		return math.Abs(float64(a.Width-b.Width)) < eps && math.Abs(float64(a.Depth-b.Depth)) < eps && math.Abs(float64(a.Corner-b.Corner)) < eps
	}
	for _, c := range []struct {
		name      string
		got, want mould.Outline
	}{
		{"circle in", circle.Inset(10 * mm), mould.Circle(160 * mm)},
		{"circle out", circle.Inset(-10 * mm), mould.Circle(200 * mm)},
		{"corner runs out", round.Inset(15 * mm), mould.Rectangle(70*mm, 30*mm, 0)},
		{"corner grows", round.Inset(-5 * mm), mould.Rectangle(110*mm, 70*mm, 15*mm)},
		{"sharp stays sharp", sharp.Inset(-5 * mm), mould.Rectangle(110*mm, 70*mm, 0)},
		{"nothing left", sharp.Inset(30 * mm), mould.Outline{}},
		{"not a number", sharp.Inset(unit.Length(math.NaN())), mould.Outline{}},
		{"infinite", sharp.Inset(unit.Length(math.Inf(-1))), mould.Outline{}},
	} {
		if !near(c.got, c.want) {
			t.Errorf("%s: got %+v, want %+v", c.name, c.got, c.want)
		}
	}
	if !circle.IsCircle() || !circle.Inset(7.3*mm).IsCircle() || sharp.IsCircle() || mould.Rectangle(100*mm, 60*mm, 30*mm).IsCircle() || (mould.Outline{}).IsCircle() {
		t.Error("circles are not told from rectangles")
	}
	if z := (mould.Outline{}); !z.Empty() || z.Area() != 0 || z.Perimeter() != 0 {
		t.Error("the zero outline is not empty")
	}
	// By hand: half the difference of diameters; and a square in a circle touches by its corner,
	// 90 mm - 50 √2 mm.
	if got := circle.Clearance(mould.Circle(160 * mm)).Millimetres(); math.Abs(got-10) > 1e-9 {
		t.Errorf("disc in ring: clearance %v mm, want 10", got)
	}
	if got := circle.Clearance(mould.Rectangle(100*mm, 100*mm, 0)).Millimetres(); math.Abs(got-(90-50*math.Sqrt2)) > 1e-9 {
		t.Errorf("square in ring: clearance %v mm", got)
	}
}
