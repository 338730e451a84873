package unit

import (
	"fmt"
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
func ParseQuantity(s string, accept ...Dimension) (Quantity, error) {
	text := strings.TrimSpace(s)
	num, negative := text, false
	if hasTemperature(accept) {
		num = strings.TrimLeft(text, "-−")
		negative = num != text
	}
	r, rest, err := ParseNumber(num)
	if err != nil {
		return Quantity{}, err
	}
	if negative { // "-20 °C"; a range below zero is written with the colder end first
		r = Range{-r.Low, -r.High}
		if r.High < r.Low {
			r.Low, r.High = r.High, r.Low
		}
	}
	name := strings.TrimSpace(rest)
	u, ok := ParseUnit(name)
	switch {
	case !ok:
		return Quantity{}, fmt.Errorf("%q has the unit %q, which is not known: accepted are %s", clip(text), clip(name), Accepted(accept...))
	case !accepts(accept, u.Dim) && name == "":
		return Quantity{}, fmt.Errorf("%q has no unit: write one of %s", clip(text), Accepted(accept...))
	case !accepts(accept, u.Dim):
		return Quantity{}, fmt.Errorf("%q is a %s, but a %s is wanted here: accepted are %s", clip(text), u.Dim, join(accept), Accepted(accept...))
	}
	return Quantity{Range: r, Unit: u, Text: text}, nil
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

// Times returns the quantity k times as large, in the same unit.
func (q Quantity) Times(k float64) Quantity {
	s := Of(q.Mid()*k, q.Unit)
	s.Low, s.High = q.Low*k, q.High*k
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
