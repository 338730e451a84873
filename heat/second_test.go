package heat

import (
	"errors"
	"math"
	"testing"
	"time"

	"chablon/material"
	"chablon/unit"
)

// Lin's lags of slab and ball agree with the first term of the series within the 2.4 % that LagOf promises,
// and of ring cakes within 8 % (bib:lin-1996, comparison of the reference). The first term: Carslaw & Jaeger.
func TestLag(t *testing.T) {
	const k, c = 0.45, 0.45 / 1.3e-7
	for _, x := range []struct {
		b         Body
		tolerance float64
	}{
		{Slab(millimetres(45)), .024},
		{Sphere(millimetres(60)), .024},
		{Cylinder(millimetres(180), millimetres(45)), .08},
		{Cylinder(millimetres(160), millimetres(50)), .08},
		{Cylinder(millimetres(60), millimetres(120)), .08},
		{Brick(millimetres(200), millimetres(80), millimetres(50)), .08},
	} {
		for _, h := range []unit.HeatTransfer{8, 20, 50} {
			l, err := LagOf(x.b, k, c, h)
			if err != nil {
				t.Fatal(err)
			}
			d := x.b.directions(float64(h), k)
			want := d.timeTo(k/c, 0.1)
			if got := l.Time(l.Centre, 0.1).Seconds(); math.Abs(got/want-1) > x.tolerance {
				t.Errorf("%v h %g: %.0f s, series %.0f s (%+.1f %%)", x.b, float64(h), got, want, 100*(got/want-1))
			}
			if l.Mean >= l.Centre {
				t.Errorf("%v: mean %g lags behind the centre %g", x.b, l.Mean, l.Centre)
			}
		}
	}
	ball, err1 := LagOf(Sphere(.06), k, c, 20)
	egg, err2 := LagOf(Ellipsoid(.06, .06, .06), k, c, 20)
	if err1 != nil || err2 != nil || math.Abs(ball.Tenfold.Seconds()/egg.Tenfold.Seconds()-1) > 0.02 {
		t.Errorf("a round egg %v, a ball %v", egg, ball)
	}
	var input *InputError
	for _, err := range []error{
		func() error { _, err := LagOf(Slab(0), k, c, 8); return err }(), func() error { _, err := LagOf(Slab(1), 0, c, 8); return err }(),
		func() error { _, err := LagOf(Slab(1), k, math.NaN(), 8); return err }(), func() error { _, err := LagOf(Slab(1), k, c, 0); return err }(),
	} {
		if !errors.As(err, &input) {
			t.Errorf("got %v", err)
		}
	}
}

// An egg of three equal axes freezes and cools as a ball; a long one as its place between ball and rod.
func TestEllipsoid(t *testing.T) {
	m := mousse(t)
	ask := func(b Body) float64 {
		e, err := Freezing(b, m, 4, -18, -30, 20)
		if err != nil {
			t.Fatal(err)
		}
		return e.Time.Seconds()
	}
	ball, egg, long, rod := ask(Sphere(.05)), ask(Ellipsoid(.05, .05, .05)), ask(Ellipsoid(.05, .12, .05)), ask(Cylinder(.05, 4))
	if math.Abs(egg/ball-1) > 0.01 || !(long > egg && long < rod) {
		t.Errorf("ball %.0f, round egg %.0f, long egg %.0f, rod %.0f s", ball, egg, long, rod)
	}
	custard := food(t, .7, .04, .08, .17, .16, .01, 0)
	a, err1 := Cooling(Sphere(.05), custard, 60, 10, 3, 8)
	b, err2 := Cooling(Ellipsoid(.05, .05, .05), custard, 60, 10, 3, 8)
	if err1 != nil || err2 != nil || math.Abs(b.Time.Seconds()/a.Time.Seconds()-1) > 0.03 {
		t.Errorf("ball cools in %v (%v), round egg in %v (%v)", a.Time, err1, b.Time, err2)
	}
}

