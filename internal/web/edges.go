package web

import (
	"fmt"
	"html"
	"math"
	"slices"
	"strconv"
	"strings"

	"chablon/assembly"
	"chablon/drawing"
	"chablon/unit"
)

// edge is an edge of a layer in the section, with the figure that moving it edits. Lengths are in
// millimetres: of a level edge the height as served, of an upright one the distance from the axis.
type edge struct {
	Field    string // element ID of the figure's field
	Label    string // "upper edge of Cardamom bavarois"
	Figure   string // "below rim"
	Upright  bool
	At       float64
	Low, Top float64 // how far it can be moved
	From, To float64 // its ends: distances from the axis, or heights
	Value    float64 // of the figure
	Per      float64 // change of the figure for a millimetre of the edge
}

// served turns heights of a layer as laid into heights of the piece as served.
type served struct {
	sign  float64
	shift float64 // millimetres
}

func (s served) at(z unit.Length) float64 { return s.sign*z.Millimetres() + s.shift }

// servedAs returns how a section's heights are served.
func servedAs(s *assembly.Section) served {
	if s.Assembly != nil && s.Assembly.Inverted {
		return served{-1, s.Top.Millimetres()}
	}
	return served{1, 0}
}

// within returns how the heights of what lies inside an insert are served.
func (s served) within(p *assembly.Placed) served {
	in := served{1, p.Z0.Millimetres()}
	if p.TurnedOver {
		in = served{-1, p.Z1.Millimetres()}
	}
	return served{s.sign * in.sign, s.sign*in.shift + s.shift}
}

// edger finds the edges of one layer.
type edger struct {
	l      *layerView
	height unit.Length // of the mould that it is laid in
	half   unit.Length // of that mould's width
	edges  []edge
}

// addEdges finds the edges of a layer that is laid in a section.
func (l *layerView) addEdges(s *assembly.Section) {
	p := l.Placed
	if p.Region.Empty() || s.Mould == nil || s.Mould.Solid == nil {
		return
	}
	h := s.Mould.Solid.Height()
	e := edger{l: l, height: h, half: s.Mould.Solid.At(h).Width / 2}
	switch p.Kind {
	case assembly.Base, assembly.Disc, assembly.Insert, assembly.Spread:
		e.body()
	case assembly.Band:
		e.level("height", p.Z1, 1, 0.5, (h - p.Z0).Millimetres())
		e.level("offset", p.Z0, 1, 0, (h - p.Z1 + p.Z0).Millimetres())
		e.upright("thickness", e.half-p.Thickness, -1, 0.5, e.half.Millimetres()-1)
	case assembly.Fill:
		e.fill()
	case assembly.Coat:
		e.coat()
	}
	l.Edges = e.edges
}

// body is what is cut or moulded: its upper edge edits where it lies if the layer says so, else
// its thickness.
func (e *edger) body() {
	p := e.l.Placed
	h, thick := e.height.Millimetres(), (p.Z1 - p.Z0).Millimetres()
	hung := e.level("level", p.Z1, 1, thick, h) || e.level("below", p.Z1, -1, 0, h-thick)
	switch {
	case p.Inside != nil: // its height is that of its layers
	case hung:
		e.level("thickness", p.Z0, -1, 0.5, p.Z1.Millimetres())
	default:
		e.level("thickness", p.Z1, 1, 0.5, (e.height - p.Z0).Millimetres())
	}
	e.level("offset", p.Z0, 1, 0, h-thick)
	side, half := p.Plan.Width/2, e.half.Millimetres()
	if !e.upright("inset", side, -1, 0, half-1) && !e.upright("diameter", side, 2, 2, 2*half) {
		e.upright("width", side, 2, 2, 2*half)
	}
}

func (e *edger) fill() {
	p := e.l.Placed
	z0, h := p.Z0.Millimetres(), e.height.Millimetres()
	if !e.level("below", p.Z1, -1, 0, h-z0-0.5) && !e.level("level", p.Z1, 1, z0+0.5, h) && !e.level("thickness", p.Z1, 1, 0.5, h) {
		e.open("level", p.Z1, z0+0.5, h)
	}
	for i, st := range p.Stages {
		if st.Level.Given && i < len(p.Stages)-1 {
			e.level(fmt.Sprintf("stage%d", i+1), st.Level.Length, 1, z0, p.Z1.Millimetres())
		}
	}
}

