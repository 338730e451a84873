package web_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"chablon/document"
)

// TestEdges holds where edges lie, in millimetres over the bottom as served or from the axis, and
// which figure they edit, against the rules of the example's documents.
func TestEdges(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, c := range []struct{ page, field, label, at, value, per, low, top string }{
		// upright: base 0-8, mousse to 22, heart 22-38 with the crunch to 26, mousse to 57, glaze to 60
		{ring, "layer_base_thickness", "upper edge of Hazelnut sponge base", "8", "8", "1", "0.5", "60"},
		{ring, "layer_mousse_below", "upper edge of Cardamom bavarois", "57", "3", "-1", "0.5", "60"},
		{ring, "layer_mousse_stage1", "edge of stage 1 of Cardamom bavarois", "22", "22", "1", "0", "57"},
		{ring, "layer_glaze_below", "upper edge of Pear glaze", "60", "0", "-1", "57.5", "60"},
		{ring, "layer_band_height", "upper edge of Hazelnut sponge band", "48", "48", "1", "0.5", "60"},
		{ring, "layer_band_thickness", "inner edge of Hazelnut sponge band", "95", "5", "-1", "1", "99.5"}, // of a wall at 100
		{ring, "layer_heart_crunch_thickness", "upper edge of Praline crunch", "26", "4", "1", "22.5", "42"},
		{ring, "layer_heart_jelly_level", "upper edge of Pear jelly", "38", "16", "1", "22.5", "42"}, // in a ring 20 mm high
		// upside down in a half sphere of 70 mm: the base's upper face as laid, at the rim, is the foot
		{"/assemblies/blackberry-chocolate-dome", "layer_base_below", "lower edge of Sesame sponge", "0", "0", "1", "0", "29"},
		{"/assemblies/blackberry-chocolate-dome", "layer_base_thickness", "upper edge of Sesame sponge", "6", "6", "1", "0.5", "35"},
		{"/assemblies/blackberry-chocolate-dome", "layer_base_diameter", "side edge of Sesame sponge", "29", "58", "2", "1", "35"},
		{"/assemblies/blackberry-chocolate-dome", "layer_heart_offset", "upper edge of Blackberry heart", "25", "10", "-1", "17", "35"},
		{"/assemblies/blackberry-chocolate-dome", "layer_heart_thickness", "lower edge of Blackberry heart", "8", "17", "-1", "0", "24.5"},
		{"/assemblies/blackberry-chocolate-dome", "layer_coat_film", "upper edge of Cocoa glaze", "37", "2", "1", "35.1", "45"},
	} {
		t.Run(c.field+" "+c.at, func(t *testing.T) {
			page := s.get(c.page)
			for _, prefix := range []string{"w_", "n_"} {
				e := page.one("id", prefix+"edge_"+c.field)
				for name, want := range map[string]string{
					"aria-label": c.label, "aria-valuenow": c.at, "data-at": c.at, "data-value": c.value, "data-per": c.per,
					"aria-valuemin": c.low, "aria-valuemax": c.top, "data-field": c.field, "role": "slider", "tabindex": "0",
				} {
					if got := e.attr(name); got != want {
						t.Errorf("%s%s: got %q, want %q", prefix, name, got, want)
					}
				}
			}
			page.one("id", c.field)
		})
	}
}

// TestEdgeOfOverride: where the layer has a figure for this mould, that is the one that an edge
// edits.
func TestEdgeOfOverride(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a := s.assembly("pear-cardamom-ring")
	a.Layers[1].Overrides = []document.Override{{Mould: "ring-160x60", Thickness: a.Layers[3].BelowRim}} // 3 mm
	if _, err := s.store.Put(context.Background(), a, a.Version); err != nil {
		t.Fatal(err)
	}
	page := s.get(ring + "?line=saturday-tasting.1")
	if got := page.one("id", "w_edge_layer_base_thickness").attr("aria-valuenow"); got != "3" {
		t.Errorf("edge of the small ring: got %q, want 3", got)
	}
	if _, _, answer := s.edit(page, "layer_base_thickness", "4 mm", true); answer.one("id", "w_edge_layer_base_thickness").attr("data-value") != "4" {
		t.Error("the edge has not followed")
	}
	if a := s.assembly("pear-cardamom-ring"); a.Layers[1].Overrides[0].Thickness.Text != "4 mm" || a.Layers[1].Thickness.Value.Text != "8 mm" {
		t.Errorf("stored: %+v and %q", a.Layers[1].Overrides, a.Layers[1].Thickness.Value.Text)
	}
}

