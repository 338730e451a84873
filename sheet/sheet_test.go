package sheet_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"

	"chablon/drawing"
	"chablon/finding"
	"chablon/formula"
	"chablon/internal/demo"
	"chablon/plan"
	"chablon/sheet"
	"chablon/unit"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// bare removes all space, and what differs between the font and the HTML.
func bare(s string) string { return strings.Join(strings.Fields(sheet.InFont(s)), "") }

// pdfText returns the words of each page of a PDF, as another program reads them.
func pdfText(t *testing.T, s *sheet.Sheet) []string {
	t.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("CHABLON_BROWSER") == "required" {
			t.Fatal("pdftotext is missing: install poppler-utils")
		}
		t.Skip("pdftotext is missing: install poppler-utils")
	}
	var out bytes.Buffer
	if err := s.PDF(&out); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, "-raw", "-enc", "UTF-8", "-", "-")
	cmd.Stdin = &out
	text, err := cmd.Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	pages := strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
	for i := range pages {
		pages[i] = bare(pages[i])
	}
	return pages
}

// weight writes a mass as the demo kitchen's scales show it: to 0.1 g up to 500 g, to 1 g above
// (examples/saturday/kitchen.yaml).
func weight(m unit.Mass) string {
	if m.Grams() <= 500 {
		return fmt.Sprintf("%.1f g", max(0.1, m.Grams()))
	}
	return unit.Number(m.Grams(), 0) + " g"
}

func TestPDFHasEverything(t *testing.T) {
	day := demoDay(t)
	pages := pdfText(t, sheet.New(day, sheet.Options{}))
	all := strings.Join(pages, "")
	wants := func(what, s string) {
		t.Helper()
		if !strings.Contains(all, bare(s)) {
			t.Errorf("%s is missing: %q", what, s)
		}
	}
	for _, b := range day.Batches {
		wants("component", b.Formula.Name)
		for _, l := range b.Each.Lines {
			wants("line of "+b.Formula.ID, strings.TrimSuffix(weight(l.Mass), ".0 g")) // whole grams may do without
			wants("text of a line", l.Text)
		}
		for _, st := range b.Formula.Steps {
			wants("step "+st.ID, st.Text)
			wants("cue of "+st.ID, st.Cue)
			wants("why of "+st.ID, st.Why)
			wants("rescue of "+st.ID, st.Rescue)
		}
	}
	for _, p := range day.Pieces {
		wants("assembly", p.Section.Assembly.Name)
		for _, st := range p.Section.Assembly.Steps {
			wants("step "+st.ID, st.Text)
		}
		for _, l := range p.Section.Layers {
			for _, f := range l.Filled {
				if len(l.Filled) > 1 {
					wants("filling of "+l.ID, weight(f.Mass))
				}
			}
		}
	}
	for _, p := range day.Purchase {
		wants("purchase", p.Name)
	}
	for _, e := range day.Timeline {
		wants("start of "+e.Step.ID, e.Start.In(day.Job.Kitchen.Zone).Format("15:04"))
	}
	if len(pages) < 20 || len(pages) > 45 { // 14 components at one to two pages, three order lines, a timeline of 90 steps
		t.Errorf("%d pages", len(pages))
	}
	for i, p := range pages {
		for _, want := range []string{fmt.Sprintf("%d / %d", i+1, len(pages)), sheet.Footer, "Saturday tasting", "ready Sat 5 Dec 15:00", "Harbour bench"} {
			if !strings.Contains(p, bare(want)) {
				t.Errorf("page %d lacks %q", i+1, want)
			}
		}
	}
}

func TestWeights(t *testing.T) {
	// Cardamom on a scale of 0.1 g, milk on one of 1 g: as the demo's kitchen has them.
	text := sheet.New(demoDay(t), sheet.Options{}).Text()
	for _, want := range []string{"8.9 g cardamom, freshly ground 3 g cardamom, freshly ground", "1 038 g whole milk 350 g whole milk"} {
		if !strings.Contains(text, want) {
			t.Errorf("missing %q", want)
		}
	}
}

