package web

import (
	"fmt"
	"slices"
	"strings"

	"chablon/document"
	"chablon/unit"
)

// fieldsOf returns what of a layer the page edits, in a mould: first the figures that its kind
// needs and those that are given, then, marked as More, whatever else the kind may have. Where an
// override for the mould gives a figure, that is the one edited.
func fieldsOf(st *state, a *document.Assembly, l *document.Layer, mouldID string) []field {
	b := &fieldList{st: st, doc: a, layer: l, at: -1}
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
		b.length("height", "Height", "band.height", &l.Band.Height, always, func(o *document.Override) *unit.Quantity { return &o.Height })
		b.number("strips", "Strips", "band.pieces", &l.Band.Pieces, always, nil)
		b.length("overlap", "Overlap", "band.overlap", &l.Band.Overlap, when(l.Band.Joint == "overlap"), nil)
		b.choice("joint", "Joint", "band.joint", &l.Band.Joint, option{"", "not said"}, option{"overlap", "overlap"}, option{"butt", "butt"})
	case "soak":
		b.figure("load", "Soak on the area", "soak.per_area", &l.Soak.PerArea, "g/m²", more, nil)
		b.figure("share", "Soak, share of the disc", "soak.share", &l.Soak.Share, "%", when(!l.Soak.PerArea.Value.Given()), nil)
	case "coat":
		b.figure("film", "Film", "coat.film", &l.Coat.Film, "mm", when(l.Coat.Way != "flood"), nil)
		b.plain("least", "Least to pour", "coat.least", &l.Coat.Least, "g", more, nil)
		b.plain("stays", "Stays on the piece", "coat.stays", &l.Coat.Stays, "%", more, nil)
		b.choice("way", "Way", "coat.way", &l.Coat.Way, same("flood", "pour", "dip", "spray", "brush")...)
		b.choice("when", "When", "coat.when", &l.Coat.When, append([]option{{"", "not said"}}, same("in-mould", "unmoulded", "frozen")...)...)
		b.flag("reused", "Run-off poured again", "coat.reused", &l.Coat.Reused)
	case "decor":
		b.number("pieces", "Pieces", "pieces", &l.Pieces, always, func(o *document.Override) *int { return &o.Pieces })
		b.figure("each", "Mass of one", "each", &l.Each, "g", when(!b.st.hasPieceMass(l.Of.Ingredient)), nil)
	}
	b.rest()
	slices.SortStableFunc(b.fields, func(x, y field) int {
		switch {
		case x.More == y.More:
			return 0
		case y.More:
			return -1
		}
		return 1
	})
	return b.fields
}

// fieldsShown is fieldsOf for a layer that must not be changed, with room for a further stage.
func fieldsShown(st *state, a *document.Assembly, l *document.Layer, mouldID string) []field {
	shown := *l
	shown.Stages = slices.Clone(l.Stages)
	roomForStage(&shown)
	return fieldsOf(st, a, &shown, mouldID)
}

// roomForStage gives a fill the empty stage into which the next is written; two if it has none.
func roomForStage(l *document.Layer) {
	if l.Kind != "fill" {
		return
	}
	if len(l.Stages) == 0 {
		l.Stages = append(l.Stages, document.Stage{})
	}
	l.Stages = append(l.Stages, document.Stage{})
}

// settle drops the stages that stayed empty beyond those there were, and gives a layer that was of
// another kind what its own cannot be read without.
func settle(l *document.Layer, stages int, kind string) {
	empty := func(s document.Stage) bool { return s.After == "" && !s.Level.Given() && !s.Share.Given() }
	for len(l.Stages) > stages && empty(l.Stages[len(l.Stages)-1]) {
		l.Stages = l.Stages[:len(l.Stages)-1]
	}
	switch first := slices.IndexFunc(l.Stages, func(s document.Stage) bool { return !empty(s) }); {
	case first < 0:
		l.Stages = nil // it goes in at once
	case len(l.Stages) == 1 && (l.Stages[0].Level.Given() || l.Stages[0].Share.Given()):
		l.Stages = append(l.Stages, document.Stage{}) // for what the level leaves
	}
	if l.Kind == kind {
		return
	}
	if l.Kind == "coat" && l.Coat.Way == "" {
		l.Coat.Way = "pour"
	}
	if l.Kind == "decor" && l.Pieces == 0 {
		l.Pieces = 1
	}
}

