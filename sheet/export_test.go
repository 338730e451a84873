package sheet

import "strings"

// For tests in package sheet_test.

// Mark is what stands on a page.
type Mark struct {
	Text                     string
	Left, Right, Top, Bottom float64
	Frame                    bool // of the page itself: its head and foot
}

// Paper returns the paper's size and the margins of the content.
func (s *Sheet) PaperSize() (w, h, side, top, bottom float64) {
	w, h = s.options.Paper.size()
	return w, h, marginX, marginTop, marginBottom
}

// Marks returns what stands on each page.
func (s *Sheet) Marks() [][]Mark {
	w, h := s.options.Paper.size()
	var out [][]Mark
	pages := s.pages()
	for i, p := range pages {
		own := len(p.marks) - len(s.frame(i+1, len(pages), w, h))
		var list []Mark
		for j := range p.marks {
			m := &p.marks[j]
			x := Mark{Text: m.text, Left: m.x, Right: m.x + m.w, Top: m.top(), Bottom: m.bottom(), Frame: j >= own}
			list = append(list, x)
		}
		out = append(out, list)
	}
	return out
}

// Step is a step as printed.
type Step struct {
	Section, ID, When string
	Hazards           []string
	Body, Box, Signs  string
	Height, Room      float64 // as laid, and what a further page of its section has for it
}

// Steps returns all steps in order.
func (s *Sheet) Steps() []Step {
	var out []Step
	w, h := s.options.Paper.size()
	f := flow{width: w, height: h}
	l := layout{width: w - 2*marginX, most: f.whole() - 60}
	for _, x := range s.sections {
		for _, b := range x.blocks {
			st, ok := b.(step)
			if !ok {
				continue
			}
			o := Step{Section: x.id, ID: st.id, When: st.when, Hazards: st.hazards, Body: text(st.body), Signs: text(st.signs)}
			laid, again := l.step(st), l.again(&x)
			o.Height, o.Room = laid.before+laid.height, f.whole()-again.height
			if st.box != nil {
				o.Box = text(st.box.paras)
			}
			out = append(out, o)
		}
	}
	return out
}

func text(list []para) string {
	var b strings.Builder
	for _, p := range list {
		for _, s := range p.spans {
			b.WriteString(s.text)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// Footer and InFont are what their lower-case namesakes are.
const Footer = footer

var InFont = inFont
