package doubt_test

import (
	"fmt"

	"chablon/doubt"
)

// How much mousse to make for ten rings when the cook's hand at whipping varies from batch to
// batch and every ring is filled a little differently.
func Example() {
	factors := []doubt.Factor{
		{ID: "air", Name: "air in the mousse", Law: doubt.LogNormal(1, 0.06), Scope: doubt.Batch},
		{ID: "level", Name: "filling level", Law: doubt.Normal(1, 0.02).Mean(10), Scope: doubt.Piece},
	}
	sample, err := doubt.Run(1024, factors, 1, 1, 2, func() doubt.Evaluate {
		return func(x, y []float64) { y[0] = 10 * 612 * x[0] * x[1] }
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f kg in the middle, %.1f kg to be sure in 95 cases of 100\n", sample.Quantile(0, 0.5)/1000, sample.Quantile(0, 0.95)/1000)
	fmt.Println("mostly:", sample.Causes(0)[0].Factor.Name)
	// Output:
	// 6.1 kg in the middle, 6.8 kg to be sure in 95 cases of 100
	// mostly: air in the mousse
}
