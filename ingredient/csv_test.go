package ingredient

import (
	"fmt"
	"strconv"
	"strings"

	"chablon/material"
	"chablon/unit"
)

// Grams, milligrams and micrograms per 100 g as mass fractions.
const (
	perHundred      = 1. / 100
	milliPerHundred = 1. / 100_000
	microPerHundred = 1. / 100_000_000
)

// columns says which column of table.csv holds which component.
var columns = []struct {
	name  string
	holds material.Component
	scale float64
}{
	{"water_g", material.Water, perHundred},
	{"protein_g", material.Protein, perHundred},
	{"fat_g", material.Fat, perHundred},
	{"carbohydrate_g", material.Carbohydrate, perHundred},
	{"ash_g", material.Ash, perHundred},
	{"alcohol_g", material.Alcohol, perHundred},
	{"fibre_g", material.Fibre, perHundred},
	{"sugars_g", material.Sugars, perHundred},
	{"sucrose_g", material.Sucrose, perHundred},
	{"glucose_g", material.Glucose, perHundred},
	{"fructose_g", material.Fructose, perHundred},
	{"lactose_g", material.Lactose, perHundred},
	{"maltose_g", material.Maltose, perHundred},
	{"starch_g", material.Starch, perHundred},
	{"polyols_g", material.Polyols, perHundred},
	{"sat_fat_g", material.SaturatedFat, perHundred},
	{"trans_fat_g", material.TransFat, perHundred},
	{"cholesterol_mg", material.Cholesterol, milliPerHundred},
	{"sodium_mg", material.Sodium, milliPerHundred},
	{"calcium_mg", material.Calcium, milliPerHundred},
	{"iron_mg", material.Iron, milliPerHundred},
	{"potassium_mg", material.Potassium, milliPerHundred},
	{"vitamin_d_ug", material.VitaminD, microPerHundred},
}

// parse reads the five reviewable files into ingredients, in the order of the table.
func parse(table, names, traits, portions, yields string) ([]*Ingredient, error) {
	var all []*Ingredient
	byID := map[string]*Ingredient{}
	err := each("table.csv", table, func(r record) error {
		i, err := r.ingredient()
		if err != nil {
			return err
		}
		if byID[i.ID] != nil {
			return fmt.Errorf("id %q is there twice", i.ID)
		}
		all, byID[i.ID] = append(all, i), i
		return nil
	})
	if err != nil {
		return nil, err
	}
	of := func(r record) (*Ingredient, error) {
		if i := byID[r.cell("id")]; i != nil {
			return i, nil
		}
		return nil, fmt.Errorf("id %q is not in table.csv", r.cell("id"))
	}
	join := func(file, text string, add func(*Ingredient, record) error) {
		if err != nil {
			return
		}
		err = each(file, text, func(r record) error {
			i, err := of(r)
			if err != nil {
				return err
			}
			return add(i, r)
		})
	}
	join("names.csv", names, addNames)
	join("traits.csv", traits, addTrait)
	join("portions.csv", portions, addPortion)
	join("yields.csv", yields, addYield)
	if err != nil {
		return nil, err
	}
	return all, nil
}

func (r record) ingredient() (*Ingredient, error) {
	i := &Ingredient{
		ID: r.cell("id"), Name: r.cell("description"), Description: r.cell("description"), Group: r.cell("group"),
		Allergens: list(r.cell("allergens")), MayContain: list(r.cell("may_contain")),
		Source: r.cell("source"), SourceKind: r.cell("source_kind"), Derived: r.cell("derived"),
	}
	for _, c := range columns {
		v, known, err := r.number(c.name)
		if err != nil {
			return nil, err
		}
		if share := v * c.scale; known && share <= 1 {
			i.Composition.Set(c.holds, share)
		} else if known {
			return nil, fmt.Errorf("%s of %q is %v, more than the whole", c.name, i.ID, v)
		}
	}
	energy, known, err := r.number("energy_kcal")
	if err != nil {
		return nil, err
	}
	i.Energy = Figure{energy, known}
	refuse, known, err := r.number("refuse_pct")
	if err != nil {
		return nil, err
	}
	i.Refuse = Figure{refuse / 100, known}
	density, known, err := r.number("density_g_per_ml")
	if err != nil {
		return nil, err
	}
	if known {
		basis := r.cell("density_basis")
		i.Density = unit.Density(density) * unit.GramPerMillilitre
		i.Bulk = strings.HasPrefix(basis, "bulk")
		i.DensitySource = basis
		if strings.HasPrefix(basis, "bulk") || strings.HasPrefix(basis, "liquid") {
			i.DensitySource = basis + ", " + i.Source
		} else if strings.HasPrefix(basis, "memory") {
			i.DensitySource = strings.TrimSpace(strings.TrimPrefix(basis, "memory") + " common practice, no source")
		}
	}
	return i, nil
}

func addNames(i *Ingredient, r record) error {
	i.Name, i.Aliases = r.cell("name"), list(r.cell("aliases"))
	i.Unlimited = r.cell("unlimited") == "yes"
	return nil
}

func addTrait(i *Ingredient, r record) error {
	v, known, err := r.number("value")
	if err != nil {
		return err
	}
	if !known {
		return fmt.Errorf("trait %q of %q has no value", r.cell("trait"), i.ID)
	}
	i.Traits = append(i.Traits, Trait{Name: r.cell("trait"), Value: v, Source: r.cell("source")})
	return nil
}

// addPortion reads "0.5 cup" weighing 20 g as a "cup" of 40 g.
func addPortion(i *Ingredient, r record) error {
	grams, known, err := r.number("grams")
	if err != nil {
		return err
	}
	measure, count := r.cell("measure"), 1.
	if first, rest, found := strings.Cut(measure, " "); found {
		if n, err := strconv.ParseFloat(first, 64); err == nil {
			measure, count = rest, n
		}
	}
	if !known || grams <= 0 || count <= 0 {
		return fmt.Errorf("portion %q of %q must be some grams for some of a measure", r.cell("measure"), i.ID)
	}
	i.Portions = append(i.Portions, Portion{Measure: measure, Mass: unit.Mass(grams/count) * unit.Gram, Source: r.cell("source"), SourceKind: r.cell("source_kind")})
	return nil
}

func addYield(i *Ingredient, r record) error {
	kept, known, err := r.number("kept_pct")
	if err != nil {
		return err
	}
	if !known {
		return fmt.Errorf("yield %q of %q has no figure", r.cell("process"), i.ID)
	}
	y := Yield{
		Process: r.cell("process"), From: r.cell("from"), To: r.cell("to"), ByVolume: r.cell("basis") == "volume",
		Source: r.cell("source"), SourceKind: r.cell("source_kind"), Note: r.cell("note"),
	}
	y.Kept, y.Low, y.High = kept/100, kept/100, kept/100
	for _, bound := range []struct {
		column string
		at     *float64
	}{{"low_pct", &y.Low}, {"high_pct", &y.High}} {
		v, known, err := r.number(bound.column)
		if err != nil {
			return err
		}
		if known {
			*bound.at = v / 100
		}
	}
	i.Yields = append(i.Yields, y)
	return nil
}
