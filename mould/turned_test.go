package mould_test

import (
	"math"
	"testing"

	"chablon/mould"
	"chablon/unit"
)

// Low fills of arcs, where a careless closed form loses its digits. The wanted volumes are
// series for small t, by hand, in millimetres.
func TestArcNearItsStart(t *testing.T) {
	t.Parallel()
	volume := func(z float64, points ...mould.ProfilePoint) float64 {
		s, err := mould.NewTurned(points)
		return float64(ok(t, s, err).Below(unit.Length(z)*mm)) * 1e9
	}
	check := func(name string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 1e-11*want) {
			t.Errorf("%s: got %.15g mm³, want %.15g", name, got, want)
		}
	}
	// Circle of radius 50 about (-30, 40), through the axis at (0, 0): there dr/dz = 4/3 and
	// d²r/dz² = -50²/30³, so r = 4/3 t - 5/108 t² and V = π (16/27 t³ - 5/162 t⁴).
	const low = 1e-6
	check("tip on the axis", volume(low, mould.ProfilePoint{}, mould.ProfilePoint{R: 20 * mm, Z: 40 * mm, Arc: 50 * mm}),
		math.Pi*(16./27*low*low*low-5./162*low*low*low*low))
	// Quarter circle of radius a beside a bottom of radius c: r = c + sqrt(2 a t - t²), and
	// V = π (c² t + 2 c sqrt(2a) (2/3 t^1.5 - t^2.5/(10 a)) + a t² - t³/3).
	for _, y := range []float64{1e-9, 1e-6, 1e-4} {
		const a, c = 80., 0.1
		want := math.Pi * (c*c*y + 2*c*math.Sqrt(2*a)*(2./3*math.Pow(y, 1.5)-math.Pow(y, 2.5)/(10*a)) + a*y*y - y*y*y/3)
		check("beside a small bottom", volume(y, mould.ProfilePoint{R: c * mm}, mould.ProfilePoint{R: (a + c) * mm, Z: a * mm, Arc: a * mm}), want)
	}
	// The same quarter circle higher up, against quadrature of its area.
	s, err := mould.NewTurned([]mould.ProfilePoint{{R: 5 * mm}, {R: 85 * mm, Z: 80 * mm, Arc: 80 * mm}})
	ok(t, s, err)
	for _, y := range []unit.Length{0.5 * mm, 2 * mm, 4 * mm, 30 * mm} {
		if got, want := float64(s.Below(y)), quadrature(s, y); !(math.Abs(got-want) <= 1e-9*want) {
			t.Errorf("below %v: got %.12g, quadrature gives %.12g", y, got, want)
		}
	}
}

// A ledge belongs to the wall above it. By hand: 2π 85·30, then π (90² - 85²) + 2π 90·15 mm².
func TestLedge(t *testing.T) {
	t.Parallel()
	s, err := mould.NewTurned([]mould.ProfilePoint{{R: 85 * mm}, {R: 85 * mm, Z: 30 * mm}, {R: 90 * mm, Z: 30 * mm}, {R: 90 * mm, Z: 45 * mm}})
	ok(t, s, err)
	under, over := 2*math.Pi*85*30, math.Pi*(90*90-85*85)+2*math.Pi*90*15
	for _, c := range []struct {
		from, to unit.Length
		want     float64
	}{{0, 30 * mm, under}, {30 * mm, 45 * mm, over}, {45 * mm, 0, under + over}} {
		if got := float64(s.Wall(c.from, c.to)) * 1e6; !(math.Abs(got-c.want) <= 1e-12*c.want) {
			t.Errorf("wall from %v to %v: got %v mm², want %v", c.from, c.to, got, c.want)
		}
	}
	if got := s.At(30 * mm).Width.Millimetres(); math.Abs(got-180) > 1e-9 {
		t.Errorf("on the ledge the outline is %v mm wide, want the one above, 180", got)
	}
}

// A frame whose walls lean 3 in 4: square to the wall 2 mm are 2.5 mm measured level (a 3-4-5
// triangle), so the rim becomes 300 + 5 by 200 + 5 with corners of 40 + 2.5, 42 high, and its
// bottom, 42·3/4 further in, 242 by 142 with corners of 11 mm.
func TestGrownFrame(t *testing.T) {
	t.Parallel()
	s, err := mould.Frame(300*mm, 200*mm, 40*mm, 40*mm, 30*mm)
	ok(t, s, err)
	g, err := s.Grown(2 * mm)
	ok(t, g, err)
	for _, c := range []struct {
		z    unit.Length
		want mould.Outline
	}{{42 * mm, mould.Rectangle(305*mm, 205*mm, 42.5*mm)}, {0, mould.Rectangle(242*mm, 142*mm, 11*mm)}} {
		got := g.At(c.z)
		for name, pair := range map[string][2]unit.Length{"width": {got.Width, c.want.Width}, "depth": {got.Depth, c.want.Depth}, "corner": {got.Corner, c.want.Corner}, "height": {g.Height(), 42 * mm}} {
			if math.Abs(float64(pair[0]-pair[1])) > 1e-12 {
				t.Errorf("at %v the %s is %v, want %v", c.z, name, pair[0], pair[1])
			}
		}
	}
}
