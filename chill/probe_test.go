package chill_test

import (
	"math"
	"testing"
	"time"

	"chablon/chill"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/mould"
)

// A freezer that is better than its kind is found out by readings of the core: the truth is a run
// with a coefficient of 12 where a still freezer has 8, and what the cook would have read in it.
func TestProbeCorrectsFreezing(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(180*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(18, -18))
	place := freezer("still", -20)
	better := place
	better.Transfer = 12
	truth, err := b.Freeze(t.Context(), better, chill.Planning)
	if err != nil || !truth.Reached {
		t.Fatal(err, truth.Reason)
	}
	read := func(part float64) chill.Probe {
		at := time.Duration(part * float64(truth.Time))
		for i := 1; i < len(truth.Run.Curve); i++ {
			if c := truth.Run.Curve[i]; c.Time >= at {
				return chill.Probe{At: c.Time, Temperature: c.Core}
			}
		}
		t.Fatal("no such time")
		return chill.Probe{}
	}
	width := func(w chill.Wait) float64 { return math.Log(float64(w.High) / float64(w.Low)) }

	one, err := b.CorrectFreezing(t.Context(), place, []chill.Probe{read(0.8)})
	if err != nil {
		t.Fatal(err)
	}
	if one.After.Low > truth.Time || one.After.High < truth.Time {
		t.Errorf("one reading: %v to %v, in truth %v", one.After.Low, one.After.High, truth.Time)
	}
	if width(one.After) > 0.75*width(one.Before.Wait) {
		t.Errorf("the range did not narrow: %v to %v, before %v to %v", one.After.Low, one.After.High, one.Before.Low, one.Before.High)
	}
	if before, after := math.Abs(math.Log(float64(one.Before.Time)/float64(truth.Time))), math.Abs(math.Log(float64(one.After.Time)/float64(truth.Time))); after > before/2 {
		t.Errorf("one reading: %v, before %v, in truth %v", one.After.Time, one.Before.Time, truth.Time)
	}

	plateau, err := b.CorrectFreezing(t.Context(), place, []chill.Probe{read(0.25)})
	if err != nil {
		t.Fatal(err)
	}
	if plateau.High/plateau.Low <= one.High/one.Low {
		t.Errorf("a reading on the plateau is taken for as good as one near the end: %v to %v, %v to %v", plateau.Low, plateau.High, one.Low, one.High)
	}

	many, err := b.CorrectFreezing(t.Context(), place, []chill.Probe{read(0.3), read(0.6), read(0.75), read(0.85), read(0.95)})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(many.Transfer)/12-1) > 0.05 || many.Misfit > 1 {
		t.Errorf("five readings: coefficient %v for 12, misfit %v", many.Transfer, many.Misfit)
	}
	for _, bad := range [][]chill.Probe{nil, {{At: 0, Temperature: -3}}, {{At: 500 * 24 * time.Hour, Temperature: -3}}} {
		if _, err := b.CorrectFreezing(t.Context(), place, bad); err == nil {
			t.Errorf("readings %v are taken", bad)
		}
	}
}

