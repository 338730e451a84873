package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// leighton holds the freezing-point depression, K, of an ice-cream mix with 3, 6, 9 ... 180 g of
// sucrose equivalent in 100 g of water (Leighton 1927 as in bib:goff-hartel, from memory).
var leighton = [...]float64{
	0.18, 0.35, 0.53, 0.72, 0.90, 1.10, 1.29, 1.47, 1.67, 1.86, 2.03, 2.21, 2.40, 2.60, 2.78,
	2.99, 3.20, 3.42, 3.63, 3.85, 4.10, 4.33, 4.54, 4.77, 5.00, 5.26, 5.53, 5.77, 5.99, 6.23,
	6.50, 6.80, 7.04, 7.32, 7.56, 7.80, 8.04, 8.33, 8.62, 8.92, 9.19, 9.45, 9.71, 9.96, 10.22,
	10.47, 10.72, 10.97, 11.19, 11.41, 11.63, 11.88, 12.14, 12.40, 12.67, 12.88, 13.08, 13.28, 13.48, 13.68,
}

// IceCreamMix is a mix as an ice-cream maker writes it, in parts by mass of the same whole.
type IceCreamMix struct {
	Water     float64
	MilkSNF   float64 // non-fat milk solids, 0.545 of them lactose
	WheySolid float64 // 0.765 of them lactose
	Sucrose   float64
	Syrup     float64 // dry substance of glucose syrup
	DE        float64 // of the syrup; DefaultDE where it is 0
	Hexoses   float64 // glucose, fructose or invert sugar, dry
}

// SucroseEquivalent returns the sucrose that would lower the freezing point as far as the sugars
// of the mix do, in the same parts: lactose counts 1, syrup DE/100, hexoses 1.9 (Goff & Hartel, Ice
// Cream; the syrup's factor is theirs, half of what the mean molar mass gives).
func (m IceCreamMix) SucroseEquivalent() float64 {
	de := m.DE
	if de == 0 {
		de = DefaultDE
	}
	return 0.545*m.MilkSNF + 0.765*m.WheySolid + m.Sucrose + de/100*m.Syrup + 1.9*m.Hexoses
}

// SaltDepression returns how far the minerals of the milk lower the freezing point:
// 2.37 (milk solids + whey solids)/water (Goff & Hartel, Ice Cream). 0 without water.
func (m IceCreamMix) SaltDepression() unit.TempDiff {
	if m.Water <= 0 {
		return 0
	}
	return unit.TempDiff(2.37 * (m.MilkSNF + m.WheySolid) / m.Water)
}

// FreezingPoint returns where the mix begins to freeze by the trade's table, for up to 180 g of
// sucrose equivalent in 100 g of water. It is a second opinion on Composition.Freezing: they agree
// within 0.15 K to 93 g; at 180 g the table lies 1.35 K above the model. An error names the value
// that is out of range.
func (m IceCreamMix) FreezingPoint() (unit.Temperature, error) {
	for _, v := range [...]struct {
		name string
		of   float64
	}{
		{"water", m.Water},
		{"non-fat milk solids", m.MilkSNF},
		{"whey solids", m.WheySolid},
		{"sucrose", m.Sucrose},
		{"syrup", m.Syrup},
		{"hexoses", m.Hexoses},
		{"dextrose equivalent", m.DE},
	} {
		if !(v.of >= 0) || math.IsInf(v.of, 0) {
			return 0, fmt.Errorf("ice-cream mix: %s %g: give 0 or more", v.name, v.of)
		}
	}
	if m.DE > mostDE {
		return 0, fmt.Errorf("ice-cream mix: dextrose equivalent %g: must not exceed %g", m.DE, mostDE)
	}
	step := 100 * m.SucroseEquivalent() / m.Water / 3
	if last := float64(len(leighton)); !(step <= last) {
		return 0, fmt.Errorf("ice-cream mix: %.4g g of sucrose equivalent in %.4g g of water: the table ends at 180 in 100; add water or use Freezing", m.SucroseEquivalent(), m.Water)
	}
	// leighton[i] stands for i+1 steps; no sugar, no depression.
	at := func(i int) float64 {
		if i <= 0 {
			return 0
		}
		return leighton[i-1]
	}
	i := min(int(step), len(leighton)-1)
	sugar := at(i) + (at(i+1)-at(i))*(step-float64(i))
	return unit.Celsius(-sugar).Plus(-m.SaltDepression()), nil
}
