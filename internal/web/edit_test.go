package web_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
)

func number(tb testing.TB, text string) float64 {
	tb.Helper()
	v, err := strconv.ParseFloat(figure.FindString(text), 64)
	if err != nil {
		tb.Fatalf("%q is no figure", text)
	}
	return v
}

// edit sends the form of a field with another value.
func (s site) edit(page element, field, value string, htmx bool) (status int, location string, answer element) {
	s.Helper()
	action, values := page.form(field)
	values.Set(page.one("id", field).attr("name"), value)
	w := s.post(action, values, htmx)
	return w.Code, w.Header().Get("Location"), parse(s, w.Body.String())
}

func TestEditWithoutScript(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	status, location, _ := s.edit(s.get(ring), "layer_base_thickness", "10", false) // the old unit is meant
	if status != http.StatusSeeOther || location != ring+"?line="+line0 {
		t.Fatalf("got %d to %q, want 303 to the page", status, location)
	}
	page := s.get(location)
	if got := page.one("id", "layer_base_thickness").attr("value"); got != "10 mm" {
		t.Errorf("thickness: got %q, want 10 mm", got)
	}
	// 7.5 to 8.5 of 8 mm is 9.375 to 10.625 of 10 mm
	if got := page.one("id", "layer_base_thickness_spread").text(); got != "9.375–10.625 mm" {
		t.Errorf("spread: got %q, want 9.375–10.625 mm", got)
	}
	sponge, _, _ := ringVolumes(200, 10)
	near(t, "sponge each", page.amount("hazelnut-sponge", "each"), sponge*spongeDensity)
	if !strings.Contains(page.text(), "Version 2") {
		t.Error("the version is not 2")
	}
}

func TestEditWithHTMX(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	status, _, answer := s.edit(s.get(ring), "line_mould", "ring-240x60", true)
	if status != http.StatusOK {
		t.Fatalf("got %d, want 200", status)
	}
	if len(answer.tags("header")) != 0 || len(answer.tags("main")) != 1 {
		t.Error("the answer to htmx is not the main element alone")
	}
	sponge, _, glaze := ringVolumes(240, 8)
	near(t, "sponge each", answer.amount("hazelnut-sponge", "each"), sponge*spongeDensity)
	near(t, "glaze of both", answer.amount("pear-glaze", "these 2"), 2*glaze*glazeDensity)
	if n := len(answer.all("data-rule", "moulds-short")); n == 0 {
		t.Error("no check says that the ring of 240 mm is not owned")
	}
	if got, want := answer.one("id", "undo").text(), "Saturday tasting: Ring 200 × 60 mm → Ring 240 × 60 mm"; !strings.Contains(got, want) {
		t.Errorf("undo: got %q, want %q", got, want)
	}
	if dome := s.get("/assemblies/blackberry-chocolate-dome"); len(dome.all("data-rule", "moulds-short")) != 0 {
		t.Error("the dome's page judges the ring's mould")
	}
}

func TestEditPiecesAndDue(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	_, _, page := s.edit(s.get(ring), "line_pieces", "4", true)
	sponge, _, _ := ringVolumes(200, 8)
	near(t, "sponge of four", page.amount("hazelnut-sponge", "these 4"), 4*sponge*spongeDensity)
	status, _, page := s.edit(page, "order_due", "2026-12-05T14:30", true)
	if got := page.one("id", "order_due").attr("value"); status != http.StatusOK || got != "2026-12-05T14:30" {
		t.Errorf("due: got %d and %q", status, got)
	}
	page = s.get("/orders/saturday-tasting")
	status, location, _ := s.edit(page, "order_due", "2026-12-05T15:00", false)
	if status != http.StatusSeeOther || location != "/orders/saturday-tasting" {
		t.Errorf("due on the order's page: got %d to %q", status, location)
	}
}

// TestEditOverride edits a figure that holds in one mould only: the other keeps its own.
func TestEditOverride(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	small := s.get(ring + "?line=saturday-tasting.1")
	if _, _, answer := s.edit(small, "layer_nuts_pieces", "5", true); answer.one("id", "layer_nuts_pieces").attr("value") != "5" {
		t.Error("the small ring has not five nuts")
	}
	if got := s.get(ring).one("id", "layer_nuts_pieces").attr("value"); got != "9" {
		t.Errorf("the large ring: got %s nuts, want 9", got)
	}
}

func TestEditLayerOfInsert(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	_, _, answer := s.edit(s.get(ring), "layer_heart_crunch_thickness", "5 mm", true)
	// the crunch of 1.00 g/ml takes 5 of the heart's 16 mm, the jelly the other 11
	near(t, "crunch each", answer.amount("hazelnut-crunch", "each"), cylinder(140, 5))
	near(t, "jelly each", answer.amount("pear-jelly", "each"), cylinder(140, 11)*jellyDensity)
}

