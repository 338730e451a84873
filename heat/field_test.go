package heat

import (
	"math"
	"testing"
	"time"

	"chablon/material"
	"chablon/unit"
)

// plain is a food of constant conductivity, W/(m K), and volumetric heat capacity, J/(m3 K).
func plain(t testing.TB, k, capacity float64) *material.Table {
	t.Helper()
	return table(t, 1000, 0, material.TablePoint{Temperature: -100, Conductivity: unit.Conductivity(k)},
		material.TablePoint{Temperature: 100, Enthalpy: unit.SpecificEnergy(capacity / 1000 * 200), Conductivity: unit.Conductivity(k)})
}

func table(t testing.TB, density unit.Density, water float64, points ...material.TablePoint) *material.Table {
	t.Helper()
	x, err := material.NewTable(density, water, points)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func field(t testing.TB, g Grid, food *material.Table, start unit.Temperature) *Field {
	t.Helper()
	f, err := NewField(g, []*material.Table{food}, func(Point) Cell { return Cell{0, start} })
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func run(t testing.TB, f *Field, stages []Stage, until Criterion, o Options) Run {
	t.Helper()
	r, err := f.Run(t.Context(), stages, until, o)
	if err != nil {
		t.Fatal(err)
	}
	if !(r.EnergyError <= 1e-6) {
		t.Errorf("energy error %g", r.EnergyError)
	}
	return r
}

// equal returns n+1 edges from 0 to length.
func equal(length float64, n int) []unit.Length {
	out := make([]unit.Length, n+1)
	for i := range out {
		out[i] = unit.Length(length * float64(i) / float64(n))
	}
	return out
}

// insulated closes the flat ends of a stage.
func insulated(s Stage) Stage {
	s.Bottom.Transfer, s.Top.Transfer = 0, 0
	return s
}

// Bodies of constant properties cool as the series of Carslaw & Jaeger say (rows FC-038, 041, 043, 044,
// 045, 047 of testdata/checks.csv, and their products), each to 0.1 %.
func TestFieldSeries(t *testing.T) {
	m := plain(t, 1, 1e6) // diffusivity 1e-6 m2/s: a Fourier number of 1 for R = 1 m is 1e6 s
	all := func(h float64) Stage { return Around(0, Boundary{Air: 0, Transfer: unit.HeatTransfer(h)}) }
	half := func(h float64) Stage { s := all(h); s.Bottom.Transfer = 0; return s }
	slab := func(bi, fo float64) float64 { return left(planar, bi, fo, 0) }
	foot := &Point{}
	for _, c := range []struct {
		name string
		g    Grid
		s    Stage
		fo   float64
		core *Point
		want float64
	}{
		{"slab, both faces", SlabGrid(equal(2, 40)), all(1), .5, nil, 0.772526},
		{"slab, one face", SlabGrid(equal(1, 40)), half(10), .2, foot, 0.829255},
		{"long cylinder", DiscGrid(equal(1, 40), equal(1, 1)), insulated(all(2)), .3, nil, 0.619290},
		{"long cylinder, weak", DiscGrid(equal(1, 30), equal(1, 2)), insulated(all(1)), .5, nil, 0.548586},
		{"ball", BallGrid(equal(1, 40)), all(2), .3, nil, 0.429792},

		{"disc", DiscGrid(equal(1, 40), equal(1, 41)), all(2), .3, nil, 0.619290 * slab(1, 1.2)},
		{"quarter of a box", BoxGrid(equal(1, 20), equal(1, 20), equal(2, 40), true), all(1), .3, nil, math.Pow(slab(1, .3), 3)},
		{"whole box", BoxGrid(equal(2, 25), equal(2, 25), equal(2, 25), false), all(1), .3, nil, math.Pow(slab(1, .3), 3)},
	} {
		r := run(t, field(t, c.g, m, 1), []Stage{c.s}, Criterion{}, Options{
			Limit: time.Duration(c.fo * 1e6 * float64(time.Second)), Core: c.core, Tolerance: 2e-5,
		})
		if got := float64(r.Last().Core); !(math.Abs(got/c.want-1) <= 0.001) {
			t.Errorf("%s: got %.6f, want %.6f after %d steps", c.name, got, c.want, r.Steps)
		}
	}
}

// The ring of row FC-047 and FC-048: radius 90 mm, half height 22.5 mm, 3600 s, from 40 degC in air of
// 3 degC: 29.5678 degC at the centre. 0.1 % of the difference of 37 K.
func TestFieldRing(t *testing.T) {
	m := plain(t, .45, .45/1.3e-7)
	r := run(t, field(t, DiscGrid(equal(.09, 24), equal(.045, 20)), m, 40), []Stage{Around(0, Boundary{Air: 3, Transfer: 10})}, Criterion{}, Options{Limit: time.Hour, Tolerance: 1e-3})
	if got := float64(r.Last().Core); math.Abs(got-29.5678) > 0.037 {
		t.Errorf("got %g, want 29.5678", got)
	}
}

// A tube whose wall is thin against its radius cools as a slab: 100 mm of wall at 5 m, Bi 1, Fo 0.5
// (row FC-038), to 0.1 %.
func TestFieldTube(t *testing.T) {
	r := run(t, field(t, DiscGrid(Edges(unit.Length(.1/41), 4.9, 5), equal(1, 1)), plain(t, 1, 1e6), 1),
		[]Stage{insulated(Around(0, Boundary{Transfer: 20}))}, Criterion{}, Options{Limit: 1250 * time.Second, Tolerance: 2e-5})
	if got := float64(r.Last().Core); math.Abs(got/0.772526-1) > 0.001 {
		t.Errorf("got %g, want 0.772526", got)
	}
}

// A tube mould by its outline freezes as the same tube by its edges, its bore quicker than a bore that
// is closed; the core is the middle of the wall.
func TestFieldTubeMould(t *testing.T) {
	m := someFoods(t)[0]
	in, out, high := unit.Length(.03), unit.Length(.09), .06
	edges := field(t, DiscGrid(Edges(unit.Length(.006), in, out), equal(high, 10)), m, 10)
	outline := field(t, TurnedGrid(Edges(unit.Length(.006), 0, in, out), equal(high, 10), func(unit.Length) (unit.Length, unit.Length) { return in, out }), m, 10)
	s := Around(0, Boundary{Air: -25, Transfer: 15})
	closed := s
	closed.Bore.Transfer = 0
	core := &Point{X: (in + out) / 2, Z: unit.Length(high / 2)}
	a := run(t, edges, []Stage{s}, CoreBelow(-15), Options{})
	b := run(t, outline, []Stage{s}, CoreBelow(-15), Options{Core: core})
	c := run(t, edges, []Stage{closed}, CoreBelow(-15), Options{})
	if math.Abs(b.Time.Seconds()/a.Time.Seconds()-1) > 0.005 || c.Time.Seconds() < 1.1*a.Time.Seconds() {
		t.Errorf("by edges %v, by outline %v, bore closed %v", a.Time, b.Time, c.Time)
	}
}

// cutBall is a ball of radius 1 m cut out of a turned grid.
func cutBall(n int) Grid {
	return TurnedGrid(equal(1, n), equal(2, 2*n), func(z unit.Length) (unit.Length, unit.Length) {
		return 0, unit.Length(math.Sqrt(math.Max(0, float64(z*(2-z)))))
	})
}

// A ball cut out of a turned grid cools as its series says, to 0.3 % at the Biot numbers of a dome in a
// blast freezer (to 2) on 24 cells, to 1 % at 10.
func TestFieldCutBall(t *testing.T) {
	m := plain(t, 1, 1e6)
	for _, c := range []struct{ bi, tolerance float64 }{{.2, .003}, {.5, .003}, {2, .003}, {10, .01}} {
		r := run(t, field(t, cutBall(24), m, 1), []Stage{Around(0, Boundary{Air: 0, Transfer: unit.HeatTransfer(c.bi)})}, Criterion{}, Options{
			Limit: 3e5 * time.Second, Tolerance: 2e-5,
		})
		want := left(central, c.bi, .3, 0)
		if got := float64(r.Last().Core); !(math.Abs(got/want-1) <= c.tolerance) {
			t.Errorf("Bi %g: got %.6f, want %.6f", c.bi, got, want)
		}
	}
}

// The volume and surface of a ball, a cone and a tube mould cut out of a coarse grid are those of
// geometry: 4/3 pi and 4 pi; pi/3 and pi (1 + sqrt 2); the tube with its bore 2 pi (R + r) h of walls.
func TestTurnedGrid(t *testing.T) {
	for _, c := range []struct {
		name            string
		g               Grid
		volume, surface float64
	}{
		{"ball", cutBall(9), 4 * math.Pi / 3, 4 * math.Pi},
		{"cone", TurnedGrid(equal(1, 9), equal(1, 7), func(z unit.Length) (unit.Length, unit.Length) { return 0, 1 - z }), math.Pi / 3, math.Pi * (1 + math.Sqrt2)},
		{"tube", DiscGrid([]unit.Length{.2, .3, 1}, equal(.5, 3)), math.Pi * .96 * .5, 2*math.Pi*1.2*.5 + 2*math.Pi*.96},
		{"tube by outline", TurnedGrid([]unit.Length{0, .2, .3, 1}, equal(.5, 3), func(unit.Length) (unit.Length, unit.Length) { return .2, 1 }), math.Pi * .96 * .5, 2*math.Pi*1.2*.5 + 2*math.Pi*.96},
	} {
		m := c.g.mesh()
		if math.Abs(m.whole/c.volume-1) > 2e-3 || math.Abs(m.surface/c.surface-1) > 4e-3 {
			t.Errorf("%s: volume %g of %g, surface %g of %g", c.name, m.whole, c.volume, m.surface, c.surface)
		}
	}
}
