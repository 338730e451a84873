package check

import (
	"fmt"
	"math"

	"chablon/assembly"
	"chablon/finding"
	"chablon/unit"
)

// Limits of handling, in use at the bench. Source: common practice, no source.
const (
	mostLifted   = 600 * unit.Gram      // heavier, and a thin base bends when the piece is lifted
	liftingBase  = 6 * unit.Millimetre  // a baked base that carries it
	leastTilt    = 0.3                  // degrees: a shelf in use is not more level than that
	poresFilled  = 0.60                 // share of a sponge's pores that a soak fills before it leaks
	leastOverlap = 5 * unit.Millimetre  // less, and a joint opens as the band is bent
	widestNozzle = 30 * unit.Millimetre // beyond it a figure is a slip
)

// piping judges whether a fill can get where it is to go: gaps that the nozzle does not enter, and
// room under a piece that closes the mould before the fill beneath it is in.
func piping(say sayer, s *assembly.Section, fill *assembly.Placed) {
	laid := func(id string) int { return layerIndex(s, id) }
	own := laid(fill.ID)
	for k, f := range fill.Filled {
		before := own
		if at := laid(f.After); at > before {
			before = at
		}
		for j := range s.Layers {
			b := &s.Layers[j]
			if j > before || b.Z1 <= f.Z0+1e-6 || b.Z0 >= f.Z1-1e-6 {
				continue
			}
			switch b.Kind {
			case assembly.Base, assembly.Disc, assembly.Insert:
			default:
				continue
			}
			gap := gapBeside(s, b)
			if gap >= 0 && gap < tightGap && b.Z0 > f.Z0+1e-6 {
				say("pocket-closed", finding.Fault, fmt.Sprintf("is to fill %s under %q in stage %d, but that is laid before it and leaves only %s beside it", (b.Z0-f.Z0).Show(), b.ID, k+1, gap.Show()),
					fmt.Sprintf("Fill up to %s before %q is laid, or let it lie on what is below.", b.Z0.Show(), b.ID))
			}
			if n := fill.Nozzle; n > 0 && n <= widestNozzle && gap >= tightGap && gap < n {
				say("gap-under-nozzle", finding.Caution, fmt.Sprintf("has to go into a gap of %s beside %q, but its nozzle is %s wide", gap.Show(), b.ID, n.Show()),
					fmt.Sprintf("Pipe the rim before %q is laid, or take a nozzle under %s.", b.ID, gap.Show()))
			}
		}
	}
}

func layerIndex(s *assembly.Section, id string) int {
	for i := range s.Layers {
		if s.Layers[i].ID == id {
			return i
		}
	}
	return -1
}

// lifting judges whether what is under a piece carries it when it is lifted from tray to board.
func lifting(say sayer, s *assembly.Section) {
	lowest := -1
	for i := range s.Layers {
		switch l := &s.Layers[i]; l.Kind {
		case assembly.Base, assembly.Disc, assembly.Insert, assembly.Fill:
			if lowest < 0 || s.Assembly.Inverted && l.Z1 > s.Layers[lowest].Z1+1e-9 || !s.Assembly.Inverted && l.Z0 < s.Layers[lowest].Z0-1e-9 {
				lowest = i
			}
		}
	}
	mass := s.Mass()
	if lowest < 0 || mass <= mostLifted {
		return
	}
	under := &s.Layers[lowest]
	cut := under.Kind == assembly.Base || under.Kind == assembly.Disc
	switch {
	case !cut:
		say("lift-on-board", finding.Note, fmt.Sprintf("weighs %s and stands on %s, which tears when it is lifted", mass.Show(), under.Name), "Freeze it through and move it on a board at least as wide as the piece.")
	case under.Z1-under.Z0 < liftingBase:
		say("lift-on-board", finding.Note, fmt.Sprintf("weighs %s on a base of %s, which bends when it is lifted", mass.Show(), (under.Z1-under.Z0).Show()), fmt.Sprintf("Move it on a board, or cut the base at least %s thick.", unit.Length(liftingBase).Show()))
	}
}

// levelling says how level the shelf must be for a coat flooded in the mould: tilted further, the
// film runs thin on one side. The tilt that takes half of it is judged.
func levelling(say sayer, s *assembly.Section, l *assembly.Placed) {
	depth := l.Z1 - l.Z0
	if depth <= 0 {
		return
	}
	across := s.Mould.Solid.At(l.Z1).Width
	tilt := math.Atan(float64(depth/2)/float64(across/2)) * 180 / math.Pi
	if tilt < leastTilt {
		say("shelf-not-level-enough", finding.Caution, fmt.Sprintf("is %s thick over %s: a shelf out of level by %s° halves it on one side", depth.Show(), across.Show(), unit.Number(tilt, 2)),
			fmt.Sprintf("Level the tray to within %s over its width, or make the coat thicker.", (across*unit.Length(math.Tan(tilt*math.Pi/180))).Show()))
	}
}

// soaking judges whether a disc can hold its soak.
func soaking(say sayer, s *assembly.Section, l *assembly.Placed) {
	on, ok := s.Layer(l.On)
	if !ok || l.Mass <= 0 || on.Of.Formula == nil || on.Volume <= 0 {
		return
	}
	pores := on.Of.Formula.AirFraction()
	d := l.Of.FinishedDensity()
	if pores <= 0 || !d.Known() {
		return
	}
	holds := d.Mass(on.Volume) * unit.Mass(pores*poresFilled)
	if l.Mass > holds {
		say("soak-over-capacity", finding.Caution, fmt.Sprintf("is %s, but %q holds about %s: its pores are %s of it", l.Mass.Show(), on.ID, holds.Show(), unit.Number(100*pores, 0)+" %"),
			fmt.Sprintf("Brush on at most %s, or cut it thicker.", holds.Show()))
	}
}
