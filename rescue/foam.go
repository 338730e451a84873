package rescue

import (
	"fmt"

	"chablon/finding"
	"chablon/unit"
)

// Foam returns what to do when a full cup says that a foam has another density than was wanted:
// too heavy, whip on (while it is a foam alone) or accept a lower level; too light, fold in some
// of the mix that is not whipped.
func Foam(m unit.Mass, measured, wanted, unwhipped unit.Density, canWhip bool) (Remedy, error) {
	if err := check("the foam", m); err != nil {
		return Remedy{}, err
	}
	if !measured.Known() || !wanted.Known() {
		return Remedy{}, fmt.Errorf("the densities are %.3g and %.3g g/ml: weigh a cup", measured.GramsPerMillilitre(), wanted.GramsPerMillilitre())
	}
	before, after := measured.Volume(m), wanted.Volume(m)
	figures := []Figure{{"density", measured.GramsPerMillilitre(), wanted.GramsPerMillilitre(), "g/ml"}}
	switch {
	case measured > wanted && canWhip:
		return Remedy{
			Title: "Whip on", Possible: true, Total: m, Figures: figures, Source: "mass balance",
			Steps: []string{"Whip in short turns and weigh a cup after each."}, Downstream: fmt.Sprintf("it will fill %s instead of %s", after.Show(), before.Show()),
		}, nil
	case measured > wanted:
		return Remedy{
			Title: "Accept it and fill by mass", Possible: true, Total: m, Figures: []Figure{{"volume", after.Millilitres(), before.Millilitres(), "ml"}}, Source: "mass balance",
			Why:        "whipping on after folding costs the air that is left",
			Downstream: fmt.Sprintf("it fills %s less: %.0f %% of the level planned", (after - before).Show(), 100*float64(before/after)),
		}, nil
	case measured < wanted:
		if unwhipped <= wanted {
			return impossible("Too light to mend", "what is not whipped is no heavier than what is wanted"), nil
		}
		// (m + x) / (m/measured + x/unwhipped) = wanted
		x := m * unit.Mass((float64(wanted/measured)-1)/(1-float64(wanted/unwhipped)))
		return Remedy{
			Title: "Fold in some that is not whipped", Possible: true, Additions: []Addition{{"the same mix, not whipped", x}}, Total: m + x, Figures: figures,
			Downstream: x.Show() + " more than planned", Source: "mass balance",
		}, nil
	}
	return Remedy{}, fmt.Errorf("the foam has the density that is wanted")
}

// Break is what can happen to an emulsion or a custard.
type Break uint8

// Breaks.
const (
	SplitGanache Break = iota
	CurdledCustard
	SeizedChocolate
	GrainyMousse
)

// Broken returns how to mend what split, curdled or seized, by how hot it got.
//
// Temperatures and shares are common practice, no source, but for a custard: egg yolk in milk and
// sugar sets at 79 to 83 °C and breaks 3 to 6 K above (from memory).
func Broken(what Break, m unit.Mass, hottest unit.Temperature) (Remedy, error) {
	if err := check("the mix", m); err != nil {
		return Remedy{}, err
	}
	if !finite(hottest.Celsius()) {
		return Remedy{}, fmt.Errorf("the temperature is not a number: give the hottest that it was")
	}
	switch what {
	case SplitGanache:
		x := m * 0.05
		return Remedy{
			Title: "Bring it together with warm liquid", Possible: true, Additions: []Addition{{"warm milk or cream", x}}, Total: m + x, Source: finding.CommonPractice,
			Steps: []string{"Bring the ganache to 35–40 °C.", "Stir the liquid in by spoonfuls from the middle until it shines; stop when it does.", "Blend without drawing air."},
			Why:   "there was too little water for the fat, or it was stirred cold", Downstream: "a little softer when set",
		}, nil
	case CurdledCustard:
		if hottest > 90 {
			return impossible("Make the custard again", fmt.Sprintf("at %s the egg has set hard: blending hides the grains and leaves the taste and a thin cream", hottest.Show())), nil
		}
		return Remedy{
			Title: "Blend it at once", Possible: true, Total: m, Source: finding.CommonPractice,
			Steps: []string{"Pour it through a sieve into a cold bowl to stop the heat.", "Blend for half a minute and strain again.", "Taste: what smells of sulphur is thrown away."},
			Why:   "only a few grains have set", Downstream: "thinner than it should be: use it where gelatin sets it",
			Caution: "Cool it from 57 to 21 °C within 2 h and to 5 °C within 6 h in all (FDA Food Code 3-501.14); the local code decides.",
		}, nil
	case SeizedChocolate:
		x := m * 0.2
		return Remedy{
			Title: "Turn it into a ganache", Possible: true, Additions: []Addition{{"hot cream or water", x}}, Total: m + x, Source: finding.CommonPractice,
			Steps:      []string{"Stir hot liquid in by spoonfuls until it flows and shines."},
			Downstream: "it no longer sets with a snap: use it in a mousse or a filling, and melt new chocolate for a coat",
		}, nil
	case GrainyMousse:
		return Remedy{
			Title: "Warm a third and fold it back", Possible: true, Total: m, Source: finding.CommonPractice,
			Steps:      []string{"Take a third, warm it to 35–40 °C, whisk it smooth.", "Fold it into the rest and fill at once."},
			Downstream: "about a tenth of the air is lost: the level will be lower; weigh a cup",
		}, nil
	}
	return Remedy{}, fmt.Errorf("no remedy is known for case %d", what)
}
