package web

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"chablon/document"
	"chablon/unit"
)

// field is one figure or choice of a layer that the page edits. It points into the document:
// exactly one of quantity, count, ref, choice, flag, words and of is set.
type field struct {
	Name  string // of the form's field
	Label string
	Path  string // from the layer: "coat.film"
	Here  bool   // the figure is the override for this mould
	More  bool   // is not usually looked for, and stands apart

	quantity *unit.Quantity
	figure   *document.Figure // that quantity belongs to, if it has a spread
	symbol   string           // unit meant where none is typed and none was
	count    *int
	ref      *document.Ref // of a mould, or of a sheet to cut from
	sheet    bool
	choice   *string // one of options
	options  []option
	flag     *bool // no or yes
	words    *string
	of       *document.Of // what the layer is made of
	layer    *document.Layer
	st       *state
}

// option is one thing that a field may be.
type option struct{ Value, Label string }

// listed reports whether the field is one of a list.
func (f *field) listed() bool { return f.choice != nil || f.flag != nil }

// choices returns what a listed field may be.
func (f *field) choices() []option {
	if f.flag != nil {
		return []option{{"no", "no"}, {"yes", "yes"}}
	}
	return f.options
}

// text returns the figure as the document has it.
func (f *field) text() string {
	switch {
	case f.quantity != nil:
		return f.quantity.Text
	case f.count != nil:
		if *f.count == 0 {
			return ""
		}
		return strconv.Itoa(*f.count)
	case f.choice != nil:
		return *f.choice
	case f.flag != nil && *f.flag:
		return "yes"
	case f.flag != nil:
		return "no"
	case f.words != nil:
		return *f.words
	case f.of != nil:
		return f.st.madeOfName(*f.of)
	}
	id, _, _ := f.ref.Split()
	return id
}

// spread returns the figure's spread as it was written: "4.5–5.5 mm".
func (f *field) spread() string {
	if f.figure == nil || !f.figure.Low.Given() || !f.figure.High.Given() {
		return ""
	}
	low, high := f.figure.Low, f.figure.High
	if low.Unit == high.Unit {
		return strings.TrimSpace(strings.TrimSuffix(low.Text, low.Unit.Symbol)) + "–" + high.Text
	}
	return low.Text + " to " + high.Text
}

// set writes what was typed into the document, in the unit of the old figure if none was typed.
// A spread keeps its share of the figure. What is not a quantity is written as typed, for the
// document's reader to refuse in its own words; only a count has to be refused here.
func (f *field) set(typed string) error {
	typed = strings.TrimSpace(typed)
	if typed == f.text() {
		return nil
	}
	switch {
	case f.ref != nil:
		*f.ref = document.Ref(typed)
	case f.count != nil:
		n, err := wholeNumber(typed)
		if err != nil {
			return err
		}
		*f.count = n
	case f.choice != nil:
		*f.choice = typed
	case f.flag != nil:
		*f.flag = typed == "yes"
	case f.words != nil:
		*f.words = strings.Join(strings.Fields(typed), " ")
	case f.of != nil:
		return f.setOf(typed)
	case typed == "" && f.figure != nil:
		*f.figure = document.Figure{}
	case typed == "":
		*f.quantity = unit.Quantity{}
	default:
		old := *f.quantity
		f.quantity.Text = withUnit(typed, old, f.symbol)
		if f.figure != nil {
			f.scaleSpread(old)
			if strings.HasPrefix(f.figure.Source, "assumed") { // it is the cook's now
				f.figure.Source = ""
			}
		}
	}
	return nil
}

// setOf exchanges what the layer is made of.
func (f *field) setOf(typed string) error {
	of, problem := f.st.madeOf(f.layer.Kind, typed)
	if problem != "" {
		return errors.New(problem)
	}
	if of.StandIn != "" {
		of.Density = f.of.Density
		k := slices.IndexFunc(layerKinds, func(k layerKind) bool { return k.ID == f.layer.Kind })
		if k >= 0 && f.of.StandIn == "" {
			of.Density = standInDensity("", layerKinds[k].Density)
		}
	}
	*f.of = of
	return nil
}

// wholeNumber reads a count; nothing typed is none.
func wholeNumber(typed string) (int, error) {
	if typed == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(typed)
	if err != nil {
		return 0, fmt.Errorf("%q is no whole number: write one such as 9", clip(typed))
	}
	return n, nil
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return s
}

// withUnit adds the old figure's unit, or a usual one, to a bare number.
func withUnit(typed string, old unit.Quantity, symbol string) string {
	if old.Given() {
		symbol = old.Unit.Symbol
	}
	if _, rest, err := unit.ParseNumber(strings.TrimLeft(typed, "-−")); err == nil && strings.TrimSpace(rest) == "" && symbol != "" {
		return typed + " " + symbol
	}
	return typed
}

func (f *field) scaleSpread(old unit.Quantity) {
	now, err := unit.ParseQuantity(f.quantity.Text, old.Unit.Dim)
	k := ratio(now, old)
	if err != nil || !old.Given() || !(k > 0) || math.IsInf(k, 0) {
		return
	}
	for _, end := range []*unit.Quantity{&f.figure.Low, &f.figure.High} {
		if end.Given() {
			*end = unit.Of(math.Round(end.Mid()*k*1000)/1000, end.Unit)
		}
	}
}

// ratio returns a over b, both of the dimension of b.
func ratio(a, b unit.Quantity) float64 {
	switch b.Unit.Dim {
	case unit.OfLength:
		return float64(a.Length() / b.Length())
	case unit.OfMass:
		return float64(a.Mass() / b.Mass())
	case unit.OfLoad:
		return float64(a.Load() / b.Load())
	case unit.OfShare:
		return a.Share() / b.Share()
	}
	return 0
}
