package drawing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/unit"
)

// frame is the room that a section has on its drawing, in units.
type frame struct {
	width           float64 // of the drawing; zero: as it comes
	mostW, mostH    float64 // of the piece
	left, gap, text float64 // margin for heights, from the piece to its leaders' text, and that text
}

var (
	wideFrame   = frame{width: 1216, mostW: 740, mostH: 420, left: 124, gap: 118, text: 284}
	narrowFrame = frame{width: 360, mostW: 222, mostH: 300, left: 78, gap: 56, text: 0}
)

// mostScale keeps a small piece from being drawn larger than it helps, in units a millimetre.
const mostScale = 9

// sectioner is the work of drawing one section.
type sectioner struct {
	Drawing
	o        Options
	s        *assembly.Section
	frame    frame
	pieces   []piece
	halfW    unit.Length // of everything, from the axis
	low, top unit.Length // of everything, as served
	scale    float64     // units in a metre
}

// Section draws an assembly cut through the middle, as it is served: one scale in both
// directions, a hatch for each kind of layer, heights on the left, and a leader to each layer.
// Layers that could not be placed are listed as such; a section without any shape is drawn as its
// mould.
func Section(s *assembly.Section, o Options) *Drawing {
	d := sectioner{o: o, s: s, frame: wideFrame, pieces: pieces(s)}
	if o.Narrow {
		d.frame = narrowFrame
	}
	d.prefix = o.IDPrefix
	d.fitText()
	d.measure()
	leaders := d.leaders()
	d.setOut(leaders)
	d.add(rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height))
	d.drawMould()
	d.drawLayers()
	d.drawStages()
	d.drawDecor()
	d.drawAxis()
	d.drawHeights()
	d.drawWidth()
	d.drawCaption()
	d.drawLeaders(leaders)
	d.describe(leaders)
	return &d.Drawing
}

func (d *sectioner) inverted() bool { return d.s.Assembly != nil && d.s.Assembly.Inverted }

// fitText narrows the room for text to what the leaders take, and leaves the rest to the piece.
func (d *sectioner) fitText() {
	if d.o.Narrow {
		return
	}
	widest := 0.0
	for i := range d.pieces {
		p := &d.pieces[i]
		for _, s := range wrap(p.name(), d.frame.text, textSize, true) {
			widest = max(widest, textWidth(s, textSize, true))
		}
		for _, detail := range p.details(d.pieces) {
			for _, s := range wrap(detail, d.frame.text, detailSize, false) {
				widest = max(widest, textWidth(s, detailSize, false))
			}
		}
	}
	const slack, margin = 1.08, 24 // for another font than ours; at either side
	d.frame.text = min(d.frame.text, widest*slack)
	d.frame.mostW = min(d.frame.mostW, d.frame.width-d.frame.left-d.frame.gap-d.frame.text-2*margin)
}

// measure finds the extent of everything and the scale.
func (d *sectioner) measure() {
	for i := range d.pieces {
		r := d.pieces[i].region
		if r.Empty() {
			continue
		}
		d.halfW = max(d.halfW, slices.Max(r.Out))
		d.low, d.top = min(d.low, r.Z[0]), max(d.top, r.Z[len(r.Z)-1])
	}
	high := d.top
	if m := d.s.Mould; m != nil && m.Solid != nil {
		upTo := m.Solid.Height()
		if d.inverted() && d.s.Top > 0 {
			upTo = d.s.Top
		} else {
			high = max(high, upTo)
		}
		for _, z := range m.Solid.Breaks() {
			d.halfW = max(d.halfW, m.Solid.At(min(z, upTo)).HalfWidth())
		}
	}
	w, h := float64(2*d.halfW), float64(high-d.low)
	if !(w > 0 && h > 0) || math.IsInf(w*h, 0) {
		w, h = 0.1, 0.1
	}
	d.scale = min(d.frame.mostW/w, d.frame.mostH/h, mostScale*1000)
	if d.top == 0 {
		d.top = high
	}
	d.MMPerUnit = 1000 / d.scale
}

