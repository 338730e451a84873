package drawing

import (
	"slices"
	"sync"

	"github.com/tdewolff/canvas"
)

// This file is for pages that set a drawing among text in the same font.

// InFont returns s as the embedded font can show it, as far as a replacement is known.
func InFont(s string) string { return inFont(s) }

// HasGlyph reports whether the embedded font has a character, in both weights.
func HasGlyph(r rune) bool {
	if latin := latinGlyphs(); r >= 0 && int(r) < len(latin) {
		return latin[r]
	}
	return hasGlyph(r)
}

var latinGlyphs = sync.OnceValue(func() (has [0x180]bool) {
	for r := range has {
		has[r] = hasGlyph(rune(r))
	}
	return has
})

func hasGlyph(r rune) bool {
	for _, style := range []canvas.FontStyle{canvas.FontRegular, canvas.FontBold} {
		if family().Face(12, canvas.Black, style).Font.SFNT.GlyphIndex(r) == 0 {
			return false
		}
	}
	return true
}

// TextWidth returns how wide a line of text is in the embedded font, without kerning, in the
// unit of size.
func TextWidth(s string, size float64, bold bool) float64 { return textWidth(s, size, bold) }

// Face returns the embedded font in black at a size in points. It has no italic: that one is
// slanted.
func Face(points float64, bold, italic bool) *canvas.FontFace {
	style := canvas.FontRegular
	if bold {
		style = canvas.FontBold
	}
	face := family().Face(points, canvas.Black, style)
	if italic {
		face.FauxItalic = slant
	}
	return face
}

const slant = 0.2

// Canvas returns the drawing on a canvas in millimetres, y up, to be rendered within another
// page. Without ground, what is behind it shows through.
func (d *Drawing) Canvas() (*canvas.Canvas, error) { return d.canvas() }

// WithoutGround returns the drawing without the sheet that it is drawn on, for white paper.
func (d *Drawing) WithoutGround() *Drawing {
	out := *d
	if len(d.Items) == 0 {
		return &out
	}
	if p, ok := d.Items[0].(Path); ok && p.Fill == Paper && p.Hatch == NoHatch && p.Stroke == NoColour && p.Layer == "" {
		out.Items = slices.Clone(d.Items[1:])
	}
	return &out
}
