package plan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"chablon/assembly"
	"chablon/check"
	"chablon/cutting"
	"chablon/finding"
	"chablon/formula"
	"chablon/mould"
	"chablon/unit"
)

// Usable shares of a vessel: a whipped mix needs room to rise and to be folded, a pot to boil.
// Source: common practice, no source.
const (
	bowlShare = 0.80
	potShare  = 0.70
)

// Names of what is left over only because of how a component is made.
const (
	LeastBatch   = "least batch"
	WholeFormula = "whole formula"
)

// mostBatches bounds how often one formula is made for one job.
const mostBatches = 2000

// cutGroup is everything cut from sheets of one kind, baked at one thickness.
type cutGroup struct {
	mould     *mould.Mould
	thickness unit.Length
	pieces    []cutting.Piece
	mass      unit.Mass // of the pieces
}

// cutFrom reports whether a layer is cut from something baked flat.
func cutFrom(l *assembly.Placed) bool {
	switch l.Kind {
	case assembly.Base, assembly.Disc, assembly.Band:
		return l.MadeIn != nil
	}
	return false
}

// cutting adds the shapes that a layer needs, for so many pieces.
func (x *need) cutting(l *assembly.Placed, pieces int) {
	i := slices.IndexFunc(x.cut, func(g *cutGroup) bool { return g.mould.ID == l.MadeIn.ID && g.thickness == l.Thickness })
	if i < 0 {
		x.cut = append(x.cut, &cutGroup{mould: l.MadeIn, thickness: l.Thickness})
		i = len(x.cut) - 1
	}
	g := x.cut[i]
	g.mass += l.Mass * unit.Mass(pieces)
	if l.Kind == assembly.Band {
		n := max(1, l.BandPieces)
		each := l.StripLength / unit.Length(n)
		// A strip is cut to its developed length; as laid it is bent, and laps itself.
		g.pieces = append(g.pieces, cutting.Piece{
			Name: l.ID, Width: each, Height: l.BandHeight, Count: n * pieces,
			Area: unit.Area(float64(each) * float64(l.BandHeight)),
		})
		return
	}
	g.pieces = append(g.pieces, cutting.Piece{Name: l.ID, Width: l.Plan.Width, Height: l.Plan.Depth, Area: l.Plan.Area(), Count: pieces, Round: l.Plan.IsCircle(), Joined: l.Joined})
}

// sheets lays the shapes of a group out and weighs the whole sheets.
func (g *cutGroup) sheets(density unit.Density) (Sheets, error) {
	rim, floor := g.mould.Solid.At(g.thickness), g.mould.Solid.At(0)
	if floor.Area() < rim.Area() { // pieces are cut with upright sides
		rim = floor
	}
	out := Sheets{Mould: g.mould, Thickness: g.thickness}
	if rim.IsCircle() { // a round pan gives one piece
		for _, p := range g.pieces {
			if p.Width > rim.Width+1e-9 || p.Height > rim.Depth+1e-9 {
				return out, fmt.Errorf("%s is %s across, but the pan %s gives %s", p.Name, max(p.Width, p.Height).Show(), g.mould.ID, rim.Width.Show())
			}
			out.Count += p.Count
			out.Layout.Taken += p.Area * unit.Area(p.Count)
		}
		out.Layout.Pieces = g.pieces
		out.Layout.Trimmings = rim.Area()*unit.Area(out.Count) - out.Layout.Taken
	} else {
		// The zero options bound the work to what a page waits for: nothing to cancel.
		layout, err := cutting.Lay(context.Background(), cutting.Sheet{Width: rim.Width, Depth: rim.Depth, Edge: check.SheetEdge}, g.pieces, cutting.Options{})
		if err != nil {
			return out, err
		}
		out.Layout, out.Count = layout, len(layout.Sheets)
	}
	each := g.mould.Solid.Below(g.thickness) + g.mould.Solid.At(g.thickness).Area().Times(max(0, g.thickness-g.mould.Solid.Height()))
	out.EachMass = density.Mass(each)
	// Rounded corners and a leaning wall hold less than the rectangle that is laid out.
	out.Trimmings = density.Mass(each*unit.Volume(out.Count) - out.Layout.Taken.Times(g.thickness))
	return out, nil
}

