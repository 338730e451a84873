package web

import (
	"context"

	"chablon/chill"
	"chablon/formula"
	"chablon/heat"
	"chablon/mould"
	"chablon/unit"
)

// carryAnswer says when a component's core is warm enough in a water bath, and how much warmer it still gets.
func carryAnswer(ctx context.Context, a *inquiry, f *formula.Formula) (heatAnswer, error) {
	wide, deep := a.length("wide"), a.length("deep")
	from, bath, core := a.degrees("from"), a.degrees("bath"), a.degrees("core")
	then := bathNamed(a.get("then"))
	if a.refused() {
		return heatAnswer{}, nil
	}
	pan, err := mould.Ring(wide, deep)
	if err != nil {
		return heatAnswer{}, err
	}
	body, err := chill.NewBody(chill.Plain(f, &mould.Mould{ID: "pan", Name: "pan", Solid: pan, Cavities: 1, OpenTop: true}, deep), chill.At(from, from))
	if err != nil {
		return heatAnswer{}, err
	}
	c, err := body.CarryOver(ctx, chill.Leg{Surroundings: heat.WaterBath, At: bath}, core, chill.Leg{Surroundings: then, At: then.Usual})
	if err != nil {
		return heatAnswer{}, err
	}
	out := heatAnswer{Note: "Reckoned as if the bath were all round it, in a thin pan; the range is that of how well bath and air move. Steam that leaves the surface is not counted and cools it: what is wet carries over less. " +
		"A probe decides when it comes out. For what holds egg the FDA Food Code 2022, 3-401.11, asks 63 °C for 15 s if served at once, 68 °C for 17 s otherwise; the local code decides."}
	if c.Reason != "" {
		out.Says, out.Bad = "Its core never gets there: "+c.Reason+".", true
		return out, nil
	}
	out.Says = "Its core is at " + core.Show() + " after " + unit.ShowDuration(c.Out) + " (" + unit.ShowDuration(c.OutLow) + " to " + unit.ShowDuration(c.OutHigh) + ")"
	if c.Rise < 0.05 { // less than is shown
		out.Says += ", and only cools once it is out."
		return out, nil
	}
	out.Says += ", and still rises to " + c.Core.Show() + " once it is out."
	out.Rows = [][2]string{
		{"it rises by", unit.Number(float64(c.Rise), 1) + " K (" + unit.Number(float64(c.RiseLow), 1) + " to " + unit.Number(float64(c.RiseTop), 1) + ")"},
		{"the core is warmest after another", unit.ShowDuration(c.Peak)},
	}
	return out, nil
}
