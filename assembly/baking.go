package assembly

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"chablon/mould"
	"chablon/unit"
)

// Wanted is a disc that is to be cut from a baked cake.
type Wanted struct {
	Outline   mould.Outline
	Thickness unit.Length
	Count     int
}

// Bake is how a cake behaves between the pan and the disc.
type Bake struct {
	Shrink float64     // share by which the cake draws in across while it cools, 0 to 0.3
	Edge   unit.Length // cut off all round, the crust
	Top    unit.Length // cut off the top, the dome
	Bottom unit.Length // cut off below
	Saw    unit.Length // lost between two discs sliced from one cake
	Batter unit.Density
	Baked  unit.Density
	Loss   float64 // share of the batter's mass that the oven takes
	MostUp float64 // share of the pan's height that batter may fill; 0.67 if zero
}

// UsualBake is where a kitchen starts without records of its own. Source: common practice, no
// source.
var UsualBake = Bake{Shrink: 0.02, Edge: 4 * unit.Millimetre, Top: 4 * unit.Millimetre, Bottom: 1 * unit.Millimetre, Saw: 1 * unit.Millimetre, MostUp: 0.67}

// Baking is one way to bake the discs.
type Baking struct {
	Pan    *mould.Mould
	Slices int // discs from one cake, one over another
	Cakes  int
	// Height is how high each cake must stand when baked, and Across how far it reaches when
	// cooled: at least what is wanted and what is cut off.
	Height, Across unit.Length
	Batter         unit.Mass // for one pan
	Depth          unit.Length
	Fill           float64 // share of the pan's height that the batter takes
	Offcuts        unit.Mass
	Spare          unit.Length // that the cake is wider than it need be
}

// Bakings finds, among pans, those from whose cakes the discs can be cut, the least batter first.
// A disc lies in the cake with its edge cut off all round; several are sliced from one cake as
// high as the pan allows. An error says what is missing, or why no pan serves.
func Bakings(w Wanted, b Bake, pans []*mould.Mould) ([]Baking, error) {
	if b.MostUp == 0 {
		b.MostUp = UsualBake.MostUp
	}
	switch {
	case w.Outline.Empty() || w.Thickness <= 0 || w.Count < 1:
		return nil, errors.New("the disc wanted has no outline, no thickness or no count: give all three")
	case !b.Batter.Known() || !b.Baked.Known():
		return nil, errors.New("the density of the batter or of the baked cake is not on record: weigh 100 ml of both")
	case !(b.Shrink >= 0 && b.Shrink <= 0.3) || !(b.Loss >= 0 && b.Loss < 1):
		return nil, fmt.Errorf("the cake shrinks by %s and loses %s: give shares from 0 to 30 %% and from 0 to below 100 %%", percent(b.Shrink), percent(b.Loss))
	}
	var out []Baking
	widest := unit.Length(0)
	for _, pan := range pans {
		if pan.Role != mould.RolePan {
			continue
		}
		// The cake takes the pan's outline at its foot, the narrowest, and draws in.
		foot := pan.Solid.At(0).Scaled(1 - b.Shrink).Inset(b.Edge)
		widest = max(widest, foot.Width)
		if foot.Empty() || foot.Clearance(w.Outline) < -1e-9 {
			continue
		}
		if k, ok := b.slices(w, pan); ok {
			k.Spare = foot.Clearance(w.Outline)
			out = append(out, k)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no pan among %d gives a disc of %s, %s thick: the widest gives %s across", len(pans), measure(w.Outline), w.Thickness.Show(), widest.Show())
	}
	slices.SortStableFunc(out, func(x, y Baking) int {
		ax, ay := x.Batter*unit.Mass(x.Cakes), y.Batter*unit.Mass(y.Cakes)
		switch {
		case ax < ay:
			return -1
		case ax > ay:
			return 1
		}
		return 0
	})
	return out, nil
}

// slices finds how many discs one cake of a pan gives, and weighs its batter.
func (b Bake) slices(w Wanted, pan *mould.Mould) (Baking, bool) {
	cut := b.Top + b.Bottom
	depthFor := func(height unit.Length) (unit.Mass, unit.Length, bool) {
		cake := b.Baked.Mass(pan.Solid.Below(min(height, pan.Solid.Height())) + pan.Solid.At(pan.Solid.Height()).Area().Times(max(0, height-pan.Solid.Height())))
		batter := cake / unit.Mass(1-b.Loss)
		depth, err := mould.Level(pan.Solid, b.Batter.Volume(batter))
		return batter, depth, err == nil && float64(depth/pan.Solid.Height()) <= b.MostUp
	}
	best := Baking{}
	for n := 1; n <= w.Count; n++ {
		height := cut + w.Thickness*unit.Length(n) + b.Saw*unit.Length(n-1)
		// It may rise over the rim, but not by more than it is cut.
		if height > pan.Solid.Height()+b.Top {
			break
		}
		batter, depth, ok := depthFor(height)
		if !ok {
			break
		}
		best = Baking{Pan: pan, Slices: n, Height: height, Batter: batter, Depth: depth, Fill: float64(depth / pan.Solid.Height())}
	}
	if best.Slices == 0 {
		return best, false
	}
	best.Cakes = (w.Count + best.Slices - 1) / best.Slices
	even := (w.Count + best.Cakes - 1) / best.Cakes // the last cake need not be higher than the others
	if even < best.Slices {
		best.Slices = even
		best.Height = cut + w.Thickness*unit.Length(even) + b.Saw*unit.Length(even-1)
		best.Batter, best.Depth, _ = depthFor(best.Height)
		best.Fill = float64(best.Depth / pan.Solid.Height())
	}
	best.Across = pan.Solid.At(0).Width * unit.Length(1-b.Shrink)
	taken := b.Baked.Mass(w.Outline.Area().Times(w.Thickness)) * unit.Mass(w.Count)
	best.Offcuts = max(0, best.Batter*unit.Mass(1-b.Loss)*unit.Mass(best.Cakes)-taken)
	return best, true
}

func percent(share float64) string { return unit.Number(100*math.Abs(share), 1) + " %" }
