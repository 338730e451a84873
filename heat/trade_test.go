package heat

import (
	"testing"
	"time"

	"chablon/unit"
)

// mousseRing is a ring of 200 mm of nothing but mousse.
func mousseRing(t testing.TB, height float64, start unit.Temperature) *Field {
	t.Helper()
	x, err := mousse(t).Table()
	if err != nil {
		t.Fatal(err)
	}
	return field(t, DiscGrid(Edges(millimetres(8), 0, millimetres(100)), Edges(millimetres(5), 0, millimetres(height))), x, start)
}

// layeredRing is a ring of 200 mm: 10 mm of sponge, mousse, a fruit insert of 160 by 12 mm, mousse.
func layeredRing(t testing.TB, height float64, start unit.Temperature) *Field {
	t.Helper()
	mm := unit.Millimetre
	g := DiscGrid(Edges(8*mm, 0, 80*mm, 100*mm), Edges(6*mm, 0, 10*mm, 18*mm, 30*mm, millimetres(height)))
	f, err := NewField(g, someFoods(t), func(p Point) Cell {
		switch {
		case p.Z < 10*mm:
			return Cell{1, start}
		case p.Z > 18*mm && p.Z < 30*mm && p.X < 80*mm:
			return Cell{2, start}
		}
		return Cell{0, start}
	})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func asked(t *testing.T, f *Field, b Boundary, until Criterion) time.Duration {
	t.Helper()
	r, err := f.Solve(t.Context(), []Stage{Around(0, b)}, until, Options{})
	if err != nil || r.Status != Reached {
		t.Fatalf("%v %s %v", r.Status, r.Reason, err)
	}
	t.Logf("air %g degC, h %g, %v: %v", float64(b.Air), float64(b.Transfer), until, r.Time.Round(time.Minute))
	return r.Time
}

// The trade says that a mousse ring of 20 cm freezes "in 3 to 4 hours or overnight" (common practice, no
// source): both lie within what comes out for 45 mm from a cold fan freezer to a still household freezer at
// its worst. A fruit insert, which is water without air, takes half as long again.
func TestTradeFreezing(t *testing.T) {
	f := mousseRing(t, 45, 10)
	quick := asked(t, f, Boundary{Air: FanFreezer.Coldest, Transfer: FanFreezer.High}, CoreBelow(-15))
	usual := asked(t, f, FanFreezer.Boundary(), CoreBelow(-15))
	still := asked(t, f, StillFreezer.Boundary(), CoreBelow(-15))
	slow := asked(t, f, Boundary{Air: StillFreezer.Usual, Transfer: StillFreezer.Low}, CoreBelow(-15))
	if !(quick <= 3*time.Hour && usual > 3*time.Hour && usual < 6*time.Hour && still > 6*time.Hour && slow >= 10*time.Hour && slow < 16*time.Hour) {
		t.Errorf("quick %v, usual %v, still %v, slow %v", quick, usual, still, slow)
	}
	filled := asked(t, layeredRing(t, 45, 10), FanFreezer.Boundary(), CoreBelow(-15))
	if ratio := filled.Seconds() / usual.Seconds(); ratio < 1.2 || ratio > 1.8 {
		t.Errorf("with an insert %v, without %v", filled, usual)
	}
}

// The trade thaws a ring of 45 mm in 5 to 9 hours in a refrigerator (common practice, no source). What
// comes out for mousse, from soft in a fan refrigerator to a core at the warmest of a still one,
// holds that span; 60 mm takes longer by a quarter to a half.
func TestTradeThawing(t *testing.T) {
	fan := Boundary{Air: 4, Transfer: FanRefrigerator.High, Humidity: FanRefrigerator.Humidity}
	quick := asked(t, mousseRing(t, 45, -18), fan, CoreAbove(-3))
	slow := asked(t, mousseRing(t, 45, -18), Refrigerator.Boundary(), CoreAbove(0))
	if !(quick <= 5*time.Hour && quick > 3*time.Hour && slow >= 9*time.Hour && slow < 14*time.Hour) {
		t.Errorf("from %v to %v", quick, slow)
	}
	high := asked(t, mousseRing(t, 60, -18), Refrigerator.Boundary(), CoreAbove(0))
	if ratio := high.Seconds() / slow.Seconds(); ratio < 1.25 || ratio > 1.6 {
		t.Errorf("60 mm takes %v, 45 mm %v", high, slow)
	}
}

// Moisture settles on what is colder than the dew point and nowhere else. By hand, air of 4 degC and 80 %
// over ice at -3: 650 - 476 = 174 Pa of difference; 2.835e6 * 0.622 / (1005 * 101325 * 0.9) = 0.01924 a Pa;
// convection 8 - 4.3 = 3.7; 3.7 * 0.01924 * 174 / 7 = 1.77 W/(m2 K). Saturation pressures from steam tables:
// 611 Pa at 0, 813 at 4, 2339 at 20, 260 over ice at -10.
func TestDew(t *testing.T) {
	for _, c := range []struct{ t, want float64 }{{0, 611}, {4, 813}, {20, 2339}, {-10, 260}} {
		if got := vapour(c.t); got < c.want*0.995 || got > c.want*1.005 {
			t.Errorf("vapour at %g: %g, want %g", c.t, got, c.want)
		}
	}
	if got := dew(8, 4, .8, -3); got < 1.74 || got > 1.80 {
		t.Errorf("got %g, want 1.77", got)
	}
	for _, c := range []struct{ humidity, surface float64 }{{.8, 1.5}, {0, -18}, {.8, 10}} {
		if got := dew(8, 4, c.humidity, c.surface); got != 0 {
			t.Errorf("on %g degC at %g: %g", c.surface, c.humidity, got)
		}
	}
	f := mousseRing(t, 45, -18)
	dry, moist := Refrigerator.Boundary(), Refrigerator.Boundary()
	dry.Humidity = 0
	covered := moist
	covered.Covers = []Cover{{0.1 * unit.Millimetre, .2}}
	a, b, c := asked(t, f, dry, CoreAbove(0)), asked(t, f, moist, CoreAbove(0)), asked(t, f, covered, CoreAbove(0))
	if b >= a || b < a*7/10 || c < a {
		t.Errorf("dry %v, moist %v, covered %v", a, b, c)
	}
}
