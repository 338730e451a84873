package web

import (
	"cmp"
	"errors"
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
	Doc                     *document.Assembly
	Guests, Hand, Dimension inquiry

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
	section := a.Lay(a.Mould)
	var components, layers []pick
	measures := []pick{{"mass", "mass of a piece"}, {"height", "height of a piece"}}
	for _, p := range section.Parts() {
		components = append(components, pick{p.Component.ID(), p.Component.Name()})
		measures = append(measures, pick{"share " + p.Component.ID(), "share of " + p.Component.Name()})
	}
	for i := range section.Layers {
		layers = append(layers, pick{section.Layers[i].ID, section.Layers[i].Name})
	}
	v := &seekView{
		Doc: doc,
		Guests: inquiry{ID: "guests", Title: "So many guests", Fields: []inquiryField{
			{Name: "guests", Label: "Guests", Hint: "24"},
			{Name: "portion", Label: "A portion", Hint: "as written", Optional: true},
		}},
		Hand: inquiry{ID: "hand", Title: "So much on hand", Fields: []inquiryField{
			{Name: "component", Label: "Of", Choices: components},
			{Name: "amount", Label: "there are", Hint: "3 kg"},
		}},
		Dimension: inquiry{ID: "dimension", Title: "One dimension for a target", Fields: []inquiryField{
			{Name: "field", Label: "Let the", Choices: seekDimensions},
			{Name: "layer", Label: "of", Choices: layers},
			{Name: "low", Label: "lie between", Value: "0 mm"},
			{Name: "high", Label: "and", Value: "40 mm"},
			{Name: "measure", Label: "so that the", Choices: measures},
			{Name: "target", Label: "is", Hint: "1.4 kg"},
		}},
	}
	switch q := r.URL.Query(); {
	case v.Guests.asks(q):
		v.guests(st, a)
	case v.Hand.asks(q):
		v.hand(st, a)
	case v.Dimension.asks(q):
		v.dimension(st, a)
	}
	s.render(w, r, 0, frame{Title: "Backwards: " + nameOf(doc), Here: "/assemblies", Kitchen: st.kitchenName()}, seekMain(v))
	return nil
}

// guests asks for moulds and pieces.
func (v *seekView) guests(st *state, a *assembly.Assembly) {
	n, err := strconv.Atoi(v.Guests.get("guests"))
	if err != nil {
		v.Guests.wrong("guests", errors.New("write how many guests there are"))
		return
	}
	b := *a
	if v.Guests.get("portion") != "" {
		q := v.Guests.quantity("portion", "g", unit.OfMass, unit.OfVolume)
		if v.Guests.refused() {
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
		v.Guests.wrong("guests", err)
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
	q := v.Hand.quantity("amount", "g", unit.OfMass)
	if v.Hand.refused() {
		return
	}
	hand := seek.Hand{Components: map[string]unit.Mass{v.Hand.get("component"): q.Mass()}}
	for _, m := range st.book.Owned() {
		if m.ID != a.Mould.ID && !slices.Contains(a.Moulds, m.ID) {
			continue
		}
		e, err := seek.Pieces(st.book.JobFor(), plan.Line{Assembly: a, Mould: m}, hand)
		if err != nil {
			v.Hand.wrong("amount", err)
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
	what := v.Dimension.get("measure")
	share, isShare := strings.CutPrefix(what, "share ")
	switch {
	case what == "height":
		measure, dim, symbol = seek.Height, unit.OfLength, "mm"
	case isShare:
		measure, dim, symbol = seek.Share(share), unit.OfShare, "%"
	}
	target := v.Dimension.quantity("target", symbol, dim)
	value := float64(target.Mass())
	switch {
	case what == "height":
		value = float64(target.Length())
	case isShare:
		value = target.Share()
	}
	free := seek.Free{
		Layer: v.Dimension.get("layer"), Field: seek.Field(v.Dimension.get("field")),
		Low: v.Dimension.length("low"), High: v.Dimension.length("high"),
	}
	if v.Dimension.refused() {
		return
	}
	found, err := seek.Dimension(a, a.Mould, free, measure, value)
	if err != nil {
		v.Dimension.wrong("target", err)
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
