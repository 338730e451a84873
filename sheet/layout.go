package sheet

import (
	"fmt"
	"math"

	"chablon/drawing"
)

// layout measures blocks into strips.
type layout struct {
	width float64
	most  float64 // height of the highest figure
}

const (
	gutter   = 64.0 // of a step: its number and when it starts
	tickSize = 9.0
	signSize = 11.0
	cellGap  = 8.0
)

// marks returns a line's text with its baseline at a place.
func (l textLine) marks(x, y, size float64) []mark {
	var out []mark
	for _, p := range l.pieces {
		out = append(out, set(x+p.x, y, p.text, size, p.style))
	}
	return out
}

// set returns text that is in the font, on a baseline.
func set(x, y float64, text string, size float64, st style) mark {
	return mark{kind: textMark, x: x, y: y, w: drawing.TextWidth(text, size, st&bold != 0), text: text, size: size, style: st}
}

// lines sets spans in a column and returns its marks and height.
func lines(spans []span, width, size float64, right bool) ([]mark, float64) {
	var out []mark
	y := 0.0
	for _, l := range wrap(spans, width, size) {
		x := 0.0
		if right {
			x = width - l.width
		}
		out = append(out, l.marks(x, y+size, size)...)
		y += size * leading
	}
	return out, y
}

func (p para) size() float64 {
	if p.small {
		return smallSize
	}
	return bodySize
}

func (l layout) title(s *section) strip {
	size, note, rule := 18.0, 11.0, 1.6
	if s.level > 1 {
		size, rule = 14.5, 0.8
	}
	out := strip{keep: true}
	out.add(mark{kind: lineMark, w: l.width, size: rule})
	marks, h := lines([]span{{s.title, bold}}, l.width, size, false)
	out.place(marks, 0, 5)
	out.height = 5 + h
	if s.note != "" {
		marks, h = lines([]span{{text: s.note}}, l.width, note, false)
		out.place(marks, 0, out.height)
		out.height += h
	}
	out.height += 7
	return out
}

func (l layout) again(s *section) strip {
	out := strip{height: 24}
	const more, size = ", continued", 11.5
	title := fit(s.title, l.width-drawing.TextWidth(more, size, false), size, bold)
	out.add(set(0, 14, title, size, bold),
		set(drawing.TextWidth(title, size, true), 14, more, size, 0))
	return out
}

func (l layout) blocks(list []block) []strip {
	var out []strip
	for _, b := range list {
		switch b := b.(type) {
		case para:
			out = append(out, l.para(b))
		case table:
			out = append(out, l.table(b)...)
		case step:
			out = append(out, l.step(b))
		case box:
			s := l.box(b, l.width)
			s.before = 6
			out = append(out, s)
		case figure:
			out = append(out, l.figure(b))
		}
	}
	return out
}

func (l layout) para(p para) strip {
	x := 0.0
	out := strip{before: 3}
	if p.tick {
		x = 18
		out.add(mark{kind: tickMark, y: 2.5, w: tickSize, h: tickSize})
	}
	marks, h := lines(p.spans, l.width-x, p.size(), false)
	out.place(marks, x, 0)
	out.height = h + 2
	return out
}

// paras stacks paragraphs in a column and returns their marks and height.
func paras(list []para, width float64) ([]mark, float64) {
	var s strip
	for i, p := range list {
		if i > 0 {
			s.height += 2
		}
		marks, h := lines(p.spans, width, p.size(), false)
		s.place(marks, 0, s.height)
		s.height += h
	}
	return s.marks, s.height
}

// box frames cautions, with a sign.
func (l layout) box(b box, width float64) strip {
	const pad, inset = 7, 34
	marks, h := paras(b.paras, width-inset-pad)
	out := strip{height: h + 2*pad}
	out.add(mark{kind: frameMark, w: width, h: out.height, size: 1.3},
		mark{kind: signMark, x: 8, y: pad + 1, w: 18, h: 16})
	out.place(marks, inset, pad)
	return out
}

