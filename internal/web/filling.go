package web

import (
	"net/http"
	"net/url"

	"chablon/assembly"
	"chablon/document"
	"chablon/plan"
	"chablon/unit"
)

// fillingView is what is piped into each cavity, and what a cup of today's mix says.
type fillingView struct {
	Doc     *document.Assembly
	Mould   string
	Pieces  int
	Lines   []lineLink
	Text    string
	Pipings []assembly.Piping
	Rim     unit.Length
	Kept    url.Values // the line that is shown
	Weigh   inquiry
	Cup     *assembly.Cup
	Name    string // of the fill that was weighed
}

// pieceOf returns the laid piece that an address is about: the order line it names, else the first
// order line of the assembly, else the assembly in its own mould. The error is the answer where it cannot be laid.
func pieceOf(st *state, doc *document.Assembly, line string) (*assembly.Section, int, []lineLink, error) {
	var found *plan.Piece
	var links []lineLink
	for i := range st.day.Pieces {
		p := &st.day.Pieces[i]
		if p.Section.Assembly.ID != doc.ID {
			continue
		}
		key := p.Order.ID + "/" + number(p.Line)
		here := key == line || line == "" && found == nil
		links = append(links, lineLink{Text: p.Order.Name + ", " + mouldName(p.Section.Mould), Href: "?line=" + key, Here: here})
		if here {
			found = p
		}
	}
	if found != nil {
		return found.Section, found.Pieces, links, nil
	}
	a, err := laid(st, doc)
	if err != nil {
		return nil, 0, nil, err
	}
	return a.Lay(a.Mould), 1, links, nil
}

func (s *Server) showFilling(w http.ResponseWriter, r *http.Request) error {
	st, doc, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	q := r.URL.Query()
	section, pieces, lines, err := pieceOf(st, doc, q.Get("line"))
	if err != nil {
		return err
	}
	v := &fillingView{
		Doc: doc, Mould: mouldName(section.Mould), Pieces: pieces, Lines: lines, Text: section.PipingText(divisionOf(st, section)),
		Pipings: section.Piping(), Rim: section.Mould.Solid.Height(), Kept: url.Values{},
	}
	if line := q.Get("line"); line != "" {
		v.Kept.Set("line", line)
	}
	var fills []pick
	for i := range section.Layers {
		if l := &section.Layers[i]; len(l.Filled) > 0 {
			fills = append(fills, pick{Value: l.ID, Text: l.Name})
		}
	}
	v.Weigh = inquiry{ID: "cup", Title: "Is today's mix light or heavy?", Live: true, Fields: []inquiryField{
		{Name: "fill", Label: "Mix", Choices: fills},
		{Name: "cup", Label: "Cup holds", Value: "250 ml"},
		{Name: "mass", Label: "Full, it weighs", Hint: "205 g"},
		{Name: "hand", Label: "Mix on hand", Hint: "as made", Optional: true},
		{Name: "pieces", Label: "Pieces", Value: number(pieces)},
	}}
	if v.Weigh.take(q); len(fills) > 0 && q.Has("mass") {
		v.weigh(st, section)
	}
	s.render(w, r, 0, frame{Title: "Filling: " + nameOf(doc), Here: "/assemblies", Kitchen: st.kitchenName()}, fillingMain(v))
	return nil
}

// weigh reads the cup's form and asks the section what it means.
func (v *fillingView) weigh(st *state, section *assembly.Section) {
	a := &v.Weigh
	fill, cup, mass := a.get("fill"), a.quantity("cup", "ml", unit.OfVolume), a.quantity("mass", "g", unit.OfMass)
	pieces, err := wholeNumber(a.get("pieces"))
	if err != nil {
		a.wrong("pieces", err)
	}
	hand := madeOf(st, section, fill, pieces)
	if a.get("hand") != "" {
		hand = a.quantity("hand", "g", unit.OfMass).Mass()
	}
	if a.refused() {
		return
	}
	c, err := section.CheckCup(fill, cup.Volume(), mass.Mass(), hand, pieces)
	if err != nil {
		a.wrong("mass", err)
		return
	}
	v.Cup = &c
	if l, ok := section.Layer(fill); ok {
		v.Name = l.Name
	}
}

// madeOf returns how much of a fill's component the orders make for so many pieces: their share of
// what all orders take of it. If none is made, it is what they need.
func madeOf(st *state, section *assembly.Section, fill string, pieces int) unit.Mass {
	l, ok := section.Layer(fill)
	if !ok || l.Of.Formula == nil {
		return 0
	}
	own := l.Mass * unit.Mass(pieces)
	for i := range st.day.Batches {
		b := &st.day.Batches[i]
		if b.Formula.ID == l.Of.Formula.ID && b.Needed > 0 {
			return b.Out() * own / b.Needed
		}
	}
	return own
}

// divisionOf returns the division of the scale that shows what one piece weighs.
func divisionOf(st *state, section *assembly.Section) unit.Mass {
	_, division := st.book.Kitchen.Round(section.Mass())
	return division
}

// gramsPerMl writes a density as a cup and a scale show it.
func gramsPerMl(d unit.Density) string {
	return unit.Number(float64(d/unit.GramPerMillilitre), 3) + " g/ml"
}
