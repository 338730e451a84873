package packing

import (
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"chablon/cutting"
	"chablon/unit"
)

// TestRolls runs the strip packing sets of Hopper and Turton and of Burke, Kendall and Whitwell:
// per cent of depth above the optimum, which is the depth of the rectangle that was cut.
func TestRolls(t *testing.T) {
	for _, fixed := range []bool{true, false} {
		scores := map[string]*score{}
		for _, file := range slices.Concat(files(t, "strip-hopper/C*"), files(t, "strip-burke/N*")) {
			name := filepath.Base(file)
			class, each, off := name[:2], 2, 0
			if strings.HasPrefix(name, "N") {
				class, each, off = "N", 3, 1
			}
			w := words(t, file)
			n := integer(t, w[0])
			if !full() && n > 60 {
				continue
			}
			sheet, optimum := cutting.Sheet{Width: unit.Length(integer(t, w[1])) * mm}, float64(integer(t, w[2]))
			var pieces []cutting.Piece
			for i := range n {
				r := w[3+each*i+off:]
				pieces = append(pieces, cutting.Rectangle("r", unit.Length(integer(t, r[0]))*mm, unit.Length(integer(t, r[1]))*mm, 1))
			}
			start := processor(t)
			l, least, err := cutting.Roll(t.Context(), sheet, pieces, cutting.Options{Free: true, Fixed: fixed, Work: work(400_000)})
			if err != nil {
				t.Fatal(err)
			}
			if least.Millimetres() > optimum+1e-6 || l.Sheet.Depth.Millimetres() < optimum-1e-6 {
				t.Errorf("%s: depth %v and bound %v, but the optimum is %v", name, l.Sheet.Depth.Millimetres(), least.Millimetres(), optimum)
			}
			s := scores[class]
			if s == nil {
				s = &score{}
				scores[class] = s
			}
			s.time(processor(t) - start)
			gap := 100 * (l.Sheet.Depth.Millimetres() - optimum) / optimum
			if s.n++; gap < 1e-6 {
				s.equal++
			}
			s.mean += gap
			s.least = max(s.least, gap)
		}
		sum, n := 0.0, 0
		for _, class := range slices.Sorted(maps.Keys(scores)) {
			s := scores[class]
			t.Logf("| %s, fixed %v | %d | %.2f %% | %.2f %% | %d | %.2f s |", class, fixed, s.n, s.mean/float64(s.n), s.least, s.equal, s.longest.Seconds())
			if class >= "C1" && class <= "C5" {
				sum, n = sum+s.mean, n+s.n
			}
		}
		if n > 0 && sum/float64(n) > 4 {
			t.Errorf("C1 to C5: mean %.2f %% above the optimum, want 4 at most", sum/float64(n))
		}
	}
}

// discs runs one table of equal circles and returns the mean and least share of the best radius.
func discs(t *testing.T, name string, sheet func(row []string) (cutting.Sheet, int, float64), every, work int, atLeast float64) {
	t.Helper()
	s, within := score{least: 2}, 0
	for i, row := range table(t, name+".csv") {
		stock, n, radius := sheet(row)
		if i%every != 0 || (!full() && n > 30) {
			continue
		}
		start := processor(t)
		l, err := cutting.Largest(t.Context(), stock, n, cutting.Options{Work: work})
		if err != nil {
			t.Fatal(err)
		}
		s.time(processor(t) - start)
		share := float64(l.Pieces[0].Width) / 2 / radius
		if share > 1+1e-9 && name != "circles-in-rectangle" { // whose table says: lower bounds
			t.Errorf("%s, %d: radius is %.12f of the best known", name, n, share)
		}
		if n <= 30 && share < atLeast {
			t.Errorf("%s, %d: radius is %.6f of the best known, want %v", name, n, share, atLeast)
		}
		s.n++
		s.mean += share
		s.least = min(s.least, share)
		if share > 1-1e-6 {
			within++
		}
	}
	t.Logf("| %s, work %d | %d | %.3f %% | %.3f %% | %d | %.3f s | %.3f s |", name, work, s.n, 100*s.mean/float64(s.n), 100*s.least, within, s.spent.Seconds()/float64(s.n), s.longest.Seconds())
}

// TestDiscs compares radii with the best known: circles in the square, in rectangles, in a circle.
func TestDiscs(t *testing.T) {
	square := func(row []string) (cutting.Sheet, int, float64) {
		return cutting.Sheet{Width: 1, Depth: 1}, integer(t, row[0]), real(t, row[1])
	}
	circle := func(row []string) (cutting.Sheet, int, float64) {
		return cutting.Cake(2, 0, 0), integer(t, row[0]), real(t, row[1])
	}
	rectangle := func(row []string) (cutting.Sheet, int, float64) {
		return cutting.Sheet{Width: 1, Depth: unit.Length(real(t, row[0]))}, integer(t, row[1]), real(t, row[2])
	}
	if !full() {
		discs(t, "circles-in-square", square, 3, cutting.Interactive, 0.97)
		discs(t, "circles-in-circle", circle, 6, cutting.Interactive, 0.97)
		return
	}
	for _, work := range []int{cutting.Interactive, cutting.Thorough} {
		discs(t, "circles-in-square", square, 1, work, 0.97)
		discs(t, "circles-in-circle", circle, 1, work, 0.97)
		discs(t, "circles-in-rectangle", rectangle, 5, work, 0.9)
	}
}

// TestMostDiscs asks for as many discs as fit a square when they are somewhat smaller than the
// best known for n: n at least must be found.
func TestMostDiscs(t *testing.T) {
	every := 7
	if full() {
		every = 1
	}
	for _, part := range []float64{0.95, 0.99, 0.999, 1} {
		exact, n := 0, 0
		for i, row := range table(t, "circles-in-square.csv") {
			count, radius := integer(t, row[0]), real(t, row[1])
			if i%every != 0 || count > 30 {
				continue
			}
			l, bound, err := cutting.Most(t.Context(), cutting.Sheet{Width: 1, Depth: 1}, unit.Length(2*radius*part), cutting.Options{Work: work(1_000_000)})
			if err != nil {
				t.Fatal(err)
			}
			got := len(l.Sheets[0])
			if got > bound || (part == 1 && got > count) {
				t.Errorf("%d discs at %v: %d, bound %d", count, part, got, bound)
			}
			if n++; got >= count {
				exact++
			}
		}
		t.Logf("| square, n to 30, at %.1f %% | %d of %d |", 100*part, exact, n)
		if exact < n && part <= 0.99 {
			t.Errorf("at %v of the best diameter, %d of %d counts are reached", part, exact, n)
		}
	}
}
