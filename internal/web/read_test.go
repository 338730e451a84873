package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"chablon/document"
	"chablon/ingredient"
)

// pasted is a formula as a notebook has it: nine lines, one by a word that means several things,
// one of a thing that nobody sells.
const pasted = `Almond disc

100 g almond flour
100 g icing sugar
2 eggs
50 g cake flour
50 g butter, melted
2 tbsp honey
100 g praline
40 g flurb powder
5 g salt

Method
Whip the eggs and sugar for 8 minutes. Fold in the flour.
Bake 12 minutes at 180 °C.`

// Masses of pasted that are not written in grams. The kitchen of the example buys eggs of size
// eu-m; a tablespoon is 14.787 ml (the American one), honey has the density on record.
func pastedMasses(tb testing.TB) (egg, honey float64) {
	tb.Helper()
	_, _, whole, _, ok := ingredient.EggPortion("eu-m")
	h, found := ingredient.Builtin().Get("honey")
	if !ok || !found {
		tb.Fatal("no egg of size eu-m, or no honey")
	}
	return 2 * whole.Grams(), 2 * 14.7868 * float64(h.Density) / 1000
}

// paste sends a text and returns the page that shows how it was understood.
func (s site) paste(text string) element {
	s.Helper()
	w := s.post("/formulas/new", url.Values{"text": {text}, "type": {"joconde"}, "country": {"us"}}, false)
	if w.Code != http.StatusOK {
		s.Fatalf("paste: got %d, want 200\n%s", w.Code, w.Body)
	}
	return parse(s, w.Body.String())
}

// again sends the form of that page with some fields changed.
func (s site) again(page element, change url.Values) *httptest.ResponseRecorder {
	s.Helper()
	action, values := page.form("read_name")
	for name, v := range change {
		values[name] = v
	}
	return s.post(action, values, false)
}

func (e element) sure(line int) string { return e.one("data-line", fmt.Sprint(line)).attr("class") }

func TestPastedText(t *testing.T) {
	t.Parallel()
	page := newSite(t).paste(pasted)
	egg, honey := pastedMasses(t)
	for n, want := range []struct {
		text, amount, of, sure string
		mass                   float64
	}{
		{"100 g almond flour", "100 g", "almonds-blanched", "sure", 100},
		{"100 g icing sugar", "100 g", "sugar-powdered", "sure", 100},
		{"2 eggs", "2 pieces", "egg-whole", "sure", egg}, // a count stays one
		{"50 g cake flour", "50 g", "flour-cake", "sure", 50},
		{"50 g butter, melted", "50 g", "butter-unsalted", "sure", 50},
		{"2 tbsp honey", "2 tbsp", "honey", "sure", honey},
		{"100 g praline", "100 g", "praline-almond-hazelnut-50", "check", 100},
		{"40 g flurb powder", "40 g", "", "not-understood", 0},
		{"5 g salt", "5 g", "salt", "sure", 5},
	} {
		line := page.one("data-line", fmt.Sprint(n))
		if got := line.one("id", fmt.Sprintf("line_%d", n)).attr("value"); got != want.text {
			t.Errorf("line %d: got %q, want %q", n, got, want.text)
		}
		if got := line.one("data-of", "amount").text(); got != want.amount {
			t.Errorf("%s: amount: got %q, want %q", want.text, got, want.amount)
		}
		if got := page.sure(n); got != "readline "+want.sure {
			t.Errorf("%s: got class %q, want %s", want.text, got, want.sure)
		}
		if got := line.all("selected", "*")[0].attr("value"); got != want.of {
			t.Errorf("%s: taken for %q, want %q", want.text, got, want.of)
		}
		if want.mass > 0 {
			near(t, want.text, number(t, line.one("data-of", "mass").text()), want.mass)
		}
	}
	if got := page.one("role", "status").text(); got != "9 lines: 7 sure, 1 to check, 1 not understood" {
		t.Errorf("count: got %q", got)
	}
	if text := page.text(); !strings.Contains(text, "Preparation: melted") || !strings.Contains(text, "the nut is open") || !strings.Contains(text, "US tablespoon") {
		t.Error("a preparation, a question or an assumption is not shown")
	}
	if text := page.one("aria-labelledby", "method").text(); !strings.Contains(text, "whip · 8 min") || !strings.Contains(text, "fold · its time is assumed") || !strings.Contains(text, "bake · 12 min · 180 °C") {
		t.Errorf("steps: got %q", text)
	}
}

// The documents mean the American tablespoon. A spoon of another country stands in grams, as it was
// understood: an Australian one holds 20 ml.
func TestSpoonsOfAnotherCountry(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	w := s.post("/formulas/new", url.Values{"text": {"100 g sugar\n2 tbsp honey"}, "country": {"au"}}, false)
	page := parse(t, w.Body.String())
	honey, _ := ingredient.Builtin().Get("honey")
	want := 2 * 20 * float64(honey.Density) / 1000
	text := page.one("id", "line_1").attr("value")
	if !strings.HasSuffix(text, " g honey") {
		t.Fatalf("got %q, want grams", text)
	}
	near(t, text, number(t, text), want)
	near(t, "honey", number(t, page.one("data-line", "1").one("data-of", "mass").text()), want)
	if got := page.one("data-line", "1").text(); !strings.Contains(got, "“2 tbsp honey”") {
		t.Errorf("the line as it stands in the notebook is not shown: %q", got)
	}
}

