package blend

import (
	"errors"
	"fmt"
	"math"

	"chablon/unit"
)

// Limits of what Solve accepts. Larger numbers and finer weights than any kitchen has would cost
// accuracy, not only time.
const (
	MaxMaterials = 500
	MaxBounds    = 500            // and as many goals
	MaxMass      = unit.Mass(1e6) // a thousand tonnes
	MaxNumber    = 1e9            // figures, coefficients, limits, targets, either sign
	MaxWeight    = 1e12           // and 1/MaxWeight is the least above zero
)

// Validate returns all that is wrong with the problem, nil if nothing is. Solve calls it. Limits
// that are well formed and merely cannot hold together are no error, but a Status of Solve.
func (p Problem) Validate() error {
	var v validation
	if n := len(p.Materials); n == 0 || n > MaxMaterials {
		v.add("materials: there are %d; give 1 to %d", n, MaxMaterials)
	}
	if n := len(p.Bounds); n > MaxBounds {
		v.add("bounds: there are %d; give at most %d", n, MaxBounds)
	}
	if n := len(p.Goals); n > MaxBounds {
		v.add("goals: there are %d; give at most %d", n, MaxBounds)
	}
	v.mass("total", p.Total)
	v.weight("stay", p.Stay)

	names := map[string]bool{}
	for i, f := range p.Figures {
		v.name("figure", i, f, names)
	}
	clear(names)
	for i, m := range p.Materials {
		where := v.name("material", i, m.Name, names)
		v.mass(where+": least", m.Least)
		v.mass(where+": most", m.Most)
		v.mass(where+": now", m.Now)
		if m.Most > 0 && m.Least > m.Most {
			v.add("%s: least %s is above most %s; exchange them or correct one", where, m.Least.Show(), m.Most.Show())
		}
		if len(m.Figures) != len(p.Figures) {
			v.add("%s: has %d figures, the problem names %d; give one number for each name", where, len(m.Figures), len(p.Figures))
			continue
		}
		for k, f := range m.Figures {
			v.number(fmt.Sprintf("%s: figure %q", where, p.Figures[k]), f)
		}
	}
	clear(names)
	for i, b := range p.Bounds {
		where := v.name("bound", i, b.Name, names)
		if !v.rows(where, b.err, b.Coefficients, b.Per, len(p.Materials)) {
			continue
		}
		l := b.Limits
		if !l.LeastKnown && !l.MostKnown {
			v.add("%s: has no limit; give AtLeast, AtMost, Between or Exactly", where)
		}
		if l.LeastKnown {
			v.number(where+": least", l.Least)
		}
		if l.MostKnown {
			v.number(where+": most", l.Most)
		}
		if l.LeastKnown && l.MostKnown && l.Least > l.Most {
			v.add("%s: least %g is above most %g; exchange them or correct one", where, l.Least, l.Most)
		}
	}
	clear(names)
	for i, g := range p.Goals {
		where := v.name("goal", i, g.Name, names)
		if v.rows(where, g.err, g.Coefficients, g.Per, len(p.Materials)) {
			v.number(where+": target", g.Target)
		}
		v.weight(where+": weight", g.Weight)
	}
	return v.err()
}

// validation collects what is wrong.
type validation struct{ errs []error }

func (v *validation) add(format string, args ...any) {
	v.errs = append(v.errs, fmt.Errorf(format, args...))
}

func (v *validation) err() error {
	if len(v.errs) == 0 {
		return nil
	}
	return fmt.Errorf("blend: %w", errors.Join(v.errs...))
}

// name checks that a name is there and new, and returns how the thing is called in messages.
func (v *validation) name(kind string, i int, name string, seen map[string]bool) string {
	if name == "" {
		where := fmt.Sprintf("%s %d", kind, i+1)
		v.add("%s: has no name; give one, explanations are made of it", where)
		return where
	}
	where := fmt.Sprintf("%s %q", kind, name)
	if seen[name] {
		v.add("%s: is there twice; give each its own name", where)
	}
	seen[name] = true
	return where
}

func (v *validation) number(where string, f float64) {
	if !(math.Abs(f) <= MaxNumber) {
		v.add("%s: %g is not usable; give a number from %g to %g", where, f, -MaxNumber, MaxNumber)
	}
}

func (v *validation) mass(where string, m unit.Mass) {
	if !(m >= 0 && m <= MaxMass) {
		v.add("%s: %g kg is not usable; give a mass from 0 to %g kg", where, float64(m), float64(MaxMass))
	}
}

func (v *validation) weight(where string, w float64) {
	if w != 0 && !(w >= 1/MaxWeight && w <= MaxWeight) {
		v.add("%s: %g is not usable; give 0, or %g to %g", where, w, 1/MaxWeight, MaxWeight)
	}
}

// rows checks the numbers of a bound or goal and reports whether they have the right length.
func (v *validation) rows(where string, err error, coefficients, per []float64, n int) bool {
	if err != nil {
		v.add("%s: %w", where, err)
		return false
	}
	if len(coefficients) != n || (per != nil && len(per) != n) {
		v.add("%s: has %d coefficients and %d for what they are measured against; give one for each of the %d materials",
			where, len(coefficients), len(per), n)
		return false
	}
	for i, c := range coefficients {
		v.number(fmt.Sprintf("%s: coefficient %d", where, i+1), c)
	}
	for i, c := range per {
		if !(c >= 0 && c <= MaxNumber) {
			v.add("%s: is measured against %g at material %d; give a number from 0 to %g", where, c, i+1, MaxNumber)
		}
	}
	return true
}
