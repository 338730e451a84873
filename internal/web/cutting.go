package web

import (
	"net/http"

	"chablon/document"
	"chablon/drawing"
	"chablon/plan"
	"chablon/unit"
)

// cutView is how sheets are cut for an order.
type cutView struct {
	Order  *document.Order
	Sheets []cutSheet
	Bands  []cutBand
}

type cutSheet struct {
	figure
	Href  string
	Facts [][2]string
}

type cutBand struct{ Name, Words, Drawing string }

func (s *Server) showCutting(w http.ResponseWriter, r *http.Request) error {
	st, doc, err := about[*document.Order](s, r, "order")
	if err != nil {
		return err
	}
	order := st.order(doc.ID)
	if order == nil {
		return refusal{http.StatusUnprocessableEntity, nameOf(doc), "This order cannot be laid out yet: resolve its faults first."}
	}
	v := &cutView{Order: doc}
	day := plan.Amounts(st.book.JobFor(*order))
	for i := range day.Batches {
		b := &day.Batches[i]
		for k := range b.Sheets {
			v.Sheets = append(v.Sheets, cutSheetOf(b, &b.Sheets[k], number(len(v.Sheets))))
		}
	}
	for i := range day.Pieces {
		p := &day.Pieces[i]
		for k := range p.Section.Layers {
			l := &p.Section.Layers[k]
			if l.StripLength <= 0 {
				continue
			}
			strip := p.Section.Strip(l)
			d := drawing.Unrolled(p.Section, l, drawing.Options{IDPrefix: "u" + number(len(v.Bands)) + "_", Narrow: true})
			v.Bands = append(v.Bands, cutBand{Name: l.Name + ", " + mouldName(p.Section.Mould), Words: number(strip.Pieces*p.Pieces) + " strips for " + number(p.Pieces) + " pieces", Drawing: string(d.SVG())})
		}
	}
	s.render(w, r, 0, frame{Title: "Cutting: " + nameOf(doc), Here: "/orders", Kitchen: st.kitchenName()}, cutMain(v))
	return nil
}

func cutSheetOf(b *plan.Batch, sh *plan.Sheets, id string) cutSheet {
	out := cutSheet{figure: figure{Title: b.Formula.Name + ", " + sh.Thickness.Show() + " thick"}, Href: "/formulas/" + b.Formula.ID}
	add := func(name, value string) { out.Facts = append(out.Facts, [2]string{name, value}) }
	add("Sheets", number(sh.Count)+" of "+mouldName(sh.Mould))
	add("Baked, each", sh.EachMass.Show())
	// What goes into the bowl for one sheet: the batter as the losses of the whole batch have it.
	if out := b.Out(); out > 0 {
		batter := sh.EachMass * (b.ToMake / out)
		area := sh.Mould.Solid.At(sh.Thickness).Area()
		add("Batter, each", batter.Show()+", "+unit.Number(batter.Grams()/area.SquareCentimetres(), 2)+" g/cm²")
	}
	if n := sh.Layout.Least; n > 0 {
		words := "at least " + number(n) + " would be needed"
		if n == len(sh.Layout.Sheets) {
			words = "no fewer can do"
		}
		add("Bound", words)
	}
	for i, n := range sh.Layout.Joined {
		if n > 0 {
			add("Joined from trimmings", number(n)+" × "+sh.Layout.Pieces[i].Name)
		}
	}
	add("Trimmings", sh.Trimmings.Show())
	if len(sh.Layout.Sheets) > 0 {
		if sh.Layout.EdgeToEdge() {
			add("Cuts", "each goes from edge to edge")
		} else {
			add("Cuts", "with a cutter, or from the point of the knife")
		}
		out.figure = drawn(out.Title, "c"+id, func(o drawing.Options) *drawing.Drawing { return drawing.Cutting(sh.Layout, o) })
	}
	return out
}
