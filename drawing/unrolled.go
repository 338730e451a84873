package drawing

import (
	"fmt"
	"math"

	"chablon/assembly"
	"chablon/unit"
)

// Unrolled draws one of the strips that a band is cut as, laid flat and to scale: a rectangle, or the
// sector that goes round a wall that leans. What laps at a joint is hatched crosswise at its end.
func Unrolled(s *assembly.Section, band *assembly.Placed, o Options) *Drawing {
	strip := s.Strip(band)
	d := &Drawing{Width: 1216, prefix: o.IDPrefix, Title: o.Title}
	margin := 70.0
	if o.Narrow {
		d.Width, margin = 360, 34
	}
	name := (&piece{layer: band}).name()
	if d.Title == "" {
		d.Title = "Unrolled: " + name
	}
	if strip.Length <= 0 || strip.Height <= 0 {
		d.Height, d.Desc = 60, name+" has no size yet."
		d.add(rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height), Text{At: Point{12, 34}, Value: d.Desc})
		return d
	}
	long := float64(max(strip.Length, strip.Upper))
	scale := min((d.Width-2*margin)/long, 260/float64(strip.Height), mostScale*1000)
	d.MMPerUnit = 1000 / scale
	px := func(l unit.Length) float64 { return float64(l) * scale }
	words := fmt.Sprintf("of %s × %s", strip.Length.Show(), strip.Height.Show())
	const above = 40
	var bottom float64
	if strip.Straight() {
		w, h := px(strip.Length), px(strip.Height)
		x, y := (d.Width-w)/2, float64(above)
		d.add(rectangle(Style{Fill: Paper, Hatch: Sponge, Stroke: Ink, Width: 1.2}, x, y, w, h))
		if lap := px(strip.Overlap); lap > 0 {
			d.add(rectangle(Style{Fill: Paper, Stroke: Ink, Width: 0.8, Dash: []float64{4, 3}}, x+w-lap, y, lap, h))
		}
		d.add(dimension(Point{x, y + h + 18}, Point{x + w, y + h + 18})...)
		d.add(Text{At: Point{d.Width / 2, y + h + 34}, Value: strip.Length.Show(), Size: detailSize, Anchor: Middle, Colour: Soft})
		d.add(dimension(Point{x - 12, y + h}, Point{x - 12, y})...)
		d.add(Text{At: Point{x, y - 10}, Value: strip.Height.Show() + " high", Size: detailSize, Colour: Soft})
		bottom = y + h + 34
	} else {
		bottom = d.sector(strip, scale, above)
		words = fmt.Sprintf("between arcs of %s and %s, %s° wide", strip.Radius.Show(), (strip.Radius + strip.Height).Show(), unit.Number(strip.Angle*180/math.Pi, 1))
	}
	count := "1 strip"
	if strip.Pieces > 1 {
		count = fmt.Sprintf("%d strips", strip.Pieces)
	}
	said := fmt.Sprintf("Cut %s %s, %s thick", count, words, band.Thickness.Show())
	switch {
	case strip.Overlap > 0:
		said += fmt.Sprintf("; each joint laps %s (dashed).", strip.Overlap.Show())
	default:
		said += "; the ends butt."
	}
	d.Desc = name + ". " + said
	y := bottom + 26
	for _, row := range wrap(said, d.Width-24, textSize, false) {
		d.add(Text{At: Point{12, y}, Value: row})
		y += 18
	}
	d.Height = y + 2
	d.Items = append([]Item{rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height)}, d.Items...)
	return d
}

// sector draws a curved strip standing with its longer arc up, and returns where it ends.
func (d *Drawing) sector(s assembly.Strip, scale, above float64) float64 {
	r0, r1 := float64(s.Radius)*scale, float64(s.Radius+s.Height)*scale
	half := s.Angle / 2
	if w := 2 * r1 * math.Sin(min(half, math.Pi/2)); w > d.Width-40 { // a wide sector needs another scale
		f := (d.Width - 40) / w
		r0, r1 = r0*f, r1*f
		d.MMPerUnit /= f
	}
	low := min(r0*math.Cos(half), r1*math.Cos(half)) // lowest point over the centre
	c := Point{d.Width / 2, above + r1}
	up := -math.Pi / 2
	loop := arc(nil, c, r1, up-half, up+half, 48)
	loop = arc(loop, c, r0, up+half, up-half, 48)
	d.add(Path{Loops: [][]Point{loop}, Style: Style{Fill: Paper, Hatch: Sponge, Stroke: Ink, Width: 1.2}})
	if s.Overlap > 0 && s.Radius > 0 {
		lap := float64(s.Overlap / s.Radius)
		end := arc(nil, c, r1, up+half-lap, up+half, 8)
		end = arc(end, c, r0, up+half, up+half-lap, 8)
		d.add(Path{Loops: [][]Point{end}, Style: Style{Fill: Paper, Stroke: Ink, Width: 0.8, Dash: []float64{4, 3}}})
	}
	d.add(Text{At: Point{d.Width / 2, above - 12}, Value: fmt.Sprintf("outer arc %s, radius %s", max(s.Length, s.Upper).Show(), (s.Radius + s.Height).Show()), Size: detailSize, Anchor: Middle, Colour: Soft})
	y := c.Y - low
	d.add(Text{At: Point{d.Width / 2, y + 18}, Value: fmt.Sprintf("inner arc %s, radius %s", min(s.Length, s.Upper).Show(), s.Radius.Show()), Size: detailSize, Anchor: Middle, Colour: Soft})
	return y + 18
}