func (l layout) step(s step) strip {
	out := strip{before: 9}
	width := l.width - gutter
	out.add(mark{kind: tickMark, y: 2.5, w: tickSize, h: tickSize},
		set(tickSize+7, 12, s.number, 14, bold))
	left := 17.0
	if s.when != "" {
		marks, h := lines([]span{{s.when, bold}}, gutter-8, 10, false)
		out.place(marks, 0, left)
		left += h
	}
	marks, h := paras(s.body, width)
	out.place(marks, gutter, 0)
	for _, p := range s.signs {
		h += 3
		marks, ph := lines(p.spans, width-18, p.size(), false)
		out.add(mark{kind: signMark, x: gutter, y: h + 0.5, w: signSize, h: signSize * 0.9})
		out.place(marks, gutter+18, h)
		h += ph
	}
	if s.box != nil {
		h += 6
		b := l.box(*s.box, width)
		out.place(b.marks, gutter, h)
		h += b.height
	}
	out.height = max(left, h) + 2
	return out
}

func (l layout) table(t table) []strip {
	size, most := bodySize, 0.0
	if t.small {
		size = 10.5
	}
	head := strip{before: 8, keep: true}
	const headSize = 9
	x := 0.0
	for _, c := range t.cols {
		w := c.share * l.width
		marks, h := lines([]span{{c.title, bold}}, w-cellGap, headSize, c.right)
		head.place(marks, x, 0)
		most = max(most, h)
		x += w
	}
	head.height = most + 3
	head.add(mark{kind: lineMark, y: head.height - 1, w: l.width, size: 1})
	out := []strip{head}
	again := head
	again.keep, again.before = false, 0
	for i, r := range t.rows {
		s := l.row(t, r, size)
		s.head = &again
		s.keep = r.group || i+1 < len(t.rows) && t.rows[i+1].total
		out = append(out, s)
	}
	return out
}

func (l layout) row(t table, r row, size float64) strip {
	const pad = 2.5
	var out strip
	if r.group {
		marks, h := lines(r.cells[0].spans, l.width, 10, false)
		out.place(marks, 0, pad+3)
		out.height = h + 2*pad + 3
		return out
	}
	if r.tick != "" {
		out.add(mark{kind: tickMark, x: 1, y: pad + 2.5, w: tickSize, h: tickSize})
	}
	x, most := 0.0, size*leading
	for i, c := range r.cells {
		w := t.cols[i].share * l.width
		cellSize, drop := size, 0.0
		if c.small {
			cellSize, drop = 9, size-9
		}
		marks, h := lines(c.spans, w-cellGap, cellSize, t.cols[i].right)
		out.place(marks, x, pad+drop)
		most = max(most, h+drop)
		x += w
	}
	out.height = most + 2*pad
	thin := 0.3
	if r.total {
		out.add(mark{kind: lineMark, y: 0, w: l.width, size: 1})
	} else {
		out.add(mark{kind: lineMark, y: out.height, w: l.width, size: thin})
	}
	return out
}

// figure sets a drawing with words at its right.
func (l layout) figure(f figure) strip {
	const gap, perUnit = 20, 72.0 / 96
	d := f.drawing
	scale := min(1, 0.54*l.width/(d.Width*perUnit), l.most/(d.Height*perUnit))
	w, h := d.Width*perUnit*scale, d.Height*perUnit*scale
	out := strip{before: 4}
	out.add(mark{kind: drawingMark, w: w, h: h, drawing: d})
	height := h
	if d.MMPerUnit > 0 {
		height += 12
		out.add(set(6, h+9, inFont(scaleText(d.MMPerUnit/(scale*25.4/96))), 8.5, 0))
	}
	right := 6.0
	for _, s := range (layout{width: l.width - w - gap}).blocks(f.beside) {
		right += s.before
		out.place(s.marks, w+gap, right)
		right += s.height
	}
	out.height = max(height, right) + 4
	return out
}

func scaleText(ratio float64) string {
	if ratio >= 10 {
		return fmt.Sprintf("scale 1 : %.0f", ratio)
	}
	return fmt.Sprintf("scale 1 : %.1f", math.Max(ratio, 0.1))
}
