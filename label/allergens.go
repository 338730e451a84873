// Package label says what a piece must declare. This version finds the allergens of an assembly
// from its ingredients; statements, nutrition panels and net quantities are not made yet.
//
// It reads the typical composition on record and never replaces the supplier's label: what is
// found here must be reviewed before sale. Allergen names follow bib:falcpa (United States) and
// bib:eu-1169-2011, annex II.
package label

import (
	"maps"
	"slices"

	"chablon/assembly"
	"chablon/formula"
	"chablon/ingredient"
)

// Allergen is something that has to be declared, and the ingredients that bring it.
type Allergen struct {
	Name        string
	Ingredients []string // names, in alphabetical order
	May         bool     // only traces may be there
}

// Allergens returns what one piece contains, and then what it may contain besides, each in
// alphabetical order.
func Allergens(s *assembly.Section) []Allergen {
	parts := s.Parts()
	of := make([]assembly.Component, len(parts))
	for i, p := range parts {
		of[i] = p.Component
	}
	return allergens(of...)
}

// OfFormula returns what a formula's own component contains and may contain.
func OfFormula(f *formula.Formula) []Allergen { return allergens(assembly.Component{Formula: f}) }

func allergens(of ...assembly.Component) []Allergen {
	contains, may := map[string]map[string]bool{}, map[string]map[string]bool{}
	for _, c := range of {
		visit(c, func(i *ingredient.Ingredient) {
			note(contains, i.Allergens, i.Name)
			note(may, i.MayContain, i.Name)
		})
	}
	for name := range contains {
		delete(may, name)
	}
	return append(list(contains, false), list(may, true)...)
}

func visit(c assembly.Component, see func(*ingredient.Ingredient)) {
	if c.Ingredient != nil {
		see(c.Ingredient)
	}
	if c.Formula != nil {
		for _, l := range c.Formula.Lines {
			visit(assembly.Component{Formula: l.Formula, Ingredient: l.Ingredient}, see)
		}
	}
}

func note(in map[string]map[string]bool, names []string, ingredient string) {
	for _, n := range names {
		if in[n] == nil {
			in[n] = map[string]bool{}
		}
		in[n][ingredient] = true
	}
}

func list(in map[string]map[string]bool, may bool) []Allergen {
	out := make([]Allergen, 0, len(in))
	for _, name := range slices.Sorted(maps.Keys(in)) {
		out = append(out, Allergen{Name: name, Ingredients: slices.Sorted(maps.Keys(in[name])), May: may})
	}
	return out
}
