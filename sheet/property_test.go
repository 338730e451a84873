package sheet_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/drawing"
	"chablon/finding"
	"chablon/formula"
	"chablon/plan"
	"chablon/purchase"
	"chablon/sheet"
	"chablon/unit"
)

// written draws text as people may write it, long words and strange letters included.
func written(t *rapid.T, label string) string {
	word := rapid.OneOf(
		rapid.StringMatching(`[a-z]{1,12}[,.]?`), rapid.StringMatching(`[A-Z0-9°%½]{1,9}`), rapid.StringMatching(`[m-w]{60,200}`), rapid.StringN(1, 8, 30),
	)
	most := rapid.SampledFrom([]int{0, 5, 40, 900}).Draw(t, label+" length")
	return strings.Join(rapid.SliceOfN(word, 0, most).Draw(t, label), " ")
}

// TestNothingOverflows draws days with texts of all lengths: everything stays within the margins,
// nothing is lost, and a step that fits on a page is on one.
func TestNothingOverflows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &formula.Formula{ID: "f", Name: written(t, "name")}
		for i := range rapid.IntRange(1, 30).Draw(t, "lines") {
			f.Lines = append(f.Lines, formula.Line{Text: written(t, "line"), Name: fmt.Sprint("line", i), Mass: unit.Mass(rapid.Float64Range(0, 100).Draw(t, "mass"))})
		}
		day := &plan.Day{Status: plan.Planned}
		start := time.Date(2026, 12, 3, 9, 0, 0, 0, time.UTC)
		for i := range rapid.IntRange(0, 6).Draw(t, "steps") {
			st := formula.Step{
				ID: fmt.Sprint("step", i), Verb: "mix", Text: written(t, "text"), Cue: written(t, "cue"), Why: written(t, "why"), Caution: written(t, "caution"),
				Hazards: rapid.SliceOfN(rapid.SampledFrom([]string{"raw-egg", "steam", "torch", "allergen", "unheard-of"}), 0, 5).Draw(t, "hazards"),
			}
			f.Steps = append(f.Steps, st)
			day.Timeline = append(day.Timeline, plan.Entry{
				Step: st, Component: "f", Name: f.Name, Batch: 1, Piece: -1, People: []string{written(t, "who")},
				Start: start, HandsOff: start.Add(time.Minute), End: start.Add(time.Hour),
			})
		}
		day.Batches = []plan.Batch{{Formula: f, Count: 1, Each: f.Run(f.Written()), Vessel: written(t, "vessel")}}
		day.Findings = finding.List{{Level: finding.Fault, Where: "here", Reason: written(t, "reason")}}
		day.Purchase = []purchase.Item{{Name: written(t, "item"), Note: written(t, "note")}}
		s := sheet.New(day, sheet.Options{Paper: rapid.SampledFrom([]sheet.Paper{sheet.A4, sheet.Letter}).Draw(t, "paper")})

		w, h, side, top, bottom := s.PaperSize()
		var all strings.Builder
		var pages []string
		for i, p := range s.Marks() {
			var words strings.Builder
			for _, m := range p {
				if m.Left < side-0.01 || m.Right > w-side+0.01 {
					t.Fatalf("page %d: %q from %.1f to %.1f is beyond the side margins", i+1, m.Text, m.Left, m.Right)
				}
				if !m.Frame && (m.Top < top-0.01 || m.Bottom > h-bottom+0.5) {
					t.Fatalf("page %d: %q from %.1f to %.1f is beyond the upper or lower margin", i+1, m.Text, m.Top, m.Bottom)
				}
				if m.Frame && m.Bottom > h-12 {
					t.Fatalf("page %d: the foot ends at %.1f", i+1, m.Bottom)
				}
				for _, r := range m.Text {
					if !drawing.HasGlyph(r) {
						t.Fatalf("page %d: %q has %q, which the font lacks", i+1, m.Text, r)
					}
				}
				if !m.Frame {
					words.WriteString(bare(m.Text))
				}
			}
			pages = append(pages, words.String())
			all.WriteString(words.String())
		}
		for _, st := range s.Steps() {
			if st.Height > st.Room {
				continue
			}
			whole := bare(st.Body + st.Signs + st.Box)
			on := false
			for _, p := range pages {
				on = on || strings.Contains(p, whole)
			}
			if !on {
				t.Fatalf("step %s is not on one page, or lost text", st.ID)
			}
		}
		for i := range f.Steps { // long ones are split between lines: the heading comes between, no word is lost
			for _, word := range strings.Fields(sheet.InFont(f.Steps[i].Text)) {
				if len(word) < 14 && !strings.Contains(all.String(), word) {
					t.Fatalf("step %d lost %q", i, word)
				}
			}
		}
	})
}
