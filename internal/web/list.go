package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"chablon/document"
	"chablon/drawing"
	"chablon/finding"
	"chablon/plan"
	"chablon/unit"
)

// card is an assembly in the list.
type card struct {
	Name, Href, Notes string
	Drawing           string
	Lines             []lineLink
	Layers            int
	Mass              string
	Worst             string // level of its gravest check, "" if there is none
	Count             string
	Problem           string // why it cannot be laid
}

func (s *Server) listAssemblies(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	var cards []card
	for i, d := range document.Every[*document.Assembly](st.set) {
		c := card{Name: nameOf(d), Href: "/assemblies/" + d.ID, Notes: d.Notes, Layers: len(d.Layers)}
		if st.book.Assemblies[d.ID] == nil {
			c.Problem, c.Worst = whyNot(st, d.ID), finding.Fault.String()
			cards = append(cards, c)
			continue
		}
		v := &assemblyView{outcome: &outcome{}, State: st, Doc: d, Day: st.day}
		v.chooseLine("")
		c.Lines = v.Lines
		if v.Piece == nil {
			s.draft(v, nil)
		}
		v.addFindings(usesOf(v.Piece.Section))
		var list finding.List
		for _, f := range v.Findings {
			list.Add(f.Finding)
		}
		c.Worst, c.Count, c.Mass = worst(list), count(v.Findings), v.Piece.Section.Mass().Show()
		c.Drawing = drawSmall(v.Piece.Section, fmt.Sprintf("c%d_", i))
		cards = append(cards, c)
	}
	s.render(w, r, 0, frame{Title: "Assemblies", Here: "/assemblies", Kitchen: st.kitchenName()}, assembliesMain(cards, st.newView(&outcome{}, url.Values{})))
	return nil
}

// orderView is an order with its lines.
type orderView struct {
	*outcome
	Doc      *document.Order
	Due      string // "Sat 5 December 2026, 15:00"
	Lines    []orderLine
	Status   string
	Planned  bool
	Conflict []string
	Timeline string
	Steps    []dayOfSteps
	Shopping []purchaseView
	Undo     *lastChange
}

type orderLine struct {
	Pieces         int
	Name, Size     string
	Href, Assembly string
}

func (s *Server) orderView(st *state, d *document.Order) *orderView {
	v := &orderView{outcome: &outcome{}, Doc: d, Due: d.Due}
	v.Status, v.Planned = planned(st.day), st.day.Status == plan.Planned && st.day.Checked
	if o := st.order(d.ID); o != nil {
		v.Due = due(o.Due, st)
	}
	for i, l := range d.Lines {
		id, _, _ := l.Assembly.Split()
		line := orderLine{Pieces: l.Pieces, Name: id, Assembly: id}
		if a := st.set.Get("assembly", id); a != nil {
			line.Name, line.Href = nameOf(a), fmt.Sprintf("/assemblies/%s?line=%s.%d", id, d.ID, i)
		}
		if p := st.piece(d.ID, i); p >= 0 {
			line.Size = sizeOf(st.day.Pieces[p].Section.Mould) + " mm"
		}
		v.Lines = append(v.Lines, line)
	}
	return v
}

func due(t time.Time, st *state) string {
	if z := st.book.Kitchen.Zone; z != nil {
		t = t.In(z)
	}
	return t.Format("Mon 2 January 2006, 15:04")
}

// planned says in words how planning ended.
func planned(d *plan.Day) string {
	switch {
	case d.Status == plan.Planned && d.Checked:
		return "planned and checked"
	case d.Status == plan.Impossible:
		return "cannot be planned"
	case d.Status == plan.NotFound:
		return "no plan found"
	}
	return "not planned"
}

func (s *Server) listOrders(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	var views []*orderView
	for _, d := range document.Every[*document.Order](st.set) {
		views = append(views, s.orderView(st, d))
	}
	s.render(w, r, 0, frame{Title: "Orders", Here: "/orders", Kitchen: st.kitchenName()}, ordersMain(views))
	return nil
}

func (s *Server) showOrder(w http.ResponseWriter, r *http.Request) error {
	return s.orderPage(w, r, r.PathValue("order"), &outcome{Back: readStep(r.URL.Query().Get("back"))})
}

// orderPage shows an order with the timeline of everything in it.
func (s *Server) orderPage(w http.ResponseWriter, r *http.Request, id string, out *outcome) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	d, ok := document.Find[*document.Order](st.set, id)
	if !ok {
		return errNoPage
	}
	v := s.orderView(st, d)
	v.outcome, v.Conflict = out, st.day.Conflict
	if o := st.order(id); o != nil && v.Planned {
		u := newUses()
		for i := range st.day.Pieces {
			if st.day.Pieces[i].Order.ID == id {
				u.section(st.day.Pieces[i].Section)
			}
		}
		var entries []plan.Entry
		for _, e := range st.day.Timeline {
			if e.Order == id || e.Order == "" && u.formulas[e.Component] {
				entries = append(entries, e)
			}
		}
		v.Timeline, v.Steps = timeline(st, entries, []drawing.Due{{At: o.Due, Name: nameOf(d)}}, "Timeline of "+nameOf(d))
	}
	v.Shopping = shopping(st.day)
	if v.Undo, err = s.lastChangeOf(r.Context(), st, []document.Document{d}, out.Back); err != nil {
		return err
	}
	s.render(w, r, out.status, frame{Title: nameOf(d), Here: "/orders", Kitchen: st.kitchenName()}, orderMain(v))
	return nil
}

// purchaseView is one thing to buy.
type purchaseView struct {
	ID, Name, Need, Buy, Left, Note string
}

func shopping(d *plan.Day) []purchaseView {
	var out []purchaseView
	for _, i := range d.Purchase {
		p := purchaseView{ID: i.ID, Name: i.Name, Need: i.Need.Show(), Buy: i.Buy.Text, Left: i.LeftOver.Show(), Note: i.Note}
		if i.Buy.Unit.Dim == unit.Count {
			p.Buy = strings.TrimSpace(p.Buy) + " whole"
		}
		out = append(out, p)
	}
	return out
}
