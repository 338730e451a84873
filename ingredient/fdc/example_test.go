package fdc_test

import (
	"fmt"
	"strings"

	"chablon/ingredient"
	"chablon/ingredient/fdc"
	"chablon/material"
)

func ExampleReadJSON() {
	var own []ingredient.Ingredient
	report, err := fdc.ReadJSON(strings.NewReader(foundation), func(i ingredient.Ingredient) error {
		own = append(own, i)
		return nil
	})
	fmt.Println(report.Foods, "read,", report.Notes[1], err)
	table := ingredient.Builtin().With(own...)
	i, _ := table.Get("fdc-2346404")
	fmt.Printf("%s: %.1f %% protein\n", i.Name, 100*i.Composition.At(material.Protein))
	// Output:
	// 1 read, FoundationFoods line 2: branded foods are left out: label figures, per 100 g or 100 ml <nil>
	// Almond flour: 26.2 % protein
}
