package notebook

import (
	"strings"
	"unicode"
)

// Page is a whole pasted text.
type Page struct {
	Title  string
	Yield  string // "Serves 6", as written
	Groups []Group
	Steps  []Step
	Notes  []string // lines that are neither ingredients, headings nor instructions
}

// Group is what stands under one heading; the first may have no name.
type Group struct {
	Name  string
	Lines []Line // ingredients and components only
}

// Lines returns the lines of all groups in order.
func (p Page) Lines() []Line {
	var out []Line
	for _, g := range p.Groups {
		out = append(out, g.Lines...)
	}
	return out
}

// section is the part of a text that a line stands in.
type section uint8

const (
	anywhere section = iota
	inIngredients
	inMethod
	inNotes
)

// sectionNames are headings that say what follows.
var sectionNames = map[string]section{
	"ingredients": inIngredients, "ingredient": inIngredients, "you will need": inIngredients, "what you need": inIngredients, "shopping list": inIngredients, "les ingredients": inIngredients,
	"method": inMethod, "directions": inMethod, "instructions": inMethod, "preparation": inMethod, "procedure": inMethod, "steps": inMethod, "process": inMethod, "how to make it": inMethod,
	"what to do": inMethod, "progression": inMethod, "recette": inMethod, "realisation": inMethod, "etapes": inMethod, "to make": inMethod,
	"notes": inNotes, "note": inNotes, "tips": inNotes, "tip": inNotes, "storage": inNotes, "to store": inNotes, "conseils": inNotes,
}

// mostPage bounds the text that is read, in bytes; the rest is noted as not read.
const mostPage = 4 << 20

// Read reads a whole pasted text: title, groups of ingredient lines under their headings, and
// instructions. A line that is broken ("1\n1/2 cups sugar", or a line that goes on in small
// letters) is joined to the one before it.
func Read(text string, o Options) Page { return newReader(o).page(text) }

func (r *reader) page(text string) Page {
	var p Page
	if len(text) > mostPage {
		text = text[:mostPage]
		p.Notes = append(p.Notes, "the text was too long: what follows its first 4 MB was not read")
	}
	group := Group{}
	where := anywhere
	flush := func() {
		if len(group.Lines) > 0 {
			p.Groups = append(p.Groups, group)
		}
	}
	for _, written := range joinBroken(text) {
		trimmed := strings.TrimSpace(written)
		if trimmed == "" {
			continue
		}
		name := plain(strings.Trim(trimmed, "#*_:=- \t"))
		if s, ok := sectionNames[name]; ok {
			where = s
			continue
		}
		low := plain(trimmed)
		if p.Yield == "" && len(trimmed) < 80 && (strings.HasPrefix(low, "serves") || strings.HasPrefix(low, "makes") || strings.HasPrefix(low, "yield") || strings.HasPrefix(low, "pour ") && strings.Contains(low, "personne")) {
			p.Yield = trimmed
			continue
		}
		if where == inNotes {
			p.Notes = append(p.Notes, trimmed)
			continue
		}
		if p.Title == "" && len(p.Groups) == 0 && len(group.Lines) == 0 && where == anywhere && group.Name == "" && r.isTitle(trimmed) {
			p.Title = headingName(trimmed)
			continue
		}
		if where == inMethod && !startsWithHeading(trimmed) {
			p.Steps = append(p.Steps, readSteps(trimmed)...)
			continue
		}
		for _, l := range r.read(written) {
			switch l.Kind {
			case Heading:
				flush()
				group = Group{Name: l.Name}
				if where == inMethod {
					where = anywhere
				}
			case Ingredient, Component:
				l.Group = group.Name
				group.Lines = append(group.Lines, l)
			case Prose:
				if isStep(trimmed) {
					p.Steps = append(p.Steps, readSteps(trimmed)...)
				} else {
					p.Notes = append(p.Notes, trimmed)
				}
			}
		}
	}
	flush()
	return p
}

// startsWithHeading reports whether a line under "Method" opens a group of ingredients.
func startsWithHeading(s string) bool {
	return strings.HasSuffix(s, ":") && len(s) < 60
}

// isStep reports whether prose is an instruction.
func isStep(s string) bool {
	st, ok := readStep(s)
	return ok && st.Verb != ""
}

// isTitle reports whether the first line of a text is its title.
func (r *reader) isTitle(s string) bool {
	if len(s) > 120 || strings.HasSuffix(s, ":") && opensGroup(s) {
		return false
	}
	for _, l := range r.read(s) {
		if l.Kind == Ingredient && (l.HasAmount && l.Unit != "" || l.HasAmount && l.Confidence >= 0.8) || l.Kind == Prose && isStep(s) && strings.HasSuffix(s, ".") {
			return false
		}
	}
	return true
}

// joinBroken parts a text into lines and joins those that a page broke in two.
func joinBroken(text string) []string {
	var out []string
	for line := range strings.SplitSeq(strings.ReplaceAll(text, "\r\n", "\n"), "\n") {
		s := strings.TrimSpace(line)
		if n := len(out); n > 0 && s != "" && out[n-1] != "" && len(out[n-1]) < longestLine {
			last := out[n-1]
			first := rune(s[0])
			switch {
			case onlyNumber(last) && (unicode.IsLetter(first) || first >= '0' && first <= '9' || first >= 0x80):
				out[n-1] = last + " " + s
				continue
			case strings.HasSuffix(last, ",") && unicode.IsLower(first), startsJoined(s):
				out[n-1] = last + " " + s
				continue
			}
		}
		out = append(out, s)
	}
	return out
}

// onlyNumber reports whether a line is a number and nothing else.
func onlyNumber(s string) bool {
	if len(s) > 8 {
		return false
	}
	for _, c := range s {
		if !unicode.IsNumber(c) && c != '/' && c != '⁄' && c != ' ' {
			return false
		}
	}
	return s != ""
}

// startsJoined reports whether a line can only be the rest of the one before.
func startsJoined(s string) bool {
	return strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") || strings.HasPrefix(s, "or ") || strings.HasPrefix(s, "plus ") || strings.HasPrefix(s, "and ")
}
