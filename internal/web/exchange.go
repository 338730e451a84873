package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"chablon/document"
	"chablon/exchange"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/unit"
)

// exchangeView is the page that puts other ingredients into a formula, or brings its figures
// within bounds. It shows what would be; the formula itself is changed on its own page.
type exchangeView struct {
	Doc     *document.Formula
	Formula *formula.Formula
	Lines   []pick
	Line    string
	Options []exchangeOption
	With    string
	Figures []pick
	Bounds  [3]boundView
	Result  *exchange.Result
	Title   string
	Problem string
	Bound   bool // what was asked is a reformulation
}

// exchangeOption is one exchange that cooks make for the chosen line.
type exchangeOption struct {
	exchange.Option
	Names, Href string
}

// boundView is one row of the form of bounds.
type boundView struct{ N, Figure, Least, Most string }

// boundFigures are the figures that can be bounded.
var boundFigures = []pick{
	{"", "—"}, {"fat", "fat"}, {"water", "water"}, {"sugars", "sugars (°Bx)"}, {"protein", "proteins"}, {"starch", "starch"}, {"alcohol", "alcohol"}, {"gelatin", "gelatin at 200 Bloom"},
}

func (s *Server) showExchange(w http.ResponseWriter, r *http.Request) error {
	st, d, err := about[*document.Formula](s, r, "id")
	if err != nil {
		return err
	}
	v := &exchangeView{Doc: d, Formula: st.book.Formulas[d.ID], Figures: boundFigures}
	if v.Formula != nil {
		v.ask(st.book.Table, r.URL.Query())
	}
	s.render(w, r, 0, frame{Title: "Exchange: " + nameOf(d), Here: "/formulas", Kitchen: st.kitchenName()}, exchangeMain(v))
	return nil
}

// ask fills the view with what the address asks for.
func (v *exchangeView) ask(table *ingredient.Table, q url.Values) {
	f := v.Formula
	for i, l := range f.Lines {
		if l.Ingredient != nil && l.Mass > 0 {
			v.Lines = append(v.Lines, pick{number(i), fmt.Sprintf("%s, %s", l.Name, l.Mass.Show())})
		}
	}
	for i := range v.Bounds {
		n := number(i + 1)
		v.Bounds[i] = boundView{n, q.Get("figure" + n), q.Get("least" + n), q.Get("most" + n)}
	}
	v.Line, v.With = q.Get("line"), strings.TrimSpace(q.Get("with"))
	line, err := strconv.Atoi(v.Line)
	if err != nil || line < 0 || line >= len(f.Lines) {
		line = -1
	}
	if line >= 0 {
		for _, o := range exchange.For(table, f.Lines[line]) {
			v.Options = append(v.Options, exchangeOption{o, namesOf(table, o.With), fmt.Sprintf("/formulas/%s/exchange?line=%d&with=%s#result", f.ID, line, url.QueryEscape(strings.Join(o.With, ",")))})
		}
	}
	switch {
	case q.Has("figure1"):
		v.Bound = true
		v.reformulate()
	case line >= 0 && v.With != "":
		v.exchange(table, line)
	}
}

func namesOf(table *ingredient.Table, ids []string) string {
	var out []string
	for _, id := range ids {
		if i, ok := table.Get(id); ok {
			out = append(out, i.Name)
		}
	}
	return strings.Join(out, " + ")
}

func (v *exchangeView) exchange(table *ingredient.Table, line int) {
	var in []*ingredient.Ingredient
	for _, word := range strings.Split(v.With, ",") {
		i, ok := table.Named(strings.TrimSpace(word))
		if !ok {
			v.Problem = fmt.Sprintf("No ingredient is called %q. Write names as in a formula, parted by commas.", strings.TrimSpace(word))
			return
		}
		in = append(in, i)
	}
	r, err := exchange.Exchange(v.Formula, line, in...)
	if err != nil {
		v.Problem = sentenceOf(err.Error())
		return
	}
	var names []string
	for _, i := range in {
		names = append(names, i.Name)
	}
	v.Result, v.Title = &r, fmt.Sprintf("%s for %s", strings.Join(names, " + "), v.Formula.Lines[line].Name)
}

func (v *exchangeView) reformulate() {
	var bounds []exchange.Bound
	for _, b := range v.Bounds {
		if b.Figure == "" {
			continue
		}
		x := exchange.Bound{Figure: b.Figure, Name: b.Figure}
		for _, end := range []struct {
			text string
			to   *float64
			has  *bool
		}{{b.Least, &x.Least, &x.HasLeast}, {b.Most, &x.Most, &x.HasMost}} {
			text := strings.TrimSuffix(strings.TrimSpace(strings.Replace(end.text, ",", ".", 1)), "%")
			if text = strings.TrimSpace(text); text == "" {
				continue
			}
			p, err := strconv.ParseFloat(text, 64)
			if err != nil || !(p >= 0 && p <= 100) {
				v.Problem = fmt.Sprintf("%q is no share of %s: write 0 to 100 per cent.", end.text, b.Figure)
				return
			}
			*end.to, *end.has = p/100, true
		}
		bounds = append(bounds, x)
	}
	if len(bounds) == 0 {
		v.Problem = "Choose a figure and give its least, its most or both."
		return
	}
	r, err := exchange.Reformulate(v.Formula, bounds, exchange.Options{})
	if err != nil {
		v.Problem = sentenceOf(err.Error())
		return
	}
	v.Result, v.Title = &r, "The nearest formula within these bounds"
}

// massOr writes a mass, or a dash for a line that is not there.
func massOr(m unit.Mass) string {
	if m <= 0 {
		return "–"
	}
	return m.Show()
}