// TestCautionsStandAtTheirSteps goes from the hazards that the documents mark to the pages.
func TestCautionsStandAtTheirSteps(t *testing.T) {
	day := demoDay(t)
	s := sheet.New(day, sheet.Options{})
	pages := pdfText(t, s)
	wanted := map[string][]formula.Step{} // of the documents, by section
	for _, b := range day.Batches {
		wanted["component-"+b.Formula.ID] = slices.Clone(b.Formula.Steps)
	}
	for i, p := range day.Pieces {
		id := fmt.Sprintf("assembling-%d", i+1)
		wanted[id] = slices.Clone(p.Section.Assembly.Steps)
		for _, l := range p.Section.Layers {
			if l.Inside != nil {
				wanted[id] = append(wanted[id], l.Inside.Assembly.Steps...)
			}
		}
	}
	seen := map[string]bool{}
	found := 0
	for _, st := range s.Steps() {
		at := slices.IndexFunc(wanted[st.Section], func(d formula.Step) bool { return d.ID == st.ID && strings.Contains(st.Body, d.Text) })
		if at < 0 {
			t.Fatalf("%s has a step %s that no document has", st.Section, st.ID)
		}
		for _, h := range wanted[st.Section][at].Hazards {
			found++
			c := sheet.CautionFor(h)
			if c.Source == "" || c.Short == "" || c.Text == "" {
				t.Errorf("the caution of %s is not complete", h)
			}
			switch {
			case seen[st.Section+h]:
				if !strings.Contains(st.Signs, c.Short) {
					t.Errorf("%s, step %s: no word of %s", st.Section, st.ID, h)
				}
			case !strings.Contains(st.Box, c.Text) || !strings.Contains(st.Box, c.Source) || !strings.Contains(st.Box, sheet.Defer):
				t.Errorf("%s, step %s: no full caution of %s", st.Section, st.ID, h)
			}
			seen[st.Section+h] = true
		}
		// All of a step is on one page, its cautions with it.
		whole := strings.ReplaceAll(bare(st.Body+st.Signs+st.Box), "!", "") // a sign has one
		if !slices.ContainsFunc(pages, func(p string) bool { return strings.Contains(strings.ReplaceAll(p, "!", ""), whole) }) {
			t.Errorf("%s, step %s: not on one page", st.Section, st.ID)
		}
		wanted[st.Section] = slices.Delete(wanted[st.Section], at, at+1)
		if st.When == "" {
			t.Errorf("%s, step %s: no start", st.Section, st.ID)
		}
	}
	for id, left := range wanted {
		for _, d := range left {
			t.Errorf("%s: step %s is not printed", id, d.ID)
		}
	}
	if found < 60 { // the documents of the demo mark 74, and the ring is made in two sizes
		t.Errorf("only %d hazards were found", found)
	}
}

func TestLimitsInCautions(t *testing.T) {
	// bib:food-code-2022, 3-401.11(A)(1) and (2), 3-501.14(A).
	for hazard, limits := range map[string][]string{
		"raw-egg": {"63 °C for 15 s", "68 °C for 17 s", "3-302.13", "3-401.11", "3-801.11"},
		"cooling": {"57 °C to 21 °C within 2 h", "5 °C within 6 h", "3-501.14(A)"},
		"alcohol": {"1.2 %", "1169/2011"},
	} {
		c := sheet.CautionFor(hazard)
		for _, want := range limits {
			if !strings.Contains(c.Text+c.Source, want) {
				t.Errorf("%s: lacks %q", hazard, want)
			}
		}
	}
	if c := sheet.CautionFor("dry-ice"); c.Name != "Dry ice" {
		t.Errorf("unknown hazard: %+v", c)
	}
}

