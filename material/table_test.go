package material

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chablon/unit"
)

// A table gives back heat, conductivity and ice of its food to 1e-4 of their range, its heat rises
// with temperature, and At undoes Heat. No figure is not a number, whatever the food.
func TestTable(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		x := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		water := x("water", 0, 1)
		sugar := (1 - water) * x("sugar", 0, 1)
		c := food(water, 0, 1-water-sugar, sugar, sugar, 0, 0)
		if rapid.Bool().Draw(r, "spirit") {
			c = syrup(Alcohol, x("alcohol", 0, .95))
		}
		f, err := c.Thermal(x("air", 0, .95))
		if err != nil {
			r.Fatal(err)
		}
		table, err := f.Table()
		if err != nil {
			r.Fatal(err)
		}
		rho, water := float64(table.Density()), f.WaterFraction()
		span := rho * float64(f.Enthalpy(150))
		first, _ := f.FreezingPoint()
		for range 20 {
			at := unit.Celsius(x("t", -40, 150))
			if first > -0.05 && at <= 0 && at > -0.05 {
				continue // nearly pure water
			}
			heat := rho * float64(f.Enthalpy(at))
			if got := table.Heat(at); !(math.Abs(got-heat) <= 1e-4*span) {
				r.Fatalf("heat at %g: %g, want %g", at, got, heat)
			}
			back, slope, k, _ := table.At(table.Heat(at))
			if !(math.Abs(back-at.Celsius()) < 1e-6) || !(slope > 0) {
				r.Fatalf("at %g: back %g, slope %g", at, back, slope)
			}
			if want := float64(f.Conductivity(at)); !(math.Abs(k-want) <= 1e-4*math.Max(float64(f.Conductivity(-40)), float64(f.Conductivity(20)))) {
				r.Fatalf("k at %g: %g, want %g", at, k, want)
			}
			if got := table.Ice(heat); !(got >= -1e-12 && got <= water+1e-9) || math.Abs(got-f.IceFraction(at)) > 1e-3 {
				r.Fatalf("ice at %g: %g, want %g", at, got, f.IceFraction(at))
			}
		}
	})
}

func TestTableGoesOn(t *testing.T) {
	table, err := thermal(t, food(.6, .04, .2, .15, .1, 0, .01), 0).Table()
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []unit.Temperature{-90, -40, 150, 180} {
		back, slope, k, _ := table.At(table.Heat(at))
		if math.Abs(back-at.Celsius()) > 1e-6 || slope <= 0 || k <= 0 {
			t.Errorf("%g: %g, slope %g, k %g", at, back, slope, k)
		}
	}
	if n := testing.AllocsPerRun(100, func() { table.At(1e8) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

// The integral of the conductivity rises by it times the rise of temperature, whatever the way.
func TestTableFlux(t *testing.T) {
	x := thermal(t, food(.6, .04, .2, .15, .1, 0, .01), .3)
	table, err := x.Table()
	if err != nil {
		t.Fatal(err)
	}
	const steps = 20000
	low, high := -30.0, 30.0
	sum := 0.0
	for i := range steps {
		sum += float64(x.Conductivity(unit.Celsius(low+(high-low)*(float64(i)+.5)/steps))) * (high - low) / steps
	}
	_, _, _, a := table.At(table.Heat(unit.Celsius(low)))
	_, _, _, b := table.At(table.Heat(unit.Celsius(high)))
	if math.Abs((b-a)/sum-1) > 1e-4 {
		t.Errorf("got %g, want %g", b-a, sum)
	}
}

func TestNewTableRefuses(t *testing.T) {
	good := []TablePoint{{-20, 0, 1, .5}, {20, 1e5, .5, 0}}
	if _, err := NewTable(1000, .8, good); err != nil {
		t.Error(err)
	}
	for name, change := range map[string]func(p []TablePoint){
		"enthalpy falls":   func(p []TablePoint) { p[1].Enthalpy = -1 },
		"same temperature": func(p []TablePoint) { p[1].Temperature = -20 },
		"no conductivity":  func(p []TablePoint) { p[1].Conductivity = 0 },
		"too much ice":     func(p []TablePoint) { p[0].Ice = .9 },
		"not a number":     func(p []TablePoint) { p[0].Enthalpy = unit.SpecificEnergy(math.NaN()) },
	} {
		p := append([]TablePoint(nil), good...)
		change(p)
		if _, err := NewTable(1000, .8, p); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := NewTable(0, .8, good); err == nil {
		t.Error("no density: no error")
	}
}

func BenchmarkTableMake(b *testing.B) {
	x := thermal(b, food(.58, .045, .18, .1875, .16, .0, .0075), .45)
	for b.Loop() {
		_, _ = x.Table()
	}
}

func BenchmarkTableAt(b *testing.B) {
	x := thermal(b, food(.58, .045, .18, .1875, .16, .0, .0075), .45)
	table, err := x.Table()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(table.nodes)), "points")
	heat, step := table.Heat(-20), (table.Heat(10)-table.Heat(-20))/1000
	for b.Loop() {
		for i := range 1000 {
			_, _, _, _ = table.At(heat + step*float64(i))
		}
	}
}
