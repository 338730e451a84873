package web

import (
	"bytes"
	"math"
	"regexp"
	"strings"

	"chablon/assembly"
	"chablon/drawing"
)

// anchor returns the element ID of a layer's fields; a layer within an insert is "insert/layer".
func anchor(layer string) string { return "layer_" + strings.ReplaceAll(layer, "/", "_") }

// picture is a section as the page shows it.
type picture struct {
	figure
	Hatches string            // the patterns alone, for swatches beside names
	HatchOf map[string]string // pattern by layer; none for what has no region

	wide, narrow *drawing.Drawing
}

// figure is a drawing in the two widths of which a page shows the one that fits.
type figure struct{ Title, Wide, Narrow string }

// drawn draws a figure in both widths. id is told from those of the other figures on the page.
func drawn(title, id string, draw func(drawing.Options) *drawing.Drawing) figure {
	return figure{
		Title:  title,
		Wide:   string(draw(drawing.Options{IDPrefix: id + "w_"}).SVG()),
		Narrow: string(draw(drawing.Options{IDPrefix: id + "n_", Narrow: true}).SVG()),
	}
}

// drawnLayer finds in a drawing which pattern fills a layer's region.
var drawnLayer = regexp.MustCompile(`data-layer="([^"]+)" data-kind="[^"]*" fill="url\(#w_hatch-([^)]+)\)"`)

func drawSection(s *assembly.Section) picture {
	href := func(layer string) string { return "#" + anchor(layer) }
	p := picture{HatchOf: map[string]string{}}
	p.wide = drawing.Section(s, drawing.Options{IDPrefix: "w_", Href: href})
	p.narrow = drawing.Section(s, drawing.Options{IDPrefix: "n_", Href: href, Narrow: true})
	wide := p.wide.SVG()
	p.Wide, p.Narrow = string(wide), string(p.narrow.SVG())
	for _, m := range drawnLayer.FindAllSubmatch(wide, -1) {
		p.HatchOf[string(m[1])] = string(m[2])
	}
	if _, rest, ok := bytes.Cut(wide, []byte("<defs>")); ok {
		defs, _, _ := bytes.Cut(rest, []byte("</defs>"))
		p.Hatches = strings.ReplaceAll(string(defs), `id="w_`, `id="k_`)
	}
	return p
}

// drawSmall returns the layers of a section alone, for a list: no dimensions, no leaders.
func drawSmall(s *assembly.Section, prefix string) string {
	d := drawing.Section(s, drawing.Options{IDPrefix: prefix})
	var layers []drawing.Path
	least, most := drawing.Point{X: math.Inf(1), Y: math.Inf(1)}, drawing.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, item := range d.Items {
		p, ok := item.(drawing.Path)
		if !ok || p.Layer == "" {
			continue
		}
		layers = append(layers, p)
		for _, loop := range p.Loops {
			for _, at := range loop {
				least.X, least.Y = min(least.X, at.X), min(least.Y, at.Y)
				most.X, most.Y = max(most.X, at.X), max(most.Y, at.Y)
			}
		}
	}
	if len(layers) == 0 {
		return ""
	}
	const margin = 2.0
	d.Items, d.Width, d.Height = nil, most.X-least.X+2*margin, most.Y-least.Y+2*margin
	for _, p := range layers {
		loops := make([][]drawing.Point, len(p.Loops))
		for i, loop := range p.Loops {
			for _, at := range loop {
				loops[i] = append(loops[i], drawing.Point{X: at.X - least.X + margin, Y: at.Y - least.Y + margin})
			}
		}
		p.Loops = loops
		p.Style.Width *= 1.6 // it is shown at less than half the size
		d.Items = append(d.Items, p)
	}
	return string(d.SVG())
}
