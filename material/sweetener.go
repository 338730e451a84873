package material

import (
	"fmt"

	"chablon/unit"
)

// Sweetener is a sugar or what stands in for one.
type Sweetener struct {
	Name      string
	Molar     float64    // molar mass, kg/mol; number average for syrups
	Particles float64    // that a molecule makes in solution
	Sweetness unit.Range // of equal masses, sucrose = 100
	Note      string
}

// FreezingPower returns how much the sweetener lowers the freezing point of a dilute solution
// compared with the same mass of sucrose: particles times the ratio of the molar masses. Real
// solutions depart from it as they get stronger: by 4 % at 10 % of sucrose, by 18 % at 40 %.
func (s Sweetener) FreezingPower() float64 { return s.Particles * sucroseMolar / s.Molar }

// sweeteners: molar masses by formula; relative sweetness as the span of several books (Goff &
// Hartel, Ice Cream, among them), which differ widely and by concentration, temperature and taster.
var sweeteners = [...]Sweetener{
	{Name: "sucrose", Molar: sucroseMolar, Particles: 1, Sweetness: unit.Range{Low: 100, High: 100}, Note: "reference, anhydrous"},
	{Name: "glucose", Molar: hexoseMolar, Particles: 1, Sweetness: unit.Range{Low: 70, High: 75}, Note: "dextrose, anhydrous"},
	{Name: "dextrose monohydrate", Molar: 0.198171, Particles: 1, Sweetness: unit.Range{Low: 65, High: 70}, Note: "contains 9.1 % of water"},
	{Name: "fructose", Molar: hexoseMolar, Particles: 1, Sweetness: unit.Range{Low: 110, High: 173}},
	{Name: "invert sugar", Molar: hexoseMolar, Particles: 1, Sweetness: unit.Range{Low: 105, High: 130}, Note: "dry substance"},
	{Name: "lactose", Molar: sucroseMolar, Particles: 1, Sweetness: unit.Range{Low: 16, High: 20}},
	{Name: "maltose", Molar: sucroseMolar, Particles: 1, Sweetness: unit.Range{Low: 32, High: 45}},
	{Name: "trehalose", Molar: sucroseMolar, Particles: 1, Sweetness: unit.Range{Low: 40, High: 50}, Note: "anhydrous"},
	{Name: "glucose syrup solids DE 42", Molar: 18.016 / 42, Particles: 1, Sweetness: unit.Range{Low: 35, High: 50}},
	{Name: "glucose syrup solids DE 60", Molar: 18.016 / 60, Particles: 1, Sweetness: unit.Range{Low: 50, High: 60}},
	{Name: "sorbitol", Molar: polyols[Sorbitol].molar, Particles: 1, Sweetness: unit.Range{Low: 50, High: 60}},
	{Name: "xylitol", Molar: polyols[Xylitol].molar, Particles: 1, Sweetness: unit.Range{Low: 85, High: 120}},
	{Name: "maltitol", Molar: polyols[Maltitol].molar, Particles: 1, Sweetness: unit.Range{Low: 50, High: 90}},
	{Name: "erythritol", Molar: polyols[Erythritol].molar, Particles: 1, Sweetness: unit.Range{Low: 60, High: 70}},
	{Name: "mannitol", Molar: polyols[Mannitol].molar, Particles: 1, Sweetness: unit.Range{Low: 40, High: 60}},
	{Name: "glycerol", Molar: glycerolMolar, Particles: 1, Sweetness: unit.Range{Low: 50, High: 60}},
	{Name: "ethanol", Molar: alcoholMolar, Particles: 1, Note: "not sweet; above 5 % use Composition.Freezing"},
	{Name: "sodium chloride", Molar: saltMolar, Particles: 2, Note: "not sweet; two ions"},
	{Name: "galactose", Molar: hexoseMolar, Particles: 1, Sweetness: unit.Range{Low: 30, High: 60}},
}

// Sweeteners lists the sweeteners, and for their freezing power salt and alcohol.
func Sweeteners() []Sweetener { return append([]Sweetener(nil), sweeteners[:]...) }

// SweetenerNamed returns the sweetener of that name: "glucose", "glucose syrup solids DE 42".
func SweetenerNamed(name string) (Sweetener, bool) {
	for _, s := range sweeteners {
		if s.Name == name {
			return s, true
		}
	}
	return Sweetener{}, false
}

// sweetness is what the sweeteners say of the named sugars.
func sweetness(name string) unit.Range {
	s, ok := SweetenerNamed(name)
	if !ok {
		panic("material: no sweetener " + name)
	}
	return s.Sweetness
}

// Sweetness is how sweet a food is: the sucrose, g per 100 g of food, that would taste as sweet, as
// a range.
type Sweetness struct {
	unit.Range
	Assumptions []string
}

// Sweetness adds up the sugars and polyols by their relative sweetness. Sugars that are not known
// one by one count as sucrose. The longer chains of glucose syrup count from 0 to what makes up the
// sweetness of the syrup's solids (a third of sucrose's at most, our choice). Cold, acid and fat
// change what is tasted; none of it is counted.
//
// Carbohydrate must be known, and Sugars where not each sugar is; the options are checked as in
// Freezing. Errors name the component and what to give.
func (c Composition) Sweetness(o Solutes) (Sweetness, error) {
	if err := o.check(); err != nil {
		return Sweetness{}, fmt.Errorf("sweetness: %w", err)
	}
	if !c.Known(Carbohydrate) {
		return Sweetness{}, fmt.Errorf("sweetness: carbohydrate not known: enter the share by mass")
	}
	sucrose, chains, notes := c.unnamed(o)
	s := Sweetness{Assumptions: notes}
	add := func(share float64, r unit.Range) {
		s.Low += share * r.Low
		s.High += share * r.High
	}
	add(c.At(Sucrose)+sucrose, unit.Range{Low: 100, High: 100})
	for _, k := range otherSugars {
		if c.At(k) > 0 {
			add(c.At(k), sweetness(k.String()))
		}
	}
	if chains > 0 {
		add(chains, unit.Range{Low: 0, High: 33})
	}
	if c.At(Polyols) > 0 {
		add(c.At(Polyols), sweetness(o.Polyol.String()))
		if o.Polyol == Sorbitol {
			s.Assumptions = append(s.Assumptions, "polyols are taken as sorbitol")
		}
	}
	return s, nil
}
