package fdc_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"chablon/ingredient"
	"chablon/ingredient/fdc"
	"chablon/material"
)

// One food in the layout of the Foundation Foods JSON (from memory), figures made up but for
// the units, and one that is branded.
const foundation = `{"FoundationFoods":[
 {"foodClass":"FinalFood","description":"Almond flour","foodNutrients":[
   {"type":"FoodNutrient","id":1,"nutrient":{"id":1003,"number":"203","name":"Protein","rank":600,"unitName":"g"},"amount":26.2},
   {"type":"FoodNutrient","id":2,"nutrient":{"id":1093,"number":"307","name":"Sodium, Na","rank":5800,"unitName":"mg"},"amount":4.0},
   {"type":"FoodNutrient","id":3,"nutrient":{"id":1114,"number":"328","name":"Vitamin D","rank":8700,"unitName":"µg"},"amount":0.1},
   {"type":"FoodNutrient","id":4,"nutrient":{"id":1051,"number":"255","name":"Water","rank":100,"unitName":"g"}},
   {"type":"FoodNutrient","id":5,"nutrient":{"id":2048,"number":"958","name":"Energy (Atwater Specific Factors)","unitName":"kcal"},"amount":578},
   {"type":"FoodNutrient","id":6,"nutrient":{"id":1005,"number":"205","name":"Carbohydrate","unitName":"g"},"amount":-1}],
  "foodPortions":[{"id":1,"value":0.5,"measureUnit":{"id":1000,"name":"cup","abbreviation":"cup"},"modifier":"","gramWeight":45.0,"sequenceNumber":1,"amount":0.5}],
  "foodCategory":{"description":"Nut and Seed Products"},"fdcId":2346404,"dataType":"Foundation","publicationDate":"4/28/2022"},
 {"description":"Bar","foodNutrients":[],"fdcId":5,"dataType":"Branded"}
],"extra":{"a":[1,2]}}`

func TestReadJSON(t *testing.T) {
	t.Parallel()
	var got []ingredient.Ingredient
	report, err := fdc.ReadJSON(strings.NewReader(foundation), func(i ingredient.Ingredient) error {
		got = append(got, i)
		return nil
	})
	if err != nil || len(got) != 1 || report.Foods != 1 || len(report.Skipped) != 1 || report.Warnings != 1 {
		t.Fatalf("%d foods, report %+v, error %v; want 1 read, 1 skipped, 1 warning", len(got), report, err)
	}
	i := got[0]
	if i.ID != "fdc-2346404" || i.Name != "Almond flour" || i.Group != "nut_and_seed_products" || i.Source != "USDA FoodData Central 2346404 (Foundation)" {
		t.Errorf("food %+v", i)
	}
	for k, want := range map[material.Component]float64{material.Protein: 0.262, material.Sodium: 4e-5, material.VitaminD: 1e-9} { // by hand
		if v, known := i.Composition.Share(k); !known || math.Abs(v-want) > 1e-12*want {
			t.Errorf("%v = %v, known %v; want %v", k, v, known, want)
		}
	}
	if i.Composition.Known(material.Water) || i.Composition.Known(material.Carbohydrate) || i.Energy != (ingredient.Figure{Value: 578, Known: true}) {
		t.Errorf("water or carbohydrate is known, or energy %+v is not 578", i.Energy)
	}
	if p, ok := i.Portion("cup"); !ok || math.Abs(p.Mass.Grams()-90) > 1e-9 { // 45 g in half a cup
		t.Errorf("portions %+v; want a cup of 90 g", i.Portions)
	}
}

func TestReadJSONErrors(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		in   string
		want []string
	}{
		"empty":           {"", []string{"ends too early"}},
		"a list":          {"[]", []string{"byte 0", "{"}},
		"no list":         {`{"FoundationFoods":3}`, []string{"["}},
		"cut off":         {foundation[:400], []string{"line 1", "ends too early"}},
		"word for figure": {strings.Replace(foundation, "26.2", `"much"`, 1), []string{"line 1", "amount", "string"}},
		"unit":            {strings.Replace(foundation, `"mg"`, `"lb"`, 1), []string{"FoundationFoods line 1", "unitName", "lb", "307"}},
		"too large":       {`{"FoundationFoods":[{"description":"` + strings.Repeat("x", 17<<20) + `"}]}`, []string{"16 MB"}},
		"too large aside": {`{"other":"` + strings.Repeat("x", 17<<20) + `"}`, []string{"16 MB"}},
	} {
		_, err := fdc.ReadJSON(strings.NewReader(tt.in), func(ingredient.Ingredient) error { return nil })
		var own *fdc.Error
		if !errors.As(err, &own) {
			t.Errorf("%s: error %v, want an *Error", name, err)
			continue
		}
		for _, w := range tt.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: error %q does not say %q", name, err, w)
			}
		}
	}
	stop := errors.New("stop")
	if _, err := fdc.ReadJSON(strings.NewReader(foundation), func(ingredient.Ingredient) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("visit's error is lost: %v", err)
	}
}

func FuzzReadJSON(f *testing.F) {
	f.Add(foundation)
	f.Add(`{"SRLegacyFoods":[null,{}]}`)
	f.Fuzz(func(t *testing.T, in string) {
		_, err := fdc.ReadJSON(strings.NewReader(in), sound(t))
		var own *fdc.Error
		if err != nil && !errors.As(err, &own) {
			t.Errorf("error %T %v", err, err)
		}
	})
}
