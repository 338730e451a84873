package blend

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"chablon/unit"
)

// large returns n materials under n bounds that hold for a mix drawn at random; half of the
// bounds are tight there. With broken set, the last asks for more than any mix has.
func large(seed uint64, n int, broken bool) Problem {
	r := rand.New(rand.NewPCG(seed, 60))
	p := Problem{Total: 1}
	mix, sum := make([]float64, n), 0.0
	for i := range mix {
		mix[i] = r.ExpFloat64()
		sum += mix[i]
	}
	for i := range n {
		p.Materials = append(p.Materials, Material{
			Name: fmt.Sprint("m", i), Now: unit.Mass(r.Float64() / float64(n)),
			Most: unit.Mass(mix[i]/sum + 0.1*r.Float64()),
		})
	}
	for k := range n {
		c, v := make([]float64, n), 0.0
		for i := range c {
			if r.IntN(2) == 0 {
				c[i] = r.Float64()
			}
			v += c[i] * mix[i] / sum
		}
		l := AtMost(v)
		switch k % 4 {
		case 0:
			l = AtLeast(v)
		case 1:
			l = Between(v-0.01, v+0.01)
		case 2:
			l = AtMost(v + 0.01*r.Float64())
		}
		if broken && k == n-1 {
			l = AtLeast(1.01)
		}
		p.Bounds = append(p.Bounds, Bound{Name: fmt.Sprint("b", k), Coefficients: c, Limits: l})
	}
	for k := range 10 {
		c := make([]float64, n)
		for i := range c {
			c[i] = r.Float64()
		}
		p.Goals = append(p.Goals, Goal{Name: fmt.Sprint("g", k), Coefficients: c, Target: r.Float64(), Weight: 1 + r.Float64()})
	}
	return p
}

func BenchmarkSolve60(b *testing.B)    { benchmark(b, large(1, 60, false), Optimal) }
func BenchmarkConflict60(b *testing.B) { benchmark(b, large(1, 60, true), Infeasible) }

func benchmark(b *testing.B, p Problem, want Status) {
	for b.Loop() {
		if s, err := p.Solve(); err != nil || s.Status != want {
			b.Fatal(s.Status, err)
		}
	}
}
