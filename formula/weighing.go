package formula

import (
	"math"

	"chablon/unit"
)

// Weighing is a line as a scale shows it.
type Weighing struct {
	Line     ScaledLine
	Shown    unit.Mass
	Division unit.Mass // of the scale it goes on; zero if there is none
	Error    float64   // relative error of rounding: shown over wanted, less one
	Dilute   float64   // above zero: too small for any scale; weigh this many times as much into as much water and take one part
}

// Roundings within which a line is left alone. Source: common practice, no source.
const (
	exactEnough = 0.02 // of any line
	potentError = 0.05 // of gelatin, leavener, salt, acid: beyond, they want a finer scale
)

// Weighings rounds a batch's lines to the scales, each on the finest that takes it (scale returns
// the mass as shown and the division). Since a batch may be a little larger without harm, it
// tries factors up to slack (0.01 for one in a hundred) on either side and takes the one at which
// the largest relative error of any line is least. It returns that factor, 1 if nothing is gained.
func (b Batch) Weighings(scale func(unit.Mass) (shown, division unit.Mass), slack float64) (list []Weighing, factor float64) {
	const steps = 200
	factor = 1
	best := b.worst(1, scale)
	for i := 1; i <= steps && best > exactEnough/10; i++ {
		for _, side := range []float64{-1, 1} {
			k := 1 + side*slack*float64(i)/steps
			if w := b.worst(k, scale); w < best*(1-1e-9) {
				best, factor = w, k
			}
		}
	}
	for _, l := range b.Lines {
		l.Mass *= unit.Mass(factor)
		w := Weighing{Line: l}
		w.Shown, w.Division = scale(l.Mass)
		if l.Mass > 0 {
			w.Error = float64(w.Shown/l.Mass) - 1
		}
		if math.Abs(w.Error) > potentError && w.Division > 0 {
			// Times enough that half a division is within the bound, in round numbers.
			w.Dilute = 10 * math.Ceil(float64(w.Division/2/l.Mass)/potentError/10)
		}
		list = append(list, w)
	}
	return list, factor
}

// worst returns the largest relative rounding error of any line at a factor.
func (b Batch) worst(k float64, scale func(unit.Mass) (shown, division unit.Mass)) float64 {
	worst := 0.0
	for _, l := range b.Lines {
		if m := l.Mass * unit.Mass(k); m > 0 {
			shown, _ := scale(m)
			worst = math.Max(worst, math.Abs(float64(shown/m)-1))
		}
	}
	return worst
}
