package exchange

import (
	"fmt"

	"chablon/blend"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// Bound is a limit on one figure of the finished component, or on one line. Exactly one of Figure
// and Line is given. Figures are "water", "fat", "protein", "sugars", "starch", "alcohol" and
// "gelatin" (at 200 Bloom, of what goes in), as shares of one, and "cost" in money a kilogram.
type Bound struct {
	Name        string
	Figure      string
	Line        int // index, where Figure is empty: the line's share of what goes in
	OnHand      unit.Mass
	Least, Most float64
	HasLeast    bool
	HasMost     bool
}

// Options of Reformulate. The zero Options keeps the mass as written and changes any line.
type Options struct {
	FreeTotal bool
	Fixed     []int              // lines that keep their mass
	Prices    map[string]float64 // of a kilogram, by ingredient ID
}

// Reformulate returns the formula nearest to f, by the relative change of each line, that keeps
// the bounds.
func Reformulate(f *formula.Formula, bounds []Bound, o Options) (Result, error) {
	if f.Written() <= 0 {
		return Result{}, fmt.Errorf("formula %s weighs nothing: give it a line with a mass", f.ID)
	}
	p := blend.Problem{}
	if !o.FreeTotal {
		p.Total = f.Written()
	}
	for i, l := range f.Lines {
		if l.Mass <= 0 {
			p.Materials = append(p.Materials, blend.Material{Name: lineName(i, l), Fixed: true})
			continue
		}
		m := blend.Material{Name: lineName(i, l), Now: l.Mass, Least: l.Mass / 1000}
		for _, k := range o.Fixed {
			m.Fixed = m.Fixed || k == i
		}
		for _, b := range bounds {
			if b.Figure == "" && b.Line == i && b.OnHand > 0 {
				m.Most = b.OnHand
				m.Least = min(m.Least, b.OnHand)
			}
		}
		p.Materials = append(p.Materials, m)
	}
	kept, lostWater := evaporation(f)
	n := len(f.Lines)
	for _, b := range bounds {
		x, err := bound(f, b, o, kept, lostWater)
		if err != nil {
			return Result{}, err
		}
		if x.Name != "" {
			p.Bounds = append(p.Bounds, x)
		}
	}
	for i, l := range f.Lines { // stay near: one for each line, relative to its mass
		if l.Mass > 0 {
			c := make([]float64, n)
			c[i] = 1 / float64(l.Mass)
			p.Goals = append(p.Goals, blend.Goal{Name: "keep " + lineName(i, l), Coefficients: c, Target: 1, Weight: 1})
		}
	}
	p.Stay = 1e-12 // the goals hold every line already; blend raises it to what its figures need
	s, err := p.Solve()
	if err != nil {
		return Result{}, fmt.Errorf("formula %s: %w", f.ID, err)
	}
	switch s.Status {
	case blend.Infeasible:
		return Result{Conflict: s.Conflict, Why: "these bounds cannot hold together"}, nil
	case blend.Stopped:
		return Result{}, fmt.Errorf("formula %s: the search for the nearest formula did not end", f.ID)
	}
	g := *f
	g.Lines = append([]formula.Line(nil), f.Lines...)
	var changes []Change
	for i := range g.Lines {
		g.Lines[i].Mass, g.Lines[i].Low, g.Lines[i].High = s.Amounts[i], s.Amounts[i], s.Amounts[i]
		changes = append(changes, Change{lineName(i, f.Lines[i]), f.Lines[i].Mass, s.Amounts[i]})
	}
	r := compare(f, &g)
	r.Changes = changes
	return r, nil
}

func lineName(i int, l formula.Line) string {
	if l.Name != "" {
		return l.Name
	}
	_, name := l.Of()
	if name == "" {
		return fmt.Sprintf("line %d", i+1)
	}
	return name
}

// evaporation returns the share of what goes in that is left after the losses that are water, and
// the share that leaves, both of the formula as written.
func evaporation(f *formula.Formula) (kept, lost float64) {
	kept = 1
	for _, l := range f.Losses {
		if l.Name == "bake" || l.Name == "evaporation" || l.ToMass > 0 || l.ToBrix > 0 {
			kept *= 1 - l.Share
		}
	}
	return kept, 1 - kept
}

// bound turns a bound on a figure into one on the masses: a ratio of two linear figures.
func bound(f *formula.Formula, b Bound, o Options, kept, lostWater float64) (blend.Bound, error) {
	n := len(f.Lines)
	out := blend.Bound{Name: b.Name, Coefficients: make([]float64, n), Per: make([]float64, n)}
	if b.HasLeast {
		out.Limits = blend.AtLeast(b.Least)
	}
	if b.HasMost {
		out.Limits.Most, out.Limits.MostKnown = b.Most, true
	}
	if !b.HasLeast && !b.HasMost {
		if b.OnHand > 0 {
			return blend.Bound{}, nil // a limit of the line itself
		}
		return out, fmt.Errorf("bound %q has neither a least nor a most", b.Name)
	}
	if b.Figure == "" {
		if b.Line < 0 || b.Line >= n {
			return out, fmt.Errorf("bound %q is on line %d, which formula %s does not have", b.Name, b.Line+1, f.ID)
		}
		for i := range n {
			out.Per[i] = 1
		}
		out.Coefficients[b.Line] = 1
		return out, nil
	}
	for i, l := range f.Lines {
		figure, err := lineFigure(l, b.Figure, o)
		if err != nil {
			return out, fmt.Errorf("bound %q: %w", b.Name, err)
		}
		out.Coefficients[i], out.Per[i] = figure, kept
		switch b.Figure {
		case "water":
			out.Coefficients[i] -= lostWater
		case "gelatin":
			out.Per[i] = 1
		}
	}
	return out, nil
}

// lineFigure returns how much of a figure one kilogram of a line brings.
func lineFigure(l formula.Line, figure string, o Options) (float64, error) {
	if k, ok := material.ComponentNamed(figure); ok {
		c := material.Composition{}
		switch {
		case l.Formula != nil:
			c = l.Formula.Composition()
		case l.Ingredient != nil:
			c = l.Ingredient.Composition
		}
		share, known := c.Share(k)
		if !known && l.Mass > 0 {
			return 0, fmt.Errorf("the %s of %s is not on record", figure, lineName(0, l))
		}
		return share, nil
	}
	switch figure {
	case "gelatin":
		if l.Formula != nil {
			share, _ := (&formula.Formula{Lines: []formula.Line{l}}).Gelatin()
			return share, nil
		}
		if l.Ingredient != nil {
			return strength(l.Ingredient), nil
		}
		return 0, nil
	case "cost":
		return cost(l, o)
	}
	return 0, fmt.Errorf("%q is no figure: write water, fat, protein, sugars, starch, alcohol, gelatin or cost", figure)
}

func cost(l formula.Line, o Options) (float64, error) {
	if l.Mass <= 0 {
		return 0, nil
	}
	total, missing := 0.0, ""
	(&formula.Formula{Lines: []formula.Line{l}}).Ingredients(l.Mass, func(i *ingredient.Ingredient, m unit.Mass) {
		price, ok := o.Prices[i.ID]
		if !ok && !i.Unlimited {
			missing = i.Name
		}
		total += price * float64(m)
	})
	if missing != "" {
		return 0, fmt.Errorf("the price of %s is not on record", missing)
	}
	return total / float64(l.Mass), nil
}
