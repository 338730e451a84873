package web_test

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
)

func TestListOfAssemblies(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	w := s.send(httptest.NewRequest(http.MethodGet, "/", nil))
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/assemblies" {
		t.Errorf("GET /: got %d to %q, want 303 to /assemblies", w.Code, w.Header().Get("Location"))
	}
	page := s.get("/assemblies")
	var got []string
	for _, h := range page.one("class", "cards").tags("h2") {
		got = append(got, h.text())
	}
	if want := "Blackberry and chocolate dome, Pear and cardamom ring, Pear heart"; strings.Join(got, ", ") != want {
		t.Errorf("assemblies: got %q, want %q", strings.Join(got, ", "), want)
	}
	for _, link := range []string{ring + "?line=" + line0, ring + "?line=saturday-tasting.1", "/assemblies/blackberry-chocolate-dome?line=saturday-tasting.2"} {
		page.one("href", link)
	}
	if n := len(page.tags("svg")); n != 3 {
		t.Errorf("drawings: got %d, want 3", n)
	}
}

func TestAssemblyShowsEachSize(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, size := range []struct {
		line, pieces string
		diameter     float64
		count        float64
		heart        float64 // diameter of the heart in this ring
	}{
		{"saturday-tasting.0", "2", 200, 2, 140},
		{"saturday-tasting.1", "3", 160, 3, 120},
	} {
		t.Run(size.line, func(t *testing.T) {
			page := s.get(ring + "?line=" + size.line)
			page.TB = t
			sponge, _, glaze := ringVolumes(size.diameter, 8)
			near(t, "sponge each", page.amount("hazelnut-sponge", "each"), sponge*spongeDensity)
			near(t, "sponge of the line", page.amount("hazelnut-sponge", "these "+size.pieces), size.count*sponge*spongeDensity)
			near(t, "glaze each", page.amount("pear-glaze", "each"), glaze*glazeDensity)
			near(t, "jelly each", page.amount("pear-jelly", "each"), cylinder(size.heart, 12)*jellyDensity)
			both, one := 0.0, 0.0
			one, _, _ = ringVolumes(200, 8)
			both += 2 * one
			one, _, _ = ringVolumes(160, 8)
			both += 3 * one
			near(t, "sponge of all orders", page.amount("hazelnut-sponge", "all orders"), both*spongeDensity)
		})
	}
}

func TestAssemblyRegions(t *testing.T) {
	t.Parallel()
	page := newSite(t).get(ring)
	for _, id := range []string{"layers", "piping", "allergens", "checks", "amounts", "shopping", "timeline"} {
		page.one("id", id)
	}
	// 1885 ml of layers, 140 ml a portion: 13 whole portions, two rings
	if got := page.tags("output")[0].text(); got != "26" {
		t.Errorf("serves: got %s, want 26", got)
	}
	_, mousse, _ := ringVolumes(200, 8)
	var piped float64
	for _, row := range page.all("data-of", "volume")[:2] { // the stages of the mousse come first
		piped += number(t, row.text())
	}
	if got := piped - mousse; got > 1 || got < -1 { // each of two stages is rounded to a millilitre
		t.Errorf("mousse piped: got %v ml, want %.1f", piped, mousse)
	}
	if got := page.one("id", "batch_hazelnut-sponge").text(); !strings.Contains(got, "trimmings") || !strings.Contains(got, "lost: bake") {
		t.Errorf("hazelnut sponge: its losses are not named in %q", got)
	}
	if got := page.all("class", "status")[0].text(); got != "planned and checked" {
		t.Errorf("status: got %q, want planned and checked", got)
	}
	if !strings.Contains(page.one("id", "steps").text(), "Saturday 5 December") {
		t.Error("the list of steps has no Saturday 5 December")
	}
	if !strings.Contains(page.text(), "nothing runs short in 95 of 100 days") {
		t.Error("the confidence is not said")
	}
	if got := page.one("data-buy", "eggs").text(); !strings.Contains(got, "whole") {
		t.Errorf("eggs are bought whole: got %q", got)
	}
}

func TestLayersHaveSwatchesAsDrawn(t *testing.T) {
	t.Parallel()
	page := newSite(t).get(ring)
	for layer, hatch := range map[string]string{"base": "sponge", "band": "band", "mousse": "mousse", "glaze": "coat", "heart/jelly": "insert", "heart/crunch": "spread"} {
		item := page.one("data-fields", layer)
		found := false
		for _, r := range item.tags("rect") {
			found = found || r.attr("fill") == "url(#k_hatch-"+hatch+")"
		}
		if !found {
			t.Errorf("layer %s: no swatch of the hatch %s", layer, hatch)
		}
		page.one("id", "k_hatch-"+hatch)
	}
}

