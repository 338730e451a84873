package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"chablon/check"
	"chablon/document"
	"chablon/kitchen"
	"chablon/notebook"
	"chablon/unit"
)

// mostLines is how many lines one formula may be read to.
const mostLines = 300

// reading is a pasted text as it was understood. It lives in the form of its page alone: nothing
// is stored before the cook says so.
type reading struct {
	*outcome
	Name, Type, Text string
	Country          string
	Notes            []string
	Lines            []*readLine
	Steps            []notebook.Step
	Kinds            []string
	kitchen          *kitchen.Kitchen
}

// readLine is one line of it.
type readLine struct {
	N           int
	Group       string
	Said        string // as it stands in the notebook
	Part        int    // which of the things that the line says
	Was         string // the text when the page was made
	Text        string // how it will stand in the formula
	Of          string // what it takes, by ID
	Chosen      bool   // the cook has chosen or written what it is
	Find        string // what was searched for
	Preparation string
	Optional    bool
	ToTaste     bool
	Sure        string // "sure", "check" or "not understood"
	Amount      string
	Unit        string
	Mass        unit.Mass
	Problem     string // why it cannot be weighed
	Assumptions []string
	Questions   []string
	Choices     []candidate
}

// FieldID returns the element ID of one of the line's fields.
func (l *readLine) FieldID(name string) string { return name + "_" + number(l.N) }

// newFormula shows the form for a new formula alone.
func (s *Server) newFormula(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	v := &reading{outcome: &outcome{}, Kinds: check.Kinds()}
	s.render(w, r, 0, frame{Title: "New formula", Here: "/formulas", Kitchen: st.kitchenName()}, newFormulaMain(v))
	return nil
}

// readFormula answers each step of the way from a pasted text to a stored formula.
func (s *Server) readFormula(w http.ResponseWriter, r *http.Request) error {
	st, err := s.begin(r)
	if err != nil {
		return err
	}
	form := r.PostForm
	v := &reading{
		outcome: &outcome{Form: "formula"}, Name: strings.TrimSpace(form.Get("name")), Type: strings.TrimSpace(form.Get("type")),
		Text: strings.ReplaceAll(form.Get("text"), "\r\n", "\n"), Country: form.Get("country"), Kinds: check.Kinds(), kitchen: st.book.Kitchen,
	}
	page := v.read(st)
	if v.Name == "" {
		v.Name = page.Title
	}
	if form.Has("lines") {
		err = v.take(st, form)
	} else {
		v.first(st, page)
	}
	switch {
	case err != nil:
		return err
	case len(v.Lines) == 0 && !form.Has("lines"):
		v.fieldError("text", "No line of an ingredient was found. Write one a line, such as 125 g almond flour.")
	case len(v.Lines) > mostLines:
		return refusal{http.StatusRequestEntityTooLarge, "Too many lines", fmt.Sprintf("A formula has at most %d lines here. Paste it in parts, one formula a component.", mostLines)}
	}
	if v.refused() {
		s.render(w, r, v.status, frame{Title: "New formula", Here: "/formulas", Kitchen: st.kitchenName()}, newFormulaMain(v))
		return nil
	}
	if form.Get("do") == "save" {
		id, err := s.saveReading(r, st, v)
		if err != nil {
			return err
		}
		if id != "" {
			if r.Header.Get("HX-Request") == "true" {
				w.Header().Set("HX-Redirect", "/formulas/"+id)
				return nil
			}
			http.Redirect(w, r, "/formulas/"+id, http.StatusSeeOther)
			return nil
		}
	}
	s.render(w, r, v.status, frame{Title: cmp.Or(v.Name, "New formula"), Here: "/formulas", Kitchen: st.kitchenName()}, readingMain(v))
	return nil
}

func (v *reading) options(st *state) notebook.Options {
	o := notebook.Options{Table: st.book.Table, Components: map[string]string{}, EggSize: st.book.Kitchen.EggSize, Country: v.Country}
	for _, f := range document.Every[*document.Formula](st.set) {
		o.Components[nameOf(f)] = f.ID
	}
	return o
}

// read reads the pasted text; the instructions and the remarks are always those of the text.
func (v *reading) read(st *state) notebook.Page {
	page := notebook.Read(v.Text, v.options(st))
	v.Steps, v.Notes = page.Steps, page.Notes
	if page.Yield != "" {
		v.Notes = append([]string{page.Yield}, v.Notes...)
	}
	return page
}

// first takes the lines as they were read.
func (v *reading) first(st *state, page notebook.Page) {
	lines := page.Lines()
	for i, l := range lines {
		part := 0
		for i-part > 0 && lines[i-part-1].Text == l.Text && lines[i-part-1].Group == l.Group {
			part++
		}
		alone := part == 0 && (i+1 == len(lines) || lines[i+1].Text != l.Text || lines[i+1].Group != l.Group)
		out := &readLine{Group: l.Group, Said: l.Text, Part: part}
		v.understand(st, out, l, alone)
		v.Lines = append(v.Lines, out)
	}
	v.finish(st)
}

// understand takes what the notebook says of a line.
func (v *reading) understand(st *state, out *readLine, l notebook.Line, alone bool) {
	out.Text, out.Of = st.standing(l, alone, "")
	out.Was = out.Text
}

