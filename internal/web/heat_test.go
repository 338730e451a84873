package web_test

import (
	"net/url"
	"strconv"
	"strings"
	"testing"
)

// More carries over into a room than into iced water: the page hands the place on to the engine.
func TestHeatPageCarriesOver(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	rise := func(then string) float64 {
		q := url.Values{"case": {"carry"}, "wide": {"80"}, "deep": {"40"}, "from": {"20"}, "bath": {"90"}, "core": {"70"}, "then": {then}}
		text := s.get("/formulas/cardamom-mousse/heat?" + q.Encode()).text()
		_, rest, ok := strings.Cut(text, "it rises by")
		if !ok {
			return 0
		}
		k, err := strconv.ParseFloat(figure.FindString(rest), 64)
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	if room, iced := rise("room"), rise("stirred-ice-bath"); room < 1 || iced >= room {
		t.Errorf("in the room it rises by %v K, in iced water by %v", room, iced)
	}
}

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
		{url.Values{"case": {"carry"}, "wide": {"80"}, "deep": {"40"}, "from": {"20"}, "bath": {"90"}, "core": {"70"}, "then": {"room"}}, []string{"Its core is at 70 °C after", "and still rises to", "it rises by", "A probe decides", "3-401.11", "the local code decides"}},
		{url.Values{"case": {"carry"}, "wide": {"80"}, "deep": {"40"}, "from": {"20"}, "bath": {"65"}, "core": {"70"}, "then": {"room"}}, []string{"Its core never gets there"}},
		{url.Values{"case": {"carry"}, "wide": {"80"}, "deep": {"40"}, "from": {"20"}, "bath": {"90"}, "core": {"10"}, "then": {"room"}}, []string{"it is as warm from the start"}},
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

// Every page that shows a predicted time says that a probe decides, and leaves limits to the local code.
func TestPredictionsDefer(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, page := range []string{ring, "/orders/saturday-tasting", ring + "/freezing", "/formulas/cardamom-mousse/heat"} {
		text := strings.ToLower(s.get(page).text())
		for _, w := range []string{"predict", "probe thermometer", "local"} {
			if !strings.Contains(text, w) {
				t.Errorf("%s: no %q", page, w)
			}
		}
	}
}