// lapped returns the mass of what bands are cut longer or shorter than the ring of space that
// they stand in: overlaps, and the bend that a strip's middle line does not see.
func (g *cutGroup) lapped(s Sheets, density unit.Density) unit.Mass {
	return density.Mass(s.Layout.Taken.Times(g.thickness)) - g.mass
}

// batches finds how each formula is made, what takes it before what it is made of.
func (n *needs) batches() []Batch {
	share := n.day.Job.Kitchen.Confidence
	if !(share > 0 && share < 1) {
		share = 0.95
	}
	n.allot(share)
	var out []Batch
	for ready := n.ready(); len(ready) > 0; ready = n.ready() {
		x := ready[0]
		n.take(x)
		b, ok := n.batch(x)
		if !ok {
			continue
		}
		for _, l := range b.Each.Lines {
			if l.Formula != nil {
				y := n.of(l.Formula)
				y.product += l.Mass * unit.Mass(b.Count)
			}
		}
		out = append(out, b)
	}
	slices.Reverse(out)
	return out
}

// ready returns the formulas left that no formula left takes.
func (n *needs) ready() []*need {
	taken := map[string]bool{}
	var mark func(f *formula.Formula)
	mark = func(f *formula.Formula) {
		for _, l := range f.Lines {
			if l.Formula != nil && !taken[l.Formula.ID] {
				taken[l.Formula.ID] = true
				mark(l.Formula)
			}
		}
	}
	for _, x := range n.order {
		mark(x.formula)
	}
	var out []*need
	for _, x := range n.order {
		if !taken[x.formula.ID] {
			out = append(out, x)
		}
	}
	return out
}

func (n *needs) take(x *need) {
	n.order = slices.DeleteFunc(n.order, func(y *need) bool { return y == x })
}

// batch finds the batches of one formula.
func (n *needs) batch(x *need) (Batch, bool) {
	f := x.formula
	b := Batch{Formula: f, Needed: x.product}
	fail := func(code, reason, remedy string) (Batch, bool) {
		n.day.Findings.Add(finding.Finding{Code: code, Level: finding.Fault, Where: "formula " + f.ID, Reason: reason, Remedy: remedy, Source: "geometry"})
		return b, false
	}
	density, _ := f.FinishedDensity()
	var flat unit.Mass
	for _, g := range x.cut {
		s, err := g.sheets(density)
		if err != nil {
			return fail("sheet-too-small", err.Error(), "Take a larger sheet, or piece the band from shorter strips.")
		}
		b.Sheets = append(b.Sheets, s)
		b.Needed += g.mass
		flat += s.EachMass * unit.Mass(s.Count)
		b.Losses = append(b.Losses, named("trimmings", s.Trimmings)...)
		b.Losses = append(b.Losses, named("joints", g.lapped(s, density))...)
	}
	// What is in stock goes into the pieces first, then stands in for what must be in hand.
	stock := max(0, n.day.Job.Stock[f.ID])
	less := func(m unit.Mass) unit.Mass {
		from := min(stock, max(0, m))
		stock -= from
		return m - from
	}
	product := less(x.product)
	b.stocked = x.product - product
	b.Needed -= b.stocked
	runOff := less(x.runOff)
	b.Losses = append(b.Losses, named("run-off", runOff)...)
	b.LeftOver = append(b.LeftOver, named("run-off kept", less(x.kept))...)
	b.LeftOver = append(b.LeftOver, named("to pour the last piece", less(x.least))...)
	asked := n.sure.reserve(x)
	reserve := less(asked)
	b.spare = asked - reserve
	b.LeftOver = append(b.LeftOver, named("reserve", reserve)...)
	out := product + flat + runOff + sumOf(b.LeftOver)
	if out <= 0 {
		return b, false
	}
	if raised := max(0, f.Least-out); raised > 0 {
		b.LeftOver = append(b.LeftOver, named(LeastBatch, raised)...)
		out += raised
	}
	count, each, err := n.split(x, b.Sheets, out)
	if err != nil {
		return fail("cannot-make", err.Error(), "Correct the formula's lines or losses.")
	}
	if f.Whole {
		b.LeftOver = append(b.LeftOver, named(WholeFormula, each.Out*unit.Mass(count)-out)...)
	}
	b.Count, b.Each = count, each
	b.ToMake = each.In * unit.Mass(count)
	for _, l := range each.Losses {
		b.Losses = append(b.Losses, formula.NamedMass{Name: l.Name, Mass: l.Mass * unit.Mass(count)})
	}
	b.Vessel = n.vessel(&b)
	return b, true
}

