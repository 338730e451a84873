package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/document"
	"chablon/mould"
	"chablon/unit"
)

// layerKind is a kind of layer as the form offers it.
type layerKind struct {
	ID   string
	Word string
	// usual density of a stand-in, g/ml: common practice, no source. Zero for what is counted or
	// taken up.
	Density float64
}

var layerKinds = []layerKind{
	{"base", "base", 0.4},
	{"disc", "disc", 0.4},
	{"insert", "insert", 1.05},
	{"fill", "fill", 0.6},
	{"band", "band", 0.4},
	{"spread", "spread", 1.1},
	{"soak", "soak", 0},
	{"coat", "coat", 1.2},
	{"decor", "décor", 0},
}

// commonPractice is the source of a figure that stands there until the cook gives another.
const commonPractice = "common practice, no source"

// addLayer lays one more layer, with the figures that are usual for its kind.
func (s *Server) addLayer(w http.ResponseWriter, r *http.Request) error {
	st, a, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	out := &outcome{Form: "add", Typed: r.PostForm}
	at := 0
	edit := func(d document.Document) {
		n := laying{st: st, doc: d.(*document.Assembly)}
		n.in(r.PostForm.Get("mould"))
		at = n.add(r.PostForm, out)
	}
	fieldOf := func(path string) string { return addedField(path, at) }
	if err := s.change(r.Context(), st, a, r.PostForm.Get("version"), out, edit, fieldOf); err != nil {
		return err
	}
	return s.answer(w, r, out)
}

// addedField returns the form's field for a path of the document with the layer at an index.
func addedField(path string, at int) string {
	rest, ok := strings.CutPrefix(path, fmt.Sprintf("layers[%d].", at))
	switch {
	case ok && strings.HasPrefix(rest, "of.density"):
		return "density"
	case ok && (rest == "of" || strings.HasPrefix(rest, "of.")):
		return "what"
	case path == "name" || path == "mould":
		return path
	}
	return ""
}

// add puts the layer that a form asks for into the document, and returns its place.
func (n *laying) add(form url.Values, out *outcome) (at int) {
	kind := form.Get("kind")
	k := slices.IndexFunc(layerKinds, func(k layerKind) bool { return k.ID == kind })
	if k < 0 {
		out.fieldError("kind", fmt.Sprintf("%q is no kind of layer: choose one of the list.", clip(kind)))
		return 0
	}
	l := document.Layer{Kind: kind}
	var problem string
	if l.Of, problem = n.st.madeOf(kind, form.Get("what")); problem != "" {
		out.fieldError("what", problem)
		return 0
	}
	if l.Of.StandIn != "" {
		l.Of.Density = standInDensity(form.Get("density"), layerKinds[k].Density)
	}
	l.ID = freeAmong(n.nameOf(l.Of), kind, n.taken)
	at, problem = n.placeFor(&l, form.Get("place"))
	if problem != "" {
		out.fieldError("place", problem)
		return 0
	}
	n.doc.Layers = slices.Insert(n.doc.Layers, at, l)
	out.Added = l.ID
	return at
}

// standInDensity takes what was typed, in g/ml if nothing else is said; else what is usual.
func standInDensity(typed string, usual float64) document.Figure {
	typed = strings.TrimSpace(typed)
	if typed == "" {
		if usual == 0 {
			return document.Figure{}
		}
		return document.Figure{Value: unit.Of(usual, gramPerMillilitre), Source: assumedDensity}
	}
	return document.Figure{Value: unit.Quantity{Text: withUnit(typed, unit.Quantity{}, "g/ml")}}
}

// assumedDensity is the source of a stand-in's density that the cook has not given.
const assumedDensity = "assumed for a layer of this kind: " + commonPractice

var (
	gramPerMillilitre, _ = unit.ParseUnit("g/ml")
	millimetre, _        = unit.ParseUnit("mm")
	hundredth, _         = unit.ParseUnit("%")
)

// madeOf says what a layer of a kind is made of: the formula of that name; for an insert also an
// assembly, for décor also an ingredient; else a stand-in of that name.
func (st *state) madeOf(kind, what string) (of document.Of, problem string) {
	what = strings.Join(strings.Fields(what), " ")
	if what == "" {
		return of, "Write what it is made of: the name of a formula, or any name for what has none yet."
	}
	called := func(d document.Document) bool { return strings.EqualFold(nameOf(d), what) || d.Header().ID == what }
	if kind == "insert" {
		for _, d := range document.Every[*document.Assembly](st.set) {
			if called(d) {
				return document.Of{Assembly: document.Ref(d.ID)}, ""
			}
		}
	}
	for _, d := range document.Every[*document.Formula](st.set) {
		if called(d) {
			return document.Of{Formula: document.Ref(d.ID)}, ""
		}
	}
	if kind == "decor" {
		if i, ok := st.book.Table.Named(what); ok {
			return document.Of{Ingredient: document.Ref(i.ID)}, ""
		}
	}
	return document.Of{StandIn: what}, ""
}

