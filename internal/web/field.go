package web

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"chablon/document"
	"chablon/unit"
)

// field is one figure of a layer that the page edits. It points into the document: exactly one
// of quantity, count and ref is set.
type field struct {
	Name  string // of the form's field
	Label string
	Path  string // from the layer: "coat.film"
	Here  bool   // the figure is the override for this mould

	quantity *unit.Quantity
	figure   *document.Figure // that quantity belongs to, if it has a spread
	symbol   string           // unit meant where none is typed and none was
	count    *int
	ref      *document.Ref // of a mould
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
	case typed == "" && f.figure != nil:
		*f.figure = document.Figure{}
	case typed == "":
		*f.quantity = unit.Quantity{}
	default:
		old := *f.quantity
		f.quantity.Text = withUnit(typed, old, f.symbol)
		if f.figure != nil {
			f.scaleSpread(old)
		}
	}
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
	if _, rest, err := unit.ParseNumber(typed); err == nil && strings.TrimSpace(rest) == "" && symbol != "" {
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

// fieldsOf returns the figures that a layer's rule has, in a mould: the one that is needed for
// its kind even if it is empty, the others where they are given. Where an override for the mould
// gives a figure, that is the one edited.
func fieldsOf(l *document.Layer, mouldID string) []field {
	b := &fieldList{layer: l, at: -1}
	b.at = slices.IndexFunc(l.Overrides, func(o document.Override) bool {
		id, _, err := o.Mould.Split()
		return err == nil && id == mouldID
	})
	if b.at >= 0 {
		b.override = l.Overrides[b.at] // for reading what it gives
	}
	b.bodies()
	switch l.Kind {
	case "band":
		b.length("height", "Height", "band.height", &l.Band.Height, true, func(o *document.Override) *unit.Quantity { return &o.Height })
		b.number("strips", "Strips", "band.pieces", &l.Band.Pieces, true, nil)
		b.length("overlap", "Overlap", "band.overlap", &l.Band.Overlap, l.Band.Joint == "overlap", nil)
	case "soak":
		b.figure("load", "Soak on the area", "soak.per_area", &l.Soak.PerArea, "g/m²", false, nil)
		b.figure("share", "Soak, share of the disc", "soak.share", &l.Soak.Share, "%", !l.Soak.PerArea.Value.Given(), nil)
	case "coat":
		b.figure("film", "Film", "coat.film", &l.Coat.Film, "mm", l.Coat.Way != "flood", nil)
		b.plain("least", "Least to pour", "coat.least", &l.Coat.Least, "g", false, nil)
		b.plain("stays", "Stays on the piece", "coat.stays", &l.Coat.Stays, "%", false, nil)
	case "decor":
		b.number("pieces", "Pieces", "pieces", &l.Pieces, true, func(o *document.Override) *int { return &o.Pieces })
		b.figure("each", "Mass of one", "each", &l.Each, "g", false, nil)
	}
	return b.fields
}

type fieldList struct {
	layer    *document.Layer
	at       int // index of the override for the mould, -1 if none
	override document.Override
	fields   []field
}

// bodies adds what layers that take space have in common.
func (b *fieldList) bodies() {
	l := b.layer
	thick := slices.Contains([]string{"base", "disc", "band", "spread"}, l.Kind)
	b.figure("thickness", "Thickness", "thickness", &l.Thickness, "mm", thick, func(o *document.Override) *unit.Quantity { return &o.Thickness })
	b.figure("level", "Level", "level", &l.Level, "mm", l.Kind == "fill" && !b.belowRim(), func(o *document.Override) *unit.Quantity { return &o.Level })
	b.length("below", "Below rim", "below_rim", &l.BelowRim, false, func(o *document.Override) *unit.Quantity { return &o.BelowRim })
	b.length("offset", "Lower face at", "offset", &l.Offset, false, func(o *document.Override) *unit.Quantity { return &o.Offset })
	for i := range l.Stages {
		s, name, path := &l.Stages[i], fmt.Sprintf("stage%d", i+1), fmt.Sprintf("stages[%d].", i)
		b.length(name, fmt.Sprintf("Stage %d up to", i+1), path+"level", &s.Level, false, nil)
		b.plain(name+"share", fmt.Sprintf("Stage %d, share", i+1), path+"share", &s.Share, "%", false, nil)
	}
	b.length("nozzle", "Nozzle", "nozzle", &l.Nozzle, false, nil)
	b.length("inset", "Inset", "outline.inset", &l.Outline.Inset, false, func(o *document.Override) *unit.Quantity { return &o.Inset })
	b.length("diameter", "Diameter", "outline.diameter", &l.Outline.Diameter, false, func(o *document.Override) *unit.Quantity { return &o.Diameter })
	b.length("width", "Width", "outline.width", &l.Outline.Width, false, nil)
	b.length("depth", "Depth", "outline.depth", &l.Outline.Depth, false, nil)
	if l.Kind == "insert" && l.MadeIn != "" {
		f := field{Name: "madein", Label: "Made in", Path: "made_in", ref: &l.MadeIn}
		if b.at >= 0 && b.override.MadeIn != "" {
			f.ref, f.Path, f.Here = &l.Overrides[b.at].MadeIn, b.path("made_in"), true
		}
		b.fields = append(b.fields, f)
	}
}

func (b *fieldList) belowRim() bool { return b.layer.BelowRim.Given() || b.override.BelowRim.Given() }

func (b *fieldList) path(name string) string { return fmt.Sprintf("overrides[%d].%s", b.at, name) }

func (b *fieldList) figure(name, label, path string, f *document.Figure, symbol string, always bool, over func(*document.Override) *unit.Quantity) {
	n := len(b.fields)
	b.plain(name, label, path, &f.Value, symbol, always, over)
	if len(b.fields) > n && !b.fields[n].Here {
		b.fields[n].figure = f
	}
}

func (b *fieldList) length(name, label, path string, q *unit.Quantity, always bool, over func(*document.Override) *unit.Quantity) {
	b.plain(name, label, path, q, "mm", always, over)
}

func (b *fieldList) plain(name, label, path string, q *unit.Quantity, symbol string, always bool, over func(*document.Override) *unit.Quantity) {
	f := field{Name: name, Label: label, Path: path, quantity: q, symbol: symbol}
	if b.at >= 0 && over != nil {
		if own := over(&b.layer.Overrides[b.at]); own.Given() {
			f.quantity, f.Path, f.Here = own, b.path(path[strings.LastIndexByte(path, '.')+1:]), true
		}
	}
	if always || f.quantity.Given() {
		b.fields = append(b.fields, f)
	}
}

func (b *fieldList) number(name, label, path string, n *int, always bool, over func(*document.Override) *int) {
	f := field{Name: name, Label: label, Path: path, count: n}
	if b.at >= 0 && over != nil {
		if own := over(&b.layer.Overrides[b.at]); *own != 0 {
			f.count, f.Path, f.Here = own, b.path(path), true
		}
	}
	if always || *f.count != 0 {
		b.fields = append(b.fields, f)
	}
}
