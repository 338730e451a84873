package notebook_test

import (
	"fmt"

	"chablon/notebook"
)

func ExampleReadLine() {
	for _, text := range []string{"1 cup (125 g) all-purpose flour, sifted", "2 eggs plus 1 yolk", "2-3 tbsp rum (optional)", "For the glaze:"} {
		for _, l := range notebook.ReadLine(text, notebook.Options{}) {
			fmt.Printf("%s: %v %q [%s] [%s]\n", l.Kind, l.Amount, l.Unit, l.Name, l.Preparation)
		}
	}
	// Output:
	// ingredient: {125 125} "g" [all-purpose flour] [sifted]
	// ingredient: {2 2} "" [eggs] []
	// ingredient: {1 1} "" [yolk] []
	// ingredient: {2 3} "tbsp" [rum] []
	// heading: {0 0} "" [For the glaze] []
}

func ExampleRead() {
	p := notebook.Read("Lemon disc\n\nFor the base:\n200 g flour\n100 g butter, cold\n\nMethod\nBake 12 min at 180 °C.", notebook.Options{})
	fmt.Println(p.Title)
	for _, l := range p.Lines() {
		fmt.Println(l.Group, "|", l.Grams.Low, l.Ingredient.ID)
	}
	for _, s := range p.Steps {
		fmt.Println(s.Verb, s.Minutes.Low, "min", s.Temperature.Show())
	}
	// Output:
	// Lemon disc
	// For the base | 200 flour-all-purpose
	// For the base | 100 butter-unsalted
	// bake 12 min 180 °C
}