// px returns a length in units.
func (d *sectioner) px(l unit.Length) float64 { return float64(l) * d.scale }

// at returns the place of a distance from the axis and a height, as served.
func (d *sectioner) at(x, z unit.Length) Point {
	return Point{d.Axis + d.px(x), d.Ground - d.px(z)}
}

func (d *sectioner) left() float64  { return d.Axis - d.px(d.halfW) }
func (d *sectioner) right() float64 { return d.Axis + d.px(d.halfW) }

// drawLayers draws fills first, then what lies in them, then coats.
func (d *sectioner) drawLayers() {
	rank := func(k assembly.Kind) int {
		switch k {
		case assembly.Fill:
			return 0
		case assembly.Coat:
			return 2
		}
		return 1
	}
	for want := range 3 {
		for i := range d.pieces {
			p := &d.pieces[i]
			top := p
			if id, _, nested := strings.Cut(p.id, "/"); nested { // with the insert that it is in
				for j := range i {
					if d.pieces[j].id == id {
						top = &d.pieces[j]
					}
				}
			}
			if rank(top.layer.Kind) != want || p.region.Empty() {
				continue
			}
			loops := outlineOf(p.region, d.at)
			if !p.core.Empty() {
				loops = append(loops, outlineOf(p.core, d.at)...)
			}
			if len(loops) == 0 {
				continue
			}
			s := Style{Hatch: p.hatch, Stroke: Ink, Width: 1.1, Layer: p.id, Kind: p.layer.Kind.String()}
			if p.layer.Inside != nil { // its own layers are drawn over it
				s.Hatch, s.Fill, s.Width = NoHatch, Paper, 2
			}
			d.add(Path{Loops: loops, Style: s})
		}
	}
}

// drawStages draws the levels at which a fill rests while something is laid in it.
func (d *sectioner) drawStages() {
	for i := range d.pieces {
		l := d.pieces[i].layer
		if strings.Contains(d.pieces[i].id, "/") || len(l.Filled) < 2 {
			continue
		}
		for _, f := range l.Filled[:len(l.Filled)-1] {
			z := f.Z1
			if d.inverted() {
				z = d.s.Top - z
			}
			in, out, ok := d.pieces[i].region.At(z)
			if !ok {
				continue
			}
			for _, sign := range []unit.Length{-1, 1} {
				d.add(line(Style{Stroke: Soft, Width: 1, Dash: []float64{5, 3}}, d.at(sign*in, z), d.at(sign*out, z)))
			}
		}
	}
}

func (d *sectioner) drawAxis() {
	d.add(line(Style{Stroke: Soft, Width: 1, Dash: []float64{14, 4, 3, 4}},
		Point{d.Axis, d.Ground - d.px(d.top) - 26}, Point{d.Axis, d.Ground + 24}))
}

func (d *sectioner) drawCaption() {
	caption := "section through the middle"
	if d.inverted() {
		caption += ", as served: it is built upside down"
		if d.o.Narrow {
			caption = "as served: it is built upside down"
		}
	}
	x := d.left() - d.frame.left + 12
	if d.o.Narrow {
		x = 8
	}
	d.add(Text{At: Point{x, 18}, Value: caption, Size: detailSize, Colour: Soft})
}

// describe sets title and description for those who cannot see the drawing.
func (d *sectioner) describe(leaders []leader) {
	name, in := "the assembly", ""
	if d.s.Assembly != nil && d.s.Assembly.Name != "" {
		name = d.s.Assembly.Name
	}
	if d.s.Mould != nil {
		in = " in " + d.s.Mould.Name
	}
	d.Title = d.o.Title
	if d.Title == "" {
		d.Title = "Section of " + name + in
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Cut through the middle: %s wide, %s high. From the top: ", (2 * d.halfW).Show(), (d.top - d.low).Show())
	for i, l := range leaders {
		if i > 0 {
			b.WriteString("; ")
		}
		b.WriteString(l.name + ", " + strings.Join(l.details, ", "))
	}
	b.WriteString(".")
	d.Desc = b.String()
}
