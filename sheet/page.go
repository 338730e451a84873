package sheet

import (
	"fmt"
	"math"
	"strings"

	"chablon/drawing"
)

// Lengths on a page are points, x to the right and y down.
const (
	pointsPerMM = 72 / 25.4

	marginX      = 46.0
	marginTop    = 64.0 // to the content; the page's head stands in it
	marginBottom = 62.0

	bodySize  = 11.0
	smallSize = 9.5
	leading   = 1.3
)

// mark is one thing on a page.
type mark struct {
	kind       markKind
	x, y, w, h float64 // y is the baseline of text, else the top
	text       string
	size       float64 // of text; of lines their width
	style      style
	drawing    *drawing.Drawing
}

type markKind uint8

const (
	textMark markKind = iota
	lineMark          // level, w long
	frameMark
	tickMark
	signMark
	drawingMark // w wide, h high
)

// top and bottom bound what must not be cut.
func (m *mark) top() float64 {
	if m.kind == textMark {
		return m.y - m.size
	}
	return m.y
}

func (m *mark) bottom() float64 {
	if m.kind == textMark {
		return m.y + 0.3*m.size
	}
	return m.y + m.h
}

// strip is marks that stay together on a page, from the top of the strip.
type strip struct {
	before float64 // space over it, none at the top of a page
	height float64
	marks  []mark
	keep   bool   // stays with the next
	head   *strip // stands on a new page again: the head of a table
}

func (s *strip) add(m ...mark) { s.marks = append(s.marks, m...) }

// place adds marks moved to a place.
func (s *strip) place(marks []mark, x, y float64) {
	for _, m := range marks {
		m.x, m.y = m.x+x, m.y+y
		s.marks = append(s.marks, m)
	}
}

// split cuts a strip that is longer than a page between its lines.
func (s *strip) split(room float64) (first, rest strip) {
	cut := room
	for moved := true; moved; {
		moved = false
		for i := range s.marks {
			m := &s.marks[i]
			if m.kind != frameMark && m.top() < cut-1e-6 && m.bottom() > cut+1e-6 {
				cut, moved = m.top(), true
			}
		}
	}
	if cut <= 1 { // a single thing higher than the page: it stays whole
		return *s, strip{}
	}
	first = strip{before: s.before, height: cut, head: s.head}
	rest = strip{height: s.height - cut, head: s.head, keep: s.keep}
	for _, m := range s.marks {
		switch {
		case m.kind == frameMark && m.y < cut && m.y+m.h > cut:
			a, b := m, m
			a.h, b.y, b.h = cut-m.y, 0, m.y+m.h-cut
			first.add(a)
			rest.add(b)
		case m.bottom() <= cut+1e-6:
			first.add(m)
		default:
			m.y -= cut
			rest.add(m)
		}
	}
	return first, rest
}

// page is one sheet of paper.
type page struct{ marks []mark }

// flow lays strips on pages.
type flow struct {
	width, height float64 // of the paper
	pages         []page
	y             float64
}

func (f *flow) bottom() float64 { return f.height - marginBottom }
func (f *flow) room() float64   { return f.bottom() - f.y }
func (f *flow) whole() float64  { return f.bottom() - marginTop }

func (f *flow) newPage() {
	f.pages = append(f.pages, page{})
	f.y = marginTop
}

func (f *flow) atTop() bool { return f.y == marginTop }

// put places a strip; it has room. A rule over it parts it from what is above, so that at the
// top of a page there is none.
func (f *flow) put(s *strip) {
	marks := s.marks
	if !f.atTop() {
		f.y += s.before
	} else if len(marks) > 0 && marks[0].kind == lineMark && marks[0].y == 0 {
		marks = marks[1:]
	}
	p := &f.pages[len(f.pages)-1]
	for _, m := range marks {
		m.x, m.y = m.x+marginX, m.y+f.y
		p.marks = append(p.marks, m)
	}
	f.y += s.height
}

