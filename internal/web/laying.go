package web

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/document"
	"chablon/mould"
	"chablon/unit"
)

// laying puts a new layer where its kind usually goes, with the figures that are usual there: all
// of them common practice, no source. What the cook knows better is changed afterwards.
type laying struct {
	st      *state
	doc     *document.Assembly // is changed
	mould   *mould.Mould       // that the figures are meant for
	section *assembly.Section  // before the layer is laid; nil if there is none
}

// in sets the mould, the assembly's own if there is no such one.
func (n *laying) in(id string) {
	if n.mould = n.st.book.Moulds[id]; n.mould == nil {
		own, _, _ := n.doc.Mould.Split()
		n.mould = n.st.book.Moulds[own]
	}
	if a := n.st.book.Assemblies[n.doc.ID]; a != nil && n.mould != nil && len(n.doc.Layers) > 0 {
		n.section = a.Lay(n.mould)
	}
}

func (n *laying) nameOf(of document.Of) string { return n.st.madeOfName(of) }

// taken reports whether an ID is that of a layer or a step: steps name both.
func (n *laying) taken(id string) bool {
	return slices.ContainsFunc(n.doc.Layers, func(l document.Layer) bool { return l.ID == id }) ||
		slices.ContainsFunc(n.doc.Steps, func(s document.Step) bool { return s.ID == id })
}

// placeFor gives the layer its figures and returns the index at which it is laid. place is
// "first", the ID of the layer that it is laid after, or empty for where its kind usually goes.
func (n *laying) placeFor(l *document.Layer, place string) (at int, problem string) {
	n.figures(l)
	switch i := slices.IndexFunc(n.doc.Layers, func(o document.Layer) bool { return o.ID == place }); {
	case place == "":
		at = n.usualPlace(l)
	case place == "first":
	case i >= 0:
		at = i + 1
	default:
		return 0, "That layer is not there any more: choose again where it goes."
	}
	if at > 0 && n.sinks(l) && n.doc.Layers[at-1].Kind == "fill" {
		n.within(&n.doc.Layers[at-1], l)
	}
	return at, ""
}

// sinks reports whether a layer may be laid within a fill.
func (n *laying) sinks(l *document.Layer) bool { return l.Kind == "disc" || l.Kind == "insert" }

// usualPlace returns the index where a kind usually goes: bands, base, then what is laid and
// filled, coats, décor; upside-down the base after the fills.
func (n *laying) usualPlace(l *document.Layer) int {
	layers := n.doc.Layers
	after := func(kinds ...string) int { // how many leading layers are of these kinds
		i := 0
		for i < len(layers) && slices.Contains(kinds, layers[i].Kind) {
			i++
		}
		return i
	}
	before := func(kinds ...string) int {
		i := len(layers)
		for i > 0 && slices.Contains(kinds, layers[i-1].Kind) {
			i--
		}
		return i
	}
	finish := before("coat", "decor")
	switch {
	case !n.inverted() || l.Kind == "base":
	case l.Kind == "spread":
		finish = before("coat", "decor", "soak", "base")
	default: // the base, with what is spread under it, closes the mould
		finish = before("coat", "decor", "soak", "base", "spread")
	}
	fill := -1
	for i := range finish {
		if layers[i].Kind == "fill" {
			fill = i
		}
	}
	switch l.Kind {
	case "decor":
		return len(layers)
	case "coat":
		return before("decor")
	case "band":
		return after("band")
	case "base":
		if n.inverted() {
			return finish
		}
		return after("band")
	case "soak":
		for i := range layers {
			if layers[i].ID == l.On {
				return i + 1
			}
		}
		return finish
	case "fill":
		if fill >= 0 && n.full(&layers[fill]) {
			return fill
		}
		return finish
	}
	switch {
	case fill < 0 || l.Kind == "spread" && n.inverted():
		return finish
	case !n.sinks(l):
		return fill
	}
	for i := fill + 1; i < len(layers); i++ { // what the fill waits for comes above
		if slices.ContainsFunc(layers[fill].Stages, func(s document.Stage) bool { return s.After == layers[i].ID }) {
			return i
		}
	}
	if _, room := n.middle(&layers[fill], l); room {
		return fill + 1
	}
	return fill
}

