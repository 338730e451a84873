package web

import (
	"fmt"
	"maps"
	"math"
	"net/url"
	"slices"
	"strings"

	"github.com/a-h/templ"

	"chablon/check"
	"chablon/document"
	"chablon/formula"
	"chablon/notebook"
	"chablon/unit"
)

// cupsOf are the countries whose cups and spoons a text may mean.
var cupsOf = []struct{ key, name string }{
	{"us", "American"}, {"uk", "British"}, {"au", "Australian"}, {"fr", "French"}, {"metric", "metric"},
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

// invalid marks a field whose description is always there.
func invalid(text string) templ.Attributes {
	if text == "" {
		return nil
	}
	return templ.Attributes{"aria-invalid": "true"}
}

func textDescribed(v *reading) string {
	if v.message("formula", "text") != "" {
		return "new_text_wrong new_hint"
	}
	return "new_hint"
}

// levelOr returns the class of a list of checks; one with nothing in it is as quiet as a note.
func levelOr(worst string) string {
	if worst == "" {
		return "note"
	}
	return worst
}

// sureClass returns the class of a word for how sure a reading is.
func sureClass(sure string) string { return strings.ReplaceAll(sure, " ", "-") }

// Details says what else was understood of a line: how it is prepared, and what was supposed.
func (l *readLine) Details() string {
	var parts []string
	if l.Preparation != "" {
		parts = append(parts, "Preparation: "+l.Preparation)
	}
	if l.Optional {
		parts = append(parts, "optional")
	}
	if l.ToTaste {
		parts = append(parts, "to taste")
	}
	return sentenceCase(strings.Join(append(parts, l.Assumptions...), " · "))
}

// readStepWords says what was understood of an instruction.
func readStepWords(s notebook.Step) string {
	var parts []string
	if s.Verb != "" {
		parts = append(parts, s.Verb)
	}
	switch {
	case s.HasMinutes && s.Assumed || !s.HasMinutes:
		parts = append(parts, "its time is assumed")
	default:
		text := plainNumber(s.Minutes.Low)
		if s.Minutes.High > s.Minutes.Low {
			text += "–" + plainNumber(s.Minutes.High)
		}
		parts = append(parts, text+" min")
	}
	if s.HasTemperature {
		parts = append(parts, s.Temperature.Show())
	}
	return strings.Join(parts, " · ")
}

// stepText returns the instruction, or the verb where none is written.
func stepText(s formula.Step) string {
	if s.Text != "" {
		return s.Text
	}
	return sentenceCase(words(s.Verb)) + "."
}

// stepWords says how long a step takes, how hot, and what of that is assumed.
func stepWords(s formula.Step) string {
	parts := []string{words(s.Verb)}
	if s.Active.Fixed > 0 {
		parts = append(parts, unit.ShowDuration(s.Active.Fixed)+" with hands")
	}
	if s.Waiting > 0 {
		parts = append(parts, unit.ShowDuration(s.Waiting)+" without")
	}
	if s.Assumed {
		parts = append(parts, "its time is assumed")
	}
	for _, m := range s.Modes {
		if m.Setting.Given() {
			parts = append(parts, strings.Join(m.Equipment, ", ")+" at "+m.Setting.Text)
		}
	}
	if s.Temperature.Given() {
		parts = append(parts, "to "+s.Temperature.Text)
	}
	return strings.Join(parts, " · ")
}

// With returns the version that the page compares with, "" if none.
func (v *formulaView) With() string {
	if v.Compared != nil {
		return number(v.Compared.Version)
	}
	return ""
}

// LineAction returns where a line's form is sent.
func (v *formulaView) LineAction(l *formulaLine) string {
	return fmt.Sprintf("/formulas/%s/lines/%d", v.Doc.ID, l.N)
}

// None returns what it means that nothing is chosen for a line.
func (l *formulaLine) None() string {
	if l.Problem != "" {
		return "— not chosen —"
	}
	return "what the words say"
}

// refusedAt reports whether an edit of this line was refused.
func (v *formulaView) refusedAt(l *formulaLine) bool { return v.Form == l.Form() && v.refused() }

// haveMessage returns what is wrong with the mass that was to fix the size.
func (v *formulaView) haveMessage(l *formulaLine) string {
	if v.Form == "size" && v.Typed.Get("line") == number(l.N) {
		return v.Fields["have"]
	}
	return ""
}

// haveValue returns what to show in the field of a line's mass.
func (v *formulaView) haveValue(l *formulaLine) string {
	if v.haveMessage(l) != "" {
		return v.Typed.Get("have")
	}
	return strings.ReplaceAll(l.Weigh, "\u00a0", "")
}

func draftWords(n int) string {
	if n == 1 {
		return "A draft: 1 line cannot be weighed. Choose what it is, or write it anew; then the formula can be scaled and weighed out."
	}
	return fmt.Sprintf("A draft: %d lines cannot be weighed. Choose what they are, or write them anew; then the formula can be scaled and weighed out.", n)
}

// columns returns how many the table of lines has.
func columns(v *formulaView) string {
	if v.Formula == nil {
		return "4"
	}
	return "7"
}

func refID(r document.Ref) string {
	id, _, _ := r.Split()
	return id
}

// pairs lists what an address holds, in order.
func pairs(q url.Values) [][2]string {
	var out [][2]string
	for _, name := range slices.Sorted(maps.Keys(q)) {
		for _, value := range q[name] {
			out = append(out, [2]string{name, value})
		}
	}
	return out
}

func verdictClass(v check.Verdict) string {
	return "verdict-" + strings.ReplaceAll(v.String(), " ", "-")
}

// verdictWords says how a figure stands; the range of one that is not judged is how sure it is.
func verdictWords(f check.Figure) string {
	switch {
	case f.Verdict != check.Unjudged:
		return f.Verdict.String()
	case f.Low != 0 || f.High != 0:
		return "as sure as it is"
	}
	return "to be known"
}

// figureNote says how a figure was found and on whose word its range is.
func figureNote(f check.Figure) string {
	var parts []string
	if f.Method != "" {
		parts = append(parts, f.Method)
	}
	if f.Source != "" {
		parts = append(parts, strings.TrimPrefix(f.Source, "bib:"))
	}
	return strings.Join(parts, " · ")
}

// beyond draws an arrow at the end that a figure lies past.
func beyond(g gauge) string {
	x, d := g.At, 6.0
	if x < gaugeWidth/2 {
		d = -d
	}
	return fmt.Sprintf("M%s 4L%s 9L%s 14", plainNumber(x-d), plainNumber(math.Min(gaugeWidth-1, math.Max(1, x))), plainNumber(x-d))
}
