package drawing

import (
	"fmt"
	"math"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

// Plan draws an assembly from above, to scale: the outlines of its bodies, dashed where something
// lies over them, its décor, and the cuts into portions. Only layers of the assembly itself are
// shown, not those within an insert.
func Plan(s *assembly.Section, o Options) *Drawing {
	d := sectioner{o: o, s: s, frame: wideFrame, pieces: pieces(s)}
	if o.Narrow {
		d.frame = narrowFrame
	}
	d.prefix = o.IDPrefix
	d.pieces = seenFromAbove(d.pieces)
	d.fitText()
	var whole mould.Outline
	widen := func(p mould.Outline) {
		if p.Width*p.Depth > whole.Width*whole.Depth {
			whole = p
		}
	}
	if m := s.Mould; m != nil && m.Solid != nil {
		for _, z := range m.Solid.Breaks() {
			if z <= s.Top || s.Top == 0 {
				widen(m.Solid.At(z))
			}
		}
		if s.Top > 0 {
			widen(m.Solid.At(s.Top))
		}
	}
	for i := range d.pieces {
		widen(d.pieces[i].layer.Plan)
	}
	if whole.Empty() {
		whole = mould.Circle(unit.Metre / 10)
	}
	// The drawing of a section, with the depth of the piece where a section has its height.
	d.halfW, d.low, d.top = whole.Width/2, -whole.Depth/2, whole.Depth/2
	d.scale = min(d.frame.mostW/float64(whole.Width), d.frame.mostH/float64(whole.Depth), mostScale*1000)
	d.MMPerUnit = 1000 / d.scale

	var ls []leader
	for i := range d.pieces {
		p := &d.pieces[i]
		ls = append(ls, leader{id: p.id, name: p.name(), details: planDetails(p), placed: true, dot: d.rimPoint(p, whole, i, len(d.pieces))})
	}
	d.arrange(ls)
	d.s = &assembly.Section{} // no mould beside it
	d.setOut(ls)
	d.s = s
	d.add(rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height))
	centre := d.at(0, 0)
	outline := func(p mould.Outline, s Style) {
		switch {
		case p.Empty():
		case p.IsCircle():
			d.add(Circle{At: centre, R: d.px(p.Width) / 2, Style: s})
		case p.IsRectangle():
			d.add(rounded(s, centre, d.px(p.Width), d.px(p.Depth), d.px(p.Corner)))
		default:
			var loop []Point
			for _, q := range p.Points() {
				loop = append(loop, d.at(q[0], q[1]))
			}
			d.add(Path{Loops: [][]Point{loop}, Style: s})
		}
		if p.Hole > 0 {
			d.add(Circle{At: centre, R: d.px(p.Hole) / 2, Style: s})
		}
	}
	outline(whole, Style{Stroke: Ink, Width: 1.6})
	for i := range d.pieces {
		l := d.pieces[i].layer
		hidden := Style{Stroke: Ink, Width: 1, Dash: []float64{6, 3}}
		if l.Kind == assembly.Band && l.BandInside > 0 {
			outline(l.Plan.Outer().Inset(l.Thickness), hidden)
		} else {
			outline(l.Plan, hidden)
		}
	}
	d.drawCuts(whole)
	for i := range d.pieces {
		if p := &d.pieces[i]; p.layer.Kind == assembly.Decor {
			for _, at := range decorFromAbove(p, whole) {
				q := d.at(at[0], at[1])
				d.add(Circle{At: q, R: decorRadius, Style: Style{Fill: Paper, Stroke: Ink, Width: 1.2}}, Circle{At: q, R: 1.4, Style: Style{Fill: Ink}})
			}
		}
	}
	const cross = 9
	d.add(line(Style{Stroke: Soft, Width: 1}, centre.plus(Point{-cross, 0}), centre.plus(Point{cross, 0})),
		line(Style{Stroke: Soft, Width: 1}, centre.plus(Point{0, -cross}), centre.plus(Point{0, cross})))
	d.drawWidth()
	d.add(Text{At: Point{max(8, d.left()-d.frame.left+12), 18}, Value: "from above", Size: detailSize, Colour: Soft})
	d.drawLeaders(ls)
	d.describe(ls)
	if o.Title == "" {
		d.Title = "From above: " + d.Title
	}
	d.Desc = fmt.Sprintf("Seen from above: %s wide, %s deep.", whole.Width.Show(), whole.Depth.Show())
	return &d.Drawing
}

