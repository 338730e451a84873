package web

import (
	"context"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"chablon/assembly"
	"chablon/document"
	"chablon/finding"
	"chablon/mould"
	"chablon/plan"
	"chablon/unit"
)

// frame is what stands round every page.
type frame struct {
	Title   string
	Here    string // address of the entry of the navigation that the page belongs to
	Kitchen string
}

// render writes a page; for htmx its main element alone.
func (s *Server) render(w http.ResponseWriter, r *http.Request, status int, f frame, main templ.Component) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	if status == 0 {
		status = http.StatusOK
	}
	w.WriteHeader(status)
	page := layout(f, main)
	if r.Header.Get("HX-Request") == "true" {
		page = main
	}
	if err := page.Render(r.Context(), w); err != nil {
		s.log.DebugContext(r.Context(), "page not sent", "path", r.URL.Path, "error", err.Error())
	}
}

// assemblyView is everything that the page of an assembly shows.
type assemblyView struct {
	*outcome
	State    *state
	Doc      *document.Assembly
	Address  string // of this page
	Day      *plan.Day
	Piece    *plan.Piece
	Order    *document.Order // nil for a draft
	Line     int             // of that order
	Lines    []lineLink
	Moulds   []mouldGroup
	Sheets   []mouldGroup
	Serves   int
	Layers   []layerView
	Picture  picture
	Amounts  []amountView
	Piping   []pipingView
	Findings []findingView
	Steps    []dayOfSteps
	Timeline string
	Undo     *lastChange
}

type lineLink struct {
	Text, Href string
	Here       bool
}

type mouldGroup struct {
	Label  string
	Moulds []*mould.Mould
}

func (s *Server) showAssembly(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	return s.assemblyPage(w, r, r.PathValue("id"), q, &outcome{Back: readStep(q.Get("back"))})
}

// assemblyPage shows an assembly in one order line, or as a draft where no order has it.
func (s *Server) assemblyPage(w http.ResponseWriter, r *http.Request, id string, q url.Values, out *outcome) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	if out.tried != nil {
		st = out.tried
	}
	v, err := s.assemblyView(r.Context(), st, id, q, out)
	if err != nil {
		return err
	}
	main := assemblyMain(v)
	if v.Piece == nil {
		main = unlaidMain(v)
	}
	s.render(w, r, out.status, frame{Title: v.Name(), Here: "/assemblies", Kitchen: st.kitchenName()}, main)
	return nil
}

// Name returns what the cook calls the assembly.
func (v *assemblyView) Name() string { return nameOf(v.Doc) }

func nameOf(d document.Document) string {
	if h := d.Header(); h.Name != "" {
		return h.Name
	}
	return d.Header().ID
}

func (s *Server) assemblyView(ctx context.Context, st *state, id string, q url.Values, out *outcome) (*assemblyView, error) {
	doc, ok := document.Find[*document.Assembly](st.set, id)
	if !ok {
		return nil, errNoPage
	}
	if st.book.Assemblies[id] == nil {
		return s.unlaidView(ctx, st, doc, out)
	}
	v := &assemblyView{outcome: out, State: st, Doc: doc, Day: st.day}
	v.chooseLine(q.Get("line"))
	if v.Piece == nil {
		s.draft(v, q)
	}
	v.Moulds, v.Sheets = moulds(st, doc), sheetMoulds(st)
	v.Serves = v.Piece.Pieces * servesOf(doc, v.Piece.Section)
	v.Picture = drawSection(v.Piece.Section)
	v.addLayers(doc, v.Piece.Section, "", servedAs(v.Piece.Section))
	v.Picture.Wide, v.Picture.Narrow = v.withEdges(v.Picture.Wide, v.Picture.wide, "w_"), v.withEdges(v.Picture.Narrow, v.Picture.narrow, "n_")
	uses := usesOf(v.Piece.Section)
	v.addAmounts(uses)
	v.addPiping(v.Piece.Section)
	v.addFindings(uses)
	if v.Order != nil && v.shows("times") {
		v.addTimeline(uses)
	}
	docs := []document.Document{doc}
	for a := range uses.assemblies {
		if d, ok := document.Find[*document.Assembly](st.set, a); ok && d != doc {
			docs = append(docs, d)
		}
	}
	if v.Order != nil {
		docs = append(docs, v.Order)
	}
	if out.tried != nil { // what may be undone is what was stored
		var err error
		if st, err = s.current(ctx); err != nil {
			return nil, err
		}
	}
	var err error
	v.Undo, err = s.lastChangeOf(ctx, st, docs, out.Back)
	return v, err
}

