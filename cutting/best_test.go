package cutting_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"chablon/cutting"
	"chablon/unit"
)

// naiveBest is the recursion itself, without any reduction: cuts at every whole unit.
func naiveBest(w, h int, sizes [][2]int, values []float64) float64 {
	table := map[[2]int]float64{}
	var f func(w, h int) float64
	f = func(w, h int) float64 {
		if v, ok := table[[2]int{w, h}]; ok {
			return v
		}
		best := 0.0
		for k, s := range sizes {
			if s[0] <= w && s[1] <= h {
				best = max(best, values[k])
			}
		}
		for a := 1; a <= w/2; a++ {
			best = max(best, f(a, h)+f(w-a, h))
		}
		for b := 1; b <= h/2; b++ {
			best = max(best, f(w, b)+f(w, h-b))
		}
		table[[2]int{w, h}] = best
		return best
	}
	return f(w, h)
}

// The table agrees with the plain recursion on small random sheets, and its cuts are worth what
// it says.
func TestBestAgreesWithTheRecursion(t *testing.T) {
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 79))
		w, h := 10+rng.IntN(20), 10+rng.IntN(20)
		var pieces []cutting.Piece
		var sizes [][2]int
		var values []float64
		for range 1 + rng.IntN(5) {
			s := [2]int{2 + rng.IntN(8), 2 + rng.IntN(8)}
			sizes, values = append(sizes, s), append(values, float64(1+rng.IntN(60)))
			pieces = append(pieces, cutting.Rectangle("r", unit.Length(s[0])*mm, unit.Length(s[1])*mm, 0))
		}
		l, got, err := cutting.Best(t.Context(), cutting.Sheet{Width: unit.Length(w) * mm, Depth: unit.Length(h) * mm}, pieces, values, cutting.Options{Fixed: true})
		if err != nil {
			t.Fatal(err)
		}
		worth := 0.0
		for i, p := range l.Pieces {
			worth += values[i] * float64(p.Count)
		}
		if want := naiveBest(w, h, sizes, values); math.Abs(got-want) > 1e-9 || math.Abs(worth-want) > 1e-9 {
			t.Errorf("seed %d: value %v, cut for %v, want %v", seed, got, worth, want)
		}
		if l.Strokes[0] == nil {
			t.Errorf("seed %d: no cuts from edge to edge", seed)
		}
	}
}

func TestBestRefuses(t *testing.T) {
	piece := []cutting.Piece{cutting.Rectangle("slab", 100*mm, 50*mm, 0)}
	for name, values := range map[string][]float64{"missing": nil, "negative": {-1}, "not a number": {math.NaN()}, "endless": {math.Inf(1)}} {
		if _, _, err := cutting.Best(t.Context(), cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}, piece, values, cutting.Options{}); err == nil {
			t.Errorf("%s: a value was taken", name)
		}
	}
}
