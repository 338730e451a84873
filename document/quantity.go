package document

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"chablon/unit"
)

// quantity reads a quantity of the accepted dimensions. A share may be a bare number from 0
// to 1. What is below zero (but a temperature) or beyond any kitchen is refused.
func quantity(text string, dims []unit.Dimension) (unit.Quantity, *Error) {
	accept := dims
	if slices.Contains(dims, unit.OfShare) && !slices.Contains(dims, unit.Count) {
		accept = append(slices.Clone(dims), unit.Count)
	}
	bad := func(reason string) (unit.Quantity, *Error) {
		return unit.Quantity{}, &Error{Reason: reason, Remedy: "write " + wanted(dims)}
	}
	trimmed := strings.TrimSpace(text)
	digits := strings.TrimLeft(trimmed, "-−")
	below := digits != trimmed
	if len(trimmed)-len(digits) > len("−") || (len(digits) > 0 && strings.HasPrefix(trimmed, "--")) {
		return bad("starts with more than one sign")
	}
	_, rest, err := unit.ParseNumber(digits)
	if err != nil {
		if startsWithDigit(digits) { // the text says which digits, and how to write them
			return unit.Quantity{}, &Error{Remedy: err.Error()}
		}
		return bad("does not start with a number")
	}
	rest = strings.TrimSpace(rest)
	u, ok := unit.ParseUnit(rest)
	switch {
	case !ok:
		return bad("has the unknown unit " + quote(rest))
	case !slices.Contains(accept, u.Dim) && u.Dim == unit.Count:
		return bad("has no unit")
	case !slices.Contains(accept, u.Dim):
		return bad("is " + article(u.Dim.String()))
	case below && u.Dim != unit.OfTemperature:
		return bad("is below zero")
	}
	q, err := unit.ParseQuantity(text, accept...)
	if err != nil {
		return unit.Quantity{}, &Error{Remedy: err.Error()}
	}
	if u.Dim == unit.Count && !slices.Contains(dims, unit.Count) && q.High > 1 {
		return bad("is more than the whole")
	}
	if reason := absurd(q); reason != "" {
		return bad(reason)
	}
	return q, nil
}

func startsWithDigit(s string) bool { return s != "" && s[0] >= '0' && s[0] <= '9' }

// absurd says why a quantity cannot be meant, empty if it can. The bounds are far beyond any
// kitchen (our choice, no source); absolute zero is a fact.
func absurd(q unit.Quantity) string {
	if math.IsNaN(q.Low) || math.IsInf(q.Low, 0) || math.IsNaN(q.High) || math.IsInf(q.High, 0) {
		return "is no finite number"
	}
	top := q
	top.Low = q.High
	low, _ := coldest(q)
	switch q.Unit.Dim {
	case unit.OfMass:
		return over(float64(top.Mass()), 1e6, "1000 t")
	case unit.OfVolume:
		return over(float64(top.Volume()), 1e3, "1000 m³")
	case unit.OfLength:
		return over(float64(top.Length()), 1e3, "1 km")
	case unit.OfArea:
		return over(float64(top.Area()), 1e6, "1 km²")
	case unit.OfTime:
		return over(float64(top.Duration()), 10*365.25*24*float64(time.Hour), "10 years")
	case unit.OfDensity:
		return over(float64(top.Density()), 25e3, "the density of any metal")
	case unit.OfLoad:
		return over(float64(top.Load()), 1e4, "10 t/m²")
	case unit.OfTempDiff:
		return over(float64(top.TempDiff()), 5000, "5000 K")
	case unit.OfTemperature:
		if low < -273.15 {
			return "is below absolute zero"
		}
		return over(float64(top.Temperature()), 5000, "5000 °C")
	case unit.OfShare:
		return over(top.Share(), 100, "10 000 %")
	default:
		return over(top.Number(), 1e9, "a thousand million")
	}
}

func coldest(q unit.Quantity) (low, high unit.Temperature) {
	if q.Unit.Dim != unit.OfTemperature {
		return 0, 0
	}
	return q.TemperatureRange()
}

func over(v, limit float64, words string) string {
	if v > limit*(1+1e-12) { // so that the limit itself passes in every unit
		return "is more than " + words
	}
	return ""
}

func article(name string) string {
	if strings.ContainsAny(name[:1], "aeio") {
		return "an " + name
	}
	return "a " + name
}

// wanted describes quantities of the dimensions: "a density in g/ml or kg/m³".
func wanted(dims []unit.Dimension) string {
	switch {
	case len(dims) == len(anyDimension):
		return "a number with its unit, such as 250 g, 12 mm or 4 °C"
	case len(dims) == 1 && dims[0] == unit.Count:
		return "a number without a unit, of zero or more"
	case len(dims) == 1 && dims[0] == unit.OfShare:
		return "a share such as 12 %, or a number from 0 to 1"
	}
	var names []string
	for _, d := range dims {
		if d == unit.Count {
			names = append(names, "a bare number")
		} else {
			names = append(names, article(d.String()))
		}
	}
	units := either(strings.Split(unit.Accepted(dims...), ", "))
	return fmt.Sprintf("%s in %s", either(names), units)
}
