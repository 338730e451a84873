package web_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"chablon/document"
)

// assembly returns a stored assembly as it stands now.
func (s site) assembly(id string) *document.Assembly {
	s.Helper()
	set, _, err := s.store.Latest(context.Background())
	if err != nil {
		s.Fatal(err)
	}
	a, ok := document.Find[*document.Assembly](set, id)
	if !ok {
		s.Fatalf("there is no assembly %s", id)
	}
	return a
}

// order lists the layers of an assembly in the order of laying.
func (s site) order(id string) string {
	s.Helper()
	var ids []string
	for _, l := range s.assembly(id).Layers {
		ids = append(ids, l.ID)
	}
	return strings.Join(ids, " ")
}

// add sends the form of a new layer.
func (s site) add(page element, kind, what, place string) (status int, answer element) {
	s.Helper()
	action, values := page.form("add_what")
	values.Set("kind", kind)
	values.Set("what", what)
	values.Set("place", place)
	w := s.post(action, values, true)
	return w.Code, parse(s, w.Body.String())
}

// lay begins an assembly in a ring of 200 × 60 mm and adds layers where they usually go.
func (s site) lay(first [2]string, more ...[2]string) element {
	s.Helper()
	action, values := s.get("/assemblies/new?name=Quince+ring&mould=ring-200x60").form("new_name")
	values.Set("kind", first[0])
	values.Set("what", first[1])
	w := s.post(action, values, false)
	if w.Code != http.StatusSeeOther || !strings.HasPrefix(w.Header().Get("Location"), "/assemblies/quince-ring#layer_") {
		s.Fatalf("new assembly: got %d to %q", w.Code, w.Header().Get("Location"))
	}
	page := s.get("/assemblies/quince-ring")
	for _, l := range more {
		status, answer := s.add(page, l[0], l[1], "")
		if status != http.StatusOK {
			s.Fatalf("add %v: got %d: %s", l, status, answer.text())
		}
		page = answer
	}
	return page
}

// TestAssemblyFromNothing lays an idea in a new assembly: stand-ins alone, where each usually goes,
// with figures that are right for the eye of whoever knows the trade.
func TestAssemblyFromNothing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.lay([2]string{"fill", "Quince mousse"}, [2]string{"base", "Almond sponge"}, [2]string{"decor", "Gold leaf"},
		[2]string{"coat", "Quince glaze"}, [2]string{"band", "Almond sponge strip"}, [2]string{"soak", "Vanilla syrup"}, [2]string{"insert", "Quince jelly"})
	want := "almond-sponge-strip almond-sponge vanilla-syrup quince-mousse quince-jelly quince-glaze gold-leaf"
	if got := s.order("quince-ring"); got != want {
		t.Errorf("order of laying: got %q, want %q", got, want)
	}
	a := s.assembly("quince-ring")
	for i, got := range []string{
		a.Layers[0].Thickness.Value.Text, a.Layers[0].Band.Height.Text, a.Layers[0].Band.Overlap.Text, // 5 mm below the rim of 60
		a.Layers[1].Thickness.Value.Text, a.Layers[1].Outline.Inset.Text, a.Layers[2].On, a.Layers[3].Of.Density.Value.Text,
		a.Layers[3].BelowRim.Text, a.Layers[4].Thickness.Value.Text, string(a.Layers[5].Coat.Way), a.Layers[5].BelowRim.Text, a.Layers[6].Each.Value.Text,
	} {
		want := []string{"4 mm", "55 mm", "8 mm", "8 mm", "10 mm", "almond-sponge", "0.6 g/ml", "3 mm", "15 mm", "flood", "0 mm", "2 g"}[i]
		if got != want {
			t.Errorf("figure %d: got %q, want %q", i, got, want)
		}
	}
	// the mousse of 8 to 57 mm takes the jelly of 15 mm in its middle: it goes in up to 25 mm first
	stages := a.Layers[3].Stages
	if len(stages) != 2 || stages[0].Level.Text != "25 mm" || stages[1].After != "quince-jelly" {
		t.Errorf("stages of the mousse: got %+v", stages)
	}
	// the kitchen owns a ring of 140 mm, 60 mm smaller, and one of 160 mm, which is as high as the mould
	if got := string(a.Layers[4].MadeIn); got != "ring-140x20" {
		t.Errorf("mould of the insert: got %q, want ring-140x20", got)
	}
	for _, f := range page.all("class", "check fault") {
		t.Errorf("a check finds a fault: %s", f.text())
	}
	if got := page.one("data-fields", "quince-jelly").text(); !strings.Contains(got, "density of 1.05 g/ml assumed") {
		t.Errorf("the jelly does not say that its density is assumed: %s", got)
	}
	if page.one("data-added", "*").attr("id") != "layer_quince-jelly" {
		t.Error("the layer that was added is not marked, for its first figure to be focused")
	}
}

