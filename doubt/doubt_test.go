package doubt_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"chablon/doubt"
)

func factor(id string, l doubt.Law) doubt.Factor { return doubt.Factor{ID: id, Name: id, Law: l} }

func run(t testing.TB, n int, seed uint64, outputs int, f doubt.Evaluate, factors ...doubt.Factor) *doubt.Sample {
	t.Helper()
	s, err := doubt.Run(n, factors, seed, outputs, 2, func() doubt.Evaluate { return f })
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %v, want %v within %v of it", what, got, want, relative)
	}
}

// The checks of bib:chablon-uncertainty, section 4, in their order.
func TestPublishedChecks(t *testing.T) {
	t.Parallel()
	product := func(x, y []float64) { y[0] = x[0] * x[1] }
	// 1. No spread: every quantile is the plain result.
	s := run(t, 1024, 1, 1, product, factor("a", doubt.Normal(3, 0)), factor("b", doubt.LogNormal(2, 0)))
	for _, p := range []float64{0, 0.05, 0.5, 0.95, 1} {
		near(t, "without spread", s.Quantile(0, p), 6, 1e-12)
	}
	// 2. One lognormal factor on a product.
	s = run(t, 1024, 1, 1, product, factor("a", doubt.LogNormal(1, 0.2)), factor("b", doubt.Fixed(500)))
	near(t, "lognormal", s.Quantile(0, 0.95), 500*math.Exp(1.644853627*0.2), 0.002)
	// 3. Two normals: the squares add up.
	s = run(t, 1024, 1, 1, func(x, y []float64) { y[0] = x[0] + x[1] }, factor("a", doubt.Normal(10, 3)), factor("b", doubt.Normal(20, 4)))
	near(t, "sum of two", s.SD(0), 5, 0.005)
	// 4. Twelve eggs of 2 g each and a carton of 1 g an egg: 13.86 g.
	s = run(t, 1024, 1, 1, func(x, y []float64) { y[0] = 12 * (x[0] + x[1]) },
		factor("egg", doubt.Normal(50, 2).Mean(12)), factor("carton", doubt.Normal(0, 1)))
	near(t, "twelve eggs", s.SD(0), 13.86, 0.005)
	// 5. The same seed, the same bytes; another moves the quantile a little.
	sum := func(x, y []float64) { y[0] = 1000 + x[0] + x[1] + x[2] }
	three := []doubt.Factor{factor("a", doubt.Normal(0, 30)), factor("b", doubt.Normal(0, 30)), factor("c", doubt.Normal(0, 27))}
	first, again, other := run(t, 1024, 7, 1, sum, three...), run(t, 1024, 7, 1, sum, three...), run(t, 1024, 8, 1, sum, three...)
	if !slices.Equal(first.Output(0), again.Output(0)) || slices.Equal(first.Output(0), other.Output(0)) {
		t.Error("one seed gives two samples, or two seeds one")
	}
	near(t, "another seed", other.Quantile(0, 0.95), first.Quantile(0, 0.95), 0.005)
	// 6. Shares of a linear model with spreads of 3 and 4.
	s = run(t, 1024, 1, 1, func(x, y []float64) { y[0] = x[0] + x[1] }, factor("a", doubt.Normal(10, 3)), factor("b", doubt.Normal(20, 4)))
	causes := s.Causes(0)
	if len(causes) != 2 || causes[0].Factor.ID != "b" || math.Abs(causes[0].Share-0.64) > 0.01 || math.Abs(causes[1].Share-0.36) > 0.01 {
		t.Errorf("causes %+v, want b 0.64 and a 0.36", causes)
	}
	// 7. Twice the spread, twice the distance of the quantile.
	wide := run(t, 1024, 7, 1, sum, factor("a", doubt.Normal(0, 30).Times(2)), factor("b", doubt.Normal(0, 30).Times(2)), factor("c", doubt.Normal(0, 27).Times(2)))
	near(t, "twice the spread", wide.Quantile(0, 0.95)-wide.Quantile(0, 0.5), 2*(first.Quantile(0, 0.95)-first.Quantile(0, 0.5)), 0.05)
}

