package drawing

import (
	"math"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/unit"
)

// dimension returns a dimension line with an arrow at both ends.
func dimension(a, b Point) []Item {
	s := Style{Stroke: Soft, Width: 1}
	items := []Item{line(s, a, b)}
	l := math.Hypot(b.X-a.X, b.Y-a.Y)
	if l < 1 {
		return items
	}
	ux, uy := (b.X-a.X)/l, (b.Y-a.Y)/l
	const long, half = 8, 2.8
	for _, end := range []struct {
		p    Point
		sign float64
	}{{a, 1}, {b, -1}} {
		bx, by := end.p.X+end.sign*long*ux, end.p.Y+end.sign*long*uy
		items = append(items, Path{Loops: [][]Point{{{bx - half*uy, by + half*ux}, end.p, {bx + half*uy, by - half*ux}}}, Style: Style{Fill: Soft}})
	}
	return items
}

// spread moves intervals apart until none overlap, each as little as can be in the mean: sizes
// and wanted lower ends in rising order, lower ends in return.
func spread(want, size []float64, gap float64) []float64 {
	type cluster struct {
		first, n  int
		sum, size float64 // of wanted starts, and of members with gaps
	}
	start := func(c cluster) float64 { return c.sum / float64(c.n) }
	var cs []cluster
	for i := range want {
		c := cluster{i, 1, want[i], size[i] + gap}
		for len(cs) > 0 && start(cs[len(cs)-1])+cs[len(cs)-1].size > start(c) {
			p := cs[len(cs)-1]
			cs = cs[:len(cs)-1]
			c = cluster{p.first, p.n + c.n, p.sum + c.sum - float64(c.n)*p.size, p.size + c.size}
		}
		cs = append(cs, c)
	}
	out := make([]float64, 0, len(want))
	for _, c := range cs {
		at := start(c)
		for i := c.first; i < c.first+c.n; i++ {
			out = append(out, at)
			at += size[i] + gap
		}
	}
	return out
}

// levels returns the heights of faces worth a figure, from the top down, as served.
func (d *sectioner) levels() []unit.Length {
	var out []unit.Length
	for i := range d.pieces {
		p := &d.pieces[i]
		l := p.layer
		if strings.Contains(p.id, "/") || p.region.Empty() || l.Kind == assembly.Coat && !l.Flooded() {
			continue
		}
		out = append(out, p.region.Z[0], p.region.Z[len(p.region.Z)-1])
	}
	slices.Sort(out)
	slices.Reverse(out)
	const same = 0.05 * unit.Millimetre
	out = slices.CompactFunc(out, func(a, b unit.Length) bool { return max(a-b, b-a) < same })
	return slices.DeleteFunc(out, func(z unit.Length) bool { return z < same || d.top-z < same }) // those have the whole height
}

// drawHeights draws the heights of faces and the whole height, left of the piece.
func (d *sectioner) drawHeights() {
	const size, row = 11.5, 13.0
	s := Style{Stroke: Soft, Width: 0.8}
	levels := d.levels()
	want, sizes := make([]float64, len(levels)), make([]float64, len(levels))
	for i, z := range levels {
		want[i], sizes[i] = d.at(0, z).Y-row/2, row
	}
	x := d.left() - 10
	widest := 0.0
	for i, top := range spread(want, sizes, 0) {
		value := bare(levels[i])
		widest = max(widest, textWidth(value, size, false))
		y := d.at(0, levels[i]).Y
		d.add(line(s, Point{x, y}, Point{x - 6, y}, Point{x - 13, top + row/2}, Point{x - 16, top + row/2}))
		d.add(Text{At: Point{x - 19, top + row/2 + 4}, Value: value, Size: size, Anchor: End, Colour: Soft})
	}
	high, low := d.at(0, d.top), d.at(0, d.low)
	if high.Y >= low.Y {
		return
	}
	x -= 19 + widest + 14
	if len(levels) == 0 {
		x = d.left() - 24
	}
	d.add(dimension(Point{x, low.Y}, Point{x, high.Y})...)
	if d.o.Narrow { // beside the line there is no room: under it
		value := (d.top - d.low).Show()
		at := max(x, 4+textWidth(value, size, false)*0.54)
		d.add(Text{At: Point{at, low.Y + 16}, Value: value, Size: size, Anchor: Middle, Colour: Soft})
		return
	}
	d.add(Text{At: Point{x - 8, (low.Y+high.Y)/2 + 4}, Value: (d.top - d.low).Show(), Size: detailSize, Anchor: End, Colour: Soft})
}

// drawWidth draws the whole width under the piece.
func (d *sectioner) drawWidth() {
	y := d.Ground - d.px(d.low) + 40
	text := (2 * d.halfW).Show()
	if m := d.s.Mould; m != nil && m.Solid != nil {
		if o := m.Solid.At(m.Solid.Height()); o.IsCircle() {
			text = "Ø " + text
		} else if !o.Empty() {
			text += ", " + o.Depth.Show() + " deep"
		}
	}
	for _, x := range []float64{d.left(), d.right()} {
		d.add(line(Style{Stroke: Soft, Width: 0.8}, Point{x, y - 22}, Point{x, y + 5}))
	}
	d.add(dimension(Point{d.left(), y}, Point{d.right(), y})...)
	d.add(Text{At: Point{d.Axis, y + 17}, Value: text, Size: detailSize, Anchor: Middle, Colour: Soft})
}
