package web_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// TestRescuePage weighs 5 % and then half as much again of a line: by balance, 15 g for 12 g make
// the batch 25 % larger, so that every other weight shown is a quarter of its line.
func TestRescuePage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get("/formulas/pear-jelly/rescue")
	for _, title := range []string{"Too much of a line was weighed", "The refractometer reads", "It split, curdled or seized", "Gelatin was heated too far"} {
		if !strings.Contains(page.text(), title) {
			t.Errorf("no case %q", title)
		}
	}
	for _, c := range []struct {
		query url.Values
		want  []string
	}{
		{url.Values{"case": {"brix"}, "mass": {"1000 g"}, "reads": {"20"}, "wanted": {"25"}}, []string{"66.7 g sugar", "800 g in the bowl afterwards"}},
		{url.Values{"case": {"brix"}, "mass": {"1000 g"}, "reads": {"30"}, "wanted": {"25"}}, []string{"200 g water"}},
		{url.Values{"case": {"broken"}, "what": {"1"}, "mass": {"500 g"}, "hottest": {"97 °C"}}, []string{"Not possible", "set hard"}},
		{url.Values{"case": {"grade"}, "gelatin": {"10 g"}, "want": {"200"}, "have": {"160"}}, []string{"11.2 g gelatin"}},
		{url.Values{"case": {"too-much"}, "line": {"0"}, "weighed": {"much"}, "room": {"10 kg"}}, []string{"does not start with a number"}},
		{url.Values{"case": {"brix"}, "mass": {"1000"}, "reads": {"30"}, "wanted": {"25"}}, []string{"has no unit"}},
	} {
		text := s.get("/formulas/pear-jelly/rescue?" + c.query.Encode()).text()
		for _, w := range c.want {
			if !strings.Contains(strings.ReplaceAll(text, "\u00a0", " "), w) {
				t.Errorf("%v: no %q", c.query, w)
			}
		}
	}
	if w := s.send(httptest.NewRequest(http.MethodGet, "/formulas/nothing/rescue", nil)); w.Code != http.StatusNotFound {
		t.Errorf("an unknown formula: %d, want 404", w.Code)
	}
}

// TestExchangePage puts cream of 40 % and milk in the place of cream of 35 %, refuses starch for
// gelatin, and finds bounds that conflict.
func TestExchangePage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get("/formulas/cocoa-glaze/exchange")
	cream := ""
	for _, o := range page.one("id", "line").tags("option") {
		if strings.HasPrefix(o.text(), "cream") {
			cream = o.attr("value")
		}
	}
	if cream == "" {
		t.Fatal("the glaze's cream is not offered")
	}
	got := s.get("/formulas/cocoa-glaze/exchange?line=" + cream + "&with=" + url.QueryEscape("cream-40, milk")).text()
	if !strings.Contains(got, "Cream, 40 %") && !strings.Contains(got, "Cream 40 %") {
		t.Errorf("no cream of 40 %% in %q", got)
	}
	got = s.get("/formulas/cocoa-glaze/exchange?line=" + cream + "&with=moonlight").text()
	if !strings.Contains(got, `No ingredient is called "moonlight"`) {
		t.Error("an unknown ingredient is not named")
	}
	q := url.Values{"figure1": {"fat"}, "least1": {"30"}, "figure2": {"water"}, "least2": {"80"}}
	if got = s.get("/formulas/cocoa-glaze/exchange?" + q.Encode()).text(); !strings.Contains(got, "cannot hold together") {
		t.Errorf("30 %% of fat and 80 %% of water hold together: %q", got)
	}
	q = url.Values{"figure1": {"sugars"}, "most1": {"lots"}}
	if got = s.get("/formulas/cocoa-glaze/exchange?" + q.Encode()).text(); !strings.Contains(got, "is no share of sugars") {
		t.Error("a share that is no number is not named")
	}
}
