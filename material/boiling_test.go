package material

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"chablon/unit"
)

// boilingChecks are the rows of testdata/checks.csv on boiling.
func boilingChecks(t *testing.T) map[string]float64 {
	temperature := func(v unit.Temperature, err error) float64 { return must[unit.Temperature](t)(v, err).Celsius() }
	at := func(b Brix) float64 { return temperature(SyrupBoilingPoint(b, Atmosphere)) }
	water := temperature(WaterBoilingPoint(Atmosphere))
	height := func(m unit.Length) float64 {
		return temperature(WaterBoilingPoint(must[Pressure](t)(PressureAt(m * unit.Metre))))
	}
	return map[string]float64{
		"SW-065": water, "SW-066": must[Pressure](t)(SaturationPressure(unit.Celsius(300 - 273.15))).Kilopascals(),
		"SW-067": height(1000), "SW-068": height(2000), "SW-069": height(3000),
		"SW-070": at(50) - water, "SW-071": at(60) - water, "SW-072": at(70) - water, "SW-073": at(80) - water,
		"SW-074": at(50), "SW-075": at(60), "SW-076": at(70), "SW-077": at(80),
		"SW-078": at(80), "SW-079": at(85), "SW-080": at(87), "SW-081": at(92), "SW-082": at(95),
		"SW-096": must[unit.Mass](t)(BoilOff(unit.Kilogram, 50, 80)).Grams(),
	}
}

// IAPWS-IF97 verification values of region 4 at 500 and 600 K, from memory: 2.63889776 and 12.3443146 MPa.
func TestSaturationPressure(t *testing.T) {
	for kelvin, want := range map[float64]float64{500: 2638.89776, 600: 12344.3146} {
		if got := must[Pressure](t)(SaturationPressure(unit.Celsius(kelvin - 273.15))).Kilopascals(); math.Abs(got/want-1) > 1e-8 {
			t.Errorf("%g K: %.6f kPa, want %.6f", kelvin, got, want)
		}
	}
}

// The model of Starzak & Peacock with IF97 at 98 % and at 1600 m, grid of the reference table: 154.2 at
// sea level; thread 103.9, soft ball 108.3, firm ball 111.0, soft crack 133.0 and hard crack 147.2 at 1600 m.
func TestBoilingAtHeight(t *testing.T) {
	high := must[Pressure](t)(PressureAt(1600 * unit.Metre))
	for _, c := range []struct {
		b    Brix
		p    Pressure
		want float64
	}{
		{98, Atmosphere, 154.2}, {80, high, 103.9}, {85, high, 108.3}, {87, high, 111.0}, {95, high, 133.0}, {98, high, 147.2},
	} {
		if got := must[unit.Temperature](t)(SyrupBoilingPoint(c.b, c.p)).Celsius(); math.Abs(got-c.want) > 0.06 {
			t.Errorf("%v Bx at %.1f kPa: %.2f, want %.1f", c.b, c.p.Kilopascals(), got, c.want)
		}
	}
}

// A stronger syrup boils hotter, a lower pressure boils it colder, and a temperature leads back to the
// concentration.
func TestBoilingTurnsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Brix(rapid.Float64Range(1, 98.5).Draw(t, "Bx"))
		p := Pressure(rapid.Float64Range(60, 110).Draw(t, "kPa")) * Kilopascal
		at, err := SyrupBoilingPoint(b, p)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := BoiledTo(at, p); err != nil || math.Abs(float64(back-b)) > 1e-3 {
			t.Fatalf("%v Bx boils at %v, which leads back to %v, %v", b, at, back, err)
		}
		if more, err := SyrupBoilingPoint(b+0.3, p); err != nil || more <= at {
			t.Fatalf("%v Bx boils at %v, %v Bx at %v, %v", b, at, b+0.3, more, err)
		}
		if lower, err := SyrupBoilingPoint(b, p*0.99); err != nil || lower >= at {
			t.Fatalf("at less pressure it boils at %v instead of %v, %v", lower, at, err)
		}
	})
}

