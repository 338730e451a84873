package doubt_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"chablon/doubt"
)

// drawn returns independent scores of every output by the linear model, draw by draw.
func drawn(s doubt.Slope, outputs int) []float64 {
	const n = 1 << 15
	dims := len(s.By)
	z, out := doubt.Scores(n, dims, 4711), make([]float64, n*outputs)
	for k := range outputs {
		sd := s.SD(k)
		for d := range dims {
			if by := s.By[d][k] / sd; by != 0 {
				for i := range n {
					out[i*outputs+k] += by * z[i*dims+d]
				}
			}
		}
	}
	return out
}

// enough returns the share of draws in which no output is above its level, and the one level for
// all that suffices with the confidence.
func enough(drawn, levels []float64, confidence float64) (share, common float64) {
	n := len(drawn) / len(levels)
	worst := make([]float64, n)
	for i := range n {
		short := false
		worst[i] = math.Inf(-1)
		for k, z := range drawn[i*len(levels) : (i+1)*len(levels)] {
			short = short || z > levels[k]
			worst[i] = max(worst[i], z)
		}
		if !short {
			share++
		}
	}
	slices.Sort(worst)
	return share / float64(n), worst[int(confidence*float64(n))]
}

func surplus(s doubt.Slope, held []doubt.Held, level func(k int) float64) float64 {
	sum := 0.0
	for k, h := range held {
		sum += h.Worth * math.Expm1(level(k)*s.SD(k))
	}
	return sum
}

// One output alone has the score of the confidence. Two independent ones of equal worth and spread
// have that of its root; unequal ones the levels that a search along Φ(a) Φ(b) = p finds best. Two
// that move together have that of the confidence again, whatever they are worth.
func TestLevelsInClosedForm(t *testing.T) {
	t.Parallel()
	for _, p := range []float64{0.6, 0.8, 0.95, 0.99} {
		one := doubt.Slope{By: [][]float64{{0.1}}}
		near(t, "one", one.Levels(p, []doubt.Held{{Worth: 3}})[0], doubt.Score(p), 1e-6)

		apart := doubt.Slope{By: [][]float64{{0.1, 0}, {0, 0.1}}}
		for _, z := range apart.Levels(p, []doubt.Held{{Worth: 3}, {Worth: 3}}) {
			near(t, "two alike", z, doubt.Score(math.Sqrt(p)), 0.01)
		}

		unlike := doubt.Slope{By: [][]float64{{0.2, 0}, {0, 0.03}}}
		held := []doubt.Held{{Worth: 500}, {Worth: 900}}
		best := math.Inf(1)
		for a := doubt.Score(p) + 1e-4; a < 5; a += 1e-4 {
			b := doubt.Score(p / doubt.Probability(a))
			best = min(best, surplus(unlike, held, func(k int) float64 { return []float64{a, max(0, b)}[k] }))
		}
		levels := unlike.Levels(p, held)
		near(t, "the least surplus of two", surplus(unlike, held, func(k int) float64 { return levels[k] }), best, 0.015)

		as1 := doubt.Slope{By: [][]float64{{0.2, 0.03}}}
		for _, z := range as1.Levels(p, held) {
			near(t, "two as one", z, doubt.Score(p), 0.02)
		}
	}
	free := doubt.Slope{By: [][]float64{{0.1, 0}, {0, 0.1}}}
	near(t, "beside what is there anyway", free.Levels(0.95, []doubt.Held{{Worth: 1}, {Worth: 1, Free: 6}})[0], doubt.Score(0.95), 1e-3)
	if z := free.Levels(0.95, []doubt.Held{{}, {Worth: 1}}); z[0] != 0 {
		t.Errorf("what is not wanted is held at %v", z[0])
	}
}

// On independent draws all suffice together as often as asked; what is held too much is worth no
// more than by one level for all; and it grows with the confidence.
func TestLevelsSufficeTogether(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(3, 5))
	for c := range 24 {
		outputs, dims := 2+rng.IntN(12), 12+rng.IntN(16)
		s := doubt.Slope{By: make([][]float64, dims)}
		for d := range s.By {
			s.By[d] = make([]float64, outputs)
			for k := range outputs {
				if d%outputs == k || rng.IntN(8) == 0 {
					s.By[d][k] = 0.1 * rng.NormFloat64()
				}
			}
		}
		held := make([]doubt.Held, outputs)
		for k := range held {
			held[k].Worth = math.Exp(1.5 * rng.NormFloat64())
		}
		before := 0.0
		for p := 0.52; p < 0.999; p += 0.015 {
			levels := s.Levels(p, held)
			if now := surplus(s, held, func(k int) float64 { return levels[k] }); now < before*(1-1e-12) {
				t.Errorf("case %d: at %v what is held too much falls from %v to %v", c, p, before, now)
			} else {
				before = now
			}
		}
		draws := drawn(s, outputs)
		for p, within := range map[float64]float64{0.8: 0.015, 0.95: 0.01, 0.99: 0.005} { // as Levels says
			levels := s.Levels(p, held)
			share, common := enough(draws, levels, p)
			if math.Abs(share-p) > within {
				t.Errorf("case %d: levels for %v suffice in %v of cases", c, p, share)
			}
			got, even := surplus(s, held, func(k int) float64 { return levels[k] }), surplus(s, held, func(int) float64 { return common })
			if got > 1.02*even { // the levels' own estimate of how often shortages fall together
				t.Errorf("case %d, %v: %v held too much, %v by one level", c, p, got, even)
			}
		}
	}
}

func BenchmarkLevels(b *testing.B) {
	factors := make([]doubt.Factor, 15)
	for i := range factors {
		factors[i] = factor(fmt.Sprint(i), doubt.Normal(1, 0.1))
	}
	line := doubt.Line(factors, 7, func(x, y []float64) {
		for k := range y {
			y[k] = x[k] + x[(k+3)%15]
		}
	})
	held := make([]doubt.Held, 7)
	for k := range held {
		held[k].Worth = float64(1 + k)
	}
	for b.Loop() {
		line.Levels(0.95, held)
	}
}
