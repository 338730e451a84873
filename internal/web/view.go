package web

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"chablon/assembly"
	"chablon/document"
	"chablon/drawing"
	"chablon/finding"
	"chablon/formula"
	"chablon/kitchen"
	"chablon/plan"
	"chablon/unit"
)

// layerView is a layer with the figures that its rule has.
type layerView struct {
	Doc      *document.Assembly // that the layer is of: another one for the layers of an insert
	Layer    *document.Layer
	Placed   *assembly.Placed
	Path     string // "heart/jelly" for a layer of an insert
	Depth    int
	Mould    string
	Fields   []field
	Hatch    string
	PartOf   string // the insert's name, for a layer of it
	Inserted string // address of the insert's own page
	Index    int    // in the order of laying
	Open     bool   // its less usual fields are shown, since one of them needs a figure
	Served   served
	Edges    []edge
}

// Form returns the name of the layer's form.
func (l *layerView) Form() string { return "layer " + l.Doc.ID + "/" + l.Layer.ID }

// FieldID returns the element ID of a field.
func (l *layerView) FieldID(name string) string { return anchor(l.Path) + "_" + name }

// Size says what the layer measures as laid, in this mould.
func (l *layerView) Size() string {
	p := l.Placed
	var parts []string
	switch {
	case p.Kind == assembly.Band:
		if p.StripLength > 0 {
			parts = append(parts, p.StripLength.Show()+" long")
		}
	case !p.Plan.Empty() && p.Kind != assembly.Soak && p.Plan.IsCircle():
		parts = append(parts, "Ø "+p.Plan.Width.Show())
	case !p.Plan.Empty() && p.Kind != assembly.Soak:
		parts = append(parts, unit.Number(p.Plan.Width.Millimetres(), 0)+" × "+p.Plan.Depth.Show())
	}
	if p.Z1 > p.Z0 && p.Kind != assembly.Soak && p.Kind != assembly.Decor && (p.Kind != assembly.Coat || p.Flooded()) {
		parts = append(parts, strings.TrimSuffix(p.Z0.Show(), " mm")+" to "+p.Z1.Show())
	}
	if p.Mass > 0 {
		parts = append(parts, p.Mass.Show())
	}
	return strings.Join(parts, " · ")
}

// addLayers lists the layers in the order of laying, those of an insert after it.
func (v *assemblyView) addLayers(doc *document.Assembly, s *assembly.Section, prefix string, as served) {
	for i := range doc.Layers {
		l := &doc.Layers[i]
		placed, ok := s.Layer(l.ID)
		if !ok {
			continue
		}
		view := layerView{
			Doc: doc, Layer: l, Placed: placed, Path: prefix + l.ID, Depth: strings.Count(prefix, "/"),
			Mould: s.Mould.ID, Fields: fieldsShown(v.State, doc, l, s.Mould.ID), Index: i, Served: as, Hatch: v.Picture.HatchOf[prefix+l.ID],
		}
		if prefix != "" {
			view.PartOf = s.Assembly.Name
		}
		if placed.Inside != nil {
			view.Inserted = "/assemblies/" + placed.Inside.Assembly.ID
		}
		view.addEdges(s)
		v.Layers = append(v.Layers, view)
		if placed.Inside == nil {
			continue
		}
		if inside, ok := document.Find[*document.Assembly](v.State.set, placed.Inside.Assembly.ID); ok {
			v.addLayers(inside, placed.Inside, prefix+l.ID+"/", as.within(placed))
		}
	}
}

// amountView is a component: what it takes, and how it is made.
type amountView struct {
	ID, Name, Hatch string
	Each, Line, All string
	Make, Vessel    string
	Batch           *plan.Batch // nil for what has no formula
	Within          bool        // goes into other components only
}