// named returns a list of one, or of none for a mass that is not worth a line. A mass may be
// negative where a joint saves; then it is kept, so that the balance holds.
func named(name string, m unit.Mass) []formula.NamedMass {
	if m == 0 {
		return nil
	}
	return []formula.NamedMass{{Name: name, Mass: m}}
}

// split finds the least number of equal batches that the vessels, the oven and the formula's own
// limits allow.
func (n *needs) split(x *need, sheets []Sheets, out unit.Mass) (int, formula.Batch, error) {
	f := x.formula
	limit := unit.Volume(math.Inf(1))
	if kind, share := vesselKind(f); kind != "" {
		if e, ok := n.day.Job.Kitchen.Largest(kind); ok && e.Volume > 0 {
			limit = e.Volume * unit.Volume(share)
		}
	}
	flat := 0
	for _, s := range sheets {
		flat += s.Count
	}
	trays := n.day.Job.Kitchen.Trays("oven")
	density, _ := f.MixDensity()
	for count := 1; ; count++ {
		each, err := f.Make(out / unit.Mass(count))
		if err != nil {
			return 0, each, err
		}
		if f.Whole {
			whole := max(1, math.Ceil(each.Factor-1e-9))
			each = f.Run(f.Written() * unit.Mass(whole))
			if whole == 1 { // smaller cannot be made, whatever it is made in
				return count, each, nil
			}
		}
		fits := f.Most <= 0 || each.Out <= f.Most*(1+1e-9)
		if density.Known() {
			fits = fits && density.Volume(each.In) <= limit
		}
		if flat > 0 && trays > 0 {
			fits = fits && (flat+count-1)/count <= trays
		}
		if fits {
			return count, each, nil
		}
		if count == mostBatches {
			return 0, each, fmt.Errorf("%s of it would take more than %d batches: take a larger vessel or a smaller order", out.Show(), mostBatches)
		}
	}
}

// vesselKind returns the kind of vessel that bounds a batch, and the share of it that is used.
func vesselKind(f *formula.Formula) (kind string, share float64) {
	switch f.MadeIn {
	case formula.Bowl:
		return "bowl", bowlShare
	case formula.Pot:
		return "pot", potShare
	case formula.Sheet:
		for _, s := range f.Steps {
			for _, m := range s.Modes {
				if slices.Contains(m.Equipment, "bowl") || slices.Contains(m.Equipment, "mixer") {
					return "bowl", bowlShare
				}
			}
		}
	}
	return "", 1
}

// vessel says in words what the batches fill.
func (n *needs) vessel(b *Batch) string {
	if len(b.Sheets) > 0 {
		text := ""
		for i, s := range b.Sheets {
			if i > 0 {
				text += ", "
			}
			at := s.Mould.Solid.At(s.Mould.Solid.Height())
			what := "sheet"
			if s.Mould.Role == "pan" {
				what = "pan"
			}
			text += fmt.Sprintf("%s %s, %s thick", unit.Counted(s.Count, what), size(at), s.Thickness.Show())
		}
		return text
	}
	kind, _ := vesselKind(b.Formula)
	if e, ok := n.day.Job.Kitchen.Largest(kind); ok && e.Volume > 0 {
		return fmt.Sprintf("%s of %s L", unit.Counted(b.Count, kind), unit.Number(float64(e.Volume/unit.Litre), 1))
	}
	return unit.Counted(b.Count, "batch")
}

func size(o mould.Outline) string {
	if o.IsCircle() {
		return "Ø " + o.Width.Show()
	}
	return unit.Number(o.Width.Millimetres(), 0) + " × " + o.Depth.Show()
}