func TestAddWhatIsOnRecord(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	for _, c := range []struct {
		kind, what, place string
		want              document.Of
	}{
		{"disc", "hazelnut JOCONDE", "", document.Of{Formula: "hazelnut-sponge"}},
		{"insert", "Pear heart", "mousse", document.Of{Assembly: "pear-heart"}},
		{"decor", "pistachios", "", document.Of{Ingredient: "pistachios-raw"}},
	} {
		status, answer := s.add(page, c.kind, c.what, c.place)
		if status != http.StatusOK {
			t.Fatalf("%s: got %d: %s", c.what, status, answer.text())
		}
		id := strings.TrimPrefix(answer.one("data-added", "*").attr("id"), "layer_")
		for _, l := range s.assembly("pear-cardamom-ring").Layers {
			if l.ID == id && (l.Of.Formula != c.want.Formula || l.Of.Assembly != c.want.Assembly || l.Of.Ingredient != c.want.Ingredient) {
				t.Errorf("%s: made of %+v, want %+v", c.what, l.Of, c.want)
			}
		}
		page = answer
	}
	// what has no mass of a piece on record begins with one, where it is seen
	if _, under := attribute(page.one("id", "layer_pistachios_each").Parent.Parent, "method"); !under {
		t.Error("the mass of one is not among the usual figures")
	}
	// a disc goes under what the mousse waits for; the IDs of layers stay apart
	if got, want := s.order("pear-cardamom-ring"), "band base soak mousse pear-heart hazelnut-joconde heart glaze nuts"; !strings.HasPrefix(got, want) {
		t.Errorf("order: got %q, want %q", got, want)
	}
}

func TestRefusedLayers(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	before := s.revision()
	for _, c := range []struct{ field, typed, says string }{
		{"what", "  ", "what it is made of"},
		{"density", "heavy", "number"},
		{"density", "3 mm", "length"},
		{"kind", "cellar", "no kind"},
		{"place", "cellar", "not there any more"},
	} {
		t.Run(c.field+" "+c.typed, func(t *testing.T) {
			action, values := page.form("add_what")
			values.Set("what", "Plum jam")
			values.Set("kind", "spread")
			values.Set(c.field, c.typed)
			w := s.post(action, values, true)
			answer := parse(t, w.Body.String())
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("got %d, want 422", w.Code)
			}
			if got := answer.one("id", "add_"+c.field+"_wrong").text(); !strings.Contains(got, c.says) {
				t.Errorf("message: got %q, want one with %q", got, c.says)
			}
			if c.field != "what" && answer.one("id", "add_what").attr("value") != "Plum jam" {
				t.Error("what was typed is lost")
			}
			if s.revision() != before {
				t.Error("a refused layer was stored")
			}
		})
	}
}

