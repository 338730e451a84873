package rescue

import (
	"fmt"

	"chablon/finding"
	"chablon/formula"
	"chablon/unit"
)

// Tolerances within which a line's share may stay off. Source: common practice, no source.
const (
	potentTolerance = 0.05 // of gelatin, leavener, salt, acid
	otherTolerance  = 0.10
	potentShare     = 0.03 // lines below this share of a batch are taken as potent
)

// TooMuch returns the ways out when a line, by its index in the batch, was weighed with more than
// was wanted and everything else still is, or already was, weighed as written: making the whole
// batch larger, and the least addition that brings the line's share back within its tolerance.
// room is the largest mass that the bowl takes, zero if it does not matter.
func TooMuch(b formula.Batch, line int, weighed, room unit.Mass) ([]Remedy, error) {
	if line < 0 || line >= len(b.Lines) {
		return nil, fmt.Errorf("the batch of %s has no line %d", b.Formula.ID, line+1)
	}
	l := b.Lines[line]
	if err := check("what was weighed", weighed); err != nil {
		return nil, err
	}
	if l.Mass <= 0 || weighed <= l.Mass {
		return nil, fmt.Errorf("%s of %s were weighed, not more than the %s wanted: add the difference", weighed.Show(), l.Name, l.Mass.Show())
	}
	wanted := float64(l.Mass / b.In)
	now := float64(weighed / (b.In + weighed - l.Mass))
	tolerance := otherTolerance
	if wanted < potentShare {
		tolerance = potentTolerance
	}
	larger := grow(b, line, weighed, 1)
	larger.Title = "Make the whole batch larger"
	larger.Figures = []Figure{percent(l.Name, now, wanted)}
	out := []Remedy{larger}
	if now <= wanted*(1+tolerance) {
		out = append(out, Remedy{
			Title: "Leave it", Possible: true, Total: b.In + weighed - l.Mass, Figures: []Figure{percent(l.Name, now, now)}, Source: finding.CommonPractice,
			Why: fmt.Sprintf("%s is %.1f %% more than written, within the %.0f %% that such a line forgives", l.Name, 100*(now/wanted-1), 100*tolerance),
		})
	} else {
		// The rest grows until the line's share is its written one and the tolerance more.
		least := grow(b, line, weighed, 1+tolerance)
		least.Title = "Add the least that restores the ratio"
		least.Figures = []Figure{percent(l.Name, now, float64(weighed/least.Total))}
		least.Why = fmt.Sprintf("%s stays %.0f %% above its written share, which such a line forgives", l.Name, 100*tolerance)
		out = append(out, least)
	}
	for i := range out {
		if room > 0 && out[i].Total > room {
			out[i].Possible = false
			out[i].Why = fmt.Sprintf("%s do not fit the bowl, which takes %s: take part of it out, or a larger bowl", out[i].Total.Show(), room.Show())
		}
	}
	return out, nil
}

// grow returns the additions of all other lines that bring a line's share to over times its
// written one.
func grow(b formula.Batch, line int, weighed unit.Mass, over float64) Remedy {
	l := b.Lines[line]
	rest := b.In - l.Mass
	total := weighed * unit.Mass(float64(b.In/l.Mass)/over)
	k := (total - weighed) / rest // the rest over what it was
	if rest <= 0 {
		total, k = weighed, 1
	}
	r := Remedy{Possible: true, Total: total, Source: "mass balance"}
	for i, x := range b.Lines {
		if add := x.Mass * (k - 1); i != line && add > 0 {
			r.Additions = append(r.Additions, Addition{x.Name, add})
		}
	}
	if more := b.Formula.Run(total).Out - b.Out; more > 0 {
		r.Downstream = fmt.Sprintf("%s more of %s than is needed: keep it as stock, or fill more pieces", more.Show(), name(b.Formula))
	}
	return r
}

func name(f *formula.Formula) string {
	if f.Name != "" {
		return f.Name
	}
	return f.ID
}

// TooLittle returns what to add of a line that was weighed short, if the step still takes it.
func TooLittle(b formula.Batch, line int, weighed unit.Mass, stillOpen bool) (Remedy, error) {
	if line < 0 || line >= len(b.Lines) {
		return Remedy{}, fmt.Errorf("the batch of %s has no line %d", b.Formula.ID, line+1)
	}
	l := b.Lines[line]
	if !(weighed >= 0 && weighed < l.Mass) {
		return Remedy{}, fmt.Errorf("%s of %s were weighed, not less than the %s wanted", weighed.Show(), l.Name, l.Mass.Show())
	}
	if !stillOpen {
		k := float64(weighed / l.Mass)
		r := impossible("Too late to add it", fmt.Sprintf("the step that takes %s is over; the batch has %.0f %% of what it wants", l.Name, 100*k))
		r.Steps = []string{"Make the component again, or use this batch where its set and taste do not decide."}
		return r, nil
	}
	add := l.Mass - weighed
	before := float64(weighed / (b.In - add))
	return Remedy{
		Title: "Add what is missing", Possible: true, Additions: []Addition{{l.Name, add}}, Total: b.In,
		Figures: []Figure{percent(l.Name, before, float64(l.Mass/b.In))}, Source: "mass balance",
	}, nil
}

// Short returns the ways out when have of a component is there and need was planned for so many
// pieces: thinner, fewer, or another small batch of at least least.
func Short(component string, have, need unit.Mass, pieces int, least unit.Mass) ([]Remedy, error) {
	if err := check("what is needed", need); err != nil {
		return nil, err
	}
	if !(least >= 0 && least < 10_000) {
		return nil, fmt.Errorf("the least batch is %v kg: give zero or a mass", float64(least))
	}
	if pieces < 1 || !(have >= 0 && have < need) {
		return nil, fmt.Errorf("%s of %s are there for %d pieces that need %s: nothing is short", have.Show(), component, pieces, need.Show())
	}
	each := need / unit.Mass(pieces)
	missing := need - have
	full := int(float64(have/each) + 1e-9)
	thinner := Remedy{
		Title: "Fill every piece thinner", Possible: have > 0, Total: have, Figures: []Figure{{"in one piece", each.Grams(), (have / unit.Mass(pieces)).Grams(), "g"}}, Source: "mass balance",
		Downstream: fmt.Sprintf("each piece is %.0f %% lower in this layer: raise what is above it, or accept the level", 100*float64(missing/need)),
	}
	if missing > need/5 {
		thinner.Possible, thinner.Why = false, "more than a fifth is missing: the piece would not be the one that was sold"
	}
	fewer := Remedy{
		Title: fmt.Sprintf("Fill %d of %d pieces", full, pieces), Possible: full > 0, Total: have, Figures: []Figure{{"pieces", float64(pieces), float64(full), ""}}, Source: "mass balance",
		Downstream: fmt.Sprintf("%d pieces fewer; %s are left over", pieces-full, (have - each*unit.Mass(full)).Show()),
	}
	if full == 0 {
		fewer.Why = "not one piece can be filled"
	}
	again := max(missing, least)
	more := Remedy{
		Title: "Make another small batch", Possible: true, Additions: []Addition{{component, again}}, Total: have + again, Source: "mass balance",
		Figures: []Figure{{component, have.Grams(), (have + again).Grams(), "g"}},
	}
	if again > missing {
		more.Downstream = fmt.Sprintf("%s are left over, since the least batch is %s", (again - missing).Show(), least.Show())
	}
	return []Remedy{thinner, fewer, more}, nil
}
