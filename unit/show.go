package unit

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// RoundTo rounds m to the nearest whole division of a scale. A mass above zero is never shown
// as nothing: below half a division it becomes one division. A division of zero rounds nothing.
func (m Mass) RoundTo(division Mass) Mass {
	if division <= 0 || m == 0 {
		return m
	}
	n := math.Round(float64(m) / float64(division))
	if n == 0 && m > 0 {
		n = 1
	}
	return Mass(n) * division
}

// Show writes m for people: milligrams never, grams with as many decimals as matter ("4.2 g",
// "159 g"), kilograms from ten ("12.40 kg"). Thousands are set apart by a no-break space.
func (m Mass) Show() string {
	g := m.Grams()
	switch a := math.Abs(g); {
	case a == 0:
		return "0 g"
	case a < 1:
		return Number(g, 2) + " g"
	case a < 100:
		return Number(g, 1) + " g"
	case a < 10_000:
		return Number(g, 0) + " g"
	default:
		return Number(g/1000, 2) + " kg"
	}
}

// Show writes v in millilitres, or litres from ten.
func (v Volume) Show() string {
	ml := v.Millilitres()
	switch a := math.Abs(ml); {
	case a < 10:
		return Number(ml, 1) + " ml"
	case a < 10_000:
		return Number(ml, 0) + " ml"
	default:
		return Number(ml/1000, 2) + " L"
	}
}

// Show writes l in millimetres with at most one decimal, or metres from ten.
func (l Length) Show() string {
	mm := l.Millimetres()
	if math.Abs(mm) >= 10_000 {
		return Number(mm/1000, 2) + " m"
	}
	return trimZeros(Number(mm, 1)) + " mm"
}

// Show writes t in whole degrees Celsius, or with one decimal where there is one.
func (t Temperature) Show() string { return trimZeros(Number(t.Celsius(), 1)) + " °C" }

// ShowDuration writes d for people: "40 s", "35 min", "2 h 05 min", "1 d 4 h".
func ShowDuration(d time.Duration) string {
	if d < 0 {
		return "−" + ShowDuration(-max(d, -math.MaxInt64)) // the least of all has no opposite
	}
	switch {
	case d < 2*time.Minute-time.Second/2 && d%time.Minute != 0:
		return strconv.Itoa(int(math.Round(d.Seconds()))) + " s"
	case d < time.Hour-time.Minute/2:
		return strconv.Itoa(int(math.Round(d.Minutes()))) + " min"
	case d < 48*time.Hour:
		m := int(math.Round(d.Minutes()))
		if m%60 == 0 {
			return strconv.Itoa(m/60) + " h"
		}
		return strconv.Itoa(m/60) + " h " + pad2(m%60) + " min"
	default:
		h := int(math.Round(d.Hours()))
		if h%24 == 0 {
			return strconv.Itoa(h/24) + " d"
		}
		return strconv.Itoa(h/24) + " d " + strconv.Itoa(h%24) + " h"
	}
}

// ShowEstimate writes a predicted time for people, rounded to what it is sure of: to five minutes from twenty
// on, to a quarter of an hour from two hours on.
func ShowEstimate(d time.Duration) string {
	switch {
	case d >= 2*time.Hour:
		d = d.Round(15 * time.Minute)
	case d >= 20*time.Minute:
		d = d.Round(5 * time.Minute)
	}
	return ShowDuration(d)
}

func pad2(n int) string {
	if n < 10 {
		return "0" + strconv.Itoa(n)
	}
	return strconv.Itoa(n)
}

// Number writes x with a fixed number of decimals and a no-break space between
// thousands. A number that is not finite is written as a dash; it never reaches a page as NaN.
func Number(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "—"
	}
	s := strconv.FormatFloat(math.Abs(x), 'f', decimals, 64)
	whole, frac, _ := strings.Cut(s, ".")
	if len(whole) > 3 {
		var b strings.Builder
		for i, c := range whole {
			if i > 0 && (len(whole)-i)%3 == 0 {
				b.WriteRune('\u00a0')
			}
			b.WriteRune(c)
		}
		whole = b.String()
	}
	if frac != "" {
		whole += "." + frac
	}
	if x < 0 && strings.Trim(s, "0.") != "" {
		whole = "−" + whole
	}
	return whole
}

func trimZeros(s string) string {
	if !strings.Contains(s, ".") {
		return s
	}
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// kitchenFractions are the parts that spoons and cups are sold in.
var kitchenFractions = []struct {
	value float64
	text  string
}{
	{0, ""}, {1. / 8, "⅛"}, {1. / 4, "¼"}, {1. / 3, "⅓"}, {3. / 8, "⅜"}, {1. / 2, "½"}, {5. / 8, "⅝"}, {2. / 3, "⅔"}, {3. / 4, "¾"}, {7. / 8, "⅞"}, {1, ""},
}

// KitchenFraction writes x as a whole number and the nearest eighth or third ("1¾"), and
// returns the value so written: showing rounds, and the caller may want to say by how much.
// Below a sixteenth it writes "0": such an amount wants a scale.
func KitchenFraction(x float64) (text string, value float64) {
	if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
		return "—", 0
	}
	whole := math.Floor(x)
	best := 0
	for i, f := range kitchenFractions {
		if math.Abs(x-whole-f.value) < math.Abs(x-whole-kitchenFractions[best].value) {
			best = i
		}
	}
	f := kitchenFractions[best]
	if f.value == 1 {
		whole, f = whole+1, kitchenFractions[0]
	}
	value = whole + f.value
	if whole == 0 && f.text != "" {
		return f.text, value
	}
	return Number(whole, 0) + f.text, value
}

// Counted writes so many of a thing that is named in the singular: "1 batch", "2 batches",
// "3 bowls".
func Counted(n int, what string) string {
	switch {
	case n == 1:
		return "1 " + what
	case strings.HasSuffix(what, "ch"):
		what += "e"
	}
	return strconv.Itoa(n) + " " + what + "s"
}
