package material

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/unit"
)

func named(t *testing.T, name string) Medium {
	t.Helper()
	m, ok := MediumNamed(name)
	if !ok {
		t.Fatalf("no medium %q", name)
	}
	return m
}

// held is a record of one temperature.
func held(at unit.Temperature, d time.Duration) History { return History{{0, at}, {d, at}} }

// safetyChecks are the rows of testdata/checks.csv on safety that are numbers.
func safetyChecks(t *testing.T) map[string]float64 {
	d60 := func(name string) float64 { return must[time.Duration](t)(named(t, name).D(60)).Minutes() }
	kill := func(name string, at unit.Temperature, d time.Duration) float64 {
		return must[float64](t)(named(t, name).Lethality(held(at, d)))
	}
	product := func(name string) EggProduct {
		for _, p := range EggProducts() {
			if strings.HasPrefix(p.Name, name) {
				return p
			}
		}
		t.Fatalf("no egg product %q", name)
		return EggProduct{}
	}
	const sugared = "yolk with 10 % sucrose"
	return map[string]float64{
		"FS-005": AmbientLimit.Hours(), "FS-006": ColdHolding.Celsius(), "FS-007": HotHolding.Celsius(),
		"FS-008": EggNotImmediate.Seconds(), "FS-009": EggImmediate.Seconds(),
		"FS-010": product("whole egg").Short.Celsius(), "FS-011": product("plain yolk").Short.Celsius(),
		"FS-012": product("sugar yolk").Short.Celsius(), "FS-013": product("sugar yolk").Long.Celsius(),
		"FS-014": product("albumen").Short.Celsius(), "FS-015": product("sugar whole egg").Short.Celsius(),
		"FS-016": d60("whole egg"), "FS-017": d60("whole egg with 10 % sucrose"), "FS-018": d60("yolk"),
		"FS-019": d60(sugared), "FS-020": d60("yolk with 10 % salt"),
		"FS-021": must[time.Duration](t)(named(t, sugared).D(70)).Minutes(),
		"FS-022": kill(sugared, unit.Fahrenheit(146), ShortHold), "FS-023": kill("yolk", unit.Fahrenheit(142), ShortHold),
		"FS-024": kill(sugared, 70, 30*time.Second), "FS-037": neverTCS,
	}
}

