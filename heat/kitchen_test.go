package heat

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/material"
	"chablon/unit"
)

// A film of glaze on frozen mousse: it sets within seconds, later the thicker and the warmer it is and the
// less cold the piece; the quick figure of a half space is of the same size. Contact by hand from row
// FC-052's formula, here with the tables' own properties.
func TestCoat(t *testing.T) {
	glaze, err := food(t, .35, .02, .03, .60, .45, 0, 0).Table()
	if err != nil {
		t.Fatal(err)
	}
	piece := someFoods(t)[0]
	air := Boundary{Air: 20, Transfer: 9}
	coat := func(thick unit.Length, pour, cold unit.Temperature) Coating {
		c, err := Coat(t.Context(), Film{glaze, thick, pour, 24}, piece, cold, air)
		if err != nil {
			t.Fatal(err)
		}
		if c.EnergyError > 1e-6 {
			t.Errorf("energy error %g", c.EnergyError)
		}
		return c
	}
	mm := unit.Millimetre
	usual := coat(2*mm, 34, -18)
	if usual.Status != Reached || usual.Set < 500*time.Millisecond || usual.Set > 30*time.Second {
		t.Errorf("2 mm at 34 degC sets in %v (%v)", usual.Set, usual.Status)
	}
	if thick := coat(4*mm, 34, -18); thick.Set < 2*usual.Set {
		t.Errorf("4 mm sets in %v, 2 mm in %v", thick.Set, usual.Set)
	}
	if warm := coat(2*mm, 45, -18); warm.Set <= usual.Set || warm.MeltBack < usual.MeltBack {
		t.Errorf("poured warmer: %+v, usual %+v", warm, usual)
	}
	soft := coat(2*mm, 34, -8)
	if soft.Set <= usual.Set || soft.MeltBack < usual.MeltBack || !(soft.MeltBack > 0) {
		t.Errorf("on a warmer piece: %+v, usual %+v", soft, usual)
	}
	if quick := (Film{glaze, 2 * mm, 34, 24}).SetsIn(piece, -18); quick.Seconds() < usual.Set.Seconds()/6 || quick > 2*usual.Set {
		t.Errorf("quick %v, followed %v", quick, usual.Set)
	}
	if usual.Contact <= -18 || usual.Contact >= 34 {
		t.Errorf("contact at %g", float64(usual.Contact))
	}
	var input *InputError
	for _, f := range []Film{{glaze, 0, 34, 24}, {glaze, 2 * mm, 20, 24}, {nil, 2 * mm, 34, 24}} {
		if _, err := Coat(t.Context(), f, piece, -18, air); !errors.As(err, &input) {
			t.Errorf("%+v: %v", f, err)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Coat(ctx, Film{glaze, 2 * mm, 34, 24}, piece, -18, air); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

// The setting time of a film does not hang on the grid: half the cells change it by under 5 %.
// By hand: 2 mm of a food of 0.4 W/(m K) and 3.625 MJ/(m3 K) at 32 degC on a half space of 0.6 and
// 1.44 MJ/(m3 K) at -18 degC, without freezing. As both are linear, the warmest point of the film (its top,
// insulated) is at 24 degC when the series of Carslaw & Jaeger 12.8 for a layer on a half space says so.
func TestCoatLinear(t *testing.T) {
	film, base := plain(t, .4, 3.625e6), plain(t, .6, 1.44e6)
	c, err := Coat(t.Context(), Film{film, 2 * unit.Millimetre, 32, 24}, base, -18, Boundary{Air: 20})
	if err != nil {
		t.Fatal(err)
	}
	// Reflection at the face: r = (e1-e2)/(e1+e2); the top of the film is
	// T1 - (T1-T2) e2/(e1+e2) * 2 sum (-1)^n (r)^n erfc((2n+1) d / (2 sqrt(a t))) with the images' signs.
	e1, e2 := math.Sqrt(.4*3.625e6), math.Sqrt(.6*1.44e6)
	r := (e1 - e2) / (e1 + e2)
	top := func(s float64) float64 {
		sum, power := 0.0, 1.0
		for n := range 200 {
			sum += power * math.Erfc(float64(2*n+1)*.002/(2*math.Sqrt(.4/3.625e6*s)))
			power *= r
		}
		return 32 - 50*(1-r)*sum
	}
	low, high := 1e-3, 1e3
	for range 60 {
		if mid := (low + high) / 2; top(mid) > 24 {
			low = mid
		} else {
			high = mid
		}
	}
	if got := c.Set.Seconds(); math.Abs(got/low-1) > 0.05 {
		t.Errorf("sets in %.3f s, want %.3f", got, low)
	}
}

func someCustard(t testing.TB) material.Thermal {
	return food(t, .7, .04, .08, .17, .16, .01, 0)
}

// A stirred cream follows Newton's law: a kilogram of 3.6 kJ/(kg K) over 0.06 m2 and 15 W/(m2 K) in air of
// 4 degC takes 4548 s from 57 to 21 degC (row FC-062); ours has its own capacity, in proportion.
func TestBowl(t *testing.T) {
	custard := someCustard(t)
	b := Bowl{Food: custard, Mass: 1, Area: .06, Inside: 1e5}
	h, err := b.Cool(57, []Bath{{0, Boundary{Air: 4, Transfer: 15}}}, 6*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	clock, err := material.CoolingClock(h)
	want := 4548.31 * float64(custard.SpecificHeat(39)) / 3600
	if got := clock.At21.Seconds(); err != nil || math.Abs(got/want-1) > 0.003 {
		t.Errorf("57 to 21 in %.0f s, want %.0f (%v)", got, want, err)
	}
	// In a stirred ice bath, 82 degC, 1.5 kg, in a steel bowl of 600 J/K at 20: soon below 5 degC, and it passes.
	bowl := Bowl{Food: custard, Mass: 1.5, Area: .08, Inside: 150, Vessel: 300, VesselAt: 20}
	ice := []Bath{{0, Boundary{Air: 0.5, Transfer: StirredIceBath.Default, Covers: []Cover{{unit.Millimetre, 16}}}}, {time.Hour, Boundary{Air: 3, Transfer: 8}}}
	h, err = bowl.Cool(82, ice, 8*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if clock, err = material.CoolingClock(h); err != nil || clock.Verdict != material.Pass || clock.At5 > time.Hour {
		t.Errorf("ice bath: %+v (%v)", clock, err)
	}
	if h[0].Temperature >= 82 || h[0].Temperature < 77 {
		t.Errorf("poured into the cold bowl it is at %g", float64(h[0].Temperature))
	}
	for i := 1; i < len(h); i++ {
		if h[i].At <= h[i-1].At || h[i].At < time.Hour && h[i].Temperature > h[i-1].Temperature {
			t.Fatalf("reading %d: %+v after %+v", i, h[i], h[i-1])
		}
	}
	// Left on the counter it fails.
	h, err = bowl.Cool(82, []Bath{{0, Boundary{Air: 24, Transfer: 9}}}, 10*time.Hour)
	if clock, err2 := material.CoolingClock(h); err != nil || err2 != nil || clock.Verdict != material.Fail {
		t.Errorf("on the counter: %+v (%v, %v)", clock, err, err2)
	}
	var input *InputError
	for name, err := range map[string]error{
		"no food":   func() error { _, err := (Bowl{Mass: 1, Area: 1, Inside: 1}).Cool(60, ice, time.Hour); return err }(),
		"no mass":   func() error { b := bowl; b.Mass = 0; _, err := b.Cool(60, ice, time.Hour); return err }(),
		"no wall":   func() error { b := bowl; b.Area = 0; _, err := b.Cool(60, ice, time.Hour); return err }(),
		"no inside": func() error { b := bowl; b.Inside = 0; _, err := b.Cool(60, ice, time.Hour); return err }(),
		"no bath":   func() error { _, err := bowl.Cool(60, nil, time.Hour); return err }(),
		"freezes": func() error {
			_, err := bowl.Cool(60, []Bath{{0, Boundary{Air: -18, Transfer: 8}}}, time.Hour)
			return err
		}(),
		"too hot":  func() error { _, err := bowl.Cool(300, ice, time.Hour); return err }(),
		"no limit": func() error { _, err := bowl.Cool(60, ice, 0); return err }(),
	} {
		if !errors.As(err, &input) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A tray of custard 50 mm deep, both faces at 20 W/(m2 K), does not pass unstirred; a shallow one does
// (food-safety reference: "50 mm deep tray custard fails unless stirred, shallow or in an ice bath", no air
// given; in 4 degC ours needs two hours within minutes for the first stage and over six in all). Halving
// the depth cuts the time by 2 to 4 (same reference).
func TestStanding(t *testing.T) {
	table, err := someCustard(t).Table()
	if err != nil {
		t.Fatal(err)
	}
	at21 := map[unit.Length]float64{}
	for depth, want := range map[unit.Length]material.Verdict{50: material.Fail, 25: material.Pass, 20: material.Pass} {
		h, err := Standing(t.Context(), table, depth*unit.Millimetre, 80, []Stage{Around(0, Boundary{Air: 4, Transfer: 20})}, 12*time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		clock, err := material.CoolingClock(h)
		if err != nil || clock.Verdict != want {
			t.Errorf("%g mm: %+v (%v), want %v", float64(depth), clock, err, want)
		}
		at21[depth] = clock.At21.Seconds()
	}
	if ratio := at21[50] / at21[25]; ratio < 2 || ratio > 4 {
		t.Errorf("twice the depth takes %g times as long", ratio)
	}
	if _, err := Standing(t.Context(), table, 0, 80, []Stage{Around(0, Boundary{Air: 3, Transfer: 20})}, time.Hour); err == nil {
		t.Error("no depth is taken")
	}
}

// A baked cream taken from the oven warms on inside before it cools, and its record kills on.
func TestCarryOver(t *testing.T) {
	table, err := someCustard(t).Table()
	if err != nil {
		t.Fatal(err)
	}
	f := field(t, DiscGrid(equal(.1, 8), equal(.05, 9)), table, 20)
	out := 40 * time.Minute
	r := run(t, f, []Stage{Around(0, Boundary{Air: 110, Transfer: 25}), Around(out, Boundary{Air: 22, Transfer: 9})}, Criterion{}, Options{Limit: 3 * time.Hour})
	rise, peak := r.CarryOver(out)
	if rise < 1 || rise > 25 || peak <= out || peak > out+time.Hour {
		t.Errorf("rises %g K to a peak at %v", float64(rise), peak)
	}
	if rise, _ := r.CarryOver(2 * time.Hour); rise != 0 {
		t.Errorf("rises %g K while cooling", float64(rise))
	}
	egg, _ := material.MediumNamed("yolk with 10 % sucrose")
	whole, err1 := egg.Lethality(r.History(func(s Sample) unit.Temperature { return s.Core }))
	if err1 != nil || !(whole >= 0) {
		t.Errorf("lethality %g, %v", whole, err1)
	}
}

// Heat shared among pieces: with capacity to spare each takes its own time; 40 pieces in a household
// freezer of 10 kg a day take as long as the heat takes: by hand, 10 kg x 337 kJ/kg / 86400 s = 39 W.
func TestLoad(t *testing.T) {
	m := mousse(t)
	each := HeatOf(m, 1, 4, -18)
	one, err := LoadOf(1, each, 9*time.Hour, 10)
	if err != nil || one.Needed != 9*time.Hour || one.Share > 1 || math.Abs(one.Capacity-39.0) > 0.5 {
		t.Errorf("one piece: %+v (%v)", one, err)
	}
	many, err := LoadOf(40, each, 9*time.Hour, 10)
	if want := 40 * each / many.Capacity; err != nil || math.Abs(many.Needed.Seconds()/want-1) > 1e-6 || many.Share < 1 {
		t.Errorf("forty: %+v (%v)", many, err)
	}
	// The heat that a run took out is the mass times the difference of enthalpy.
	f := disc(t)
	r := run(t, f, []Stage{Around(0, Boundary{Air: -18, Transfer: 1e3})}, Criterion{}, Options{Limit: 48 * time.Hour})
	if got, want := f.Removed(r.Final), HeatOf(m, f.Mass(), 10, -18); math.Abs(got/want-1) > 1e-3 {
		t.Errorf("removed %g J, want %g", got, want)
	}
	var input *InputError
	for _, err := range []error{
		func() error { _, err := LoadOf(0, 1, 1, 1); return err }(), func() error { _, err := LoadOf(1, -1, 1, 1); return err }(),
		func() error { _, err := LoadOf(1, 1, 0, 1); return err }(), func() error { _, err := LoadOf(1, 1, 1, 0); return err }(),
	} {
		if !errors.As(err, &input) {
			t.Errorf("got %v", err)
		}
	}
}

// A ring frozen at h = 11 that the kitchen believes to be 8: one reading already brings the coefficient
// nearer and the range of the time down, five bring it home and say how sure they are.
func TestCalibrate(t *testing.T) {
	f := disc(t)
	at := []time.Duration{30 * time.Minute, time.Hour, 2 * time.Hour, 3 * time.Hour, 4 * time.Hour}
	curve := func(h float64, times []time.Duration) []unit.Temperature {
		var out []unit.Temperature
		r := run(t, f, []Stage{Around(0, Boundary{Air: -20, Transfer: unit.HeatTransfer(h)})}, Criterion{}, Options{Limit: times[len(times)-1], Maps: times})
		for i, m := range r.Maps {
			for _, s := range r.Curve {
				if s.Time == m.Time {
					out = append(out, s.Core)
				}
			}
			if len(out) != i+1 {
				t.Fatalf("no sample at %v", m.Time)
			}
		}
		return out
	}
	truth := curve(11, at)
	ready := func(v []float64) (time.Duration, error) {
		return run(t, f, []Stage{Around(0, Boundary{Air: -20, Transfer: unit.HeatTransfer(v[0])})}, CoreBelow(-15), Options{}).Time, nil
	}
	want, _ := ready([]float64{11})
	last := 0.3
	for _, n := range []int{3, 5} {
		var readings []ProbeReading
		for i := range n {
			readings = append(readings, ProbeReading{at[i], truth[i], 0.5})
		}
		fit, err := Calibrate([]Unknown{{"coefficient", 8, 0.3}}, readings, func(v []float64) ([]unit.Temperature, error) { return curve(v[0], at[:n]), nil })
		if err != nil || !fit.Converged || math.Abs(fit.Values[0]/11-1) > 2.5*fit.Doubt[0]+0.01 || fit.Doubt[0] >= last || fit.Misfit > 1 {
			t.Errorf("%d readings: %+v (%v)", n, fit, err)
		}
		last = fit.Doubt[0]
		e, err := fit.Ready(0.05, ready)
		if err != nil || e.Low > want || e.High < want || e.High.Seconds()/e.Low.Seconds() > 1.5 {
			t.Errorf("%d readings: ready %v to %v, want %v (%v)", n, e.Low, e.High, want, err)
		}
	}
}

// For a straight model the answer is that of linear regression with what was known before, by hand:
// T = 100 - 10 ln(v), guess 1, doubt 0.5, one reading of 95 with error 5: x = (5/10) * 0.5 = 0.25 of a
// logarithm, since both say as much; the doubt falls to 0.5/sqrt(2).
func TestCalibrateByHand(t *testing.T) {
	fit, err := Calibrate([]Unknown{{"v", 1, 0.5}}, []ProbeReading{{time.Hour, 95, 5}}, func(v []float64) ([]unit.Temperature, error) {
		return []unit.Temperature{unit.Temperature(100 - 10*math.Log(v[0]))}, nil
	})
	if err != nil || math.Abs(math.Log(fit.Values[0])-0.25) > 1e-6 || math.Abs(fit.Doubt[0]-0.5/math.Sqrt2) > 1e-6 || !fit.Converged {
		t.Errorf("%+v, %v", fit, err)
	}
	// Two unknowns of which only the product shows: it is found, the ratio keeps its guess, and the
	// covariance says so.
	fit, err = Calibrate([]Unknown{{"a", 1, 0.5}, {"b", 1, 0.5}}, []ProbeReading{{time.Hour, 80, 0.1}}, func(v []float64) ([]unit.Temperature, error) {
		return []unit.Temperature{unit.Temperature(100 - 10*math.Log(v[0]*v[1]))}, nil
	})
	if err != nil || math.Abs(math.Log(fit.Values[0]*fit.Values[1])-2) > 0.01 || math.Abs(fit.Values[0]/fit.Values[1]-1) > 1e-6 {
		t.Errorf("%+v, %v", fit, err)
	}
	if sum := fit.Covariance[0][0] + fit.Covariance[1][1] + 2*fit.Covariance[0][1]; sum > 1e-3 || fit.Covariance[0][0] < 0.1 {
		t.Errorf("covariance %v", fit.Covariance)
	}
	var input *InputError
	boom := errors.New("boom")
	model := func([]float64) ([]unit.Temperature, error) { return nil, boom }
	good, read := []Unknown{{"v", 1, .5}}, []ProbeReading{{1, 5, 1}}
	for _, c := range []struct {
		u []Unknown
		r []ProbeReading
	}{{nil, read}, {good, nil}, {[]Unknown{{"v", 0, 1}}, read}, {[]Unknown{{"v", 1, 0}}, read}, {good, []ProbeReading{{1, 5, 0}}}, {good, []ProbeReading{{1, 900, 1}}}} {
		if _, err := Calibrate(c.u, c.r, model); !errors.As(err, &input) {
			t.Errorf("%v, %v: %v", c.u, c.r, err)
		}
	}
	if _, err := Calibrate(good, read, model); !errors.Is(err, boom) {
		t.Errorf("model's error: %v", err)
	}
}

// The inverse times the matrix is the identity.
func TestInverse(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(r, "n")
		m := make([][]float64, n)
		for i := range m {
			m[i] = make([]float64, n)
		}
		for i := range m {
			for j := range i {
				m[i][j] = rapid.Float64Range(-1, 1).Draw(r, "x")
				m[j][i] = m[i][j]
			}
			m[i][i] = 5
		}
		x := inverse(m)
		for i := range m {
			for j := range m {
				sum := 0.0
				for k := range m {
					sum += m[i][k] * x[k][j]
				}
				if want := 0.0; i == j && math.Abs(sum-1) > 1e-9 || i != j && math.Abs(sum-want) > 1e-9 {
					r.Fatalf("%v: %g at %d, %d", m, sum, i, j)
				}
			}
		}
	})
}
