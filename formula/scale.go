package formula

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Size is a formula at a size: the factor over the formula as written, and why it is that.
type Size struct {
	Factor   float64
	Batch    Batch
	Limiting string // line that decided, where amounts on hand did
	Reason   string // what was fixed, in words
}

// at returns the formula at a factor.
func (f *Formula) at(factor float64, reason string) (Size, error) {
	if !(factor > 0) || math.IsInf(factor, 0) {
		return Size{}, fmt.Errorf("formula %s: cannot be made %v times as large: fix something above zero", f.ID, factor)
	}
	return Size{Factor: factor, Batch: f.Run(f.Written() * unit.Mass(factor)), Reason: reason}, nil
}

// ToMass scales the formula so that one batch gives m of the finished component.
func (f *Formula) ToMass(m unit.Mass) (Size, error) {
	in, err := f.Input(m)
	if err != nil {
		return Size{}, err
	}
	return f.at(float64(in/f.Written()), m.Show()+" finished")
}

// ToVolume scales the formula so that one batch gives v of the finished component. A component
// without a density cannot be: the error says so.
func (f *Formula) ToVolume(v unit.Volume) (Size, error) {
	d, _ := f.FinishedDensity()
	if !d.Known() {
		return Size{}, fmt.Errorf("formula %s: has no density, so it cannot be made by volume: weigh 100 ml of it, or fix a mass", f.ID)
	}
	s, err := f.ToMass(d.Mass(v))
	s.Reason = v.Show() + " finished"
	return s, err
}

// ToPieces scales the formula to so many pieces of a finished mass each.
func (f *Formula) ToPieces(n int, each unit.Mass) (Size, error) {
	s, err := f.ToMass(unit.Mass(n) * each)
	s.Reason = fmt.Sprintf("%d pieces of %s", n, each.Show())
	return s, err
}

// ToFactor scales the formula to a multiple of what is written.
func (f *Formula) ToFactor(k float64) (Size, error) {
	return f.at(k, unit.Number(k, 2)+" × as written")
}

// ToLine scales the formula so that one line, by its index, takes m.
func (f *Formula) ToLine(i int, m unit.Mass) (Size, error) {
	if i < 0 || i >= len(f.Lines) {
		return Size{}, fmt.Errorf("formula %s: has no line %d", f.ID, i+1)
	}
	if f.Lines[i].Mass <= 0 {
		return Size{}, fmt.Errorf("formula %s: line %q weighs nothing, so it cannot fix the size", f.ID, f.Lines[i].Text)
	}
	s, err := f.at(float64(m/f.Lines[i].Mass), fmt.Sprintf("%s of %s", m.Show(), f.Lines[i].Name))
	s.Limiting = f.Lines[i].Name
	return s, err
}

// OnHand scales the formula to the largest size that the amounts on hand, by line index, allow,
// and names the line that runs out first. Lines without an entry are not limited.
func (f *Formula) OnHand(have map[int]unit.Mass) (Size, error) {
	factor, limiting := math.Inf(1), -1
	for i, l := range f.Lines {
		m, given := have[i]
		if !given || l.Mass <= 0 {
			continue
		}
		if k := float64(m / l.Mass); k < factor {
			factor, limiting = k, i
		}
	}
	if limiting < 0 {
		return Size{}, fmt.Errorf("formula %s: no amount on hand limits it: give what is left of one of its lines", f.ID)
	}
	name := f.Lines[limiting].Name
	s, err := f.at(factor, fmt.Sprintf("the %s of %s on hand", have[limiting].Show(), name))
	s.Limiting = name
	return s, err
}

// WholeEggs moves a factor to the nearest at which every counted egg, white and yolk line of the
// formula is a whole number, and at least one egg is used. A formula without counted lines keeps
// the factor. One whose counts have no common whole step within a tenth of the factor is an error
// that names the lines.
func (f *Formula) WholeEggs(factor float64) (Size, error) {
	var counts []float64
	for _, l := range f.Lines {
		if l.Counted && l.Ingredient != nil && isEgg(l.Ingredient.ID) {
			counts = append(counts, l.Amount.Mid())
		}
	}
	if len(counts) == 0 {
		return f.at(factor, "no counted eggs")
	}
	// Every factor at which the first count is whole is tried, outward from the wanted one.
	centre := math.Round(counts[0] * factor)
	for step := 0.0; step <= math.Max(1, centre/10)+1; step++ {
		best := 0.0
		for _, n := range []float64{centre - step, centre + step} {
			k := n / counts[0]
			if n >= 1 && allWhole(counts, k) && (best == 0 || math.Abs(k-factor) < math.Abs(best-factor)) {
				best = k
			}
		}
		if best > 0 {
			return f.at(best, fmt.Sprintf("whole eggs, %s × as written", unit.Number(best, 3)))
		}
	}
	return Size{}, fmt.Errorf("formula %s: no size within a tenth makes all its eggs, whites and yolks whole: weigh them instead", f.ID)
}

// allWhole reports whether every count is a whole number of at least one at a factor.
func allWhole(counts []float64, k float64) bool {
	for _, c := range counts {
		if n := math.Round(c * k); n < 1 || math.Abs(c*k-n) > 1e-9 {
			return false
		}
	}
	return true
}

func isEgg(id string) bool { return id == EggWhole || id == EggWhite || id == EggYolk }

// WithinVessel returns how many equal batches a size needs so that none is larger than most or
// smaller than least, by volume of the mix; zero limits do not bind. It returns an error where
// no number of batches does.
func (s Size) WithinVessel(least, most unit.Volume) (int, error) {
	d, _ := s.Batch.Formula.MixDensity()
	if !d.Known() {
		return 0, fmt.Errorf("formula %s: the density of its mix is not known, so no bowl can be chosen", s.Batch.Formula.ID)
	}
	v := d.Volume(s.Batch.In)
	n := 1
	if most > 0 {
		n = max(1, int(math.Ceil(float64(v/most)-1e-9)))
	}
	if each := v / unit.Volume(n); each < least {
		return 0, fmt.Errorf("formula %s: %s of mix is less than the %s that the bowl works with: make more, or take a smaller bowl", s.Batch.Formula.ID, each.Show(), least.Show())
	}
	return n, nil
}

// Percentage is a line as a share of a base and of the total.
type Percentage struct {
	OfBase, OfTotal float64 // 1 = 100 %
}

// Percentages returns every line as baker's percentage of the formula's base and as share of the
// total. The base is the line or group that Base names, by line ID, group, or what it takes; if it
// names none, the flours together; if there are none, the heaviest line. Its name comes back.
func (f *Formula) Percentages() (list []Percentage, base string) {
	total := f.Written()
	var of unit.Mass
	in := func(l Line) bool {
		id, _ := l.Of()
		return f.Base != "" && (l.ID == f.Base || l.Group == f.Base || id == f.Base)
	}
	base = f.Base
	for _, l := range f.Lines {
		if in(l) {
			of += l.Mass
		}
	}
	if of == 0 {
		base = "flour"
		for _, l := range f.Lines {
			if l.Ingredient != nil && l.Ingredient.Group == "flour" {
				of += l.Mass
			}
		}
	}
	if of == 0 {
		for _, l := range f.Lines {
			if l.Mass > of {
				of, base = l.Mass, l.Name
			}
		}
	}
	list = make([]Percentage, len(f.Lines))
	for i, l := range f.Lines {
		if of > 0 && total > 0 {
			list[i] = Percentage{float64(l.Mass / of), float64(l.Mass / total)}
		}
	}
	return list, base
}
