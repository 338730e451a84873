package packing

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"chablon/cutting"
	"chablon/unit"
)

const root = "../../../shared/bench/packing/"

// full reports whether every instance is to be run with the work of about a second each.
func full() bool { return os.Getenv("CHABLON_BENCH") == "full" }

// table reads a comma-separated file of the sets, or skips the test.
func table(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(root + name)
	if err != nil {
		t.Skip("the public instances are not there")
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// best returns the best known values of a set by instance.
func best(t *testing.T, set string) map[string]int {
	t.Helper()
	out := map[string]int{}
	for _, row := range table(t, "best_known.csv") {
		if row[0] == set {
			out[row[1]] = integer(t, row[2])
		}
	}
	return out
}

// words returns the words of a file.
func words(t *testing.T, name string) []string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Fields(string(data))
}

func files(t *testing.T, pattern string) []string {
	t.Helper()
	list, err := filepath.Glob(root + pattern)
	if err != nil || len(list) == 0 {
		t.Skip("the public instances are not there")
	}
	return list
}

func integer(t *testing.T, s string) int {
	t.Helper()
	return int(real(t, s))
}

func real(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// processor returns the time that this process has had of the processor: the machine may be
// shared.
func processor(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// score gathers one row of a table.
type score struct {
	n, got, best, equal, over, proven int
	mean, least                       float64
	spent, longest                    time.Duration
}

func (s *score) time(d time.Duration) {
	s.spent += d
	s.longest = max(s.longest, d)
}

func (s *score) sheets(t *testing.T, name string, l cutting.Layout, best int) {
	t.Helper()
	got := len(l.Sheets)
	if list := cutting.Check(l); len(list) > 0 {
		t.Fatalf("%s: %v", name, list)
	}
	if l.Least > best {
		t.Errorf("%s: the bound %d is above the best known %d", name, l.Least, best)
	}
	s.n++
	s.got += got
	s.best += best
	if got == best {
		s.equal++
	}
	if l.Proven() {
		s.proven++
	}
	if got > best+1 {
		s.over++
		t.Logf("%s: %d, best known %d", name, got, best)
	}
}

func (s *score) row(t *testing.T, name string) {
	t.Helper()
	t.Logf("| %s | %d | %d | %d | %d | %d | %d | %.2f s | %.2f s |", name, s.n, s.got, s.best, s.equal, s.over, s.proven, s.spent.Seconds()/float64(max(s.n, 1)), s.longest.Seconds())
}

const mm = unit.Millimetre

func work(quick int) int {
	if full() {
		return cutting.Thorough
	}
	return quick
}

// TestSheets runs the sets of Berkey and Wang and of Martello and Vigo: sheets over the best
// known, with free cuts and in stages, with and without turning. The stages are three, as in the
// table of best known values, but the first cut may run either way, which is a knife's freedom.
func TestSheets(t *testing.T) {
	for _, set := range []string{"bpp2d-free", "bpp2d-free_rot", "bpp2d-guillotine3", "bpp2d-guillotine3_rot"} {
		known := best(t, set)
		o := cutting.Options{Free: strings.Contains(set, "free"), Fixed: !strings.HasSuffix(set, "rot"), Work: work(200_000)}
		var s score
		for _, file := range files(t, "bpp2d/*.2bp") {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var lines [][]string
			for line := range strings.Lines(string(data)) {
				if f := strings.Fields(line); len(f) > 0 {
					lines = append(lines, f)
				}
			}
			class := strings.TrimSuffix(filepath.Base(file), ".2bp")
			for len(lines) > 0 {
				n, number := integer(t, lines[1][0]), lines[2][0]
				sheet := cutting.Sheet{Depth: unit.Length(integer(t, lines[3][0])) * mm, Width: unit.Length(integer(t, lines[3][1])) * mm}
				var pieces []cutting.Piece
				for _, f := range lines[4 : 4+n] {
					pieces = append(pieces, cutting.Rectangle("r", unit.Length(integer(t, f[1]))*mm, unit.Length(integer(t, f[0]))*mm, 1))
				}
				lines = lines[4+n:]
				name := class + "_" + strconv.Itoa(n) + "_" + number
				if !full() && (number != "1" || n > 60) {
					continue
				}
				start := processor(t)
				l, err := cutting.Lay(t.Context(), sheet, pieces, o)
				if err != nil {
					t.Fatal(err)
				}
				s.time(processor(t) - start)
				s.sheets(t, set+" "+name, l, known[name])
				if !o.Free && slices.ContainsFunc(l.Strokes, func(x []cutting.Stroke) bool { return x == nil }) {
					t.Errorf("%s: a sheet has no cuts from edge to edge", name)
				}
			}
		}
		s.row(t, set)
		if s.over > 0 && !full() {
			t.Errorf("%s: %d of %d instances are more than one sheet over the best known", set, s.over, s.n)
		}
	}
}

// TestLengths runs the sets of Falkenauer, of Scholl, and of Waescher and Gau as sheets that one
// row of strips fills.
func TestLengths(t *testing.T) {
	scores := map[string]*score{}
	var order []string
	run := func(set, row, name string, capacity float64, sizes map[float64]int, known int) {
		s := scores[row]
		if s == nil {
			s = &score{}
			scores[row] = s
			order = append(order, row)
		}
		if !full() && s.n >= 4 {
			return
		}
		scale := mm / 10
		var pieces []cutting.Piece
		var list []float64
		for v := range sizes {
			list = append(list, v)
		}
		slices.Sort(list)
		for _, v := range list {
			pieces = append(pieces, cutting.Rectangle("s", unit.Length(v)*scale, scale, sizes[v]))
		}
		start := processor(t)
		l, err := cutting.Lay(t.Context(), cutting.Sheet{Width: unit.Length(capacity) * scale, Depth: scale}, pieces, cutting.Options{Fixed: true, Work: work(2_000_000)})
		if err != nil {
			t.Fatal(err)
		}
		s.time(processor(t) - start)
		s.sheets(t, set+" "+name, l, known)
	}
	known := best(t, "bpp1d-falkenauer")
	for _, file := range files(t, "bpp1d-falkenauer/*.txt") {
		w := words(t, file)[1:]
		for len(w) > 0 {
			n, sizes := integer(t, w[2]), map[float64]int{}
			for _, v := range w[4 : 4+n] {
				sizes[real(t, v)*10]++
			}
			run("bpp1d-falkenauer", "Falkenauer "+strings.Split(w[0], "_")[0], w[0], real(t, w[1])*10, sizes, known[w[0]])
			w = w[4+n:]
		}
	}
	known = best(t, "bpp1d-scholl")
	for _, file := range files(t, "bpp1d-scholl/*.BPP") {
		w, sizes := words(t, file), map[float64]int{}
		for _, v := range w[2:] {
			sizes[real(t, v)]++
		}
		name := strings.TrimSuffix(filepath.Base(file), ".BPP")
		set := "Scholl 1"
		if strings.Contains(name, "W") && strings.Contains(name, "B") {
			set = "Scholl 2"
		} else if strings.HasPrefix(name, "HARD") {
			set = "Scholl 3"
		}
		if set == "Scholl 3" && !full() {
			continue
		}
		run("bpp1d-scholl", set, name, real(t, w[1]), sizes, known[name])
	}
	known = best(t, "bpp1d-waescher")
	for _, file := range files(t, "bpp1d-waescher/*.BPP") {
		for w := words(t, file); len(w) > 0; {
			name, m, sizes := strings.Trim(w[0], "'"), integer(t, w[1]), map[float64]int{}
			for i := range m {
				sizes[real(t, w[3+2*i])] += integer(t, w[4+2*i])
			}
			if name == "TEST0055" { // two problems of one name
				name += map[bool]string{true: "A", false: "B"}[m == 52]
			}
			run("bpp1d-waescher", "Waescher and Gau", name, real(t, w[2]), sizes, known[name])
			w = w[3+2*m:]
		}
	}
	for _, row := range order {
		scores[row].row(t, row)
		if scores[row].over > 0 {
			t.Errorf("%s: %d of %d instances are more than one length over the best known", row, scores[row].over, scores[row].n)
		}
	}
}
