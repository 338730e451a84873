package check

import (
	"fmt"
	"time"

	"chablon/finding"
	"chablon/formula"
	"chablon/material"
	"chablon/unit"
)

// rawEgg finds egg that no step heats; see formula.go for the temperature. It does not apply
// without raw egg.
func (j *judge) rawEgg() {
	if !j.f.Contains("raw-egg") {
		j.skip("raw egg", "it holds no raw egg")
		return
	}
	eggs(&j.report.Findings, j.f, j.where)
}

// Limits of FDA Food Code 2022 for a food that needs control: seven days at 5 °C, the day of
// making counted (3-501.17); four hours without control (3-501.19).
const (
	coldLimit = 7 * 24 * time.Hour
	roomLimit = 4 * time.Hour
)

// assumedPH is taken for a food whose pH is not on record: the column of the code's table that
// asks for control soonest.
const assumedPH = 7

// keeping tells by water activity whether the component needs time and temperature control, and
// sets the holds that the formula states against the code. The safety hold is the code's, the
// quality hold practice; each is judged by itself. The pH is not on record, so that only a water
// activity below 0.88 frees a food of control. The rule does not apply where the activity cannot
// be computed; holds in the freezer are of quality alone.
func (j *judge) keeping() {
	const rule = "keeping"
	a, err := j.active()
	if err != nil {
		j.skip(rule, "its water activity cannot be computed: "+err.Error())
		return
	}
	class, err := material.Assessed(a.High(), assumedPH, material.NotTreated)
	if err != nil {
		j.skip(rule, err.Error())
		return
	}
	v := Outside
	if class == material.NonTCS {
		v = Inside
	}
	j.figure(Figure{
		"water activity against the limit of control", a.High(), 0, 0.88, "ratio", "bib:food-code-2022",
		"upper bound of the computed activity; pH not known, so the strictest column of Food Code 1-201.10 Table B: " + class.String(), v,
	})
	if class == material.NonTCS {
		j.skip(rule+": holds", "it needs no control by its water activity; quality alone limits it")
		return
	}
	if len(j.f.Holds) == 0 {
		j.skip(rule+": holds", "no holds are written")
	}
	for _, h := range j.f.Holds {
		j.hold(h)
	}
}

// hold judges one hold of a food that needs control.
func (j *judge) hold(h formula.Hold) {
	most, source := time.Duration(0), "bib:food-code-2022"
	switch h.Place {
	case "refrigerator":
		most = coldLimit
	case "room":
		most = roomLimit
	default:
		j.skip("hold in the "+h.Place, "frozen, safety sets no limit")
		return
	}
	says := h.Safety
	word := "safety hold"
	if says == 0 {
		says, word = h.Quality, "quality hold"
	}
	if says == 0 {
		j.skip("hold in the "+h.Place, "no time is written")
		return
	}
	v := Inside
	if says > most {
		v = Outside
	}
	j.figure(Figure{"hold in the " + h.Place, says.Hours(), 0, most.Hours(), "h", source, word + " as written against Food Code 3-501.17 and 3-501.19", v})
	level := finding.Caution
	switch {
	case says <= most:
	case h.Place == "room" && j.baked():
		j.find("hold-beyond-code", finding.Note, source, fmt.Sprintf("keeps %s in the %s; by its water activity of up to %s and unknown pH the code treats it as needing control after %s", unit.ShowDuration(says), h.Place, unit.Number(j.water.High(), 2), unit.ShowDuration(most)),
			"A baked crumb is usually assessed as safe in the room: have the pH and the water activity measured, or keep it cold.")
	default:
		j.find("hold-beyond-code", level, source, fmt.Sprintf("has a %s of %s in the %s; treated as needing control it keeps %s there (water activity up to %s, pH not known)", word, unit.ShowDuration(says), h.Place, unit.ShowDuration(most), unit.Number(j.water.High(), 2)),
			fmt.Sprintf("Write a safety hold of at most %s, or have the pH and the water activity measured; the local code decides.", unit.ShowDuration(most)))
	}
	if h.Safety > 0 && h.Quality > h.Safety {
		j.find("quality-beyond-safety", finding.Caution, source, fmt.Sprintf("has a quality hold of %s in the %s, longer than its safety hold of %s", unit.ShowDuration(h.Quality), h.Place, unit.ShowDuration(h.Safety)),
			"Shorten the quality hold to the safety hold.")
	}
}
