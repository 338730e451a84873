package exchange

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chablon/blend"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// Change is a line before and after: a mass of zero is a line that is not there.
type Change struct {
	Name          string
	Before, After unit.Mass
}

// Figure is a figure of the finished component before and after.
type Figure struct {
	Name          string
	Before, After float64
	Unit          string
}

// Result is the formula after an exchange or a reformulation.
type Result struct {
	Formula  *formula.Formula // a copy with the new lines; nil if refused or in conflict
	Changes  []Change
	Figures  []Figure
	Gained   []string // allergens
	Lost     []string
	Worse    []string // what gets worse, in words
	Refused  bool
	Why      string
	Conflict []string // bounds that cannot hold together
}

// matched are the figures by which masses of an exchange are found, each with the miss that
// counts as one, as a share of the line that goes out. Strength is gelatin at 200 Bloom.
var matched = []struct {
	name string
	miss float64
	of   func(*ingredient.Ingredient) float64
}{
	{"mass", 0.01, func(*ingredient.Ingredient) float64 { return 1 }},
	{"water", 0.02, of(material.Water)},
	{"fat", 0.01, of(material.Fat)},
	{"protein", 0.02, of(material.Protein)},
	{"sugars", 0.01, of(material.Sugars)},
	{"starch", 0.02, of(material.Starch)},
	{"alcohol", 0.01, of(material.Alcohol)},
	{"strength", 0.001, strength},
}

func of(k material.Component) func(*ingredient.Ingredient) float64 {
	return func(i *ingredient.Ingredient) float64 { return i.Composition.At(k) }
}

// strength returns gelatin as a share, brought to 200 Bloom by the square-root rule.
func strength(i *ingredient.Ingredient) float64 {
	bloom, ok := i.Trait("bloom")
	if !ok {
		return 0
	}
	if bloom <= 0 {
		bloom = 200
	}
	return math.Sqrt(bloom / 200)
}

// Exchange puts other ingredients in the place of a line, by its index. It returns an error for a
// line that cannot be exchanged; an exchange that loses a function comes back Refused.
func Exchange(f *formula.Formula, line int, with ...*ingredient.Ingredient) (Result, error) {
	if line < 0 || line >= len(f.Lines) {
		return Result{}, fmt.Errorf("formula %s has no line %d", f.ID, line+1)
	}
	out := f.Lines[line]
	if out.Ingredient == nil || out.Mass <= 0 {
		return Result{}, fmt.Errorf("formula %s: line %q is not an ingredient with a mass", f.ID, out.Text)
	}
	if len(with) == 0 {
		return Result{}, fmt.Errorf("formula %s: nothing is given to put in the place of %s", f.ID, out.Name)
	}
	if gone := lost(Needs(f, line), with); len(gone) > 0 {
		return Result{Refused: true, Why: fmt.Sprintf("%s gives %s; what would come in does not", out.Ingredient.Name, strings.Join(gone, " and "))}, nil
	}
	amounts, err := masses(out, with)
	if err != nil {
		return Result{}, fmt.Errorf("formula %s: %w", f.ID, err)
	}
	g := *f
	g.Lines = slices.Clone(f.Lines[:line])
	changes := []Change{{out.Ingredient.Name, out.Mass, 0}}
	for i, in := range with {
		if amounts[i] < out.Mass/10_000 {
			continue // of no use in this mix
		}
		g.Lines = append(g.Lines, formula.Line{
			ID: in.ID, Group: out.Group, Ingredient: in, Name: in.Name, Mass: amounts[i], Low: amounts[i], High: amounts[i],
			Text: fmt.Sprintf("%s %s", amounts[i].Show(), in.Name), Amount: unit.Of(amounts[i].Grams(), gram),
		})
		changes = append(changes, Change{in.Name, 0, amounts[i]})
	}
	if len(changes) == 1 {
		return Result{Refused: true, Why: fmt.Sprintf("nothing that %s is made of is in what would come in", out.Ingredient.Name)}, nil
	}
	g.Lines = append(g.Lines, f.Lines[line+1:]...)
	r := compare(f, &g)
	r.Changes = changes
	return r, nil
}

