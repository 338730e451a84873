package blend_test

import (
	"fmt"

	"chablon/blend"
)

// Cream of 35 % fat out of what there is: cream of 40 % and milk.
func Example() {
	p := blend.Problem{
		Figures: []string{"fat"},
		Materials: []blend.Material{
			{Name: "cream 40 %", Figures: []float64{0.40}},
			{Name: "milk", Figures: []float64{0.035}},
		},
		Total: 1, // kilogram
	}
	p.Bounds = []blend.Bound{p.Share("fat of the mix", "fat", blend.Exactly(0.35))}
	s, err := p.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Status)
	for i, m := range p.Materials {
		fmt.Printf("%-10s %5.1f g\n", m.Name, s.Amounts[i].Grams())
	}
	// Output:
	// optimal
	// cream 40 % 863.0 g
	// milk       137.0 g
}

// Little sugar and much dry matter take more purée than there is: beside its sugar, 6 % of it is
// dry matter, and 4 % of 900 g are wanted, so 600 g.
func ExampleProblem_Solve_conflict() {
	p := blend.Problem{
		Figures: []string{"sugar", "solids"},
		Materials: []blend.Material{
			{Name: "purée", Most: 0.4, Figures: []float64{0.10, 0.16}},
			{Name: "sugar", Figures: []float64{1, 1}},
			{Name: "water", Figures: []float64{0, 0}},
		},
		Total: 0.9,
	}
	p.Bounds = []blend.Bound{
		p.Share("sugar content", "sugar", blend.AtMost(0.20)),
		p.Share("dry matter", "solids", blend.Between(0.24, 0.30)),
	}
	s, err := p.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Status)
	for _, c := range s.Conflict {
		fmt.Println(c)
	}
	// Output:
	// infeasible
	// purée: at most 400 g
	// total: 900 g
	// sugar content: at most 0.2
	// dry matter: at least 0.24
}

// Of 100 g of butter only 60 g are left. Cocoa butter and milk take its place at the same fat, 89 g;
// the share of water is a goal, and comes out a little above what it was.
func ExampleProblem_AimShare() {
	p := blend.Problem{
		Figures: []string{"fat", "water"},
		Materials: []blend.Material{
			{Name: "butter", Most: 0.060, Now: 0.100, Figures: []float64{0.82, 0.16}},
			{Name: "cocoa butter", Figures: []float64{1, 0}},
			{Name: "milk", Now: 0.200, Figures: []float64{0.035, 0.877}},
		},
		Total: 0.300,
	}
	p.Bounds = []blend.Bound{p.Sum("fat", "fat", blend.Exactly(0.089))}
	p.Goals = []blend.Goal{p.AimShare("water", "water", 0.638, 1)}
	s, err := p.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, m := range p.Materials {
		fmt.Printf("%-12s %5.1f g\n", m.Name, s.Amounts[i].Grams())
	}
	fmt.Printf("water %.4f, wanted %.4f\n", s.Goals[0].Value, s.Goals[0].Target)
	for _, a := range s.Active {
		fmt.Println(a)
	}
	// Output:
	// butter        60.0 g
	// cocoa butter  32.5 g
	// milk         207.5 g
	// water 0.6385, wanted 0.6380
	// butter: at most 60.0 g
	// total: 300 g
	// fat: exactly 0.089
}