func (n *laying) inverted() bool { return n.doc.Laid == "inverted" }

// full reports whether a fill leaves no room for another above it.
func (n *laying) full(l *document.Layer) bool {
	if n.section == nil {
		return true
	}
	p, ok := n.section.Layer(l.ID)
	return ok && p.Z1.Millimetres() > n.height()-6
}

// width is the smaller width of the mould at its rim, and height its height, in millimetres.
func (n *laying) width() float64 {
	o := n.mould.Solid.At(n.mould.Solid.Height())
	return min(o.Width, o.Depth).Millimetres()
}

func (n *laying) height() float64 { return n.mould.Solid.Height().Millimetres() }

// heart is how wide an insert usually is, and how wide it may be.
func (n *laying) heart() (usual, most float64) {
	w := n.width()
	if w <= 100 {
		return 0.6 * w, w - 10
	}
	return w - 40, w - 20
}

// mm rounds to half a millimetre, the step of what can be cut and levelled.
func mm(x float64) unit.Quantity { return unit.Of(max(0.5, math.Round(2*x)/2), millimetre) }

func usualMM(x float64) document.Figure { return document.Figure{Value: mm(x), Source: commonPractice} }

// figures gives a layer the figures that are usual for its kind in the mould.
func (n *laying) figures(l *document.Layer) {
	w, h := n.width(), n.height()
	hasBand := slices.ContainsFunc(n.doc.Layers, func(o document.Layer) bool { return o.Kind == "band" })
	inset := document.Outline{Inset: mm(min(10, w/10))}
	switch l.Kind {
	case "base":
		l.Thickness = usualMM(min(8, h/5))
		if !hasBand {
			l.Outline = inset
		}
		if n.inverted() {
			l.BelowRim = unit.Of(0, millimetre)
		}
		l.MadeIn = n.sheet()
	case "disc":
		l.Thickness, l.Outline, l.MadeIn = usualMM(min(5, h/8)), inset, n.sheet()
	case "insert":
		n.insert(l)
	case "fill":
		n.fill(l)
	case "band":
		l.Thickness, l.MadeIn = usualMM(4), n.sheet()
		l.Band = document.Band{Height: mm(max(h-5, h/2)), Pieces: n.strips(l.MadeIn), Joint: "overlap", Overlap: mm(8)}
	case "spread":
		n.spread(l)
	case "soak":
		l.On = n.lastCut("base", "disc")
		l.Soak.Share = document.Figure{Value: unit.Of(40, hundredth), Source: commonPractice}
	case "coat":
		n.coat(l)
	case "decor":
		l.Pieces = 8
		if !n.st.hasPieceMass(l.Of.Ingredient) {
			l.Each = document.Figure{Value: unit.Of(2, grams), Source: commonPractice}
		}
	}
}

// spread goes on the last piece that was cut or frozen; upside-down under the base, as wide as that.
func (n *laying) spread(l *document.Layer) {
	l.Thickness = usualMM(3)
	for i := range n.doc.Layers {
		if o := &n.doc.Layers[i]; n.inverted() && o.Kind == "base" {
			l.BelowRim, l.Outline = mm(o.Thickness.Value.Length().Millimetres()), o.Outline
			return
		}
	}
	l.On = n.lastCut("base", "disc", "insert")
}

// hasPieceMass reports whether one piece of an ingredient has a mass on record.
func (st *state) hasPieceMass(ref document.Ref) bool {
	id, _, _ := ref.Split()
	i, ok := st.book.Table.Get(id)
	if !ok {
		return false
	}
	return slices.ContainsFunc([]string{"piece", "each", "medium", "whole", "leaf"}, func(measure string) bool {
		_, ok := i.Portion(measure)
		return ok
	})
}

