package material

import (
	"math"

	"chablon/unit"
)

const (
	gasConstant = 8.314462618 // J/(mol K), exact since 2019
	waterMolar  = 0.01801528  // kg/mol

	// Water that protein holds back from freezing, kg per kg (ASHRAE Handbook-Refrigeration,
	// Thermal Properties of Foods: 0.4). What sugar holds back follows from water activity.
	proteinBoundWater = 0.4

	saltPerSodium = 58.443 / 22.990 // molar masses of sodium chloride and sodium

	// Dissolved particles, mol per kg. Salt: two ions at an osmotic coefficient of 0.93, fitted to
	// the freezing points of the CRC Handbook (1 to 10 % by mass). Other ash: what is left of the
	// figure for milk salts, 2.37 K per (kg non-fat milk solids per kg water) / 100 (Goff & Hartel,
	// Ice Cream), at 8 % ash and 0.535 % sodium in those solids, 1.86 K kg/mol.
	// Alcohol: one particle, osmotic coefficient 1.
	saltParticles    = 2 * 0.93 / 0.058443
	ashParticles     = 12.7
	alcoholParticles = 1 / 0.04607
)

// solute is a sugar with its molar mass, kg/mol, and the K of Norrish's equation (Chirife et al.
// 1980 to 1982).
type solute struct{ molar, norrish float64 }

// The sugars of a composition other than sucrose, and sorbitol for its polyols.
var solutes = map[Component]solute{
	Glucose:  {0.180156, 2.25},
	Fructose: {0.180156, 2.25},
	Lactose:  {0.342297, 10.2},
	Maltose:  {0.342297, 4.54},
	Polyols:  {0.182172, 1.65},
}

const sucroseMolar = 0.342297 // kg/mol

// solution is the water of a kilogram of food that can freeze and what is dissolved in it.
type solution struct {
	water   float64 // kg
	sucrose float64 // mol
	others  []dissolved
	ideal   float64 // mol of particles of salt, other minerals and alcohol
}

type dissolved struct{ amount, norrish float64 } // mol

// solution reads the solutes off a composition whose parts add up to whole, and says what it had
// to assume.
func (c Composition) solution(whole float64) (solution, []string) {
	var notes []string
	s := solution{water: math.Max(0, c.At(Water)-proteinBoundWater*c.At(Protein)) / whole}
	sucrose, named := c.At(Sucrose), c.At(Sucrose)
	for _, k := range []Component{Glucose, Fructose, Lactose, Maltose, Polyols} {
		share := c.At(k)
		if k != Polyols {
			named += share
		}
		if share > 0 {
			s.others = append(s.others, dissolved{share / whole / solutes[k].molar, solutes[k].norrish})
		}
	}
	if c.At(Polyols) > 0 {
		notes = append(notes, "polyols are taken as sorbitol")
	}
	if !c.Known(Sucrose, Glucose, Fructose, Lactose, Maltose) {
		total, known := c.Share(Sugars)
		if !known {
			total = c.At(Carbohydrate) - c.At(Fibre) - c.At(Starch) - c.At(Polyols)
		}
		if rest := total - named; rest > 1e-9 {
			sucrose += rest
			if known {
				notes = append(notes, "sugars not known one by one are taken as sucrose")
			} else {
				notes = append(notes, "sugars are not known: carbohydrate without fibre, starch and polyols is taken as sucrose")
			}
		}
	}
	s.sucrose = sucrose / whole / sucroseMolar
	salt := saltPerSodium * c.At(Sodium)
	if !c.Known(Sodium) {
		notes = append(notes, "sodium is not known: salt counts only as ash")
	}
	if !c.Known(Ash) {
		notes = append(notes, "ash is not known: minerals other than salt are left out")
	}
	s.ideal = (salt*saltParticles + math.Max(0, c.At(Ash)-salt)*ashParticles + c.At(Alcohol)*alcoholParticles) / whole
	return s, notes
}