// Plank's R of a box: 1/24 for a cube, 1/8 for a wide plate, 1/16 for a long square bar (Plank 1913).
func TestBoxR(t *testing.T) {
	for _, c := range []struct{ b1, b2, want, tolerance float64 }{{1, 1, 1.0 / 24, 1e-9}, {1.001, 1.001, 1.0 / 24, 1e-3}, {1e4, 1e4, .125, 1e-3}, {1, 1e5, 1.0 / 16, 1e-3}} {
		if got := boxR(c.b1, c.b2); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%g by %g: got %g, want %g", c.b1, c.b2, got, c.want)
		}
	}
}

// Pham and Cleland & Earle, 10 % each, agree within 20 % on a food like those they were fitted to: lean meat
// with 74 % water that freezes near -1 degC.
func TestClelandEarle(t *testing.T) {
	var c material.Composition
	for k, share := range map[material.Component]float64{
		material.Water: .74, material.Protein: .21, material.Fat: .04, material.Carbohydrate: 0, material.Sugars: 0, material.Ash: .01, material.Sodium: .0006, material.Alcohol: 0,
	} {
		c.Set(k, share)
	}
	meat, err := c.Thermal(0)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range []Body{Slab(millimetres(50)), Sphere(millimetres(60)), Brick(millimetres(60), millimetres(80), millimetres(100))} {
		p, err1 := Freezing(b, meat, 10, -18, -30, 30)
		q, err2 := ClelandEarle(b, meat, 10, -18, -30, 30)
		if err1 != nil || err2 != nil || math.Abs(q.Seconds()/p.Time.Seconds()-1) > 0.2 {
			t.Errorf("%v: Pham %v (%v), Cleland & Earle %v (%v)", b, p.Time, err1, q, err2)
		}
	}
	var input *InputError
	for _, b := range []Body{Cylinder(.2, .04), Slab(.3)} {
		if _, err := ClelandEarle(b, meat, 10, -18, -30, 30); !errors.As(err, &input) {
			t.Errorf("%v: %v", b, err)
		}
	}
	var never *NeverError
	if _, err := ClelandEarle(Slab(.05), meat, 10, -18, -18, 30); !errors.As(err, &never) {
		t.Errorf("air as cold as the target: %v", err)
	}
}

// A known bake gives itself back; deeper takes longer, between the depth's ratio and its square; the range
// holds both of the cook's rules for a pan half as deep again.
func TestBakeTime(t *testing.T) {
	known := Baked{Cylinder(millimetres(200), millimetres(40)), 35 * time.Minute, 96}
	same, err := BakeTime(known, known.Body)
	if err != nil || math.Abs(same.Time.Minutes()-35) > 0.01 {
		t.Errorf("the same pan: %v, %v", same.Time, err)
	}
	deep, err := BakeTime(known, Cylinder(millimetres(200), millimetres(60)))
	if ratio := deep.Time.Minutes() / 35; err != nil || ratio < 1.2 || ratio > 2.25 {
		t.Errorf("half as deep again takes %g times as long, %v", ratio, err)
	}
	if wide, err := BakeTime(known, Cylinder(millimetres(260), millimetres(40))); err != nil || wide.Time < same.Time || wide.Time > deep.Time {
		t.Errorf("a wider pan of the same depth: %v, %v", wide.Time, err)
	}
	if deep.High <= deep.Time || deep.Low >= deep.Time || deep.High.Seconds()/deep.Low.Seconds() < 1.3 {
		t.Errorf("range %v to %v", deep.Low, deep.High)
	}
	var input *InputError
	for _, bad := range []Baked{{known.Body, 0, 96}, {known.Body, time.Hour, 120}, {Body{}, time.Hour, 96}, {Ellipsoid(.1, .1, .1), time.Hour, 96}} {
		if _, err := BakeTime(bad, known.Body); !errors.As(err, &input) {
			t.Errorf("%v: %v", bad, err)
		}
	}
}
