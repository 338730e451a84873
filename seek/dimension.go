package seek

import (
	"fmt"
	"math"
	"slices"

	"chablon/assembly"
	"chablon/finding"
	"chablon/mould"
	"chablon/unit"
)

// Field is a dimension of a layer that may be left free.
type Field string

// Fields, named as documents name them.
const (
	Thickness  Field = "thickness"
	Level      Field = "level"
	BelowRim   Field = "below_rim"
	Offset     Field = "offset"
	Inset      Field = "inset"
	BandHeight Field = "height"
	Film       Field = "film"
)

// Free is one dimension and the range in which it may lie.
type Free struct {
	Layer     string
	Field     Field
	Low, High unit.Length
}

// Measure is what is asked of a piece: its mass, its height, its cost, a share.
type Measure func(*assembly.Section) float64

// Mass measures a piece in kilograms.
func Mass(s *assembly.Section) float64 { return float64(s.Mass()) }

// Height measures a piece in metres, coats left out.
func Height(s *assembly.Section) float64 { return float64(s.Top) }

// Share measures the share of a piece's mass that one component has.
func Share(component string) Measure {
	return func(s *assembly.Section) float64 {
		var of, all unit.Mass
		for _, p := range s.Parts() {
			all += p.Each
			if p.Component.ID() == component {
				of += p.Each
			}
		}
		if all <= 0 {
			return 0
		}
		return float64(of / all)
	}
}

// Cost measures a piece by what a kilogram of each component costs, by component ID.
func Cost(perKilogram map[string]float64) Measure {
	return func(s *assembly.Section) float64 {
		sum := 0.0
		for _, p := range s.Parts() {
			sum += perKilogram[p.Component.ID()] * float64(p.Each/unit.Kilogram)
		}
		return sum
	}
}

// Found is the answer to a question about one dimension.
type Found struct {
	Reached bool
	Value   unit.Length // that meets the target; the nearest to it where none does
	Result  float64     // what the measure is there
	Section *assembly.Section
	// Low and High are the least and the greatest that the measure can be in the range.
	Low, High float64
	// Relax says, where the target is not met, which requirement stands in the way and what it
	// would have to be.
	Relax string
}

// samples is how finely a range is looked through before a root is sought between two of them: a
// measure may have kinks, where a fill meets an insert.
const samples = 48

// Dimension finds the value of one free dimension for which the measure of a piece is the target.
// Of several the least is returned. Errors name the layer, the field and the range.
func Dimension(a *assembly.Assembly, m *mould.Mould, free Free, measure Measure, target float64) (Found, error) {
	q, err := newQuestion(a, m, free)
	if err != nil {
		return Found{}, err
	}
	if math.IsNaN(target) || math.IsInf(target, 0) {
		return Found{}, fmt.Errorf("the target is %v: give a number", target)
	}
	out := q.search(measure, target)
	if !out.Reached {
		out.Relax = q.relax(out, measure, target)
	}
	return out, nil
}

// search looks for the least value in the range that meets the target, or the nearest.
func (q *question) search(measure Measure, target float64) Found {
	at := func(x unit.Length) float64 { return measure(q.lay(x)) }
	out := Found{Low: math.Inf(1), High: math.Inf(-1)}
	step := (q.free.High - q.free.Low) / samples
	nearest, off := q.free.Low, math.Inf(1)
	var before float64
	for k := range samples + 1 {
		x := q.free.Low + step*unit.Length(k)
		y := at(x)
		out.Low, out.High = min(out.Low, y), max(out.High, y)
		if d := math.Abs(y - target); d < off {
			nearest, off = x, d
		}
		if k > 0 && (before-target)*(y-target) <= 0 && !out.Reached {
			if root, ok := bisect(at, x-step, x, before, target); ok {
				out.Reached, out.Value = true, root
			}
		}
		before = y
	}
	if !out.Reached {
		out.Value = nearest
	}
	out.Section = q.lay(out.Value)
	out.Result = measure(out.Section)
	return out
}

