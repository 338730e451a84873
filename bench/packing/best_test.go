package packing

import (
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"chablon/cutting"
	"chablon/unit"
)

// TestBest cuts gcut1 to gcut12 (Beasley 1985) for the greatest value with unlimited copies: the
// table must reach the optimum. gcut13 must be refused.
func TestBest(t *testing.T) {
	for _, set := range []string{"cut2d-unconstrained", "cut2d-unconstrained-rot"} {
		known := best(t, set)
		var s score
		for _, file := range files(t, "cut2d-unconstrained/*") {
			name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
			number, _ := strconv.Atoi(strings.TrimPrefix(name, "gcut"))
			if !full() && number > 4 {
				continue
			}
			w := words(t, file)
			sheet := cutting.Sheet{Width: unit.Length(integer(t, w[1])) * mm, Depth: unit.Length(integer(t, w[2])) * mm}
			var pieces []cutting.Piece
			var values []float64
			for r := range slices.Chunk(w[3:3+3*integer(t, w[0])], 3) {
				pieces = append(pieces, cutting.Rectangle("r", unit.Length(integer(t, r[0]))*mm, unit.Length(integer(t, r[1]))*mm, 0))
				values = append(values, real(t, r[2]))
			}
			start := processor(t)
			_, got, err := cutting.Best(t.Context(), sheet, pieces, values, cutting.Options{Fixed: !strings.HasSuffix(set, "rot")})
			if number == 13 { // 3000 × 3000 with more sums than a page may wait for
				if err == nil || !strings.Contains(err.Error(), "too many ways") {
					t.Errorf("%s: err = %v, want a refusal", name, err)
				}
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			s.time(processor(t) - start)
			s.n++
			if math.Abs(got-float64(known[name])) < 1e-6 {
				s.equal++
			} else {
				t.Errorf("%s %s: value %v, optimum %d", set, name, got, known[name])
			}
		}
		t.Logf("| %s | %d | %d | %.2f s |", set, s.n, s.equal, s.longest.Seconds())
	}
}
