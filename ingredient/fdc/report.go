package fdc

import "fmt"

// mostNotes is how many notes a Report keeps.
const mostNotes = 50

// Report tells what was read and what was not.
type Report struct {
	Foods    int            // given to visit
	Skipped  map[string]int // foods not given to visit, by reason
	Warnings int            // figures and portions left out of foods that were given
	Notes    []Note         // the first 50 of both, in the order of reading
}

// Note is one thing that was not read.
type Note struct {
	File string // "food_nutrient.csv"
	Line int    // of the file, or the number of the food in a JSON list, from 1
	Text string
}

// String gives a note as one line: "food.csv line 12: sample_food is a sample, not a food".
func (n Note) String() string { return fmt.Sprintf("%s line %d: %s", n.File, n.Line, n.Text) }

func (r *Report) note(file string, line int, text string) {
	if len(r.Notes) < mostNotes {
		r.Notes = append(r.Notes, Note{file, line, text})
	}
}

func (r *Report) skip(file string, line int, reason string) {
	if r.Skipped == nil {
		r.Skipped = map[string]int{}
	}
	if _, known := r.Skipped[reason]; !known && len(r.Skipped) >= mostNotes {
		reason = "other reasons"
	}
	r.Skipped[reason]++
	r.note(file, line, reason)
}

func (r *Report) warn(file string, line int, format string, a ...any) {
	r.Warnings++
	if len(r.Notes) < mostNotes {
		r.note(file, line, fmt.Sprintf(format, a...))
	}
}

// Error is a download that cannot be read.
type Error struct {
	File   string // "food.csv", or "" for the zip itself
	Line   int    // 0 for the file as a whole
	Column string // "" for the row as a whole
	Value  string // what stands there
	Reason string // what is wrong with it and what to do
}

// Error names the place, what stands there and the reason.
func (e *Error) Error() string {
	s := "FoodData Central download"
	if e.File != "" {
		s = e.File
	}
	if e.Line > 0 {
		s += fmt.Sprintf(" line %d", e.Line)
	}
	if e.Column != "" {
		s += fmt.Sprintf(", %s %q", e.Column, short(e.Value, 60))
	}
	return s + ": " + e.Reason
}
