package rescue

import (
	"fmt"
	"math"

	"chablon/material"
	"chablon/unit"
)

// Loss of strength of gelatin in the heat: 5 to 10 % of its Bloom an hour at 80 °C near neutral
// (bib:ward-courts, from memory), twice as fast for each 10 K, and three to six times as fast in a
// mix below pH 4. The two factors are common practice, no source; the range carries them.
const (
	lostPerHourLow  = 0.05
	lostPerHourHigh = 0.10
	referenceHeat   = 80.0
	acidLow         = 3.0
	acidHigh        = 6.0
)

// BoiledGelatin returns the gelatin to add, of the same grade, after a mix with so much of it was
// held at a temperature for some minutes. More than half of the strength gone, or a mix that is
// also sour and boiled for long, is not mended by guessing.
func BoiledGelatin(gelatin unit.Mass, at unit.Temperature, minutes float64, sour bool) (Remedy, error) {
	if err := check("the gelatin", gelatin); err != nil {
		return Remedy{}, err
	}
	if !(at >= 0 && at <= 130) || !(minutes >= 0 && minutes <= 24*60) {
		return Remedy{}, fmt.Errorf("%s for %.4g min: give 0 to 130 °C and up to a day", at.Show(), minutes)
	}
	speed := math.Pow(2, (at.Celsius()-referenceHeat)/10) * minutes / 60
	low, high := lostPerHourLow*speed, lostPerHourHigh*speed
	if sour {
		low, high = low*acidLow, high*acidHigh
	}
	low, high = 1-math.Exp(-low), 1-math.Exp(-high) // first order
	if high > 0.5 {
		return impossible("Make it again", fmt.Sprintf("between %.0f and %.0f %% of the strength may be gone: what is left cannot be judged", 100*low, 100*high)), nil
	}
	// Strength goes with Bloom × concentration²: 1/sqrt(1 − lost) times as much is wanted.
	need := func(lost float64) unit.Mass { return gelatin * unit.Mass(1/math.Sqrt(1-lost)-1) }
	add := (need(low) + need(high)) / 2
	water, _, _ := material.SoakWater(add)
	return Remedy{
		Title: "Add gelatin for what the heat took", Possible: true, Additions: []Addition{{"gelatin of the same grade", add}, {"water to soak it", water}}, Total: add + water,
		Figures: []Figure{percent("strength left", 1-high, 1)}, Source: "bib:ward-courts, from memory",
		Why:   fmt.Sprintf("%.1f to %.1f %% of its strength is gone, which takes %s to %s", 100*low, 100*high, need(low).Show(), need(high).Show()),
		Steps: []string{"Soak it, melt it in a little of the mix at 50–60 °C, stir it in.", "Set a spoonful on a cold plate for ten minutes before you fill."},
	}, nil
}

// OtherGrade returns the gelatin of the grade that is there for so much of the one written, or,
// where that is dissolved already, what to add for a weaker one.
func OtherGrade(written unit.Mass, want, have material.Bloom, dissolved bool) (Remedy, error) {
	if err := check("the gelatin", written); err != nil {
		return Remedy{}, err
	}
	root, err := material.Regrade(written, want, have, material.SquareRoot)
	if err != nil {
		return Remedy{}, err
	}
	linear, err := material.Regrade(written, want, have, material.Linear)
	if err != nil {
		return Remedy{}, err
	}
	bound := fmt.Sprintf("by the square-root rule; the linear rule says %s", linear.Show())
	figures := []Figure{{"gelatin", written.Grams(), root.Grams(), "g"}}
	switch {
	case !dissolved:
		return Remedy{Title: "Weigh for the grade that is there", Possible: true, Additions: []Addition{{"gelatin", root}}, Total: root, Figures: figures, Why: bound, Source: "bib:ward-courts"}, nil
	case root > written:
		add := root - written
		water, _, _ := material.SoakWater(add)
		return Remedy{Title: "Add what the weaker grade lacks", Possible: true, Additions: []Addition{{"gelatin", add}, {"water to soak it", water}}, Total: root + water, Figures: figures, Why: bound, Source: "bib:ward-courts"}, nil
	}
	k := float64(written/root) - 1
	return Remedy{
		Title: "Make the batch larger, or accept a firmer set", Possible: true, Total: written, Figures: figures, Source: "bib:ward-courts",
		Why: fmt.Sprintf("the stronger grade is enough for %.0f %% more of everything else (%s)", 100*k, bound),
	}, nil
}
