package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"chablon/check"
	"chablon/document"
	"chablon/finding"
	"chablon/formula"
)

// formulaRow is a formula in the list.
type formulaRow struct {
	Name, Href, Type string
	Mass             string // of all lines as written
	UsedIn           []lineLink
	Worst, Count     string // of its checks
	Problem          string // why it cannot be weighed
}

func (s *Server) listFormulas(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	var rows []formulaRow
	all := document.Every[*document.Formula](st.set)
	slices.SortStableFunc(all, func(a, b *document.Formula) int {
		return strings.Compare(strings.ToLower(nameOf(a)), strings.ToLower(nameOf(b)))
	})
	for _, d := range all {
		row := formulaRow{Name: nameOf(d), Href: "/formulas/" + d.ID, Type: d.Type, UsedIn: st.usedIn(d.ID)}
		f := st.book.Formulas[d.ID]
		if f == nil {
			row.Problem, row.Worst = st.faultsOf(d), finding.Fault.String()
			rows = append(rows, row)
			continue
		}
		found := st.findings(check.Balance(f, st.book.Kitchen))
		row.Mass, row.Count, row.Worst = f.Written().Show(), count(found), worstOf(found)
		rows = append(rows, row)
	}
	v := &reading{outcome: &outcome{}, Kinds: check.Kinds()}
	s.render(w, r, 0, frame{Title: "Formulas", Here: "/formulas", Kitchen: st.kitchenName()}, formulasMain(rows, v))
	return nil
}

// findings returns what a report finds, less what the cook has accepted.
func (st *state) findings(report check.Report) []findingView {
	var out []findingView
	for _, f := range check.Accept(report.Findings, st.book.Job().Accepted) {
		out = append(out, viewOf(st, f))
	}
	return out
}

// faultsOf says how many lines of a formula cannot be weighed, or else its first problem.
func (st *state) faultsOf(d *document.Formula) string {
	n := 0
	for _, e := range st.errs {
		if e.Document == "formula "+d.ID && ofLine(e.Field) {
			n++
		}
	}
	switch n {
	case 0:
		return st.whyNotFormula(d)
	case 1:
		return "1 line cannot be weighed"
	}
	return fmt.Sprintf("%d lines cannot be weighed", n)
}

// whyNotFormula says why a formula whose lines are all read cannot be made.
func (st *state) whyNotFormula(d *document.Formula) string {
	for _, e := range st.errs {
		if e.Document == "formula "+d.ID {
			return e.Field + ": " + sentence(e)
		}
	}
	return "A formula that it takes has lines that cannot be weighed."
}

// ofLine reports whether a document's field is a line or part of one.
func ofLine(field string) bool {
	return strings.HasPrefix(field, "lines[") || strings.HasPrefix(field, "groups[")
}

// usedIn lists the assemblies and the formulas that take a formula.
func (st *state) usedIn(id string) []lineLink {
	var out []lineLink
	for _, a := range document.Every[*document.Assembly](st.set) {
		if slices.ContainsFunc(a.Layers, func(l document.Layer) bool { of, _, _ := l.Of.Formula.Split(); return of == id }) {
			out = append(out, lineLink{Text: nameOf(a), Href: "/assemblies/" + a.ID})
		}
	}
	for _, d := range document.Every[*document.Formula](st.set) {
		if st.takes(d, id) {
			out = append(out, lineLink{Text: nameOf(d), Href: "/formulas/" + d.ID})
		}
	}
	return out
}

// takes reports whether a line of a formula is of another formula.
func (st *state) takes(d *document.Formula, id string) bool {
	if f := st.book.Formulas[d.ID]; f != nil {
		return slices.ContainsFunc(f.Lines, func(l formula.Line) bool { return l.Formula != nil && l.Formula.ID == id })
	}
	for _, l := range linesOf(d) {
		of, _, _ := l.line.Of.Split()
		if reading, err := formula.ReadLine(l.line.Text); of == id || of == "" && err == nil && reading.Name == id {
			return true
		}
	}
	return false
}

// lineAt is a line of a formula's document with its place.
type lineAt struct {
	line  *document.Line
	group string
	path  string // "groups[0].lines[2]"
}

// linesOf lists the lines of a document in the order in which the engine has them.
func linesOf(d *document.Formula) []lineAt {
	var out []lineAt
	for i := range d.Lines {
		out = append(out, lineAt{&d.Lines[i], "", fmt.Sprintf("lines[%d]", i)})
	}
	for g := range d.Groups {
		for i := range d.Groups[g].Lines {
			out = append(out, lineAt{&d.Groups[g].Lines[i], d.Groups[g].Name, fmt.Sprintf("groups[%d].lines[%d]", g, i)})
		}
	}
	return out
}
