package chill_test

import (
	"math"
	"testing"

	"chablon/chill"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/mould"
	"chablon/unit"
)

// A rectangle cut from a frame of mousse that stays fluid cools as the exact series for a brick of its size
// says (heat.Cooling, tested against Carslaw & Jaeger). The tray below lets through half as freely, so the
// time is between those of a brick of its height and of one half as high again.
func TestRectangleAgainstTheSeries(t *testing.T) {
	t.Parallel()
	s, err := mould.Frame(300*mm, 300*mm, 40*mm, 0, 0)
	b := cut(t, bodyOf(t, s, err, chill.At(20, 20)), chill.Portion{Width: 40 * mm, Depth: 80 * mm})
	place := kitchen.Equipment{Name: "Fridge", Kind: "refrigerator", Setting: 0, HasSetting: true, Transfer: 20}
	a, err := b.Chill(t.Context(), place, chill.Precision{Cell: 3 * unit.Millimetre})
	if err != nil || !a.Reached {
		t.Fatal(err, a.Reason)
	}
	c := creamy().Composition()
	airless, _ := c.Density(20)
	food, err := c.Thermal(1 - float64(600/airless))
	if err != nil {
		t.Fatal(err)
	}
	low, err1 := heat.Cooling(heat.Brick(40*mm, 80*mm, 40*mm), food, 20, 5, 0, 20)
	high, err2 := heat.Cooling(heat.Brick(40*mm, 80*mm, 60*mm), food, 20, 5, 0, 20)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	t.Logf("%v between %v and %v", a.Time, low.Time, high.Time)
	if a.Time < low.Time || a.Time > high.Time {
		t.Errorf("%v, want between %v and %v", a.Time, low.Time, high.Time)
	}
}

func cut(t testing.TB, b *chill.Body, p chill.Portion) *chill.Body {
	t.Helper()
	c, err := b.Cut(p)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// A portion whose size is the whole rectangle is the whole rectangle.
func TestRectangleOfTheWhole(t *testing.T) {
	t.Parallel()
	s, err := mould.Frame(90*mm, 90*mm, 40*mm, 0, 0)
	b := bodyOf(t, s, err, chill.At(-18, -18))
	whole, err1 := b.Thaw(t.Context(), fridge, 0, chill.Planning)
	part, err2 := cut(t, b, chill.Portion{Width: 90 * mm, Depth: 90 * mm}).Thaw(t.Context(), fridge, 0, chill.Planning)
	if err1 != nil || err2 != nil || math.Abs(float64(part.Time)/float64(whole.Time)-1) > 0.01 {
		t.Errorf("the whole as a portion thaws in %v, as a whole in %v (%v, %v)", part.Time, whole.Time, err1, err2)
	}
}

var fridge = kitchen.Equipment{ID: "fridge", Name: "Refrigerator", Kind: "refrigerator", Air: "still", Setting: 4, HasSetting: true}

// A wedge thaws sooner than the ring it is cut from, a narrow one sooner than a wide one; it then stays in
// the range for less time. With few cuts it nears the whole: half a ring of 240 mm thaws at most a quarter sooner.
func TestWedgeThaws(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(240*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(-18, -18))
	served := func(b *chill.Body) chill.Served {
		t.Helper()
		x, err := b.Serve(t.Context(), fridge, 22, 0.5, 2, 12)
		if err != nil || x.Ready == 0 {
			t.Fatal(err, x.Reason)
		}
		return x
	}
	whole := served(b)
	last := whole
	for _, n := range []int{2, 8, 16} {
		x := served(cut(t, b, chill.Portion{Wedges: n}))
		t.Logf("one of %d: ready %v, stays %v; before %v, %v", n, x.Ready, x.Stays, last.Ready, last.Stays)
		if x.Ready >= last.Ready || x.Stays > last.Stays {
			t.Errorf("one of %d: ready after %v, stays %v; a wider one %v, %v", n, x.Ready, x.Stays, last.Ready, last.Stays)
		}
		if n == 2 && float64(x.Ready) < 0.75*float64(whole.Ready) {
			t.Errorf("half a ring is ready after %v, the whole after %v", x.Ready, whole.Ready)
		}
		last = x
	}
}

// The mean cooling of a wedge is between those of the two bricks that it lies between: the one as long as its
// radius and as wide as its back, which has more food behind the same faces, and the one as wide as its
// mean half way in and two thirds as long.
func TestWedgeBetweenBricks(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(200*mm, 60*mm)
	b := cut(t, bodyOf(t, s, err, chill.At(20, 20)), chill.Portion{Wedges: 8})
	place := kitchen.Equipment{Name: "Fridge", Kind: "refrigerator", Setting: 0, HasSetting: true, Transfer: 20}
	a, err := b.Chill(t.Context(), place, chill.Precision{Cell: 3 * unit.Millimetre})
	if err != nil || !a.Reached {
		t.Fatal(err, a.Reason)
	}
	brick := func(w, d, h unit.Length) chill.Answer {
		t.Helper()
		s, err := mould.Frame(w, d, h, 0, 0)
		x, err := cut(t, bodyOf(t, s, err, chill.At(20, 20)), chill.Portion{Width: w, Depth: d}).Chill(t.Context(), place, chill.Precision{Cell: 3 * unit.Millimetre})
		if err != nil || !x.Reached {
			t.Fatal(err, x.Reason)
		}
		return x
	}
	back := unit.Length(2 * math.Tan(math.Pi/8) * 100e-3)
	slow, quick := brick(back, 100*mm, 60*mm), brick(back/2, 67*mm, 60*mm)
	t.Logf("%v between %v and %v", a.Time, quick.Time, slow.Time)
	if a.Time < quick.Time || a.Time > slow.Time {
		t.Errorf("a wedge takes %v, bricks %v and %v", a.Time, quick.Time, slow.Time)
	}
}

func TestCutRefuses(t *testing.T) {
	t.Parallel()
	r, err := mould.Ring(200*mm, 45*mm)
	ring := bodyOf(t, r, err, chill.At(-18, -18))
	f, err := mould.Frame(300*mm, 200*mm, 40*mm, 0, 0)
	frame := bodyOf(t, f, err, chill.At(-18, -18))
	wedge := cut(t, ring, chill.Portion{Wedges: 8})
	for _, c := range []struct {
		b *chill.Body
		p chill.Portion
	}{
		{ring, chill.Portion{}},
		{ring, chill.Portion{Wedges: 1}},
		{ring, chill.Portion{Wedges: 65}},
		{ring, chill.Portion{Wedges: 8, Width: 20 * mm}},
		{frame, chill.Portion{}},
		{frame, chill.Portion{Wedges: 8}},
		{frame, chill.Portion{Width: 301 * mm}},
		{frame, chill.Portion{Depth: -20 * mm}},
		{frame, chill.Portion{Width: unit.Length(math.NaN())}},
		{wedge, chill.Portion{Wedges: 2}},
	} {
		if _, err := c.b.Cut(c.p); err == nil {
			t.Errorf("cut into %+v", c.p)
		}
	}
}

func BenchmarkWedge(b *testing.B) {
	s, err := mould.Ring(200*mm, 45*mm)
	wedge := cut(b, bodyOf(b, s, err, chill.At(-18, -18)), chill.Portion{Wedges: 8})
	for b.Loop() {
		if _, err := wedge.Serve(b.Context(), fridge, 22, 0.5, 2, 12); err != nil {
			b.Fatal(err)
		}
	}
}
