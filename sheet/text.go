package sheet

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"chablon/drawing"
)

// units stay with their numbers at the end of a line.
var units = strings.NewReplacer(" %", "\u00a0%", " °C", "\u00a0°C", " mm", "\u00a0mm", " × ", "\u00a0×\u00a0")

// inFont returns s as the font of the pages can show it: replaced where a replacement is known,
// else without its accents, else a question mark. Line breaks and controls become spaces.
func inFont(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
	var b strings.Builder
	if strings.HasPrefix(s, " ") { // which the replacement drops
		b.WriteByte(' ')
	}
	s = drawing.InFont(units.Replace(s))
	for _, r := range s {
		if drawing.HasGlyph(r) {
			b.WriteRune(r)
			continue
		}
		found := false
		for _, base := range norm.NFKD.String(string(r)) {
			if drawing.HasGlyph(base) {
				b.WriteRune(base)
				found = true
			}
		}
		if !found && !unicode.Is(unicode.Mn, r) && !unicode.Is(unicode.Cf, r) {
			b.WriteByte('?')
		}
	}
	return b.String()
}

// piece is a stretch of one line in one style.
type piece struct {
	x float64
	span
}

type textLine struct {
	pieces []piece
	width  float64
}

// wrap breaks spans into lines of at most a width, at spaces, and within a word that is longer
// than a line.
func wrap(spans []span, width, size float64) []textLine {
	w := wrapper{width: width, size: size}
	for _, s := range spans {
		text := inFont(s.text)
		for text != "" {
			cut := strings.IndexByte(text, ' ')
			if cut == 0 {
				w.space = w.line.width > 0
				text = strings.TrimLeft(text, " ")
				continue
			}
			if cut < 0 {
				cut = len(text)
			}
			w.word(text[:cut], s.style)
			text = text[cut:]
		}
	}
	if len(w.line.pieces) > 0 {
		w.lines = append(w.lines, w.line)
	}
	return w.lines
}

type wrapper struct {
	width, size float64
	lines       []textLine
	line        textLine
	space       bool // one stands before the next word
}

func (w *wrapper) measure(s string, st style) float64 {
	return drawing.TextWidth(s, w.size, st&bold != 0)
}

func (w *wrapper) word(s string, st style) {
	gap := ""
	if w.space {
		gap = " "
	}
	w.space = false
	if w.line.width+w.measure(gap+s, st) <= w.width {
		w.put(gap+s, st)
		return
	}
	if gap != "" { // without a space it belongs to the word before: broken within, below
		w.end()
	}
	for _, r := range s {
		if w.line.width > 0 && w.line.width+w.measure(string(r), st) > w.width {
			w.end()
		}
		w.put(string(r), st)
	}
}

func (w *wrapper) put(s string, st style) {
	if n := len(w.line.pieces); n > 0 && w.line.pieces[n-1].style == st {
		w.line.pieces[n-1].text += s
	} else {
		w.line.pieces = append(w.line.pieces, piece{w.line.width, span{s, st}})
	}
	w.line.width += w.measure(s, st)
}

func (w *wrapper) end() {
	w.lines = append(w.lines, w.line)
	w.line = textLine{}
}

// fit shortens a line of text to a width, with an ellipsis.
func fit(s string, width, size float64, st style) string {
	s = inFont(s)
	if drawing.TextWidth(s, size, st&bold != 0) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && drawing.TextWidth(string(r)+"…", size, st&bold != 0) > width {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ") + "…"
}

func upperFirst(s string) string {
	for i, r := range s {
		return string(unicode.ToUpper(r)) + s[i+len(string(r)):]
	}
	return s
}