// bisect finds where a function meets the target between two points on either side of it. Where
// the function jumps over the target there is no root.
func bisect(at func(unit.Length) float64, lo, hi unit.Length, low, target float64) (unit.Length, bool) {
	rising := low <= target
	for range 60 {
		mid := (lo + hi) / 2
		if y := at(mid); y <= target == rising {
			lo = mid
		} else {
			hi = mid
		}
	}
	y0, y1 := at(lo), at(hi)
	if math.Abs(y0-target) <= math.Abs(y1-target) {
		hi, y1 = lo, y0
	}
	return hi, math.Abs(y1-target) <= 1e-9*math.Max(math.Abs(target), 1e-6)
}

// PerMillimetre returns by how much a measure changes for each millimetre of a dimension, at its
// value now: the mean of both sides.
func PerMillimetre(a *assembly.Assembly, m *mould.Mould, layer string, field Field, now unit.Length, measure Measure) (float64, error) {
	const h = unit.Millimetre / 64
	q, err := newQuestion(a, m, Free{Layer: layer, Field: field, Low: max(0, now-h), High: now + h})
	if err != nil {
		return 0, err
	}
	low := measure(q.lay(q.free.Low))
	return (measure(q.lay(q.free.High)) - low) / (q.free.High - q.free.Low).Millimetres(), nil
}

type question struct {
	a    assembly.Assembly
	m    *mould.Mould
	free Free
	i    int
}

func newQuestion(a *assembly.Assembly, m *mould.Mould, free Free) (*question, error) {
	q := &question{a: *a, m: m, free: free}
	q.a.Layers = slices.Clone(a.Layers)
	q.i = slices.IndexFunc(a.Layers, func(l assembly.Layer) bool { return l.ID == free.Layer })
	switch {
	case q.i < 0:
		return nil, fmt.Errorf("assembly %s has no layer %q", a.ID, free.Layer)
	case !(free.Low >= 0) || !(free.High > free.Low) || free.High > mould.MaxLength:
		return nil, fmt.Errorf("%s of layer %q may lie between %s and %s: give a range from 0 up to %s", free.Field, free.Layer, free.Low.Show(), free.High.Show(), mould.MaxLength.Show())
	case !slices.Contains([]Field{Thickness, Level, BelowRim, Offset, Inset, BandHeight, Film}, free.Field):
		return nil, fmt.Errorf("%q is no dimension of a layer: write thickness, level, below_rim, offset, inset, height or film", free.Field)
	}
	return q, nil
}

// lay lays the piece with a value of the free dimension.
func (q *question) lay(x unit.Length) *assembly.Section {
	l := q.a.Layers[q.i]
	l.Overrides = nil // the question is about this mould
	if o, ok := q.a.Layers[q.i].Overrides[q.m.ID]; ok {
		l = l.With(o)
	}
	switch q.free.Field {
	case Thickness:
		l.Thickness = x
	case Level:
		l.Level, l.BelowRim = assembly.At(x), assembly.Height{}
	case BelowRim:
		l.BelowRim, l.Level = assembly.At(x), assembly.Height{}
	case Offset:
		l.Offset = assembly.At(x)
	case Inset:
		l.Outline = assembly.Outline{Inset: assembly.At(x)}
	case BandHeight:
		l.BandHeight = x
	case Film:
		l.Film = x
	}
	b := q.a
	b.Layers = slices.Clone(q.a.Layers)
	b.Layers[q.i] = l
	return b.Lay(q.m)
}

// relax says what stands in the way of a target: the limit of the range, with the value that would
// meet the target and what then does not fit, or the dimension itself.
func (q *question) relax(f Found, measure Measure, target float64) string {
	wide := *q
	wide.free.Low, wide.free.High = 0, min(mould.MaxLength, 2*max(q.free.High, q.m.Solid.Height(), q.m.Solid.At(q.m.Solid.Height()).Width))
	if g := wide.search(measure, target); g.Reached {
		limit, word := q.free.High, "up to"
		if g.Value < q.free.Low {
			limit, word = q.free.Low, "down to"
		}
		text := fmt.Sprintf("let %s of layer %q go %s %s: its limit is %s", q.free.Field, q.free.Layer, word, g.Value.Show(), limit.Show())
		for _, x := range g.Section.Findings {
			if x.Level == finding.Fault {
				return text + fmt.Sprintf("; but then %s: %s", x.Where, x.Reason)
			}
		}
		return text
	}
	return fmt.Sprintf("%s of layer %q cannot bring it there: choose another dimension, or a target from %s to %s", q.free.Field, q.free.Layer, unit.Number(f.Low, 4), unit.Number(f.High, 4))
}