func TestEveryCharacterIsInTheFont(t *testing.T) {
	for i, p := range sheet.New(demoDay(t), sheet.Options{}).Marks() {
		for _, m := range p {
			for _, r := range m.Text {
				if !drawing.HasGlyph(r) {
					t.Errorf("page %d: %q has %q, which the font lacks", i+1, m.Text, r)
				}
			}
		}
	}
	for in, want := range map[string]string{"⅔ cup → 5 ≥ 4": "2/3 cup to 5 >= 4", "ｗ crème": "w crème", "груша": "?????", "a\nb\x00c": "a b c", " lead": " lead"} {
		if got := sheet.InFont(in); got != want {
			t.Errorf("inFont(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestHTMLSaysTheSame(t *testing.T) {
	s := sheet.New(demoDay(t), sheet.Options{})
	root, err := html.Parse(bytes.NewReader(s.HTML()))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	ids := map[string]bool{}
	steps, ticks, drawings := 0, 0, 0
	for n := range root.Descendants() {
		switch {
		case n.Type == html.TextNode && n.Parent.Data != "style":
			b.WriteString(n.Data + " ")
		case n.Type == html.ElementNode && n.Data == "script":
			t.Error("there is a script")
		}
		for _, a := range n.Attr {
			switch {
			case a.Key == "id" && ids[a.Val]:
				t.Errorf("id %q stands twice", a.Val)
			case a.Key == "id":
				ids[a.Val] = true
			case a.Key == "style":
				t.Errorf("<%s> has a style of its own", n.Data)
			case a.Key == "data-step":
				steps++
			case a.Key == "type" && a.Val == "checkbox":
				ticks++
			case a.Key == "data-mm-per-unit":
				drawings++
			}
		}
	}
	page := bare(b.String())
	for i, p := range s.Marks() {
		for _, m := range p {
			if !m.Frame && m.Text != ", continued" && !strings.HasPrefix(m.Text, "scale ") && !strings.HasSuffix(m.Text, "…") && !strings.Contains(page, bare(m.Text)) {
				t.Errorf("page %d has %q, the HTML has not", i+1, m.Text)
			}
		}
	}
	if want := len(s.Steps()); steps != want || want == 0 {
		t.Errorf("%d steps, want %d", steps, want)
	}
	if drawings != 3 || ticks < steps {
		t.Errorf("%d drawings and %d boxes to tick", drawings, ticks)
	}
	linked := string(sheet.New(demoDay(t), sheet.Options{StylesheetHref: "/sheet.css"}).HTML())
	if strings.Contains(linked, "<style") || !strings.Contains(linked, `<link rel="stylesheet" href="/sheet.css">`) {
		t.Error("the style sheet is not linked alone")
	}
	if !strings.Contains(string(s.HTML()), string(sheet.Stylesheet())) {
		t.Error("the style is not embedded")
	}
}

func TestGolden(t *testing.T) {
	const file = "testdata/saturday.golden.txt"
	got := sheet.New(demoDay(t), sheet.Options{}).Text()
	if again := sheet.New(demoDay(t), sheet.Options{}).Text(); again != got {
		t.Error("a second run says something else")
	}
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("differs from %s; look at it and run with -update (-want +got):\n%s", file, diff)
	}
}

func TestHTMLIsDeterministic(t *testing.T) {
	a, b := sheet.New(demoDay(t), sheet.Options{}).HTML(), sheet.New(demoDay(t), sheet.Options{}).HTML()
	if !bytes.Equal(a, b) {
		t.Error("two runs differ")
	}
}

func TestWithoutTimeline(t *testing.T) {
	day := *demoDay(t)
	day.Status, day.Timeline = plan.Impossible, nil
	day.Conflict = []string{"The rings would have to be in the freezer since Monday."}
	day.Findings = finding.List{
		{Code: "layer-over-capacity", Level: finding.Fault, Where: "assembly ring", Reason: "holds 1 L, but 2 L are filled in", Remedy: "Take a higher ring.", Source: "geometry"},
		{Code: "soft", Level: finding.Caution, Where: "formula jelly", Reason: "sets softly", Source: finding.CommonPractice},
		{Code: "note", Level: finding.Note, Where: "formula jelly", Reason: "is only worth knowing"},
	}
	day.StandIns = []plan.Component{{ID: "yuzu-curd", Name: "Yuzu curd", Needed: 250 * unit.Gram}}
	s := sheet.New(&day, sheet.Options{})
	first, _, _ := strings.Cut(s.Text(), "=== page 2")
	for _, want := range []string{
		"No timeline: it cannot be done in time", day.Conflict[0], "1 fault before you start", "holds 1 L, but 2 L are filled in", "Take a higher ring.",
		"Cannot be weighed out yet", "Yuzu curd: 250 g needed",
	} {
		if !strings.Contains(first, want) {
			t.Errorf("page 1 lacks %q", want)
		}
	}
	all := s.Text()
	if !strings.Contains(all, "sets softly") || strings.Contains(all, "only worth knowing") || strings.Contains(all, "Timeline, ") {
		t.Error("the checks are not the faults and cautions alone, or there is a timeline")
	}
	if !strings.Contains(all, "8.9 g cardamom") {
		t.Error("the amounts are gone")
	}
	for _, st := range s.Steps() {
		if st.When != "" {
			t.Errorf("step %s starts at %s without a timeline", st.ID, st.When)
		}
	}
	if err := s.PDF(&bytes.Buffer{}); err != nil {
		t.Error(err)
	}
}

func TestOneOrder(t *testing.T) {
	book := demo.Book(t)
	first := book.Orders[0]
	ring, dome := first, first
	ring.ID, ring.Name, ring.Lines = "rings", "Rings alone", first.Lines[:2]
	dome.ID, dome.Name, dome.Lines = "domes", "Domes alone", first.Lines[2:]
	day := plan.Make(t.Context(), book.JobFor(ring, dome))
	text := sheet.New(day, sheet.Options{Order: "domes"}).Text()
	for _, want := range []string{"Domes alone", "Blackberry jelly", "Gelatin mass", "One of the 2 orders of the day"} {
		if !strings.Contains(text, want) {
			t.Errorf("missing %q", want)
		}
	}
	for _, not := range []string{"Rings alone", "Cardamom custard", "Pear heart"} {
		if strings.Contains(text, not) {
			t.Errorf("the domes' sheet has %q", not)
		}
	}
	if both := sheet.New(day, sheet.Options{}).Text(); !strings.Contains(both, "Rings alone, Domes alone") {
		t.Error("the sheet of both orders does not name them")
	}
	if none := sheet.New(day, sheet.Options{Order: "nobody"}).Text(); !strings.Contains(none, "the day has none with the id nobody") {
		t.Error("an unknown order is not said to be unknown")
	}
}

func TestSeveralBatches(t *testing.T) {
	f := &formula.Formula{ID: "cream", Name: "Cream", Lines: []formula.Line{{Text: "1 kg cream", Name: "cream", Mass: 1}}, Steps: []formula.Step{{ID: "whip", Verb: "whip"}}}
	each := f.Run(2)
	day := &plan.Day{Batches: []plan.Batch{{Formula: f, Count: 3, Each: each, Needed: 6, ToMake: 6, Vessel: "3 bowls of 5.0 L"}}}
	text := sheet.New(day, sheet.Options{}).Text()
	for _, want := range []string{"3 batches, each of 2 000 g · 3 bowls of 5.0 L", "each batch", "All 3 batches: 6 000 g goes in", "(assumed)"} {
		if !strings.Contains(text, want) {
			t.Errorf("missing %q in\n%s", want, text)
		}
	}
}

func BenchmarkPDF(b *testing.B) {
	day := demoDay(b)
	for b.Loop() {
		if err := sheet.New(day, sheet.Options{}).PDF(&bytes.Buffer{}); err != nil {
			b.Fatal(err)
		}
	}
}