func TestTrialStoresNothing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	before := s.revision()
	action, values := page.form("layer_base_thickness")
	values.Set("thickness", "12 mm")
	values.Set("try", "wide")
	w := s.post(action, values, true)
	answer := parse(t, w.Body.String())
	if got := answer.one("id", "layer_base_thickness").attr("value"); w.Code != http.StatusOK || got != "12 mm" {
		t.Errorf("trial: got %d and %q", w.Code, got)
	}
	sponge, _, _ := ringVolumes(200, 12)
	near(t, "sponge each", answer.amount("hazelnut-sponge", "each"), sponge*spongeDensity)
	if answer.one("id", "section-wide").text() == "" || answer.one("id", "section-narrow").text() != "" || answer.one("id", "times").text() != "" {
		t.Error("the answer is not of the drawing that is looked at alone")
	}
	if s.revision() != before || len(answer.all("id", "undo")) != 0 {
		t.Error("a trial was stored")
	}
	if got := s.get(ring).one("id", "layer_base_thickness").attr("value"); got != "8 mm" {
		t.Errorf("the page after a trial: got %q, want 8 mm", got)
	}
	values.Set("thickness", "-1 mm")
	if w := s.post(action, values, true); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a trial of nonsense: got %d, want 422", w.Code)
	}
}

// TestMoreFields edits what stands under More, each as the document then has it.
func TestMoreFields(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	layer := func(i int) document.Layer { return s.assembly("pear-cardamom-ring").Layers[i] }
	for _, c := range []struct {
		field, typed string
		got          func() string
		want         string
	}{
		{"layer_band_joint", "butt", func() string { return layer(0).Band.Joint }, "butt"},
		{"layer_band_joined", "yes", func() string { return map[bool]string{true: "yes"}[layer(0).Joined] }, "yes"},
		{"layer_base_inset", "4", func() string { return layer(1).Outline.Inset.Text }, "4 mm"},
		{"layer_base_offset", "2 mm", func() string { return layer(1).Offset.Text }, "2 mm"},
		{"layer_base_madein", "", func() string { return string(layer(1).MadeIn) }, ""},
		{"layer_base_name", "Foot", func() string { return layer(1).Name }, "Foot"},
		{"layer_soak_on", "", func() string { return layer(2).On }, ""},
		{"layer_soak_load", "300", func() string { return layer(2).Soak.PerArea.Value.Text }, "300 g/m²"},
		{"layer_mousse_stage2after", "", func() string { return layer(3).Stages[1].After }, ""},
		{"layer_mousse_stage1share", "40", func() string { return layer(3).Stages[0].Share.Text }, "40 %"},
		{"layer_heart_turned", "yes", func() string { return map[bool]string{true: "yes"}[layer(4).TurnedOver] }, "yes"},
		{"layer_glaze_when", "unmoulded", func() string { return layer(5).Coat.When }, "unmoulded"},
		{"layer_glaze_least", "120", func() string { return layer(5).Coat.Least.Text }, "120 g"},
		{"layer_glaze_stays", "70", func() string { return layer(5).Coat.Stays.Text }, "70 %"},
		{"layer_glaze_reused", "yes", func() string { return map[bool]string{true: "yes"}[layer(5).Coat.Reused] }, "yes"},
		{"layer_nuts_what", "Gold leaf", func() string { return layer(6).Of.StandIn }, "Gold leaf"},
		{"layer_nuts_on", "glaze", func() string { return layer(6).On }, "glaze"},
	} {
		status, _, answer := s.edit(page, c.field, c.typed, true)
		if status != http.StatusOK {
			t.Errorf("%s: got %d: %s", c.field, status, answer.one("role", "alert").text())
			continue
		}
		if got := c.got(); got != c.want {
			t.Errorf("%s: got %q, want %q", c.field, got, c.want)
		}
		page = answer
	}
	// refused in place, opened so that it is seen
	status, _, answer := s.edit(page, "layer_glaze_level", "lots", true)
	if status != http.StatusUnprocessableEntity || answer.one("id", "layer_glaze_level").attr("value") != "lots" || len(answer.one("id", "layer_glaze_more").all("id", "layer_glaze_level_wrong")) != 1 {
		t.Errorf("refused: got %d", status)
	}
	if _, open := attribute(answer.one("id", "layer_glaze_more").Node, "open"); !open {
		t.Error("the refused field is not seen")
	}
}

