package web

import (
	"cmp"
	"net/http"
	"slices"

	"chablon/assembly"
	"chablon/check"
	"chablon/document"
	"chablon/drawing"
	"chablon/mould"
	"chablon/unit"
)

// refitView shows an assembly in its own mould and in another, side by side.
type refitView struct {
	Doc           *document.Assembly
	To            *mould.Mould
	Scaling       string
	Moulds        []mouldGroup
	Before, After string // drawings
	Rows          []refitRow
	Changes       []assembly.Change
	Findings      []findingView
	Mass          [2]string
	Serves        [2]string
}

// refitRow compares one layer.
type refitRow struct{ Name, BeforeSize, AfterSize, BeforeMass, AfterMass, Ratio string }

// scalings are the ways into another mould, in words.
var scalings = []pick{
	{Value: "same-thickness", Text: "keep thicknesses and margins"},
	{Value: "proportional", Text: "keep proportions"},
	{Value: "height", Text: "keep the height of the piece"},
}

func (s *Server) showRefit(w http.ResponseWriter, r *http.Request) error {
	st, doc, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	a, err := laid(st, doc)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	v := &refitView{Doc: doc, Scaling: cmp.Or(q.Get("scaling"), "same-thickness"), Moulds: moulds(st, doc), To: st.book.Moulds[q.Get("to")]}
	if v.To == nil {
		v.To = a.Mould
		for _, g := range v.Moulds { // another one, to begin with
			if i := slices.IndexFunc(g.Moulds, func(m *mould.Mould) bool { return m.ID != a.Mould.ID }); i >= 0 {
				v.To = g.Moulds[i]
				break
			}
		}
	}
	how, ok := assembly.ScalingNamed(v.Scaling)
	if !ok {
		v.Scaling = "same-thickness"
	}
	fitted := a.Refit(v.To, how, st.book.Owned())
	before, after := a.Lay(a.Mould), fitted.Assembly.Lay(v.To)
	v.Changes = fitted.Changes
	v.Before = string(drawing.Section(before, drawing.Options{IDPrefix: "b_", Narrow: true, Title: "Before, in " + mouldName(a.Mould)}).SVG())
	v.After = string(drawing.Section(after, drawing.Options{IDPrefix: "a_", Narrow: true, Title: "After, in " + mouldName(v.To)}).SVG())
	v.Mass = [2]string{before.Mass().Show(), after.Mass().Show()}
	for i, sec := range []*assembly.Section{before, after} {
		if p, err := sec.Portion(); err == nil {
			v.Serves[i] = number(p.Count) + " of " + p.Mass.Show()
		}
	}
	for i := range before.Layers {
		b, n := &before.Layers[i], &after.Layers[i]
		row := refitRow{Name: b.Name, BeforeSize: layerSize(b), AfterSize: layerSize(n)}
		if b.Mass > 0 {
			row.BeforeMass, row.Ratio = b.Mass.Show(), "× "+unit.Number(float64(n.Mass/b.Mass), 2)
		}
		if n.Mass > 0 {
			row.AfterMass = n.Mass.Show()
		}
		v.Rows = append(v.Rows, row)
	}
	for _, f := range append(fitted.Findings, check.Section(after)...) {
		v.Findings = append(v.Findings, viewOf(st, f))
	}
	s.render(w, r, 0, frame{Title: nameOf(doc) + " in another mould", Here: "/assemblies", Kitchen: st.kitchenName()}, refitMain(v))
	return nil
}

// layerSize says what a layer measures where it lies.
func layerSize(l *assembly.Placed) string {
	return (&layerView{Placed: &assembly.Placed{Layer: l.Layer, Z0: l.Z0, Z1: l.Z1, Plan: l.Plan, StripLength: l.StripLength}}).Size()
}