// addAmounts lists the components of the piece, then what goes into them alone.
func (v *assemblyView) addAmounts(u uses) {
	hatch := map[string]string{}
	for i := range v.Layers {
		if id := v.Layers[i].Placed.Of.ID(); hatch[id] == "" {
			hatch[id] = v.Layers[i].Hatch
		}
	}
	batches := map[string]*plan.Batch{}
	for i := range v.Day.Batches {
		batches[v.Day.Batches[i].Formula.ID] = &v.Day.Batches[i]
	}
	all := map[string]unit.Mass{}
	for _, p := range v.Day.Pieces {
		for _, c := range p.Components {
			all[c.ID] += c.Needed
		}
	}
	direct := map[string]bool{}
	for _, c := range v.Piece.Components {
		direct[c.ID] = true
		a := amountView{ID: c.ID, Name: c.Name, Hatch: hatch[c.ID], Each: c.Each.Show(), Line: c.Needed.Show(), All: all[c.ID].Show()}
		if c.Count > 0 {
			a.Each = fmt.Sprintf("%d · %s", c.Count, a.Each)
		}
		a.take(batches[c.ID])
		v.Amounts = append(v.Amounts, a)
	}
	for i := len(v.Day.Batches) - 1; i >= 0; i-- {
		if b := &v.Day.Batches[i]; u.formulas[b.Formula.ID] && !direct[b.Formula.ID] {
			a := amountView{ID: b.Formula.ID, Name: b.Formula.Name, Within: true, All: b.Needed.Show()}
			a.take(b)
			v.Amounts = append(v.Amounts, a)
		}
	}
}

// weighsOut reports whether anything has a formula to be weighed out by.
func (v *assemblyView) weighsOut() bool {
	return slices.ContainsFunc(v.Amounts, func(a amountView) bool { return a.Batch != nil })
}

func (a *amountView) take(b *plan.Batch) {
	if b == nil {
		return
	}
	a.Batch, a.Make, a.Vessel = b, b.ToMake.Show(), b.Vessel
}

// weighed writes a mass as the finest scale that takes it shows it.
func weighed(k *kitchen.Kitchen, m unit.Mass) string {
	shown, division := k.Round(m)
	decimals := 0
	for d := division.Grams(); division > 0 && d < 0.999 && decimals < 3; d *= 10 {
		decimals++
	}
	if division <= 0 {
		return m.Show()
	}
	return unit.Number(shown.Grams(), decimals) + " g"
}

// worth reports whether a named mass is worth a line: under a tenth of a gram it is rounding.
func worth(m formula.NamedMass) bool { return m.Mass.Grams() >= 0.05 || m.Mass.Grams() <= -0.05 }

// pipingView is one stage of a fill: what goes into one cavity.
type pipingView struct {
	Name, Stage, Mass, Volume, Nozzle string
}

