package drawing

import (
	_ "embed"
	"fmt"
	"strings"
	"sync"

	"github.com/tdewolff/canvas"
)

// Fonts are Atkinson Hyperlegible, under the SIL Open Font License: see fonts/OFL.txt.
var (
	//go:embed fonts/AtkinsonHyperlegible-Regular.ttf
	regularFont []byte
	//go:embed fonts/AtkinsonHyperlegible-Bold.ttf
	boldFont []byte
)

// family returns the embedded fonts, read once. They are part of the program: if they cannot be
// read it is a programmer's mistake.
var family = sync.OnceValue(func() *canvas.FontFamily {
	f := canvas.NewFontFamily("Atkinson Hyperlegible")
	for _, font := range []struct {
		data  []byte
		style canvas.FontStyle
	}{{regularFont, canvas.FontRegular}, {boldFont, canvas.FontBold}} {
		if err := f.LoadFont(font.data, 0, font.style); err != nil {
			panic(fmt.Sprintf("drawing: embedded font: %v", err))
		}
	}
	return f
})

// advances holds the widths of the characters of a face, in parts of its size.
type advances struct {
	latin [0x180]float64
	other func(r rune) float64
}

var regularAdvances, boldAdvances = sync.OnceValue(func() *advances { return readAdvances(canvas.FontRegular) }),
	sync.OnceValue(func() *advances { return readAdvances(canvas.FontBold) })

func readAdvances(style canvas.FontStyle) *advances {
	sfnt := family().Face(12, canvas.Black, style).Font.SFNT
	perEm := float64(sfnt.Head.UnitsPerEm)
	a := &advances{other: func(r rune) float64 { return float64(sfnt.GlyphAdvance(sfnt.GlyphIndex(r))) / perEm }}
	for r := range a.latin {
		a.latin[r] = a.other(rune(r))
	}
	return a
}

// textWidth returns how wide a line of text is in the embedded font, without kerning.
func textWidth(s string, size float64, bold bool) float64 {
	a := regularAdvances()
	if bold {
		a = boldAdvances()
	}
	w := 0.0
	for _, r := range s {
		if int(r) < len(a.latin) {
			w += a.latin[r]
		} else {
			w += a.other(r)
		}
	}
	return w * size
}

// missing replaces characters that the embedded font lacks.
var missing = strings.NewReplacer(
	"⅓", " 1/3", "⅔", " 2/3", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"\u202f", "\u00a0", "\u2009", "\u00a0", "≤", "<=", "≥", ">=", "→", "to", "←", "from", "≈", "about ", "Ø", "Ø",
)

// inFont returns s as the embedded font can show it.
func inFont(s string) string { return strings.TrimLeft(missing.Replace(s), " ") }

// wrap breaks text into lines of at most a width. A word longer than that stays whole.
func wrap(s string, width, size float64, bold bool) []string {
	if textWidth(s, size, bold) <= width {
		return []string{s}
	}
	var out []string
	current := ""
	for _, word := range strings.Split(s, " ") { // a no-break space does not break
		if next := current + " " + word; current != "" && textWidth(next, size, bold) <= width {
			current = next
			continue
		}
		if current != "" {
			out = append(out, current)
		}
		current = word
	}
	return append(out, current)
}
