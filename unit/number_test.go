package unit_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/unit"
)

// Numbers as cooks write them; every value by hand.
func TestParseNumber(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text      string
		low, high float64
		rest      string
	}{
		{"250", 250, 250, ""},
		{"250g", 250, 250, "g"},
		{"  3 eggs", 3, 3, " eggs"},
		{"0.5", 0.5, 0.5, ""},
		{"0,5", 0.5, 0.5, ""},
		{".5 g", 0.5, 0.5, " g"},
		{"0,125 g", 0.125, 0.125, " g"},
		{"1.250 kg", 1.25, 1.25, " kg"},
		{"12,5 g", 12.5, 12.5, " g"},
		{"1/8", 0.125, 0.125, ""},
		{"1⁄8", 0.125, 0.125, ""},
		{"⅛ tsp", 0.125, 0.125, " tsp"},
		{"½", 0.5, 0.5, ""},
		{"⅔", 2. / 3, 2. / 3, ""},
		{"3½", 3.5, 3.5, ""},
		{"3 ½ oz", 3.5, 3.5, " oz"},
		{"3 1/2 oz", 3.5, 3.5, " oz"},
		{"3\u00a01/2 oz", 3.5, 3.5, " oz"},
		{"3\u20091/2 oz", 3.5, 3.5, " oz"},
		{"3 1⁄2", 3.5, 3.5, ""},
		{"1-1/2 cups", 1.5, 1.5, " cups"},
		{"1-½ cups", 1.5, 1.5, " cups"},
		{"3/2", 1.5, 1.5, ""},
		{"2-3", 2, 3, ""},
		{"2–3", 2, 3, ""},
		{"2—3", 2, 3, ""},
		{"2 – 3 min", 2, 3, " min"},
		{"2 to 3 min", 2, 3, " min"},
		{"2 or 3 eggs", 2, 3, " eggs"},
		{"1 1/2 to 2 1/2 cups", 1.5, 2.5, " cups"},
		{"1/2-3/4", 0.5, 0.75, ""},
		{"½–¾", 0.5, 0.75, ""},
		{"2.5-3,5 g", 2.5, 3.5, " g"},
		{"2 tsp", 2, 2, " tsp"},
		{"5 torn leaves", 5, 5, " torn leaves"},
		{"1 4/2", 1, 1, " 4/2"},     // no mixed number has a fraction above one
		{"3.5½", 3.5, 3.5, "½"},     // nor a whole part with decimals
		{"1.5/2", 1.5, 1.5, "/2"},   // nor has a fraction decimals
		{"1/0.5", 1, 1, "/0.5"},     // on either side
		{"1 g/ml", 1, 1, " g/ml"},   // a stroke in a unit is none in a number
		{"1/g", 1, 1, "/g"},         // here too
		{"2--3", 2, 2, "--3"},       // what cannot be read is left to the caller
		{"1,5,5", 1.5, 1.5, ",5"},   // only one decimal mark
		{"1.5.5", 1.5, 1.5, ".5"},   // of either kind
		{"2 (two)", 2, 2, " (two)"}, // nothing else is eaten
	} {
		r, rest, err := unit.ParseNumber(c.text)
		if err != nil || r.Low != c.low || r.High != c.high || rest != c.rest {
			t.Errorf("ParseNumber(%q) = %v, %q, %v; want %g to %g, %q", c.text, r, rest, err, c.low, c.high, c.rest)
		}
	}
	if got := (unit.Range{Low: 2, High: 3}).Mid(); got != 2.5 {
		t.Errorf("the middle of 2 to 3 is %g", got)
	}
}

func TestParseNumberRefuses(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"":                                    "does not start with a number",
		"flour":                               "does not start with a number",
		"-3":                                  "negative",
		"−3":                                  "negative",
		"1,250 g":                             "write 1250 or 1.250",
		"12,500":                              "thousands or thousandths",
		"1,250,000":                           "thousands or thousandths",
		"1/0":                                 "0 below the bar",
		"1 to 1,250 g":                        "thousands or thousandths",
		"3-2 min":                             `the range "3-2" runs backwards`,
		"NaN":                                 "does not start with a number",
		"Inf g":                               "does not start with a number",
		"0x10":                                "",
		strings.Repeat("9", 400):              "too large",
		"1" + strings.Repeat("0", 16):         "too large",
		strings.Repeat("1", 1000) + ",250":    "thousands or thousandths",
		"1/" + strings.Repeat("0", 500) + "0": "0 below the bar",
		"0." + strings.Repeat("0", 400) + "1 to 1/0": "0 below the bar",
	} {
		_, rest, err := unit.ParseNumber(text)
		if want == "" {
			if err != nil || rest != "x10" { // hexadecimal is not read
				t.Errorf("ParseNumber(%q): rest %q, %v", text, rest, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseNumber(%q): error %v, want %q in it", text, err, want)
		} else if len(err.Error()) > 300 {
			t.Errorf("ParseNumber of %d bytes: the error has %d", len(text), len(err.Error()))
		}
	}
}

// A whole, an eighth and a spelling, put together at random, give their sum.
func TestParseNumberMixed(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.IntRange(0, 5000).Draw(t, "whole")
		num := rapid.IntRange(1, 7).Draw(t, "num")
		den := rapid.IntRange(8, 16).Draw(t, "den")
		gap := rapid.SampledFrom([]string{" ", "-", "\u00a0", "  "}).Draw(t, "gap")
		bar := rapid.SampledFrom([]string{"/", "⁄"}).Draw(t, "bar")
		text := itoa(whole) + gap + itoa(num) + bar + itoa(den)
		r, rest, err := unit.ParseNumber(text + " cups")
		want := float64(whole) + float64(num)/float64(den)
		if err != nil || math.Abs(r.Low-want) > 1e-12*want || r.High != r.Low || rest != " cups" {
			t.Fatalf("ParseNumber(%q) = %v, %q, %v; want %g", text, r, rest, err, want)
		}
	})
}
