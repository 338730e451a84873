package ingredient

import (
	"strings"

	"chablon/material"
	"chablon/unit"
)

// Ingredient is one thing that is bought. Do not change an entry that came from a Table.
type Ingredient struct {
	ID          string // lower-case words joined by hyphens: "flour-cake"
	Name        string // how the trade calls it: "Cake flour"
	Description string // what exactly the figures describe, as the source has it
	Group       string // "flour", "dairy", "fruit_puree"
	Aliases     []string
	Composition material.Composition
	Energy      Figure // kcal per 100 g as the source has it; sources compute it by different factors
	Refuse      Figure // share of the mass as bought that is thrown away, by the source
	Derived     string // which figures the source does not print and by which rule they were filled; see docs/data-licences.md

	// Density turns spoons and cups into mass. It is zero where none is on record. Where Bulk
	// is true it is that of the loose powder or grains, air included: then the space that the
	// ingredient takes in a mix is that of Composition.Density.
	Density       unit.Density
	Bulk          bool
	DensitySource string

	Portions   []Portion
	Yields     []Yield // best source first
	Allergens  []string
	MayContain []string
	Traits     []Trait
	Source     string
	SourceKind string // "published": a row of a public table; "memory": see Source
	Unlimited  bool   // comes from the tap: never bought, stocked or short
}

// Figure is a number that may be unknown. The zero Figure is unknown, which is not zero.
type Figure struct {
	Value float64
	Known bool
}

// Portion is what one of a household or trade measure weighs: "leaf", "large", "cup", "stick".
// A word after a comma narrows it down: "cup, sliced".
type Portion struct {
	Measure    string
	Mass       unit.Mass
	Source     string
	SourceKind string // as of an Ingredient
}

// Yield is what a process leaves of an ingredient.
type Yield struct {
	Process string // "trim", "juice", "zest", "puree_strained", "roast" …
	From    string // the state before: "as purchased", "edible portion"
	To      string // what is counted after: "juice", "white"
	// Kept is mass out over mass in, or where ByVolume is true volume over volume. It may exceed 1 where water is taken up. Low and High
	// bound it by common practice; both equal Kept where no range is on record.
	Kept, Low, High float64
	ByVolume        bool
	Source          string
	SourceKind      string // as of an Ingredient
	Note            string
}

// Trait is a fact that rules ask for. Names in the builtin table:
//
//	bloom                 gelling strength of gelatin, in Bloom
//	enzyme                1: holds a protein-splitting enzyme, which undoes gelatin
//	whipping-fat          fat of a cream that can be whipped, in per cent
//	cocoa, cocoa-butter,  figures of a couverture in per cent of its mass; dry-cocoa is free of
//	dry-cocoa, milk-fat   fat, and cocoa-butter + dry-cocoa = cocoa
//	raw-egg, pasteurised  1: egg that was not, or was, made safe by heat
//	alcohol               per cent by volume
//	acid, leavener        1: is one
//	dextrose-equivalent   of a starch sugar
type Trait struct {
	Name   string
	Value  float64
	Source string
}

// Trait returns the value of the trait of that name and whether the ingredient has it.
func (i *Ingredient) Trait(name string) (value float64, ok bool) {
	for _, t := range i.Traits {
		if t.Name == name {
			return t.Value, true
		}
	}
	return 0, false
}

// Portion returns the portion of that measure, whatever its case and number ("Leaves", "tsp",
// "teaspoons"). A bare measure also finds a narrower one: "cup" finds "cup, sliced", the first
// on record.
func (i *Ingredient) Portion(measure string) (Portion, bool) {
	want := measureKey(measure)
	if want == "" {
		return Portion{}, false
	}
	found := -1
	best := 0
	for n, p := range i.Portions {
		fit := 0
		switch key := measureKey(p.Measure); {
		case key == want:
			fit = 3
		case measureKey(head(p.Measure)) == want:
			fit = 2
		case strings.HasPrefix(key, want+" "):
			fit = 1
		}
		if fit > best {
			found, best = n, fit
		}
	}
	if found < 0 {
		return Portion{}, false
	}
	return i.Portions[found], true
}

// Yield returns the yield by mass of a process, the best-sourced one if there are several.
func (i *Ingredient) Yield(process string) (Yield, bool) {
	for _, y := range i.Yields {
		if y.Process == process && !y.ByVolume {
			return y, true
		}
	}
	return Yield{}, false
}

// head returns a measure without what narrows it down.
func head(measure string) string {
	if n := strings.IndexAny(measure, ",("); n >= 0 {
		return measure[:n]
	}
	return measure
}

var measureWords = map[string]string{
	"tablespoon": "tbsp", "tbs": "tbsp", "teaspoon": "tsp", "litre": "liter", "feuille": "leaf", "sheet": "leaf", "pod": "bean", "gousse": "bean",
}

// measureKey brings a measure to the form in which measures are compared.
func measureKey(measure string) string {
	ws := strings.Fields(flatten(measure))
	for n, w := range ws {
		w = singular(w)
		if m, ok := measureWords[w]; ok {
			w = m
		}
		ws[n] = w
	}
	return strings.Join(ws, " ")
}