func (e *edger) coat() {
	p := e.l.Placed
	z0, h := p.Z0.Millimetres(), e.height.Millimetres()
	if p.Flooded() {
		if !e.level("below", p.Z1, -1, 0, h-z0-0.5) && !e.level("level", p.Z1, 1, z0+0.5, h) && !e.level("thickness", p.Z1, 1, 0.5, h) {
			e.level("film", p.Z1, 1, 0.5, h)
		}
		return
	}
	const most = 10 // of what stays on a piece
	outer := p.Region.Z[len(p.Region.Z)-1]
	if e.l.Served.sign < 0 { // the film lies over what was laid first
		outer = p.Region.Z[0]
	}
	e.level("film", outer, e.l.Served.sign, 0.1, most)
}

// level adds an edge that is moved up and down, if the layer gives the figure. per is the change
// of the figure for a height as laid; low and top bound the figure.
func (e *edger) level(name string, z unit.Length, per, low, top float64) bool {
	f, ok := e.given(name)
	if !ok {
		return false
	}
	e.addLevel(f, z, f.quantity.Length().Millimetres(), per, low, top)
	return true
}

// open adds the edge of a figure that is not given: it is where the edge lies.
func (e *edger) open(name string, z unit.Length, low, top float64) {
	for _, f := range e.l.Fields {
		if f.Name == name {
			e.addLevel(f, z, z.Millimetres(), 1, low, top)
		}
	}
}

func (e *edger) addLevel(f field, z unit.Length, value, per, low, top float64) {
	s := e.l.Served
	in, out := e.stretch(z)
	side := "upper"
	if r := e.l.Placed.Region; (z < (r.Z[0]+r.Z[len(r.Z)-1])/2) != (s.sign < 0) {
		side = "lower"
	}
	which := side + " edge of "
	if strings.HasPrefix(f.Name, "stage") {
		which = "edge of " + strings.ToLower(strings.TrimSuffix(f.Label, " up to")) + " of "
	}
	e.add(edge{At: s.at(z), From: in, To: out, Value: value, Per: per * s.sign}, f, which, low, top)
}

// stretch returns how far a level edge reaches, from the axis.
func (e *edger) stretch(z unit.Length) (in, out float64) {
	r := e.l.Placed.Region
	best := 0
	for i := range r.Z {
		nearer := math.Abs(float64(r.Z[i]-z)) < math.Abs(float64(r.Z[best]-z))-1e-9
		same := math.Abs(float64(r.Z[i]-r.Z[best])) < 1e-9
		if nearer || same && r.Out[i]-r.In[i] > r.Out[best]-r.In[best] {
			best = i
		}
	}
	if r.Out[best]-r.In[best] < 0.001*unit.Metre { // it runs to a point
		return 0, e.half.Millimetres() / 2
	}
	return r.In[best].Millimetres(), r.Out[best].Millimetres()
}

// upright adds an edge that is moved sideways, if the layer gives the figure.
func (e *edger) upright(name string, x unit.Length, per, low, top float64) bool {
	f, ok := e.given(name)
	if !ok {
		return false
	}
	p, s := e.l.Placed, e.l.Served
	a, b := s.at(p.Z0), s.at(p.Z1)
	side := "side edge of "
	if e.l.Placed.Kind == assembly.Band {
		side = "inner edge of "
	}
	e.add(edge{Upright: true, At: x.Millimetres(), From: min(a, b), To: max(a, b), Value: f.quantity.Length().Millimetres(), Per: per}, f, side, low, top)
	return true
}

func (e *edger) given(name string) (field, bool) {
	i := slices.IndexFunc(e.l.Fields, func(f field) bool { return f.Name == name && f.quantity != nil && f.quantity.Given() })
	if i < 0 {
		return field{}, false
	}
	return e.l.Fields[i], true
}