// shown says when a field is shown among the usual ones: always, or only if it is given, and
// otherwise among the rest or not at all.
type shown uint8

const (
	ifGiven shown = iota
	always
	more
)

// when shows a field always under a condition, and otherwise among the rest.
func when(usual bool) shown {
	if usual {
		return always
	}
	return more
}

// may shows a field among the rest under a condition.
func may(so bool) shown {
	if so {
		return more
	}
	return ifGiven
}

func same(words ...string) []option {
	var out []option
	for _, w := range words {
		out = append(out, option{w, w})
	}
	return out
}

type fieldList struct {
	st       *state
	doc      *document.Assembly
	layer    *document.Layer
	at       int // index of the override for the mould, -1 if none
	override document.Override
	fields   []field
}

// bodies adds what layers that take space have in common.
func (b *fieldList) bodies() {
	l := b.layer
	is := func(kinds ...string) bool { return slices.Contains(kinds, l.Kind) }
	flooded := l.Kind == "coat" && l.Coat.Way == "flood"
	own := l.Kind == "insert" && l.Of.Assembly == "" // is no assembly of its own, which has its own height
	cut := is("base", "disc", "spread") || own && l.MadeIn == ""
	thick := may(is("fill") || flooded || own)
	if is("base", "disc", "band", "spread") || own && l.MadeIn == "" {
		thick = always
	}
	b.figure("thickness", "Thickness", "thickness", &l.Thickness, "mm", thick, func(o *document.Override) *unit.Quantity { return &o.Thickness })
	level := may(is("base", "disc", "insert", "spread", "fill") || flooded)
	if l.Kind == "fill" && !b.belowRim() {
		level = always
	}
	b.figure("level", "Level", "level", &l.Level, "mm", level, func(o *document.Override) *unit.Quantity { return &o.Level })
	b.length("below", "Below rim", "below_rim", &l.BelowRim, may(is("base", "disc", "insert", "spread", "fill") || flooded), func(o *document.Override) *unit.Quantity { return &o.BelowRim })
	b.length("offset", "Lower face at", "offset", &l.Offset, may(is("base", "disc", "insert", "spread", "band")), func(o *document.Override) *unit.Quantity { return &o.Offset })
	for i := range l.Stages {
		b.stage(i)
	}
	b.length("nozzle", "Nozzle", "nozzle", &l.Nozzle, may(is("fill")), nil)
	b.length("inset", "Inset", "outline.inset", &l.Outline.Inset, may(cut), func(o *document.Override) *unit.Quantity { return &o.Inset })
	b.length("diameter", "Diameter", "outline.diameter", &l.Outline.Diameter, may(cut), func(o *document.Override) *unit.Quantity { return &o.Diameter })
	b.length("width", "Width", "outline.width", &l.Outline.Width, may(cut), nil)
	b.length("depth", "Depth", "outline.depth", &l.Outline.Depth, may(cut), nil)
	if is("base", "disc", "insert", "band") {
		f := field{Name: "madein", Label: "Made in", Path: "made_in", ref: &l.MadeIn, More: l.Kind != "insert" || l.MadeIn == ""}
		if f.sheet = l.Kind != "insert"; f.sheet {
			f.Label = "Cut from"
		}
		if b.at >= 0 && b.override.MadeIn != "" {
			f.ref, f.Path, f.Here, f.More = &l.Overrides[b.at].MadeIn, b.path("made_in"), true, false
		}
		b.fields = append(b.fields, f)
	}
}

// stage adds one filling of a fill that goes in at several times.
func (b *fieldList) stage(i int) {
	s, name, path := &b.layer.Stages[i], fmt.Sprintf("stage%d", i+1), fmt.Sprintf("stages[%d].", i)
	last := i == len(b.layer.Stages)-1 // takes what is left
	b.length(name, fmt.Sprintf("Stage %d up to", i+1), path+"level", &s.Level, may(!last), nil)
	b.plain(name+"share", fmt.Sprintf("Stage %d, share", i+1), path+"share", &s.Share, "%", may(!last), nil)
	if i > 0 || s.After != "" {
		b.choice(name+"after", fmt.Sprintf("Stage %d after", i+1), path+"after", &s.After, b.others("nothing more")...)
	}
}

