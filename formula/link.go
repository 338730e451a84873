package formula

import (
	"fmt"
	"slices"
	"strings"

	"chablon/ingredient"
	"chablon/unit"
)

// Larder is where a line's name is looked up: the ingredient table and the formulas that lines
// may take.
type Larder struct {
	Table    *ingredient.Table
	Formulas map[string]*Formula // by ID
	EggSize  string              // what a counted egg is, as in kitchen documents
}

// Link gives a read line its meaning and its mass. of names an ingredient or formula by ID where
// the written name does not decide; it may be empty. A name that matches nothing exactly is an
// error with the nearest names: nothing is guessed silently.
func (d Larder) Link(r Reading, of string) (Line, error) {
	l := Line{Text: r.Text, Amount: r.Amount, Name: r.Name, Preparation: r.Preparation, Optional: r.Optional, ToTaste: r.ToTaste}
	if err := d.find(&l, of); err != nil {
		return l, err
	}
	if !r.Amount.Given() {
		return l, nil // to taste: no mass
	}
	low, high, err := d.weigh(r.Amount, &l)
	if err != nil {
		return l, err
	}
	l.Low, l.High, l.Mass = low, high, (low+high)/2
	l.Counted = r.Amount.Unit.Dim == unit.Count
	if !finite(low, high) || l.Mass > mostMass {
		return l, fmt.Errorf("%q weighs more than %s: check the number and the unit", r.Text, mostMass.Show())
	}
	if r.Second.Given() {
		if err := d.agree(r, &l); err != nil {
			return l, err
		}
	}
	return l, nil
}

// mostMass bounds a line: no kitchen weighs ten tonnes of one thing.
const mostMass = 10_000 * unit.Kilogram

// agree checks a second statement of the amount against the first.
func (d Larder) agree(r Reading, l *Line) error {
	low, high, err := d.weigh(r.Second, l)
	if err != nil {
		return nil // a second statement that cannot be weighed cannot be checked either
	}
	if second := (low + high) / 2; second < l.Mass*0.9 || second > l.Mass*1.1 {
		return fmt.Errorf("%q says %s and %s, which differ by more than a tenth: keep the right one", r.Text, l.Mass.Show(), second.Show())
	}
	return nil
}

func (d Larder) weigh(q unit.Quantity, l *Line) (low, high unit.Mass, err error) {
	if l.Ingredient != nil {
		return Weigh(q, l.Name, l.Ingredient, d.EggSize)
	}
	switch q.Unit.Dim {
	case unit.OfMass:
		one := unit.Of(1, q.Unit).Mass()
		return unit.Mass(q.Low) * one, unit.Mass(q.High) * one, nil
	case unit.OfVolume:
		density, _ := l.Formula.FinishedDensity()
		if !density.Known() {
			return 0, 0, fmt.Errorf("%s is a volume, but formula %s has no density: write a mass", q, l.Formula.ID)
		}
		one := density.Mass(unit.Of(1, q.Unit).Volume())
		return unit.Mass(q.Low) * one, unit.Mass(q.High) * one, nil
	default:
		return 0, 0, fmt.Errorf("%q is neither a mass nor a volume: write how much of formula %s goes in", q.Text, l.Formula.ID)
	}
}

func (d Larder) find(l *Line, of string) error {
	if of != "" {
		if f, ok := d.Formulas[of]; ok {
			l.Formula = f
			return nil
		}
		if i, ok := d.Table.Get(of); ok {
			l.Ingredient = i
			return nil
		}
		return fmt.Errorf("%q names %q, which is neither a formula nor an ingredient on record", l.Text, of)
	}
	if f, ok := d.Formulas[l.Name]; ok {
		l.Formula = f
		return nil
	}
	for _, f := range d.Formulas {
		switch {
		case !strings.EqualFold(f.Name, l.Name):
		case l.Formula != nil:
			a, b := min(f.ID, l.Formula.ID), max(f.ID, l.Formula.ID)
			return fmt.Errorf("%q: the formulas %s and %s are both called %q: say which with of", l.Text, a, b, l.Name)
		default:
			l.Formula = f
		}
	}
	if l.Formula != nil {
		return nil
	}
	if i, ok := d.Table.Named(l.Name); ok {
		l.Ingredient = i
		return nil
	}
	if piece, rest, ok := strings.Cut(l.Name, " "); ok && slices.Contains(pieceWords, strings.ToLower(piece)) { // "pinch of salt"
		if i, ok := d.Table.Named(strings.TrimPrefix(rest, "of ")); ok {
			l.Ingredient = i
			return nil
		}
	}
	matches := d.Table.Match(l.Name)
	near := make([]string, 0, 3)
	for _, m := range matches[:min(3, len(matches))] {
		near = append(near, fmt.Sprintf("%s (of: %s)", m.Ingredient.Name, m.Ingredient.ID))
	}
	if len(near) == 0 {
		return fmt.Errorf("%q: no ingredient is called %q: add an ingredient document, or say which with of", l.Text, l.Name)
	}
	return fmt.Errorf("%q: no ingredient is called %q; near are %s: say which with of", l.Text, l.Name, strings.Join(near, ", "))
}

// Settle completes a formula whose lines are linked: reductions to a mass or to a share of
// solids become shares of what reaches them, and untimed steps get a time by their verb. The
// error says which figure cannot be.
func (f *Formula) Settle() error {
	if err := f.settle(); err != nil {
		return err
	}
	for i, s := range f.Steps {
		f.Steps[i] = s.WithAssumedTime()
	}
	return nil
}
