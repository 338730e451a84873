package cutting_test

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"chablon/cutting"
	"chablon/unit"
)

// The public sets beside the repository, if they are there: see docs/performance.md. A quick part
// runs always; CHABLON_SETS=all runs them whole and prints the tables.
const sets = "../../shared/bench/packing"

func whole() bool { return os.Getenv("CHABLON_SETS") == "all" }

func need(t *testing.T, path string) string {
	t.Helper()
	full := filepath.Join(sets, path)
	if _, err := os.Stat(full); err != nil {
		t.Skipf("no public set at %s", full)
	}
	return full
}

func numbersOf(t *testing.T, path string) []float64 {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []float64
	s := bufio.NewScanner(f)
	s.Split(bufio.ScanWords)
	for s.Scan() {
		if x, err := strconv.ParseFloat(s.Text(), 64); err == nil {
			out = append(out, x)
		}
	}
	return out
}

// bestKnown returns the best known values of a set by instance.
func bestKnown(t *testing.T, set string) map[string]float64 {
	t.Helper()
	f, err := os.Open(need(t, "best_known.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]float64{}
	for _, row := range rows {
		if row[0] == set {
			out[row[1]], _ = strconv.ParseFloat(row[2], 64)
		}
	}
	return out
}

func TestCirclesInSquareSet(t *testing.T) {
	f, err := os.Open(need(t, "circles-in-square.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	worst, sum, n := 1.0, 0.0, 0
	begin := time.Now()
	for _, row := range rows[1:31] {
		k, _ := strconv.Atoi(row[0])
		if !whole() && k%5 != 0 {
			continue
		}
		want, _ := strconv.ParseFloat(row[1], 64)
		_, r := cutting.Circles(k, 1, 1, 60, 1)
		if r > want*(1+1e-9) {
			t.Errorf("%d circles: radius %v, more than the best known %v", k, r, want)
		}
		if r < 0.97*want {
			t.Errorf("%d circles: radius %v, %.2f %% of the best known", k, r, 100*r/want)
		}
		worst, sum, n = min(worst, r/want), sum+r/want, n+1
	}
	t.Logf("circles in a square, %d numbers: mean %.3f %%, least %.3f %% of the best known radius, %.2f s each", n, 100*sum/float64(n), 100*worst, time.Since(begin).Seconds()/float64(n))
}

func TestStripSets(t *testing.T) {
	for _, set := range []string{"strip-hopper", "strip-burke"} {
		files, _ := filepath.Glob(filepath.Join(need(t, set), "*"))
		best := bestKnown(t, set)
		classes := map[string][]float64{}
		var longest time.Duration
		for _, file := range files {
			name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
			want, known := best[name]
			if !known {
				continue
			}
			class := name[:2]
			if !whole() && (set != "strip-hopper" || class > "C4") {
				continue
			}
			x := numbersOf(t, file)
			per := 2
			if set == "strip-burke" {
				per = 3
			}
			var items []cutting.Rect
			for i := 3; i+per <= len(x)+0 && len(items) < int(x[0]); i += per {
				items = append(items, cutting.Rect{W: x[i+per-2], H: x[i+per-1]})
			}
			begin := time.Now()
			placed, h := cutting.Strip(x[1], items, false, stripWork(len(items)), 1)
			longest = max(longest, time.Since(begin))
			overlap(t, placed, x[1], h)
			if h < want-1e-9 {
				t.Errorf("%s: height %v, lower than the optimum %v", name, h, want)
			}
			classes[class] = append(classes[class], 100*(h-want)/want)
			if set == "strip-hopper" && class <= "C5" {
				classes["C1 to C5"] = append(classes["C1 to C5"], 100*(h-want)/want)
			}
		}
		for class, list := range classes {
			sum := 0.0
			for _, v := range list {
				sum += v
			}
			t.Logf("%s %s: %.2f %% over the optimum, mean of %d", set, class, sum/float64(len(list)), len(list))
			if class == "C1 to C5" && sum/float64(len(list)) > 4 {
				t.Errorf("C1 to C5: %.2f %% over the optimum, want at most 4 %%", sum/float64(len(list)))
			}
		}
		t.Logf("%s: longest %v", set, longest)
	}
}

// stripWork keeps a strip under a second.
func stripWork(n int) int { return max(200, 2_000_000/(n*n)) }

func TestLengthSets(t *testing.T) {
	report := func(set string, over []int) {
		one, more, sum := 0, 0, 0
		for _, o := range over {
			sum += o
			switch {
			case o == 1:
				one++
			case o > 1:
				more++
			case o < 0:
				t.Errorf("%s: fewer lengths than the best known", set)
			}
		}
		t.Logf("%s: %d instances, %d one over, %d more, %d lengths over in all", set, len(over), one, more, sum)
		if more > 0 {
			t.Errorf("%s: %d instances take two lengths or more over the best known", set, more)
		}
	}
	best := bestKnown(t, "bpp1d-scholl")
	files, _ := filepath.Glob(filepath.Join(need(t, "bpp1d-scholl"), "*"))
	var over []int
	for i, file := range files {
		if !whole() && i%18 != 0 {
			continue
		}
		x := numbersOf(t, file)
		want := best[strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))]
		if want == 0 {
			continue
		}
		over = append(over, lengthsOf(t, int(x[1]), ints(x[2:]))-int(want))
	}
	report("scholl", over)

	best, over = bestKnown(t, "bpp1d-falkenauer"), nil
	for _, name := range []string{"binpack1.txt", "binpack5.txt", "binpack6.txt"} {
		f, err := os.Open(need(t, "bpp1d-falkenauer/"+name))
		if err != nil {
			t.Fatal(err)
		}
		s := bufio.NewScanner(f)
		s.Split(bufio.ScanWords)
		word := func() string { s.Scan(); return s.Text() }
		n, _ := strconv.Atoi(word())
		for i := range n {
			id := word()
			tenth := func() int { v, _ := strconv.ParseFloat(word(), 64); return int(math.Round(10 * v)) }
			capacity := tenth()
			items, _ := strconv.Atoi(word())
			word()
			var sizes []int
			for range items {
				sizes = append(sizes, tenth())
			}
			if !whole() && i%20 != 0 {
				continue
			}
			if want, known := best[id]; known {
				over = append(over, lengthsOf(t, capacity, sizes)-int(want))
			}
		}
		f.Close()
	}
	report("falkenauer", over)
}

func ints(x []float64) []int {
	out := make([]int, len(x))
	for i := range x {
		out[i] = int(x[i])
	}
	return out
}

func lengthsOf(t *testing.T, capacity int, sizes []int) int {
	t.Helper()
	got := cutting.Lengths(capacity, sizes, 150, 1)
	n := 0
	for _, b := range got {
		sum := 0
		for _, i := range b {
			sum += sizes[i]
			n++
		}
		if sum > capacity {
			t.Fatalf("a length of %d gives %d", capacity, sum)
		}
	}
	if n != len(sizes) {
		t.Fatalf("%d of %d pieces are cut", n, len(sizes))
	}
	return len(got)
}

func TestSheetSets(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(need(t, "bpp2d"), "*"))
	for _, kind := range []struct {
		set         string
		free, fixed bool
	}{{"bpp2d-guillotine3", false, true}, {"bpp2d-guillotine3_rot", false, false}, {"bpp2d-free", true, true}, {"bpp2d-free_rot", true, false}} {
		best := bestKnown(t, kind.set)
		sum, one, more, n, proven := 0, 0, 0, 0, 0
		begin := time.Now()
		for _, file := range files {
			x := numbersOf(t, file)
			for at := 0; at+6 < len(x); {
				class, items, number := int(x[at]), int(x[at+1]), int(x[at+2])
				h, w := x[at+4], x[at+5]
				at += 6
				var pieces []cutting.Piece
				for i := range items {
					pieces = append(pieces, cutting.Piece{Name: strconv.Itoa(i), Height: unit.Length(x[at]) * mm, Width: unit.Length(x[at+1]) * mm, Area: unit.Area(x[at]*x[at+1]) * unit.SquareMillimetre, Count: 1})
					at += 2
				}
				want, known := best[fmt.Sprintf("Class_%02d_%d_%d", class, items, number)]
				if !known || !whole() && (items > 20 || number > 1) {
					continue
				}
				l, err := cutting.Lay(cutting.Sheet{Width: unit.Length(w) * mm, Depth: unit.Length(h) * mm}, pieces, cutting.Options{Free: kind.free, Fixed: kind.fixed, Work: 400_000 / items})
				if err != nil {
					t.Fatal(err)
				}
				o := len(l.Sheets) - int(want)
				n, sum = n+1, sum+o
				switch {
				case o == 1:
					one++
				case o > 1:
					more++
					t.Errorf("%s, class %d, %d pieces, number %d: %d sheets, best known %v", kind.set, class, items, number, len(l.Sheets), want)
				}
				if len(l.Sheets) == l.Least {
					proven++
				}
				if !kind.free && !l.EdgeToEdge {
					t.Errorf("class %d, %d pieces: the cuts do not go right through", class, items)
				}
			}
		}
		t.Logf("%s: %d instances, %d sheets over in all, %d one over, %d more, %d proven least, %.2f s each", kind.set, n, sum, one, more, proven, time.Since(begin).Seconds()/float64(max(1, n)))
	}
}