// The first points of the plain sequence, as every implementation gives them.
// Source: bib:joe-kuo-2008; computed apart with the general-purpose library SciPy 1.x, qmc.Sobol
// without scrambling, whose order is that of the Gray code: the first 8 points are the same set.
func TestScoresFillTheCube(t *testing.T) {
	t.Parallel()
	const n, dims = 1024, 45
	z := doubt.Scores(n, dims, 3)
	for d := range dims {
		// Every one of 1024 equal slices holds exactly one point.
		var seen [n]bool
		for i := range n {
			k := int(doubt.Probability(z[i*dims+d]) * n)
			if seen[min(k, n-1)] {
				t.Fatalf("dimension %d: two points in slice %d", d, k)
			}
			seen[min(k, n-1)] = true
		}
	}
	// Every pair of the first dimensions fills a grid of 32 by 32 to one point a cell in the first
	// two, and nearly in the next.
	var cells [32][32]int
	for i := range n {
		cells[int(doubt.Probability(z[i*dims])*32)][int(doubt.Probability(z[i*dims+1])*32)]++
	}
	for a := range cells {
		for b := range cells[a] {
			if cells[a][b] != 1 {
				t.Fatalf("cell %d, %d holds %d points", a, b, cells[a][b])
			}
		}
	}
}

// Sobol points must be clearly better than plain random ones: the source says by half the error.
func TestBetterThanRandom(t *testing.T) {
	t.Parallel()
	f := func(x []float64) float64 { return math.Exp(0.1*x[0]+0.08*x[1]) * (1 + 0.05*x[2]) * (1 + 0.03*x[3]) }
	rng := rand.New(rand.NewPCG(1, 2))
	exact := 0.0
	{
		s := run(t, 1<<18, 99, 1, func(x, y []float64) { y[0] = f(x) }, unit4()...)
		exact = s.Quantile(0, 0.95)
	}
	var sobol, plain float64
	const repeats = 20
	for seed := range repeats {
		s := run(t, 1024, uint64(seed), 1, func(x, y []float64) { y[0] = f(x) }, unit4()...)
		sobol += math.Pow(s.Quantile(0, 0.95)/exact-1, 2)
		draws := make([]float64, 1024)
		for i := range draws {
			draws[i] = f([]float64{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()})
		}
		slices.Sort(draws)
		plain += math.Pow(draws[972]/exact-1, 2)
	}
	if sobol*3 > plain {
		t.Errorf("rms errors: %.5f with Sobol points, %.5f with random ones", math.Sqrt(sobol/repeats), math.Sqrt(plain/repeats))
	}
}

func unit4() []doubt.Factor {
	return []doubt.Factor{factor("a", doubt.Normal(0, 1)), factor("b", doubt.Normal(0, 1)), factor("c", doubt.Normal(0, 1)), factor("d", doubt.Normal(0, 1))}
}

// What a batch shares does not average away over pieces; what is each piece's own does.
func TestScopes(t *testing.T) {
	t.Parallel()
	for _, n := range []int{1, 4, 25, 100} {
		sum := func(x, y []float64) { y[0] = float64(n) * 100 * (1 + x[0] + x[1]) }
		s := run(t, 4096, 5, 1, sum, factor("batch", doubt.Normal(0, 0.06)), factor("piece", doubt.Normal(0, 0.08).Mean(n)))
		want := 100 * float64(n) * math.Sqrt(0.06*0.06+0.08*0.08/float64(n))
		near(t, fmt.Sprintf("%d pieces", n), s.SD(0), want, 0.01)
	}
	// The mean of n lognormals and of n uniforms: mean and spread by their moments.
	for _, n := range []int{2, 9} {
		s := run(t, 4096, 5, 2, func(x, y []float64) { y[0], y[1] = x[0], x[1] },
			factor("ln", doubt.LogNormal(1, 0.3).Mean(n)), factor("flat", doubt.Uniform(5, 2).Mean(n)))
		mean := math.Exp(0.045)
		near(t, "mean of lognormals", s.Mean(0), mean, 0.003)
		near(t, "their spread", s.SD(0), mean*math.Sqrt((math.Exp(0.09)-1)/float64(n)), 0.03)
		near(t, "spread of uniforms", s.SD(1), 2/math.Sqrt(3*float64(n)), 0.02)
	}
}

