package fdc

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"chablon/ingredient"
)

// longestFood is how many bytes one food of a JSON file may take.
const longestFood = 16 << 20

// lists names the lists of foods that a JSON download holds.
var lists = map[string]bool{"FoundationFoods": true, "SRLegacyFoods": true, "SurveyFoods": true, "BrandedFoods": true}

// jsonFood is what is read of a food; the layout is from memory.
type jsonFood struct {
	ID          uint32 `json:"fdcId"`
	DataType    string `json:"dataType"`
	Description string `json:"description"`
	Category    struct {
		Description string `json:"description"`
	} `json:"foodCategory"`
	Nutrients []struct {
		Nutrient struct {
			Number string `json:"number"`
			Unit   string `json:"unitName"`
		} `json:"nutrient"`
		Amount *float64 `json:"amount"`
	} `json:"foodNutrients"`
	Portions []struct {
		Amount      *float64 `json:"amount"`
		Value       *float64 `json:"value"` // the amount in Foundation foods
		Grams       float64  `json:"gramWeight"`
		Modifier    string   `json:"modifier"`
		Description string   `json:"portionDescription"`
		Sequence    int      `json:"sequenceNumber"`
		Unit        struct {
			Name string `json:"name"`
		} `json:"measureUnit"`
	} `json:"foodPortions"`
}

// ReadJSON reads a JSON download, such as that of Foundation Foods, food by food, and gives each
// to visit in its order. What it reads and returns is as with Read; notes and errors count the
// foods of the list in place of lines.
func ReadJSON(in io.Reader, visit func(ingredient.Ingredient) error) (Report, error) {
	var report Report
	from := &bounded{in: in, left: 1 << 62, row: longestFood, name: "JSON", over: "has a food of more than 16 MB; the file is damaged"}
	d := json.NewDecoder(from)
	if err := expect(d, json.Delim('{')); err != nil {
		return report, jsonError(err, 0)
	}
	for d.More() {
		from.row = longestFood
		key, err := d.Token()
		if err != nil {
			return report, jsonError(err, 0)
		}
		name, _ := key.(string)
		if !lists[name] {
			var other json.RawMessage
			if err := d.Decode(&other); err != nil {
				return report, jsonError(err, 0)
			}
			continue
		}
		if err := expect(d, json.Delim('[')); err != nil {
			return report, jsonError(err, 0)
		}
		for n := 1; d.More(); n++ {
			from.row = longestFood
			var f jsonFood
			if err := d.Decode(&f); err != nil {
				return report, jsonError(err, n)
			}
			if err := report.take(name, n, &f, visit); err != nil {
				return report, err
			}
		}
		if err := expect(d, json.Delim(']')); err != nil {
			return report, jsonError(err, 0)
		}
	}
	return report, jsonError(expect(d, json.Delim('}')), 0)
}

// take gives one food to visit.
func (r *Report) take(list string, n int, j *jsonFood, visit func(ingredient.Ingredient) error) error {
	kind, ok := kinds[j.DataType]
	switch {
	case !ok:
		r.skip(list, n, refused(j.DataType))
		return nil
	case j.Description == "" || j.ID == 0:
		r.skip(list, n, "has no description or no fdcId")
		return nil
	}
	f := food{id: j.ID, kind: kind, description: short(j.Description, longestText), group: group(short(j.Category.Description, longestText))}
	for _, v := range j.Nutrients {
		kind, known, fits := newNutrient(v.Nutrient.Number, v.Nutrient.Unit)
		if !fits {
			return &Error{File: list, Line: n, Column: "unitName", Value: v.Nutrient.Unit, Reason: "is no unit of nutrient " + short(v.Nutrient.Number, 20) + "; g, mg, µg, kcal or kJ is wanted"}
		}
		if !known || v.Amount == nil {
			continue
		}
		if wrong := f.set(kind, *v.Amount); wrong != "" {
			r.warn(list, n, "fdcId %d, nutrient %s, amount %v %s", j.ID, short(v.Nutrient.Number, 20), *v.Amount, wrong)
		}
	}
	for _, p := range j.Portions {
		amount := p.Amount
		if amount == nil {
			amount = p.Value
		}
		count := 0.
		if amount != nil {
			count = *amount
		}
		if wrong := f.addPortion(p.Sequence, count, amount != nil, p.Unit.Name, p.Description, p.Modifier, p.Grams); wrong != "" {
			r.warn(list, n, "fdcId %d: %s", j.ID, wrong)
		}
	}
	if f.figures == 0 {
		r.skip(list, n, "has no figures")
		return nil
	}
	r.Foods++
	return visit(f.ingredient())
}

func expect(d *json.Decoder, want json.Delim) error {
	at := d.InputOffset()
	got, err := d.Token()
	if err == nil && got != want {
		err = fmt.Errorf("%v stands at byte %d where %v is wanted; use the JSON download as published", got, at, want)
	}
	return err
}

// jsonError names the food, counted from 1, or the byte where the file is broken.
func jsonError(err error, food int) error {
	var own *Error
	var kind *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &own):
		own.Line = food
		return own
	case errors.As(err, &kind):
		return &Error{File: "JSON", Line: food, Column: kind.Field, Value: kind.Value, Reason: "is not of the kind that stands in a published download"}
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		return &Error{File: "JSON", Line: food, Reason: "ends too early; download it again"}
	}
	return &Error{File: "JSON", Line: food, Reason: short(err.Error(), longestText)}
}
