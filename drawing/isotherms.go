package drawing

import (
	"fmt"
	"math"

	"chablon/assembly"
	"chablon/unit"
)

// Field is temperatures on half a section, as the piece stands in its mould: at the crossings of X,
// outwards from the axis, and Z, upwards.
type Field struct {
	X, Z []unit.Length
	T    []unit.Temperature // of X[i], Z[k] at i*len(Z)+k
	In   []bool             // whether the piece reaches there
}

// Isotherms draws the lines of equal temperature on a section, every so many kelvin, over the outlines of
// its layers; the target's line is drawn strong.
func Isotherms(s *assembly.Section, f Field, target unit.Temperature, o Options) *Drawing {
	d := &Drawing{Width: 860, prefix: o.IDPrefix, Title: o.Title}
	margin := 60.0
	if o.Narrow {
		d.Width, margin = 360, 30
	}
	if d.Title == "" {
		d.Title = "Temperatures on the section"
	}
	var half unit.Length
	all := addPieces(nil, s, "", 0, func(r assembly.Region) assembly.Region { return r })
	for i := range all {
		for _, x := range append(append([]unit.Length(nil), all[i].region.Out...), all[i].core.Out...) {
			half = max(half, x)
		}
	}
	if half <= 0 || s.Top <= 0 || len(f.X) < 2 || len(f.Z) < 2 {
		d.Height, d.Desc = 60, "Nothing to draw."
		d.add(rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height), Text{At: Point{12, 34}, Value: d.Desc})
		return d
	}
	scale := math.Min((d.Width-2*margin)/float64(2*half), 300/float64(s.Top))
	d.MMPerUnit = 1000 / scale
	const above = 18
	d.Height = above + scale*float64(s.Top) + 46
	d.Axis, d.Ground = d.Width/2, above+scale*float64(s.Top)
	at := func(x, z unit.Length) Point { return Point{d.Axis + scale*float64(x), d.Ground - scale*float64(z)} }
	d.add(rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height))
	for i := range all {
		for _, r := range [2]assembly.Region{all[i].region, all[i].core} {
			if loops := outlineOf(r, at); len(loops) > 0 {
				d.add(Path{Loops: loops, Style: Style{Stroke: Soft, Width: 0.5, Dash: []float64{1.5, 2}}})
			}
		}
	}
	low, high := unit.Temperature(math.Inf(1)), unit.Temperature(math.Inf(-1))
	for i, in := range f.In {
		if in {
			low, high = min(low, f.T[i]), max(high, f.T[i])
		}
	}
	every := 1.0
	for _, e := range []float64{1, 2, 5, 10} {
		if every = e; float64(high-low)/e <= 8 {
			break
		}
	}
	drawn := 0
	var labels []Text
	isotherm := func(t unit.Temperature, style Style) {
		n, p := d.isotherm(f, t, style, at)
		if drawn += n; n == 0 {
			return
		}
		p = p.plus(Point{-3, -3})
		for _, l := range labels { // where lines crowd, one label speaks for its neighbours
			if math.Abs(l.At.X-p.X) <= 30 && math.Abs(l.At.Y-p.Y) <= 12 {
				return
			}
		}
		labels = append(labels, Text{At: p, Value: unit.Number(float64(t), 0) + "°", Size: 10.5, Anchor: End, Bold: style.Stroke == Accent, Colour: style.Stroke})
	}
	if target > low && target < high {
		isotherm(target, Style{Stroke: Accent, Width: 2.2})
	}
	for t := every * math.Ceil(float64(low)/every); t <= float64(high); t += every {
		if math.Abs(t-float64(target)) > every/4 {
			isotherm(unit.Temperature(t), Style{Stroke: Ink, Width: 1})
		}
	}
	for _, l := range labels { // over all lines
		d.add(l.ground(), l)
	}
	d.add(line(Style{Stroke: Soft, Width: 0.6, Dash: []float64{8, 3, 2, 3}}, Point{d.Axis, above - 6}, Point{d.Axis, d.Ground + 6}))
	words := fmt.Sprintf("%s at the coldest, %s at the warmest place", low.Show(), high.Show())
	if drawn > 0 {
		words += fmt.Sprintf("; a line every %s K", unit.Number(every, 0))
	}
	d.Desc = words + "."
	y := d.Ground + 24
	for _, row := range wrap(d.Desc, d.Width-2*12, detailSize, false) {
		d.add(Text{At: Point{12, y}, Value: row, Size: detailSize, Colour: Soft})
		y += 16
	}
	d.Height = y
	d.Items[0] = rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height)
	return d
}

// isotherm draws one line of equal temperature on both halves, by marching squares, and returns the number of
// its stretches and where it is farthest to the right.
func (d *Drawing) isotherm(f Field, t unit.Temperature, style Style, at func(x, z unit.Length) Point) (int, Point) {
	n := len(f.Z)
	xs := append([]unit.Length{-f.X[0]}, f.X...) // across the axis it goes on as it came
	if f.X[0] > f.X[1]-f.X[0] {                  // the hole of a ring
		xs = f.X
	}
	column := func(i int) int {
		if len(xs) > len(f.X) {
			return max(0, i-1)
		}
		return i
	}
	value := func(i, k int) (float64, bool) {
		c := column(i)*n + k
		return float64(f.T[c] - t), f.In[c]
	}
	var ends [][2]Point
	label, found := Point{}, false
	for i := 0; i+1 < len(xs); i++ {
		for k := 0; k+1 < n; k++ {
			corner := [4][2]int{{i, k}, {i + 1, k}, {i + 1, k + 1}, {i, k + 1}}
			var v [4]float64
			inside := true
			for c, q := range corner {
				x, in := value(q[0], q[1])
				v[c], inside = x, inside && in
			}
			if !inside {
				continue
			}
			var cut []Point
			for c := range corner {
				e := (c + 1) % 4
				if (v[c] > 0) == (v[e] > 0) {
					continue
				}
				w := unit.Length(v[c] / (v[c] - v[e]))
				x := xs[corner[c][0]] + w*(xs[corner[e][0]]-xs[corner[c][0]])
				z := f.Z[corner[c][1]] + w*(f.Z[corner[e][1]]-f.Z[corner[c][1]])
				cut = append(cut, Point{float64(x), float64(z)})
			}
			for j := 0; j+1 < len(cut); j += 2 {
				ends = append(ends, [2]Point{cut[j], cut[j+1]})
				if p := cut[j]; p.X >= 0 && (!found || p.X > label.X) {
					label, found = p, true
				}
			}
		}
	}
	for _, e := range ends {
		for _, sign := range [2]float64{1, -1} {
			if sign < 0 && (e[0].X < 0 || e[1].X < 0) {
				continue // drawn with the right half
			}
			d.add(line(style, at(unit.Length(sign*e[0].X), unit.Length(e[0].Y)), at(unit.Length(sign*e[1].X), unit.Length(e[1].Y))))
		}
	}
	if !found {
		return 0, Point{}
	}
	return len(ends), at(unit.Length(label.X), unit.Length(label.Y))
}
