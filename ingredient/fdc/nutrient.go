package fdc

import (
	"strings"

	"chablon/material"
)

// energy stands in place of a component for food energy.
const energy = material.Component(255)

// wanted says which nutrient, by its number, gives which component. Where a food has several
// for one component, the one with the lowest rank counts.
//
// The numbers are those of the Standard Reference: 203 to 328, 601 and 606 also head the
// columns of SR28. Recalled, without a source at hand: 957 and 958 (energy by general and by
// specific Atwater factors, where Foundation foods lack 208), 293 (fibre by AOAC 2011.25), 298
// (fat by NLEA), 269.3 (sugars by NLEA), 299 (sugar alcohols) and 324 (vitamin D in IU).
var wanted = map[string]struct {
	is   material.Component
	rank uint8
}{
	"255": {is: material.Water},
	"203": {is: material.Protein},
	"204": {is: material.Fat}, "298": {material.Fat, 1},
	"205": {is: material.Carbohydrate},
	"207": {is: material.Ash},
	"221": {is: material.Alcohol},
	"291": {is: material.Fibre}, "293": {material.Fibre, 1},
	"269": {is: material.Sugars}, "269.3": {material.Sugars, 1},
	"210": {is: material.Sucrose},
	"211": {is: material.Glucose},
	"212": {is: material.Fructose},
	"213": {is: material.Lactose},
	"214": {is: material.Maltose},
	"209": {is: material.Starch},
	"299": {is: material.Polyols},
	"606": {is: material.SaturatedFat},
	"605": {is: material.TransFat},
	"601": {is: material.Cholesterol},
	"307": {is: material.Sodium},
	"301": {is: material.Calcium},
	"303": {is: material.Iron},
	"306": {is: material.Potassium},
	"328": {is: material.VitaminD}, "324": {material.VitaminD, 1},
	"208": {is: energy}, "958": {energy, 1}, "957": {energy, 2}, "268": {energy, 3},
}

// nutrient is what one kind of figure gives.
type nutrient struct {
	is     material.Component
	factor float64 // to mass fraction, or kcal per 100 g
	rank   uint8
}

// Units per 100 g as mass fractions; 1 IU of vitamin D is 0.025 µg (by definition), 1 kcal is
// 4.184 kJ (by definition).
var massUnits = map[string]float64{"g": 1e-2, "mg": 1e-5, "ug": 1e-8, "µg": 1e-8, "μg": 1e-8, "mcg": 1e-8}

const (
	microgramsPerIU = 0.025
	kilojoules      = 4.184 // in a kilocalorie
)

// newNutrient returns what a nutrient number in a unit gives; known is false for a number that
// is not wanted, fits is false for a unit that a wanted one cannot have.
func newNutrient(number, unit string) (n nutrient, known, fits bool) {
	w, known := wanted[strings.TrimSuffix(strings.TrimSpace(number), ".0")]
	if !known {
		return nutrient{}, false, true
	}
	n = nutrient{is: w.is, rank: w.rank}
	unit = strings.ToLower(strings.TrimSpace(unit))
	switch {
	case w.is == energy && unit == "kcal":
		n.factor = 1
	case w.is == energy && unit == "kj":
		n.factor = 1 / kilojoules
	case w.is == material.VitaminD && unit == "iu":
		n.factor = microgramsPerIU * massUnits["ug"]
	case w.is != energy:
		n.factor = massUnits[unit]
	}
	return n, true, n.factor > 0
}
