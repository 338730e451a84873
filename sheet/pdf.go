package sheet

import (
	"fmt"
	"io"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"

	"chablon/drawing"
)

// PDF writes the pages. The bytes differ between runs, since a PDF carries the time of writing;
// what the pages say does not.
func (s *Sheet) PDF(w io.Writer) error {
	width, height := s.options.Paper.size()
	out := pdf.New(w, width/pointsPerMM, height/pointsPerMM, nil)
	out.SetInfo("Bench sheets: "+s.title, "", "", nameOr(s.kitchen.Name, s.kitchen.ID), "Chablon")
	out.SetLang("en")
	for i, p := range s.pages() {
		if i > 0 {
			out.NewPage(width/pointsPerMM, height/pointsPerMM)
		}
		painter := painter{out: out, height: height}
		for j := range p.marks {
			if err := painter.mark(&p.marks[j]); err != nil {
				return fmt.Errorf("sheet: page %d: %w", i+1, err)
			}
		}
	}
	if err := out.Close(); err != nil {
		return fmt.Errorf("sheet: pdf: %w", err)
	}
	return nil
}

type painter struct {
	out    *pdf.PDF
	height float64
}

// at returns a place on the page in millimetres, y up.
func (p *painter) at(x, y float64) (float64, float64) {
	return x / pointsPerMM, (p.height - y) / pointsPerMM
}

func (p *painter) mark(m *mark) error {
	switch m.kind {
	case textMark:
		p.text(m)
	case lineMark:
		p.stroke(m.size, false, [2]float64{m.x, m.y}, [2]float64{m.x + m.w, m.y})
	case frameMark:
		p.stroke(m.size, true, corners(m)...)
	case tickMark:
		p.stroke(0.9, true, corners(m)...)
	case signMark:
		p.stroke(1.1, true, [2]float64{m.x + m.w/2, m.y}, [2]float64{m.x + m.w, m.y + m.h}, [2]float64{m.x, m.y + m.h})
		size := 0.72 * m.h
		p.text(&mark{x: m.x + (m.w-drawing.TextWidth("!", size, true))/2, y: m.y + 0.9*m.h, text: "!", size: size, style: bold})
	case drawingMark:
		c, err := m.drawing.WithoutGround().Canvas()
		if err != nil {
			return err
		}
		x, y := p.at(m.x, m.y+m.h)
		k := m.w / pointsPerMM / c.W
		c.RenderViewTo(p.out, canvas.Identity.Translate(x, y).Scale(k, k))
	}
	return nil
}

func corners(m *mark) [][2]float64 {
	return [][2]float64{{m.x, m.y}, {m.x + m.w, m.y}, {m.x + m.w, m.y + m.h}, {m.x, m.y + m.h}}
}

func (p *painter) text(m *mark) {
	if m.text == "" {
		return
	}
	x, y := p.at(m.x, m.y)
	face := drawing.Face(m.size, m.style&bold != 0, m.style&italic != 0)
	p.out.RenderText(canvas.NewTextLine(face, m.text, canvas.Left), canvas.Identity.Translate(x, y))
}

func (p *painter) stroke(width float64, closed bool, points ...[2]float64) {
	path := &canvas.Path{}
	for i, q := range points {
		x, y := p.at(q[0], q[1])
		if i == 0 {
			path.MoveTo(x, y)
			continue
		}
		path.LineTo(x, y)
	}
	if closed {
		path.Close()
	}
	style := canvas.DefaultStyle
	style.Fill = canvas.Paint{}
	style.Stroke = canvas.Paint{Color: canvas.Black}
	style.StrokeWidth = width / pointsPerMM
	p.out.RenderPath(path, style, canvas.Identity)
}
