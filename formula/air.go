package formula

import (
	"math"

	"chablon/material"
	"chablon/unit"
)

// Air is how much gas a mix holds. At most one of SpecificGravity and Overrun is above zero.
type Air struct {
	SpecificGravity float64 // mass of a volume over that of as much water
	SGLow, SGHigh   float64
	Overrun         float64 // gain in volume of the whipped part: 1 doubles it
	OverrunLow      float64
	OverrunHigh     float64
	Whipped         []string // lines (ID, or ingredient or formula), groups; all lines if empty
	FoldingLoss     float64  // share of the gas lost by folding
}

// WaterDensity is that of water at 20 °C, the reference of specific gravity in the kitchen.
// Source: bib:crc-handbook, density of water, 998.2 kg/m³ at 20 °C.
const WaterDensity = 998.2 * unit.KilogramPerCubicMetre

// roomTemperature is where densities of ingredients are quoted.
const roomTemperature = unit.Temperature(20)

// DensitySource says where a component's density came from.
type DensitySource uint8

// Sources of a density, from the most trusted.
const (
	DensityUnknown  DensitySource = iota
	DensityMeasured               // on record for the finished component
	DensityBySG                   // from the specific gravity of the mix
	DensityByAir                  // from the densities of the lines and the overrun
)

// String says it in words.
func (s DensitySource) String() string {
	return [...]string{"unknown", "measured", "from specific gravity", "computed from its lines and air"}[s]
}

// FinishedDensity returns the density of the finished component and where it is from: the
// measured one, else that of the mix. A baked component has none but the measured: what the
// oven does to its volume is not computed.
func (f *Formula) FinishedDensity() (unit.Density, DensitySource) {
	if f.Density.Known() {
		return f.Density, DensityMeasured
	}
	for _, l := range f.Losses {
		if l.Name == "bake" {
			return 0, DensityUnknown
		}
	}
	return f.MixDensity()
}

// MixDensity returns the density of the mix before any baking: batter, mousse, cream.
// Volumes of the lines add up (no contraction on mixing), the whipped ones grow by the overrun
// less what folding loses.
func (f *Formula) MixDensity() (unit.Density, DensitySource) {
	if f.Air.SpecificGravity > 0 {
		return WaterDensity * unit.Density(f.Air.SpecificGravity), DensityBySG
	}
	var mass unit.Mass
	var volume unit.Volume
	for _, l := range f.Lines {
		if l.Mass <= 0 {
			continue
		}
		d := l.airless()
		if !d.Known() {
			return 0, DensityUnknown
		}
		v := d.Volume(l.Mass)
		if f.Air.Overrun > 0 && f.whips(l) {
			v *= unit.Volume(1 + f.Air.Overrun*(1-f.Air.FoldingLoss))
		}
		mass += l.Mass
		volume += v
	}
	if d := unit.DensityOf(mass, volume); d.Known() {
		return d, DensityByAir
	}
	return 0, DensityUnknown
}

// airless returns the density that a line brings into a mix: a nested component's own, an
// ingredient's true density from its composition (a powder's spooned density counts the air
// between its grains, which a mix does not keep), or the one on record.
func (l Line) airless() unit.Density {
	if l.Formula != nil {
		d, _ := l.Formula.FinishedDensity()
		return d
	}
	if l.Ingredient == nil {
		return 0
	}
	if d, ok := l.Ingredient.Composition.Density(roomTemperature); ok {
		return d
	}
	return l.Ingredient.Density
}

func (f *Formula) whips(l Line) bool {
	if len(f.Air.Whipped) == 0 {
		return true
	}
	id, _ := l.Of()
	for _, w := range f.Air.Whipped {
		if w == l.ID || w == l.Group || w == id {
			return true
		}
	}
	return false
}

// AirFraction returns the share of gas in the finished component's volume, from its density and
// that of its matter; zero where either is unknown.
func (f *Formula) AirFraction() float64 {
	d, _ := f.FinishedDensity()
	solid, ok := f.Composition().Density(roomTemperature)
	if !ok || !d.Known() || d >= solid {
		return 0
	}
	return 1 - float64(d/solid)
}

// Gelatin returns the gelatin in the formula as written, as a share of what goes in and
// normalised to 200 Bloom by the square-root rule, and whether every grade was known (one that
// is not counts as 200). Nested formulas count by the share in what they give, the water that
// they lose included.
// Source: bib:ward-courts, Bloom strength goes with the square of concentration.
func (f *Formula) Gelatin() (share float64, gradesKnown bool) {
	total := f.Written()
	if total <= 0 {
		return 0, true
	}
	gradesKnown = true
	var at200 unit.Mass
	for _, l := range f.Lines {
		if l.Formula != nil {
			s, k := l.Formula.Gelatin()
			if dry := l.Formula.dry().Total(); dry > 0 {
				s *= float64(l.Formula.mix().Total() / dry)
			}
			at200 += unit.Mass(s) * l.Mass
			gradesKnown = gradesKnown && k
			continue
		}
		if l.Ingredient == nil {
			continue
		}
		if bloom, ok := l.Ingredient.Trait("bloom"); ok {
			if bloom <= 0 {
				gradesKnown = false
				bloom = 200
			}
			at200 += l.Mass * unit.Mass(sqrtRatio(bloom, 200))
		}
	}
	return float64(at200 / total), gradesKnown
}

// Contains reports whether the formula, or one nested in it, takes an ingredient with a trait.
func (f *Formula) Contains(trait string) bool {
	for _, l := range f.Lines {
		if l.Formula != nil && l.Formula.Contains(trait) {
			return true
		}
		if l.Ingredient != nil {
			if _, ok := l.Ingredient.Trait(trait); ok {
				return true
			}
		}
	}
	return false
}

// SolubleSolids returns the dissolved sugars and polyols of the finished component as a share
// (1 = 100 °Bx), if its sugars are known.
func (f *Formula) SolubleSolids() (float64, bool) { return solids(f.Composition()) }

// solids returns the sugars and polyols of a composition. Polyols that are not on record count
// as none: few ingredients have any.
func solids(c material.Composition) (float64, bool) {
	return c.At(material.Sugars) + c.At(material.Polyols), c.Known(material.Sugars)
}

func sqrtRatio(a, b float64) float64 { return math.Sqrt(a / b) }
