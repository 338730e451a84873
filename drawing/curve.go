package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"chablon/unit"
)

// CurvePoint is a piece at one moment of a freezing, chilling or thawing.
type CurvePoint struct {
	Time                time.Duration
	Core, Surface, Mean unit.Temperature
	CoreLow, CoreHigh   unit.Temperature // drawn where CurveOptions.Band is set
}

// CurvePlace is where a piece is from a time on.
type CurvePlace struct {
	From time.Duration
	Name string
}

// CurveOptions say what a curve is of: the target and when it is reached, with the range of that
// time, and the temperature around.
type CurveOptions struct {
	Options
	Target, Air     unit.Temperature
	Ready, Low, Top time.Duration // zero Ready: never
	Band            bool          // the range of the core is drawn
	Places          []CurvePlace  // that it goes through, if more than one
}

// Curve draws the temperatures of a piece over time: its core, its surface and their mean, the
// target, and the range in which it is reached.
func Curve(points []CurvePoint, o CurveOptions) *Drawing {
	d := &Drawing{Width: 860, Height: 360, prefix: o.IDPrefix, Title: o.Title}
	left, right, top, bottom := 56.0, 20.0, 22.0, 42.0
	if o.Narrow {
		d.Width, d.Height, left, right = 360, 260, 44, 8
	}
	d.add(rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height))
	if d.Title == "" {
		d.Title = "Temperatures over time"
	}
	if len(points) < 2 {
		d.Desc = "Nothing to draw."
		return d
	}
	low, high := o.Air, o.Air
	for _, p := range points {
		low, high = min(low, p.Core, p.Surface, p.Mean, o.Target), max(high, p.Core, p.Surface, p.Mean, o.Target)
		if o.Band {
			low, high = min(low, p.CoreLow), max(high, p.CoreHigh)
		}
	}
	low, high = unit.Temperature(5*math.Floor(float64(low)/5)), unit.Temperature(5*math.Ceil(float64(high)/5))
	end := max(points[len(points)-1].Time, o.Top, time.Minute)
	x := func(t time.Duration) float64 { return left + (d.Width-left-right)*float64(t)/float64(end) }
	y := func(t unit.Temperature) float64 {
		return top + (d.Height-top-bottom)*float64(high-t)/math.Max(1, float64(high-low))
	}
	step := 5.0
	for float64(high-low)/step > 9 {
		step *= 2
	}
	for t := float64(low); t <= float64(high)+1e-9; t += step {
		at := y(unit.Temperature(t))
		d.add(line(Style{Stroke: Soft, Width: 0.4}, Point{left, at}, Point{d.Width - right, at}))
		d.add(Text{At: Point{left - 6, at + 4}, Value: unit.Number(t, 0) + "°", Size: 11.5, Anchor: End, Colour: Soft})
	}
	hours := []float64{0.25, 0.5, 1, 2, 4, 6, 12, 24, 48}
	every := hours[len(hours)-1]
	most := 10.0
	if o.Narrow {
		most = 6
	}
	for _, h := range hours {
		if end.Hours()/h <= most {
			every = h
			break
		}
	}
	for h := 0.0; h <= end.Hours()+1e-9; h += every {
		at := x(time.Duration(h * float64(time.Hour)))
		d.add(line(Style{Stroke: Soft, Width: 0.8}, Point{at, d.Height - bottom}, Point{at, d.Height - bottom + 5}))
		d.add(Text{At: Point{at, d.Height - bottom + 19}, Value: strings.TrimSuffix(unit.Number(h, 2), ".00"), Size: 11.5, Anchor: Middle, Colour: Soft})
	}
	d.add(Text{At: Point{d.Width - right, d.Height - 8}, Value: "hours", Size: 11.5, Anchor: End, Colour: Soft})
	if o.Ready > 0 {
		band := rectangle(Style{Hatch: Waiting}, x(o.Low), top, math.Max(1, x(o.Top)-x(o.Low)), d.Height-top-bottom)
		d.add(band, line(Style{Stroke: Accent, Width: 1.6}, Point{x(o.Ready), top}, Point{x(o.Ready), d.Height - bottom}))
	}
	legend := d.curvePlaces(o.Places, x, d.Width-right, top, d.Height-bottom)
	d.add(line(Style{Stroke: Accent, Width: 1, Dash: []float64{6, 3}}, Point{left, y(o.Target)}, Point{d.Width - right, y(o.Target)}))
	curve := func(of func(CurvePoint) unit.Temperature, style Style) []Point {
		var path []Point
		for _, p := range points {
			q := Point{x(p.Time), y(of(p))}
			if n := len(path); n == 0 || math.Hypot(q.X-path[n-1].X, q.Y-path[n-1].Y) > 1.5 {
				path = append(path, q)
			}
		}
		path = append(path, Point{x(points[len(points)-1].Time), y(of(points[len(points)-1]))})
		d.add(line(style, path...))
		return path
	}
	if o.Band {
		edge := Style{Stroke: Ink, Width: 0.7}
		curve(func(p CurvePoint) unit.Temperature { return p.CoreLow }, edge)
		curve(func(p CurvePoint) unit.Temperature { return p.CoreHigh }, edge)
	}
	var names []Text
	for _, c := range []struct {
		name  string
		of    func(CurvePoint) unit.Temperature
		style Style
		at    float64 // share of the way where the name stands
	}{
		{"surface", func(p CurvePoint) unit.Temperature { return p.Surface }, Style{Stroke: Soft, Width: 1.4, Dash: []float64{2, 2}}, 0.12},
		{"mean", func(p CurvePoint) unit.Temperature { return p.Mean }, Style{Stroke: Soft, Width: 1.4}, 0.3},
		{"core", func(p CurvePoint) unit.Temperature { return p.Core }, Style{Stroke: Ink, Width: 2.2}, 0.5},
	} {
		path := curve(c.of, c.style)
		at := path[int(c.at*float64(len(path)-1))]
		n := Text{At: at.plus(Point{6, -6}), Value: c.name, Size: detailSize, Bold: c.name == "core", Colour: c.style.Stroke}
		n.At.X = min(n.At.X, d.Width-right-textWidth(n.Value, n.Size, n.Bold))
		names = append(names, n)
	}
	for _, n := range names { // over all lines
		d.add(n.ground(), n)
	}
	if legend != "" {
		for _, row := range wrap(legend, d.Width-left-right, 11.5, false) {
			d.Height += 15
			d.add(Text{At: Point{left, d.Height - 8}, Value: row, Size: 11.5, Colour: Soft})
		}
		d.Items[0] = rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height)
	}
	last := points[len(points)-1]
	d.Desc = fmt.Sprintf("From %s at the core to %s in %s; around it %s.", points[0].Core.Show(), last.Core.Show(), unit.ShowDuration(last.Time), o.Air.Show())
	if len(o.Places) > 1 {
		var names []string
		for _, p := range o.Places {
			names = append(names, p.Name)
		}
		d.Desc = fmt.Sprintf("From %s at the core to %s in %s, through %s.", points[0].Core.Show(), last.Core.Show(), unit.ShowDuration(last.Time), strings.Join(names, ", "))
	}
	return d
}

// curvePlaces marks where a piece is from when on. A name stands in its own stretch; where one is too short for
// that, all have numbers, and the legend that is returned names them.
func (d *Drawing) curvePlaces(places []CurvePlace, x func(time.Duration) float64, right, top, bottom float64) string {
	const size, gap = 11.5, 4.0
	numbered := false
	for i, p := range places {
		end := right
		if i+1 < len(places) {
			end = x(places[i+1].From)
		}
		numbered = numbered || textWidth(p.Name, size, false)+2*gap > end-x(p.From)
	}
	var legend []string
	for i, p := range places {
		if i > 0 {
			d.add(line(Style{Stroke: Soft, Width: 0.8}, Point{x(p.From), top}, Point{x(p.From), bottom}))
		}
		name := Text{At: Point{x(p.From) + gap, top + 13}, Value: p.Name, Size: size, Colour: Soft}
		if numbered {
			name.Value = strconv.Itoa(i + 1)
			name.At.Y += 13 * float64(i%2) // beside its neighbour, however short the stretch
			legend = append(legend, name.Value+" "+p.Name)
		}
		d.add(name.ground(), name)
	}
	return strings.Join(legend, ", ")
}