func TestDraft(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get("/assemblies/pear-heart?mould=ring-120x20&pieces=3")
	near(t, "jelly each", page.amount("pear-jelly", "each"), cylinder(120, 12)*jellyDensity)
	near(t, "jelly of three", page.amount("pear-jelly", "these 3"), 3*cylinder(120, 12)*jellyDensity)
	if n := len(page.all("id", "timeline")); n != 0 {
		t.Error("a draft has a timeline, but no time to be ready at")
	}
	for address, field := range map[string]string{
		"/assemblies/pear-heart?mould=bucket":  "line_mould",
		"/assemblies/pear-heart?pieces=0":      "line_pieces",
		"/assemblies/pear-heart?pieces=two":    "line_pieces",
		"/assemblies/pear-heart?pieces=100001": "line_pieces",
	} {
		w := s.send(httptest.NewRequest(http.MethodGet, address, nil))
		page := parse(t, w.Body.String())
		if w.Code != http.StatusUnprocessableEntity || page.one("id", field).attr("aria-invalid") != "true" {
			t.Errorf("%s: got %d, want 422 and a message at %s", address, w.Code, field)
		}
	}
}

func TestOrders(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	list := s.get("/orders")
	list.one("href", "/orders/saturday-tasting#timeline")
	if !strings.Contains(list.text(), "Sat 5 December 2026, 15:00") {
		t.Errorf("orders: the due time is not in %q", list.text())
	}
	list.one("href", "/orders/saturday-tasting/sheet")
	page := s.get("/orders/saturday-tasting")
	steps := page.one("id", "steps").text()
	for _, of := range []string{"Pear mirror glaze", "Cocoa glaze", "Blackberry and chocolate dome"} {
		if !strings.Contains(steps, of) {
			t.Errorf("steps of the order: none of %s", of)
		}
	}
}

// infinite finds an infinity, but not the start of "Infuse".
var infinite = regexp.MustCompile(`Inf\b`)

// TestPagesAreWellMade checks what holds of every page: nothing inline, no ID twice, each field
// with a label, each reference to an element that is there.
func TestPagesAreWellMade(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, address := range []string{"/assemblies", ring, ring + "?line=saturday-tasting.1", "/assemblies/pear-heart", "/assemblies/blackberry-chocolate-dome", "/orders", "/orders/saturday-tasting", "/formulas", "/formulas/new", spongePage, "/formulas/pear-glaze?mass=1.2+kg", "/formulas/cardamom-custard?factor=0.01", "/formulas/pear-jelly/rescue?case=grade&gelatin=10+g&want=200&have=160", "/formulas/cocoa-glaze/exchange?figure1=fat&most1=5"} {
		t.Run(address, func(t *testing.T) {
			page := s.get(address)
			page.TB = t
			ids := map[string]bool{}
			for _, e := range page.all("id", "*") {
				if ids[e.attr("id")] {
					t.Errorf("the ID %s stands twice", e.attr("id"))
				}
				ids[e.attr("id")] = true
			}
			for n := range page.Descendants() {
				for _, a := range n.Attr {
					if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
						t.Errorf("%s has an inline %s", n.Data, a.Key)
					}
					if a.Key == "for" || a.Key == "aria-describedby" || a.Key == "aria-labelledby" {
						for _, id := range strings.Fields(a.Val) {
							if !ids[id] {
								t.Errorf("%s of %s: there is no %s", a.Key, n.Data, id)
							}
						}
					}
					if a.Key == "href" && strings.HasPrefix(a.Val, "#") && !ids[a.Val[1:]] {
						t.Errorf("link to %s, which is not there", a.Val)
					}
				}
				if n.Data == "script" && (element{t, n}.attr("src") == "" || n.FirstChild != nil) {
					t.Error("a script stands in the page")
				}
				if n.Data == "style" {
					t.Error("a style sheet stands in the page")
				}
			}
			labelled := map[string]bool{}
			for _, l := range page.tags("label") {
				labelled[l.attr("for")] = true
			}
			for _, f := range append(page.tags("input"), page.tags("select")...) {
				if f.attr("type") != "hidden" && !labelled[f.attr("id")] {
					t.Errorf("the field %s has no label", f.attr("name"))
				}
			}
			if text := page.text(); strings.Contains(text, "NaN") || infinite.MatchString(text) {
				t.Error("a figure is not finite")
			}
		})
	}
}
