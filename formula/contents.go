package formula

import (
	"slices"
	"strings"

	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// Content is how much of something the finished component holds, as a share of its mass. Where
// the figure of an ingredient is not on record the share is a range, and Unknown names what
// causes it; else Low equals High.
type Content struct {
	Name      string
	Low, High float64
	Unknown   []string
}

// Mid returns the middle of the range.
func (c Content) Mid() float64 { return (c.Low + c.High) / 2 }

// Contents returns what the finished component is made of: the proximates, the sugars one by
// one, starch, fibre, the minerals that labels name, and the fat by its origin. Losses that are
// water concentrate the rest. What no ingredient holds is left out.
func (f *Formula) Contents() []Content {
	t := tally{}
	f.tally(t, f.Written())
	kept := f.kept()
	if kept <= 0 {
		return nil
	}
	var out []Content
	for _, k := range material.Components() {
		s := t[k.String()]
		if k == material.Water {
			lost := f.Written() - kept
			s.low, s.high = max(0, s.low-lost), max(0, s.high-lost)
		}
		out = appendContent(out, k.String(), s, kept)
	}
	for _, name := range []string{"milk_fat", "cocoa_fat", "other_fat"} {
		out = appendContent(out, name, t[name], kept)
	}
	return out
}

func appendContent(out []Content, name string, s sum, total unit.Mass) []Content {
	if s.high <= 0 {
		return out
	}
	slices.Sort(s.unknown)
	return append(out, Content{name, float64(s.low / total), float64(s.high / total), slices.Compact(s.unknown)})
}

// kept returns the written mass less the water that losses drive off.
func (f *Formula) kept() unit.Mass { return f.dry().Total() }

// sum is a mass within bounds, and the ingredients that widen them.
type sum struct {
	low, high unit.Mass
	unknown   []string
}

type tally map[string]sum

func (t tally) add(name string, low, high unit.Mass, unknown string) {
	s := t[name]
	s.low += low
	s.high += high
	if unknown != "" {
		s.unknown = append(s.unknown, unknown)
	}
	t[name] = s
}

// tally adds the lines of the formula, scaled so that they weigh in together.
func (f *Formula) tally(t tally, in unit.Mass) {
	written := f.Written()
	if written <= 0 {
		return
	}
	k := in / written
	for _, l := range f.Lines {
		m := l.Mass * k
		switch {
		case l.Formula != nil:
			l.Formula.tallyFinished(t, m)
		case l.Ingredient != nil:
			tallyIngredient(t, l.Ingredient, m)
		}
	}
}

// tallyFinished adds m of a nested component as finished: its input less the water it loses.
func (f *Formula) tallyFinished(t tally, m unit.Mass) {
	kept, written := f.kept(), f.Written()
	if kept <= 0 {
		return
	}
	in := m * (written / kept)
	f.tally(t, in)
	lost := in - m
	s := t[material.Water.String()]
	s.low, s.high = s.low-lost, s.high-lost
	t[material.Water.String()] = s
}

func tallyIngredient(t tally, i *ingredient.Ingredient, m unit.Mass) {
	for _, k := range material.Components() {
		share, known := i.Composition.Share(k)
		if known {
			t.add(k.String(), m*unit.Mass(share), m*unit.Mass(share), "")
			continue
		}
		if most := mostOf(i.Composition, k); most > 0 {
			t.add(k.String(), 0, m*unit.Mass(most), i.Name)
		}
	}
	fat, known := i.Composition.Share(material.Fat)
	if !known || fat == 0 {
		return
	}
	milk, cocoa := fatOrigin(i, fat)
	t.add("milk_fat", m*unit.Mass(milk), m*unit.Mass(milk), "")
	t.add("cocoa_fat", m*unit.Mass(cocoa), m*unit.Mass(cocoa), "")
	rest := max(0, fat-milk-cocoa)
	t.add("other_fat", m*unit.Mass(rest), m*unit.Mass(rest), "")
}

// fatOrigin splits an ingredient's fat share into milk fat and cocoa butter: by its traits where
// it has them, else by its group.
func fatOrigin(i *ingredient.Ingredient, fat float64) (milk, cocoa float64) {
	m, hasMilk := i.Trait("milk-fat")
	c, hasCocoa := i.Trait("cocoa-butter")
	switch {
	case hasMilk || hasCocoa:
		milk, cocoa = min(m/100, fat), min(c/100, fat)
		if milk+cocoa > fat { // the traits are the maker's round figures
			cocoa = fat - milk
		}
	case strings.HasPrefix(i.Group, "dairy"):
		milk = fat
	case i.Group == "chocolate" || strings.HasPrefix(i.ID, "cocoa"):
		cocoa = fat
	}
	return milk, cocoa
}

// mostOf bounds a share that is not on record by what is: a part by its whole less its known
// parts, a proximate by what the others leave.
func mostOf(c material.Composition, k material.Component) float64 {
	left := func(whole float64, parts ...material.Component) float64 {
		for _, p := range parts {
			whole -= c.At(p)
		}
		return max(0, whole)
	}
	switch k {
	case material.Fibre, material.Starch, material.Polyols, material.Sugars:
		return left(orAll(c, material.Carbohydrate), material.Fibre, material.Starch, material.Polyols, material.Sugars)
	case material.Sucrose, material.Glucose, material.Fructose, material.Lactose, material.Maltose:
		whole := orAll(c, material.Sugars)
		if !c.Known(material.Sugars) {
			whole = mostOf(c, material.Sugars)
		}
		return left(whole, material.Sucrose, material.Glucose, material.Fructose, material.Lactose, material.Maltose)
	case material.SaturatedFat, material.TransFat, material.Cholesterol:
		return orAll(c, material.Fat)
	case material.Sodium, material.Calcium, material.Iron, material.Potassium, material.VitaminD:
		return orAll(c, material.Ash)
	}
	return left(1, material.Water, material.Protein, material.Fat, material.Carbohydrate, material.Ash, material.Alcohol)
}

// orAll returns a share, or one where it is not known.
func orAll(c material.Composition, k material.Component) float64 {
	if s, known := c.Share(k); known {
		return s
	}
	return 1
}

// Energy factors in kilojoules per gram. Source: bib:eu-1169-2011, annex XIV.
const (
	carbohydrateKJ = 17 // that is neither fibre nor polyol
	polyolKJ       = 10
	fibreKJ        = 8
	proteinKJ      = 17
	fatKJ          = 37
	alcoholKJ      = 29
)

// Energy returns the energy of 100 g of the finished component in kilojoules, as a range where
// figures are missing, from its contents by the factors of the EU label. Organic acids are
// counted as carbohydrate.
func (f *Formula) Energy() Content {
	out := Content{Name: "energy"}
	at := map[material.Component]Content{}
	for _, c := range f.Contents() {
		if k, ok := material.ComponentNamed(c.Name); ok {
			at[k] = c
		}
	}
	for _, k := range []material.Component{material.Carbohydrate, material.Fibre, material.Polyols, material.Protein, material.Fat, material.Alcohol} {
		out.Unknown = append(out.Unknown, at[k].Unknown...)
	}
	carbohydrate, fibre, polyols := at[material.Carbohydrate], at[material.Fibre], at[material.Polyols]
	full := func(c, fibre, polyols float64) float64 {
		return carbohydrateKJ*max(0, c-fibre-polyols) + fibreKJ*fibre + polyolKJ*polyols
	}
	// The least has as much fibre, then as much polyol, as the carbohydrate leaves room for.
	f0 := min(fibre.High, carbohydrate.Low)
	p0 := min(polyols.High, carbohydrate.Low-f0)
	rest := func(p, fat, alcohol float64) float64 { return proteinKJ*p + fatKJ*fat + alcoholKJ*alcohol }
	out.Low = 100 * (full(carbohydrate.Low, f0, max(p0, 0)) + rest(at[material.Protein].Low, at[material.Fat].Low, at[material.Alcohol].Low))
	out.High = 100 * (full(carbohydrate.High, fibre.Low, polyols.Low) + rest(at[material.Protein].High, at[material.Fat].High, at[material.Alcohol].High))
	slices.Sort(out.Unknown)
	out.Unknown = slices.Compact(out.Unknown)
	return out
}