// lastCut returns the last layer of the kinds that has no soak or spread yet, else the last.
func (n *laying) lastCut(kinds ...string) string {
	last, free := "", ""
	for _, l := range n.doc.Layers {
		if slices.Contains(kinds, l.Kind) {
			last, free = l.ID, l.ID
		}
		if l.On != "" && l.On == free {
			free = ""
		}
	}
	return cmp.Or(free, last)
}

// sheet is what bases, discs and bands are cut from: as for the layers that are there, else the
// first sheet that is owned.
func (n *laying) sheet() document.Ref {
	for _, l := range n.doc.Layers {
		if id, _, _ := l.MadeIn.Split(); n.st.book.Moulds[id] != nil && n.st.book.Moulds[id].Role == mould.RoleSheet {
			return l.MadeIn
		}
	}
	for _, id := range n.owned() {
		if n.st.book.Moulds[id].Role == mould.RoleSheet {
			return document.Ref(id)
		}
	}
	return ""
}

// strips returns how many strips of a sheet go round the mould, each a little shorter than the
// sheet for its edges and the overlap; one if the sheet is not known.
func (n *laying) strips(sheet document.Ref) int {
	id, _, _ := sheet.Split()
	from := n.st.book.Moulds[id]
	if from == nil {
		return 1
	}
	const lost = 20 * unit.Millimetre
	o := from.Solid.At(0)
	round := n.mould.Solid.At(n.mould.Solid.Height()).Perimeter()
	return int(min(max(1, math.Ceil(float64(round/max(o.Width-lost, o.Depth-lost, lost)))), 100))
}

// owned lists the moulds of the kitchen that are on record.
func (n *laying) owned() []string {
	ids := slices.Sorted(maps.Keys(n.st.book.Kitchen.Moulds))
	return slices.DeleteFunc(ids, func(id string) bool { return n.st.book.Kitchen.Moulds[id] < 1 || n.st.book.Moulds[id] == nil })
}

// insert is frozen in the mould nearest to the usual width, if one that fits is owned; otherwise it
// has a diameter of its own.
func (n *laying) insert(l *document.Layer) {
	usual, most := n.heart()
	choose := func(ids []string) (best *mould.Mould) {
		away := func(m *mould.Mould) float64 {
			return math.Abs(m.Solid.At(m.Solid.Height()).Width.Millimetres() - usual)
		}
		for _, id := range ids {
			m := n.st.book.Moulds[id]
			if m == nil || m.Role == mould.RoleSheet || m.Role == mould.RolePan || m.Solid.Height() >= n.mould.Solid.Height() {
				continue
			}
			o := m.Solid.At(m.Solid.Height())
			if o.IsCircle() == n.mould.Solid.At(n.mould.Solid.Height()).IsCircle() && o.Width.Millimetres() <= most && (best == nil || away(m) < away(best)) {
				best = m
			}
		}
		return best
	}
	if l.Of.Assembly != "" {
		id, _, _ := l.Of.Assembly.Split()
		in, ok := document.Find[*document.Assembly](n.st.set, id)
		if !ok {
			return
		}
		var ids []string
		for _, ref := range append([]document.Ref{in.Mould}, in.Moulds...) {
			own, _, _ := ref.Split()
			ids = append(ids, own)
		}
		if m := choose(ids); m != nil {
			l.MadeIn = document.Ref(m.ID)
		}
		return
	}
	thick := min(15, 0.4*n.height())
	if m := choose(n.owned()); m != nil {
		l.MadeIn, thick = document.Ref(m.ID), min(thick, m.Solid.Height().Millimetres())
	} else {
		l.Outline.Diameter = mm(usual)
	}
	l.Thickness = usualMM(thick)
}

