package blend

import (
	"fmt"
	"slices"

	"chablon/unit"
)

// Limits is the range that a number may have, both ends included. The zero Limits allows all.
type Limits struct {
	Least, Most           float64
	LeastKnown, MostKnown bool
}

// AtLeast returns the range from v upward.
func AtLeast(v float64) Limits { return Limits{Least: v, LeastKnown: true} }

// AtMost returns the range up to v.
func AtMost(v float64) Limits { return Limits{Most: v, MostKnown: true} }

// Between returns the range from least to most.
func Between(least, most float64) Limits { return Limits{least, most, true, true} }

// Exactly returns the range that holds v alone.
func Exactly(v float64) Limits { return Between(v, v) }

// exact reports whether one value only is allowed.
func (l Limits) exact() bool { return l.LeastKnown && l.MostKnown && l.Least == l.Most }

// Material is something that may go into the mix. Figures holds a number for each of the
// problem's figures, per unit mass. Most zero is no upper limit. A Fixed material keeps its
// present amount; its Least and Most still hold.
type Material struct {
	Name             string
	Least, Most, Now unit.Mass
	Fixed            bool
	Figures          []float64
}

// Bound holds Coefficients·x, or its ratio to Per·x, in Limits; x are the amounts in kilograms.
// Coefficients and Per have a number for each material. A nil Per is one: the limit is then on
// the sum itself. Per must not be negative. Problem's Sum, Share and Ratio make bounds.
type Bound struct {
	Name              string
	Coefficients, Per []float64
	Limits            Limits
	err               error // of a constructor, reported by Validate
}

// Goal wants Coefficients·x, or its ratio to Per·x, to be Target; x are the amounts in
// kilograms. Weight multiplies the square of the miss, Coefficients·x − Target·(Per·x), and is
// zero for a goal that is only reported. Problem's Aim, AimShare and AimRatio make goals.
type Goal struct {
	Name              string
	Coefficients, Per []float64
	Target, Weight    float64
	err               error
}

// Problem is what is to be mixed, from what, and within what.
type Problem struct {
	Figures   []string // names, in the order of Material.Figures
	Materials []Material
	Bounds    []Bound
	Goals     []Goal

	// Total is the mass of the mix. Zero leaves it free.
	Total unit.Mass

	// Stay is the weight of the squared distance, in kg², from the present amounts. Zero is
	// StayShare of the greatest curvature of the goals, 1 if they have none. A goal is then missed
	// for the sake of the present amounts by about StayShare times its distance from them; by more
	// if its weight is far below the others'. A Stay below 1e-10 of the curvature is raised to it.
	Stay float64
}

// StayShare is the default weight of staying at the present amounts, against that of the goals.
// Our choice: far below what a scale shows, far above rounding.
const StayShare = 1e-6

// leastStay bounds the condition number of the least-squares matrix to about 1e5.
const leastStay = 1e-10

// Sum bounds the amount of a figure in the whole mix, in its unit times kilograms. The empty
// figure is the mass itself.
func (p Problem) Sum(name, figure string, limits Limits) Bound {
	c, err := p.column(figure)
	return Bound{Name: name, Coefficients: c, Limits: limits, err: err}
}

// Share bounds the amount of a figure per unit mass of the mix: 0.35 for a fat content of 35 %.
func (p Problem) Share(name, figure string, limits Limits) Bound {
	return p.Ratio(name, figure, "", limits)
}

// Ratio bounds the amount of figure in the mix over that of another, per. The empty figure is
// the mass. Where the mix has nothing of per, it must have nothing of figure beyond either limit.
func (p Problem) Ratio(name, figure, per string, limits Limits) Bound {
	b := p.Sum(name, figure, limits)
	c, err := p.column(per)
	b.Per = c
	if b.err == nil {
		b.err = err
	}
	return b
}

// Aim wants the amount of a figure in the whole mix, in its unit times kilograms, to be target.
func (p Problem) Aim(name, figure string, target, weight float64) Goal {
	c, err := p.column(figure)
	return Goal{Name: name, Coefficients: c, Target: target, Weight: weight, err: err}
}

// AimShare wants the amount of a figure per unit mass of the mix to be target. The miss that
// weight multiplies is in kilograms: the share's, times the total.
func (p Problem) AimShare(name, figure string, target, weight float64) Goal {
	return p.AimRatio(name, figure, "", target, weight)
}

// AimRatio wants the amount of figure over that of another, per, to be target. The miss that
// weight multiplies is the ratio's, times the amount of per.
func (p Problem) AimRatio(name, figure, per string, target, weight float64) Goal {
	g := p.Aim(name, figure, target, weight)
	c, err := p.column(per)
	g.Per = c
	if g.err == nil {
		g.err = err
	}
	return g
}

// column returns a figure of every material; the empty name is the mass.
func (p Problem) column(figure string) ([]float64, error) {
	out := make([]float64, len(p.Materials))
	if figure == "" {
		for i := range out {
			out[i] = 1
		}
		return out, nil
	}
	at := slices.Index(p.Figures, figure)
	if at < 0 {
		return out, fmt.Errorf("figure %q is not one of the problem's %q; add it or correct the name", figure, p.Figures)
	}
	for i, m := range p.Materials {
		if at >= len(m.Figures) {
			return out, fmt.Errorf("material %q has no figure %q; give it", m.Name, figure)
		}
		out[i] = m.Figures[at]
	}
	return out, nil
}