var gram, _ = unit.ParseUnit("g")

// masses finds the amounts of what comes in whose figures are nearest to those of a line.
func masses(out formula.Line, with []*ingredient.Ingredient) ([]unit.Mass, error) {
	p := blend.Problem{}
	for _, m := range matched {
		p.Figures = append(p.Figures, m.name)
	}
	for _, in := range with {
		x := blend.Material{Name: in.ID, Now: out.Mass / unit.Mass(len(with))}
		for _, m := range matched {
			x.Figures = append(x.Figures, m.of(in))
		}
		p.Materials = append(p.Materials, x)
	}
	for _, m := range matched {
		want := m.of(out.Ingredient) * float64(out.Mass)
		miss := m.miss * float64(out.Mass)
		p.Goals = append(p.Goals, p.Aim(m.name, m.name, want, 1/(miss*miss)))
	}
	s, err := p.Solve()
	if err != nil {
		return nil, err
	}
	if s.Status != blend.Optimal {
		return nil, fmt.Errorf("no amounts were found (%s)", s.Status)
	}
	return s.Amounts, nil
}

// compare computes the figures of both formulas through their own chains.
func compare(before, after *formula.Formula) Result {
	r := Result{Formula: after}
	b, a := contents(before), contents(after)
	total := after.Written()
	r.Figures = append(r.Figures, Figure{"mass as written", before.Written().Grams(), total.Grams(), "g"})
	for _, name := range []string{"water", "fat", "protein", "sugars", "starch", "alcohol"} {
		if b[name] > 0 || a[name] > 0 {
			r.Figures = append(r.Figures, Figure{name, 100 * b[name], 100 * a[name], "%"})
		}
	}
	gb, _ := before.Gelatin()
	ga, _ := after.Gelatin()
	if gb > 0 || ga > 0 {
		r.Figures = append(r.Figures, Figure{"gelatin at 200 Bloom", 100 * gb, 100 * ga, "%"})
	}
	eb, ea := before.Energy(), after.Energy()
	r.Figures = append(r.Figures, Figure{"energy of 100 g", eb.Mid(), ea.Mid(), "kJ"})
	if sb, ok := sweetness(before); ok {
		if sa, ok := sweetness(after); ok {
			r.Figures = append(r.Figures, Figure{"sweetness, sucrose = 100", sb, sa, ""})
		}
	}
	for _, f := range r.Figures {
		if f.Before > 0 && f.Unit == "%" && math.Abs(f.After/f.Before-1) > 0.05 && math.Abs(f.After-f.Before) > 0.1 {
			r.Worse = append(r.Worse, fmt.Sprintf("%s goes from %.1f to %.1f %%", f.Name, f.Before, f.After))
		}
	}
	r.Gained, r.Lost = difference(allergens(after), allergens(before)), difference(allergens(before), allergens(after))
	return r
}

func contents(f *formula.Formula) map[string]float64 {
	out := map[string]float64{}
	for _, c := range f.Contents() {
		out[c.Name] = c.Mid()
	}
	return out
}

// sweetness returns the middle of the relative sweetness of the finished component, sucrose = 100.
func sweetness(f *formula.Formula) (float64, bool) {
	s, err := f.Composition().Sweetness(material.Solutes{})
	if err != nil {
		return 0, false
	}
	return (s.Low + s.High) / 2, true
}

func allergens(f *formula.Formula) []string {
	var out []string
	for _, l := range f.Lines {
		if l.Ingredient != nil {
			out = append(out, l.Ingredient.Allergens...)
		}
		if l.Formula != nil {
			out = append(out, allergens(l.Formula)...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func difference(a, b []string) []string {
	var out []string
	for _, x := range a {
		if !slices.Contains(b, x) {
			out = append(out, x)
		}
	}
	return out
}