// fill goes to the rim, less the room for a glaze of 3 mm unless the coat comes after unmoulding.
// Under a fill that takes all there is, it goes half-way.
func (n *laying) fill(l *document.Layer) {
	for i := len(n.doc.Layers) - 1; i >= 0 && n.section != nil; i-- {
		o := &n.doc.Layers[i]
		if p, ok := n.section.Layer(o.ID); ok && o.Kind == "fill" && n.full(o) {
			from := max(p.Z0, n.under(o.ID)).Millimetres()
			l.Level = usualMM((from + p.Z1.Millimetres()) / 2)
			return
		}
	}
	room := 3.0
	coated := slices.ContainsFunc(n.doc.Layers, func(o document.Layer) bool { return o.Kind == "coat" && o.Coat.Way != "flood" })
	if n.inverted() || coated || n.height() < 20 {
		room = 0
	}
	l.BelowRim = unit.Of(room, millimetre)
}

// coat is flooded where room is left for it under the rim, and poured on the frozen piece where not.
func (n *laying) coat(l *document.Layer) {
	if n.section != nil && !n.inverted() {
		if room := n.height() - n.section.Top.Millimetres(); room >= 1 && room <= 6 {
			l.BelowRim = unit.Of(0, millimetre)
			l.Coat = document.Coat{Way: "flood", When: "in-mould"}
			return
		}
	}
	l.Coat = document.Coat{Way: "pour", When: "frozen", Film: usualMM(2), Stays: unit.Of(60, hundredth)}
}

// under returns the highest face of the bodies that are laid before a layer.
func (n *laying) under(id string) (top unit.Length) {
	for i := range n.section.Layers {
		p := &n.section.Layers[i]
		if p.ID == id {
			break
		}
		if p.Kind != assembly.Band && p.Kind != assembly.Coat && p.Kind != assembly.Decor && p.Kind != assembly.Soak {
			top = max(top, p.Z1)
		}
	}
	return top
}

// over returns the lowest face of what hangs from the rim and is laid after a layer; the height of
// the mould if nothing does.
func (n *laying) over(id string) unit.Length {
	low, after := n.mould.Solid.Height(), false
	for i := range n.section.Layers {
		p := &n.section.Layers[i]
		if body := p.Kind == assembly.Base || p.Kind == assembly.Spread; after && body && (p.Level.Given || p.BelowRim.Given) {
			low = min(low, p.Z0)
		}
		after = after || p.ID == id
	}
	return low
}

// middle returns the level up to which a fill goes in first, so that a layer laid on it comes to
// lie in the middle of the fill, and whether there is room.
func (n *laying) middle(fill, l *document.Layer) (level float64, room bool) {
	if n.section == nil || len(fill.Stages) > 0 {
		return 0, false
	}
	p, ok := n.section.Layer(fill.ID)
	if !ok {
		return 0, false
	}
	thick := l.Thickness.Value.Length().Millimetres()
	if id, _, _ := l.Of.Assembly.Split(); id != "" && n.st.book.Assemblies[id] != nil {
		in := n.st.book.Assemblies[id]
		own, _, _ := l.MadeIn.Split()
		thick = in.Lay(cmp.Or(n.st.book.Moulds[own], in.Mould)).Top.Millimetres()
	}
	from, to := max(p.Z0, n.under(fill.ID)).Millimetres(), min(p.Z1, n.over(fill.ID)).Millimetres()
	const least = 4 // of the fill below and above together
	return from + (to-from-thick)/2, to-from-thick >= least
}

// within lets a fill go in at twice, before and after a layer that is laid in it.
func (n *laying) within(fill, l *document.Layer) {
	if level, room := n.middle(fill, l); room {
		fill.Stages = []document.Stage{{Level: mm(level)}, {After: l.ID}}
	}
}

// standsFor reports what a layer is made of where that has no formula yet.
func standsFor(l *document.Layer) string {
	if l.Of.StandIn == "" {
		return ""
	}
	text := "stand-in"
	if strings.HasPrefix(l.Of.Density.Source, "assumed") {
		text += fmt.Sprintf(", density of %s assumed", l.Of.Density.Value.Text)
	}
	return text
}
