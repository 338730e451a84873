package unit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Quantity is an amount as it was written: a number or a range, its unit and the text itself.
// The zero Quantity was not written at all; see Given.
type Quantity struct {
	Range
	Unit Unit
	Text string
}

// ParseQuantity reads a whole text such as "250 g", "1 3/4 oz" or "2-3 min" as a quantity of
// one of the accepted dimensions. The unit must be there, except for a Count; text that is left
// over, an unknown unit and a unit of another dimension are errors that list what is accepted.
// Only temperatures and their differences may be below zero; both ends of a range that starts
// there carry their sign ("-20 to -18 °C", "-5 to +10 °C").
func ParseQuantity(s string, accept ...Dimension) (Quantity, error) {
	text := strings.TrimSpace(s)
	read := ParseNumber
	if hasTemperature(accept) {
		read = signedNumber
	}
	r, rest, err := read(text)
	if err != nil {
		return Quantity{}, err
	}
	name := strings.TrimSpace(rest)
	u, ok := ParseUnit(name)
	switch {
	case !ok:
		return Quantity{}, fmt.Errorf("%q has the unit %q, which is not known: accepted are %s", clip(text), clip(name), listed(accept))
	case !accepts(accept, u.Dim) && name == "":
		return Quantity{}, fmt.Errorf("%q has no unit: write one of %s", clip(text), listed(accept))
	case !accepts(accept, u.Dim):
		return Quantity{}, fmt.Errorf("%q is a %s, but a %s is wanted here: accepted are %s", clip(text), u.Dim, join(accept), listed(accept))
	}
	return Quantity{Range: r, Unit: u, Text: text}, nil
}

// signedNumber reads a number or a range that may lie below zero.
func signedNumber(s string) (Range, string, error) {
	number, below := cutMinus(s)
	if !below {
		return ParseNumber(s)
	}
	low, rest, err := simpleNumber(trimSpaceLeft(number))
	if err != nil {
		return Range{}, s, err
	}
	after := trimSpaceLeft(rest)
	for _, sep := range []string{"–", "—", "-", "to ", "or "} {
		tail, isRange := strings.CutPrefix(after, sep)
		if !isRange {
			continue
		}
		tail, minus := cutMinus(trimSpaceLeft(tail))
		tail, plus := strings.CutPrefix(tail, "+")
		if !startsNumber(tail) {
			break
		}
		high, rest, err := simpleNumber(tail)
		switch {
		case err != nil:
			return Range{}, s, err
		case !minus && !plus:
			return Range{}, s, fmt.Errorf("%q leaves open whether its second end is below zero: write -20 to -18 or -5 to +10", clip(s))
		case minus:
			high = -high
		}
		return Range{min(-low, high), max(-low, high)}, rest, nil
	}
	return Range{-low, -low}, rest, nil
}

// cutMinus removes one minus sign from the start of s, and reports whether there was one.
func cutMinus(s string) (rest string, found bool) {
	if rest, found = strings.CutPrefix(s, "-"); found {
		return rest, true
	}
	return strings.CutPrefix(s, "−")
}

// listed names what is accepted, a bare number and the degrees of a difference included.
func listed(dims []Dimension) string {
	var names []string
	if units := Accepted(dims...); units != "" {
		names = append(names, units)
	}
	if accepts(dims, OfTempDiff) && !slices.Contains(dims, OfTemperature) {
		names = append(names, Accepted(OfTemperature))
	}
	if slices.Contains(dims, Count) {
		names = append(names, "a number without a unit")
	}
	return strings.Join(names, ", ")
}

func hasTemperature(dims []Dimension) bool {
	return accepts(dims, OfTemperature) || accepts(dims, OfTempDiff)
}

func accepts(dims []Dimension, d Dimension) bool {
	for _, a := range dims {
		if a == d || (a == OfTempDiff && d == OfTemperature) { // "±5 °C" is a difference
			return true
		}
	}
	return false
}

func join(dims []Dimension) string {
	names := make([]string, len(dims))
	for i, d := range dims {
		names[i] = d.String()
	}
	return strings.Join(names, " or ")
}

// Of makes the quantity of v units, with its text.
func Of(v float64, u Unit) Quantity {
	t := strconv.FormatFloat(v, 'f', -1, 64)
	if u.Symbol != "" {
		t += " " + u.Symbol
	}
	return Quantity{Range: Range{v, v}, Unit: u, Text: t}
}

// Given reports whether the quantity was written.
func (q Quantity) Given() bool { return q.Text != "" }

// String returns the text as written.
func (q Quantity) String() string { return q.Text }

// Times returns the quantity k times as large, in the same unit. Its text says both ends of a
// range; what was not written stays so.
func (q Quantity) Times(k float64) Quantity {
	if !q.Given() {
		return q
	}
	s := Of(q.Low*k, q.Unit)
	if high := q.High * k; high != s.Low {
		s.High = high
		s.Text = strconv.FormatFloat(s.Low, 'f', -1, 64) + " to " + Of(high, q.Unit).Text
	}
	return s
}

// si returns the middle of the range in SI; the caller has checked the dimension.
func (q Quantity) si(want Dimension) float64 {
	if !q.Given() {
		return 0
	}
	if q.Unit.Dim != want {
		panic("unit: " + q.Text + " is a " + q.Unit.Dim.String() + ", not a " + want.String())
	}
	return q.Mid() * q.Unit.si
}

// Mass returns the middle of the range as a mass. Like its companions below it panics if the
// quantity is of another dimension, and returns zero if it was not written.
func (q Quantity) Mass() Mass { return Mass(q.si(OfMass)) }

// Volume returns the middle of the range as a volume.
func (q Quantity) Volume() Volume { return Volume(q.si(OfVolume)) }

// Length returns the middle of the range as a length.
func (q Quantity) Length() Length { return Length(q.si(OfLength)) }

// Area returns the middle of the range as an area.
func (q Quantity) Area() Area { return Area(q.si(OfArea)) }

// Density returns the middle of the range as a density.
func (q Quantity) Density() Density { return Density(q.si(OfDensity)) }

// Load returns the middle of the range as a mass on an area.
func (q Quantity) Load() Load { return Load(q.si(OfLoad)) }

// Duration returns the middle of the range as a time.
func (q Quantity) Duration() time.Duration { return seconds(q.si(OfTime)) }

// Number returns the middle of the range of a count.
func (q Quantity) Number() float64 { return q.si(Count) }

// Share returns the middle of the range of a percentage as a fraction of one. A bare count is
// taken as the fraction itself, so that "12 %" and "0.12" agree.
func (q Quantity) Share() float64 {
	if q.Unit.Dim == Count {
		return q.Number()
	}
	return q.si(OfShare)
}

// Temperature returns the middle of the range as a point on the scale.
func (q Quantity) Temperature() Temperature {
	if q.Unit.Symbol == "°F" {
		return Fahrenheit(q.Mid())
	}
	return Temperature(q.si(OfTemperature))
}

// TemperatureRange returns both ends of the range.
func (q Quantity) TemperatureRange() (low, high Temperature) {
	lo, hi := q, q
	lo.High, hi.Low = q.Low, q.High
	return lo.Temperature(), hi.Temperature()
}

// TempDiff returns the middle of the range as a difference: "5 K", "5 °C" or "9 °F".
func (q Quantity) TempDiff() TempDiff {
	if q.Unit.Dim == OfTemperature {
		return TempDiff(q.si(OfTemperature))
	}
	return TempDiff(q.si(OfTempDiff))
}
