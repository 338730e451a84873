package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Bloom is the strength of a gelatin: the force, in grams, that presses a plunger of 12.7 mm 4 mm
// deep into a gel of 7.50 g in 105 g of water, matured 17 h at 10 degC (AOAC 948.21, ISO 9665).
// Trade gelatins have 50 to 300; a lot may lie 20 % off what is stated (European Pharmacopoeia).
type Bloom float64

const (
	leastBloom, mostBloom Bloom = 50, 300

	// bloomTest is the concentration of the bloom test, per cent by mass of the gel.
	bloomTest = 100 * 7.50 / (7.50 + 105)
)

func (b Bloom) check() error {
	if !(b >= leastBloom && b <= mostBloom) {
		return fmt.Errorf("gelatin of %g bloom: must lie between %g and %g", float64(b), float64(leastBloom), float64(mostBloom))
	}
	return nil
}

// GradeRule says how the mass of gelatin follows from its bloom. The zero GradeRule is SquareRoot.
type GradeRule uint8

// SquareRoot is the default: firmness goes with bloom and with the square of concentration (Ward &
// Courts, The Science and Technology of Gelatin). Linear keeps mass times bloom, as culinary books
// do (common practice, no source); it differs by 12 % from 200 to 160 bloom.
const (
	SquareRoot GradeRule = iota
	Linear
)

// String names the rule: "square root" or "linear".
func (r GradeRule) String() string {
	if r == Linear {
		return "linear"
	}
	return "square root"
}

// Regrade returns the mass of gelatin of another bloom that sets as firmly as m: m sqrt(from/to),
// or m from/to by the Linear rule. Blooms must lie between 50 and 300 and m be 0 or more; else it
// returns an error.
func Regrade(m unit.Mass, from, to Bloom, r GradeRule) (unit.Mass, error) {
	if !(m >= 0 && m < 1e9) {
		return 0, fmt.Errorf("gelatin of %g g: give a mass of 0 or more", m.Grams())
	}
	for _, b := range [...]Bloom{from, to} {
		if err := b.check(); err != nil {
			return 0, err
		}
	}
	ratio := float64(from / to)
	switch r {
	case SquareRoot:
		ratio = math.Sqrt(ratio)
	case Linear:
	default:
		return 0, fmt.Errorf("grade rule %d is not known: choose the square root or the linear one", uint8(r))
	}
	return m * unit.Mass(ratio), nil
}

// Firmness returns the strength of a gel of c (fraction of its water phase by mass) of a gelatin, in
// grams as in the bloom test, 17 h at 10 degC: B (c/0.0667)^2. Reasonable from 0.02 to 0.08, too
// high below 0.015; it takes 0.005 to 0.10 and returns an error outside.
func Firmness(b Bloom, c float64) (float64, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	if !(c >= 0.005 && c <= 0.10) {
		return 0, fmt.Errorf("gelatin at %.3g %% of the water: firmness is estimated from 0.5 to 10 %%", 100*c)
	}
	ratio := 100 * c / bloomTest
	return float64(b) * ratio * ratio, nil
}

// Leaf is a grade of leaf gelatin.
type Leaf struct {
	Name      string
	Mass      unit.Mass // of one leaf
	Low, High Bloom
}

// Bloom returns the middle of the grade.
func (l Leaf) Bloom() Bloom { return (l.Low + l.High) / 2 }

// leaves are the figures of makers of leaf gelatin. Mass times bloom is nearly the same in all
// but titanium, so swapping leaf for leaf follows the linear rule and changes firmness: convert
// through grams and bloom.
var leaves = [...]Leaf{
	{"titanium", 5.0 * unit.Gram, 100, 120},
	{"bronze", 3.3 * unit.Gram, 125, 155},
	{"silver", 2.5 * unit.Gram, 150, 170},
	{"gold", 2.0 * unit.Gram, 190, 220},
	{"platinum", 1.7 * unit.Gram, 235, 265},
}

// Leaves lists the grades from the weakest to the strongest.
func Leaves() []Leaf { return append([]Leaf(nil), leaves[:]...) }

// LeafNamed returns the grade of that name: "gold".
func LeafNamed(name string) (Leaf, bool) {
	for _, l := range leaves {
		if l.Name == name {
			return l, true
		}
	}
	return Leaf{}, false
}

