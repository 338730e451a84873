package notebook

import (
	"encoding/json"
	"math"

	"chablon/unit"
)

// lineJSON is the published form of a Line.
type lineJSON struct {
	Text         string   `json:"text"`
	Kind         string   `json:"kind"`
	Group        string   `json:"group,omitempty"`
	Amount       any      `json:"amount"` // a number, [low, high], or null where none is written
	Unit         string   `json:"unit"`
	Grams        any      `json:"grams"` // as amount; null where not known
	Ingredient   *string  `json:"ingredient"`
	Component    string   `json:"component,omitempty"`
	Name         string   `json:"name"`
	Prep         string   `json:"prep"`
	BeforePrep   bool     `json:"before_prep"`
	Also         string   `json:"also,omitempty"`
	Alternatives []string `json:"alternatives"`
	Optional     bool     `json:"optional"`
	ToTaste      bool     `json:"to_taste"`
	Divided      bool     `json:"divided"`
	Extra        bool     `json:"extra"`
	Confidence   float64  `json:"confidence"`
	Assumptions  []string `json:"assumptions"`
	Questions    []string `json:"questions"`
}

// MarshalJSON writes the line in its published form: amount and grams are a number, or [low,
// high] for a range, or null where they are not known.
func (l Line) MarshalJSON() ([]byte, error) {
	j := lineJSON{
		Text: l.Text, Kind: l.Kind.String(), Group: l.Group, Unit: l.Unit, Component: l.Component, Name: l.Name, Prep: l.Preparation,
		BeforePrep: l.BeforePreparation, Also: l.Also, Alternatives: orEmpty(l.Alternatives), Optional: l.Optional, ToTaste: l.ToTaste, Divided: l.Divided, Extra: l.Extra,
		Confidence: l.Confidence, Assumptions: orEmpty(l.Assumptions), Questions: orEmpty(l.Questions),
	}
	if l.HasAmount {
		j.Amount = rangeJSON(l.Amount)
	}
	if l.HasGrams {
		j.Grams = rangeJSON(l.Grams)
	}
	if l.Ingredient != nil {
		j.Ingredient = &l.Ingredient.ID
	}
	return json.Marshal(j)
}

func orEmpty(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// rangeJSON rounds to ten figures, so that 1/3 cup does not end in noise.
func rangeJSON(r unit.Range) any {
	low, high := tenFigures(r.Low), tenFigures(r.High)
	if low == high {
		return low
	}
	return [2]float64{low, high}
}

func tenFigures(x float64) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	scale := math.Pow(10, 9-math.Floor(math.Log10(math.Abs(x))))
	if math.IsInf(scale, 0) || scale == 0 {
		return x
	}
	return math.Round(x*scale) / scale
}