// Readings of a piece that conducts 0.75 times as well as computed, in a freezer of 10: with the conductivity as a
// second unknown both are found within their ranges, twice over, and the time within its own; the coefficient
// is less sure than where the conductivity is taken as computed.
func TestProbeFindsConductivity(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(180*mm, 60*mm)
	b := bodyOf(t, s, err, chill.At(18, -18))
	place := freezer("still", -20)
	better := place
	better.Transfer = 10
	dull, err := b.Conducting(0.75)
	if err != nil {
		t.Fatal(err)
	}
	truth, err := dull.Freeze(t.Context(), better, chill.Planning)
	if err != nil || !truth.Reached {
		t.Fatal(err, truth.Reason)
	}
	var readings []chill.Probe
	for _, part := range []float64{0.02, 0.05, 0.1, 0.6, 0.75, 0.85, 0.95} {
		for _, c := range truth.Run.Curve {
			if float64(c.Time) >= part*float64(truth.Time) {
				readings = append(readings, chill.Probe{At: max(c.Time, time.Minute), Temperature: c.Core})
				break
			}
		}
	}
	one, err1 := b.CorrectFreezing(t.Context(), place, readings)
	both, err2 := b.CorrectFreezingWithFood(t.Context(), place, readings)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	t.Logf("coefficient %.2f (%.2f to %.2f), conductivity %.3f (%.3f to %.3f), %v (%v to %v), truth %v", both.Transfer, both.Low, both.High,
		both.Conductivity, both.ConductivityLow, both.ConductivityHigh, both.After.Time, both.After.Low, both.After.High, truth.Time)
	within := func(x, low, high, truth float64) bool {
		spread := math.Log(high / low) // two standard deviations
		return math.Abs(math.Log(x/truth)) <= spread
	}
	if !within(both.Conductivity, both.ConductivityLow, both.ConductivityHigh, 0.75) {
		t.Errorf("conductivity %v (%v to %v), in truth 0.75", both.Conductivity, both.ConductivityLow, both.ConductivityHigh)
	}
	if !within(float64(both.Transfer), float64(both.Low), float64(both.High), 10) {
		t.Errorf("coefficient %v (%v to %v), in truth 10", both.Transfer, both.Low, both.High)
	}
	if both.After.Low > truth.Time || both.After.High < truth.Time {
		t.Errorf("%v to %v, in truth %v", both.After.Low, both.After.High, truth.Time)
	}
	if both.High/both.Low <= one.High/one.Low || one.Conductivity != 1 {
		t.Errorf("coefficient %v to %v with the conductivity, %v to %v without; that is %v", both.Low, both.High, one.Low, one.High, one.Conductivity)
	}
	c := both.Calibration("2026-03-01", "cake")
	if c.Transfer != float64(both.Transfer) || c.Conductivity != both.Conductivity || len(c.Readings) != len(readings) || c.Piece != "cake" {
		t.Errorf("kept as %+v", c)
	}
	if c := one.Calibration("2026-03-01", "cake"); c.Conductivity != 0 {
		t.Errorf("a conductivity of %v is kept that was not asked", c.Conductivity)
	}
	if _, err := b.CorrectFreezingWithFood(t.Context(), place, readings[:2]); err == nil {
		t.Error("two unknowns are found from two readings")
	}
	if _, err := b.Conducting(0); err == nil {
		t.Error("a piece conducts nothing")
	}
	// What was kept is what the next answer starts from.
	kept := place
	kept.Transfer, kept.TransferLow, kept.TransferHigh = c.Transfer, c.Low, c.High
	a, err := dull.Freeze(t.Context(), kept, chill.Stated)
	if err != nil || a.Low > truth.Time || a.High < truth.Time || a.Place != truth.Place {
		t.Errorf("in the kept place %v to %v, in truth %v (%v)", a.Low, a.High, truth.Time, err)
	}
}

// Custards against the clock of the Food Code 2022, 3-501.14(A): a thin layer in iced water does it, a deep
// pot in a refrigerator does not, which is why the code tells to divide and to ice (3-501.15).
func TestCustardAgainstTheClock(t *testing.T) {
	t.Parallel()
	f := creamy()
	iced := []chill.Bath{{Surroundings: heat.StirredIceBath, At: 0.5}, {From: time.Hour, Surroundings: heat.FanRefrigerator, At: 3}}
	fridge := []chill.Bath{{Surroundings: heat.Refrigerator, At: 4}}
	quick, err := chill.Custard(t.Context(), f, 2, chill.Vessel{Diameter: 260 * mm, Steel: 0.8, Stirred: true}, 82, iced)
	if err != nil {
		t.Fatal(err)
	}
	if quick.Clock.Verdict != 1 || quick.Verdict != 1 {
		t.Errorf("2 kg stirred in iced water: %+v", quick.Clock)
	}
	if !(quick.At21.Low > 0 && quick.At21.Low < quick.Clock.At21.Hours() && quick.Clock.At21.Hours() < quick.At21.High) {
		t.Errorf("range of 21 °C: %v about %v", quick.At21, quick.Clock.At21)
	}
	if quick.Pour >= 82 || quick.Pour < 75 {
		t.Errorf("the bowl takes the cream from 82 to %v", quick.Pour)
	}
	slow, err := chill.Custard(t.Context(), f, 3, chill.Vessel{Diameter: 240 * mm, Steel: 2}, 82, fridge)
	if err != nil {
		t.Fatal(err)
	}
	if slow.Clock.Verdict != 2 {
		t.Errorf("3 kg standing in a refrigerator: %+v", slow.Clock)
	}
	// Conduction time goes with the square of the depth: half the cream in the same tray, less than half the time.
	tray := chill.Vessel{Length: 500 * mm, Width: 300 * mm}
	deep, err1 := chill.Custard(t.Context(), f, 4, tray, 70, fridge)
	flat, err2 := chill.Custard(t.Context(), f, 2, tray, 70, fridge)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if flat.Clock.At21 <= 0 || deep.Clock.At21 < 2*flat.Clock.At21 {
		t.Errorf("depth %v takes %v, %v takes %v", flat.Depth, flat.Clock.At21, deep.Depth, deep.Clock.At21)
	}
	if _, err := chill.Custard(t.Context(), f, 2, chill.Vessel{}, 82, iced); err == nil {
		t.Error("a vessel without a size is taken")
	}
}

