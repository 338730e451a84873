package assembly

import (
	"fmt"
	"math"
	"slices"

	"chablon/finding"
	"chablon/mould"
	"chablon/unit"
)

// Scaling says what is kept when an assembly goes into another mould than it was thought for.
type Scaling uint8

// Ways to go into another mould.
const (
	// SameThickness keeps thicknesses, margins to the wall and counts: areas follow areas, what
	// goes round follows the wall, and the fill takes the rest.
	SameThickness Scaling = iota
	// Proportional lets heights grow with the mould's height and margins with its width. Films
	// and soaks per area stay, since they do not know how large the piece is.
	Proportional
	// SameHeight keeps the piece as high as it was, whatever the height of the mould.
	SameHeight
)

var scalingNames = [...]string{"same-thickness", "proportional", "height"}

// String returns the name that documents use.
func (s Scaling) String() string {
	if int(s) < len(scalingNames) {
		return scalingNames[s]
	}
	return "unknown"
}

// ScalingNamed returns the scaling of that name; the empty name means SameThickness.
func ScalingNamed(name string) (Scaling, bool) {
	if name == "" {
		return SameThickness, true
	}
	i := slices.Index(scalingNames[:], name)
	return Scaling(max(0, i)), i >= 0
}

// Refit is an assembly rewritten for another mould.
type Refit struct {
	Assembly *Assembly
	Changes  []Change // of the layers, in their order
	Findings finding.List
}

// Change is one figure of a layer that another mould changes.
type Change struct {
	Layer, What, From, To string
	Why                   string
}

// Refit rewrites the assembly's rules for a mould. Pieces with an outline of their own keep their
// margin to the wall; an insert is frozen in the mould of those owned that comes nearest to its
// margin, or is cut where its sides are upright and none comes near. What a layer overrides for
// that mould stays as the cook wrote it. Lay the result in the same mould.
func (a *Assembly) Refit(to *mould.Mould, how Scaling, owned []*mould.Mould) Refit {
	if to.ID == a.Mould.ID {
		return Refit{Assembly: a}
	}
	b := *a
	b.Mould = to
	b.Layers = slices.Clone(a.Layers)
	r := refitter{from: a.Lay(a.Mould), to: to, how: how, owned: owned, out: Refit{Assembly: &b}}
	was, is := a.Mould.Solid, to.Solid
	r.up = float64(is.Height() / was.Height())
	r.across = math.Sqrt(float64(is.At(is.Height()).Area() / was.At(was.Height()).Area()))
	for i := range b.Layers {
		r.heights(&b.Layers[i])
		r.outline(i, &b.Layers[i])
	}
	return r.out
}

type refitter struct {
	from       *Section
	to         *mould.Mould
	how        Scaling
	owned      []*mould.Mould
	up, across float64
	out        Refit
}

func (r *refitter) changed(l *Layer, what, from, to, why string) {
	if from != to {
		r.out.Changes = append(r.out.Changes, Change{Layer: l.ID, What: what, From: from, To: to, Why: why})
	}
}

// heights rewrites what is measured upward.
func (r *refitter) heights(l *Layer) {
	switch r.how {
	case Proportional:
		scale := func(what string, x *unit.Length, f float64, why string) {
			was := *x
			*x *= unit.Length(f)
			if was > 0 {
				r.changed(l, what, was.Show(), x.Show(), why)
			}
		}
		const higher, wider = "grows with the mould's height", "grows with the mould's width"
		if l.Kind == Band {
			scale("thickness", &l.Thickness, r.across, wider)
		} else {
			scale("thickness", &l.Thickness, r.up, higher)
		}
		scale("height", &l.BandHeight, r.up, higher)
		for _, h := range []struct {
			what string
			x    *Height
		}{{"level", &l.Level}, {"below the rim", &l.BelowRim}, {"offset", &l.Offset}} {
			scale(h.what, &h.x.Length, r.up, higher)
		}
		scale("inset", &l.Outline.Inset.Length, r.across, wider)
		l.Stages = slices.Clone(l.Stages)
		for k := range l.Stages {
			l.Stages[k].Level.Length *= unit.Length(r.up)
		}
	case SameHeight:
		more := r.to.Solid.Height() - r.from.Mould.Solid.Height()
		open := l.Kind == Fill && !l.Level.Given && !l.BelowRim.Given && l.Thickness == 0
		if !l.BelowRim.Given && !open {
			return
		}
		was := l.BelowRim.Length
		l.BelowRim = At(max(0, was+more))
		r.changed(l, "below the rim", was.Show(), l.BelowRim.Show(), "keeps the piece as high as it was")
	}
}

