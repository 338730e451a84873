package drawing

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// SVG returns the drawing as an SVG document: the same bytes for the same drawing. Coordinates
// are rounded to a hundredth of a unit.
func (d *Drawing) SVG() []byte {
	w := svgWriter{prefix: d.prefix}
	w.b = make([]byte, 0, 32<<10)
	w.str(`<svg xmlns="http://www.w3.org/2000/svg" class="drawing"`)
	if d.linked() {
		w.attr("role", "group") // within an image, links could not be reached
	} else {
		w.attr("role", "img")
	}
	w.str(` viewBox="0 0 `)
	w.num(d.Width)
	w.str(" ")
	w.num(d.Height)
	w.str(`"`)
	w.attr("width", shortNumber(d.Width))
	w.attr("height", shortNumber(d.Height))
	w.attr("aria-labelledby", d.prefix+"title "+d.prefix+"desc")
	if d.MMPerUnit > 0 {
		w.attr("data-mm-per-unit", strconv.FormatFloat(d.MMPerUnit, 'g', 10, 64))
		w.attr("data-axis-x", shortNumber(d.Axis))
		if d.Ground > 0 {
			w.attr("data-ground-y", shortNumber(d.Ground))
		}
	}
	w.attr("font-family", "'Atkinson Hyperlegible','DejaVu Sans',sans-serif")
	w.str(">\n")
	w.element("title", d.prefix+"title", d.Title)
	w.element("desc", d.prefix+"desc", d.Desc)
	w.patterns(d.Items)
	w.items(d.Items)
	w.str("</svg>\n")
	return w.b
}

func (d *Drawing) linked() bool {
	return slices.ContainsFunc(d.Items, func(it Item) bool {
		g, ok := it.(Group)
		return ok && g.Href != ""
	})
}

type svgWriter struct {
	b      []byte
	prefix string
}

func (w *svgWriter) str(s string) { w.b = append(w.b, s...) }

// num writes a number rounded to hundredths, without trailing zeros.
func (w *svgWriter) num(x float64) {
	n := int64(math.Round(x * 100))
	if n < 0 {
		w.b = append(w.b, '-')
		n = -n
	}
	w.b = strconv.AppendInt(w.b, n/100, 10)
	switch frac := n % 100; {
	case frac == 0:
	case frac%10 == 0:
		w.b = append(w.b, '.', byte('0'+frac/10))
	default:
		w.b = append(w.b, '.', byte('0'+frac/10), byte('0'+frac%10))
	}
}

func shortNumber(x float64) string {
	var w svgWriter
	w.num(x)
	return string(w.b)
}

// escape makes text safe within markup: control characters that XML forbids are dropped.
func escape(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, escaper.Replace(strings.ToValidUTF8(s, "\ufffd")))
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func (w *svgWriter) attr(name, value string) {
	w.str(" ")
	w.str(name)
	w.str(`="`)
	w.str(escape(value))
	w.str(`"`)
}

func (w *svgWriter) numAttr(name string, x float64) {
	w.str(" ")
	w.str(name)
	w.str(`="`)
	w.num(x)
	w.str(`"`)
}

func (w *svgWriter) element(name, id, text string) {
	w.str("<" + name)
	if id != "" {
		w.attr("id", id)
	}
	w.str(">")
	w.str(escape(text))
	w.str("</" + name + ">\n")
}

func (c Colour) css() string {
	if c == NoColour {
		return "none"
	}
	return "var(" + colours[c].variable + "," + colours[c].fallback + ")"
}

