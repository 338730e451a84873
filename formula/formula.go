package formula

import (
	"time"

	"chablon/ingredient"
	"chablon/unit"
)

// Formula is how one component is made, with every line already a mass. Formulas form a graph
// without cycles: whoever links them (see Linker) guarantees that.
type Formula struct {
	ID, Name, Type string
	Base           string // line that is 100 % in baker's percentages, by ID or ingredient
	Lines          []Line
	Steps          []Step
	Lags           []Lag
	Losses         []Loss
	Air            Air
	Density        unit.Density // of the finished component where measured, zero if not
	DensityLow     unit.Density // spread of Density, zero if not said
	DensityHigh    unit.Density
	Holds          []Hold
	Least, Most    unit.Mass // smallest and largest batch, finished; zero if not said
	MadeIn         Vessel
	Whole          bool // made as written or in whole multiples only
	Reusable       bool // a remainder can be used another day
}

// Vessel is what one batch fills.
type Vessel uint8

// Vessels. A formula made on a sheet is scaled by whole sheets, one made in a bowl or a pot by
// what the largest bowl or pot holds.
const (
	AnyVessel Vessel = iota
	Bowl
	Pot
	Sheet
	InMould
)

// String returns the vessel's name.
func (v Vessel) String() string { return [...]string{"batch", "bowl", "pot", "sheet", "mould"}[v] }

// Line is one line of a formula: so much of an ingredient, or of another formula's component.
type Line struct {
	ID, Group, Text string
	Amount          unit.Quantity // as written
	Name            string        // what the amount is of, as written
	Preparation     string
	Optional        bool
	ToTaste         bool

	Ingredient *ingredient.Ingredient // one of these two is set
	Formula    *Formula

	Mass      unit.Mass // of the formula as written
	Low, High unit.Mass // where a range was written
	Counted   bool      // written as a count of pieces
	Divided   []DividedShare
}

// DividedShare gives a step its share of a line.
type DividedShare struct {
	Step  string
	Share float64
}

// Of returns the identity and the name of what the line takes.
func (l Line) Of() (id, name string) {
	if l.Formula != nil {
		return l.Formula.ID, l.Formula.Name
	}
	if l.Ingredient != nil {
		return l.Ingredient.ID, l.Ingredient.Name
	}
	return "", l.Name
}

// Hold is how long a component keeps in a place. Safety is a limit of the food code, Quality
// one of practice; zero means not stated.
type Hold struct {
	Place           string // "room", "refrigerator" or "freezer"
	Safety, Quality time.Duration
	Source          string
}

// Written returns the mass of all lines of the formula as written.
func (f *Formula) Written() unit.Mass {
	var m unit.Mass
	for _, l := range f.Lines {
		m += l.Mass
	}
	return m
}

// Ingredients calls visit for each ingredient in m of the finished component's input, through
// nested formulas, with its mass. It ignores losses of nested formulas beyond what their own
// yield demands, which it does count: purchase of what is wasted is still purchase.
func (f *Formula) Ingredients(in unit.Mass, visit func(*ingredient.Ingredient, unit.Mass)) {
	written := f.Written()
	if written <= 0 {
		return
	}
	k := float64(in / written)
	for _, l := range f.Lines {
		m := l.Mass * unit.Mass(k)
		switch {
		case l.Ingredient != nil:
			visit(l.Ingredient, m)
		case l.Formula != nil:
			if b, err := l.Formula.Make(m); err == nil {
				l.Formula.Ingredients(b.In, visit)
			}
		}
	}
}
