package drawing

import (
	"errors"
	"fmt"
	"image/png"
	"io"
	"math"
	"slices"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"
	"github.com/tdewolff/canvas/renderers/rasterizer"
)

// mmPerPaperUnit is a unit of 1/96 inch on paper.
const mmPerPaperUnit = 25.4 / 96

// mostPixels bounds a PNG: 100 million, some 400 MB while it is drawn.
const mostPixels = 100_000_000

// PDF writes the drawing as one page of its own size. The bytes differ between runs, since a PDF
// carries the time of writing.
func (d *Drawing) PDF(out io.Writer) error {
	c, err := d.canvas()
	if err != nil {
		return err
	}
	p := pdf.New(out, c.W, c.H, nil)
	p.SetInfo(d.Title, d.Desc, "", "", "Chablon")
	c.RenderTo(p)
	if err := p.Close(); err != nil {
		return fmt.Errorf("drawing: pdf: %w", err)
	}
	return nil
}

// PNG writes the drawing with so many dots per inch; at 96 a unit is a pixel. An error says that
// dpi is not above zero, or that it makes more than 100 million pixels.
func (d *Drawing) PNG(out io.Writer, dpi float64) error {
	if !(dpi > 0) || d.Width*d.Height*dpi*dpi/96/96 > mostPixels {
		return fmt.Errorf("drawing: png of %.0f by %.0f units at %g dots per inch: give a resolution above 0 that makes at most %d pixels", d.Width, d.Height, dpi, mostPixels)
	}
	c, err := d.canvas()
	if err != nil {
		return err
	}
	img := rasterizer.Draw(c, canvas.DPI(dpi), canvas.DefaultColorSpace)
	if err := png.Encode(out, img); err != nil {
		return fmt.Errorf("drawing: png: %w", err)
	}
	return nil
}

// canvas draws the picture on a canvas, in millimetres with y up.
func (d *Drawing) canvas() (*canvas.Canvas, error) {
	if !(d.Width > 0 && d.Height > 0) || math.IsInf(d.Width*d.Height, 0) {
		return nil, errors.New("drawing: nothing is drawn: it has no size")
	}
	c := canvas.New(d.Width*mmPerPaperUnit, d.Height*mmPerPaperUnit)
	p := painter{ctx: canvas.NewContext(c), height: d.Height}
	p.ctx.SetStrokeJoiner(canvas.RoundJoin)
	p.items(d.Items)
	return c, nil
}

type painter struct {
	ctx    *canvas.Context
	height float64
}

func (p *painter) at(q Point) (x, y float64) {
	return q.X * mmPerPaperUnit, (p.height - q.Y) * mmPerPaperUnit
}

func (p *painter) items(items []Item) {
	for _, it := range items {
		if !drawable(it) {
			continue
		}
		switch it := it.(type) {
		case Path:
			p.figure(it.Loops, it.Open, it.Style)
		case Circle:
			p.figure([][]Point{arc(nil, it.At, it.R, 0, 2*math.Pi, 64)[:64]}, false, it.Style)
		case Text:
			p.text(it)
		case Group:
			p.items(it.Items)
		}
	}
}

func (p *painter) figure(loops [][]Point, open bool, s Style) {
	outline := &canvas.Path{}
	if !open {
		loops = oriented(loops)
	}
	for _, l := range loops {
		for i, q := range l {
			if x, y := p.at(q); i == 0 {
				outline.MoveTo(x, y)
			} else {
				outline.LineTo(x, y)
			}
		}
		if !open {
			outline.Close()
		}
	}
	switch {
	case open:
	case s.Hatch != NoHatch:
		p.draw(outline, tiles[s.Hatch].ground, "", 0, nil)
		p.hatch(s.Hatch, loops)
	case s.Fill != NoColour:
		p.draw(outline, colours[s.Fill].fallback, "", 0, nil)
	}
	if s.Stroke != NoColour && s.Width > 0 {
		p.draw(outline, "", colours[s.Stroke].fallback, s.Width, s.Dash)
	}
}

// oriented turns loops so that holes run against what they are in: then the winding rule fills as
// the even-odd rule does. Canvas's rasteriser knows only the one, and its PDF writes strokes that
// no reader knows under the other.
func oriented(loops [][]Point) [][]Point {
	if len(loops) < 2 {
		return loops
	}
	out := make([][]Point, len(loops))
	for i, l := range loops {
		probe := Point{(l[0].X + l[1].X) / 2, (l[0].Y + l[1].Y) / 2}
		hole := false
		for j, other := range loops {
			if j != i && inside(probe, edgesOf([][]Point{other})) {
				hole = !hole
			}
		}
		area := 0.0
		for k, q := range l {
			r := l[(k+1)%len(l)]
			area += q.X*r.Y - r.X*q.Y
		}
		out[i] = l
		if (area < 0) != hole {
			out[i] = slices.Clone(l)
			slices.Reverse(out[i])
		}
	}
	return out
}

func (p *painter) hatch(h Hatch, loops [][]Point) {
	lines, dots := h.clipped(loops)
	strokes, fills := &canvas.Path{}, &canvas.Path{}
	var pen Point
	for i, l := range lines {
		if i == 0 || pen != l[0] {
			strokes.MoveTo(p.at(l[0]))
		}
		strokes.LineTo(p.at(l[1]))
		pen = l[1]
	}
	for _, d := range dots {
		const sides = 12 // round enough for a dot of a few units
		for i, q := range arc(nil, d.Point, d.r, 0, 2*math.Pi, sides)[:sides] {
			if x, y := p.at(q); i == 0 {
				fills.MoveTo(x, y)
			} else {
				fills.LineTo(x, y)
			}
		}
		fills.Close()
	}
	if !strokes.Empty() {
		p.draw(strokes, "", tiles[h].line, tiles[h].stroke, nil)
	}
	if !fills.Empty() {
		p.draw(fills, tiles[h].line, "", 0, nil)
	}
}

// draw draws a path with a fill or a stroke, by their colours in hexadecimal.
func (p *painter) draw(path *canvas.Path, fill, stroke string, width float64, dash []float64) {
	p.ctx.SetFillColor(canvas.Transparent)
	p.ctx.SetStrokeColor(canvas.Transparent)
	if fill != "" {
		p.ctx.SetFillColor(canvas.Hex(fill))
	}
	if stroke != "" {
		p.ctx.SetStrokeColor(canvas.Hex(stroke))
		p.ctx.SetStrokeWidth(width * mmPerPaperUnit)
		mm := make([]float64, len(dash))
		for i, x := range dash {
			mm[i] = x / width // canvas counts dashes in widths of the stroke
		}
		p.ctx.SetDashes(0, mm...)
	}
	p.ctx.DrawPath(0, 0, path)
}

func (p *painter) text(t Text) {
	style := canvas.FontRegular
	if t.Bold {
		style = canvas.FontBold
	}
	const pointsPerUnit = 72.0 / 96
	face := family().Face(t.size()*pointsPerUnit, canvas.Hex(colours[t.colour()].fallback), style)
	x, y := p.at(t.At)
	align := [...]canvas.TextAlign{Start: canvas.Left, Middle: canvas.Center, End: canvas.Right}[t.Anchor]
	p.ctx.DrawText(x, y, canvas.NewTextLine(face, inFont(t.Value), align))
}
