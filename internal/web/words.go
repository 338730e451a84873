package web

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

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

// InsertMoulds lists what an insert may be made in: whatever there is.
func (v *assemblyView) InsertMoulds() []mouldGroup { return v.Moulds }

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