// TestStagesOfAFill gives a fill that goes in at once a second stage, and takes it back.
func TestStagesOfAFill(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.lay([2]string{"base", "Sponge"}, [2]string{"fill", "Mousse"}, [2]string{"disc", "Crisp"})
	if got := len(s.assembly("quince-ring").Layers[1].Stages); got != 2 {
		t.Fatalf("a disc in the fill: got %d stages, want 2", got)
	}
	action, values := page.form("layer_mousse_stage1")
	values.Set("stage1", "")
	values.Set("stage2after", "")
	page = parse(t, s.post(action, values, true).Body.String())
	if got := s.assembly("quince-ring").Layers[1].Stages; len(got) != 0 {
		t.Fatalf("stages: got %+v, want none", got)
	}
	action, values = page.form("layer_mousse_stage1")
	values.Set("stage1", "20")
	values.Set("stage2after", "crisp")
	s.post(action, values, true)
	if got := s.assembly("quince-ring").Layers[1].Stages; len(got) != 2 || got[0].Level.Text != "20 mm" || got[1].After != "crisp" {
		t.Errorf("stages: got %+v", got)
	}
}

// TestOtherKind makes another kind of every layer: what it then lacks is a check.
func TestOtherKind(t *testing.T) {
	t.Parallel()
	for _, kind := range []string{"base", "disc", "insert", "fill", "band", "spread", "soak", "coat", "decor"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			s := newSite(t)
			page := s.lay([2]string{"base", "Sponge"}, [2]string{"fill", "Mousse"})
			status, _, answer := s.edit(page, "layer_mousse_kind", kind, true)
			if status != http.StatusOK || s.assembly("quince-ring").Layers[1].Kind != kind {
				t.Fatalf("got %d, kind %q", status, s.assembly("quince-ring").Layers[1].Kind)
			}
			if kind == "band" && !strings.Contains(answer.one("data-rule", "band-without-size").text(), "no height or no thickness") {
				t.Error("no check says what the band lacks")
			}
			if kind == "disc" && !strings.Contains(answer.one("data-rule", "layer-without-thickness").text(), "no thickness") {
				t.Error("no check says what the disc lacks")
			}
		})
	}
}

// TestUnlaid shows an assembly that came in without what it cannot be laid without: what is missing
// stands at its field, and once it is given the section is there.
func TestUnlaid(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	a := s.assembly("pear-cardamom-ring")
	a.Layers[5].Coat.Way, a.Layers[6].Pieces, a.Layers[6].Overrides = "", 0, nil
	if _, err := s.store.Put(context.Background(), a, a.Version); err != nil {
		t.Fatal(err)
	}
	page := s.get("/assemblies/pear-cardamom-ring")
	page.one("href", "#layer_glaze_way")
	page.one("href", "#layer_nuts_pieces")
	if got := page.all("class", "check fault"); len(got) != 2 || !strings.Contains(got[0].text(), "Write flood, pour, dip, spray or brush") {
		t.Errorf("checks: got %d, want 2 with what to write", len(got))
	}
	action, values := page.form("layer_glaze_way")
	values = url.Values{"page": values["page"], "version": values["version"], "mould": values["mould"], "way": {"flood"}}
	w := s.post(action, values, true)
	page = parse(t, w.Body.String())
	if w.Code != http.StatusOK || len(page.all("class", "check fault")) != 1 {
		t.Fatalf("the way given: got %d", w.Code)
	}
	_, _, page = s.edit(page, "layer_nuts_pieces", "9", true)
	page.one("id", "w_edge_layer_base_thickness")
}
