package web

import (
	"math"
	"net/http"

	"chablon/document"
	"chablon/doubt"
	"chablon/plan"
	"chablon/unit"
)

// sureView is how sure the amounts of an order are.
type sureView struct {
	Order   *document.Order
	Problem string
	Enough  string
	Asked   string
	Rows    []sureRow
	Draws   int
}

type sureRow struct {
	Name, Href  string
	Made, Range string
	Short       string // chance that it runs short
	Causes      []causeRow
	Narrowed    string
}

type causeRow struct{ Share, Name, Scope, Remedy, Source string }

// sureDraws is how many draws the page takes: a quantile to some tenths of a per cent.
const sureDraws = 4096

func (s *Server) showSure(w http.ResponseWriter, r *http.Request) error {
	st, doc, err := about[*document.Order](s, r, "order")
	if err != nil {
		return err
	}
	v := &sureView{Order: doc, Draws: sureDraws}
	order := st.order(doc.ID)
	if order == nil {
		return refusal{http.StatusUnprocessableEntity, nameOf(doc), "This order cannot be laid out yet: resolve its faults first."}
	}
	day := plan.Amounts(st.book.JobFor(*order))
	sure, err := day.How(sureDraws, 1, 2)
	if err != nil {
		v.Problem = inWords(err)
	} else {
		v.Enough, v.Asked = percentDays(sure.Enough), percentDays(sure.Asked)
		for _, c := range sure.Components {
			v.Rows = append(v.Rows, sureRowOf(c))
		}
	}
	s.render(w, r, 0, frame{Title: "How sure: " + nameOf(doc), Here: "/orders", Kitchen: st.kitchenName()}, sureMain(v))
	return nil
}

func sureRowOf(c plan.ComponentDoubt) sureRow {
	row := sureRow{Name: c.Formula.Name, Href: "/formulas/" + c.Formula.ID, Made: c.Made.Show(), Range: massRange(c.Low, c.High), Short: "under 1 of 100"}
	if n := math.Round(100 * c.RunsShort); n >= 1 {
		row.Short = unit.Number(n, 0) + " of 100"
	}
	for _, x := range c.Causes[:min(3, len(c.Causes))] {
		row.Causes = append(row.Causes, causeRow{unit.Number(100*x.Share, 0) + " %", x.Factor.Name, scopeWords(x.Factor.Scope), x.Factor.Remedy, x.Factor.Source})
	}
	if len(c.Causes) > 0 && c.NarrowedTop > 0 {
		row.Narrowed = massRange(c.NarrowedLow, c.NarrowedTop)
	}
	return row
}

func massRange(low, high unit.Mass) string {
	if low == high {
		return low.Show()
	}
	return low.Show() + " to " + high.Show()
}

func scopeWords(s doubt.Scope) string {
	return map[doubt.Scope]string{doubt.Piece: "each piece its own", doubt.Batch: "the whole batch alike", doubt.Mould: "each mould its own", doubt.Always: "always the same way"}[s]
}
