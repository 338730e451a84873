package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"chablon/assembly"
	"chablon/document"
	"chablon/plan"
	"chablon/seek"
	"chablon/unit"
)

// seekView is the page of backward questions about one assembly.
type seekView struct {
	Doc        *document.Assembly
	Fields     map[string]string
	Wrong      map[string]string
	Components []pick
	Layers     []pick
	Dimensions []pick
	Measures   []pick

	Served []servedRow
	Enough []enoughRow
	Found  *foundRow
}

type servedRow struct{ Moulds, Portions, Spare, Mass string }

type enoughRow struct{ Mould, Pieces, Short string }

type foundRow struct {
	Reached               bool
	Value, Result, Relax  string
	PerMillimetre, Piece  string
	Faults                []findingView
	Dimension, LayerNamed string
}

var seekDimensions = []pick{
	{string(seek.Thickness), "thickness"},
	{string(seek.Level), "level"},
	{string(seek.BelowRim), "below the rim"},
	{string(seek.Inset), "inset"},
	{string(seek.BandHeight), "height of the band"},
	{string(seek.Film), "film"},
}

func (s *Server) showSeek(w http.ResponseWriter, r *http.Request) error {
	st, doc, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	a, err := laid(st, doc)
	if err != nil {
		return err
	}
	v := &seekView{Doc: doc, Fields: map[string]string{}, Wrong: map[string]string{}, Dimensions: seekDimensions}
	for name, values := range r.URL.Query() {
		v.Fields[name] = strings.TrimSpace(values[0])
	}
	section := a.Lay(a.Mould)
	v.Measures = []pick{{"mass", "mass of a piece"}, {"height", "height of a piece"}}
	for _, p := range section.Parts() {
		v.Components = append(v.Components, pick{p.Component.ID(), p.Component.Name()})
		v.Measures = append(v.Measures, pick{"share " + p.Component.ID(), "share of " + p.Component.Name()})
	}
	for i := range section.Layers {
		v.Layers = append(v.Layers, pick{section.Layers[i].ID, section.Layers[i].Name})
	}
	switch v.Fields["ask"] {
	case "guests":
		v.guests(st, a)
	case "hand":
		v.hand(st, a)
	case "dimension":
		v.dimension(st, a)
	}
	s.render(w, r, 0, frame{Title: "Backwards: " + nameOf(doc), Here: "/assemblies", Kitchen: st.kitchenName()}, seekMain(v))
	return nil
}

// guests asks for moulds and pieces.
func (v *seekView) guests(st *state, a *assembly.Assembly) {
	n, err := strconv.Atoi(v.Fields["guests"])
	if err != nil {
		v.Wrong["guests"] = "Write how many guests there are."
		return
	}
	b := *a
	if text := v.Fields["portion"]; text != "" {
		q, err := unit.ParseQuantity(withUnit(text, unit.Quantity{}, "g"), unit.OfMass, unit.OfVolume)
		if err != nil {
			v.Wrong["portion"] = inWords(err)
			return
		}
		b.Portions = assembly.Portions{Rule: cmp.Or(a.Portions.Rule, "wedges")}
		if q.Unit.Dim == unit.OfVolume {
			b.Portions.Volume = q.Volume()
		} else {
			b.Portions.Mass = q.Mass()
		}
	}
	var moulds []seek.Owned
	for _, m := range st.book.Owned() {
		allowed := len(a.Moulds) == 0 && m.ID == a.Mould.ID || slices.Contains(a.Moulds, m.ID)
		if count := st.book.Kitchen.Moulds[m.ID]; allowed && count > 0 {
			moulds = append(moulds, seek.Owned{Mould: m, Count: count})
		}
	}
	served, err := seek.Serve(&b, n, moulds, assembly.SameThickness, st.book.Owned())
	if err != nil {
		v.Wrong["guests"] = inWords(err)
		return
	}
	for _, x := range served {
		var words []string
		for _, f := range x.Moulds {
			words = append(words, number(f.Pieces)+" × "+mouldName(f.Mould)+" of "+number(f.Portions))
		}
		v.Served = append(v.Served, servedRow{strings.Join(words, " and "), number(x.Portions), number(x.Spare), x.Mass.Show()})
	}
}

