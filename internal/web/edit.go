package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"chablon/document"
	"chablon/internal/storetest/contract"
)

// outcome is how an edit ended, for the page that answers it. The zero outcome is a page that
// was only asked for.
type outcome struct {
	Form    string            // which form was sent: "line", "order", "layer pear-ring/base"
	Typed   url.Values        // what was typed, if it was refused
	Fields  map[string]string // what is wrong, by field of the form
	Message string            // what is wrong with the form as a whole
	Back    step              // what undoing comes back to next, if an undo was asked for
	Added   string            // layer that was added
	Said    string            // what else the edit has changed, for the cook to know
	tried   *state            // what would follow, if the edit was only tried
	try     string            // store nothing, show what would follow on this drawing: "wide" or "narrow"
	draft   bool              // lines that cannot be weighed are no reason to refuse the edit
	status  int               // of the answer, 200 if zero
}

// shows reports whether an answer has a part of the page. While an edge is held, the page is sent
// over and over: what cannot change then, or is not looked at, stays out of it.
func (o *outcome) shows(part string) bool { return o.tried == nil || part == o.try }

func (o *outcome) refused() bool { return o.Message != "" || len(o.Fields) > 0 }

// message returns what is wrong with a field, "" if nothing is.
func (o *outcome) message(form, name string) string {
	if o.Form != form {
		return ""
	}
	return o.Fields[name]
}

// value returns what to show in a field: what was typed if it was refused, else what holds.
func (o *outcome) value(form, name, holds string) string {
	if o.Form == form && o.refused() && o.Typed.Has(name) {
		return o.Typed.Get(name)
	}
	return holds
}

func (o *outcome) fieldError(name, message string) {
	if o.Fields == nil {
		o.Fields = map[string]string{}
	}
	if o.Fields[name] == "" {
		o.Fields[name] = message
	}
	o.status = http.StatusUnprocessableEntity
}

func (o *outcome) formError(status int, message string) {
	if o.Message == "" {
		o.Message = message
	}
	o.status = status
}

// change edits a copy of a document and stores it, if nothing is wrong with what results. expect
// is the version that the page showed. fieldOf returns the form's field for a path of the
// document, "" if there is none. What is wrong is put into the outcome; an error is returned
// only for what is not of the edit's making.
func (s *Server) change(ctx context.Context, st *state, doc document.Document, expect string, out *outcome, edit func(document.Document), fieldOf func(path string) string) error {
	version, err := strconv.Atoi(expect)
	if err != nil || version < 0 {
		out.formError(http.StatusBadRequest, "The form does not say which version it changes. Reload the page.")
		return nil
	}
	next, err := copyOf(doc)
	if err != nil {
		return err
	}
	edit(next)
	if out.refused() {
		return nil
	}
	next, result := s.judge(st, next, out, fieldOf)
	if out.refused() {
		return nil
	}
	if out.try != "" {
		result.plan(ctx)
		out.tried = result
		return ctx.Err()
	}
	stored, err := s.store.Put(ctx, next, version)
	if errors.Is(err, contract.ErrConflict) {
		out.formError(http.StatusConflict, "Changed meanwhile by someone else. Reload the page to see it, then change it again.")
		return nil
	}
	if err != nil {
		return err
	}
	return s.keep(ctx, st, result, next, stored)
}

// create stores a new document and reports whether it is there now. What is wrong is put into the outcome; an error
// is returned only for what is not of the form's making.
func (s *Server) create(ctx context.Context, doc document.Document, out *outcome) (bool, error) {
	next, problems := reread(doc)
	if len(problems) > 0 {
		out.formError(http.StatusUnprocessableEntity, sentence(problems[0]))
		return false, nil
	}
	_, err := s.store.Put(ctx, next, contract.New)
	if errors.Is(err, contract.ErrConflict) {
		out.formError(http.StatusConflict, "A document of that name was stored meanwhile. Give this one another name.")
		return false, nil
	}
	return err == nil, err
}

// judge reads a changed document as it would be stored and resolves the set with it. What is wrong
// is put into the outcome.
func (s *Server) judge(st *state, doc document.Document, out *outcome, fieldOf func(path string) string) (document.Document, *state) {
	next, problems := reread(doc)
	var result *state
	if len(problems) == 0 {
		result, problems = st.with(next)
	}
	for _, p := range problems {
		own := p.Document == document.KindOf(doc)+" "+doc.Header().ID
		switch name := fieldOf(p.Field); {
		case out.draft && result != nil && own && ofLine(p.Field):
		case name != "" && own:
			out.fieldError(name, sentence(p))
		default:
			out.formError(http.StatusUnprocessableEntity, p.Error())
		}
	}
	return next, result
}

