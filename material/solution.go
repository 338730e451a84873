package material

import (
	"fmt"
	"math"
	"strings"
)

const (
	gasConstant = 8.314462618 // J/(mol K), exact since 2019
	waterMolar  = 0.01801528  // kg/mol

	// Water that protein holds back from freezing, kg per kg (ASHRAE Handbook-Refrigeration,
	// Thermal Properties of Foods: 0.4). What sugar holds back follows from water activity.
	proteinBoundWater = 0.4

	saltPerSodium = 58.443 / 22.990 // molar masses of sodium chloride and sodium

	// Dissolved particles of ash other than salt, mol per kg: what is left of the figure for milk
	// salts, 2.37 K per (kg non-fat milk solids per kg water) / 100 (Goff & Hartel, Ice Cream), at
	// 8 % ash and 0.535 % sodium in those solids, 1.86 K kg/mol.
	ashParticles = 12.7

	// Carbohydrate by difference carries the errors of all the other figures: less than this share
	// of the food is not read as a constituent of its own. Our choice.
	leastRest = 0.005
)

// Molar masses, kg/mol.
const (
	sucroseMolar  = 0.342297
	hexoseMolar   = 0.180156
	glycerolMolar = 0.092094
	saltMolar     = 0.058443
	alcoholMolar  = 0.046068
)

// solute is a sugar with its molar mass, kg/mol, and the K of Norrish's equation at 25 degC (Chirife
// et al. 1980 to 1982) and at 0 and below. The cold K of maltose and glycerol is fitted to their
// freezing points in the CRC Handbook; for the others that of 25 degC serves as it is.
type solute struct{ molar, norrish, cold float64 }

// solutes are the sugars of a composition other than sucrose.
var solutes = map[Component]solute{
	Glucose:  {hexoseMolar, 2.25, 2.25},
	Fructose: {hexoseMolar, 2.25, 2.25},
	Lactose:  {sucroseMolar, 10.2, 10.2},
	Maltose:  {sucroseMolar, 4.54, 6.5},
}

// otherSugars is the order in which solutes are read.
var otherSugars = [...]Component{Glucose, Fructose, Lactose, Maltose}

// Polyol says which polyol a composition's polyols are. The zero Polyol is Sorbitol.
type Polyol uint8

// The polyols of the kitchen; glycerol counts as one.
const (
	Sorbitol Polyol = iota
	Xylitol
	Maltitol
	Erythritol
	Mannitol
	Glycerol
	polyolCount
)

// polyols holds molar masses and the K of Norrish's equation (Chirife et al. 1980 to 1982; that of
// maltitol is maltose's, our choice: it is maltose with two more hydrogen atoms).
var polyols = [polyolCount]struct {
	name string
	solute
}{
	Sorbitol:   {"sorbitol", solute{0.182172, 1.65, 1.65}},
	Xylitol:    {"xylitol", solute{0.152146, 1.66, 1.66}},
	Maltitol:   {"maltitol", solute{0.344313, 4.54, 6.5}},
	Erythritol: {"erythritol", solute{0.122120, 1.34, 1.34}},
	Mannitol:   {"mannitol", solute{0.182172, 0.91, 0.91}},
	Glycerol:   {"glycerol", solute{glycerolMolar, 1.16, 2.25}},
}

// String returns the trade name: "sorbitol".
func (p Polyol) String() string {
	if p < polyolCount {
		return polyols[p].name
	}
	return fmt.Sprintf("polyol %d", uint8(p))
}

// Solutes says what a composition does not: which substances its broad components are. The zero
// Solutes means the defaults.
type Solutes struct {
	// DE is the dextrose equivalent of the glucose syrup in the food, above 0 to 100. Zero means
	// not given: DefaultDE, and only where starch is known (see Freezing).
	DE     float64
	Polyol Polyol // what polyols are; Sorbitol by default
}

// DefaultDE is the dextrose equivalent taken where none is given: the syrup of confectioners.
const DefaultDE = 42.0

func (o Solutes) check() error {
	if o.DE != 0 && !(o.DE >= leastDE && o.DE <= mostDE) {
		return fmt.Errorf("dextrose equivalent %g: give one from %g to %g, or 0 where it is not known", o.DE, leastDE, mostDE)
	}
	if o.Polyol >= polyolCount {
		return fmt.Errorf("polyol number %d is not known: choose sorbitol, xylitol, maltitol, erythritol, mannitol or glycerol", o.Polyol)
	}
	return nil
}

// solution is the water of a kilogram of food that can freeze and what is dissolved in it.
type solution struct {
	water   float64 // kg
	sucrose float64 // mol
	others  []dissolved
	salt    float64 // mol of sodium chloride
	alcohol float64 // mol
	ideal   float64 // mol of particles of minerals other than salt
	solids  float64 // kg of all of these
}