// rest adds what every layer may have besides its figures.
func (b *fieldList) rest() {
	l := b.layer
	switch l.Kind {
	case "insert":
		b.flag("turned", "Turned over", "turned_over", &l.TurnedOver)
	case "base", "disc", "band":
		b.flag("joined", "May be joined from trimmings", "joined", &l.Joined)
	case "spread", "soak", "decor":
		b.choice("on", "On", "on", &l.On, b.others("what lies below it")...)
	}
	if l.Of.StandIn != "" && l.Kind != "decor" && l.Kind != "soak" {
		b.figure("density", "Density", "of.density", &l.Of.Density, "g/ml", more, nil)
		b.fields[len(b.fields)-1].More = true
	}
	b.fields = append(b.fields,
		field{Name: "what", Label: "Made of", Path: "of", More: true, of: &l.Of, layer: l, st: b.st},
		field{Name: "name", Label: "Name", Path: "name", More: true, words: &l.Name})
	var kinds []option
	for _, k := range layerKinds {
		kinds = append(kinds, option{k.ID, k.Word})
	}
	b.choice("kind", "Kind", "kind", &l.Kind, kinds...)
}

// others lists the other layers, after none.
func (b *fieldList) others(none string) []option {
	out := []option{{"", none}}
	for i := range b.doc.Layers {
		if o := &b.doc.Layers[i]; o.ID != b.layer.ID {
			out = append(out, option{o.ID, b.st.layerName(o)})
		}
	}
	return out
}

func (b *fieldList) belowRim() bool { return b.layer.BelowRim.Given() || b.override.BelowRim.Given() }

func (b *fieldList) path(name string) string { return fmt.Sprintf("overrides[%d].%s", b.at, name) }

func (b *fieldList) figure(name, label, path string, f *document.Figure, symbol string, show shown, over func(*document.Override) *unit.Quantity) {
	n := len(b.fields)
	b.plain(name, label, path, &f.Value, symbol, show, over)
	if len(b.fields) > n && !b.fields[n].Here {
		b.fields[n].figure = f
	}
}

func (b *fieldList) length(name, label, path string, q *unit.Quantity, show shown, over func(*document.Override) *unit.Quantity) {
	b.plain(name, label, path, q, "mm", show, over)
}

func (b *fieldList) plain(name, label, path string, q *unit.Quantity, symbol string, show shown, over func(*document.Override) *unit.Quantity) {
	f := field{Name: name, Label: label, Path: path, quantity: q, symbol: symbol}
	if b.at >= 0 && over != nil {
		if own := over(&b.layer.Overrides[b.at]); own.Given() {
			f.quantity, f.Path, f.Here = own, b.path(path[strings.LastIndexByte(path, '.')+1:]), true
		}
	}
	b.add(f, f.quantity.Given(), show)
}

func (b *fieldList) number(name, label, path string, n *int, show shown, over func(*document.Override) *int) {
	f := field{Name: name, Label: label, Path: path, count: n}
	if b.at >= 0 && over != nil {
		if own := over(&b.layer.Overrides[b.at]); *own != 0 {
			f.count, f.Path, f.Here = own, b.path(path), true
		}
	}
	b.add(f, *f.count != 0, show)
}

func (b *fieldList) add(f field, given bool, show shown) {
	if f.More = !given && show != always; f.More && show == ifGiven {
		return
	}
	b.fields = append(b.fields, f)
}

func (b *fieldList) choice(name, label, path string, of *string, options ...option) {
	b.fields = append(b.fields, field{Name: name, Label: label, Path: path, More: true, choice: of, options: options})
}

func (b *fieldList) flag(name, label, path string, of *bool) {
	b.fields = append(b.fields, field{Name: name, Label: label, Path: path, More: true, flag: of})
}
