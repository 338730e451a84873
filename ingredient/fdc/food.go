package fdc

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// Bounds on what is kept of one food.
const (
	longestText  = 500
	mostPortions = 100
	mostEnergy   = 910 // kcal per 100 g: pure fat has 902
)

// kinds maps the data types that are read, as CSV and as JSON have them, to what Source says.
var kinds = map[string]string{
	"foundation_food": "Foundation", "sr_legacy_food": "SR Legacy", "survey_fndds_food": "Survey (FNDDS)",
	"Foundation": "Foundation", "SR Legacy": "SR Legacy", "Survey (FNDDS)": "Survey (FNDDS)",
}

// refused gives the reason why a data type is not read.
func refused(kind string) string {
	switch kind {
	case "branded_food", "Branded":
		return "branded foods are left out: label figures, per 100 g or 100 ml"
	case "":
		return "has no data type"
	}
	return short(kind, 40) + " is a sample or a record, not a food"
}

// food gathers what the files say of one food.
type food struct {
	id          uint32
	line        int
	kind        string
	description string
	group       string
	figures     int
	composition material.Composition
	energy      ingredient.Figure
	rank        [32]uint8 // by component, 31 for energy: the rank of the figure that stands, plus one
	portions    []portion
}

type portion struct {
	sequence int
	measure  string
	grams    float64
}

// set takes a figure. It returns what is wrong with it, or "".
func (f *food) set(n nutrient, amount float64) string {
	at := min(int(n.is), len(f.rank)-1)
	if f.rank[at] == n.rank+1 {
		return "is there twice; the first counts"
	}
	v := amount * n.factor
	switch {
	case v < 0:
		return "is below zero; it is left unknown"
	case n.is == energy && v > mostEnergy, n.is != energy && v > 1:
		return "is more than 100 g can hold; it is left unknown"
	case f.rank[at] != 0 && f.rank[at] < n.rank+1:
		return "" // a better one stands
	}
	f.rank[at] = n.rank + 1
	f.figures++
	if n.is == energy {
		f.energy = ingredient.Figure{Value: v, Known: true}
	} else {
		f.composition.Set(n.is, v)
	}
	return ""
}

// addPortion takes a portion: so many grams for an amount of a unit, which description and
// modifier name or narrow down. It returns what is wrong with it, or "".
func (f *food) addPortion(sequence int, amount float64, counted bool, unitName, description, modifier string, grams float64) string {
	if !counted {
		amount = 1
	}
	measure := strings.TrimSpace(unitName)
	if measure == "undetermined" {
		measure = ""
	}
	if onlyDigits(modifier) { // a code of the survey, not a word
		modifier = ""
	}
	for _, more := range []string{description, modifier} {
		if more = strings.TrimSpace(more); more != "" && measure != "" {
			measure += ", " + more
		} else if more != "" {
			measure = more
		}
	}
	// A survey portion says "2 tablespoons" and has no amount.
	if first, rest, found := strings.Cut(measure, " "); found && !counted {
		if n, err := strconv.ParseFloat(first, 64); err == nil && n > 0 {
			amount, measure = n, rest
		}
	}
	switch {
	case measure == "" || strings.EqualFold(measure, "quantity not specified"):
		return "the portion has no name"
	case !(grams > 0 && grams < 1e6 && amount > 0 && amount < 1e6 && grams/amount >= 1e-6):
		return "the portion has no weight"
	case len(f.portions) >= mostPortions:
		return "more portions than are kept of one food"
	}
	f.portions = append(f.portions, portion{sequence, short(measure, longestText), grams / amount})
	return ""
}

func onlyDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// ingredient makes the finished entry.
func (f *food) ingredient() ingredient.Ingredient {
	id := strconv.FormatUint(uint64(f.id), 10)
	i := ingredient.Ingredient{
		ID: "fdc-" + id, Name: f.description, Description: f.description, Group: f.group,
		Composition: f.composition, Energy: f.energy,
		Source: "USDA FoodData Central " + id + " (" + f.kind + ")", SourceKind: "published",
	}
	slices.SortStableFunc(f.portions, func(a, b portion) int { return cmp.Compare(a.sequence, b.sequence) })
	for _, p := range f.portions {
		i.Portions = append(i.Portions, ingredient.Portion{
			Measure: p.measure, Mass: unit.Mass(p.grams) * unit.Gram, Source: i.Source + " portion", SourceKind: "published",
		})
	}
	return i
}

// group turns "Dairy and Egg Products" into a group of the built-in table's form.
func group(category string) string {
	fields := strings.FieldsFunc(strings.ToLower(category), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	return strings.Join(fields, "_")
}