func TestResolveWhatWasPasted(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	before := s.revision()
	page := s.paste(pasted)
	// one of the list
	page = parse(t, s.again(page, url.Values{"of_6": {"praline-hazelnut-50"}}).Body.String())
	if got := page.sure(6); got != "readline sure" {
		t.Errorf("praline, chosen: got %q, want sure", got)
	}
	// a search that means one thing
	page = parse(t, s.again(page, url.Values{"find_7": {"cocoa powder"}}).Body.String())
	if got := page.sure(7); got != "readline sure" {
		t.Errorf("flurb powder, searched: got %q, want sure", got)
	}
	if got := page.sure(6); got != "readline sure" {
		t.Errorf("praline, after another line was chosen: got %q, want sure", got)
	}
	// a search that may mean several gives the list
	page = parse(t, s.again(page, url.Values{"find_7": {"choco"}}).Body.String())
	if got := len(page.one("id", "of_7").tags("option")); got < 5 || page.one("id", "find_7").attr("value") != "choco" {
		t.Errorf("searched for choco: %d options, want several, and what was typed", got)
	}
	// written anew, a line may say two things
	page = parse(t, s.again(page, url.Values{"line_2": {"2 eggs plus 1 yolk"}, "find_7": {""}}).Body.String())
	if a, b := page.one("id", "line_2").attr("value"), page.one("id", "line_3").attr("value"); a != "2 eggs" || b != "1 yolk" {
		t.Errorf("eggs plus yolk: got %q and %q", a, b)
	}
	page = parse(t, s.again(page, url.Values{"drop": {"3"}}).Body.String())
	if got := page.one("id", "line_3").attr("value"); got != "50 g cake flour" {
		t.Errorf("after leaving out the yolk: got %q, want the flour", got)
	}
	if s.revision() != before {
		t.Error("something was stored before the cook said so")
	}
}

func TestSaveWhatWasPasted(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.paste(pasted)
	w := s.again(page, url.Values{"do": {"save"}, "of_6": {"praline-hazelnut-50"}, "find_7": {"cocoa powder"}})
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/formulas/almond-disc" {
		t.Fatalf("save: got %d to %q", w.Code, w.Header().Get("Location"))
	}
	doc, err := s.store.Get(context.Background(), "formula", "almond-disc", 1)
	if err != nil {
		t.Fatal(err)
	}
	f := doc.(*document.Formula)
	if got := f.Lines[2].Text; got != "2 eggs" || f.Lines[2].Of != "" {
		t.Errorf("eggs: got %q of %q, want the count by its name", got, f.Lines[2].Of)
	}
	if f.Lines[6].Of != "praline-hazelnut-50" || f.Lines[7].Of == "" || f.Type != "joconde" {
		t.Errorf("of: got %q and %q, type %q", f.Lines[6].Of, f.Lines[7].Of, f.Type)
	}
	if !strings.Contains(f.Notes, "40 g flurb powder") {
		t.Error("the text as it stood is not kept")
	}
	if len(f.Steps) != 3 || f.Steps[0].Verb != "whip" || f.Steps[2].Waiting.Value.Text != "12 min" || len(f.Steps[2].Modes) != 1 || f.Steps[2].Modes[0].Setting.Text != "180 °C" {
		t.Errorf("steps: got %+v", f.Steps)
	}
	set, _, err := s.store.Latest(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	book, problems := document.Resolve(set, nil)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	egg, honey := pastedMasses(t)
	if got, want := book.Formulas["almond-disc"].Written().Grams(), 100+100+egg+50+50+honey+100+40+5; !nearly(got, want) {
		t.Errorf("written: got %v g, want %v", got, want)
	}
	if steps := book.Formulas["almond-disc"].Steps; steps[0].Assumed || !steps[1].Assumed {
		t.Error("only the fold has no time of its own, and is marked as assumed")
	}
	// the same name again is another formula
	w = s.again(s.paste(pasted), url.Values{"do": {"save"}})
	if got := w.Header().Get("Location"); got != "/formulas/almond-disc-2" {
		t.Errorf("again: got %q, want /formulas/almond-disc-2", got)
	}
}

func nearly(a, b float64) bool { return a-b < 0.02 && b-a < 0.02 }