// safetyVerdicts are the rows of testdata/checks.csv on safety that are words.
func safetyVerdicts(t *testing.T) map[string]string {
	hours := func(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
	cooled := func(to21, to5 float64) string {
		return must[Cooling](t)(CoolingClock(History{{0, 57}, {hours(to21), 21}, {hours(to5), 5}})).Verdict.String()
	}
	tcs := func(aw, pH float64, h HeatTreatment) string {
		if must[TCS](t)(Assessed(aw, pH, h)) == NonTCS {
			return "non-TCS"
		}
		return "PA"
	}
	return map[string]string{
		"FS-001": cooled(1.9, 5.9), "FS-002": cooled(2.1, 5.0), "FS-003": cooled(1.5, 6.2), "FS-004": cooled(2.0, 6.0),
		"FS-025": tcs(.92, 6.0, TreatedPackaged), "FS-026": tcs(.94, 6.0, TreatedPackaged), "FS-027": tcs(.94, 5.0, TreatedPackaged),
		"FS-028": tcs(.97, 5.0, TreatedPackaged), "FS-029": tcs(.97, 4.5, TreatedPackaged),
		"FS-030": tcs(.87, 6.5, NotTreated), "FS-031": tcs(.89, 6.5, NotTreated), "FS-032": tcs(.89, 4.8, NotTreated),
		"FS-033": tcs(.91, 4.8, NotTreated), "FS-034": tcs(.91, 4.4, NotTreated), "FS-035": tcs(.95, 4.4, NotTreated), "FS-036": tcs(.95, 4.0, NotTreated),
	}
}

// Every boundary of Tables A and B of FDA Food Code 1-201.10, on it and just beyond.
func TestTCSBoundaries(t *testing.T) {
	const A, B = TreatedPackaged, NotTreated
	for _, c := range []struct {
		table  HeatTreatment
		aw, pH float64
		want   TCS
	}{
		{A, 1, 4.6, NonTCS},
		{A, .95, 4.61, NonTCS},
		{A, .951, 4.61, ProductAssessment},
		{A, .95, 5.6, NonTCS},
		{A, .93, 5.61, ProductAssessment},
		{A, .92, 5.61, NonTCS},
		{A, .921, 5.61, ProductAssessment},
		{B, 1, 4.19, NonTCS},
		{B, .93, 4.2, ProductAssessment},
		{B, .92, 4.2, NonTCS},
		{B, .92, 4.6, NonTCS},
		{B, .921, 4.6, ProductAssessment},
		{B, .90, 4.61, NonTCS},
		{B, .901, 4.61, ProductAssessment},
		{B, .90, 5.0, NonTCS},
		{B, .90, 5.01, ProductAssessment},
		{B, .88, 5.01, ProductAssessment},
		{B, .8799, 5.01, NonTCS},
		{B, .88, 5.0, NonTCS},
		{B, .85, 14, NonTCS},
		{A, .85, 14, NonTCS},
	} {
		if got := must[TCS](t)(Assessed(c.aw, c.pH, c.table)); got != c.want {
			t.Errorf("table %d, aw %g, pH %g: got %v, want %v", c.table, c.aw, c.pH, got, c.want)
		}
	}
	for _, x := range []float64{math.NaN(), -1, 15, math.Inf(1)} {
		if v, err := Assessed(x, 5, A); err == nil || v != ProductAssessment {
			t.Errorf("aw %g: %v", x, v)
		}
		if v, err := Assessed(.9, x, A); err == nil || v != ProductAssessment {
			t.Errorf("pH %g: %v", x, v)
		}
	}
	if _, err := Assessed(.9, 5, 7); err == nil {
		t.Error("there is a seventh treatment")
	}
}

// Less water and more acid never make a food TCS, nor does heating and packaging it.
func TestTCSIsMonotonic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		aw, pH := rapid.Float64Range(0.8, 1).Draw(t, "aw"), rapid.Float64Range(3, 8).Draw(t, "pH")
		for _, h := range []HeatTreatment{NotTreated, TreatedPackaged} {
			here, _ := Assessed(aw, pH, h)
			dry, _ := Assessed(aw-rapid.Float64Range(0, .1).Draw(t, "drier"), pH, h)
			sour, _ := Assessed(aw, pH-rapid.Float64Range(0, 1).Draw(t, "sourer"), h)
			safe, _ := Assessed(aw, pH, TreatedPackaged)
			if here == NonTCS && (dry != NonTCS || sour != NonTCS || safe != NonTCS) {
				t.Fatalf("aw %g, pH %g is %v, but drier %v, sourer %v, packaged %v", aw, pH, here, dry, sour, safe)
			}
		}
	})
}

// A ramp from 55 to 65 degC in 10 min, yolk D60 .4 min and z 4.6 K, by the midpoint rule on the
// definition of lethality.
func TestLethalityOfRamp(t *testing.T) {
	yolk := named(t, "yolk")
	got := must[float64](t)(yolk.Lethality(History{{0, 55}, {10 * time.Minute, 65}}))
	sum, n := 0.0, 100000
	for i := range n {
		at := 55 + 10*(float64(i)+.5)/float64(n)
		sum += 10. / float64(n) / (.4 * math.Pow(10, (60-at)/4.6))
	}
	if math.Abs(got-sum) > 1e-6*sum {
		t.Errorf("got %v, want %v", got, sum)
	}
}

// Splitting a record changes nothing; longer kills more; what is colder than 50 degC counts nothing and
// hotter than 70 as 70.
func TestLethalityProperties(t *testing.T) {
	m := named(t, "whole egg")
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(20, 90).Draw(t, "from"), rapid.Float64Range(20, 90).Draw(t, "to")
		part := rapid.Float64Range(.01, .99).Draw(t, "part")
		const span = 20 * time.Minute
		middle := time.Duration(part * float64(span))
		whole, err1 := m.Lethality(History{{0, unit.Celsius(a)}, {span, unit.Celsius(b)}})
		split, err2 := m.Lethality(History{{0, unit.Celsius(a)}, {middle, unit.Celsius(a + (b-a)*float64(middle)/float64(span))}, {span, unit.Celsius(b)}})
		if err1 != nil || err2 != nil || math.Abs(whole-split) > 1e-6*(1+whole) {
			t.Fatalf("%g to %g: %v, split %v", a, b, whole, split)
		}
		if top := span.Minutes() * m.rate(70); whole < 0 || whole > top*(1+1e-9) {
			t.Fatalf("%g to %g: %v, at most %v", a, b, whole, top)
		}
	})
	if k := must[float64](t)(m.Lethality(held(49.9, time.Hour))); k != 0 {
		t.Errorf("49.9 degC kills %g", k)
	}
	if a, b := must[float64](t)(m.Lethality(held(90, time.Minute))), must[float64](t)(m.Lethality(held(70, time.Minute))); a != b {
		t.Errorf("90 degC kills %g, 70 %g", a, b)
	}
}