// A frozen piece sweats in a moist room, not in dry air; moisture warms its surface sooner.
func TestOutOfTheFreezer(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(180*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(-18, -18))
	dry, err := b.Stand(t.Context(), 21, 0, -5)
	if err != nil {
		t.Fatal(err)
	}
	moist, err := b.Stand(t.Context(), 21, 0.6, -5)
	if err != nil {
		t.Fatal(err)
	}
	if dry.Sweats || !moist.Sweats {
		t.Errorf("sweats: dry air %v, moist %v", dry.Sweats, moist.Sweats)
	}
	if moist.Limit <= 0 || moist.Limit >= dry.Limit {
		t.Errorf("surface at −5 °C after %v in moist air, %v in dry", moist.Limit, dry.Limit)
	}
	if math.Abs(moist.DewPoint.Celsius()-12.9) > 0.2 { // 21 °C, 60 %: 12.9 °C by tables of moist air, from memory
		t.Errorf("dew point %v", moist.DewPoint)
	}
	if _, err := b.Stand(t.Context(), 21, 1.2, -5); err == nil {
		t.Error("a humidity of 120 % is taken")
	}
}

// A frozen ring thaws into a range in the refrigerator and stays longer in it in a cool room than in a warm one;
// a range that the refrigerator does not reach is refused.
func TestServingRange(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(160*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(-18, -18))
	fridge := kitchen.Equipment{ID: "fridge", Name: "Refrigerator", Kind: "refrigerator", Air: "still", Setting: 4, HasSetting: true}
	cool, err1 := b.Serve(t.Context(), fridge, 18, 0.5, 2, 12)
	warm, err2 := b.Serve(t.Context(), fridge, 28, 0.5, 2, 12)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	thaw, err := b.Thaw(t.Context(), fridge, 2, chill.Planning)
	if err != nil || thaw.Time != cool.Ready || cool.Ready != warm.Ready {
		t.Errorf("ready after %v and %v, thawed after %v (%v)", cool.Ready, warm.Ready, thaw.Time, err)
	}
	if !(warm.Stays > 0 && warm.Stays < cool.Stays) || !(warm.Cold > 0 && warm.Cold <= warm.Stays) {
		t.Errorf("at 28 °C it stays %v (cold %v), at 18 °C %v", warm.Stays, warm.Cold, cool.Stays)
	}
	if never, err := b.Serve(t.Context(), fridge, 20, 0.5, 6, 12); err != nil || never.Reason == "" || never.Ready != 0 {
		t.Errorf("6 °C in air of 4 °C: %+v, %v", never, err)
	}
	if _, err := b.Serve(t.Context(), fridge, 20, 0.5, 8, 4); err == nil {
		t.Error("a range upside down is taken")
	}
}

// What is written too short for the freezer is told.
func TestNotFrozen(t *testing.T) {
	a := chill.Answer{Reached: true, Wait: chill.Wait{Time: 8 * time.Hour, Low: 6 * time.Hour, High: 12 * time.Hour}}
	for _, c := range []struct {
		hours           int
		short, doubtful bool
	}{{5, true, true}, {7, false, true}, {9, false, false}} {
		if s, d := a.NotFrozen(time.Duration(c.hours) * time.Hour); s != c.short || d != c.doubtful {
			t.Errorf("%d h: %v, %v", c.hours, s, d)
		}
	}
	if s, _ := (chill.Answer{}).NotFrozen(48 * time.Hour); !s {
		t.Error("a freezer that never does it is not told")
	}
}

func BenchmarkProbe(b *testing.B) {
	s, err := mould.Ring(200*mm, 45*mm)
	body := bodyOf(b, s, err, chill.At(18, -18))
	readings := []chill.Probe{{At: 4 * time.Hour, Temperature: -4.5}, {At: 7 * time.Hour, Temperature: -9}, {At: 8 * time.Hour, Temperature: -12}}
	for b.Loop() {
		if _, err := body.CorrectFreezing(b.Context(), freezer("still", -20), readings); err != nil {
			b.Fatal(err)
		}
	}
}