func (v *assemblyView) addPiping(s *assembly.Section) {
	for i := range s.Layers {
		l := &s.Layers[i]
		if l.Inside != nil {
			v.addPiping(l.Inside)
		}
		if l.Kind != assembly.Fill {
			continue
		}
		for k, f := range l.Filled {
			p := pipingView{Name: l.Name, Stage: "up to " + f.Z1.Show(), Mass: f.Mass.Show(), Volume: f.Volume.Show()}
			if after, ok := s.Layer(f.After); ok {
				p.Stage = "after " + lower(after.Name) + ", " + p.Stage
			} else if len(l.Filled) > 1 && k == 0 {
				p.Stage = "first, " + p.Stage
			}
			if l.Nozzle > 0 {
				p.Nozzle = l.Nozzle.Show()
			}
			v.Piping = append(v.Piping, p)
		}
	}
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// findingView is a check with its place in words.
type findingView struct {
	finding.Finding
	Place    string
	Href     string // to the layer's figures
	Accepted string // why the cook has accepted it
}

// ReasonHere returns the reason as it goes on after the place, or as it starts without one.
func (f findingView) ReasonHere(placed bool) string {
	if placed {
		return f.Reason
	}
	return sentenceCase(f.Reason)
}

func (v *assemblyView) addFindings(u uses) {
	for _, f := range v.Day.Findings {
		if !u.concerned(v.State, f.Where) {
			continue
		}
		view := viewOf(v.State, f)
		for i := range v.Layers {
			l := &v.Layers[i]
			of := "assembly " + l.Doc.ID
			if (strings.HasPrefix(f.Where, of+", layer ") || strings.HasPrefix(f.Where, of+" in ")) && strings.Contains(f.Where, `"`+l.Layer.ID+`"`) {
				view.Href, view.Place = "#"+anchor(l.Path), l.Placed.Name
			}
		}
		v.Findings = append(v.Findings, view)
	}
}

func viewOf(st *state, f finding.Finding) findingView {
	v := findingView{Finding: f, Place: place(st, f.Where)}
	if reason, why, ok := strings.Cut(f.Reason, " (accepted: "); ok {
		v.Reason, v.Accepted = reason, strings.TrimSuffix(why, ")")
	}
	v.Source = strings.TrimPrefix(v.Source, "bib:")
	return v
}

// place writes where a finding is with names in place of IDs.
func place(st *state, where string) string {
	kind, rest, _ := strings.Cut(where, " ")
	id, more, _ := strings.Cut(rest, ",")
	if m, ok := strings.CutPrefix(more, " mould "); ok && st.book.Moulds[m] != nil {
		return mouldName(st.book.Moulds[m])
	}
	if d := st.set.Get(kind, id); d != nil {
		text := nameOf(d)
		if more != "" {
			text += "," + more
		}
		return text
	}
	return where
}

// dayOfSteps is one day of the timeline.
type dayOfSteps struct {
	Heading string
	Entries []stepView
}

// stepView is a step of the timeline as a line of a table.
type stepView struct {
	From, To, Step, Of, With, Wait, Note string
}

// addTimeline draws the steps of this piece, and lists them for those who cannot see it.
func (v *assemblyView) addTimeline(u uses) {
	var entries []plan.Entry
	for _, e := range v.Day.Timeline {
		if e.Piece < 0 && u.formulas[e.Component] || e.Piece >= 0 && e.Piece < len(v.Day.Pieces) && &v.Day.Pieces[e.Piece] == v.Piece {
			entries = append(entries, e)
		}
	}
	due := []drawing.Due{{At: v.Piece.Order.Due, Name: v.Name()}}
	v.Timeline, v.Steps = timeline(v.State, entries, due, "Timeline of "+v.Name())
}

func timeline(st *state, entries []plan.Entry, due []drawing.Due, title string) (svg string, days []dayOfSteps) {
	if len(entries) == 0 {
		return "", nil
	}
	zone := st.book.Kitchen.Zone
	if zone == nil {
		zone = time.UTC
	}
	svg = string(drawing.Timeline(entries, drawing.Options{IDPrefix: "t_", Title: title, Zone: zone, Due: due}).SVG())
	for i := range entries {
		e := &entries[i]
		heading := e.Start.In(zone).Format("Monday 2 January")
		if len(days) == 0 || days[len(days)-1].Heading != heading {
			days = append(days, dayOfSteps{Heading: heading})
		}
		d := &days[len(days)-1]
		d.Entries = append(d.Entries, stepOf(e, zone))
	}
	return svg, days
}

func stepOf(e *plan.Entry, zone *time.Location) stepView {
	from, end := e.Start.In(zone), e.End.In(zone)
	v := stepView{From: from.Format("15:04"), To: end.Format("15:04"), Step: words(e.Step.ID), Of: e.Name}
	if end.YearDay() != from.YearDay() || end.Year() != from.Year() {
		v.To = end.Format("Mon 15:04")
	}
	if e.Batch > 1 {
		v.Of += fmt.Sprintf(", batch %d", e.Batch)
	}
	var with []string
	with = append(with, e.People...)
	for _, k := range e.Equipment {
		with = append(with, words(k))
	}
	v.With = strings.Join(with, ", ")
	switch wait := e.End.Sub(e.HandsOff); {
	case e.Wait != nil:
		v.Wait = fmt.Sprintf("%s (%s to %s), %s", unit.ShowEstimate(e.Wait.Time), unit.ShowEstimate(e.Wait.Low), unit.ShowEstimate(e.Wait.High), e.Wait.Criterion)
	case wait > 0:
		v.Wait = unit.ShowDuration(wait)
	}
	var notes []string
	if e.Step.Caution != "" {
		notes = append(notes, e.Step.Caution)
	}
	if len(e.Step.Hazards) > 0 {
		var hazards []string
		for _, h := range e.Step.Hazards {
			hazards = append(hazards, words(h))
		}
		notes = append(notes, "Mind: "+strings.Join(hazards, ", ")+".")
	}
	if e.Step.Assumed {
		notes = append(notes, "Its time is assumed.")
	}
	v.Note = strings.Join(notes, " ")
	return v
}

func words(id string) string { return strings.ReplaceAll(id, "-", " ") }
