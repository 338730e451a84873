package heat

import (
	"errors"
	"math"
	"testing"
	"time"

	"chablon/unit"
)

// wedgeOf is one of equal parts of a disc of plain food, 1 m in radius.
func wedgeOf(t testing.TB, parts, radii, angles int) *Field {
	t.Helper()
	g, err := WedgeGrid(DiscGrid(equal(1, radii), equal(1, 1)), parts, angles)
	if err != nil {
		t.Fatal(err)
	}
	return field(t, g, plain(t, 1, 1e6), 90)
}

// A sector of angle 2π/n whose wall and cuts are held cold decays, in the end, at j² α/R² with j the
// first zero of the Bessel function of order n/2 (Carslaw & Jaeger, Conduction of Heat in Solids, section
// 7.8: order π/angle). Zeros of whole orders: 3.83171, 5.13562, 6.38016, 7.58834 (Abramowitz & Stegun table
// 9.5). Half a per cent with 20 cells along the radius.
func TestWedgeAgainstBessel(t *testing.T) {
	for parts, zero := range map[int]float64{2: 3.83171, 4: 5.13562, 6: 6.38016, 8: 7.58834} {
		f := wedgeOf(t, parts, 20, 60/parts)
		s := insulated(Around(0, Boundary{Air: 0, Transfer: 1e5}))
		want := zero * zero * 1e-6 // 1/s
		first, last := 5/want, 6/want
		r := run(t, f, []Stage{s}, Criterion{}, Options{
			Limit: time.Duration(last * 1e9), Tolerance: 5e-6,
			Maps: []time.Duration{time.Duration(first * 1e9)},
		})
		mean := func(at float64) float64 {
			for _, x := range r.Curve {
				if math.Abs(x.Time.Seconds()-at) < 1 {
					return float64(x.Mean)
				}
			}
			t.Fatalf("no sample at %g s", at)
			return 0
		}
		if got := math.Log(mean(first)/mean(last)) / (last - first); math.Abs(got/want-1) > 0.005 {
			t.Errorf("one of %d: decay %.4g/s, want %.4g", parts, got, want)
		}
	}
}

// A wedge has its part of the body's volume and wall, and two cuts; its core lies where a circle touches
// them. Half of it is divided.
func TestWedgeMesh(t *testing.T) {
	for _, parts := range []int{2, 3, 8, 16} {
		f := wedgeOf(t, parts, 20, 60)
		if got, want := f.mesh.whole, math.Pi/float64(2*parts); math.Abs(got/want-1) > 1e-12 {
			t.Errorf("one of %d: volume %g, want %g", parts, got, want)
		}
		want := 2*math.Pi/float64(2*parts) + 1 + 2*math.Pi/float64(2*parts) // wall, one cut, both ends
		if got := f.mesh.surface; math.Abs(got/want-1) > 1e-12 {
			t.Errorf("one of %d: surface %g, want %g", parts, got, want)
		}
		c := float64(f.grid.middle().X)
		if off := c*math.Sin(math.Pi/float64(parts)) - (1 - c); math.Abs(off) > 1e-12 {
			t.Errorf("one of %d: core at %g", parts, c)
		}
	}
	dome := TurnedGrid(equal(.1, 20), equal(.1, 20), func(z unit.Length) (unit.Length, unit.Length) {
		return 0, unit.Length(math.Sqrt(math.Max(0, .01-float64(z*z))))
	})
	g, err := WedgeGrid(dome, 6, 5)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := g.mesh().whole, 2*math.Pi/3*1e-3/12; math.Abs(got/want-1) > 0.003 {
		t.Errorf("part of a dome: volume %g, want %g", got, want)
	}
	var input *InputError
	for _, bad := range []struct {
		g             Grid
		parts, angles int
	}{{dome, 1, 5}, {dome, 65, 5}, {dome, 6, 0}, {BoxGrid(equal(1, 2), equal(1, 2), equal(1, 2), true), 6, 5}} {
		if _, err := WedgeGrid(bad.g, bad.parts, bad.angles); !errors.As(err, &input) {
			t.Errorf("one of %d with %d angles: %v, want an *InputError", bad.parts, bad.angles, err)
		}
	}
}