// madeOfName returns what a layer is made of as the cook would write it.
func (st *state) madeOfName(of document.Of) string {
	switch {
	case of.Assembly != "":
		id, _, _ := of.Assembly.Split()
		if d, ok := document.Find[*document.Assembly](st.set, id); ok {
			return nameOf(d)
		}
		return id
	case of.StandIn != "":
		return of.StandIn
	}
	id, _, _ := of.Formula.Split()
	if of.Ingredient != "" {
		id, _, _ = of.Ingredient.Split()
	}
	if name := st.called(id); name != "" {
		return name
	}
	return id
}

// components lists what a layer may be made of and begins as typed, for a field's list.
func (st *state) components(typed string) []candidate {
	const most = 40
	var out []candidate
	low := strings.ToLower(strings.TrimSpace(typed))
	add := func(d document.Document) {
		if len(out) < most && strings.Contains(strings.ToLower(nameOf(d)), low) {
			out = append(out, candidate{ID: d.Header().ID, Name: nameOf(d), Formula: true})
		}
	}
	for _, d := range document.Every[*document.Formula](st.set) {
		add(d)
	}
	for _, d := range document.Every[*document.Assembly](st.set) {
		add(d)
	}
	if low != "" {
		for _, m := range st.book.Table.Search(typed, 8) {
			out = append(out, candidate{ID: m.Ingredient.ID, Name: m.Ingredient.Name})
		}
	}
	return out
}

// suggestComponents answers with what a layer may be made of.
func (s *Server) suggestComponents(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	return suggestions(st.components(r.URL.Query().Get("q"))).Render(r.Context(), w)
}

// newView is an assembly that has no layer yet, and is not stored until it has.
type newView struct {
	*outcome
	State   *state
	Called  string
	Laid    string // "upright", "inverted", or empty for as the mould wants it
	Mould   *mould.Mould
	Moulds  []mouldGroup
	Picture picture
}

// narrowFoot reports whether a mould is so much narrower at its bottom, as a dome is, that a piece
// is laid in it upside-down.
func narrowFoot(m *mould.Mould) bool {
	return m.Solid.At(0).Width < m.Solid.At(m.Solid.Height()).Width/2
}

// newAssembly shows the mould that was chosen, ready for the first layer.
func (s *Server) newAssembly(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	return s.newAssemblyPage(w, r, st, r.URL.Query(), &outcome{})
}

// newView takes name, mould and way of laying from a form; what is not said is as usual.
func (st *state) newView(out *outcome, q url.Values) *newView {
	v := &newView{outcome: out, State: st, Called: strings.TrimSpace(q.Get("name")), Laid: q.Get("laid")}
	v.Moulds = moulds(st, &document.Assembly{})
	v.Mould = st.book.Moulds[q.Get("mould")]
	if v.Mould == nil && q.Get("mould") != "" {
		out.Form, out.Typed = "new", q
		out.fieldError("mould", fmt.Sprintf("%q is no mould on record: choose one of the list.", clip(q.Get("mould"))))
	}
	if v.Mould == nil && len(v.Moulds) > 0 {
		v.Mould = v.Moulds[0].Moulds[0]
	}
	return v
}

func (s *Server) newAssemblyPage(w http.ResponseWriter, r *http.Request, st *state, q url.Values, out *outcome) error {
	v := st.newView(out, q)
	if v.Mould != nil {
		empty := &assembly.Assembly{Name: v.Called, Mould: v.Mould} // as the mould stands to be filled
		v.Picture = drawSection(empty.Lay(v.Mould))
	}
	title := v.Called
	if title == "" {
		title = "New assembly"
	}
	s.render(w, r, out.status, frame{Title: title, Here: "/assemblies", Kitchen: st.kitchenName()}, newAssemblyMain(v))
	return nil
}

// createAssembly stores an assembly with its first layer.
func (s *Server) createAssembly(w http.ResponseWriter, r *http.Request) error {
	st, err := s.begin(r)
	if err != nil {
		return err
	}
	out := &outcome{Form: "new", Typed: r.PostForm}
	name := strings.TrimSpace(r.PostForm.Get("name"))
	if name == "" {
		out.fieldError("name", "Write what the assembly is called.")
	}
	d := &document.Assembly{Mould: document.Ref(r.PostForm.Get("mould"))}
	d.Kind, d.ID, d.Schema, d.Name = "assembly", st.freeID("assembly", name), document.SchemaVersion, name
	n := laying{st: st, doc: d}
	if n.in(r.PostForm.Get("mould")); n.mould == nil {
		out.fieldError("mould", "Choose a mould of the list.")
	} else {
		if laid := r.PostForm.Get("laid"); laid == "inverted" || laid == "" && narrowFoot(n.mould) {
			d.Laid = "inverted"
		}
		n.add(r.PostForm, out)
	}
	if !out.refused() {
		s.judge(st, d, out, func(path string) string { return addedField(path, 0) })
	}
	if !out.refused() {
		made, err := s.create(r.Context(), d, out)
		if err != nil {
			return err
		}
		if made {
			http.Redirect(w, r, "/assemblies/"+d.ID+"#"+anchor(out.Added), http.StatusSeeOther)
			return nil
		}
	}
	return s.newAssemblyPage(w, r, st, r.PostForm, out)
}
