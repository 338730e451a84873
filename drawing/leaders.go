package drawing

import (
	"cmp"
	"slices"
	"strconv"

	"chablon/assembly"
	"chablon/unit"
)

// leader is a line from a layer to what is said of it.
type leader struct {
	id, name string
	details  []string
	names    []string // name, broken into lines
	lines    []string // details, broken into lines
	dot      Point    // from the axis and the ground, y down
	placed   bool     // the layer has a place to point at
	y        float64  // middle of the text's first line (of the number's mark), from the ground
}

const (
	nameRow   = 16.0
	detailRow = 15.0
	markSize  = 9.5 // radius of a number's mark
)

// leaders returns a leader for each layer in the order of their texts, from the top, spread so
// that texts do not meet and lines do not cross. Coordinates are from the axis and the ground.
func (d *sectioner) leaders() []leader {
	d.Axis, d.Ground = 0, 0
	var out []leader
	for i := range d.pieces {
		p := &d.pieces[i]
		l := leader{id: p.id, name: p.name(), details: p.details(d.pieces)}
		l.dot, l.placed = d.pointAt(p)
		out = append(out, l)
	}
	d.arrange(out)
	return out
}

// arrange breaks the texts of leaders into lines, sorts and spreads them.
func (d *sectioner) arrange(out []leader) {
	width := wideFrame.text
	if d.o.Narrow {
		width = d.frame.width - 3*markSize - 22
	}
	for i := range out {
		l := &out[i]
		l.names = wrap(l.name, width, textSize, true)
		for _, detail := range l.details {
			l.lines = append(l.lines, wrap(detail, width, detailSize, false)...)
		}
	}
	slices.SortStableFunc(out, func(a, b leader) int {
		if a.placed != b.placed { // what has no place comes last
			return cmp.Compare(btoi(b.placed), btoi(a.placed))
		}
		return cmp.Or(cmp.Compare(a.dot.Y, b.dot.Y), cmp.Compare(b.dot.X, a.dot.X))
	})
	d.spreadLeaders(out)
	for range len(out) * len(out) { // crossing lines swap their texts: each swap makes them shorter
		if !d.uncross(out) {
			break
		}
		d.spreadLeaders(out)
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// height returns what a leader's text takes.
func (l *leader) height() float64 {
	return nameRow*float64(len(l.names)) + detailRow*float64(len(l.lines))
}

func (d *sectioner) spreadLeaders(ls []leader) {
	want, size := make([]float64, len(ls)), make([]float64, len(ls))
	lowest := 0.0
	for i := range ls {
		if !ls[i].placed {
			ls[i].dot.Y = lowest
		}
		lowest = max(lowest, ls[i].dot.Y)
		want[i], size[i] = ls[i].dot.Y-nameRow/2, ls[i].height()
		if d.o.Narrow {
			want[i], size[i] = ls[i].dot.Y-markSize, 2*markSize
		}
	}
	gap, half := 8.0, nameRow/2
	if d.o.Narrow {
		gap, half = 3, markSize
	}
	for i, top := range spread(want, size, gap) {
		ls[i].y = top + half
	}
}

// elbow returns the x at which leaders turn level.
func (d *sectioner) elbow() float64 {
	if d.o.Narrow {
		return d.right() + d.frame.gap - 2*markSize - 10
	}
	return d.right() + d.frame.gap*0.55
}

// uncross swaps neighbours whose lines cross and reports whether there were any.
func (d *sectioner) uncross(ls []leader) bool {
	x := d.elbow()
	swapped := false
	for i := 1; i < len(ls); i++ {
		a, b := &ls[i-1], &ls[i]
		if !a.placed || !b.placed {
			continue
		}
		// At the farther dot, the line of the nearer one is above it or below; texts say above.
		from := max(a.dot.X, b.dot.X)
		if from >= x {
			continue
		}
		ya := a.dot.Y + (a.y-a.dot.Y)*(from-a.dot.X)/(x-a.dot.X)
		yb := b.dot.Y + (b.y-b.dot.Y)*(from-b.dot.X)/(x-b.dot.X)
		if ya > yb+1e-9 {
			ls[i-1], ls[i] = ls[i], ls[i-1]
			swapped = true
		}
	}
	return swapped
}

// pointAt returns where a leader touches its layer, right of the axis.
func (d *sectioner) pointAt(p *piece) (Point, bool) {
	switch p.layer.Kind {
	case assembly.Decor:
		marks := d.decorMarks(p)
		return slices.MaxFunc(marks, func(a, b Point) int { return cmp.Compare(a.X, b.X) }), true
	case assembly.Soak:
		for i := range d.pieces {
			if r := d.pieces[i].region; d.pieces[i].id == p.on && !r.Empty() {
				z := r.Z[len(r.Z)-1] - min(unit.Length(4/d.scale), (r.Z[len(r.Z)-1]-r.Z[0])/3)
				in, out, _ := r.At(z)
				return d.at(in+(out-in)*0.6, z), true
			}
		}
		return Point{}, false
	}
	r := p.region
	if r.Empty() || r.Z[len(r.Z)-1] <= r.Z[0] {
		return Point{}, false
	}
	z0, z1 := r.Z[0], r.Z[len(r.Z)-1]
	if p.layer.Inside != nil { // its outline: what is inside has leaders of its own
		z := z0 + (z1-z0)*0.5
		_, out, ok := r.At(z)
		return d.at(out, z), ok
	}
	return d.roomiest(r, z0, z1)
}

// roomiest returns a point well inside a region, far out where there is a choice.
func (d *sectioner) roomiest(r assembly.Region, z0, z1 unit.Length) (Point, bool) {
	const enough = 8 // units of room: more is no better
	best, found, at := 0.0, false, Point{}
	for k := range 9 {
		z := z0 + (z1-z0)*(unit.Length(k)+1)/10
		in, out, ok := r.At(z)
		if !ok {
			continue
		}
		for _, share := range []unit.Length{0.1, 0.25, 0.5, 0.7, 0.85, 0.93} {
			x := in + (out-in)*share
			room := min(d.px(out-x), d.px(z-z0), d.px(z1-z))
			if in > 0 {
				room = min(room, d.px(x-in))
			}
			for _, dz := range []unit.Length{-6, 6} { // and above and below
				if in, out, ok := r.At(z + dz/unit.Length(d.scale)); !ok || x < in || x > out {
					room = min(room, 3)
				}
			}
			score := 2*min(room, enough)/enough + d.px(x)/d.px(d.halfW)
			if score > best {
				best, found, at = score, true, d.at(x, z)
			}
		}
	}
	return at, found
}

// setOut places the piece on the drawing: its axis, its ground, and the drawing's size.
func (d *sectioner) setOut(ls []leader) {
	f := d.frame
	w := 2 * d.px(d.halfW)
	d.Width = f.width
	d.Axis = (f.width-f.left-w-f.gap-f.text)/2 + f.left + w/2
	above, below := d.px(d.top)+30, 70-d.px(d.low)
	if m := d.s.Mould; m != nil && m.Solid != nil && !d.inverted() {
		above = max(above, d.px(m.Solid.Height())+30)
	}
	for i := range ls {
		if !d.o.Narrow {
			above = max(above, nameRow-ls[i].y)
			below = max(below, ls[i].y-nameRow/2+ls[i].height()+8)
		} else if ls[i].placed {
			above = max(above, markSize-ls[i].y)
			below = max(below, ls[i].y+markSize+12)
		}
	}
	d.Ground = above + 26
	d.Height = d.Ground + below
	for i := range ls {
		ls[i].dot.X += d.Axis
		ls[i].dot.Y += d.Ground
		ls[i].y += d.Ground
	}
	if d.o.Narrow {
		for i := range ls {
			d.Height += ls[i].height() + 12
		}
	}
}

// drawLeaders draws the leaders with their texts, or with numbers and a legend.
func (d *sectioner) drawLeaders(ls []leader) {
	legend := d.Height
	if d.o.Narrow {
		for i := range ls {
			legend -= ls[i].height() + 12
		}
	}
	x := d.right() + d.frame.gap
	for i := range ls {
		l := &ls[i]
		g := Group{For: l.id}
		if d.o.Href != nil {
			g.Href = d.o.Href(l.id)
		}
		if !d.o.Narrow {
			if l.placed {
				g.Items = append(g.Items, d.leaderLine(l, x-8)...)
			}
			g.Items = append(g.Items, l.text(Point{x, l.y + 4.5})...)
			d.add(g)
			continue
		}
		number := strconv.Itoa(i + 1)
		if l.placed {
			g.Items = d.leaderLine(l, x-2*markSize)
			g.Items = append(g.Items, mark(Point{x - markSize, l.y}, number)...)
		}
		g.Items = append(g.Items, mark(Point{8 + markSize, legend + nameRow/2}, number)...)
		g.Items = append(g.Items, l.text(Point{8 + 2*markSize + 9, legend + nameRow/2 + 4.5})...)
		legend += l.height() + 12
		d.add(g)
	}
}

func (d *sectioner) leaderLine(l *leader, to float64) []Item {
	r := 2.6
	if d.o.Narrow {
		r = 2
	}
	return []Item{
		line(Style{Stroke: Ink, Width: 0.9}, l.dot, Point{d.elbow(), l.y}, Point{to, l.y}),
		Circle{At: l.dot, R: r, Style: Style{Fill: Ink, Stroke: Paper, Width: 0.8}},
	}
}

// text returns the lines of a leader's text from the baseline of its first.
func (l *leader) text(at Point) []Item {
	var out []Item
	for _, s := range l.names {
		out = append(out, Text{At: at, Value: s, Bold: true})
		at.Y += nameRow
	}
	for _, s := range l.lines {
		out = append(out, Text{At: at, Value: s, Size: detailSize, Colour: Soft})
		at.Y += detailRow
	}
	return out
}

// mark returns a number in a circle.
func mark(at Point, number string) []Item {
	return []Item{
		Circle{At: at, R: markSize, Style: Style{Fill: Paper, Stroke: Ink, Width: 1}},
		Text{At: at.plus(Point{0, 4}), Value: number, Size: 11.5, Anchor: Middle, Bold: true},
	}
}
