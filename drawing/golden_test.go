package drawing

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"chablon/assembly"
	"chablon/cutting"
	"chablon/formula"
	"chablon/mould"
	"chablon/plan"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// golden compares a drawing with the picture that was looked at last.
func golden(t *testing.T, name string, d *Drawing) {
	t.Helper()
	got := d.SVG()
	file := filepath.Join("testdata", name+".golden.svg")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v: write it with go test -update and look at it", err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from the drawing made now: look at both, then go test -update", file)
	}
}

func TestSectionGolden(t *testing.T) {
	for name, s := range sections(t) {
		golden(t, name, Section(s, Options{IDPrefix: name + "-", Href: func(id string) string { return "#layer-" + id }}))
		golden(t, name+"-narrow", Section(s, Options{Narrow: true, IDPrefix: name + "-narrow-"}))
	}
}

func TestExplodedGolden(t *testing.T) {
	for name, s := range map[string]*assembly.Section{"ring": ring(t), "dome": dome(t)} {
		golden(t, name+"-exploded", Exploded(s, Options{IDPrefix: name + "-exploded-"}))
	}
	golden(t, "ring-exploded-narrow", Exploded(ring(t), Options{Narrow: true, IDPrefix: "ring-exploded-narrow-"}))
}

// leaning is a pan whose wall leans, lined all round.
func leaning(t *testing.T) *assembly.Section {
	a := &assembly.Assembly{ID: "lined", Name: "Lined pan", Layers: []assembly.Layer{
		{ID: "band", Name: "Rolled sponge", Kind: assembly.Band, Thickness: 5 * mm, BandHeight: 50 * mm, BandPieces: 2, Overlap: 8 * mm, Of: of("sponge", 0.4)},
	}}
	return lay(t, a, mouldOf(t, "pan", "Pan", false)(mould.Round(229*mm, 203*mm, 51*mm)))
}

func TestUnrolledGolden(t *testing.T) {
	for name, s := range map[string]*assembly.Section{"strip": ring(t), "strip-leaning": leaning(t)} {
		band, ok := s.Layer("band")
		if !ok {
			t.Fatal("no band")
		}
		golden(t, name, Unrolled(s, band, Options{IDPrefix: name + "-"}))
		golden(t, name+"-narrow", Unrolled(s, band, Options{Narrow: true, IDPrefix: name + "-narrow-"}))
	}
}

func TestPlanGolden(t *testing.T) {
	round := ring(t)
	round.Assembly.Portions = assembly.Portions{Rule: "wedges", Count: 8}
	golden(t, "ring-plan", Plan(round, Options{IDPrefix: "ring-plan-"}))
	square := slab(t)
	square.Assembly.Portions = assembly.Portions{Rule: "squares", Count: 24}
	golden(t, "slab-plan-narrow", Plan(square, Options{Narrow: true, IDPrefix: "slab-plan-"}))
}

func layout(t testing.TB) cutting.Layout {
	t.Helper()
	disc := mould.Circle(190 * mm)
	l, err := cutting.Lay(t.Context(), cutting.Sheet{Width: 600 * mm, Depth: 400 * mm, Edge: 8 * mm, Kerf: 2 * mm}, []cutting.Piece{
		{Name: "Hazelnut sponge base", Width: 190 * mm, Height: 190 * mm, Area: disc.Area(), Count: 14, Round: true},
		{Name: "Hazelnut sponge band", Width: 312 * mm, Height: 46 * mm, Area: disc.Area() / 4, Count: 14},
	}, cutting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestCuttingGolden(t *testing.T) {
	golden(t, "cutting", Cutting(layout(t), Options{IDPrefix: "cutting-"}))
	golden(t, "cutting-narrow", Cutting(layout(t), Options{Narrow: true, IDPrefix: "cutting-narrow-"}))
}

// day is a plan over two days: two people, an oven with two batches at a time, a night in the freezer.
func day() ([]plan.Entry, []Due) {
	at := func(day, hour, minute int) time.Time { return time.Date(2026, 3, 5+day, hour, minute, 0, 0, time.UTC) }
	step := func(verb, name string, batch int, start, free, end time.Time, people []string, equipment ...string) plan.Entry {
		return plan.Entry{
			Step: formula.Step{ID: verb, Verb: verb}, Name: name, Batch: batch, Start: start, HandsOff: free, End: end,
			Active: free.Sub(start), People: people, Equipment: equipment, Piece: -1,
		}
	}
	first, second := []string{"First cook"}, []string{"Second cook"}
	return []plan.Entry{
		step("whip", "Hazelnut sponge", 1, at(0, 8, 0), at(0, 8, 12), at(0, 8, 12), first, "mixer"),
		step("bake", "Hazelnut sponge", 1, at(0, 8, 12), at(0, 8, 15), at(0, 8, 30), first, "oven"),
		step("bake", "Hazelnut sponge", 2, at(0, 8, 20), at(0, 8, 24), at(0, 8, 40), second, "oven"),
		step("cook", "Pear jelly", 1, at(0, 8, 30), at(0, 9, 0), at(0, 9, 0), first, "burner"),
		step("freeze", "Pear heart", 1, at(0, 9, 0), at(0, 9, 10), at(0, 12, 10), first, "freezer"),
		step("cool", "Hazelnut sponge", 1, at(0, 8, 30), at(0, 8, 30), at(0, 9, 20), nil),
		step("whip", "Cardamom bavarois", 1, at(0, 11, 30), at(0, 12, 10), at(0, 12, 10), second, "mixer"),
		step("assemble", "Pear ring", 0, at(0, 12, 10), at(0, 12, 55), at(0, 12, 55), []string{"First cook", "Second cook"}),
		step("freeze", "Pear ring", 0, at(0, 12, 55), at(0, 13, 0), at(1, 5, 0), first, "freezer"),
		step("glaze", "Pear ring", 0, at(1, 7, 0), at(1, 7, 30), at(1, 7, 45), second),
		step("thaw", "Pear ring", 0, at(1, 7, 45), at(1, 7, 50), at(1, 12, 30), second, "refrigerator"),
	}, []Due{{at(1, 13, 0), "Harbour dinner"}, {at(1, 12, 30), "Counter"}}
}

func TestTimelineGolden(t *testing.T) {
	entries, due := day()
	golden(t, "timeline", Timeline(entries, Options{IDPrefix: "timeline-", Due: due}))
	golden(t, "timeline-narrow", Timeline(entries[:9], Options{Narrow: true, IDPrefix: "timeline-narrow-"}))
}
