package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"chablon/document"
	"chablon/formula"
)

// editFormula takes the name and the type of a formula.
func (s *Server) editFormula(w http.ResponseWriter, r *http.Request) error {
	st, d, err := about[*document.Formula](s, r, "id")
	if err != nil {
		return err
	}
	out := &outcome{Form: "formula", Typed: r.PostForm, draft: st.isDraft(d)}
	edit := func(doc document.Document) {
		f := doc.(*document.Formula)
		if name := strings.TrimSpace(r.PostForm.Get("name")); name != "" {
			f.Name = name
		} else {
			out.fieldError("name", "Write what the formula is called.")
		}
		f.Type = strings.TrimSpace(r.PostForm.Get("type"))
	}
	fieldOf := func(path string) string {
		if path == "name" || path == "type" {
			return path
		}
		return ""
	}
	if err := s.change(r.Context(), st, d, r.PostForm.Get("version"), out, edit, fieldOf); err != nil {
		return err
	}
	return s.answer(w, r, out)
}

// editFormulaLine takes the words of a line and what it is of, or takes the line out.
func (s *Server) editFormulaLine(w http.ResponseWriter, r *http.Request) error {
	st, d, err := about[*document.Formula](s, r, "id")
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(r.PathValue("line"))
	if err != nil || n < 0 || n >= len(linesOf(d)) {
		return errNoPage
	}
	out := &outcome{Form: "line " + number(n), Typed: r.PostForm, draft: st.isDraft(d)}
	path := linesOf(d)[n].path
	edit := func(doc document.Document) {
		f := doc.(*document.Formula)
		if r.PostForm.Get("do") == "remove" {
			if len(linesOf(f)) == 1 {
				out.formError(http.StatusUnprocessableEntity, "The last line cannot be taken out: a formula has at least one. Change its words instead.")
				return
			}
			removeLine(f, n)
			return
		}
		st.write(linesOf(f)[n].line, r.PostForm, out)
	}
	if err := s.change(r.Context(), st, d, r.PostForm.Get("version"), out, edit, lineField(path)); err != nil {
		return err
	}
	out.inWords(st, d)
	return s.answer(w, r, out)
}

// addFormulaLine adds a line to the end of a group.
func (s *Server) addFormulaLine(w http.ResponseWriter, r *http.Request) error {
	st, d, err := about[*document.Formula](s, r, "id")
	if err != nil {
		return err
	}
	out := &outcome{Form: "add", Typed: r.PostForm, draft: st.isDraft(d)}
	path := ""
	edit := func(doc document.Document) {
		f := doc.(*document.Formula)
		line := document.Line{}
		st.write(&line, r.PostForm, out)
		if len(f.Groups) == 0 {
			path = fmt.Sprintf("lines[%d]", len(f.Lines))
			f.Lines = append(f.Lines, line)
			return
		}
		g := slices.IndexFunc(f.Groups, func(g document.Group) bool { return g.Name == r.PostForm.Get("group") })
		if g < 0 {
			g = len(f.Groups) - 1
		}
		path = fmt.Sprintf("groups[%d].lines[%d]", g, len(f.Groups[g].Lines))
		f.Groups[g].Lines = append(f.Groups[g].Lines, line)
	}
	fieldOf := func(at string) string { return lineField(path)(at) }
	if err := s.change(r.Context(), st, d, r.PostForm.Get("version"), out, edit, fieldOf); err != nil {
		return err
	}
	out.inWords(st, d)
	return s.answer(w, r, out)
}

// isDraft reports whether a formula has lines that cannot be weighed. Only a draft may be stored
// with such lines: a formula that is complete stays so, with all that is made of it.
func (st *state) isDraft(d *document.Formula) bool { return st.book.Formulas[d.ID] == nil }

// write puts what was typed into a line. Other words without another choice are taken for what
// they say; what was searched for is taken if it means one thing.
func (st *state) write(line *document.Line, form url.Values, out *outcome) {
	text := strings.Join(strings.Fields(form.Get("text")), " ")
	if text == "" {
		out.fieldError("text", "Write an amount and an ingredient, such as 125 g almond flour. A line is taken out by its button.")
		return
	}
	before, _, _ := line.Of.Split()
	of := strings.TrimSpace(form.Get("of"))
	find := strings.TrimSpace(form.Get("find"))
	was, _ := formula.ReadLine(line.Text)
	now, err := formula.ReadLine(text)
	switch {
	case of != before && form.Has("of"):
	case find != "":
		id, ok := st.meant(find)
		if !ok {
			out.fieldError("find", fmt.Sprintf("%q may be several things: choose one of the list beside it.", clip(find)))
			return
		}
		of = id
	case err == nil && was.Name != "" && now.Name != was.Name:
		of = "" // the words name something else now
	default:
		of = before
	}
	if line.Text != text {
		line.Preparation = "" // it stands in the words
	}
	line.Text, line.Of = text, document.Ref(of)
}

// lineField returns the form's field for a path of the document.
func lineField(path string) func(string) string {
	return func(at string) string {
		switch at {
		case path, path + ".text":
			return "text"
		case path + ".of":
			return "find"
		}
		return ""
	}
}

// inWords writes a line's problem without what only documents need.
func (o *outcome) inWords(st *state, d *document.Formula) {
	if o.Fields["text"] == "" || o.Typed.Get("text") == "" {
		return
	}
	if _, err := st.weigh(strings.Join(strings.Fields(o.Typed.Get("text")), " "), strings.TrimSpace(o.Typed.Get("of")), d.EggSize); err != nil {
		o.Fields["text"] = inWords(err)
	}
}

// removeLine takes a line out, and what names it.
func removeLine(f *document.Formula, n int) {
	id := linesOf(f)[n].line.ID
	if n < len(f.Lines) {
		f.Lines = slices.Delete(f.Lines, n, n+1)
	} else {
		n -= len(f.Lines)
		for g := range f.Groups {
			if n < len(f.Groups[g].Lines) {
				f.Groups[g].Lines = slices.Delete(f.Groups[g].Lines, n, n+1)
				if len(f.Groups[g].Lines) == 0 {
					f.Groups = slices.Delete(f.Groups, g, g+1)
				}
				break
			}
			n -= len(f.Groups[g].Lines)
		}
	}
	if id == "" {
		return
	}
	if f.Base == id {
		f.Base = ""
	}
	for i := range f.Steps {
		f.Steps[i].Takes = slices.DeleteFunc(f.Steps[i].Takes, func(what string) bool { return what == id })
	}
}
