package material

import (
	"math"

	"chablon/unit"
)

// Component is one class of matter in a food's composition.
type Component uint8

// The components of a composition. Water to Ash are the proximate analysis and add up to the
// whole (within the tolerance of the tables); the rest are parts of those.
const (
	Water Component = iota
	Protein
	Fat
	Carbohydrate // by difference, fibre included
	Ash
	Alcohol

	Fibre // parts of Carbohydrate, from here to Polyols
	Sugars
	Sucrose
	Glucose
	Fructose
	Lactose
	Maltose
	Starch
	Polyols

	SaturatedFat // parts of Fat
	TransFat
	Cholesterol

	Sodium // minerals, and a vitamin that labels name
	Calcium
	Iron
	Potassium
	VitaminD

	componentCount
)

var componentNames = [componentCount]string{
	"water", "protein", "fat", "carbohydrate", "ash", "alcohol", "fibre", "sugars", "sucrose", "glucose", "fructose",
	"lactose", "maltose", "starch", "polyols", "saturated_fat", "trans_fat", "cholesterol", "sodium", "calcium", "iron", "potassium", "vitamin_d",
}

// String returns the name that documents use: "water", "saturated_fat".
func (c Component) String() string { return componentNames[c] }

// Components lists every component, in order.
func Components() []Component {
	out := make([]Component, componentCount)
	for i := range out {
		out[i] = Component(i)
	}
	return out
}

// ComponentNamed returns the component of that name.
func ComponentNamed(name string) (Component, bool) {
	for i, n := range componentNames {
		if n == name {
			return Component(i), true
		}
	}
	return 0, false
}

// Composition is what a food is made of, each component as a mass fraction of the whole (g/g).
// Unknown is not zero: a component counts only after Set. The zero Composition knows nothing.
type Composition struct {
	share [componentCount]float64
	known uint32
}

// Set records a component's mass fraction.
func (c *Composition) Set(k Component, share float64) {
	if math.IsNaN(share) || share < 0 || share > 1 {
		panic("material: mass fraction out of 0 to 1: " + k.String())
	}
	c.share[k] = share
	c.known |= 1 << k
}

// Share returns a component's mass fraction and whether it is known.
func (c Composition) Share(k Component) (share float64, known bool) {
	return c.share[k], c.known&(1<<k) != 0
}

// At returns a component's mass fraction, zero where unknown: for sums that have already asked
// Known.
func (c Composition) At(k Component) float64 { return c.share[k] }

// Known reports whether all of the given components are known.
func (c Composition) Known(ks ...Component) bool {
	for _, k := range ks {
		if c.known&(1<<k) == 0 {
			return false
		}
	}
	return true
}

// Mix adds up foods by mass. A component of the mix is known only where it is known in every
// part that has mass.
type Mix struct {
	mass    [componentCount]unit.Mass
	unknown uint32
	total   unit.Mass
}

// Add puts m of a food into the mix.
func (x *Mix) Add(c Composition, m unit.Mass) {
	if m <= 0 {
		return
	}
	for k := range c.share {
		x.mass[k] += unit.Mass(c.share[k]) * m
	}
	x.unknown |= ^c.known
	x.total += m
}

// Remove takes m of one component, such as evaporated water, out of the mix. It removes no
// more than is there and returns what it took.
func (x *Mix) Remove(k Component, m unit.Mass) unit.Mass {
	m = max(0, min(m, x.mass[k]))
	x.mass[k] -= m
	x.total -= m
	return m
}

// Total returns the mass of the mix.
func (x *Mix) Total() unit.Mass { return x.total }

// Composition returns the mass fractions of the mix; it knows nothing of an empty mix.
func (x *Mix) Composition() Composition {
	var c Composition
	if x.total <= 0 {
		return c
	}
	for k := range x.mass {
		if x.unknown&(1<<k) == 0 {
			c.Set(Component(k), math.Min(1, float64(x.mass[k]/x.total)))
		}
	}
	return c
}
