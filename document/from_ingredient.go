package document

import (
	"math"

	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// FromIngredient writes an entry of an ingredient table as a document of the cook's own: its
// composition, density, portions, allergens and traits, each with its source. What the entry
// does not know is left out. Portions that no mass can be written for are left out too.
func FromIngredient(i *ingredient.Ingredient) *Ingredient {
	d := &Ingredient{
		Head: Head{Kind: "ingredient", ID: i.ID, Schema: SchemaVersion, Name: i.Name, Notes: i.Source}, Group: i.Group,
		Contains: i.Allergens, MayContain: i.MayContain, Unlimited: i.Unlimited,
	}
	for _, k := range material.Components() {
		if share, known := i.Composition.Share(k); known {
			d.Composition = append(d.Composition, Share{Component: k.String(), Per100g: sixFigures(100 * share), Source: i.Source})
		}
	}
	if i.Density.Known() && !i.Bulk {
		perML, _ := unit.ParseUnit("g/ml")
		d.Density = Figure{Value: unit.Of(sixFigures(i.Density.GramsPerMillilitre()), perML), Source: i.DensitySource}
	}
	gram, _ := unit.ParseUnit("g")
	for _, p := range i.Portions {
		if g := sixFigures(p.Mass.Grams()); g > 0 {
			d.Portions = append(d.Portions, Portion{Measure: p.Measure, Mass: Figure{Value: unit.Of(g, gram), Source: p.Source}})
		}
	}
	for _, t := range i.Traits {
		d.Traits = append(d.Traits, Trait{Name: t.Name, Value: t.Value, Source: t.Source})
	}
	return d
}

// sixFigures rounds off what binary fractions add to a figure of a table.
func sixFigures(x float64) float64 {
	if x == 0 {
		return 0
	}
	scale := math.Pow(10, 5-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale) / scale
}
