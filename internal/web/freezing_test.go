package web_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"chablon/document"
)

// A reading of the core narrows the time, and what it tells of the freezer is kept for the kitchen.
func TestProbeAndKeep(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := ring + "/freezing"
	text := s.get(page + "?case=probe&place=freezer&record=" + url.QueryEscape("7 h −6 °C")).text()
	for _, w := range []string{"Ready after", "Before the reading it was", "W/(m² K)", "On the section after"} {
		if !strings.Contains(strings.ReplaceAll(text, "\u00a0", " "), w) {
			t.Errorf("no %q", w)
		}
	}
	if text := s.get(page + "?case=probe&place=freezer&record=cold").text(); !strings.Contains(text, "write it as 2 h") {
		t.Error("a reading without a time is not told")
	}
	text = s.get(page + "?case=out&air=22&humidity=55&limit=-5").text()
	for _, w := range []string{"frosts and sweats at once", "its surface passes"} {
		if !strings.Contains(text, w) {
			t.Errorf("no %q", w)
		}
	}
	text = s.get(page + "?case=serve&place=refrigerator&low=2&high=12&air=20").text()
	for _, w := range []string{"no place colder than", "its surface stays below", "3-501.19"} {
		if !strings.Contains(text, w) {
			t.Errorf("no %q", w)
		}
	}
	if text := s.get(page + "?case=serve&place=refrigerator&low=12&high=2&air=20").text(); !strings.Contains(text, "must be the colder") {
		t.Error("a range upside down is not told")
	}
	v := s.get(page)
	keep := func(version string) *httptest.ResponseRecorder {
		form := url.Values{"page": {page}, "case": {"probe"}, "place": {"freezer"}, "record": {"7 h −6 °C"}, "version": {version}}
		return s.post(page, form, false)
	}
	before := v.text()
	if r := keep("99"); r.Code != http.StatusConflict {
		t.Errorf("a stale kitchen answers %d", r.Code)
	}
	if r := keep("1"); r.Code != http.StatusSeeOther && r.Code != http.StatusOK {
		t.Errorf("keeping answers %d", r.Code)
	}
	if s.get(page).text() == before {
		t.Error("what was kept changes nothing")
	}
}

// kitchen returns the kitchen's document as it is stored now.
func (s site) kitchen() *document.Kitchen {
	s.Helper()
	set, _, err := s.store.Latest(context.Background())
	if err != nil {
		s.Fatal(err)
	}
	return document.Every[*document.Kitchen](set)[0]
}

// calibrations returns those of the example's freezer.
func (s site) calibrations() []document.Calibration {
	s.Helper()
	for _, e := range s.kitchen().Equipment {
		if e.ID == "freezer" {
			return e.Calibrations
		}
	}
	s.Fatal("no freezer")
	return nil
}

// What readings told of a freezer is added to what is kept before, with its readings and range; the page shows it
// newest first, and undoing takes back the last one alone. The form is the page's own.
func TestCalibrationsAreKept(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := ring + "/freezing"
	keep := func(record, food string) element {
		t.Helper()
		q := url.Values{"case": {"probe"}, "place": {"freezer"}, "record": {record}, "food": {food}}
		found := s.get(page + "?" + q.Encode())
		for _, f := range found.tags("form") {
			if f.attr("method") != "post" || f.attr("action") != page {
				continue
			}
			form := url.Values{}
			for _, i := range f.tags("input") {
				form.Set(i.attr("name"), i.attr("value"))
			}
			if w := s.post(page, form, false); w.Code != http.StatusSeeOther || w.Header().Get("Location") != page {
				t.Fatalf("keeping answers %d to %q: %s", w.Code, w.Header().Get("Location"), w.Body)
			}
			return found
		}
		t.Fatal("no form to keep it")
		return found
	}
	plain := s.get(page)
	if len(plain.all("id", "kept")) != 0 || len(plain.all("id", "undo")) != 0 {
		t.Error("something is kept before anything was")
	}
	keep("5 h −2 °C, 7 h −6 °C", "")
	text := keep("2 h 3 °C, 5 h −2 °C, 7 h −6 °C", "yes").text()
	for _, w := range []string{"so many times as well as computed: ×", "One freezing tells the two little apart", "With the food as computed the air would be"} {
		if !strings.Contains(text, w) {
			t.Errorf("no %q", w)
		}
	}
	list := s.calibrations()
	if len(list) != 2 || list[0].Date != "2026-12-01" || list[0].Piece != "pear-cardamom-ring" || len(list[0].Readings) != 2 || len(list[1].Readings) != 3 {
		t.Fatalf("kept: %+v", list)
	}
	for _, c := range list {
		if !(0 < c.TransferLow && c.TransferLow < c.Transfer && c.Transfer < c.TransferHigh) {
			t.Errorf("range of %v: %v to %v", c.Transfer, c.TransferLow, c.TransferHigh)
		}
	}
	if list[0].Conductivity != 0 || !(list[1].ConductivityLow < list[1].Conductivity && list[1].Conductivity < list[1].ConductivityHigh) {
		t.Errorf("conductivities %v and %v", list[0].Conductivity, list[1])
	}
	now := s.get(page)
	rows := now.all("data-of", "read")
	if len(rows) != 2 || !strings.HasPrefix(rows[0].text(), "2h3") || !strings.HasPrefix(rows[1].text(), "5h−2") {
		t.Errorf("%d rows, the newest must be first: %v", len(rows), rows)
	}
	if n := strings.Count(now.text(), "counted with"); n != 2 { // one mark, and the note below
		t.Errorf("marked as used: %d times", n)
	}
	if got := now.one("id", "undo").text(); !strings.Contains(got, "calibration of") {
		t.Errorf("undo: got %q", got)
	}
	action, values := now.form("undo-button")
	if w := s.post(action, values, false); w.Code != http.StatusSeeOther {
		t.Fatalf("undo answers %d: %s", w.Code, w.Body)
	}
	if list := s.calibrations(); len(list) != 1 || len(list[0].Readings) != 2 {
		t.Errorf("after undo: %+v", list)
	}
	if w := s.post(page, url.Values{"page": {page}, "case": {"probe"}, "place": {"freezer"}, "record": {"cold"}, "version": {"4"}}, false); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "Nothing was kept") {
		t.Errorf("a reading without a time answers %d", w.Code)
	}
	if text := s.get(page + "?case=probe&place=freezer&food=yes&record=" + url.QueryEscape("7 h −6 °C")).text(); !strings.Contains(text, "take 3 or more") {
		t.Error("one reading is enough for two unknowns")
	}
}

