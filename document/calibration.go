package document

import (
	"fmt"
	"math"
	"strconv"

	"chablon/kitchen"
	"chablon/unit"
)

// Calibrated returns the place with a calibration added to its history: the ones before stay, and so does a
// coefficient that was written by hand. The newest by date is used. Figures are written to three significant
// digits, times to the minute, temperatures to a tenth of a degree.
func (e Equipment) Calibrated(c kitchen.Calibration) Equipment {
	next := Calibration{
		Date: c.Date, Transfer: threeDigits(c.Transfer), TransferLow: threeDigits(c.Low), TransferHigh: threeDigits(c.High),
		Conductivity: threeDigits(c.Conductivity), ConductivityLow: threeDigits(c.ConductivityLow), ConductivityHigh: threeDigits(c.ConductivityHigh),
		Piece: c.Piece, Note: c.Note,
	}
	for _, r := range c.Readings {
		next.Readings = append(next.Readings, Reading{
			After:       written(strconv.Itoa(int(math.Round(r.After.Minutes())))+" min", unit.OfTime),
			Temperature: written(strconv.FormatFloat(r.Temperature.Celsius(), 'f', 1, 64)+" °C", unit.OfTemperature),
		})
	}
	e.Calibrations = append(append([]Calibration(nil), e.Calibrations...), next)
	return e
}

func threeDigits(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	if err != nil {
		return x
	}
	return y
}

// written returns a quantity of text that this package has made itself.
func written(text string, d unit.Dimension) unit.Quantity {
	q, err := unit.ParseQuantity(text, d)
	if err != nil {
		return unit.Quantity{}
	}
	return q
}

// calibrations takes over those whose figures can be true; each other one is told.
func (r *resolver) calibrations(d Document, path string, list []Calibration) []kitchen.Calibration {
	var out []kitchen.Calibration
	for i, c := range list {
		at := fmt.Sprintf("%s[%d]", path, i)
		if !(c.Transfer > 0) || !around(c.TransferLow, c.Transfer, c.TransferHigh) {
			r.fail(d, at+".transfer", Error{Found: fmt.Sprint(c.Transfer), Reason: "is not above 0, or not between its low and high", Remedy: "write the coefficient that was found, and its range around it or none"})
			continue
		}
		if !around(c.ConductivityLow, c.Conductivity, c.ConductivityHigh) {
			r.fail(d, at+".conductivity", Error{Found: fmt.Sprint(c.Conductivity), Reason: "is not between its low and high", Remedy: "write the factor that was found, and its range around it or none"})
			continue
		}
		next := kitchen.Calibration{
			Date: c.Date, Transfer: c.Transfer, Low: c.TransferLow, High: c.TransferHigh,
			Conductivity: c.Conductivity, ConductivityLow: c.ConductivityLow, ConductivityHigh: c.ConductivityHigh, Piece: c.Piece, Note: c.Note,
		}
		for _, x := range c.Readings {
			next.Readings = append(next.Readings, kitchen.Reading{After: x.After.Duration(), Temperature: x.Temperature.Temperature()})
		}
		out = append(out, next)
	}
	return out
}

// around reports whether a figure lies between two ends, of which both may be 0 for not known.
func around(low, x, high float64) bool {
	return low == 0 && high == 0 || 0 < low && low <= x && x <= high
}
