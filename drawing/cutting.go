package drawing

import (
	"fmt"
	"slices"

	"chablon/cutting"
	"chablon/unit"
)

// mostSheets bounds how many different sheets are drawn; the rest is said in words.
const mostSheets = 12

// Cutting draws the sheets of a layout with their cuts, to scale. Sheets that are cut alike, one
// after the other, are drawn once.
func Cutting(l cutting.Layout, o Options) *Drawing {
	width, columns, room := 1216.0, 2, 470.0
	if o.Narrow {
		width, columns, room = 360, 1, 268
	}
	d := &Drawing{Width: width, prefix: o.IDPrefix, Title: o.Title}
	if d.Title == "" {
		d.Title = "How the sheets are cut"
	}
	groups := alike(l.Sheets)
	if len(groups) <= 1 {
		columns = 1
	}
	sheetW, sheetD := float64(l.Sheet.Width), float64(l.Sheet.Depth)
	if !(sheetW > 0 && sheetD > 0) || len(groups) == 0 {
		d.Height = 60
		d.add(rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height), Text{At: Point{12, 34}, Value: "Nothing is cut from sheets."})
		d.Desc = "Nothing is cut from sheets."
		return d
	}
	scale := min(room/sheetW, 420/sheetD)
	d.MMPerUnit = 1000 / scale
	c := cutter{d, l, scale}
	background := len(d.Items)
	d.add(nil)
	const left, above, below = 74, 34, 54
	cellW, cellH := (width-16)/float64(columns), above+sheetD*scale+below
	for i, g := range groups[:min(len(groups), mostSheets)] {
		at := Point{8 + float64(i%columns)*cellW + left, float64(i/columns)*cellH + above}
		c.sheet(at, g)
	}
	shown := min(len(groups), mostSheets)
	y := float64((shown+columns-1)/columns)*cellH + 10
	if len(groups) > shown {
		d.add(Text{At: Point{12, y}, Value: fmt.Sprintf("and %d sheets more, not drawn", len(l.Sheets)-groups[shown].first), Size: detailSize, Colour: Soft})
		y += 22
	}
	for i, p := range l.Pieces {
		if p.Count == 0 {
			continue
		}
		size := bare(p.Width) + " × " + p.Height.Show()
		if p.Round {
			size = "Ø " + p.Width.Show()
		}
		for k, s := range wrap(fmt.Sprintf("%d × %s, %s", p.Count, p.Name, size), width-60, textSize, false) {
			if k == 0 {
				d.add(mark(Point{22, y}, letter(i))...)
			}
			d.add(Text{At: Point{42, y + 4.5}, Value: s})
			y += 18
		}
		y += 8
	}
	d.Height = y + 4
	d.Items[background] = rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height)
	d.Desc = fmt.Sprintf("%d sheets of %s by %s. Trimmings: %s cm².", len(l.Sheets), l.Sheet.Width.Show(), l.Sheet.Depth.Show(), unit.Number(l.Trimmings.SquareCentimetres(), 0))
	return d
}

// letter returns the name of the i-th piece on the drawing: A to Z, then numbers.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return fmt.Sprint(i + 1)
}

type alikeSheets struct {
	first, n int
	cuts     []cutting.Cut
}

func alike(sheets [][]cutting.Cut) []alikeSheets {
	var out []alikeSheets
	for i, s := range sheets {
		if n := len(out); n > 0 && slices.Equal(out[n-1].cuts, s) {
			out[n-1].n++
			continue
		}
		out = append(out, alikeSheets{i, 1, s})
	}
	return out
}

type cutter struct {
	*Drawing
	layout cutting.Layout
	scale  float64 // units in a metre
}

// sheet draws one sheet from its upper left corner.
func (c *cutter) sheet(at Point, g alikeSheets) {
	px := func(l unit.Length) float64 { return float64(l) * c.scale }
	sh := c.layout.Sheet
	w, h := px(sh.Width), px(sh.Depth)
	label := fmt.Sprintf("Sheet %d of %d", g.first+1, len(c.layout.Sheets))
	if g.n > 1 {
		label = fmt.Sprintf("Sheets %d to %d of %d, cut alike", g.first+1, g.first+g.n, len(c.layout.Sheets))
	}
	c.add(Text{At: at.plus(Point{0, -10}), Value: label, Bold: true}, rectangle(Style{Stroke: Ink, Width: 1.6}, at.X, at.Y, w, h))
	if e := px(sh.Edge); e > 0 {
		c.add(rectangle(Style{Stroke: Soft, Width: 0.8, Dash: []float64{5, 3}}, at.X+e, at.Y+e, w-2*e, h-2*e))
	}
	for _, cut := range g.cuts {
		if cut.Piece < 0 || cut.Piece >= len(c.layout.Pieces) {
			continue
		}
		p := c.layout.Pieces[cut.Piece]
		cw, ch := px(cut.Width), px(cut.Height)
		x, y := at.X+px(cut.X), at.Y+h-px(cut.Y)-ch
		s := Style{Hatch: Sponge, Stroke: Ink, Width: 1.1}
		mid := Point{x + cw/2, y + ch/2}
		var shape Item = rectangle(s, x, y, cw, ch)
		if p.Round {
			shape = Circle{At: mid, R: min(cw, ch) / 2, Style: s}
		}
		group := Group{Title: fmt.Sprintf("%s, %s × %s", p.Name, bare(cut.Width), cut.Height.Show()), Items: []Item{shape}}
		if min(cw, ch) >= 2*markSize+2 {
			group.Items = append(group.Items, mark(mid, letter(cut.Piece))...)
		} else if min(cw, ch) >= 10 {
			group.Items = append(group.Items, Circle{At: mid, R: 5.5, Style: Style{Fill: Paper}}, Text{At: mid.plus(Point{0, 3.2}), Value: letter(cut.Piece), Size: 9, Anchor: Middle, Bold: true})
		}
		c.add(group)
	}
	c.add(dimension(Point{at.X, at.Y + h + 16}, Point{at.X + w, at.Y + h + 16})...)
	c.add(Text{At: Point{at.X + w/2, at.Y + h + 32}, Value: sh.Width.Show(), Size: detailSize, Anchor: Middle, Colour: Soft})
	c.add(dimension(Point{at.X - 14, at.Y + h}, Point{at.X - 14, at.Y})...)
	c.add(Text{At: Point{at.X - 20, at.Y + h/2 + 4}, Value: sh.Depth.Show(), Size: 11.5, Anchor: End, Colour: Soft})
}