// The composite model of heat-resistant serovars: 1.83 min at 58 degC, 0.26 at 62, 0.096 at 64 (published
// beside D60 and z); our line lies within 10 %.
func TestResistantSerovars(t *testing.T) {
	m := named(t, "yolk, heat-resistant serovars")
	for at, want := range map[unit.Temperature]float64{58: 1.83, 62: .26, 64: .096, 66: .036} {
		if got := must[time.Duration](t)(m.D(at)).Minutes(); math.Abs(got/want-1) > 0.10 {
			t.Errorf("%v: D %.3f min, want %g", at, got, want)
		}
	}
}

func TestSafetyRefuses(t *testing.T) {
	m := named(t, "yolk")
	for _, h := range []History{nil, {{0, unit.Celsius(math.NaN())}}, {{0, 60}, {0, 60}}, {{1, 60}, {0, 60}}, {{0, 151}}} {
		if _, err := m.Lethality(h); err == nil {
			t.Errorf("lethality of %v", h)
		}
		if _, err := CoolingClock(h); err == nil {
			t.Errorf("cooling of %v", h)
		}
		if _, err := AmbientClock(h); err == nil {
			t.Errorf("cooling from ambient of %v", h)
		}
	}
	for _, at := range []unit.Temperature{49, 71, unit.Celsius(math.NaN())} {
		if d, err := m.D(at); err == nil {
			t.Errorf("D at %v: %v", at, d)
		}
	}
	if _, err := (Medium{}).D(60); err == nil {
		t.Error("the zero medium has a D")
	}
	if _, err := (Medium{}).Lethality(held(60, time.Minute)); err == nil {
		t.Error("the zero medium kills")
	}
}

// The clock's states: FDA Food Code 3-501.14(A) on records that are not over, warm up again, or start hot.
func TestCoolingClock(t *testing.T) {
	const h = time.Hour
	for _, c := range []struct {
		name   string
		record History
		want   Verdict
		reason string
	}{
		{"hot", History{{0, 90}, {h, 60}}, Running, "not started"},
		{"starts at 57", History{{0, 90}, {h, 57}, {3 * h, 21}, {7 * h, 5}}, Pass, "21 °C in 2h0m0s"},
		{"first stage runs", History{{0, 57}, {h, 40}}, Running, "1h0m0s are left to reach 21"},
		{"first stage missed", History{{0, 57}, {3 * h, 40}}, Fail, "not at 21"},
		{"second stage runs", History{{0, 57}, {h, 21}, {4 * h, 10}}, Running, "2h0m0s are left to reach 5"},
		{"second stage missed", History{{0, 57}, {h, 21}, {7 * h, 6}}, Fail, "not at 5"},
		{"warms again", History{{0, 57}, {h, 20}, {2 * h, 30}, {3 * h, 4}}, Fail, "57 to 21"},
		{"cold already", History{{0, 4}}, Pass, ""},
	} {
		got := must[Cooling](t)(CoolingClock(c.record))
		if got.Verdict != c.want || !strings.Contains(got.Reason, c.reason) {
			t.Errorf("%s: got %v (%s), want %v (%s)", c.name, got.Verdict, got.Reason, c.want, c.reason)
		}
	}
	for _, c := range []struct {
		record History
		want   Verdict
	}{
		{History{{0, 22}, {4 * h, 5}}, Pass}, {History{{0, 22}, {4*h + time.Minute, 5}}, Fail}, {History{{0, 22}, {h, 15}}, Running}, {History{{0, 22}, {5 * h, 15}}, Fail},
	} {
		if got := must[Cooling](t)(AmbientClock(c.record)); got.Verdict != c.want {
			t.Errorf("%v: %v, want %v", c.record, got, c.want)
		}
	}
}

