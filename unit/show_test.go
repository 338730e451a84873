package unit_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/unit"
)

// Figures as they are shown; by hand from the doc comments. The blank between thousands is a
// no-break space.
func TestShow(t *testing.T) {
	t.Parallel()
	for got, want := range map[string]string{
		unit.Mass(0).Show():                                "0 g",
		(0.25 * unit.Gram).Show():                          "0.25 g",
		(4.24 * unit.Gram).Show():                          "4.2 g",
		(158.6 * unit.Gram).Show():                         "159 g",
		(1234 * unit.Gram).Show():                          "1\u00a0234 g",
		(12.4 * unit.Kilogram).Show():                      "12.40 kg",
		(-5 * unit.Gram).Show():                            "−5.0 g",
		(2.5 * unit.Millilitre).Show():                     "2.5 ml",
		(1.145 * unit.Litre).Show():                        "1\u00a0145 ml",
		(12 * unit.Litre).Show():                           "12.00 L",
		(45 * unit.Millimetre).Show():                      "45 mm",
		(4.5 * unit.Millimetre).Show():                     "4.5 mm",
		(100 * unit.Millimetre).Show():                     "100 mm",
		(12 * unit.Metre).Show():                           "12.00 m",
		unit.Celsius(-18).Show():                           "−18 °C",
		unit.Celsius(0).Show():                             "0 °C",
		unit.Fahrenheit(350).Show():                        "176.7 °C",
		unit.ShowDuration(0):                               "0 min",
		unit.ShowDuration(40 * time.Second):                "40 s",
		unit.ShowDuration(119600 * time.Millisecond):       "2 min",
		unit.ShowDuration(35 * time.Minute):                "35 min",
		unit.ShowDuration(59*time.Minute + 40*time.Second): "1 h",
		unit.ShowDuration(2*time.Hour + 5*time.Minute):     "2 h 05 min",
		unit.ShowDuration(48 * time.Hour):                  "2 d",
		unit.ShowDuration(52 * time.Hour):                  "2 d 4 h",
		unit.ShowEstimate(50 * time.Second):                "50 s",
		unit.ShowEstimate(19 * time.Minute):                "19 min",
		unit.ShowEstimate(23 * time.Minute):                "25 min",
		unit.ShowEstimate(118 * time.Minute):               "2 h",
		unit.ShowEstimate(12*time.Hour + 58*time.Minute):   "13 h",
		unit.ShowDuration(-5 * time.Minute):                "−5 min",
		unit.Number(1234567.891, 2):                        "1\u00a0234\u00a0567.89",
		unit.Number(-0.001, 2):                             "0.00",
		unit.Number(math.NaN(), 1):                         "—",
		unit.Number(math.Inf(1), 1):                        "—",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	// By hand: 2⁶³ ns are 106 751.99 days.
	if got := unit.ShowDuration(math.MinInt64); !strings.HasPrefix(got, "−106752 d") {
		t.Errorf("the least duration shows as %q", got)
	}
}

// Scale divisions, by hand.
func TestRoundTo(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ m, division, want float64 }{ // in grams
		{158.6, 1, 159}, {158.4, 1, 158}, {157, 5, 155}, {158, 5, 160}, {3.14, 0.1, 3.1}, {0.4, 1, 1}, {0.001, 5, 5}, {0, 1, 0}, {12.3, 0, 12.3}, {12.3, -1, 12.3},
	} {
		got := (unit.Mass(c.m) * unit.Gram).RoundTo(unit.Mass(c.division) * unit.Gram).Grams()
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%g g in steps of %g g: got %g, want %g", c.m, c.division, got, c.want)
		}
	}
}

// A rounded mass is a whole number of divisions, within half of one, and never nothing.
func TestRoundToProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		m := unit.Mass(rapid.Float64Range(1e-9, 100).Draw(t, "m"))
		d := unit.Mass(rapid.SampledFrom([]float64{1e-5, 1e-4, 1e-3, 2e-3, 5e-3, 0.1}).Draw(t, "division"))
		got := m.RoundTo(d)
		n := float64(got / d)
		if got <= 0 || math.Abs(n-math.Round(n)) > 1e-6 || (m >= d/2 && math.Abs(float64(got-m)) > float64(d)*0.5000001) {
			t.Fatalf("%v in steps of %v is %v", m, d, got)
		}
	})
}

// Spoons and cups, by hand: the nearest eighth or third.
func TestKitchenFraction(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		x     float64
		text  string
		value float64
	}{
		{0, "0", 0},
		{0.05, "0", 0},
		{0.1, "⅛", 0.125},
		{0.25, "¼", 0.25},
		{0.33, "⅓", 1. / 3},
		{0.5, "½", 0.5},
		{0.66, "⅔", 2. / 3},
		{1.75, "1¾", 1.75},
		{0.97, "1", 1},
		{1.96, "2", 2},
		{2.02, "2", 2},
		{1234.5, "1\u00a0234½", 1234.5},
		{math.NaN(), "—", 0},
		{math.Inf(1), "—", 0},
		{-1, "—", 0},
	} {
		if text, value := unit.KitchenFraction(c.x); text != c.text || value != c.value {
			t.Errorf("KitchenFraction(%g) = %q, %g; want %q, %g", c.x, text, value, c.text, c.value)
		}
	}
	rapid.Check(t, func(t *rapid.T) { // no eighth is nearer
		x := rapid.Float64Range(0, 100).Draw(t, "x")
		text, value := unit.KitchenFraction(x)
		if math.Abs(value-x) > 1./16+1e-12 {
			t.Fatalf("%g is written %s", x, text)
		}
		if r, rest, err := unit.ParseNumber(text); err != nil || rest != "" || math.Abs(r.Low-value) > 1e-12 {
			t.Fatalf("%s is read as %v, %q, %v; want %g", text, r, rest, err, value)
		}
	})
}

func ExampleKitchenFraction() {
	text, value := unit.KitchenFraction(1.7)
	fmt.Printf("%s cups (%.2f)\n", text, value)
	// Output: 1⅔ cups (1.67)
}

func TestCounted(t *testing.T) {
	t.Parallel()
	for want, c := range map[string]struct {
		n    int
		what string
	}{"1 batch": {1, "batch"}, "2 batches": {2, "batch"}, "0 faults": {0, "fault"}, "12 bowls": {12, "bowl"}} {
		if got := unit.Counted(c.n, c.what); got != want {
			t.Errorf("%d %s: %q, want %q", c.n, c.what, got, want)
		}
	}
}
