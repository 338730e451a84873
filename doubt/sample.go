package doubt

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
)

// Evaluate computes outputs y from the values x of all factors.
type Evaluate func(x, y []float64)

// Sample is what came out of an evaluator for many draws of its factors.
type Sample struct {
	Factors []Factor
	N       int
	z       []float64   // scores, point by point
	y       [][]float64 // by output
	sorted  [][]float64
}

// Run draws n times and evaluates every draw; a power of two covers the space most evenly. Each worker gets an evaluator of its
// own from make; how many there are does not change the result. Errors name the factor whose law
// is wrong, or the output that is not a number.
func Run(n int, factors []Factor, seed uint64, outputs, workers int, newEvaluate func() Evaluate) (*Sample, error) {
	switch {
	case n < 2 || n > 1<<20:
		return nil, fmt.Errorf("%d draws: give 2 to 1048576", n)
	case outputs < 1:
		return nil, errors.New("the evaluator has no output: give at least one")
	}
	for _, f := range factors {
		if err := f.Law.Check(); err != nil {
			return nil, fmt.Errorf("factor %s: %w", f.ID, err)
		}
	}
	dims := len(factors)
	points := newSequence(n, dims, seed)
	s := &Sample{Factors: factors, N: n, z: make([]float64, n*dims), y: make([][]float64, outputs), sorted: make([][]float64, outputs)}
	for k := range s.y {
		s.y[k] = make([]float64, n)
	}
	workers = min(max(1, workers), 16, n)
	var wait sync.WaitGroup
	bad := make([]int, workers)
	for w := range workers {
		from, to := n*w/workers, n*(w+1)/workers
		bad[w] = -1
		wait.Go(func() {
			evaluate := newEvaluate()
			x, y := make([]float64, dims), make([]float64, outputs)
			points.fill(s.z, from, to)
			for i := from; i < to; i++ {
				for d := range factors {
					x[d] = factors[d].Law.At(s.z[i*dims+d])
				}
				evaluate(x, y)
				for k, v := range y {
					if math.IsNaN(v) || math.IsInf(v, 0) {
						bad[w] = k
						return
					}
					s.y[k][i] = v
				}
			}
		})
	}
	wait.Wait()
	for _, k := range bad {
		if k >= 0 {
			return nil, fmt.Errorf("output %d of the evaluator is not a finite number", k)
		}
	}
	return s, nil
}

// Output returns the draws of one output, in the order of the draws.
func (s *Sample) Output(k int) []float64 { return s.y[k] }

func (s *Sample) inOrder(k int) []float64 {
	if s.sorted[k] == nil {
		s.sorted[k] = slices.Clone(s.y[k])
		slices.Sort(s.sorted[k])
	}
	return s.sorted[k]
}

// Quantile returns the value that a share p of the draws of an output stays under: linear between
// the order statistics at (N-1) p + 1.
func (s *Sample) Quantile(k int, p float64) float64 { return quantile(s.inOrder(k), p) }

func quantile(sorted []float64, p float64) float64 {
	at := min(max(0, p), 1) * float64(len(sorted)-1)
	i := min(int(at), len(sorted)-2)
	return sorted[i] + (sorted[i+1]-sorted[i])*(at-float64(i))
}

// Mean returns the mean of an output, and SD its standard deviation.
func (s *Sample) Mean(k int) float64 {
	sum := 0.0
	for _, v := range s.y[k] {
		sum += v
	}
	return sum / float64(s.N)
}

// SD returns the standard deviation of an output.
func (s *Sample) SD(k int) float64 {
	mean, sum := s.Mean(k), 0.0
	for _, v := range s.y[k] {
		sum += (v - mean) * (v - mean)
	}
	return math.Sqrt(sum / float64(s.N))
}

// Chance returns the share of draws for which something holds; y is overwritten between calls.
func (s *Sample) Chance(holds func(y []float64) bool) float64 {
	y, n := make([]float64, len(s.y)), 0
	for i := range s.N {
		for k := range s.y {
			y[k] = s.y[k][i]
		}
		if holds(y) {
			n++
		}
	}
	return float64(n) / float64(s.N)
}

// Cause is how much of an output's doubt comes from one factor.
type Cause struct {
	Factor Factor
	// Share of the variance that would vanish if the factor were known: its first-order index.
	Share float64
}

// Causes returns the factors that cause an output's doubt, the greatest first, those below a share
// of 0.02 left out. A share is the part of the variance that a cubic in the factor's score
// explains, which is exact for what works in one direction and good for kinks.
func (s *Sample) Causes(k int) []Cause {
	var out []Cause
	for d := range s.Factors {
		if share := s.index(k, d); share >= 0.02 && !s.Factors[d].Law.Known() {
			out = append(out, Cause{s.Factors[d], share})
		}
	}
	slices.SortStableFunc(out, func(a, b Cause) int {
		switch {
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	return out
}

// index returns the share of an output's variance that the first three Hermite polynomials of a
// factor's score explain; they are orthogonal under the normal law.
func (s *Sample) index(k, d int) float64 {
	mean, sd := s.Mean(k), s.SD(k)
	if sd <= 1e-12*math.Abs(mean) {
		return 0
	}
	dims := len(s.Factors)
	var sum [3]float64
	for i := range s.N {
		z, y := s.z[i*dims+d], s.y[k][i]-mean
		sum[0] += y * z
		sum[1] += y * (z*z - 1) / math.Sqrt2
		sum[2] += y * (z*z*z - 3*z) / math.Sqrt(6)
	}
	share := 0.0
	for _, c := range sum {
		c /= float64(s.N) * sd
		share += c * c
	}
	return min(1, share)
}

// Narrowed returns by what the range of an output is multiplied if a factor of that share of its
// doubt becomes known.
func (c Cause) Narrowed() float64 { return math.Sqrt(max(0, 1-c.Share)) }