// The model lies inside or within 1.5 K of every stage that charts give, at the least of the chart's
// sugar.
func TestStagesAgreeWithModel(t *testing.T) {
	for _, s := range SugarStages() {
		if s.Sugar.High > 99 {
			continue
		}
		at := must[unit.Temperature](t)(SyrupBoilingPoint(Brix(s.Sugar.Low), Atmosphere))
		if at < s.Low-1.5 || at > s.High+1.5 {
			t.Errorf("%s: the model boils at %.1f, charts say %v to %v", s.Name, at, s.Low, s.High)
		}
	}
}

func TestStageAt(t *testing.T) {
	for at, want := range map[unit.Temperature]string{118: "firm ball", 121: "hard ball", 150: "hard crack", 165: "caramel", 111: "thread"} {
		if s, ok := StageAt(at); !ok || s.Name != want {
			t.Errorf("%v: %q, want %q", at, s.Name, want)
		}
	}
	if s, ok := StageAt(117); ok {
		t.Errorf("117 degC is between stages, got %q", s.Name)
	}
	high := must[Pressure](t)(PressureAt(1600 * unit.Metre))
	for _, s := range SugarStages() {
		if low, top, err := s.At(Atmosphere); err != nil || math.Abs(float64(low-s.Low)) > 1e-3 || math.Abs(float64(top-s.High)) > 1e-3 {
			t.Errorf("%s at sea level: %v to %v, %v", s.Name, low, top, err)
		}
		low, top, err := s.At(high)
		if down := float64(s.Low - low); err != nil || s.Name != "caramel" && (down < 5 || down > 7.5) || top < low {
			t.Errorf("%s at 1600 m: %v to %v, %v", s.Name, low, top, err)
		}
		if _, _, err := s.At(0); err == nil {
			t.Errorf("%s boils in a vacuum", s.Name)
		}
	}
}

// A syrup as a composition boils where the syrup by its Brix does; milk hardly above water.
func TestCompositionBoils(t *testing.T) {
	want := must[unit.Temperature](t)(SyrupBoilingPoint(70, Atmosphere))
	if got := must[unit.Temperature](t)(syrup(Sucrose, .7).BoilingPoint(Atmosphere, Solutes{})); math.Abs(float64(got-want)) > 1e-6 {
		t.Errorf("got %v, want %v", got, want)
	}
	for _, c := range []Composition{{}, food(0, 0, 1, 0, 0, 0, 0), syrup(Alcohol, .1)} {
		if at, err := c.BoilingPoint(Atmosphere, Solutes{}); err == nil {
			t.Errorf("%v boils at %v", c, at)
		}
	}
}

func TestBoilingRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, x := range []float64{nan, inf, -inf, -1, 1e9} {
		_, e1 := SaturationPressure(unit.Celsius(x))
		_, e2 := PressureAt(unit.Length(x * 1000))
		_, e3 := WaterBoilingPoint(Pressure(x))
		_, e4 := SyrupBoilingPoint(50, Pressure(x))
		_, e5 := SyrupBoilingPoint(Brix(x), Atmosphere)
		_, e6 := BoiledTo(unit.Celsius(x), Atmosphere)
		_, e7 := BoiledTo(120, Pressure(min(x, 0)))
		_, e8 := BoilOff(unit.Mass(x), 50, 80)
		_, e9 := BoilOff(1, Brix(x), 80)
		_, e10 := BoilOff(1, 50, Brix(x))
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9, e10} {
			if err == nil {
				t.Errorf("function %d takes %g", i+1, x)
			}
		}
	}
	if b, err := BoiledTo(90, Atmosphere); err == nil {
		t.Errorf("a syrup of %v boils at 90 degC", b)
	}
	if b, err := BoiledTo(200, Atmosphere); err == nil {
		t.Errorf("a syrup of %v boils at 200 degC", b)
	}
	if _, err := BoilOff(1, 80, 50); err == nil {
		t.Error("boiling off thins a syrup")
	}
}

func ExampleBoiledTo() {
	high, err := PressureAt(1600 * unit.Metre)
	if err != nil {
		fmt.Println(err)
		return
	}
	sea, _ := BoiledTo(118, Atmosphere)
	hill, _ := SyrupBoilingPoint(sea, high)
	fmt.Printf("118 °C is %.0f %% of sugar at sea level; the same syrup boils at %.0f °C at 1600 m\n", float64(sea), hill.Celsius())
	// Output: 118 °C is 88 % of sugar at sea level; the same syrup boils at 112 °C at 1600 m
}