// hand asks how many pieces an amount gives, in every mould that the assembly may be made in.
func (v *seekView) hand(st *state, a *assembly.Assembly) {
	q, err := unit.ParseQuantity(withUnit(v.Fields["amount"], unit.Quantity{}, "g"), unit.OfMass)
	if err != nil {
		v.Wrong["amount"] = inWords(err)
		return
	}
	hand := seek.Hand{Components: map[string]unit.Mass{cmp.Or(v.Fields["component"], v.Components[0].Value): q.Mass()}}
	for _, m := range st.book.Owned() {
		if m.ID != a.Mould.ID && !slices.Contains(a.Moulds, m.ID) {
			continue
		}
		e, err := seek.Pieces(st.book.JobFor(), plan.Line{Assembly: a, Mould: m}, hand)
		if err != nil {
			v.Wrong["amount"] = inWords(err)
			return
		}
		row := enoughRow{Mould: mouldName(m), Pieces: number(e.Pieces)}
		for _, x := range e.Short {
			row.Short = x.Lacks().Show() + " of " + x.Name
		}
		v.Enough = append(v.Enough, row)
	}
}

// dimension asks for the value of one dimension that meets a target.
func (v *seekView) dimension(st *state, a *assembly.Assembly) {
	measure, dim, symbol := seek.Mass, unit.OfMass, "g"
	what := cmp.Or(v.Fields["measure"], "mass")
	share, isShare := strings.CutPrefix(what, "share ")
	switch {
	case what == "height":
		measure, dim, symbol = seek.Height, unit.OfLength, "mm"
	case isShare:
		measure, dim, symbol = seek.Share(share), unit.OfShare, "%"
	}
	target, err := unit.ParseQuantity(withUnit(v.Fields["target"], unit.Quantity{}, symbol), dim)
	if err != nil {
		v.Wrong["target"] = inWords(err)
		return
	}
	value := float64(target.Mass())
	switch {
	case what == "height":
		value = float64(target.Length())
	case isShare:
		value = target.Share()
	}
	length := func(name, usual string) unit.Length {
		q, err := unit.ParseQuantity(withUnit(cmp.Or(v.Fields[name], usual), unit.Quantity{}, "mm"), unit.OfLength)
		if err != nil {
			v.Wrong[name] = inWords(err)
		}
		return q.Length()
	}
	free := seek.Free{
		Layer: cmp.Or(v.Fields["layer"], v.Layers[0].Value), Field: seek.Field(cmp.Or(v.Fields["field"], "thickness")),
		Low: length("low", "0 mm"), High: length("high", "40 mm"),
	}
	if len(v.Wrong) > 0 {
		return
	}
	found, err := seek.Dimension(a, a.Mould, free, measure, value)
	if err != nil {
		v.Wrong["target"] = inWords(err)
		return
	}
	show := func(x float64) string {
		switch {
		case what == "height":
			return unit.Length(x).Show()
		case isShare:
			return unit.Number(100*x, 1) + " %"
		}
		return unit.Mass(x).Show()
	}
	row := &foundRow{Reached: found.Reached, Value: found.Value.Show(), Result: show(found.Result), Relax: found.Relax, Piece: found.Section.Mass().Show(), Dimension: string(free.Field), LayerNamed: free.Layer}
	if per, err := seek.PerMillimetre(a, a.Mould, free.Layer, free.Field, found.Value, measure); err == nil {
		sign := "+"
		if per < 0 {
			sign, per = "−", -per
		}
		row.PerMillimetre = sign + show(per)
	}
	for _, f := range found.Section.Findings {
		row.Faults = append(row.Faults, viewOf(st, f))
	}
	v.Found = row
}