// SoakWater returns the cold water in which gelatin powder is soaked, five times its mass and
// between four and six (common practice, no source).
func SoakWater(m unit.Mass) (usual, low, high unit.Mass) { return 5 * m, 4 * m, 6 * m }

// GelTemperatures says where a dessert's gelatin dissolves, begins to gel and melts again.
type GelTemperatures struct {
	Dissolve, Set, Melt struct{ Low, High unit.Temperature }
}

// GelatinTemperatures returns the ranges for a gel of c (fraction of its water phase by mass), 0.005
// to 0.10; outside it returns an error. Below 0.03 it sets at 15 to 25 degC, above 0.06 at up to
// 35, in between as the ends of both. It melts at 25 to 35 degC, 2 to 4 K above where it set, the
// higher the stronger and older. Source: figures of makers and textbooks of gelatin; where "dessert
// strength" ends is our choice.
func GelatinTemperatures(c float64) (GelTemperatures, error) {
	var g GelTemperatures
	if !(c >= 0.005 && c <= 0.10) {
		return g, fmt.Errorf("gelatin at %.3g %% of the water: temperatures are given from 0.5 to 10 %%", 100*c)
	}
	g.Dissolve.Low, g.Dissolve.High = 50, 60
	g.Melt.Low, g.Melt.High = 25, 35
	switch {
	case c < 0.03:
		g.Set.Low, g.Set.High = 15, 25
	case c <= 0.06:
		g.Set.Low, g.Set.High = 15, 35
	default:
		g.Set.Low, g.Set.High = 25, 35
	}
	return g, nil
}

// GelSurroundings is what a gel is made in besides gelatin. The zero GelSurroundings is water.
type GelSurroundings struct {
	PH      float64 // 0: not given
	Alcohol float64 // mass fraction of the water phase
	Sugar   float64 // mass fraction of the water phase
}

// GelEffect is the firmness of a gel compared with the same gelatin in water, with the reasons.
type GelEffect struct {
	Firmness unit.Range // 1: as in water
	Notes    []string
}

// GelModifiers returns the effect of acid, alcohol and sugar as a range, from rules of the trade (no
// source better than that): at pH 4 and above none, falling straight to 0.6 to 0.8 at pH 3 and kept
// below it; sugar to 0.40 and alcohol to 0.20 strengthen slightly (taken as 1.0 to 1.1). Sugar above
// 0.60 hinders hydration and alcohol above 0.30 precipitates gelatin: a note says so, and with that
// much alcohol the lower end is 0. A pH outside 2 to 9 or a share outside 0 to 1 gives an error.
func GelModifiers(s GelSurroundings) (GelEffect, error) {
	if s.PH != 0 && !(s.PH >= 2 && s.PH <= 9) {
		return GelEffect{}, fmt.Errorf("pH %g: must lie between 2 and 9, or be 0 where it is not known", s.PH)
	}
	if !(s.Alcohol >= 0 && s.Alcohol <= 1) || !(s.Sugar >= 0 && s.Sugar <= 1) {
		return GelEffect{}, fmt.Errorf("alcohol %g and sugar %g in the water phase: give each from 0 to 1", s.Alcohol, s.Sugar)
	}
	e := GelEffect{Firmness: unit.Range{Low: 1, High: 1}}
	if s.PH != 0 && s.PH < 4 {
		depth := math.Min(1, 4-s.PH)
		e.Firmness.Low *= 1 - 0.4*depth
		e.Firmness.High *= 1 - 0.2*depth
		e.Notes = append(e.Notes, "acid below pH 4 weakens the gel: add up to 20 to 30 % gelatin, and do not boil it in the acid")
	}
	if s.Sugar > 0 {
		e.Firmness.High *= 1.1
	}
	if s.Sugar > 0.60 {
		e.Notes = append(e.Notes, "so much sugar hinders hydration: soak the gelatin in plain water first")
	}
	switch {
	case s.Alcohol > 0.30:
		e.Firmness.Low = 0
		e.Notes = append(e.Notes, "above 30 to 50 % alcohol gelatin precipitates: dilute it first")
	case s.Alcohol > 0:
		e.Firmness.High *= 1.1
	}
	return e, nil
}