// outline rewrites what is measured across.
func (r *refitter) outline(i int, l *Layer) {
	placed := &r.from.Layers[i]
	override := l.Overrides[r.to.ID]
	if placed.Plan.Empty() || !override.Own.Empty() || override.Inset.Given || override.MadeIn != nil {
		return
	}
	switch {
	case l.Kind == Insert && placed.MadeIn != nil:
		r.insert(l, placed)
	case !l.Outline.Own.Empty():
		wall, old := r.wall(l, placed), narrowest(r.from.Mould.Solid, placed.Z0, placed.Z1)
		margin := old.Clearance(l.Outline.Own)
		if r.how == Proportional {
			margin *= unit.Length(r.across)
		}
		was := l.Outline.Own
		if own := fitted(was, wall, margin); !own.Empty() {
			l.Outline.Own = own
			r.changed(l, "outline", measure(was), measure(own), "keeps "+margin.Show()+" to the wall")
		}
	}
}

// insert chooses what an insert is frozen in.
func (r *refitter) insert(l *Layer, placed *Placed) {
	margin := clearanceOf(r.from.Mould.Solid, placed)
	if r.how == Proportional {
		margin *= unit.Length(r.across)
	}
	height := placed.Z1 - placed.Z0
	if r.how == Proportional {
		height *= unit.Length(r.up)
	}
	wall := r.wall(l, placed)
	best, off := placed.MadeIn, unit.Length(math.Inf(1))
	for _, m := range append([]*mould.Mould{placed.MadeIn}, r.owned...) {
		if m.Role != "" && m.Role != mould.RoleMould || m.Solid.Height() < height-1e-9 || m.Solid.Height() > tallest*height && m != placed.MadeIn || alike(m.Solid) != alike(placed.MadeIn.Solid) {
			continue
		}
		gap := wall.Clearance(widest(m.Solid, height))
		if gap < min(margin, leastCover) {
			continue
		}
		if d := max(gap-margin, margin-gap); d < off {
			best, off = m, d
		}
	}
	if off <= snapWithin {
		if best.ID != placed.MadeIn.ID {
			gap := wall.Clearance(widest(best.Solid, height))
			l.MadeIn = best
			r.changed(l, "made in", placed.MadeIn.Name, best.Name, fmt.Sprintf("leaves %s beside it instead of %s", gap.Show(), margin.Show()))
			if in := l.Of.Assembly; in != nil && in.Mould != nil {
				inner := in.Refit(best, r.how, r.owned)
				l.Of.Assembly = inner.Assembly
				r.out.Findings = append(r.out.Findings, inner.Findings...)
				for _, c := range inner.Changes {
					c.Layer = l.ID + ", " + c.Layer
					r.out.Changes = append(r.out.Changes, c)
				}
			}
		}
		return
	}
	own := fitted(placed.Plan, wall, margin)
	if l.Of.Assembly != nil || !upright(placed.MadeIn.Solid) || own.Empty() {
		gap := wall.Clearance(widest(placed.MadeIn.Solid, height))
		r.out.Findings.Add(finding.Finding{
			Code: "insert-mould-missing", Level: finding.Caution, Source: finding.CommonPractice,
			Where:  fmt.Sprintf("assembly %s in %s, layer %q", r.out.Assembly.ID, r.to.ID, l.ID),
			Reason: fmt.Sprintf("stays as frozen in %s, which leaves %s beside it instead of %s: no mould owned comes nearer", placed.MadeIn.Name, gap.Show(), margin.Show()),
			Remedy: fmt.Sprintf("Freeze it in a mould %s across, or name one for this mould.", own.Width.Show()),
		})
		return
	}
	l.MadeIn, l.Outline, l.Thickness = nil, Outline{Own: own}, height
	r.changed(l, "made in", placed.MadeIn.Name, "cut to "+measure(own), "no mould owned comes near; it keeps "+margin.Show()+" to the wall")
}

