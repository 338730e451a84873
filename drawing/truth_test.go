package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"chablon/assembly"
)

// parsed is what a reader of the SVG sees: its scale, its axis and its layers.
type parsed struct {
	mmPerUnit, axis float64
	layers          map[string][][]Point
	kinds           map[string]string
	texts           []string
}

func parseSVG(t *testing.T, svg []byte) parsed {
	t.Helper()
	p := parsed{layers: map[string][][]Point{}, kinds: map[string]string{}}
	dec := xml.NewDecoder(bytes.NewReader(svg))
	inText := false
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return p
		}
		if err != nil {
			t.Fatalf("the SVG is not well formed: %v", err)
		}
		switch token := token.(type) {
		case xml.CharData:
			if inText {
				p.texts = append(p.texts, string(token))
			}
		case xml.EndElement:
			inText = false
		case xml.StartElement:
			inText = token.Name.Local == "text"
			a := map[string]string{}
			for _, x := range token.Attr {
				if _, twice := a[x.Name.Local]; twice {
					t.Errorf("<%s> has attribute %s twice", token.Name.Local, x.Name.Local)
				}
				a[x.Name.Local] = x.Value
			}
			if token.Name.Local == "svg" && a["data-mm-per-unit"] != "" {
				p.mmPerUnit, p.axis = number(t, a["data-mm-per-unit"]), number(t, a["data-axis-x"])
			}
			if id := a["data-layer"]; id != "" {
				if token.Name.Local != "path" || p.layers[id] != nil || a["fill-rule"] != "evenodd" {
					t.Errorf("layer %q: want one path with the even-odd rule", id)
				}
				p.layers[id], p.kinds[id] = pathLoops(t, a["d"]), a["data-kind"]
			}
		}
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// pathLoops reads a path of M, L and Z.
func pathLoops(t *testing.T, d string) [][]Point {
	t.Helper()
	var loops [][]Point
	for loop := range strings.SplitSeq(strings.TrimSuffix(d, "Z"), "Z") {
		var l []Point
		for _, part := range strings.FieldsFunc(loop, func(r rune) bool { return r == 'M' || r == 'L' }) {
			x, y, ok := strings.Cut(part, " ")
			if !ok {
				t.Fatalf("path %q: want a pair of numbers, got %q", d, part)
			}
			l = append(l, Point{number(t, x), number(t, y)})
		}
		loops = append(loops, l)
	}
	return loops
}

// half returns the part of a loop on one side of the axis, which is moved to x = 0 and the side
// turned to the right: Sutherland and Hodgman's clipping against one line.
func half(loop []Point, axis, side float64) []Point {
	var out []Point
	for i, p := range loop {
		q := loop[(i+1)%len(loop)]
		a, b := Point{side * (p.X - axis), p.Y}, Point{side * (q.X - axis), q.Y}
		if a.X >= 0 {
			out = append(out, a)
		}
		if (a.X >= 0) != (b.X >= 0) {
			out = append(out, Point{0, a.Y + (b.Y-a.Y)*a.X/(a.X-b.X)})
		}
	}
	return out
}

// moments returns ∫ dA and ∫ x dA of a loop by Green's theorem, without sign.
func moments(loop []Point) (area, first float64) {
	for i, p := range loop {
		q := loop[(i+1)%len(loop)]
		cross := p.X*q.Y - q.X*p.Y
		area += cross / 2
		first += cross * (p.X + q.X) / 6
	}
	return math.Abs(area), math.Abs(first)
}

// integrals returns the area of an even-odd figure and ∫ |x| dA on one side of the axis. A loop
// counts against the figure if it lies within an odd number of the others.
func integrals(loops [][]Point, axis, side float64) (area, first float64) {
	for i, l := range loops {
		sign := 1.0
		probe := Point{(l[0].X + l[1].X) / 2, (l[0].Y + l[1].Y) / 2} // on its edge
		for j, other := range loops {
			if j != i && inside(probe, edgesOf([][]Point{other})) {
				sign = -sign
			}
		}
		a, f := moments(half(l, axis, side))
		area, first = area+sign*a, first+sign*f
	}
	return area, first
}

// TestSectionTruth revolves what is drawn: 2π ∫ x dA over each half (Pappus) is the volume of the
// layer that is drawn, both halves are alike, and the width and height of the piece follow from
// one scale. In a frame with upright walls the drawn area times the depth is the volume.
func TestSectionTruth(t *testing.T) {
	for name, s := range sections(t) {
		for _, narrow := range []bool{false, true} {
			d := Section(s, Options{Narrow: narrow})
			svg := parseSVG(t, d.SVG())
			checked := checkLayers(t, name, svg, s, "")
			if checked != len(svg.layers) {
				t.Errorf("%s: %d layers are drawn, %d laid", name, len(svg.layers), checked)
			}
		}
	}
}

