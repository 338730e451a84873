package doubt

import (
	"math"
)

// Slope is an evaluator to first order: by how much the logarithm of each output changes for a
// standard normal score of each factor.
type Slope struct {
	By [][]float64 // by factor, then output
}

// Line evaluates the middle and one step up of each factor; outputs must be positive. A score of 1
// is as far as one of several factors goes when an amount runs short, so that a law whose upper
// end is long counts with that end.
func Line(factors []Factor, outputs int, evaluate Evaluate) Slope {
	x, middle, y := make([]float64, len(factors)), make([]float64, outputs), make([]float64, outputs)
	for d := range factors {
		x[d] = factors[d].Law.At(0)
	}
	evaluate(x, middle)
	s := Slope{By: make([][]float64, len(factors))}
	all := make([]float64, outputs*len(factors))
	for d := range factors {
		s.By[d] = all[d*outputs : (d+1)*outputs]
		if factors[d].Law.Known() {
			continue
		}
		at := x[d]
		x[d] = factors[d].Law.At(1)
		evaluate(x, y)
		for k := range y {
			s.By[d][k] = math.Log(y[k] / middle[k])
		}
		x[d] = at
	}
	return s
}

// SD returns the standard deviation of the logarithm of an output to first order.
func (s Slope) SD(k int) float64 {
	sum := 0.0
	for d := range s.By {
		sum += s.By[d][k] * s.By[d][k]
	}
	return math.Sqrt(sum)
}