func (e *edger) add(x edge, f field, which string, low, top float64) {
	x.Field, x.Label, x.Figure = e.l.FieldID(f.Name), which+e.l.Placed.Name, strings.ToLower(f.Label)
	ends := []float64{x.At + (low-x.Value)/x.Per, x.At + (top-x.Value)/x.Per}
	x.Low, x.Top = min(x.At, ends[0], ends[1]), max(x.At, ends[0], ends[1])
	for _, v := range []float64{x.At, x.Low, x.Top, x.From, x.To, x.Value} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return
		}
	}
	e.edges = append(e.edges, x)
}

// withEdges draws the edges over a section, for a pointer and for the keyboard. They are not seen
// until they are pointed at or have the focus.
func (v *assemblyView) withEdges(svg string, d *drawing.Drawing, prefix string) string {
	if !(d.MMPerUnit > 0) {
		return svg
	}
	x := func(mm float64) string { return coordinate(d.Axis + mm/d.MMPerUnit) }
	y := func(mm float64) string { return coordinate(d.Ground - mm/d.MMPerUnit) }
	levels, sides := v.neighbours()
	var b strings.Builder
	fmt.Fprintf(&b, `<g class="edges" data-levels="%s" data-sides="%s">`, figures(levels), figures(sides))
	for i := range v.Layers {
		for _, e := range v.Layers[i].Edges {
			var path, way string
			if e.Upright {
				way = "horizontal"
				for _, side := range []float64{1, -1} {
					path += "M" + x(side*e.At) + " " + y(e.From) + "V" + y(e.To)
				}
			} else {
				way = "vertical"
				path = "M" + x(-e.To) + " " + y(e.At) + "H" + x(-e.From) + "M" + x(e.From) + " " + y(e.At) + "H" + x(e.To)
			}
			fmt.Fprintf(&b, `<path class="edge %s" id="%s" d="%s" data-field="%s" data-figure="%s" data-at="%s" data-from="%s" data-to="%s" data-value="%s" data-per="%s" `,
				way, prefix+"edge_"+e.Field, path, html.EscapeString(e.Field), html.EscapeString(e.Figure), plain(e.At), plain(e.From), plain(e.To), plain(e.Value), plain(e.Per))
			fmt.Fprintf(&b, `role="slider" tabindex="0" aria-orientation="%s" aria-label="%s" aria-valuenow="%s" aria-valuemin="%s" aria-valuemax="%s" aria-valuetext="%s %s mm"></path>`,
				way, html.EscapeString(e.Label), plain(e.At), plain(e.Low), plain(e.Top), html.EscapeString(e.Figure), plain(e.Value))
		}
	}
	b.WriteString("</g>\n</svg>")
	if before, after, ok := strings.Cut(svg, "</svg>"); ok {
		return before + b.String() + after
	}
	return svg
}

// neighbours lists the heights and the distances from the axis that an edge may snap to: those of
// every layer, of the bottom and of the rim.
func (v *assemblyView) neighbours() (levels, sides []float64) {
	s := v.Piece.Section
	as := servedAs(s)
	h := s.Mould.Solid.Height()
	levels = append(levels, as.at(0), as.at(h))
	sides = append(sides, s.Mould.Solid.At(h).Width.Millimetres()/2)
	for i := range v.Layers {
		l := &v.Layers[i]
		if p := l.Placed; !p.Region.Empty() {
			levels = append(levels, l.Served.at(p.Z0), l.Served.at(p.Z1))
			if !p.Plan.Empty() {
				sides = append(sides, p.Plan.Width.Millimetres()/2)
			}
			if p.BandInside > 0 {
				sides = append(sides, p.BandInside.Millimetres()/2)
			}
		}
	}
	tidy := func(list []float64) []float64 {
		slices.Sort(list)
		return slices.CompactFunc(list, func(a, b float64) bool { return math.Abs(b-a) < 0.01 })
	}
	return tidy(levels), tidy(sides)
}

func figures(list []float64) string {
	var out []string
	for _, x := range list {
		out = append(out, plain(x))
	}
	return strings.Join(out, " ")
}

// plain writes a figure so that a script reads it.
func plain(x float64) string {
	return strconv.FormatFloat(math.Round(x*1000)/1000+0, 'f', -1, 64)
}
