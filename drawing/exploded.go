package drawing

import (
	"cmp"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/unit"
)

// Exploded draws the layers of an assembly one over another and apart, in the order in which they
// lie when it is served, to one scale. An insert that is an assembly of its own is drawn whole,
// its layers in it. Soaks and décor have no shape of their own and are named only.
func Exploded(s *assembly.Section, o Options) *Drawing {
	d := sectioner{o: o, s: &assembly.Section{Assembly: s.Assembly}, frame: wideFrame, pieces: pieces(s)}
	d.frame.left = 40
	if o.Narrow {
		d.frame = narrowFrame
		d.frame.left = 24
		d.frame.mostW += 50
	}
	d.frame.mostH *= 1.5
	d.prefix = o.IDPrefix
	d.pieces = apart(d.pieces)
	d.fitText()
	d.measure()
	leaders := d.leaders()
	d.setOut(leaders)
	d.add(rectangle(Style{Fill: Paper}, 0, 0, d.Width, d.Height))
	d.drawAxis()
	d.drawLayers()
	caption := "taken apart, as served"
	if d.inverted() {
		caption += ": it is built upside down"
	}
	d.add(Text{At: Point{max(8, d.left()-d.frame.left+12), 18}, Value: caption, Size: detailSize, Colour: Soft})
	d.drawLeaders(leaders)
	d.describe(leaders)
	if o.Title == "" {
		d.Title = "Taken apart: " + strings.TrimPrefix(d.Title, "Section of ")
	}
	d.Desc = strings.Replace(d.Desc, "Cut through the middle", "Its layers drawn apart", 1)
	return &d.Drawing
}

// apart moves the layers of an assembly upward until none lies beside another, lowest first, and
// the layers in an insert with it.
func apart(all []piece) []piece {
	var order []int // of the assembly's own layers that have a shape
	var sum unit.Length
	for i := range all {
		if r := all[i].region; !strings.Contains(all[i].id, "/") && !r.Empty() {
			order = append(order, i)
			low, high := extent(r)
			sum += high - low
		}
	}
	middle := func(i int) unit.Length {
		low, high := extent(all[i].region)
		return low + high
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(middle(a), middle(b)), cmp.Compare(a, b))
	})
	var at unit.Length
	for _, i := range order {
		low, high := extent(all[i].region)
		lift := at - low
		at += high - low + sum/unit.Length(4*len(order))
		inside := all[i].id + "/"
		all[i].region, all[i].core = all[i].region.Shift(lift), all[i].core.Shift(lift)
		for j := range all {
			if strings.HasPrefix(all[j].id, inside) && !all[j].region.Empty() {
				all[j].region = all[j].region.Shift(lift)
			}
		}
	}
	return slices.DeleteFunc(all, func(p piece) bool { return p.layer.Kind == assembly.Decor })
}

// extent returns the lowest and the highest place at which a region takes any room.
func extent(r assembly.Region) (low, high unit.Length) {
	first, last := len(r.Z)-1, 0
	for i := range r.Z {
		if r.Out[i]-r.In[i] > thin {
			first, last = min(first, i), i
		}
	}
	if first > last {
		first, last = 0, len(r.Z)-1
	}
	return r.Z[first], r.Z[last]
}