// lnActivity returns the logarithm of the water activity at t degC when water (kg, above 0) of the
// solution is liquid. Each solute acts as if alone in all that water, and their activities multiply
// (Ross 1975): sucrose by Starzak & Peacock 1997, which holds from freezing to caramel; other
// sugars by Norrish 1966; salts and alcohol in proportion to their molality.
func (s solution) lnActivity(water, t float64) float64 {
	n := water / waterMolar
	ln := -s.ideal / n
	if s.sucrose > 0 {
		x := s.sucrose / (s.sucrose + n)
		ln += math.Log(n / (s.sucrose + n))
		x = math.Min(x, 0.5) // 95 % by mass; the excess polynomial turns beyond
		ln += -17638 / (gasConstant * (t + 273.15)) * (1 - 1.0038*x - 0.24653*x*x) * x * x
	}
	for _, d := range s.others {
		x := d.amount / (d.amount + n)
		ln += math.Log(n/(d.amount+n)) - d.norrish*x*x
	}
	return ln
}

// lnIceActivity returns the logarithm of the water activity of anything in equilibrium with ice at
// t degC, from the heat of fusion 6009.5 J/mol and the difference of heat capacities
// 38.1 J/(mol K). Source: Fennema, Food Chemistry, tables to -30 degC, within 0.002.
func lnIceActivity(t float64) float64 {
	const t0, fusion, dcp = 273.15, 6009.5, 38.1
	k := t + t0
	return (fusion-dcp*t0)/gasConstant*(1/t0-1/k) - dcp/gasConstant*math.Log(t0/k)
}

// freezingPoint returns where the whole solution is in equilibrium with ice, and whether that is
// between -40 and 0 degC.
func (s solution) freezingPoint() (unit.Temperature, bool) {
	if s.water <= 0 {
		return 0, false
	}
	// The solution is liquid down to the temperature sought and would freeze below it.
	low, high := float64(thermalLowest), 0.0
	if s.lnActivity(s.water, low) <= lnIceActivity(low) {
		return 0, false
	}
	for range 50 {
		mid := (low + high) / 2
		if s.lnActivity(s.water, mid) > lnIceActivity(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return unit.Celsius(high), true
}

// ice returns the ice, kg per kg of food, in equilibrium at t degC.
func (s solution) ice(t float64) float64 {
	if s.water <= 0 || t >= 0 {
		return 0
	}
	ln := lnIceActivity(t)
	if s.lnActivity(s.water, t) <= ln {
		return 0
	}
	low, high := 0.0, s.water
	for range 60 {
		mid := (low + high) / 2
		if mid > 0 && s.lnActivity(mid, t) > ln {
			high = mid
		} else {
			low = mid
		}
	}
	return s.water - high
}

// FreezingPoint returns the temperature at which the first ice is in equilibrium with the food,
// and whether it lies in -40 to 0 degC: fat without water, caramel and strong spirits do not freeze
// there.
//
// The activity of the water, held by protein at 0.4 kg/kg and lowered by sucrose, glucose,
// fructose, lactose, maltose, polyols (as sorbitol), alcohol, salt from sodium and the other
// minerals, is set equal to that of ice. Against the CRC Handbook it is within 2 % for sucrose to
// 42 %, 3 % for the other sugars at 20 %, salt and alcohol at 10 %; beyond 45 % dissolved solids
// expect 5 to 10 %, for alcohol near 30 % up to 15 % (too warm). Glucose syrup counts by the sugars
// named in its composition; its longer chains are left out. Undercooling and solutes that
// crystallise are not modelled.
func (x Thermal) FreezingPoint() (unit.Temperature, bool) { return x.freezing, x.freezes }

// IceFraction returns the mass of ice in a kilogram of food in equilibrium at t. Below -40 degC
// nothing more freezes: a syrup is a glass by then.
//
// It follows the concentration of the remaining syrup, whose water activity is that of ice, and not
// the equations fitted to meat and fish: those assume a first ice above -2 degC and give sweet foods
// too much ice just below their freezing point. A 20 % sucrose syrup has 0.646 at -10 degC.
func (x Thermal) IceFraction(t unit.Temperature) float64 { return x.brine.ice(bounded(t)) }