// patterns writes the hatches that the items use.
func (w *svgWriter) patterns(items []Item) {
	var used [len(tiles)]bool
	var visit func([]Item)
	visit = func(items []Item) {
		for _, it := range items {
			switch it := it.(type) {
			case Path:
				used[it.Hatch] = true
			case Circle:
				used[it.Hatch] = true
			case Group:
				visit(it.Items)
			}
		}
	}
	visit(items)
	w.str("<defs>\n")
	for h := NoHatch + 1; int(h) < len(tiles); h++ {
		if !used[h] {
			continue
		}
		t := tiles[h]
		line := "var(--hatch-" + t.name + "-line," + t.line + ")"
		w.str("<pattern")
		w.attr("id", w.prefix+"hatch-"+t.name)
		w.numAttr("width", t.width)
		w.numAttr("height", t.height)
		w.attr("patternUnits", "userSpaceOnUse")
		w.str("><rect")
		w.numAttr("width", t.width)
		w.numAttr("height", t.height)
		w.attr("fill", "var(--hatch-"+t.name+","+t.ground+")")
		w.str("/>")
		if len(t.lines) > 0 {
			w.str("<path")
			w.d(t.lines, true)
			w.attr("fill", "none")
			w.attr("stroke", line)
			w.numAttr("stroke-width", t.stroke)
			w.str("/>")
		}
		for _, dot := range t.dots {
			w.str("<circle")
			w.numAttr("cx", dot.X)
			w.numAttr("cy", dot.Y)
			w.numAttr("r", dot.r)
			w.attr("fill", line)
			w.str("/>")
		}
		w.str("</pattern>\n")
	}
	w.str("</defs>\n")
}

func (w *svgWriter) d(loops [][]Point, open bool) {
	w.str(` d="`)
	for _, l := range loops {
		for i, p := range l {
			if i == 0 {
				w.str("M")
			} else {
				w.str("L")
			}
			w.num(p.X)
			w.str(" ")
			w.num(p.Y)
		}
		if !open {
			w.str("Z")
		}
	}
	w.str(`"`)
}

func (w *svgWriter) style(s Style) {
	if s.Layer != "" {
		w.attr("class", "layer layer-"+s.Kind)
		w.attr("data-layer", s.Layer)
		w.attr("data-kind", s.Kind)
	}
	switch {
	case s.Hatch != NoHatch:
		w.attr("fill", "url(#"+w.prefix+"hatch-"+tiles[s.Hatch].name+")")
	default:
		w.attr("fill", s.Fill.css())
	}
	if s.Stroke != NoColour && s.Width > 0 {
		w.attr("stroke", s.Stroke.css())
		w.numAttr("stroke-width", s.Width)
		w.attr("stroke-linejoin", "round")
		if len(s.Dash) > 0 {
			w.str(` stroke-dasharray="`)
			for i, d := range s.Dash {
				if i > 0 {
					w.str(" ")
				}
				w.num(d)
			}
			w.str(`"`)
		}
	}
}

func (w *svgWriter) items(items []Item) {
	for _, it := range items {
		if !drawable(it) {
			continue
		}
		switch it := it.(type) {
		case Path:
			w.str("<path")
			w.d(it.Loops, it.Open)
			if !it.Open {
				w.attr("fill-rule", "evenodd")
			}
			w.style(it.Style)
			w.str("/>\n")
		case Circle:
			w.str("<circle")
			w.numAttr("cx", it.At.X)
			w.numAttr("cy", it.At.Y)
			w.numAttr("r", it.R)
			w.style(it.Style)
			w.str("/>\n")
		case Text:
			w.text(it)
		case Group:
			w.group(it)
		}
	}
}

func (w *svgWriter) text(t Text) {
	w.str("<text")
	w.numAttr("x", t.At.X)
	w.numAttr("y", t.At.Y)
	w.numAttr("font-size", t.size())
	w.attr("fill", t.colour().css())
	if t.Bold {
		w.attr("font-weight", "700")
	}
	switch t.Anchor {
	case Middle:
		w.attr("text-anchor", "middle")
	case End:
		w.attr("text-anchor", "end")
	}
	w.str(">")
	w.str(escape(t.Value))
	w.str("</text>\n")
}

func (t Text) size() float64 {
	if t.Size > 0 {
		return t.Size
	}
	return textSize
}

func (t Text) colour() Colour {
	if t.Colour == NoColour {
		return Ink
	}
	return t.Colour
}

func (w *svgWriter) group(g Group) {
	if g.Href != "" {
		w.str("<a")
		w.attr("href", g.Href)
		w.str(">")
	}
	w.str("<g")
	if g.For != "" {
		w.attr("class", "leader")
		w.attr("data-for", g.For)
	}
	w.str(">\n")
	if g.Title != "" {
		w.element("title", "", g.Title)
	}
	w.items(g.Items)
	w.str("</g>")
	if g.Href != "" {
		w.str("</a>")
	}
	w.str("\n")
}