// take takes the lines as the form has them.
func (v *reading) take(st *state, form url.Values) error {
	n, err := strconv.Atoi(form.Get("lines"))
	if err != nil || n < 0 || n > mostLines {
		return refusal{http.StatusBadRequest, "Not understood", "The form does not say how many lines it has. Paste the text again."}
	}
	o := v.options(st)
	for i := range n {
		get := func(name string) string { return strings.TrimSpace(form.Get(name + "_" + number(i))) }
		if form.Get("drop") == number(i) {
			continue
		}
		part, _ := strconv.Atoi(get("part"))
		l := &readLine{
			Group: get("group"), Said: get("said"), Part: part, Was: get("was"), Text: get("line"), Of: get("of"),
			Chosen: get("chosen") == "yes", Find: get("find"),
		}
		if l.Text == "" {
			l.Text = l.Was
		}
		before := get("took")
		switch {
		case l.Of != before: // the cook has chosen
			l.Chosen, l.Find = l.Of != "", ""
		case l.Find != "":
			if id, ok := st.meant(l.Find); ok {
				l.Of, l.Chosen, l.Find = id, true, ""
			}
		}
		if l.Text == l.Was {
			v.Lines = append(v.Lines, l)
			continue
		}
		// written anew: read anew, and it may say two things now
		again := notebook.ReadLine(l.Text, o)
		for k := range again {
			if again[k].Kind != notebook.Ingredient && again[k].Kind != notebook.Component {
				v.Lines = append(v.Lines, &readLine{Group: l.Group, Said: l.Text, Was: l.Text, Text: l.Text})
				continue
			}
			one := &readLine{Group: l.Group, Said: l.Text, Part: k}
			v.understand(st, one, again[k], len(again) == 1)
			if l.Of != before && len(again) == 1 { // and chosen at the same time
				one.Of, one.Chosen = l.Of, true
			}
			v.Lines = append(v.Lines, one)
		}
	}
	v.finish(st)
	return nil
}

// finish weighs every line and says how sure it is.
func (v *reading) finish(st *state) {
	if len(v.Lines) > mostLines {
		return // it is refused
	}
	o := v.options(st)
	for n, l := range v.Lines {
		l.N = n
		var said notebook.Line
		if again := notebook.ReadLine(l.Said, o); l.Part >= 0 && l.Part < len(again) {
			said = again[l.Part]
		}
		l.Preparation, l.Optional, l.ToTaste = said.Preparation, said.Optional, said.ToTaste
		l.Assumptions = st.stillSupposed(said.Assumptions, l.Of)
		name := said.Name
		line, err := st.weigh(l.Text, l.Of, "")
		if line.Name != "" {
			name = line.Name
		}
		if line.Preparation != "" {
			l.Preparation = line.Preparation
		}
		l.Amount, l.Unit, l.Mass = amountWords(line.Amount), line.Amount.Unit.Symbol, line.Mass
		if l.Unit == "" && l.Amount != "" {
			l.Unit = "pieces"
			if line.Amount.High <= 1 {
				l.Unit = "piece"
			}
		}
		if !l.Chosen {
			l.Questions = said.Questions
			if a, ok := st.book.Table.Ambiguous(name); ok {
				l.Questions = append(l.Questions, fmt.Sprintf("“%s” is %s", a.Word, a.Why))
			}
		}
		l.Choices = st.choices(l.Of, l.Find, name, said.Alternatives)
		switch {
		case err != nil:
			l.Sure, l.Problem, l.Questions = "not understood", inWords(err), nil
		case !l.Chosen && (said.Confidence < 0.8 || len(l.Questions) > 0):
			l.Sure = "check"
		default:
			l.Sure = "sure"
		}
		if l.Find != "" {
			l.Questions = append([]string{fmt.Sprintf("“%s” may be several things: choose one of the list", clip(l.Find))}, l.Questions...)
		}
	}
}

// stillSupposed leaves out what was supposed of another ingredient than the line takes now.
func (st *state) stillSupposed(list []string, of string) []string {
	var out []string
	for _, text := range list {
		if _, taken, ok := strings.Cut(text, " taken as "); ok && taken != st.called(of) {
			if _, isName := st.book.Table.Named(taken); isName {
				continue
			}
		}
		out = append(out, text)
	}
	return out
}

func amountWords(q unit.Quantity) string {
	if !q.Given() {
		return ""
	}
	text := plainNumber(q.Low)
	if q.High > q.Low {
		text += "–" + plainNumber(q.High)
	}
	return text
}

// Count says how many lines are how sure.
func (v *reading) Count() string {
	sure := map[string]int{}
	for _, l := range v.Lines {
		sure[l.Sure]++
	}
	text := fmt.Sprintf("%d lines: %d sure", len(v.Lines), sure["sure"])
	if n := sure["check"]; n > 0 {
		text += fmt.Sprintf(", %d to check", n)
	}
	if n := sure["not understood"]; n > 0 {
		text += fmt.Sprintf(", %d not understood", n)
	}
	return text
}

// Mass returns what the lines that are understood weigh together.
func (v *reading) Mass() unit.Mass {
	var m unit.Mass
	for _, l := range v.Lines {
		m += l.Mass
	}
	return m
}

// suggest answers with the names that begin as typed, for a field's list.
func (s *Server) suggest(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	return suggestions(st.searched(r.URL.Query().Get("q"))).Render(r.Context(), w)
}
