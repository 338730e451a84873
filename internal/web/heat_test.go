package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// Every question of the page is answered with its range and its caution; what cannot be read is told.
func TestHeatPage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	cool := url.Values{"case": {"cool"}, "mass": {"2 kg"}, "from": {"82"}, "wide": {"260"}, "long": {"0"}, "stirred": {"yes"}, "bath": {"stirred-ice-bath"}, "until": {"45 min"}, "then": {"fan-refrigerator"}}
	still := url.Values{"case": {"cool"}, "mass": {"4 kg"}, "from": {"82"}, "wide": {"240"}, "long": {"0"}, "bath": {"refrigerator"}, "until": {"0"}, "then": {"refrigerator"}}
	for _, c := range []struct {
		query url.Values
		want  []string
	}{
		{cool, []string{"It keeps the limits", "57 to 21 °C", "FDA Food Code 2022", "the local code decides"}},
		{still, []string{"the local code decides", "deep"}},
		{url.Values{"case": {"set"}, "mass": {"2 kg"}, "from": {"28"}, "wide": {"300"}, "room": {"20"}, "pieces": {"12"}, "each": {"1"}}, []string{"All is filled before", "filling takes 12 min"}},
		{url.Values{"case": {"set"}, "mass": {"2 kg"}, "from": {"25"}, "wide": {"300"}, "room": {"20"}, "pieces": {"12"}, "each": {"1"}}, []string{"It may begin to set while you fill"}},
		{url.Values{"case": {"glaze"}, "on": {"cardamom-mousse"}, "film": {"2"}, "pour": {"32"}, "sets": {"25"}, "cold": {"-18"}, "room": {"20"}}, []string{"It stands still after", "where they meet"}},
		{url.Values{"case": {"heated"}, "medium": {"yolk"}, "record": {"0 min 55 °C, 4 min 58"}}, []string{"less than the 5", "log reduction", "the local code decides"}},
		{url.Values{"case": {"heated"}, "medium": {"yolk"}, "record": {"hot"}}, []string{"Reading 1 is"}},
		{url.Values{"case": {"bake"}, "wide": {"200"}, "deep": {"30"}, "time": {"30"}, "core": {"96"}, "other": {"200"}, "depth": {"30"}}, []string{"About 30 min", "100 %", "a clean tester decide"}},
		{url.Values{"case": {"bake"}, "wide": {"200"}, "deep": {"thick"}, "time": {"30"}, "core": {"96"}, "other": {"200"}, "depth": {"30"}}, []string{"does not start with a number"}},
	} {
		text := strings.ReplaceAll(s.get("/formulas/cardamom-mousse/heat?"+c.query.Encode()).text(), "\u00a0", " ")
		for _, w := range c.want {
			if !strings.Contains(text, w) {
				t.Errorf("%v: no %q", c.query, w)
			}
		}
	}
	if text := s.get("/formulas/cardamom-mousse/heat?" + still.Encode()).text(); strings.Contains(text, "It keeps the limits") {
		t.Error("4 kg at rest in a refrigerator are said to keep the limits")
	}
}

// A reading of the core narrows the time, and what it tells of the freezer is kept for the kitchen.
func TestProbeAndKeep(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := "/assemblies/pear-cardamom-ring/freezing"
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
	before := s.get(page).text()
	if r := s.post(page, url.Values{"place": {"freezer"}, "transfer": {"12.5"}, "version": {"99"}}, false); r.Code != http.StatusConflict {
		t.Errorf("a stale kitchen answers %d", r.Code)
	}
	if r := s.post(page, url.Values{"place": {"freezer"}, "transfer": {"12.5"}, "version": {"1"}}, false); r.Code != http.StatusSeeOther && r.Code != http.StatusOK {
		t.Errorf("keeping answers %d", r.Code)
	}
	if s.get(page).text() == before {
		t.Error("what was kept changes nothing")
	}
}
