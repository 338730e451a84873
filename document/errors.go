package document

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxErrors is how many problems of one file are listed.
const maxErrors = 50

// Error is one problem of a file: where it is, what was found and what to write instead.
type Error struct {
	File     string // name as given to Parse
	Line     int    // from 1; 0 if the problem is of the file as a whole
	Column   int    // from 1, counted in characters
	Document string // "formula almond-sponge"; empty where the kind cannot be read
	Field    string // "groups[0].lines[2].text"; empty for the document as a whole
	Found    string // what is there, texts in quotes; empty if nothing is
	Reason   string // what is wrong with it: "is a mass", or without Found "missing"
	Remedy   string // what to write, as an order
}

// Error writes the problem in one line:
//
//	day.yaml:12:9: formula almond-sponge, density: found "0.5 oz", which is a mass: write a density in g/ml or kg/m³
func (e *Error) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(e.File)
		if e.Line > 0 {
			fmt.Fprintf(&b, ":%d:%d", e.Line, e.Column)
		}
		b.WriteString(": ")
	}
	b.WriteString(e.Document)
	if e.Document != "" && e.Field != "" {
		b.WriteString(", ")
	}
	b.WriteString(e.Field)
	if e.Document != "" || e.Field != "" {
		b.WriteString(": ")
	}
	switch {
	case e.Found == "":
		b.WriteString(e.Reason)
	case e.Reason == "":
		b.WriteString("found " + e.Found)
	default:
		b.WriteString("found " + e.Found + ", which " + e.Reason)
	}
	if e.Remedy != "" {
		b.WriteString(": " + e.Remedy)
	}
	return b.String()
}

// problems collects the errors of one file.
type problems struct {
	file string
	list []*Error
}

// full reports whether no more problems are listed; the work may then stop.
func (p *problems) full() bool { return len(p.list) > maxErrors }

// add appends a problem, and in place of the one after maxErrors a word on the rest.
func (p *problems) add(at pos, e Error) {
	switch {
	case p.full():
		return
	case len(p.list) == maxErrors:
		e = Error{Reason: fmt.Sprintf("more than %d problems", maxErrors), Remedy: "put these right first; the rest are not listed"}
	}
	e.File, e.Line, e.Column = p.file, at.line, at.column
	p.list = append(p.list, &e)
}

// quote writes a text for a message: in quotes, shortened, control characters made visible.
func quote(s string) string { return strconv.Quote(clip(s)) }

// clip shortens a text to sixty characters.
func clip(s string) string {
	if utf8.RuneCountInString(s) <= 60 {
		return s
	}
	return string([]rune(s)[:59]) + "…"
}

// either joins words as "a, b or c".
func either(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
