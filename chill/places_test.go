package chill_test

import (
	"testing"

	"chablon/chill"
)

// Every usual freezer solidifies a ring, the colder and windier the sooner, and aims at SolidCore.
func TestUsualFreezers(t *testing.T) {
	t.Parallel()
	p := ring(t, 180*mm, 45*mm)
	last := freeze(t, p, chill.UsualFreezers()[0].Equipment).Time
	for _, f := range chill.UsualFreezers()[1:] {
		w := freeze(t, p, f.Equipment)
		if w.Time >= last || f.Source == "" {
			t.Errorf("%s: %v after %v, source %q", f.Name, w.Time, last, f.Source)
		}
		if want := "core at " + chill.SolidCore(f.Setting).Show(); w.Criterion != want {
			t.Errorf("%s: %s, want %s", f.Name, w.Criterion, want)
		}
		last = w.Time
	}
	if a, b := chill.SolidCore(-14), chill.SolidCore(-30); a != -11 || b != -15 {
		t.Errorf("at −14 °C %v, at −30 °C %v, want −11 and −15", a, b)
	}
}
