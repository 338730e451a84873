package sheet

import (
	"bytes"
	_ "embed"
	"html"
	"strconv"
	"strings"
)

//go:embed sheet.css
var stylesheet []byte

// Stylesheet returns the style of the HTML, for a server that links it.
func Stylesheet() []byte { return bytes.Clone(stylesheet) }

// HTML returns the sheets as one page that stands alone and prints: the same content as the PDF,
// without script. The browser breaks the pages.
func (s *Sheet) HTML() []byte {
	w := &htmlWriter{}
	w.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>")
	w.text("Bench sheets: " + s.title)
	w.raw("</title>\n")
	if href := s.options.StylesheetHref; href != "" {
		w.raw(`<link rel="stylesheet" href="`)
		w.text(href)
		w.raw("\">\n")
	} else {
		w.raw("<style>\n" + string(stylesheet) + "@page { size: " + s.options.Paper.css() + "; }\n</style>\n")
	}
	w.raw("</head>\n<body>\n<main>\n")
	for i := range s.sections {
		w.section(&s.sections[i], i == 0)
	}
	w.raw("</main>\n<footer>")
	w.text(footer)
	w.raw("</footer>\n</body>\n</html>\n")
	return w.Bytes()
}

type htmlWriter struct{ bytes.Buffer }

func (w *htmlWriter) raw(s string) { w.WriteString(s) }
func (w *htmlWriter) text(s string) {
	w.WriteString(html.EscapeString(strings.ToValidUTF8(s, "\ufffd")))
}

func (w *htmlWriter) section(s *section, first bool) {
	heading, class := "h2", ""
	switch {
	case first:
		heading = "h1"
	case s.level > 1:
		class = ` class="second"`
	}
	w.raw(`<section id="`)
	w.text(s.id)
	w.raw(`"` + class + ">\n<" + heading + ">")
	w.text(s.title)
	w.raw("</" + heading + ">\n")
	if s.note != "" {
		w.raw(`<p class="note">`)
		w.text(s.note)
		w.raw("</p>\n")
	}
	steps := false
	for _, b := range s.blocks {
		_, isStep := b.(step)
		if isStep != steps {
			w.raw(map[bool]string{true: "<ol class=\"steps\">\n", false: "</ol>\n"}[isStep])
			steps = isStep
		}
		w.block(b)
	}
	if steps {
		w.raw("</ol>\n")
	}
	w.raw("</section>\n")
}

func (w *htmlWriter) block(b block) {
	switch b := b.(type) {
	case para:
		w.para(b)
	case table:
		w.table(b)
	case step:
		w.step(b)
	case box:
		w.box(b)
	case figure:
		w.raw("<div class=\"line\">\n<figure class=\"picture\">\n")
		w.Write(b.drawing.WithoutGround().SVG())
		w.raw("</figure>\n<div>\n")
		for _, x := range b.beside {
			w.block(x)
		}
		w.raw("</div>\n</div>\n")
	}
}

func (w *htmlWriter) spans(list []span) {
	for _, s := range list {
		if s.style&bold != 0 {
			w.raw("<strong>")
		}
		if s.style&italic != 0 {
			w.raw("<em>")
		}
		w.text(s.text)
		if s.style&italic != 0 {
			w.raw("</em>")
		}
		if s.style&bold != 0 {
			w.raw("</strong>")
		}
	}
}

// tick writes a box to tick, named by what it stands for.
func (w *htmlWriter) tick(name string) {
	w.raw(`<input class="tick" type="checkbox" aria-label="`)
	w.text(name)
	w.raw(`">`)
}

func (w *htmlWriter) para(p para) {
	switch {
	case p.tick:
		w.raw(`<div class="check">`)
		w.tick("seen")
		w.raw("<p>")
	case p.small:
		w.raw(`<p class="small">`)
	default:
		w.raw("<p>")
	}
	w.spans(p.spans)
	w.raw("</p>")
	if p.tick {
		w.raw("</div>")
	}
	w.raw("\n")
}

const sign = `<svg class="sign" viewBox="0 0 20 18" role="img" aria-label="Caution"><path d="M10 1.5 19 17H1ZM10 7v5M10 13.8v1.4"/></svg>`

func (w *htmlWriter) box(b box) {
	w.raw(`<div class="cautions">` + sign + "<div>\n")
	for _, p := range b.paras {
		w.para(p)
	}
	w.raw("</div></div>\n")
}

func (w *htmlWriter) step(s step) {
	w.raw(`<li class="step" data-step="`)
	w.text(s.id)
	w.raw(`"><div><label>`)
	w.raw(`<input class="tick" type="checkbox" aria-label="`)
	w.text("step " + s.number + " done")
	w.raw(`"><span class="number">`)
	w.text(s.number)
	w.raw("</span></label>")
	if s.when != "" {
		w.raw(`<span class="when">`)
		w.text(s.when)
		w.raw("</span>")
	}
	w.raw("</div>\n<div>\n")
	for _, p := range s.body {
		w.para(p)
	}
	for _, p := range s.signs {
		w.raw(`<div class="hazard">` + sign)
		w.para(p)
		w.raw("</div>\n")
	}
	if s.box != nil {
		w.box(*s.box)
	}
	w.raw("</div>\n</li>\n")
}

func (w *htmlWriter) table(t table) {
	w.raw(`<table aria-label="`)
	w.text(t.name)
	w.raw(`"`)
	if t.small {
		w.raw(` class="compact"`)
	}
	w.raw(">\n<thead><tr>")
	for _, c := range t.cols {
		if c.title == "" {
			w.raw("<td></td>")
			continue
		}
		w.raw(`<th scope="col"` + rightClass(c.right) + ">")
		w.text(c.title)
		w.raw("</th>")
	}
	w.raw("</tr></thead>\n<tbody>\n")
	for _, r := range t.rows {
		w.row(t, r)
	}
	w.raw("</tbody>\n</table>\n")
}

func rightClass(right bool) string {
	if right {
		return ` class="right"`
	}
	return ""
}

func (w *htmlWriter) row(t table, r row) {
	if r.group {
		w.raw(`<tr class="group"><th scope="rowgroup" colspan="` + strconv.Itoa(len(t.cols)) + `">`)
		w.spans(r.cells[0].spans)
		w.raw("</th></tr>\n")
		return
	}
	w.raw("<tr")
	if r.total {
		w.raw(` class="total"`)
	}
	w.raw(">")
	for i, c := range r.cells {
		w.raw("<td" + rightClass(t.cols[i].right) + ">")
		if i == 0 && r.tick != "" {
			w.tick(r.tick)
		}
		if c.small {
			w.raw(`<span class="little">`)
		}
		w.spans(c.spans)
		if c.small {
			w.raw("</span>")
		}
		w.raw("</td>")
	}
	w.raw("</tr>\n")
}