// keep takes over the state that an edit was tried in, so that it is not resolved again. That is
// right only if the edit is the one thing that has changed since.
func (s *Server) keep(ctx context.Context, before, result *state, doc document.Document, version int) error {
	revision, err := s.store.Revision(ctx)
	if err != nil || revision != before.revision+1 {
		return err
	}
	doc.Header().Version = version
	result.revision = revision
	result.plan(ctx)
	if ctx.Err() != nil {
		return nil // the next page plans it
	}
	s.kept.mu.Lock()
	defer s.kept.mu.Unlock()
	if s.kept.latest == before {
		s.kept.latest = result
	}
	return nil
}

// copyOf returns a copy of a document by writing and reading it.
func copyOf(doc document.Document) (document.Document, error) {
	c, problems := reread(doc)
	if len(problems) > 0 {
		return nil, fmt.Errorf("a stored document cannot be read: %w", problems[0])
	}
	return c, nil
}

func reread(doc document.Document) (document.Document, []*document.Error) {
	docs, problems := document.Parse("", document.Marshal(doc))
	if len(problems) > 0 || len(docs) != 1 {
		return nil, problems
	}
	return docs[0], nil
}

// sentence writes a problem for the place where it is shown: without document and field.
func sentence(p *document.Error) string {
	short := *p
	short.File, short.Document, short.Field = "", "", ""
	text := short.Error()
	for _, junk := range []string{"found ", ", which"} {
		text = strings.Replace(text, junk, "", 1)
	}
	return strings.TrimSpace(strings.ToUpper(text[:1]) + text[1:])
}

// editLayer takes the figures of a layer's form.
func (s *Server) editLayer(w http.ResponseWriter, r *http.Request) error {
	st, a, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	i := slices.IndexFunc(a.Layers, func(l document.Layer) bool { return l.ID == r.PathValue("layer") })
	if i < 0 {
		return errNoPage
	}
	out := &outcome{Form: "layer " + a.ID + "/" + a.Layers[i].ID, Typed: r.PostForm, try: r.PostForm.Get("try")}
	mould := r.PostForm.Get("mould")
	prefix := fmt.Sprintf("layers[%d].", i)
	var fields []field
	edit := func(d document.Document) {
		l := &d.(*document.Assembly).Layers[i]
		stages, kind := len(l.Stages), l.Kind
		roomForStage(l)
		defer settle(l, stages, kind)
		fields = fieldsOf(st, d.(*document.Assembly), l, mould)
		for _, f := range fields {
			if !r.PostForm.Has(f.Name) {
				continue
			}
			if err := f.set(r.PostForm.Get(f.Name)); err != nil {
				out.fieldError(f.Name, err.Error())
			}
		}
	}
	fieldOf := func(path string) string {
		rest, ok := strings.CutPrefix(path, prefix)
		for _, f := range fields {
			if ok && (rest == f.Path || strings.HasPrefix(rest, f.Path+".")) {
				return f.Name
			}
		}
		return ""
	}
	if err := s.change(r.Context(), st, a, r.PostForm.Get("version"), out, edit, fieldOf); err != nil {
		return err
	}
	return s.answer(w, r, out)
}

// editLine takes the mould and the number of pieces of an order line.
func (s *Server) editLine(w http.ResponseWriter, r *http.Request) error {
	st, o, err := about[*document.Order](s, r, "order")
	if err != nil {
		return err
	}
	i, err := strconv.Atoi(r.PathValue("line"))
	if err != nil || i < 0 || i >= len(o.Lines) {
		return errNoPage
	}
	out := &outcome{Form: "line", Typed: r.PostForm}
	edit := func(d document.Document) {
		line := &d.(*document.Order).Lines[i]
		if m := r.PostForm.Get("mould"); m != "" {
			line.Mould = document.Ref(m)
		}
		if r.PostForm.Has("pieces") {
			n, err := wholeNumber(strings.TrimSpace(r.PostForm.Get("pieces")))
			switch {
			case err != nil:
				out.fieldError("pieces", err.Error())
			case n < 1:
				out.fieldError("pieces", "Write how many pieces, at least 1.")
			default:
				line.Pieces = n
			}
		}
	}
	fieldOf := func(path string) string {
		for _, name := range []string{"mould", "pieces"} {
			if path == fmt.Sprintf("lines[%d].%s", i, name) {
				return name
			}
		}
		return ""
	}
	if err := s.change(r.Context(), st, o, r.PostForm.Get("version"), out, edit, fieldOf); err != nil {
		return err
	}
	return s.answer(w, r, out)
}

