package heat

import (
	"fmt"
	"math"
	"time"

	"chablon/finding"
	"chablon/unit"
)

// Figures of a batter in the oven. Conductivity and heat capacity of aerated batter and crumb: 0.22 and
// 0.15 W/(m K), 800 and 400 kg/m3; their diffusivity hardly changes on the way, and only that counts here.
const (
	batterConductivity = 0.20
	batterCapacity     = 2.0e6 // J/(m3 K)
	ovenStart          = 22.0  // degC
	// What the inside feels of the oven: as long as the surface is wet, evaporation holds it near 100 degC;
	// a drying crust lets it rise.
	wetSurface, dryCrust = 103.0, 125.0
)

// Baked is a bake: the batter as it lies in the pan, and how long it took to a core temperature.
type Baked struct {
	Body Body
	Time time.Duration
	Core unit.Temperature // at the end: 92 to 98 for cakes, 65 to 75 for baked creams; below 100
}

// BakeTime returns how long the same batter in another pan takes to the same core, in the same oven at
// the same temperature, from a bake that is known.
//
// Inside it is conduction; at the surface evaporation holds the temperature near 100 degC. So the
// known time gives the one coefficient that fits it (the series of Carslaw & Jaeger, constant
// properties), and that the time of the other pan. Rising, setting, steam in the crumb and the colour of
// the crust are left out: the range is wide on purpose, and a skewer or a probe decides. A bake that is
// quicker than conduction alone allows is taken as one with no resistance at the surface.
//
// Source of the model's form: common practice, no source; it lies between the cook's two rules, time
// as the depth and as its square. Unusable figures are an *InputError.
func BakeTime(known Baked, pan Body) (Estimate, error) {
	if err := known.Body.check(); err != nil {
		return Estimate{}, err
	}
	if err := pan.check(); err != nil {
		return Estimate{}, err
	}
	switch {
	case known.Body.Shape == Egg || pan.Shape == Egg:
		return Estimate{}, &InputError{"shape", "egg", "choose plate, disc, box or ball"}
	case !(known.Time >= time.Minute && known.Time <= 24*time.Hour):
		return Estimate{}, &InputError{"known time", known.Time.String(), "give one from a minute to a day"}
	case !(known.Core >= 40 && known.Core < 100):
		return Estimate{}, &InputError{"core temperature", known.Core.Show(), "give one from 40 to below 100 degC"}
	}
	low, high := math.Inf(1), 0.0
	middle, err := bakeRatio(known, pan, (wetSurface+dryCrust)/2, 1)
	if err != nil {
		return Estimate{}, err
	}
	for _, surface := range [...]float64{wetSurface, dryCrust} {
		for _, k := range [...]float64{0.7, 1.4} {
			r, err := bakeRatio(known, pan, surface, k)
			if err != nil {
				return Estimate{}, err
			}
			low, high = math.Min(low, r), math.Max(high, r)
		}
	}
	t := float64(known.Time)
	return Estimate{
		Time: time.Duration(t * middle), Low: time.Duration(t * math.Min(low, middle) * 0.85), High: time.Duration(t * math.Max(high, middle) * 1.15),
		Method: "conduction from a surface that evaporates, fitted to the known bake (" + finding.CommonPractice + ")",
		Notes:  []string{fmt.Sprintf("%.2f times the known bake; the range is that of the crust and the conductivity, and 15 %%", middle)},
	}, nil
}

// bakeRatio returns the time of pan over that of known with what the inside feels at surface degC and the
// conductivity k times the usual.
func bakeRatio(known Baked, pan Body, surface, k float64) (float64, error) {
	k *= batterConductivity
	theta := (surface - known.Core.Celsius()) / (surface - ovenStart)
	seconds := func(b Body, h float64) float64 {
		d := b.directions(h, k)
		return d.timeTo(k/batterCapacity, theta)
	}
	low, high := 0.1, 1e4
	for range 50 {
		h := math.Sqrt(low * high)
		if seconds(known.Body, h) > known.Time.Seconds() {
			low = h
		} else {
			high = h
		}
	}
	h := math.Sqrt(low * high)
	ratio := seconds(pan, h) / seconds(known.Body, h)
	if _, err := duration(ratio * known.Time.Seconds()); err != nil {
		return 0, err
	}
	return ratio, nil
}