// Limits of the choice of an insert's mould. Source: common practice, no source.
const (
	leastCover = 5 * unit.Millimetre  // less fill beside an insert, and it shows through
	snapWithin = 10 * unit.Millimetre // further off, and it is another dessert
	tallest    = 3                    // a mould so many times as high as the insert is for something else
)

// wall returns what is round a layer in the new mould: it lies where it lay, as far as the height
// of the new mould goes.
func (r *refitter) wall(l *Layer, placed *Placed) mould.Outline {
	s := r.to.Solid
	z0, z1 := placed.Z0, placed.Z1
	if l.BelowRim.Given || r.how == Proportional {
		share := s.Height() / r.from.Mould.Solid.Height()
		z0, z1 = z0*share, z1*share
	}
	return narrowest(s, min(z0, s.Height()), min(z1, s.Height()))
}

// narrowest returns the smallest outline that a wall has between two heights.
func narrowest(s mould.Solid, z0, z1 unit.Length) mould.Outline {
	out := s.At(max(0, z0))
	for _, z := range append(s.Breaks(), z1) {
		if z > z0 && z <= z1 {
			if o := s.At(z); o.Area() < out.Area() {
				out = o
			}
		}
	}
	return out
}

// widest returns the largest outline of a solid up to a height.
func widest(s mould.Solid, height unit.Length) mould.Outline {
	out := s.At(height)
	for _, z := range s.Breaks() {
		if z <= height {
			if o := s.At(z); o.Area() > out.Area() {
				out = o
			}
		}
	}
	return out
}

// clearanceOf returns the least gap between an insert and the wall that it was laid in.
func clearanceOf(s mould.Solid, l *Placed) unit.Length {
	const steps = 8
	least := unit.Length(math.Inf(1))
	for k := range steps + 1 {
		z := l.Z0 + (l.Z1-l.Z0)*unit.Length(k)/steps
		in := z - l.Z0
		if l.TurnedOver {
			in = l.Z1 - z
		}
		least = min(least, s.At(z).Clearance(l.MadeIn.Solid.At(in)))
	}
	return least
}

// upright reports whether a solid's outline is the same at every height.
func upright(s mould.Solid) bool { return s.At(s.Height()) == s.At(0) && len(s.Breaks()) == 2 }

// alike tells the families of solids apart that stand for each other: round or not, upright or
// not.
func alike(s mould.Solid) [2]bool { return [2]bool{s.At(s.Height()).IsCircle(), upright(s)} }

// fitted returns an outline of the same shape whose least gap to the wall is a margin; the wall
// itself moved in where the shape is the wall's own. It is empty where the margin leaves nothing.
func fitted(o, wall mould.Outline, margin unit.Length) mould.Outline {
	if o.IsCircle() && wall.IsCircle() {
		return wall.Inset(margin)
	}
	lo, hi := 0.0, float64(wall.Width/o.Width+wall.Depth/o.Depth)
	for range 60 {
		mid := (lo + hi) / 2
		if wall.Clearance(o.Scaled(mid)) > margin {
			lo = mid
		} else {
			hi = mid
		}
	}
	if lo < 1e-6 {
		return mould.Outline{}
	}
	return o.Scaled(lo)
}

// measure writes an outline's size.
func measure(o mould.Outline) string {
	if o.IsCircle() {
		return "Ø " + o.Width.Show()
	}
	return unit.Number(o.Width.Millimetres(), 1) + " × " + o.Depth.Show()
}
