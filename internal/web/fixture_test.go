package web_test

import (
	"context"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"chablon/document"
	"chablon/internal/sqlite"
	"chablon/internal/web"
)

// The example: rings of 200 and 160 mm and domes, all in one order.
const (
	ring  = "/assemblies/pear-cardamom-ring"
	line0 = "saturday-tasting.0"
)

// Densities of the example's formulas, g/ml: examples/saturday/ring-formulas.yaml.
const (
	spongeDensity = 0.38
	glazeDensity  = 1.13
	jellyDensity  = 1.08
)

func saturday(tb testing.TB) *document.Set {
	tb.Helper()
	names, err := filepath.Glob("../../examples/saturday/*.yaml")
	if err != nil || len(names) == 0 {
		tb.Fatalf("no example documents: %v", err)
	}
	var files []document.File
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			tb.Fatal(err)
		}
		files = append(files, document.File{Name: n, Data: data})
	}
	set, problems := document.ParseFiles(files)
	if len(problems) > 0 {
		tb.Fatal(problems[0])
	}
	return set
}

func openStore(tb testing.TB) *sqlite.Store {
	tb.Helper()
	st, err := sqlite.Open(":memory:", sqlite.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := st.Close(); err != nil {
			tb.Error(err)
		}
	})
	if err := st.PutAll(context.Background(), saturday(tb).All()); err != nil {
		tb.Fatal(err)
	}
	return st
}

// site is a server over the example, and its store.
type site struct {
	testing.TB
	http.Handler
	store *sqlite.Store
}

func newSite(tb testing.TB) site {
	tb.Helper()
	st := openStore(tb)
	now := func() time.Time { return time.Date(2026, 12, 1, 9, 0, 0, 0, time.UTC) }
	s := web.New(web.Options{Store: st, Now: now, Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	return site{tb, s.Handler(), st}
}

func (s site) send(r *http.Request) *httptest.ResponseRecorder {
	r.Host = "localhost:8080"
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// get returns a page that must be there.
func (s site) get(address string) element {
	s.Helper()
	w := s.send(httptest.NewRequest(http.MethodGet, address, nil))
	if w.Code != http.StatusOK {
		s.Fatalf("GET %s: got %d, want 200\n%s", address, w.Code, w.Body)
	}
	return parse(s, w.Body.String())
}

// post sends a form as a browser without script does; with htmx where that is said.
func (s site) post(address string, form url.Values, htmx bool) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, address, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	if htmx {
		r.Header.Set("HX-Request", "true")
	}
	return s.send(r)
}

func (s site) revision() int64 {
	s.Helper()
	n, err := s.store.Revision(context.Background())
	if err != nil {
		s.Fatal(err)
	}
	return n
}

// element is a part of a parsed page.
type element struct {
	testing.TB
	*html.Node
}

func parse(tb testing.TB, text string) element {
	tb.Helper()
	n, err := html.Parse(strings.NewReader(text))
	if err != nil {
		tb.Fatal(err)
	}
	return element{tb, n}
}

// all returns the elements below that have an attribute; any value if value is "*".
func (e element) all(name, value string) []element {
	var out []element
	for n := range e.Descendants() {
		if v, ok := attribute(n, name); ok && (value == "*" || v == value) {
			out = append(out, element{e.TB, n})
		}
	}
	return out
}

// tags returns the elements below of a name.
func (e element) tags(name string) []element {
	var out []element
	for n := range e.Descendants() {
		if n.Type == html.ElementNode && n.Data == name {
			out = append(out, element{e.TB, n})
		}
	}
	return out
}

// one returns the only element that has an attribute.
func (e element) one(name, value string) element {
	e.Helper()
	found := e.all(name, value)
	if len(found) != 1 {
		e.Fatalf("elements with %s=%q: got %d, want 1", name, value, len(found))
	}
	return found[0]
}

func attribute(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

func (e element) attr(name string) string {
	v, _ := attribute(e.Node, name)
	return v
}

// text returns the text of an element, white space collapsed.
func (e element) text() string {
	var b strings.Builder
	for n := range e.Descendants() {
		if n.Type == html.TextNode {
			b.WriteString(n.Data + " ")
		}
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(b.String(), "\u00a0", "")), " ")
}

// form returns what the form around a field would send.
func (e element) form(fieldID string) (action string, values url.Values) {
	e.Helper()
	n := e.one("id", fieldID).Node
	for n != nil && n.Data != "form" {
		if id, ok := attribute(n, "form"); ok {
			n = e.one("id", id).Node
			break
		}
		n = n.Parent
	}
	if n == nil {
		e.Fatalf("field %s stands in no form", fieldID)
	}
	f, values := element{e.TB, n}, url.Values{}
	take := func(in element, own bool) {
		for _, i := range in.tags("input") {
			if of := i.attr("form"); own && of == "" || of != "" && of == f.attr("id") {
				values.Set(i.attr("name"), i.attr("value"))
			}
		}
		for _, s := range in.tags("select") {
			if of := s.attr("form"); own && of == "" || of != "" && of == f.attr("id") {
				for _, o := range s.all("selected", "*") {
					values.Set(s.attr("name"), o.attr("value"))
				}
			}
		}
	}
	take(f, true)
	take(e, false)
	return f.attr("action"), values
}

var figure = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`)

// amount returns the figure of a component's row, in the unit shown.
func (e element) amount(component, column string) float64 {
	e.Helper()
	text := e.one("data-component", component).one("data-of", column).text()
	v, err := strconv.ParseFloat(figure.FindString(text), 64)
	if err != nil {
		e.Fatalf("%s, %s: %q is no figure", component, column, text)
	}
	return v
}

// near fails unless got is want as it is rounded for show: half of the last digit shown.
func near(tb testing.TB, what string, got, want float64) {
	tb.Helper()
	half := 0.5
	if want < 100 {
		half = 0.05
	}
	if math.Abs(got-want) > half+1e-9 {
		tb.Errorf("%s: got %v, want %.2f", what, got, want)
	}
}

// cylinder returns the volume of a disc in millilitres.
func cylinder(diameter, height float64) float64 {
	return math.Pi * diameter * diameter / 4 * height / 1000
}

// ringVolumes returns what the example's ring takes, in millilitres, by the volumes of cylinders:
// a band 5 mm thick and 48 mm high against the wall, the base within it, the mousse in all that is
// left up to 57 mm round a heart of 140 × 16 mm, and 3 mm of glaze.
func ringVolumes(diameter, base float64) (sponge, mousse, glaze float64) {
	band := cylinder(diameter, 48) - cylinder(diameter-10, 48)
	sponge = band + cylinder(diameter-10, base)
	return sponge, cylinder(diameter, 57) - sponge - cylinder(140, 16), cylinder(diameter, 3)
}
