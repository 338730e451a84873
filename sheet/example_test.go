package sheet_test

import (
	"fmt"
	"strings"
	"time"

	"chablon/formula"
	"chablon/plan"
	"chablon/sheet"
	"chablon/unit"
)

func ExampleNew() {
	syrup := &formula.Formula{
		ID: "syrup", Name: "Syrup",
		Lines: []formula.Line{
			{Text: "100 g sugar", Name: "sugar", Mass: 100 * unit.Gram},
			{Text: "80 g water", Name: "water", Mass: 80 * unit.Gram},
		},
		Steps: []formula.Step{{ID: "boil", Verb: "boil", Text: "Boil once.", Cue: "No grain is left.", Hazards: []string{"steam"}}},
	}
	each := syrup.Run(450 * unit.Gram)
	day := &plan.Day{
		Job:     plan.Job{Orders: []plan.Order{{ID: "o", Name: "Tea", Due: time.Date(2026, 12, 5, 15, 0, 0, 0, time.UTC)}}},
		Batches: []plan.Batch{{Formula: syrup, Count: 1, Each: each, Needed: each.Out, ToMake: each.In}},
	}
	text := sheet.New(day, sheet.Options{}).Text()
	_, syrupOn, _ := strings.Cut(text, "\nSyrup\n")
	block, _, _ := strings.Cut(syrupOn, "(!)") // where the caution of steam begins
	fmt.Println(block)
	// Output:
	// 1 batch of 450.0 g
	// weigh what as written
	// [ ] 250.0 g sugar 100 g sugar
	// [ ] 200.0 g water 80 g water
	// 450.0 g goes in
	// 450.0 g goes in. Gives: 450.0 g needed.
	// [ ] 1 Boil. Boil once.
	// Hands 8 min (assumed)
	// Until: No grain is left.
}
