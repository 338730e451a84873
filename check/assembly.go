package check

import (
	"fmt"
	"math"

	"chablon/assembly"
	"chablon/cutting"
	"chablon/finding"
	"chablon/formula"
	"chablon/unit"
)

// Limits of fit, in use at the bench. Source: common practice, no source.
const (
	tightGap   = 3 * unit.Millimetre // narrower, and a mousse bridges it instead of flowing in
	coverGap   = 5 * unit.Millimetre // less mousse beside an insert, and it shows through
	leastFlood = 2 * unit.Millimetre // thinner, and a flooded glaze does not level
	mostFlood  = 8 * unit.Millimetre // thicker, and it is a layer of jelly
	leastFilm  = 0.8 * unit.Millimetre
)

// Section returns what is to be said of the geometry of one assembly in one mould: what does not
// fit, and the rules of fit. What its components hold is judged by Balance, once for each formula.
func Section(s *assembly.Section) finding.List {
	var out finding.List
	out = append(out, s.Findings...)
	visit(s, func(inner *assembly.Section) { fit(&out, inner) })
	return out.Sorted()
}

// visit calls see for a section and for each insert in it that is an assembly of its own.
func visit(s *assembly.Section, see func(*assembly.Section)) {
	see(s)
	for i := range s.Layers {
		if in := s.Layers[i].Inside; in != nil {
			visit(in, see)
		}
	}
}

func fit(out *finding.List, s *assembly.Section) {
	topFill := unit.Length(0) // highest level that something flowing reaches
	for i := range s.Layers {
		if l := &s.Layers[i]; l.Kind == assembly.Fill || l.Flooded() {
			topFill = max(topFill, l.Z1)
		}
	}
	for i := range s.Layers {
		l := &s.Layers[i]
		say := func(code string, level finding.Level, reason, remedy string) {
			out.Add(finding.Finding{
				Code: code, Level: level, Reason: reason, Remedy: remedy, Source: finding.CommonPractice,
				Where: fmt.Sprintf("assembly %s in %s, layer %q", s.Assembly.ID, s.Mould.ID, l.ID),
			})
		}
		switch l.Kind {
		case assembly.Base, assembly.Disc, assembly.Spread:
			if gap := gapBeside(s, l); gap > 1e-6 && gap < tightGap && topFill > l.Z0 {
				say("gap-too-narrow", finding.Caution, fmt.Sprintf("leaves a gap of %s beside it, which a filling bridges", gap.Show()),
					fmt.Sprintf("Cut it %s smaller all round so that the filling closes round it, or cut it to the full width.", (tightGap-gap).Show()))
			}
		case assembly.Insert:
			if gap := gapBeside(s, l); gap >= 0 && gap < coverGap {
				say("insert-near-wall", finding.Caution, fmt.Sprintf("comes within %s of the wall: it may show", gap.Show()),
					fmt.Sprintf("Freeze it in a mould at least %s smaller across.", (2*(coverGap-gap)).Show()))
			}
			if l.Z1 > topFill+1e-9 && topFill > 0 {
				say("insert-shows", finding.Caution, fmt.Sprintf("stands %s above the filling, which ends at %s", (l.Z1-topFill).Show(), topFill.Show()),
					fmt.Sprintf("Lower it or raise the filling by %s.", (l.Z1-topFill).Show()))
			}
		case assembly.Band:
			band(say, s, l, topFill)
		case assembly.Fill:
			piping(say, s, l)
		case assembly.Soak:
			soaking(say, s, l)
		case assembly.Coat:
			if l.Flooded() {
				piping(say, s, l)
				flood(say, s, l)
				levelling(say, s, l)
			} else if l.Film > 0 && l.Film < leastFilm {
				say("film-too-thin", finding.Caution, fmt.Sprintf("is a film of %s, thinner than a coat levels", l.Film.Show()), fmt.Sprintf("Plan for at least %s.", unit.Length(leastFilm).Show()))
			}
		}
		pan(say, l)
	}
	lifting(func(code string, level finding.Level, reason, remedy string) {
		out.Add(finding.Finding{
			Code: code, Level: level, Reason: reason, Remedy: remedy, Source: finding.CommonPractice,
			Where: fmt.Sprintf("assembly %s in %s", s.Assembly.ID, s.Mould.ID),
		})
	}, s)
}

// gapBeside returns the least gap between a body and the wall, or the band that stands beside it.
func gapBeside(s *assembly.Section, l *assembly.Placed) unit.Length {
	least := unit.Length(math.Inf(1))
	for _, z := range []unit.Length{l.Z0, (l.Z0 + l.Z1) / 2, l.Z1} {
		around := s.Mould.Solid.At(z)
		for i := range s.Layers {
			if b := &s.Layers[i]; b.Kind == assembly.Band && b.Z0 <= z && z <= b.Z1 {
				around = s.Mould.Solid.At(z).Inset(b.Thickness)
			}
		}
		face := l.Plan
		if l.Kind == assembly.Insert && l.MadeIn != nil {
			in := z - l.Z0
			if l.TurnedOver {
				in = l.Z1 - z
			}
			face = l.MadeIn.Solid.At(in)
		}
		least = min(least, around.Clearance(face))
	}
	return least
}