func TestRefusedAssembly(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	before := s.revision()
	action, values := s.get("/assemblies/new?mould=dome-70").form("new_name")
	for _, c := range []struct {
		name  string
		form  url.Values
		field string
	}{
		{"no name", url.Values{"kind": {"fill"}, "what": {"Mousse"}}, "new_name"},
		{"nothing to lay", url.Values{"name": {"Plum dome"}, "kind": {"fill"}}, "add_what"},
		{"no such mould", url.Values{"name": {"Plum dome"}, "kind": {"fill"}, "what": {"Mousse"}, "mould": {"bucket"}}, "new_mould"},
		{"no density", url.Values{"name": {"Plum dome"}, "kind": {"fill"}, "what": {"Mousse"}, "density": {"2 g"}}, "add_density"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for k, v := range values {
				if !c.form.Has(k) {
					c.form[k] = v
				}
			}
			w := s.post(action, c.form, false)
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("got %d, want 422", w.Code)
			}
			page := parse(t, w.Body.String())
			page.one("id", c.field+"_wrong")
			if got := page.one("id", "new_name").attr("value"); got != c.form.Get("name") {
				t.Errorf("name: got %q, want what was typed, %q", got, c.form.Get("name"))
			}
			if s.revision() != before {
				t.Error("a refused assembly was stored")
			}
		})
	}
}

func TestMoveLayers(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	do := func(page element, layer string, form url.Values, want string) element {
		t.Helper()
		action, values := page.form("layer_" + layer + "_earlier")
		for k, v := range form {
			values[k] = v
		}
		w := s.post(action, values, true)
		if got := s.order("pear-cardamom-ring"); w.Code != http.StatusOK || got != want {
			t.Errorf("got %d and %q, want %q", w.Code, got, want)
		}
		return parse(t, w.Body.String())
	}
	page = do(page, "base", url.Values{"do": {"earlier"}}, "base band soak mousse heart glaze nuts")
	page = do(page, "base", url.Values{"do": {"earlier"}}, "base band soak mousse heart glaze nuts")
	page = do(page, "glaze", url.Values{"do": {"later"}}, "base band soak mousse heart nuts glaze")
	page = do(page, "band", url.Values{"do": {"to"}, "at": {"0"}}, "band base soak mousse heart nuts glaze")
	if got := page.one("id", "undo").text(); !strings.Contains(got, "another order of layers") {
		t.Errorf("undo: got %q", got)
	}
	action, values := page.form("undo-button")
	if w := s.post(action, values, true); w.Code != http.StatusOK || s.order("pear-cardamom-ring") != "base band soak mousse heart nuts glaze" {
		t.Errorf("after undo: got %d and %q", w.Code, s.order("pear-cardamom-ring"))
	}
	for _, form := range []url.Values{{"do": {"to"}, "at": {"x"}}, {"do": {"sideways"}}, {}} {
		action, values := s.get(ring).form("layer_base_earlier")
		for k, v := range form {
			values[k] = v
		}
		if w := s.post(action, values, true); w.Code != http.StatusBadRequest {
			t.Errorf("%v: got %d, want 400", form, w.Code)
		}
	}
}

// TestGlazeFirst lays the glaze before all else: nothing can be planned then, and the page says why.
func TestGlazeFirst(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	action, values := s.get(ring).form("layer_glaze_earlier")
	values.Set("do", "to")
	values.Set("at", "0")
	w := s.post(action, values, true)
	text := s.get(ring).text()
	if w.Code != http.StatusOK || !strings.Contains(text, "no plan can keep every wait") || !strings.Contains(text, "follows freeze") || strings.Contains(text, "follows at once") {
		t.Errorf("got %d and %q", w.Code, text)
	}
}