// dissolved is an amount, mol, with the K of Norrish's equation at 25 degC and at 0 and below.
type dissolved struct{ amount, norrish, cold float64 }

// whole returns the sum of the proximates, which must lie within 0.1 of 1. what names the result
// that asks, for the error.
func (c Composition) whole(what string) (float64, error) {
	var missing []string
	for _, k := range [...]Component{Water, Protein, Fat, Carbohydrate} {
		if !c.Known(k) {
			missing = append(missing, k.String())
		}
	}
	if missing != nil {
		return 0, fmt.Errorf("%s: %s not known: enter the share by mass", what, strings.Join(missing, ", "))
	}
	sum := c.At(Water) + c.At(Protein) + c.At(Fat) + c.At(Carbohydrate) + c.At(Ash) + c.At(Alcohol)
	if math.Abs(sum-1) > 0.1 {
		return 0, fmt.Errorf("%s: water, protein, fat, carbohydrate, ash and alcohol add up to %.3g, not 1: correct the shares", what, sum)
	}
	return sum, nil
}

// solution reads the solutes off a composition, per kilogram, and says what it had to assume.
func (c Composition) solution(what string, o Solutes) (solution, []string, error) {
	if err := o.check(); err != nil {
		return solution{}, nil, fmt.Errorf("%s: %w", what, err)
	}
	whole, err := c.whole(what)
	if err != nil {
		return solution{}, nil, err
	}
	s := solution{water: math.Max(0, c.At(Water)-proteinBoundWater*c.At(Protein)) / whole}
	dissolve := func(share float64, k solute) {
		if share > 0 {
			s.others = append(s.others, dissolved{share / whole / k.molar, k.norrish, k.cold})
			s.solids += share / whole
		}
	}
	for _, k := range otherSugars {
		dissolve(c.At(k), solutes[k])
	}
	var notes []string
	if c.At(Polyols) > 0 {
		dissolve(c.At(Polyols), polyols[o.Polyol].solute)
		if o.Polyol == Sorbitol {
			notes = append(notes, "polyols are taken as sorbitol")
		}
	}
	sucrose, chains, unclear := c.unnamed(o)
	notes = append(notes, unclear...)
	if chains > 0 {
		de := o.DE
		if de == 0 {
			de = DefaultDE
		}
		dissolve(chains, solute{syrupOf(de).Higher.Molar, solutes[Maltose].norrish, solutes[Maltose].cold})
	}
	sucrose += c.At(Sucrose)
	s.sucrose = sucrose / whole / sucroseMolar

	salt := saltPerSodium * c.At(Sodium)
	other := math.Max(0, c.At(Ash)-salt)
	if !c.Known(Sodium) {
		notes = append(notes, "sodium is not known: salt counts only as ash")
	}
	if !c.Known(Ash) {
		notes = append(notes, "ash is not known: minerals other than salt are left out")
	}
	s.salt = salt / whole / saltMolar
	s.ideal = other * ashParticles / whole
	s.alcohol = c.At(Alcohol) / whole / alcoholMolar
	s.solids += (sucrose + salt + other + c.At(Alcohol)) / whole
	return s, notes, nil
}

// unnamed returns the carbohydrate that no component names, as mass fractions: what counts as
// sucrose and what as the longer chains of glucose syrup, with the reasons.
func (c Composition) unnamed(o Solutes) (sucrose, chains float64, notes []string) {
	named := c.At(Sucrose)
	for _, k := range otherSugars {
		named += c.At(k)
	}
	left := c.At(Carbohydrate) - c.At(Fibre) - c.At(Starch) - c.At(Polyols)
	total, known := c.Share(Sugars)
	if !c.Known(Sucrose, Glucose, Fructose, Lactose, Maltose) {
		if !known {
			if rest := left - named; rest > 1e-9 {
				return rest, 0, []string{"sugars are not known: carbohydrate without fibre, starch and polyols is taken as sucrose"}
			}
			return 0, 0, nil
		}
		if rest := total - named; rest > 1e-9 {
			sucrose = rest
			notes = append(notes, "sugars not known one by one are taken as sucrose")
		}
	}
	rest := left - math.Max(total, named)
	switch {
	case rest <= leastRest:
		return sucrose, 0, notes
	case o.DE == 0 && !c.Known(Starch):
		return sucrose, 0, append(notes, "starch is not known: carbohydrate other than sugars, fibre and polyols is taken as starch, which does not dissolve")
	case o.DE == 0:
		notes = append(notes, fmt.Sprintf("carbohydrate other than sugars, fibre, starch and polyols is taken as the longer chains of glucose syrup of %g DE", DefaultDE))
	}
	return sucrose, rest, notes
}