// whyNot returns the first problem of an assembly, or of what it is made of.
func whyNot(st *state, id string) string {
	for _, e := range st.errs {
		if e.Document == "assembly "+id {
			return e.Field + ": " + sentence(e)
		}
	}
	if a, ok := document.Find[*document.Assembly](st.set, id); ok {
		for _, l := range a.Layers {
			of, _, _ := l.Of.Formula.Split()
			if f, ok := document.Find[*document.Formula](st.set, of); ok && st.book.Formulas[of] == nil {
				return nameOf(f) + ": " + strings.TrimSuffix(st.faultsOf(f), ".") + "."
			}
			in, _, _ := l.Of.Assembly.Split()
			if d, ok := document.Find[*document.Assembly](st.set, in); ok && in != id && st.book.Assemblies[in] == nil {
				return nameOf(d) + ": " + whyNot(st, in)
			}
		}
	}
	return "one of the documents that it uses has a problem."
}

// chooseLine finds the order lines that have the assembly, and the one asked for among them: the
// first if none is.
func (v *assemblyView) chooseLine(asked string) {
	for _, o := range document.Every[*document.Order](v.State.set) {
		for i := range o.Lines {
			p := v.State.piece(o.ID, i)
			if p < 0 || v.Day.Pieces[p].Section.Assembly.ID != v.Doc.ID {
				continue
			}
			piece, name := &v.Day.Pieces[p], fmt.Sprintf("%s.%d", o.ID, i)
			v.Lines = append(v.Lines, lineLink{
				Text: fmt.Sprintf("%d × %s", piece.Pieces, sizeOf(piece.Section.Mould)),
				Href: "/assemblies/" + v.Doc.ID + "?line=" + name,
			})
			if v.Piece == nil || name == asked {
				v.Piece, v.Order, v.Line = piece, o, i
				v.Address = v.Lines[len(v.Lines)-1].Href
			}
		}
	}
	for i := range v.Lines {
		v.Lines[i].Here = v.Lines[i].Href == v.Address
	}
}

// draft lays the assembly into a mould without an order: no timeline, and nothing is stored.
func (s *Server) draft(v *assemblyView, q url.Values) {
	a := v.State.book.Assemblies[v.Doc.ID]
	m, pieces := a.Mould, 1
	if asked := q.Get("mould"); asked != "" {
		if found := v.State.book.Moulds[asked]; found != nil {
			m = found
		} else {
			v.Form, v.Typed = "line", q
			v.fieldError("mould", fmt.Sprintf("%q is no mould on record: choose one of the list.", clip(asked)))
		}
	}
	if asked := strings.TrimSpace(q.Get("pieces")); asked != "" {
		if n, err := strconv.Atoi(asked); err == nil && n >= 1 && n <= 100000 {
			pieces = n
		} else {
			v.Form, v.Typed = "line", q
			v.fieldError("pieces", "Write how many pieces, from 1 to 100 000.")
		}
	}
	kept := url.Values{}
	if m != a.Mould {
		kept.Set("mould", m.ID)
	}
	if pieces != 1 {
		kept.Set("pieces", strconv.Itoa(pieces))
	}
	v.Address = "/assemblies/" + v.Doc.ID
	if len(kept) > 0 {
		v.Address += "?" + kept.Encode()
	}
	order := plan.Order{ID: "draft", Name: "Draft", Due: s.now(), Lines: []plan.Line{{Assembly: a, Mould: m, Pieces: pieces}}}
	v.Day = plan.Amounts(v.State.book.JobFor(order))
	if len(v.State.errs) > 0 {
		v.Day.Findings = append(document.Faults(v.State.errs), v.Day.Findings...).Sorted()
	}
	v.Piece = &v.Day.Pieces[0]
}