func TestDraftFormula(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	w := s.again(s.paste(pasted), url.Values{"do": {"save"}})
	page := s.get(w.Header().Get("Location"))
	row := page.one("data-line", "7")
	if got := row.text(); !strings.Contains(got, `No ingredient is called "flurb powder"`) || strings.Contains(got, "(of:") {
		t.Errorf("the line that is not understood: got %q", got)
	}
	if len(page.all("id", "size")) != 0 || len(page.all("id", "composition")) != 0 {
		t.Error("a draft can be scaled or has a composition")
	}
	if got := page.one("data-line", "2").one("data-of", "as written").text(); !strings.HasSuffix(got, "g") {
		t.Errorf("eggs of a draft: got %q, want their mass", got)
	}
	if got := s.get("/formulas").text(); !strings.Contains(got, "1 line cannot be weighed") {
		t.Error("the list does not say that a line cannot be weighed")
	}
	// another line of a draft may be edited, and the draft stays one
	status, location, _ := s.edit(page, "text_0", "120 g almond flour", false)
	if status != http.StatusSeeOther {
		t.Fatalf("edit of a draft: got %d, want 303", status)
	}
	page = s.get(location)
	// chosen at last
	action, values := page.form("text_7")
	values.Set("find", "cocoa powder")
	values.Set("of", "")
	if w := s.post(action, values, false); w.Code != http.StatusSeeOther {
		t.Fatalf("choose: got %d, want 303", w.Code)
	}
	page = s.get("/formulas/almond-disc")
	page.one("id", "size")
	egg, honey := pastedMasses(t)
	near(t, "finished", number(t, page.one("id", "size_mass").attr("value")), 120+100+egg+50+50+honey+100+40+5)
}

func TestPasteErrors(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	before := s.revision()
	w := s.post("/formulas/new", url.Values{"text": {"nothing to weigh here, is there."}}, false)
	if page := parse(t, w.Body.String()); w.Code != http.StatusUnprocessableEntity || page.one("id", "new_text").attr("aria-invalid") != "true" || page.one("id", "new_text").text() == "" {
		t.Errorf("no line: got %d, want 422 with the text kept", w.Code)
	}
	w = s.again(s.paste("100 g sugar\n50 g water"), url.Values{"do": {"save"}, "name": {""}})
	if page := parse(t, w.Body.String()); w.Code != http.StatusUnprocessableEntity || page.one("id", "read_name").attr("aria-invalid") != "true" {
		t.Errorf("no name: got %d, want 422", w.Code)
	}
	w = s.again(s.paste("100 g sugar\n50 g water"), url.Values{"lines": {"many"}})
	if w.Code != http.StatusBadRequest {
		t.Errorf("lines=many: got %d, want 400", w.Code)
	}
	w = s.post("/formulas/new", url.Values{"text": {strings.Repeat("100 g sugar\n", 301)}}, false)
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("301 lines: got %d, want 413", w.Code)
	}
	w = s.again(s.paste("100 g sugar"), url.Values{"drop": {"0"}, "do": {"save"}, "name": {"Nothing"}})
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("no line left: got %d, want 422", w.Code)
	}
	if s.revision() != before {
		t.Error("something was stored")
	}
	w = s.again(s.paste("100 g sugar"), url.Values{"do": {"save"}, "name": {"New"}})
	if got := w.Header().Get("Location"); got != "/formulas/new-2" { // /formulas/new is a page
		t.Errorf("a formula called New: got %q", got)
	}
}

func TestSuggestions(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for query, want := range map[string]string{"almon fl": "Almond flour", "pear mir": "Pear mirror glaze"} {
		page := s.get("/ingredients?q=" + url.QueryEscape(query))
		var names []string
		for _, o := range page.tags("option") {
			names = append(names, o.attr("value"))
		}
		if len(names) == 0 || names[0] != want {
			t.Errorf("%s: got %q, want %s first", query, names, want)
		}
	}
	if got := s.get("/ingredients?q=").tags("option"); len(got) != 0 {
		t.Errorf("nothing typed: got %d names, want none", len(got))
	}
}

// A formula in use that loses a line takes nothing else with it: every page is there, and says
// what is wrong.
func TestFaultyFormulaInUse(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	doc, err := s.store.Get(context.Background(), "formula", "pear-glaze", 1)
	if err != nil {
		t.Fatal(err)
	}
	f := doc.(*document.Formula)
	f.Lines = append(f.Lines, document.Line{Text: "a knob of gloss"})
	if _, err := s.store.Put(context.Background(), f, 1); err != nil {
		t.Fatal(err)
	}
	if got := s.get("/assemblies").text(); !strings.Contains(got, "Pear mirror glaze: 1 line cannot be weighed.") {
		t.Error("the list of assemblies does not say which formula has a fault")
	}
	w := s.send(httptest.NewRequest(http.MethodGet, ring, nil))
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "Pear mirror glaze: 1 line cannot be weighed.") {
		t.Errorf("the ring: got %d, want its layers and the formula's name", w.Code)
	}
	for _, address := range []string{"/orders", "/orders/saturday-tasting", "/formulas", "/formulas/pear-glaze", "/formulas/hazelnut-sponge"} {
		s.get(address)
	}
}