// editOrder takes the time at which an order has to be ready.
func (s *Server) editOrder(w http.ResponseWriter, r *http.Request) error {
	st, o, err := about[*document.Order](s, r, "order")
	if err != nil {
		return err
	}
	out := &outcome{Form: "order", Typed: r.PostForm}
	edit := func(d document.Document) {
		d.(*document.Order).Due = strings.Replace(strings.TrimSpace(r.PostForm.Get("due")), "T", " ", 1)
	}
	fieldOf := func(path string) string {
		if path == "due" {
			return "due"
		}
		return ""
	}
	if err := s.change(r.Context(), st, o, r.PostForm.Get("version"), out, edit, fieldOf); err != nil {
		return err
	}
	return s.answer(w, r, out)
}

// begin reads a form and returns the state that it is about.
func (s *Server) begin(r *http.Request) (*state, error) {
	if err := r.ParseForm(); err != nil {
		if large := new(http.MaxBytesError); errors.As(err, &large) {
			return nil, err
		}
		return nil, refusal{http.StatusBadRequest, "Not understood", "The form could not be read. Nothing was changed."}
	}
	return s.current(r.Context())
}

// answer shows the page that a form was sent from: by a redirect after a change, so that
// reloading does not send it again; at once for htmx, and where something is wrong.
func (s *Server) answer(w http.ResponseWriter, r *http.Request, out *outcome) error {
	page, err := pageOf(r.PostForm.Get("page"))
	if err != nil {
		return err
	}
	if !out.refused() && r.Header.Get("HX-Request") == "" {
		if out.Back.Kind != "" {
			q := page.Query()
			q.Set("back", out.Back.String())
			page.RawQuery = q.Encode()
		}
		if out.Added != "" {
			page.Fragment = anchor(out.Added)
		}
		http.Redirect(w, r, page.String(), http.StatusSeeOther)
		return nil
	}
	if !out.refused() {
		out = &outcome{Form: out.Form, Back: out.Back, Added: out.Added, Said: out.Said, tried: out.tried, try: out.try}
	}
	if id, ok := strings.CutPrefix(page.Path, "/moulds/"); ok {
		return s.mouldPage(w, r, id, page.Query(), out)
	}
	if id, ok := strings.CutSuffix(page.Path, freezingPath); ok {
		return s.freezingPage(w, r, strings.TrimPrefix(id, "/assemblies/"), page.Query(), out)
	}
	if id, ok := strings.CutPrefix(page.Path, "/assemblies/"); ok {
		return s.assemblyPage(w, r, id, page.Query(), out)
	}
	if id, ok := strings.CutPrefix(page.Path, "/formulas/"); ok {
		return s.formulaPage(w, r, id, page.Query(), out)
	}
	return s.orderPage(w, r, strings.TrimPrefix(page.Path, "/orders/"), out)
}

// freezingPath ends the address of the freezing page of an assembly.
const freezingPath = "/freezing"

// pageOf reads the address of one of our own pages that show a form.
func pageOf(address string) (*url.URL, error) {
	u, err := url.Parse(address)
	if err == nil && u.Scheme == "" && u.Host == "" {
		for _, prefix := range []string{"/assemblies/", "/orders/", "/formulas/", "/moulds/"} {
			id, ok := strings.CutPrefix(u.Path, prefix)
			if prefix == "/assemblies/" {
				id = strings.TrimSuffix(id, freezingPath)
			}
			if ok && id != "" && !strings.Contains(id, "/") {
				u.Fragment = ""
				q := u.Query()
				q.Del("back")
				u.RawQuery = q.Encode()
				return u, nil
			}
		}
	}
	return nil, refusal{http.StatusBadRequest, "Not understood", "The form does not say which page it is from. Reload the page."}
}