// TestTakeOutLayer takes out the heart, for which the mousse waits and which a step takes; then
// the base, on which the soak lies.
func TestTakeOutLayer(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	if got := page.one("id", "layer_heart_leaves").text(); got != "Cardamom bavarois no longer waits for it. No longer taken by: press heart." {
		t.Errorf("what else changes: got %q", got)
	}
	action, values := page.form("layer_heart_remove")
	w := s.post(action, values, true)
	page = parse(t, w.Body.String())
	a := s.assembly("pear-cardamom-ring")
	if w.Code != http.StatusOK || s.order(a.ID) != "band base soak mousse glaze nuts" || len(a.Layers[3].Stages) != 0 {
		t.Fatalf("got %d, %q, stages %+v", w.Code, s.order(a.ID), a.Layers[3].Stages)
	}
	for _, st := range a.Steps {
		if st.ID == "press-heart" && strings.Join(st.Takes, " ") != "fill-first" {
			t.Errorf("the step takes %v, want fill-first alone", st.Takes)
		}
	}
	if got := page.one("class", "said").text(); !strings.Contains(got, "no longer waits") {
		t.Errorf("said: got %q", got)
	}
	if got := page.one("id", "undo").text(); !strings.Contains(got, "without Pear heart") {
		t.Errorf("undo: got %q", got)
	}
	action, values = page.form("layer_base_remove")
	page = parse(t, s.post(action, values, true).Body.String())
	if a := s.assembly("pear-cardamom-ring"); a.Layers[1].ID != "soak" || a.Layers[1].On != "" {
		t.Errorf("the soak lies on %q, want what lies below it", a.Layers[1].On)
	}
	// and back, in two steps
	for range 2 {
		action, values = page.form("undo-button")
		page = parse(t, s.post(action, values, true).Body.String())
	}
	if got := s.order("pear-cardamom-ring"); got != "band base soak mousse heart glaze nuts" {
		t.Errorf("after undo: got %q", got)
	}
}

func TestLastLayerStays(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.lay([2]string{"fill", "Quince mousse"})
	action, values := page.form("layer_quince-mousse_remove")
	w := s.post(action, values, true)
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "at least one") {
		t.Errorf("got %d, want 422 and why", w.Code)
	}
}

// TestUsualFiguresFit lays the usual layers in moulds of every shape, the order in which the cook
// thinks of them mixed up: no check finds a fault.
func TestUsualFiguresFit(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		mould, laid, want string
		layers            [][2]string
	}{
		{"ring-160x60", "", "strip sponge syrup mousse jelly glaze", [][2]string{{"fill", "Mousse"}, {"insert", "Jelly"}, {"coat", "Glaze"}, {"soak", "Syrup"}, {"band", "Strip"}}},
		{"ring-200x45", "upright", "sponge jam mousse crisp jelly nuts", [][2]string{{"spread", "Jam"}, {"fill", "Mousse"}, {"decor", "Nuts"}, {"insert", "Jelly"}, {"disc", "Crisp"}}},
		{"frame-560x360x45", "", "sponge syrup cream mousse glaze", [][2]string{{"fill", "Mousse"}, {"coat", "Glaze"}, {"fill", "Cream"}, {"soak", "Syrup"}}},
		{"dome-70", "", "mousse jelly sponge glaze nuts", [][2]string{{"coat", "Glaze"}, {"fill", "Mousse"}, {"decor", "Nuts"}, {"insert", "Jelly"}}},
		{"half-spheres-30", "", "mousse sponge glaze", [][2]string{{"fill", "Mousse"}, {"coat", "Glaze"}}},
		{"ring-200x60", "inverted", "mousse jelly jam sponge glaze", [][2]string{{"spread", "Jam"}, {"fill", "Mousse"}, {"insert", "Jelly"}, {"coat", "Glaze"}}},
	} {
		t.Run(c.mould+" "+c.laid, func(t *testing.T) {
			t.Parallel()
			s := newSite(t)
			form := url.Values{"name": {"Idea"}, "mould": {c.mould}, "laid": {c.laid}, "kind": {"base"}, "what": {"Sponge"}}
			if w := s.post("/assemblies/new", form, false); w.Code != http.StatusSeeOther {
				t.Fatalf("new: got %d", w.Code)
			}
			page := s.get("/assemblies/idea")
			for _, l := range c.layers {
				status, answer := s.add(page, l[0], l[1], "")
				if status != http.StatusOK {
					t.Fatalf("%v: got %d", l, status)
				}
				page = answer
			}
			if got := s.order("idea"); got != c.want {
				t.Errorf("order: got %q, want %q", got, c.want)
			}
			for _, f := range page.all("class", "check fault") {
				t.Error(f.text())
			}
		})
	}
}
