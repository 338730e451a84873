package drawing

import (
	"math"

	"chablon/assembly"
	"chablon/unit"
)

// wallGap is how far off the piece its mould is drawn, in units.
const wallGap = 4

// drawMould draws the mould as a dashed line outside the piece, and what the piece stands on.
func (d *sectioner) drawMould() {
	stand := 1.5
	m := d.s.Mould
	if m != nil && m.Solid != nil {
		film := unit.Length(0) // a coat that is put on after unmoulding lies where the mould was
		for i := range d.s.Layers {
			if l := &d.s.Layers[i]; l.Kind == assembly.Coat && !l.Flooded() {
				film = max(film, l.Film)
			}
		}
		off := d.px(film) + wallGap
		right := d.profile(off)
		left := make([]Point, len(right))
		for i, p := range right {
			left[len(right)-1-i] = Point{2*d.Axis - p.X, p.Y}
		}
		s := Style{Stroke: Ink, Width: 1, Dash: []float64{6, 3}}
		if m.OpenBottom {
			d.add(line(s, left...), line(s, right...))
		} else {
			d.add(line(s, append(left, right...)...))
			if !d.inverted() {
				stand += off + 1
			}
		}
	}
	if m != nil && m.Solid != nil && m.Solid.At(m.Solid.Height()).Hole > 0 {
		d.drawTube()
	}
	out := 46.0
	if d.o.Narrow {
		out = 16
	}
	y := d.Ground - d.px(d.low) + stand
	d.add(line(Style{Stroke: Ink, Width: 2.4}, Point{d.left() - out, y}, Point{d.right() + out, y}))
}

// drawTube draws the wall of a tube in the middle of the mould, a little inside of what lies round it.
func (d *sectioner) drawTube() {
	m := d.s.Mould
	upTo := m.Solid.Height()
	if d.inverted() && d.s.Top > 0 {
		upTo = min(upTo, d.s.Top)
	}
	const steps = 60
	for _, sign := range []float64{-1, 1} {
		var p []Point
		for k := range steps + 1 {
			z := upTo * unit.Length(k) / steps
			y := d.px(z)
			if d.inverted() {
				y = d.px(d.s.Top) - y
			}
			p = append(p, Point{d.Axis + sign*max(0, d.px(m.Solid.At(z).Hole/2)-wallGap), d.Ground - y})
		}
		d.add(line(Style{Stroke: Ink, Width: 1, Dash: []float64{6, 3}}, p...))
	}
}

// profile returns the right half of the mould's inner wall, moved outwards by so many units, from
// the axis (from the wall's foot where the bottom is open) to the rim. Of an inverted piece it is
// turned over, up to where the piece is cut level.
func (d *sectioner) profile(off float64) []Point {
	m := d.s.Mould
	upTo := m.Solid.Height()
	if d.inverted() && d.s.Top > 0 {
		upTo = min(upTo, d.s.Top)
	}
	var p []Point // distance from the axis and height, in units, y up
	add := func(x, z unit.Length) {
		q := Point{d.px(x), d.px(z)}
		if n := len(p); n == 0 || math.Hypot(q.X-p[n-1].X, q.Y-p[n-1].Y) > 1e-6 {
			p = append(p, q)
		}
	}
	if !m.OpenBottom {
		add(0, 0)
	}
	breaks := m.Solid.Breaks()
	for i := 1; i < len(breaks) && breaks[i-1] < upTo; i++ {
		lo, hi := breaks[i-1], min(breaks[i], upTo)
		const steps = 40
		for k := range steps + 1 {
			t := unit.Length(k) / steps
			z := lo + (hi-lo)*t*t // closer near a pole
			if k == steps {
				z = hi - (hi-lo)*1e-9 // below a ledge
			}
			add(m.Solid.At(z).HalfWidth(), z)
		}
	}
	moved := offset(p, off)
	for i, q := range moved {
		y := d.Ground - q.Y
		if d.inverted() {
			y = d.Ground - (d.px(d.s.Top) - q.Y)
		}
		moved[i] = Point{d.Axis + max(0, q.X), y}
	}
	return moved
}

// offset moves a line to its right by a distance, mitred. It runs outwards and up, y up, so its
// right is outside.
func offset(p []Point, by float64) []Point {
	out := make([]Point, len(p))
	normal := func(i int) Point {
		dx, dy := p[i+1].X-p[i].X, p[i+1].Y-p[i].Y
		l := math.Hypot(dx, dy)
		return Point{dy / l, -dx / l}
	}
	for i := range p {
		if len(p) < 2 {
			return p
		}
		a, b := normal(max(0, i-1)), normal(min(i, len(p)-2))
		k := by / max(0.25, 1+a.X*b.X+a.Y*b.Y)
		out[i] = Point{p[i].X + k*(a.X+b.X), p[i].Y + k*(a.Y+b.Y)}
	}
	return out
}

// surfaceAt returns the height of the piece as served at a distance from the axis.
func (d *sectioner) surfaceAt(x unit.Length) unit.Length {
	var z unit.Length
	for i := range d.pieces {
		r := d.pieces[i].region
		for k := len(r.Z) - 1; k > 0; k-- {
			if r.Z[k] <= z {
				break
			}
			hi, lo := r.Out[k]-x, r.Out[k-1]-x
			if hi >= 0 && r.In[k] <= x {
				z = r.Z[k]
				break
			}
			if lo >= 0 && hi < 0 {
				z = max(z, r.Z[k]+(r.Z[k-1]-r.Z[k])*hi/(hi-lo))
				break
			}
		}
	}
	return z
}

// decorRadius is half the width of a mark for a décor, in units.
const decorRadius = 4.2

// decorMarks returns the places of the marks for a décor: pieces on a circle, seen from the side;
// in a row on what is not round; a few for one that is not counted.
func (d *sectioner) decorMarks(p *piece) []Point {
	n := p.layer.Pieces
	if n <= 0 {
		n = 5
	}
	n = min(n, 24)
	round := d.s.Mould == nil || d.s.Mould.Solid == nil || d.s.Mould.Solid.At(0).IsCircle() || d.s.Mould.Solid.At(0).Empty()
	var out []Point
	for k := range n {
		x := 0.72 * math.Cos(2*math.Pi*(float64(k)+0.25)/float64(n))
		if !round {
			x = 0.8 * ((2*float64(k)+1)/float64(n) - 1)
		}
		z := d.surfaceAt(unit.Length(abs(x)) * d.halfW)
		out = append(out, d.at(unit.Length(x)*d.halfW, z).plus(Point{0, -decorRadius + 0.8}))
	}
	return out
}

func (d *sectioner) drawDecor() {
	for i := range d.pieces {
		if d.pieces[i].layer.Kind != assembly.Decor {
			continue
		}
		for _, at := range d.decorMarks(&d.pieces[i]) {
			d.add(Circle{At: at, R: decorRadius, Style: Style{Fill: Paper, Stroke: Ink, Width: 1.2}}, Circle{At: at, R: 1.4, Style: Style{Fill: Ink}})
		}
	}
}