// Equal masses of one food mix in the middle, but for the slope of the specific heat; water on syrup by
// hand: 100 g of syrup (60 % sucrose) at 118 degC on 100 g of water at 20.
func TestMixedTemperature(t *testing.T) {
	water, sugar := thermal(t, food(1, 0, 0, 0, 0, 0, 0), 0), thermal(t, syrup(Sucrose, .6), 0)
	if got := must[unit.Temperature](t)(MixedTemperature(Portion{water, 1, 20}, Portion{water, 1, 60})); math.Abs(float64(got)-40) > .1 {
		t.Errorf("equal water: %v", got)
	}
	got := must[unit.Temperature](t)(MixedTemperature(Portion{sugar, .1, 118}, Portion{water, .1, 20}))
	c1, c2 := float64(sugar.SpecificHeat(90)), float64(water.SpecificHeat(40)) // at the middle of each way
	if want := (c1*118 + c2*20) / (c1 + c2); math.Abs(float64(got)-want) > .3 {
		t.Errorf("syrup on water: %v, want %.2f", got, want)
	}
	// Ice at 0 degC in as much water at 83.3: the heat of fusion is 333.6 of 4.18 kJ/(kg K): all melts near 1.8.
	if got := must[unit.Temperature](t)(MixedTemperature(Portion{water, 1, -1e-9}, Portion{water, 1, 83.3})); math.Abs(float64(got)-1.8) > .3 {
		t.Errorf("ice in hot water: %v", got)
	}
	for _, bad := range [][]Portion{nil, {{water, 0, 20}}, {{water, -1, 20}}, {{water, 1, 200}}, {{Thermal{}, 1, 20}}, {{water, unit.Mass(math.NaN()), 20}}, {{water, 1, unit.Celsius(math.NaN())}}} {
		if at, err := MixedTemperature(bad...); err == nil {
			t.Errorf("%v mixes to %v", bad, at)
		}
	}
}

// Heat is kept, and the result lies between the parts.
func TestMixingKeepsHeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Portion {
			x, err := anyFood(t).Thermal(0)
			if err != nil {
				t.Fatal(err)
			}
			return Portion{x, unit.Mass(rapid.Float64Range(.01, 5).Draw(t, "kg")), unit.Celsius(rapid.Float64Range(0.5, 130).Draw(t, "degC"))}
		}), 1, 4).Draw(t, "parts")
		at, err := MixedTemperature(parts...)
		if err != nil {
			t.Fatal(err)
		}
		before, after, mass := 0.0, 0.0, 0.0
		low, high := 200.0, -200.0
		for _, p := range parts {
			before += float64(p.Mass) * float64(p.Food.Enthalpy(p.Temperature))
			after += float64(p.Mass) * float64(p.Food.Enthalpy(at))
			mass += float64(p.Mass)
			low, high = min(low, p.Temperature.Celsius()), max(high, p.Temperature.Celsius())
		}
		if math.Abs(before-after) > 0.1*mass || at.Celsius() < low-1e-6 || at.Celsius() > high+1e-6 {
			t.Fatalf("heat %g becomes %g at %v", before, after, at)
		}
	})
}

func ExampleMedium_Lethality() {
	m, _ := MediumNamed("yolk with 10 % sucrose")
	kill, err := m.Lethality(History{{0, 20}, {4 * time.Minute, 68}, {5 * time.Minute, 68}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f log\n", kill)
	// Output: 16 log
}

func ExampleCoolingClock() {
	c, err := CoolingClock(History{{0, 60}, {time.Hour, 30}, {2 * time.Hour, 20}, {5 * time.Hour, 4}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c.Verdict, c.At21, c.At5)
	// Output: pass 1h48m0s 4h42m45s
}

// What the comment on Pasteurised says of Table I: 3.5 minutes at 60 °C over D 0.27 min is 13.0; at 63.3 °C
// over 5.1 min × 10^(−3.33/4.6) it is 3.6.
func TestPasteurisedAgainstTheTable(t *testing.T) {
	for _, c := range []struct {
		product, medium string
		want            float64
	}{{"whole egg", "whole egg", 13.0}, {"salt yolk, 2 to 12 % salt", "yolk with 10 % salt", 3.6}} {
		m, _ := MediumNamed(c.medium)
		found := false
		for _, p := range EggProducts() {
			if p.Name != c.product {
				continue
			}
			found = true
			log, err := m.Lethality(History{{At: 0, Temperature: p.Short}, {At: ShortHold, Temperature: p.Short}})
			if err != nil || math.Abs(log-c.want) > 0.05 {
				t.Errorf("%s: %.3f (%v), want %g", c.product, log, err, c.want)
			}
		}
		if !found {
			t.Errorf("no %s in the table", c.product)
		}
	}
}