func TestRefusedEdits(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	for _, c := range []struct{ field, typed, says string }{
		{"layer_base_thickness", "thick", "number"},
		{"layer_base_thickness", "5 g", "mass"},
		{"layer_base_thickness", "-3 mm", "below zero"},
		{"layer_base_thickness", "9 furlongs", "unit"},
		{"layer_base_thickness", "1e999", ""},
		{"layer_base_thickness", "5000 m", "1 km"},
		{"layer_mousse_below", "NaN", "number"},
		{"layer_nuts_pieces", "2.5", "whole number"},
		{"layer_nuts_pieces", "0", ""},
		{"layer_band_strips", "101", "100"},
		{"layer_heart_madein", "bucket", "mould"},
		{"line_mould", "bucket", "mould"},
		{"line_pieces", "0", "at least 1"},
		{"line_pieces", "many", "whole number"},
		{"line_pieces", "1000000", "100000"},
		{"order_due", "tomorrow", "day and time"},
		{"order_due", "2026-13-45T15:00", "time"},
	} {
		t.Run(c.field+" "+c.typed, func(t *testing.T) {
			before := s.revision()
			status, _, answer := s.edit(page, c.field, c.typed, true)
			answer.TB = t
			if status != http.StatusUnprocessableEntity {
				t.Fatalf("got %d, want 422", status)
			}
			field := answer.one("id", c.field)
			message := answer.one("id", c.field+"_wrong").text()
			if field.attr("aria-invalid") != "true" || !strings.Contains(field.attr("aria-describedby"), c.field+"_wrong") {
				t.Error("the field is not marked as wrong")
			}
			if !strings.Contains(message, c.says) {
				t.Errorf("message: got %q, want one with %q", message, c.says)
			}
			if field.Data == "input" && field.attr("value") != c.typed {
				t.Errorf("what was typed: got %q, want %q", field.attr("value"), c.typed)
			}
			if len(answer.all("role", "alert")) == 0 {
				t.Error("nothing says aloud that the edit was refused")
			}
			if s.revision() != before {
				t.Error("a refused edit was stored")
			}
		})
	}
}

func TestEditOfAnOldVersion(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	s.edit(page, "layer_base_thickness", "9 mm", false)
	before := s.revision()
	status, _, answer := s.edit(page, "layer_band_height", "40 mm", true)
	if status != http.StatusConflict || !strings.Contains(answer.all("role", "alert")[0].text(), "Changed meanwhile") {
		t.Errorf("got %d, want 409 and a word on the other change", status)
	}
	if s.revision() != before {
		t.Error("an edit of an old version was stored")
	}
}

func TestSameValueIsNoVersion(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	before := s.revision()
	if status, _, _ := s.edit(s.get(ring), "layer_base_thickness", "8 mm", false); status != http.StatusSeeOther || s.revision() != before {
		t.Errorf("got %d and %d new versions, want 303 and none", status, s.revision()-before)
	}
}

func TestUndo(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	if len(page.all("id", "undo")) != 0 {
		t.Error("something can be undone before anything is changed")
	}
	_, _, page = s.edit(page, "layer_base_thickness", "9 mm", true)
	_, _, page = s.edit(page, "layer_base_thickness", "10 mm", true)
	if got := page.one("id", "undo").text(); !strings.Contains(got, "9 mm → 10 mm") {
		t.Errorf("undo: got %q, want 9 mm → 10 mm", got)
	}
	undo := func(page element, htmx bool) (int, string, element) {
		action, values := page.form("undo-button")
		w := s.post(action, values, htmx)
		return w.Code, w.Header().Get("Location"), parse(t, w.Body.String())
	}
	thickness := func(e element) string { return e.one("id", "layer_base_thickness").attr("value") }
	status, location, _ := undo(page, false)
	if status != http.StatusSeeOther {
		t.Fatalf("undo: got %d, want 303", status)
	}
	if page = s.get(location); thickness(page) != "9 mm" {
		t.Errorf("undone once: got %s, want 9 mm", thickness(page))
	}
	if _, _, page = undo(page, true); thickness(page) != "8 mm" {
		t.Errorf("undone twice: got %s, want 8 mm", thickness(page))
	}
	if len(page.all("id", "undo")) != 0 {
		t.Error("there is something to undo before the first version")
	}
	_, values := s.get(ring).form("undo-button")
	values.Set("version", "1")
	if w := s.post("/undo/assembly/pear-cardamom-ring", values, true); w.Code != http.StatusConflict {
		t.Errorf("undo of an old version: got %d, want 409", w.Code)
	}
}

func TestFormsThatNoPageSends(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	good := url.Values{"page": {ring}, "version": {"1"}, "mould": {"ring-200x60"}, "thickness": {"9 mm"}}
	with := func(name, value string) url.Values {
		v := url.Values{}
		for k, x := range good {
			v[k] = x
		}
		v.Set(name, value)
		return v
	}
	for _, c := range []struct {
		name, address string
		form          url.Values
		want          int
	}{
		{"no such layer", ring + "/layers/cellar", good, http.StatusNotFound},
		{"no such assembly", "/assemblies/cellar/layers/base", good, http.StatusNotFound},
		{"no such order", "/orders/cellar", good, http.StatusNotFound},
		{"no such line", "/orders/saturday-tasting/lines/9", good, http.StatusNotFound},
		{"a line below zero", "/orders/saturday-tasting/lines/-1", good, http.StatusNotFound},
		{"nothing to undo", "/undo/assembly/cellar", good, http.StatusNotFound},
		{"no version", ring + "/layers/base", with("version", ""), http.StatusBadRequest},
		{"another site's page", ring + "/layers/base", with("page", "https://example.org/assemblies/x"), http.StatusBadRequest},
		{"another site's page without scheme", ring + "/layers/base", with("page", "//example.org/assemblies/x"), http.StatusBadRequest},
	} {
		t.Run(c.name, func(t *testing.T) {
			if w := s.post(c.address, c.form, false); w.Code != c.want {
				t.Errorf("got %d, want %d", w.Code, c.want)
			}
		})
	}
}