// A way through several places is drawn with them, and says how the piece leaves each and when it passes which
// limit, at the earliest and at the latest. What is lacking is told at its field.
func TestWay(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	way := func(q url.Values) element {
		t.Helper()
		q.Set("case", "way")
		return s.get(ring + "/freezing?" + q.Encode())
	}
	q := url.Values{"in1": {"freezer"}, "for1": {""}, "off": {"yes"}, "in2": {"refrigerator"}, "for2": {"6 h"}, "in3": {"van"}, "at3": {"8"}, "for3": {"40 min"}, "in4": {"counter"}, "for4": {"2 h"}, "low": {"2"}, "high": {"12"}}
	page := way(q)
	text := strings.ReplaceAll(page.text(), "\u00a0", " ")
	for _, w := range []string{"A cold van at 8", "Solid enough to unmould", "Too warm to glaze", "A probe in the core decides", "3-501.16", "local food code"} {
		if !strings.Contains(text, w) {
			t.Errorf("no %q", w)
		}
	}
	if n := len(page.all("data-of", "core")); n != 4 {
		t.Errorf("%d places on the way, want 4", n)
	}
	passes := page.all("data-of", "earliest")
	if len(passes) != 5 {
		t.Fatalf("%d limits, want 5", len(passes))
	}
	if figure.FindString(passes[0].text()) == "" {
		t.Errorf("the piece is never solid: %q", passes[0].text())
	}
	q.Set("for3", "")
	if page := way(q); page.one("id", "way_for3").attr("aria-invalid") != "true" || !strings.Contains(page.text(), "Say for how long") {
		t.Error("a place without a time is not told")
	}
	q.Set("for3", "40 min")
	q.Set("high", "1")
	if text := way(q).text(); !strings.Contains(text, "must be the colder") {
		t.Error("a serving range upside down is not told")
	}
	// as it is offered, the way leads to the table
	_, offered := s.get(ring + "/freezing").form("way_in1")
	if text := way(offered).text(); offered.Get("in2") != "refrigerator" || strings.Contains(text, "not on this way") {
		t.Errorf("the way offered, %v, does not come to serving", offered)
	}
	short := url.Values{"in1": {"freezer"}, "for1": {"1 h"}, "in2": {""}, "in3": {""}, "in4": {""}, "low": {"2"}, "high": {"12"}}
	if page := way(short); len(page.all("data-of", "core")) != 1 || !strings.Contains(page.text(), "not on this way") {
		t.Error("an hour in the freezer alone makes it solid, or goes on")
	}
}

// Curves show the range of the core as two thin lines beside it.
func TestCurvesHaveTheirBand(t *testing.T) {
	t.Parallel()
	page := newSite(t).get(ring + "/freezing")
	thin := 0
	for _, p := range page.tags("path") {
		if p.attr("stroke-width") == "0.7" && strings.Contains(p.attr("stroke"), "--ink") {
			thin++
		}
	}
	if thin < 4 { // freezer and refrigerator, wide
		t.Errorf("%d edges of bands", thin)
	}
}

// A wedge thaws sooner than the whole ring, what cannot be cut is told.
func TestServePortion(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	serve := func(form url.Values) string {
		t.Helper()
		for name, value := range map[string]string{"case": "serve", "place": "refrigerator", "low": "2", "high": "12", "air": "20"} {
			form.Set(name, value)
		}
		return strings.ReplaceAll(s.get(ring+"/freezing?"+form.Encode()).text(), "\u00a0", " ")
	}
	ready := func(text string) time.Duration {
		t.Helper()
		_, rest, ok := strings.Cut(text, "no place colder than")
		_, rest, ok2 := strings.Cut(rest, "after ")
		rest, _, ok3 := strings.Cut(rest, " then in the room")
		d, err := time.ParseDuration(strings.NewReplacer(" ", "", "min", "m").Replace(rest))
		if !ok || !ok2 || !ok3 || err != nil {
			t.Fatalf("no time in %q: %v", rest, err)
		}
		return d
	}
	whole, wedge := serve(url.Values{}), serve(url.Values{"cut": {"wedge"}, "wedges": {"12"}})
	if !strings.Contains(whole, "the whole piece") || !strings.Contains(wedge, "a wedge, one of 12") {
		t.Error("what thaws is not said")
	}
	if a, b := ready(whole), ready(wedge); b >= a {
		t.Errorf("the whole takes %v, a wedge %v", a, b)
	}
	for _, c := range []url.Values{{"cut": {"wedge"}, "wedges": {"1"}}, {"cut": {"wedge"}, "wedges": {"many"}}, {"cut": {"slice"}, "width": {"40"}}} {
		if text := serve(c); strings.Contains(text, "no place colder than") {
			t.Errorf("%v is answered", c)
		}
	}
}