// seenFromAbove returns the layers of the assembly itself that have an outline or marks.
func seenFromAbove(all []piece) []piece {
	var out []piece
	for _, p := range all {
		switch p.layer.Kind {
		case assembly.Base, assembly.Disc, assembly.Insert, assembly.Band, assembly.Spread:
			if p.layer.Plan.Empty() {
				continue
			}
		case assembly.Decor:
		default:
			continue
		}
		if p.id == p.layer.ID {
			out = append(out, p)
		}
	}
	return out
}

func planDetails(p *piece) []string {
	l := p.layer
	switch {
	case l.Kind == assembly.Decor:
		return nil
	case l.Kind == assembly.Band && l.BandInside > 0:
		return []string{bare(l.BandInside) + " mm clear inside"}
	}
	return []string{outlineSize(l.Plan) + " mm"}
}

// rimPoint returns a point on the outline of the i-th of n layers: each at another height.
func (d *sectioner) rimPoint(p *piece, whole mould.Outline, i, n int) Point {
	if p.layer.Kind == assembly.Decor {
		best := [2]unit.Length{}
		for _, at := range decorFromAbove(p, whole) {
			if at[1] >= best[1] {
				best = at
			}
		}
		return d.at(best[0], best[1])
	}
	o := p.layer.Plan
	if p.layer.Kind == assembly.Band {
		o = o.Inset(p.layer.Thickness / 2)
	}
	t := 0.8 * (1 - 2*(float64(i)+0.5)/float64(n))
	if o.IsCircle() {
		s, c := math.Sincos(t)
		return d.at(o.Width/2*unit.Length(c), o.Width/2*unit.Length(s))
	}
	if o.IsRectangle() {
		return d.at(o.Width/2, (o.Depth/2-o.Corner)*unit.Length(t))
	}
	best, y := [2]unit.Length{}, o.Depth/2*unit.Length(t) // the point furthest right near that height
	for _, q := range o.Points() {
		if off, was := max(q[1]-y, y-q[1]), max(best[1]-y, y-best[1]); q[0] > 0 && (best[0] == 0 || off < was) {
			best = q
		}
	}
	return d.at(best[0], best[1])
}

// decorFromAbove returns the places of a décor: on a circle, or in a row on what is not round.
func decorFromAbove(p *piece, whole mould.Outline) [][2]unit.Length {
	n := p.layer.Pieces
	if n <= 0 {
		n = 5
	}
	n = min(n, 24)
	var out [][2]unit.Length
	for k := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(k) + 0.25) / float64(n))
		x, y := whole.Width/2*unit.Length(0.72*c), whole.Depth/2*unit.Length(0.72*s)
		if !whole.IsCircle() {
			x, y = whole.Width/2*unit.Length(0.8*((2*float64(k)+1)/float64(n)-1)), 0
		}
		out = append(out, [2]unit.Length{x, y})
	}
	return out
}

// drawCuts draws how the piece is shared.
func (d *sectioner) drawCuts(whole mould.Outline) {
	if d.s.Assembly == nil {
		return
	}
	s := Style{Stroke: Soft, Width: 0.8, Dash: []float64{2, 3}}
	n := min(d.s.Assembly.Portions.Count, 200)
	cut := func(x0, y0, x1, y1 unit.Length) { d.add(line(s, d.at(x0, y0), d.at(x1, y1))) }
	w, h := whole.Width/2, whole.Depth/2
	columns, rows := 1, 1
	switch d.s.Assembly.Portions.Rule {
	case "wedges":
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			cut(0, 0, w*unit.Length(cos), h*unit.Length(sin))
		}
		return
	case "slices":
		columns = max(1, n)
	case "squares": // as near to square as the count allows
		best := math.Inf(1)
		for c := 1; c <= n; c++ {
			if n%c != 0 {
				continue
			}
			if off := math.Abs(math.Log(float64(w) / float64(h) * float64(n/c) / float64(c))); off < best {
				best, columns, rows = off, c, n/c
			}
		}
	}
	for k := 1; k < columns; k++ {
		x := w * unit.Length(2*float64(k)/float64(columns)-1)
		cut(x, -h, x, h)
	}
	for k := 1; k < rows; k++ {
		y := h * unit.Length(2*float64(k)/float64(rows)-1)
		cut(-w, y, w, y)
	}
}