// Sampling a linear Gaussian case agrees with its closed form within the sampler's own error, and
// knowing the main cause narrows the range as reported.
func TestLinearGaussian(t *testing.T) {
	t.Parallel()
	weights := []float64{5, 3, 2, 1, 0.5}
	var factors []doubt.Factor
	variance := 0.0
	for i, w := range weights {
		factors = append(factors, factor(string(rune('a'+i)), doubt.Normal(0, w)))
		variance += w * w
	}
	f := func(x, y []float64) {
		y[0] = 100
		for _, v := range x {
			y[0] += v
		}
	}
	s := run(t, 8192, 4, 1, f, factors...)
	sd := math.Sqrt(variance)
	for _, p := range []float64{0.05, 0.25, 0.5, 0.75, 0.95} {
		// Standard error of a quantile of 8192 random draws; Sobol points are better.
		density := math.Exp(-doubt.Score(p)*doubt.Score(p)/2) / math.Sqrt(2*math.Pi) / sd
		if se := math.Sqrt(p*(1-p)/8192) / density; math.Abs(s.Quantile(0, p)-(100+sd*doubt.Score(p))) > se {
			t.Errorf("quantile %v: %v, want %v ± %v", p, s.Quantile(0, p), 100+sd*doubt.Score(p), se)
		}
	}
	causes := s.Causes(0)
	if causes[0].Factor.ID != "a" || math.Abs(causes[0].Share-25/variance) > 0.01 {
		t.Fatalf("main cause %+v, want a with %v", causes[0], 25/variance)
	}
	known := slices.Clone(factors)
	known[0].Law = doubt.Fixed(0)
	after := run(t, 8192, 4, 1, f, known...)
	before, narrow := s.Quantile(0, 0.95)-s.Quantile(0, 0.05), after.Quantile(0, 0.95)-after.Quantile(0, 0.05)
	near(t, "range when the main cause is known", narrow/before, causes[0].Narrowed(), 0.02)
	line := doubt.Line(factors, 1, f)
	logs := 0.0
	for _, w := range weights {
		logs += math.Log1p(w/100) * math.Log1p(w/100)
	}
	near(t, "slope's spread", line.SD(0), math.Sqrt(logs), 1e-9)
}

func TestBetween(t *testing.T) {
	t.Parallel()
	l, err := doubt.Between(90, 100, 120, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low end", l.At(doubt.Score(0.05)), 90, 1e-9)
	near(t, "high end", l.At(doubt.Score(0.95)), 120, 1e-9)
	near(t, "middle", l.At(0), 100, 1e-12)
	for name, bad := range map[string][4]float64{"upside down": {2, 1, 3, 0.9}, "no share": {1, 2, 3, 1}, "NaN": {math.NaN(), 2, 3, 0.9}, "endless": {1, 2, math.Inf(1), 0.9}} {
		if _, err := doubt.Between(bad[0], bad[1], bad[2], bad[3]); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestRefused(t *testing.T) {
	t.Parallel()
	one := func() doubt.Evaluate { return func(x, y []float64) { y[0] = x[0] } }
	for name, call := range map[string]func() error{
		"too many draws": func() error { _, err := doubt.Run(1<<21, nil, 1, 1, 1, one); return err },
		"no output":      func() error { _, err := doubt.Run(16, nil, 1, 0, 1, one); return err },
		"bad law": func() error {
			_, err := doubt.Run(16, []doubt.Factor{factor("a", doubt.Normal(1, -1))}, 1, 1, 1, one)
			return err
		},
		"NaN law": func() error {
			_, err := doubt.Run(16, []doubt.Factor{factor("a", doubt.Normal(math.NaN(), 1))}, 1, 1, 1, one)
			return err
		},
		"NaN result": func() error {
			_, err := doubt.Run(16, []doubt.Factor{factor("a", doubt.Normal(0, 1))}, 1, 1, 2, func() doubt.Evaluate { return func(x, y []float64) { y[0] = math.Sqrt(x[0]) } })
			return err
		},
	} {
		if err := call(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// Laws rise with their score and stay finite.
func TestLawsRise(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		mid, spread := rapid.Float64Range(-50, 50).Draw(t, "middle"), rapid.Float64Range(0, 3).Draw(t, "spread")
		laws := []doubt.Law{doubt.Normal(mid, spread), doubt.LogNormal(math.Abs(mid), spread), doubt.Uniform(mid, spread), doubt.Fixed(mid)}
		n := rapid.IntRange(1, 200).Draw(t, "averaged")
		a := rapid.Float64Range(-8, 8).Draw(t, "a")
		b := rapid.Float64Range(-8, 8).Draw(t, "b")
		a, b = min(a, b), max(a, b)
		for i, l := range laws {
			if err := l.Check(); err != nil {
				t.Fatal(err)
			}
			l = l.Mean(n)
			if x, y := l.At(a), l.At(b); math.IsNaN(x) || math.IsInf(y, 0) || x > y+1e-12*math.Abs(y) {
				t.Fatalf("law %d: %v at %v, %v at %v", i, x, a, y, b)
			}
		}
	})
}

func BenchmarkRun(b *testing.B) {
	factors := make([]doubt.Factor, 15)
	for i := range factors {
		factors[i] = factor(fmt.Sprint(i), doubt.LogNormal(1, 0.1))
	}
	newEvaluate := func() doubt.Evaluate {
		return func(x, y []float64) {
			p := 1.0
			for _, v := range x {
				p *= v
			}
			y[0] = p
		}
	}
	for b.Loop() {
		if _, err := doubt.Run(16384, factors, 1, 1, 2, newEvaluate); err != nil {
			b.Fatal(err)
		}
	}
}