func checkLayers(t *testing.T, name string, svg parsed, s *assembly.Section, prefix string) int {
	t.Helper()
	const tolerance = 0.005 // as promised; rounding to 0.01 units is below it
	n := 0
	for i := range s.Layers {
		l := &s.Layers[i]
		id := prefix + l.ID
		if l.Volume <= 0 {
			continue
		}
		n++
		loops := svg.layers[id]
		if loops == nil {
			t.Errorf("%s: layer %s of %s is not drawn", name, id, l.Volume.Show())
			continue
		}
		if svg.kinds[id] != l.Kind.String() {
			t.Errorf("%s: layer %s: data-kind is %q, want %q", name, id, svg.kinds[id], l.Kind)
		}
		for _, side := range []float64{-1, 1} {
			area, first := integrals(loops, svg.axis, side)
			mm := svg.mmPerUnit
			got := 2 * math.Pi * first * mm * mm * mm / 1000 // ml
			if o := s.Mould.Solid.At(0); !o.Empty() && !o.IsCircle() {
				got = 2 * area * mm * mm * l.Plan.Depth.Millimetres() / 1000
				if l.Plan.Empty() {
					got = 2 * area * mm * mm * o.Depth.Millimetres() / 1000
				}
			}
			if want := l.Volume.Millilitres(); math.Abs(got/want-1) > tolerance {
				t.Errorf("%s: layer %s, side %+.0f: drawn %.2f ml, want %.2f ml", name, id, side, got, want)
			}
		}
		if l.Inside != nil {
			n += checkLayers(t, name, svg, l.Inside, id+"/")
		}
	}
	return n
}

// TestOneScale compares widths and heights of layers as drawn with those laid.
func TestOneScale(t *testing.T) {
	for _, c := range []struct {
		section       *assembly.Section
		layer         string
		width, height float64 // mm, from the fixtures
	}{
		// Band and base leave the mousse nothing below 10 mm; it goes to 57 mm.
		{ring(t), "base", 190, 10},
		{ring(t), "mousse", 200, 47},
		{ring(t), "band", 200, 46},
		{ring(t), "glaze", 200, 3},
		{ring(t), "insert/jelly", 139, 10}, // its ring is 136 mm at the foot and 142 mm at 20 mm
		{dome(t), "core", 30, 15},
		{dome(t), "coat", 73, 36.5},
		{dome(t), "base", 58, 6},
		{slab(t), "curd", 360, 9},
	} {
		for _, narrow := range []bool{false, true} {
			svg := parseSVG(t, Section(c.section, Options{Narrow: narrow}).SVG())
			x0, y0, x1, y1 := bounds(svg.layers[c.layer])
			near := 0.011 * svg.mmPerUnit // two coordinates, each rounded to 0.01
			if w, h := (x1-x0)*svg.mmPerUnit, (y1-y0)*svg.mmPerUnit; math.Abs(w-c.width) > near || math.Abs(h-c.height) > near {
				t.Errorf("%s: drawn %.3f × %.3f mm, want %g × %g", c.layer, w, h, c.width, c.height)
			}
			if mid := (x0 + x1) / 2; math.Abs(mid-svg.axis) > 0.011 {
				t.Errorf("%s: its middle is at %.2f, the axis at %.2f", c.layer, mid, svg.axis)
			}
		}
	}
}

// TestServed: an inverted piece is drawn with the disc at the rim down; an insert laid turned over
// has its lowest layer up.
func TestServed(t *testing.T) {
	lowest := func(svg parsed, id string) float64 { _, _, _, y := bounds(svg.layers[id]); return y }
	svg := parseSVG(t, Section(dome(t), Options{}).SVG())
	if !(lowest(svg, "base") > lowest(svg, "core")) {
		t.Error("dome: the base at the rim must be drawn below the core")
	}
	svg = parseSVG(t, Section(ring(t), Options{}).SVG())
	x0, y0, x1, y1 := bounds(svg.layers["insert"])
	for _, id := range []string{"insert/jelly", "insert/crunch", "insert/cream"} {
		if a0, b0, a1, b1 := bounds(svg.layers[id]); a0 < x0-0.01 || b0 < y0-0.01 || a1 > x1+0.01 || b1 > y1+0.01 {
			t.Errorf("ring: %s is drawn outside its insert", id)
		}
	}
	if !(lowest(svg, "insert/jelly") < lowest(svg, "insert/crunch") && lowest(svg, "insert/crunch") < lowest(svg, "insert/cream")) {
		t.Error("ring: the heart is laid turned over: jelly, crunch and cream must follow from the top")
	}
}