// sizeOf writes the size of a mould: "Ø 200", "600 × 400".
func sizeOf(m *mould.Mould) string {
	o := m.Solid.At(m.Solid.Height())
	if o.IsCircle() {
		return "Ø " + strings.TrimSuffix(o.Width.Show(), " mm")
	}
	return unit.Number(o.Width.Millimetres(), 0) + " × " + unit.Number(o.Depth.Millimetres(), 0)
}

// moulds lists what an assembly may be made in: its own moulds, those of the kitchen, and the
// usual sizes.
func moulds(st *state, a *document.Assembly) []mouldGroup {
	seen := map[string]bool{}
	take := func(label string, want func(id string, m *mould.Mould) bool) mouldGroup {
		g := mouldGroup{Label: label}
		for id, m := range st.book.Moulds {
			if m.Role != mould.RoleSheet && m.Role != mould.RolePan && !seen[id] && want(id, m) {
				g.Moulds = append(g.Moulds, m)
				seen[id] = true
			}
		}
		slices.SortFunc(g.Moulds, func(a, b *mould.Mould) int { return strings.Compare(a.Name+a.ID, b.Name+b.ID) })
		return g
	}
	own := map[string]bool{}
	for _, ref := range append(slices.Clone(a.Moulds), a.Mould) {
		id, _, _ := ref.Split()
		own[id] = true
	}
	all := []mouldGroup{
		take("Thought for it", func(id string, _ *mould.Mould) bool { return own[id] }),
		take("Owned", func(id string, _ *mould.Mould) bool { return st.book.Kitchen.Moulds[id] > 0 }),
		take("On record", func(id string, _ *mould.Mould) bool { return st.set.Get("mould", id) != nil }),
		take("Usual sizes", func(string, *mould.Mould) bool { return true }),
	}
	return slices.DeleteFunc(all, func(g mouldGroup) bool { return len(g.Moulds) == 0 })
}

// sheetMoulds lists what cut layers may be cut from: sheets and pans, the owned first.
func sheetMoulds(st *state) []mouldGroup {
	owned, other := mouldGroup{Label: "Owned"}, mouldGroup{Label: "Usual sizes"}
	for _, id := range slices.Sorted(maps.Keys(st.book.Moulds)) {
		switch m := st.book.Moulds[id]; {
		case m.Role != mould.RoleSheet && m.Role != mould.RolePan:
		case st.book.Kitchen.Moulds[id] > 0:
			owned.Moulds = append(owned.Moulds, m)
		default:
			other.Moulds = append(other.Moulds, m)
		}
	}
	return slices.DeleteFunc([]mouldGroup{owned, other}, func(g mouldGroup) bool { return len(g.Moulds) == 0 })
}

// servesOf returns how many portions one piece gives, at least 1.
func servesOf(d *document.Assembly, s *assembly.Section) int {
	size, n := d.Portions.Size, d.Portions.Count
	if n == 0 && size.Given() {
		whole, one := 0.0, 0.0
		switch size.Unit.Dim {
		case unit.OfMass:
			whole, one = float64(s.Mass()), float64(size.Mass())
		case unit.OfVolume:
			for i := range s.Layers {
				whole += float64(s.Layers[i].Volume)
			}
			one = float64(size.Volume())
		case unit.OfLength:
			o := s.Mould.Solid.At(s.Mould.Solid.Height())
			whole, one = float64(max(o.Width, o.Depth)), float64(size.Length())
		}
		if one > 0 && whole/one < 1e6 {
			n = int(whole/one + 1e-9)
		}
	}
	return max(1, n)
}

// count writes how many findings of each level there are: "1 caution · 3 notes".
func count(list []findingView) string {
	var parts []string
	for _, level := range []finding.Level{finding.Fault, finding.Caution, finding.Note} {
		n := 0
		for _, f := range list {
			if f.Level == level {
				n++
			}
		}
		switch {
		case n == 1:
			parts = append(parts, "1 "+level.String())
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", n, level))
		}
	}
	if len(parts) == 0 {
		return "nothing to note"
	}
	return strings.Join(parts, " · ")
}
