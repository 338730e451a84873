package rescue

import (
	"fmt"

	"chablon/material"
	"chablon/unit"
)

// Overshot returns the water that takes a sucrose syrup that was boiled to one temperature back
// to another, at a pressure. Beyond 160 °C the sugar has begun to caramelise and nothing brings it
// back. With glucose or invert sugar in the pan the water comes out somewhat high.
func Overshot(m unit.Mass, reached, wanted unit.Temperature, p material.Pressure) (Remedy, error) {
	if err := check("the syrup", m); err != nil {
		return Remedy{}, err
	}
	if !(reached > wanted) {
		return Remedy{}, fmt.Errorf("the syrup reached %s, not above the %s wanted", reached.Show(), wanted.Show())
	}
	const caramel = unit.Temperature(160)
	if reached >= caramel {
		return impossible("Make the syrup again", fmt.Sprintf("at %s the sugar turns to caramel: water brings back its consistency, not its colour and taste", reached.Show())), nil
	}
	now, err := material.BoiledTo(reached, p)
	if err != nil {
		return Remedy{}, err
	}
	want, err := material.BoiledTo(wanted, p)
	if err != nil {
		return Remedy{}, err
	}
	r, err := Thin(m, now.Share(), want.Share(), "water")
	if err != nil {
		return Remedy{}, err
	}
	r.Title = "Add water and boil up again"
	r.Figures = append(r.Figures, Figure{"boils at", reached.Celsius(), wanted.Celsius(), "°C"})
	r.Steps = []string{"Take the pot off the heat and wait until it stops bubbling.", "Pour the water in hot, in a thin stream, and stir.", fmt.Sprintf("Boil until the probe reads %s again.", wanted.Show())}
	r.Caution = hotSugar
	r.Source = "bib:starzak-peacock, mass balance"
	return r, nil
}

// Thin returns what to add of a liquid without dissolved solids so that a mix with a share of them
// comes down to another.
func Thin(m unit.Mass, now, wanted float64, with string) (Remedy, error) {
	if err := check("the mix", m); err != nil {
		return Remedy{}, err
	}
	if err := share("the reading", now); err != nil {
		return Remedy{}, err
	}
	if err := share("what is wanted", wanted); err != nil {
		return Remedy{}, err
	}
	if wanted >= now {
		return Remedy{}, fmt.Errorf("%.1f %% of solids are wanted and %.1f %% are there: it is not too strong", 100*wanted, 100*now)
	}
	add := m * unit.Mass(now/wanted-1)
	return Remedy{
		Title: "Thin it", Possible: true, Additions: []Addition{{with, add}}, Total: m + add, Figures: []Figure{percent("dissolved solids", now, wanted)},
		Downstream: add.Show() + " more than planned", Source: "mass balance",
	}, nil
}

// Strengthen returns the two ways to raise the share of dissolved solids: sugar to stir in, and
// water to boil off.
func Strengthen(m unit.Mass, now, wanted float64) ([]Remedy, error) {
	if err := check("the mix", m); err != nil {
		return nil, err
	}
	if !(now >= 0 && now < wanted) {
		return nil, fmt.Errorf("%.1f %% of solids are wanted and %.1f %% are there: it is not too weak", 100*wanted, 100*now)
	}
	if err := share("what is wanted", wanted); err != nil {
		return nil, err
	}
	add := m * unit.Mass((wanted-now)/(1-wanted))
	sugar := Remedy{
		Title: "Stir sugar in", Possible: true, Additions: []Addition{{"sugar", add}}, Total: m + add, Figures: []Figure{percent("dissolved solids", now, wanted)},
		Downstream: add.Show() + " more than planned, and sweeter", Source: "mass balance",
	}
	if soluble, err := material.Solubility(20); err == nil && wanted > soluble.Share() {
		sugar.Why = fmt.Sprintf("above %.0f °Bx sucrose crystallises when it is cold: take part of it as glucose syrup", float64(soluble))
	}
	boil := Remedy{Title: "Boil it down", Total: m, Source: "mass balance", Figures: sugar.Figures}
	if now == 0 {
		boil.Why = "there is nothing dissolved to concentrate"
		return []Remedy{sugar, boil}, nil
	}
	off := m * unit.Mass(1-now/wanted)
	boil.Possible, boil.Total = true, m-off
	boil.Steps = []string{fmt.Sprintf("Boil until it weighs %s: %s of water leave.", (m - off).Show(), off.Show())}
	boil.Downstream = off.Show() + " less than planned"
	boil.Caution = "Not for what holds gelatin, cream or egg: heat spoils them."
	return []Remedy{sugar, boil}, nil
}

// Glaze returns what to do with a glaze of a temperature that pours too thick or too thin: its
// temperature first, and where that is right, water or reduction by its dry matter.
// Source of the pouring range: common practice, no source (28 to 36 °C).
func Glaze(m unit.Mass, at unit.Temperature, dry, wanted float64) ([]Remedy, error) {
	if err := check("the glaze", m); err != nil {
		return nil, err
	}
	const low, high = unit.Temperature(28), unit.Temperature(36)
	switch {
	case at < low:
		return []Remedy{{
			Title: "Warm it", Possible: true, Total: m, Figures: []Figure{{"glaze", at.Celsius(), 32, "°C"}}, Source: "common practice, no source",
			Steps: []string{"Warm it over a bath to 32 °C, stirring without beating air in, and try it on a cold plate."}, Caution: "Do not boil it: gelatin loses its strength.",
		}}, nil
	case at > high:
		return []Remedy{{
			Title: "Let it cool", Possible: true, Total: m, Figures: []Figure{{"glaze", at.Celsius(), 32, "°C"}}, Source: "common practice, no source",
			Steps: []string{"Let it cool to 32 °C, stirring now and then; a film of the right thickness follows from the temperature."},
		}}, nil
	case wanted < dry:
		r, err := Thin(m, dry, wanted, "water")
		return []Remedy{r}, err
	case wanted > dry:
		return Strengthen(m, dry, wanted)
	}
	return nil, fmt.Errorf("the glaze is at %s with the dry matter that is wanted: nothing has to be put right", at.Show())
}
