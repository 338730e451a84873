package check_test

import (
	"fmt"

	"chablon/check"
	"chablon/formula"
	"chablon/ingredient"
)

func ExampleBalance_findings() {
	gelatin := &ingredient.Ingredient{ID: "gelatin-200", Name: "Gelatin", Traits: []ingredient.Trait{{Name: "bloom", Value: 200}}}
	purée := &ingredient.Ingredient{ID: "mango", Name: "Mango purée"}
	for _, f := range check.Balance(&formula.Formula{ID: "mango-mousse", Type: "mousse", Lines: []formula.Line{
		{Ingredient: purée, Mass: 0.980}, {Ingredient: gelatin, Mass: 0.020},
	}}, nil).Findings {
		fmt.Println(f.Level, f.Code+":", f.Reason)
		fmt.Println(f.Remedy)
	}
	// Output:
	// caution gelatin-high: will be rubbery: 2.00 % gelatin at 200 Bloom; usual for a mousse are 0.7 to 1.4 % (most take 0.8 to 1.2)
	// Take out 6.1 g of gelatin at 200 Bloom from the formula as written (30 % less).
}
