package formula_test

import (
	"math"
	"testing"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
)

func content(t *testing.T, f *formula.Formula, name string) formula.Content {
	t.Helper()
	for _, c := range f.Contents() {
		if c.Name == name {
			return c
		}
	}
	return formula.Content{}
}

// 100 g of sugar in 100 g of water, boiled down by a quarter of its mass: 150 g with 100 g of
// sucrose and 50 g of water, by hand.
func TestContentsAfterEvaporation(t *testing.T) {
	f := &formula.Formula{ID: "syrup", Lines: []formula.Line{line(sugar, 100), line(water, 100)}, Losses: []formula.Loss{{Name: "evaporation", Share: 0.25}}}
	near(t, "sugars", content(t, f, "sugars").Low, 100.0/150)
	near(t, "water", content(t, f, "water").Low, 50.0/150)
	// Nested in a mix with as much water again, the shares halve.
	g := &formula.Formula{ID: "mix", Lines: []formula.Line{of(f, 150), line(water, 150)}}
	near(t, "sugars nested", content(t, g, "sugars").High, 100.0/300)
	near(t, "water nested", content(t, g, "water").High, 200.0/300)
}

// A figure that is not on record widens the range and names its ingredient: 50 g of something
// with 80 % carbohydrate of unknown sugars among 100 g hold 0 to 40 % of them.
func TestUnknownIsARange(t *testing.T) {
	mystery := &ingredient.Ingredient{ID: "mystery", Name: "Mystery"}
	for k, v := range map[material.Component]float64{material.Water: 0.2, material.Protein: 0, material.Fat: 0, material.Carbohydrate: 0.8, material.Ash: 0, material.Alcohol: 0} {
		mystery.Composition.Set(k, v)
	}
	f := &formula.Formula{ID: "f", Lines: []formula.Line{line(mystery, 50), line(water, 50)}}
	c := content(t, f, "sugars")
	if c.Low != 0 || math.Abs(c.High-0.4) > 1e-12 || len(c.Unknown) != 1 || c.Unknown[0] != "Mystery" {
		t.Errorf("sugars = %+v, want 0 to 0.4 because of Mystery", c)
	}
	// Its energy lies between all fibre (8 kJ/g) and all sugar (17): 40 g of either in 100 g.
	e := f.Energy()
	near(t, "least energy", e.Low, 40*8)
	near(t, "most energy", e.High, 40*17)
}

// The fat of a couverture is cocoa butter and that of cream is milk fat; together they are the
// fat of the mix.
func TestFatByOrigin(t *testing.T) {
	f := asWritten(t, "ganache", nil, nil, "200 g dark couverture 64 %", "200 g cream", "20 g hazelnuts")
	milk, cocoa, other := content(t, f, "milk_fat").Low, content(t, f, "cocoa_fat").Low, content(t, f, "other_fat").Low
	near(t, "fat", milk+cocoa+other, content(t, f, "fat").Low)
	if !(milk > 0.1 && cocoa > 0.1 && other > 0.01) {
		t.Errorf("milk %v, cocoa %v, other %v", milk, cocoa, other)
	}
}

// Sugar has 1700 kJ in 100 g (17 kJ/g, bib:eu-1169-2011).
func TestEnergyOfSugar(t *testing.T) {
	e := asWritten(t, "s", nil, nil, "100 g sugar").Energy()
	if math.Abs(e.Low-1700) > 5 || math.Abs(e.High-1700) > 5 {
		t.Errorf("energy = %v to %v kJ, want 1700 ± 5", e.Low, e.High)
	}
}