type sayer func(code string, level finding.Level, reason, remedy string)

func band(say sayer, s *assembly.Section, l *assembly.Placed, topFill unit.Length) {
	if l.Z1 > topFill+1e-9 && topFill > 0 {
		say("band-above-filling", finding.Caution, fmt.Sprintf("stands %s above the filling, which does not hold it", (l.Z1-topFill).Show()),
			fmt.Sprintf("Cut it to %s, or fill higher.", (topFill-l.Z0).Show()))
	}
	if l.Overlap > 0 && l.Overlap < leastOverlap {
		say("band-overlap-short", finding.Caution, fmt.Sprintf("laps its ends by only %s: the joint opens as it is bent", l.Overlap.Show()), fmt.Sprintf("Lap at least %s, or butt the ends.", unit.Length(leastOverlap).Show()))
	}
	if l.Overlap == 0 && l.BandPieces == 0 {
		say("band-joint-unsaid", finding.Note, "has no overlap: its ends must butt to the millimetre", "Give an overlap of 5 to 10 mm, or accept a butt joint.")
	}
	if l.MadeIn == nil {
		return
	}
	sheet := l.MadeIn.Solid.At(l.MadeIn.Solid.Height())
	longest := max(sheet.Width, sheet.Depth) - 2*SheetEdge
	pieces := max(1, l.BandPieces)
	if each := l.StripLength / unit.Length(pieces); each > longest {
		round := l.StripLength - l.Overlap*unit.Length(pieces)
		if n := cutting.Strips(round, longest, l.Overlap); n > 0 {
			say("band-longer-than-sheet", finding.Fault, fmt.Sprintf("needs a strip of %s, but the sheet %s gives at most %s", each.Show(), l.MadeIn.ID, longest.Show()),
				fmt.Sprintf("Piece it from %d strips.", n))
		} else {
			say("band-longer-than-sheet", finding.Fault, fmt.Sprintf("has an overlap of %s, longer than the strips that the sheet %s gives", l.Overlap.Show(), l.MadeIn.ID), "Make the overlap shorter.")
		}
	}
}

// SheetEdge is what is trimmed from each edge of a baked sheet. Source: common practice, no
// source (5 to 10 mm).
const SheetEdge = 5 * unit.Millimetre

func flood(say sayer, s *assembly.Section, l *assembly.Placed) {
	room := s.Mould.Solid.Height() - l.Z0
	if room < leastFlood {
		say("no-room-for-glaze", finding.Fault, fmt.Sprintf("has only %s left to the rim, and a flooded coat needs %s to level", max(0, room).Show(), unit.Length(leastFlood).Show()),
			fmt.Sprintf("Lower the filling below it by %s.", (leastFlood-room).Show()))
		return
	}
	if d := l.Z1 - l.Z0; d < leastFlood {
		say("glaze-too-thin", finding.Caution, fmt.Sprintf("is %s thick, and a flooded coat levels from %s", d.Show(), unit.Length(leastFlood).Show()), fmt.Sprintf("Make it %s thick.", unit.Length(leastFlood).Show()))
	} else if d > mostFlood {
		say("glaze-too-thick", finding.Caution, fmt.Sprintf("is %s thick: a layer of jelly more than a glaze", d.Show()), fmt.Sprintf("Raise the filling below it by %s.", (d-mostFlood).Show()))
	}
}

// pan judges how high a batter stands in the sheet or pan it is baked in.
func pan(say sayer, l *assembly.Placed) {
	if l.MadeIn == nil || l.Of.Formula == nil || (l.Kind != assembly.Base && l.Kind != assembly.Disc && l.Kind != assembly.Band) {
		return
	}
	f, height := l.Of.Formula, l.MadeIn.Solid.Height()
	if l.Thickness > height+1e-9 {
		say("thicker-than-pan", finding.Fault, fmt.Sprintf("is %s thick, but %s is %s high", l.Thickness.Show(), l.MadeIn.ID, height.Show()), "Take a higher pan, or bake it in two.")
		return
	}
	batter, source := f.MixDensity()
	baked, _ := f.FinishedDensity()
	if source == formula.DensityUnknown || !baked.Known() {
		return
	}
	in, err := f.Input(baked.Mass(unit.Area(1).Times(l.Thickness)))
	if err != nil {
		return
	}
	depth := unit.Length(float64(batter.Volume(in))) // on one square metre
	if fill := float64(depth / height); fill > 0.8 && l.MadeIn.Role != "sheet" {
		say("pan-too-full", finding.Caution, fmt.Sprintf("takes batter %s deep, %.0f %% of the pan %s", depth.Show(), 100*fill, l.MadeIn.ID), "Fill a pan at most three quarters, or take a higher one.")
	} else if depth > height {
		say("pan-too-full", finding.Fault, fmt.Sprintf("takes batter %s deep, more than the %s of the sheet %s", depth.Show(), height.Show(), l.MadeIn.ID), "Bake it thinner, or in a higher frame.")
	}
}
