package web

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/a-h/templ"

	"chablon/mould"
	"chablon/plan"
	"chablon/unit"
)

// kindWord returns the trade's word for a kind of layer.
func kindWord(kind string) string {
	if kind == "decor" {
		return "décor"
	}
	return kind
}

func mouldName(m *mould.Mould) string {
	if m.Name == "" {
		return m.ID
	}
	return strings.ToUpper(m.Name[:1]) + m.Name[1:]
}

func percentDays(confidence float64) string {
	return strings.TrimSuffix(unit.Number(confidence*100, 1), ".0")
}

func levelWord(f findingView) string {
	if f.Accepted != "" {
		return "Accepted caution."
	}
	return sentenceCase(f.Level.String()) + "."
}

func sentenceCase(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	if n == 0 || first == utf8.RuneError {
		return s
	}
	return string(unicode.ToUpper(first)) + s[n:]
}

func join(names []string) string { return strings.Join(names, ", ") }

func worstOf(list []findingView) string {
	level := ""
	for _, f := range list { // the gravest come first
		level = f.Level.String()
		break
	}
	return level
}

func batches(n int) string {
	if n == 1 {
		return "1 batch"
	}
	return fmt.Sprintf("%d batches", n)
}

// batchWords says how a component is made: "1 batch, 660 g".
func batchWords(b *plan.Batch) string {
	if b.Count == 1 {
		return "1 batch, " + b.Each.In.Show()
	}
	return fmt.Sprintf("%d batches of %s", b.Count, b.Each.In.Show())
}

func eachBatch(b *plan.Batch) string {
	if b.Count == 1 {
		return "to weigh"
	}
	return "to weigh, each batch"
}

// Action returns where a layer's form is sent.
func (l *layerView) Action() string { return "/assemblies/" + l.Doc.ID + "/layers/" + l.Layer.ID }

// LineAction returns where the order line's form is sent.
func (v *assemblyView) LineAction() string {
	return fmt.Sprintf("/orders/%s/lines/%d", v.Order.ID, v.Line)
}

// PlaceAction returns where the forms that move a layer or take it out are sent.
func (l *layerView) PlaceAction() string { return l.Action() + "/place" }

// Leaves says what else changes if the layer is taken out.
func (l *layerView) Leaves(st *state) string { return takenOut(st, l.Doc, l.Index) }

// refusedMore reports whether one of the layer's less usual fields was refused, or needs a figure.
func (l *layerView) refusedMore(out *outcome) bool {
	return l.Open || slices.ContainsFunc(l.Fields, func(f field) bool { return f.More && out.message(l.Form(), f.Name) != "" })
}

// AddAction returns where the form of a new layer is sent.
func (v *assemblyView) AddAction() string { return "/assemblies/" + v.Doc.ID + "/layers" }

// MouldID returns the mould that the page shows.
func (v *assemblyView) MouldID() string {
	if v.Piece == nil {
		id, _, _ := v.Doc.Mould.Split()
		return id
	}
	return v.Piece.Section.Mould.ID
}

// newMessage returns what is wrong with a field of a new layer.
func (o *outcome) newMessage(name string) string {
	return cmp.Or(o.message("add", name), o.message("new", name))
}

// typedNew returns what was typed for a new layer that was refused.
func (o *outcome) typedNew(name string) string {
	return cmp.Or(o.value("add", name, ""), o.value("new", name, ""))
}

// MadeIn lists what a layer may be made in, or cut from.
func (v *assemblyView) MadeIn(f field) []mouldGroup {
	if f.sheet {
		return v.Sheets
	}
	return v.Moulds
}

// described points those who hear the page to a text that stands beside, if there is one.
func described(text, id string) templ.Attributes {
	if text == "" {
		return nil
	}
	return templ.Attributes{"aria-describedby": id}
}

// spreadID returns the element ID of a figure's spread, "" if it has none.
func spreadID(l *layerView, f field) string {
	if f.spread() == "" {
		return ""
	}
	return l.FieldID(f.Name) + "_spread"
}

// allergen writes the name of an allergen as words.
func allergen(name string) string { return strings.ReplaceAll(name, "_", " ") }

const forAllOrders = "For all that is to be made, all orders together."

// ShoppingFor says what the shopping is for.
func (v *assemblyView) ShoppingFor() string {
	if v.Order == nil {
		return "For this draft alone."
	}
	return forAllOrders
}
