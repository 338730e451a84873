package material

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chablon/unit"
)

// Of a food by a few figures: Temperature undoes Enthalpy, which rises by SpecificHeat.
func TestSimple(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		x := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		water := x("water", .1, 1)
		s := Simple{water, water * x("bound", 0, .3), unit.Celsius(x("first", -10, -.2))}
		if err := s.Validate(); err != nil {
			r.Fatal(err)
		}
		at := unit.Celsius(x("t", -39, 60))
		if back := s.Temperature(s.Enthalpy(at)); math.Abs(float64(back-at)) > 1e-6 {
			r.Fatalf("%g comes back as %g", float64(at), float64(back))
		}
		const d = 1e-4
		if (at-s.First) > -2*d && at-s.First < 2*d {
			return
		}
		slope := float64(s.Enthalpy(at+d)-s.Enthalpy(at-d)) / (2 * d)
		if want := float64(s.SpecificHeat(at)); math.Abs(slope/want-1) > 1e-3 {
			r.Fatalf("slope %g at %g, want %g", slope, float64(at), want)
		}
	})
	for _, bad := range []Simple{{1.2, 0, -1}, {.5, .6, -1}, {.5, 0, 0}, {.5, 0, -50}, {math.NaN(), 0, -1}} {
		if bad.Validate() == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
}

// Conductivity lies between its bounds, and Temperature undoes Enthalpy, whatever the food.
func TestThermalInverseAndBounds(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		x := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		water := x("water", 0, 1)
		sugar := (1 - water) * x("sugar", 0, 1)
		f, err := food(water, 0, 1-water-sugar, sugar, sugar, 0, 0).Thermal(x("air", 0, .95))
		if err != nil {
			r.Fatal(err)
		}
		at := unit.Celsius(x("t", -40, 150))
		low, high := f.ConductivityBounds(at)
		for _, k := range []unit.Conductivity{f.Conductivity(at), f.WithClosedCells().Conductivity(at)} {
			if k < low*(1-1e-9) || k > high*(1+1e-9) {
				r.Fatalf("%g at %g, outside %g to %g", float64(k), float64(at), float64(low), float64(high))
			}
		}
		back, err := f.Temperature(f.Enthalpy(at))
		if err != nil || math.Abs(float64(back-at)) > 1e-5 {
			r.Fatalf("%g comes back as %g (%v)", float64(at), float64(back), err)
		}
	})
	if _, err := thermal(t, food(.6, .04, .2, .15, .1, 0, .01), 0).Temperature(-1); err == nil {
		t.Error("an enthalpy below -40 degC has a temperature")
	}
	if _, err := (Thermal{}).Temperature(0); err == nil {
		t.Error("no food has a temperature")
	}
}