// section lays a section: its title, then its strips. It starts on a new page if it does not
// fit and little of the page is left. On further pages the title stands again, shortened.
func (f *flow) section(title, again strip, strips []strip) {
	all := append([]strip{title}, strips...)
	total := 0.0
	for i := range all {
		total += all[i].before + all[i].height
	}
	if len(f.pages) == 0 || total > f.room() && f.room() < 0.45*f.whole() {
		f.newPage()
	}
	for i := range all {
		s := all[i]
		need := s.height
		for j := i; all[j].keep && j+1 < len(all); j++ {
			need += all[j+1].before + all[j+1].height
		}
		first := s.before
		if f.atTop() {
			first = 0
		}
		fits := s.before+math.Min(need, f.whole()-again.height) <= f.room()+1e-6 || f.atTop() && first+s.height <= f.room()
		if !fits && !f.atTop() {
			f.newPage()
			if i > 0 {
				f.put(&again)
				if s.head != nil {
					f.put(s.head)
				}
			}
		}
		for s.before+s.height > f.room()+1e-6 {
			part, rest := s.split(f.room() - s.before)
			if rest.marks == nil {
				break
			}
			f.put(&part)
			f.newPage()
			f.put(&again)
			s = rest
		}
		f.put(&s)
	}
}

// pages lays the whole sheet.
func (s *Sheet) pages() []page {
	w, h := s.options.Paper.size()
	f := &flow{width: w, height: h}
	l := layout{width: w - 2*marginX, most: f.whole() - 60}
	for i := range s.sections {
		x := &s.sections[i]
		title := l.title(x)
		if i > 0 {
			title.before = 26
		}
		f.section(title, l.again(x), l.blocks(x.blocks))
	}
	for i := range f.pages {
		f.pages[i].marks = append(f.pages[i].marks, s.frame(i+1, len(f.pages), w, h)...)
	}
	return f.pages
}

// frame is what stands on every page: number, orders, when they are due, the kitchen, and that
// a probe thermometer decides.
func (s *Sheet) frame(n, of int, w, h float64) []mark {
	width := w - 2*marginX
	number := fmt.Sprintf("%d / %d", n, of)
	due := "ready " + s.due
	if s.due == "" {
		due = ""
	}
	numberWidth := drawing.TextWidth(number, 11, true)
	due = fit(due, width*0.45, smallSize, 0)
	dueWidth := drawing.TextWidth(due, smallSize, false)
	marks := []mark{
		set(marginX, 36, fit(s.title, width-numberWidth-dueWidth-40, smallSize, bold), smallSize, bold),
		set(marginX+width-numberWidth-20-dueWidth, 36, due, smallSize, 0),
		set(marginX+width-numberWidth, 36, number, 11, bold),
		{kind: lineMark, x: marginX, y: 43, w: width, size: 0.6},
		{kind: lineMark, x: marginX, y: h - 48, w: width, size: 0.6},
	}
	const size = 8
	kitchen := fit(nameOr(s.kitchen.Name, s.kitchen.ID), 110, size, bold)
	y := h - 37
	for _, line := range wrap([]span{{text: footer}}, width-130, size) {
		marks = append(marks, line.marks(marginX, y, size)...)
		y += size * leading
	}
	return append(marks, set(marginX+width-drawing.TextWidth(kitchen, size, true), h-37, kitchen, size, bold))
}

// Text returns the words of all pages in reading order, each page under a line with its number:
// what the PDF says, for those who compare.
func (s *Sheet) Text() string {
	var b strings.Builder
	for i, p := range s.pages() {
		fmt.Fprintf(&b, "=== page %d ===\n", i+1)
		last, right := math.NaN(), 0.0
		for _, m := range p.marks {
			text, y := m.text, m.y
			if m.kind != textMark { // stands on the line of the words beside it
				y += m.h
			}
			switch m.kind {
			case tickMark:
				text = "[ ]"
			case signMark:
				text = "(!)"
			case drawingMark:
				text = "(drawing: " + m.drawing.Title + ")"
			case lineMark, frameMark:
				continue
			}
			switch {
			case math.IsNaN(last):
			case math.Abs(y-last) < 4:
				if !strings.HasPrefix(text, " ") && m.x-right > 1 {
					b.WriteByte(' ')
				}
			default:
				b.WriteByte('\n')
			}
			b.WriteString(strings.ReplaceAll(text, "\u00a0", " "))
			last, right = y, m.x+m.w
		}
		b.WriteString("\n")
	}
	return b.String()
}
