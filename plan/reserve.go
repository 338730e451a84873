package plan

import (
	"math"

	"chablon/doubt"
	"chablon/formula"
	"chablon/unit"
)

// allot shares the risk that something runs short among the components, so that all suffice
// together with the confidence and the mass made too much is small.
func (n *needs) allot(confidence float64) {
	if confidence > 0.5 && len(n.sure.Components) > 0 {
		n.sure.levels = n.sure.slope.Levels(confidence, n.held())
	}
}

// held returns the mass of each component and how much more of it there is anyway.
func (n *needs) held() []doubt.Held {
	out := make([]doubt.Held, len(n.sure.Components))
	nested := make([]bool, len(out))
	var add func(f *formula.Formula, m unit.Mass)
	add = func(f *formula.Formula, m unit.Mass) {
		out[n.sure.index[f.ID]].Worth += float64(m)
		made := max(0, m-max(0, n.day.Job.Stock[f.ID]))
		each, err := f.Make(made)
		if made == 0 || err != nil {
			return
		}
		for _, l := range each.Lines {
			if l.Formula != nil {
				nested[n.sure.index[l.Formula.ID]] = true
				add(l.Formula, l.Mass)
			}
		}
	}
	for _, x := range n.order {
		m := x.product
		for _, g := range x.cut {
			m += g.mass
		}
		add(x.formula, m)
	}
	for _, x := range n.order {
		// How much is taken of what is nested depends on the reserves of what takes it.
		k := n.sure.index[x.formula.ID]
		sd := n.sure.slope.SD(k)
		if sd > 0 && x.product > 0 && !nested[k] {
			out[k].Free = math.Log1p(float64(n.anyway(x)/x.product)) / sd
		}
	}
	return out
}

// anyway returns what the least batch or the last whole formula of a component gives beyond the
// need if no reserve is made. Stock counts as nothing: what one component lacks must not depend on
// how much of it there is.
func (n *needs) anyway(x *need) unit.Mass {
	f := x.formula
	if n.day.Job.Stock[f.ID] > 0 {
		return 0
	}
	out := x.product + x.runOff + x.kept + x.least
	made := max(out, f.Least)
	if f.Whole {
		if one := f.Run(f.Written()).Out; one > 0 {
			made = one * unit.Mass(math.Ceil(float64(made/one)-1e-9))
		}
	}
	return max(0, made-out)
}

// reserve returns what to add to a component so that it and all others suffice together.
func (d *Doubts) reserve(x *need) unit.Mass {
	k, known := d.index[x.formula.ID]
	if !known || d.levels == nil {
		return 0
	}
	// Needs multiply, so their doubt is that of a logarithm. What is baked in whole sheets has none:
	// the batter of each sheet is weighed, and its thickness is what is in doubt.
	return x.product * unit.Mass(math.Expm1(d.levels[k]*d.slope.SD(k)))
}
