package drawing

import (
	"math"
	"slices"
	"time"
)

// Drawing is a picture: what its writers turn into SVG, PDF and PNG.
type Drawing struct {
	Width, Height float64 // units of 1/96 inch
	MMPerUnit     float64 // millimetres of the piece in one unit; zero if not to scale
	Axis          float64 // x of the axis of a section
	Ground        float64 // y of height 0 of a section as served, of the axis of a plan; zero of other drawings
	Title, Desc   string  // for those who cannot see it

	Items  []Item
	prefix string
}

// Options says how to draw. The zero Options draws for a laptop or for paper.
type Options struct {
	Narrow   bool                        // for a phone: 360 units wide, a numbered legend below
	Title    string                      // accessible title; the name of what is drawn if empty
	IDPrefix string                      // of the SVG's IDs: differs between drawings on one page
	Href     func(layerID string) string // what a layer's leader links to; none if nil or ""
	Zone     *time.Location              // of a timeline's hours; that of its entries if nil
	Due      []Due                       // of a timeline
}

// Due is when something has to be ready.
type Due struct {
	At   time.Time
	Name string
}

// Point is a place on the drawing.
type Point struct{ X, Y float64 }

// Item is a Path, Circle, Text or Group.
type Item interface{ item() }

// Path is a figure of straight edges. Its loops are filled by the even-odd rule.
type Path struct {
	Loops [][]Point
	Open  bool // lines, not closed
	Style
}

// Circle is a circle.
type Circle struct {
	At Point
	R  float64
	Style
}

// Text is one line of text; At is on its baseline.
type Text struct {
	At     Point
	Value  string
	Size   float64 // zero means textSize
	Anchor Anchor
	Bold   bool
	Colour Colour // Ink if zero
}

// ground is the paper on which a text stands clear of lines drawn before it.
func (t Text) ground() Path {
	w := textWidth(t.Value, t.size(), t.Bold)
	x := t.At.X
	switch t.Anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	return rectangle(Style{Fill: Paper}, x-1.5, t.At.Y-0.8*t.size(), w+3, 1.05*t.size())
}

// Group is items that belong to a layer, or that have a title of their own.
type Group struct {
	For, Href, Title string
	Items            []Item
}

func (Path) item()   {}
func (Circle) item() {}
func (Text) item()   {}
func (Group) item()  {}

// Style is how a figure is drawn. The zero Style draws nothing.
type Style struct {
	Fill   Colour
	Hatch  Hatch // over the fill
	Stroke Colour
	Width  float64
	Dash   []float64

	Layer, Kind string // of a layer's region
}

// Anchor is which end of a text lies at its point.
type Anchor uint8

// Anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Colour is a colour by its purpose.
type Colour uint8

// Colours. The zero Colour draws nothing, and as the colour of text is Ink.
const (
	NoColour Colour = iota
	Paper
	Ink
	Soft
	Accent
)

var colours = [...]struct{ variable, fallback string }{
	Paper:  {"--paper", "#fbfaf6"},
	Ink:    {"--ink", "#1e1b17"},
	Soft:   {"--soft", "#6d665c"},
	Accent: {"--accent", "#b4531a"},
}

// Sizes of text.
const (
	textSize   = 13.0
	detailSize = 12.0
)

func (d *Drawing) add(items ...Item) { d.Items = append(d.Items, items...) }

// line returns an open path.
func line(s Style, points ...Point) Path { return Path{Loops: [][]Point{points}, Open: true, Style: s} }

// rectangle returns a closed path.
func rectangle(s Style, x, y, w, h float64) Path {
	return Path{Loops: [][]Point{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}}, Style: s}
}

// arc appends points of a circle from an angle to another, in radians, y down.
func arc(points []Point, c Point, r, from, to float64, steps int) []Point {
	for i := range steps + 1 {
		s, k := math.Sincos(from + (to-from)*float64(i)/float64(steps))
		points = append(points, Point{c.X + r*k, c.Y + r*s})
	}
	return points
}

// rounded returns a rectangle with rounded corners about a centre.
func rounded(s Style, c Point, w, h, r float64) Path {
	r = min(r, w/2, h/2)
	if r <= 0 {
		return rectangle(s, c.X-w/2, c.Y-h/2, w, h)
	}
	var p []Point
	for i, corner := range []Point{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
		at := Point{c.X + corner.X*(w/2-r), c.Y + corner.Y*(h/2-r)}
		p = arc(p, at, r, float64(i)*math.Pi/2, float64(i+1)*math.Pi/2, 12)
	}
	return Path{Loops: [][]Point{p}, Style: s}
}

// drawable reports whether every coordinate of an item is finite: what is not is left out.
func drawable(it Item) bool {
	finite := func(p Point) bool { return !math.IsNaN(p.X+p.Y) && !math.IsInf(p.X+p.Y, 0) }
	switch it := it.(type) {
	case Path:
		for _, l := range it.Loops {
			if slices.ContainsFunc(l, func(p Point) bool { return !finite(p) }) {
				return false
			}
		}
		return len(it.Loops) > 0
	case Circle:
		return finite(it.At) && it.R > 0 && !math.IsInf(it.R, 0)
	case Text:
		return finite(it.At) && it.Value != ""
	}
	return true
}
