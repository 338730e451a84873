package cutting_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/cutting"
	"chablon/unit"
)

const mm = unit.Millimetre

// Least number of strips round a lined ring: geometry check G090, ring 180 mm, lining 5 mm,
// overlap 8 mm, strips of 350 mm: least m with m (350 − 8) ≥ π (180 − 5).
func TestStripsRoundARing(t *testing.T) {
	if got := cutting.Strips(unit.Length(math.Pi*175)*mm, 350*mm, 8*mm); got != 2 {
		t.Errorf("strips = %d, want 2", got)
	}
	if got := cutting.Strips(100*mm, 5*mm, 8*mm); got != 0 {
		t.Errorf("strips shorter than their overlap = %d, want 0", got)
	}
}

func discs(d unit.Length, n int) cutting.Piece {
	return cutting.Piece{Name: "disc", Width: d, Height: d, Area: unit.Area(math.Pi/4) * unit.Area(d*d), Count: n, Round: true}
}

// By hand: a 600 × 400 sheet takes 3 × 2 discs of 180 mm by rows. Of 130 mm it takes 4 × 3 by rows
// (520 × 390). Set into gaps, three rows of five discs of 118 mm are 590 wide but every second row
// only four; six rows of 64 mm need 64 + 5 · 55.4 = 341 high, and take 9, 8, 9, 8, 9, 8 = 51, where
// straight rows take 9 × 6 = 54.
func TestDiscsOnASheet(t *testing.T) {
	sheet := cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}
	for _, c := range []struct {
		d             unit.Length
		count, sheets int
	}{{180 * mm, 6, 1}, {180 * mm, 7, 2}, {180 * mm, 13, 3}, {130 * mm, 12, 1}, {64 * mm, 54, 1}, {300 * mm, 2, 1}, {400 * mm, 2, 2}} {
		l, err := cutting.Lay(sheet, []cutting.Piece{discs(c.d, c.count)}, cutting.Options{})
		if err != nil || len(l.Sheets) != c.sheets {
			t.Errorf("%d discs of %v: %d sheets (%v), want %d", c.count, c.d, len(l.Sheets), err, c.sheets)
		}
	}
	// Gaps: discs of 100 mm on 1000 × 560: five straight rows are 50; in gaps a row stands 86.6 mm
	// over the one before, 100 + 5 · 86.6 = 533, and six rows of 10 and 9 are 57.
	l, err := cutting.Lay(cutting.Sheet{Width: 1000 * mm, Depth: 560 * mm}, []cutting.Piece{discs(100*mm, 57)}, cutting.Options{})
	if err != nil || len(l.Sheets) != 1 {
		t.Errorf("57 discs: %d sheets (%v), want 1", len(l.Sheets), err)
	}
}

// A round cake of 200 mm, without an edge, takes seven discs of a third of it (closed form: six
// round one), one of more than half, two of half, and nothing larger than itself.
func TestDiscsFromACake(t *testing.T) {
	cake := cutting.Sheet{Width: 200 * mm, Depth: 200 * mm, Round: true}
	for _, c := range []struct {
		d             unit.Length
		count, sheets int
	}{{200.0 / 3 * mm, 7, 1}, {200.0 / 3 * mm, 8, 2}, {101 * mm, 2, 2}, {100 * mm, 2, 1}, {200 * mm, 3, 3}} {
		l, err := cutting.Lay(cake, []cutting.Piece{discs(c.d-1e-9*mm, c.count)}, cutting.Options{})
		if err != nil || len(l.Sheets) != c.sheets {
			t.Errorf("%d discs of %v: %d cakes (%v), want %d", c.count, c.d, len(l.Sheets), err, c.sheets)
		}
	}
	if _, err := cutting.Lay(cake, []cutting.Piece{discs(201*mm, 1)}, cutting.Options{}); err == nil {
		t.Error("a disc larger than the cake is cut from it")
	}
	square := cutting.Piece{Name: "square", Width: 60 * mm, Height: 60 * mm, Area: 3600 * unit.SquareMillimetre, Count: 4}
	if l, err := cutting.Lay(cake, []cutting.Piece{square}, cutting.Options{}); err != nil || len(l.Sheets) != 1 {
		t.Errorf("four squares of 60 mm: %d cakes (%v), want 1", len(l.Sheets), err)
	}
}

func TestPieceTooLarge(t *testing.T) {
	sheet := cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}
	for name, c := range map[string]struct {
		p    cutting.Piece
		o    cutting.Options
		part string
	}{
		"long":     {cutting.Piece{Name: "band", Width: 650 * mm, Height: 40 * mm, Count: 1}, cutting.Options{}, "band measures 650 mm"},
		"unturned": {cutting.Piece{Name: "band", Width: 40 * mm, Height: 500 * mm, Count: 1}, cutting.Options{Fixed: true}, "band measures 40 mm"},
		"no size":  {cutting.Piece{Name: "dot", Count: 1}, cutting.Options{}, "dot measures 0 mm"},
		"NaN":      {cutting.Piece{Name: "dot", Width: unit.Length(math.NaN()), Height: mm, Count: 1}, cutting.Options{}, "give sizes above zero"},
		"a city":   {cutting.Piece{Name: "dot", Width: mm, Height: mm, Count: 1 << 30}, cutting.Options{}, "at most 200000"},
		"owed":     {cutting.Piece{Name: "dot", Width: mm, Height: mm, Count: -1}, cutting.Options{}, "cut -1 times"},
	} {
		if _, err := cutting.Lay(sheet, []cutting.Piece{c.p}, c.o); err == nil || !strings.Contains(err.Error(), c.part) {
			t.Errorf("%s: err = %v, want one with %q", name, err, c.part)
		}
	}
	if _, err := cutting.Lay(cutting.Sheet{Width: 10 * mm, Depth: 10 * mm, Edge: 5 * mm}, nil, cutting.Options{}); err == nil {
		t.Error("a sheet without anything left is cut")
	}
	if _, err := cutting.Lay(cutting.Sheet{Width: 600 * mm, Depth: 40 * mm}, []cutting.Piece{{Name: "band", Width: 35 * mm, Height: 500 * mm, Count: 2}}, cutting.Options{}); err != nil {
		t.Errorf("a band that fits when it is turned: %v", err)
	}
}

// Whatever is cut holds, by the check that knows nothing of how it was laid; and the check finds
// what is wrong with a layout that is spoiled.
func TestLayoutsAreSound(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		sheet := cutting.Sheet{
			Width: 600 * mm, Depth: unit.Length(rapid.SampledFrom([]int{400, 600}).Draw(t, "depth")) * mm,
			Edge: unit.Length(rapid.IntRange(0, 10).Draw(t, "edge")) * mm, Kerf: unit.Length(rapid.IntRange(0, 3).Draw(t, "kerf")) * mm,
		}
		sheet.Round = sheet.Depth == sheet.Width && rapid.Bool().Draw(t, "cake")
		o := cutting.Options{Free: rapid.Bool().Draw(t, "free"), Work: 6, Seed: rapid.Uint64().Draw(t, "seed")}
		var pieces []cutting.Piece
		onlyRound := rapid.Bool().Draw(t, "only discs")
		for range rapid.IntRange(1, 4).Draw(t, "kinds") {
			p := cutting.Piece{Name: "p", Width: unit.Length(rapid.IntRange(30, 370).Draw(t, "w")) * mm, Height: unit.Length(rapid.IntRange(30, 370).Draw(t, "h")) * mm, Count: rapid.IntRange(0, 9).Draw(t, "n")}
			p.Area = unit.Area(float64(p.Width) * float64(p.Height))
			if onlyRound || rapid.Bool().Draw(t, "round") {
				p = discs(p.Width, p.Count)
			}
			pieces = append(pieces, p)
		}
		l, err := cutting.Lay(sheet, pieces, o)
		if err != nil {
			t.Fatal(err)
		}
		if wrong := cutting.Check(l); len(wrong) > 0 {
			t.Fatal(wrong)
		}
		if len(l.Sheets) < l.Least {
			t.Fatalf("%d sheets, fewer than the bound of %d", len(l.Sheets), l.Least)
		}
		rectangles := true
		for _, p := range pieces {
			rectangles = rectangles && (!p.Round || p.Count == 0)
		}
		if !o.Free && !sheet.Round && rectangles && !l.EdgeToEdge {
			t.Fatal("the cuts do not go from edge to edge")
		}
		if whole := float64(sheet.Area()) * float64(len(l.Sheets)); math.Abs(float64(l.Taken+l.Trimmings)-whole) > 1e-12+1e-12*whole {
			t.Fatalf("pieces %v and trimmings %v do not make up %v m²", l.Taken, l.Trimmings, whole)
		}
		again, err := cutting.Lay(sheet, pieces, o)
		if err != nil || fmt.Sprint(again.Sheets) != fmt.Sprint(l.Sheets) {
			t.Fatal("the same question has two answers")
		}
		for s := range l.Sheets { // spoil one cut
			if len(l.Sheets[s]) > 1 {
				was := l.Sheets[s][1]
				below, over := l.Sheets[s][0], &l.Sheets[s][1]
				over.X, over.Y = below.X+(below.Width-over.Width)/2, below.Y+(below.Height-over.Height)/2
				if len(cutting.Check(l)) == 0 {
					t.Fatal("the check does not see that a piece lies on another")
				}
				l.Sheets[s][1] = was
				l.Sheets[s] = l.Sheets[s][1:]
				if len(cutting.Check(l)) == 0 {
					t.Fatal("the check does not see that a piece is missing")
				}
				break
			}
		}
	})
}

// cutUp cuts a rectangle from edge to edge into n pieces of whole sizes: an instance whose best
// answer is known.
func cutUp(rng *rand.Rand, w, h float64, n int) []cutting.Rect {
	list := []cutting.Rect{{W: w, H: h}}
	for len(list) < n {
		k := rng.IntN(len(list))
		r := list[k]
		if r.W < 4 && r.H < 4 {
			continue
		}
		a, b := r, r
		if r.W >= r.H {
			a.W = math.Round(r.W * (0.25 + 0.5*rng.Float64()))
			b.W -= a.W
		} else {
			a.H = math.Round(r.H * (0.25 + 0.5*rng.Float64()))
			b.H -= a.H
		}
		list[k] = a
		list = append(list, b)
	}
	return list
}

// Strips cut from one rectangle by a seeded generator: within 4 % of the height on average, as
// for the published sets of the same make.
func TestStripOfKnownHeight(t *testing.T) {
	t.Parallel()
	sum, cases := 0.0, 0
	for seed := range 12 {
		rng := rand.New(rand.NewPCG(uint64(seed), 5))
		items := cutUp(rng, 60, 40, 20+seed)
		placed, height := cutting.Strip(60, items, false, 2500, 1)
		overlap(t, placed, 60, height)
		for i := range items {
			if placed[i].W != items[i].W || placed[i].H != items[i].H {
				t.Fatalf("piece %d of %v by %v is placed as %v by %v", i, items[i].W, items[i].H, placed[i].W, placed[i].H)
			}
		}
		sum += height/40 - 1
		cases++
	}
	if mean := sum / float64(cases); mean > 0.04 {
		t.Errorf("%.1f %% over the best height on average, want at most 4 %%", 100*mean)
	}
	if _, h := cutting.Strip(10, []cutting.Rect{{W: 11, H: 2}}, false, 10, 1); !math.IsInf(h, 1) {
		t.Error("a piece wider than the strip is placed")
	}
}

func overlap(t *testing.T, placed []cutting.Rect, width, height float64) {
	t.Helper()
	for i, a := range placed {
		if a.X < -1e-9 || a.Y < -1e-9 || a.X+a.W > width+1e-9 || a.Y+a.H > height+1e-9 {
			t.Fatalf("%+v leaves the strip of %v by %v", a, width, height)
		}
		for _, b := range placed[:i] {
			if a.X < b.X+b.W-1e-9 && b.X < a.X+a.W-1e-9 && a.Y < b.Y+b.H-1e-9 && b.Y < a.Y+a.H-1e-9 {
				t.Fatalf("%+v and %+v overlap", a, b)
			}
		}
	}
}

// Closed forms of the largest equal circles in the unit square and the unit circle.
// Source: bib:packomania, proven optimal.
func TestCirclesOfKnownRadius(t *testing.T) {
	t.Parallel()
	for n, want := range map[int]float64{1: 0.5, 2: 1 / (2 + math.Sqrt2), 4: 0.25, 5: (math.Sqrt2 - 1) / 2, 8: 1 / (2 + math.Sqrt2 + math.Sqrt(6)), 9: 1.0 / 6, 16: 0.125} {
		p, r := cutting.Circles(n, 1, 1, 60, 1)
		if r < 0.995*want || r > want*(1+1e-9) {
			t.Errorf("%d circles in a square: radius %v, best is %v", n, r, want)
		}
		apart(t, p, r)
	}
	for n, want := range map[int]float64{1: 1, 2: 0.5, 3: 1 / (1 + 2/math.Sqrt(3)), 4: 1 / (1 + math.Sqrt2), 7: 1.0 / 3} {
		if _, r := cutting.CirclesInCircle(n, 1, 60, 1); r < 0.995*want || r > want*(1+1e-9) {
			t.Errorf("%d circles in a circle: radius %v, best is %v", n, r, want)
		}
	}
	if p, r := cutting.Circles(0, 1, 1, 10, 1); p != nil || r != 0 {
		t.Error("no circles have a radius")
	}
}

func apart(t *testing.T, p [][2]float64, r float64) {
	t.Helper()
	for i := range p {
		if min(p[i][0], p[i][1], 1-p[i][0], 1-p[i][1]) < r*(1-1e-9) {
			t.Errorf("circle %d leaves the square", i)
		}
		for j := range i {
			if math.Hypot(p[i][0]-p[j][0], p[i][1]-p[j][1]) < 2*r*(1-1e-9) {
				t.Errorf("circles %d and %d overlap", i, j)
			}
		}
	}
}

// Lengths of which a known number was cut up whole: at most one more.
func TestLengthsOfKnownNumber(t *testing.T) {
	t.Parallel()
	for seed := range 20 {
		rng := rand.New(rand.NewPCG(uint64(seed), 8))
		var sizes []int
		const bins = 15
		for range bins { // three pieces each, the hardest: none may be wasted
			a := 260 + rng.IntN(130)
			b := 260 + rng.IntN(130)
			sizes = append(sizes, a, b, 1000-a-b)
		}
		rng.Shuffle(len(sizes), func(i, j int) { sizes[i], sizes[j] = sizes[j], sizes[i] })
		got := cutting.Lengths(1000, sizes, 300, 1)
		seen := map[int]bool{}
		for _, b := range got {
			sum := 0
			for _, i := range b {
				if seen[i] {
					t.Fatalf("piece %d is cut twice", i)
				}
				seen[i] = true
				sum += sizes[i]
			}
			if sum > 1000 {
				t.Fatalf("a length of 1000 gives %d", sum)
			}
		}
		if len(seen) != len(sizes) || len(got) > bins+1 || len(got) < cutting.LengthsBound(1000, sizes) {
			t.Errorf("seed %d: %d lengths for %d pieces, best is %d", seed, len(got), len(seen), bins)
		}
	}
	if cutting.Lengths(10, []int{11}, 10, 1) != nil {
		t.Error("a piece longer than a length is cut")
	}
}

// Bands pieced from strips of 590 mm, by hand: round a ring of 240 mm, 4 mm inside its wall, goes
// π 236 = 741.4 mm: two pieces with two laps of 8 mm, 590 and 167.4 mm. Three such bands take three
// whole strips and one that holds the three rests (502 mm): four, not six.
func TestPieceBands(t *testing.T) {
	round := unit.Length(math.Pi*236) * mm
	got, err := cutting.PieceBands(590*mm, 50*mm, []cutting.Band{{Name: "large", Length: round, Overlap: 8 * mm, Count: 3}})
	if err != nil || len(got.Strips) != 4 || got.Joints != 6 {
		t.Fatalf("%d strips, %d joints, %v; want 4 and 6", len(got.Strips), got.Joints, err)
	}
	if want := 4*590 - 3*(math.Pi*236+16); math.Abs(got.Waste.Millimetres()-want) > 0.1 {
		t.Errorf("waste %v mm, want %v", got.Waste.Millimetres(), want)
	}
	rapid.Check(t, func(t *rapid.T) {
		longest, least := unit.Length(rapid.IntRange(200, 600).Draw(t, "longest"))*mm, unit.Length(rapid.IntRange(0, 40).Draw(t, "least"))*mm
		var bands []cutting.Band
		for range rapid.IntRange(1, 4).Draw(t, "bands") {
			bands = append(bands, cutting.Band{Name: "b", Length: unit.Length(rapid.Float64Range(150, 1500).Draw(t, "length")) * mm, Overlap: unit.Length(rapid.IntRange(0, 12).Draw(t, "lap")) * mm, Count: rapid.IntRange(0, 5).Draw(t, "count")})
		}
		got, err := cutting.PieceBands(longest, least, bands)
		if err != nil {
			t.Fatal(err)
		}
		sum, pieces := map[[2]int]unit.Length{}, map[[2]int]int{}
		for _, strip := range got.Strips {
			var all unit.Length
			for _, p := range strip {
				all += p.Length
				sum[[2]int{p.Band, p.Copy}] += p.Length
				pieces[[2]int{p.Band, p.Copy}]++
				if p.Length < least-1e-9 {
					t.Fatalf("a piece of %v, least is %v", p.Length, least)
				}
			}
			if all > longest+2e-5 {
				t.Fatalf("a strip of %v gives %v", longest, all)
			}
		}
		for i, b := range bands {
			for c := range b.Count {
				n := pieces[[2]int{i, c}]
				if want := cutting.Strips(b.Length, longest, b.Overlap); n != want {
					t.Fatalf("band %d is pieced from %d, fewest are %d", i, n, want)
				}
				if got, want := sum[[2]int{i, c}], b.Length+b.Overlap*unit.Length(n); math.Abs(float64(got-want)) > 1e-9 {
					t.Fatalf("band %d: pieces are %v, want %v", i, got, want)
				}
			}
		}
	})
	for name, b := range map[string]cutting.Band{"no length": {Count: 1}, "all lap": {Length: mm, Overlap: 600 * mm, Count: 1}, "owed": {Length: mm, Count: -1}} {
		if _, err := cutting.PieceBands(590*mm, 0, []cutting.Band{b}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// Hidden discs from trimmings: six discs of 180 mm leave 600 × 400 - 6 π 90² = 87,300 mm² of a sheet,
// of which 60 % join two discs of 160 mm (20,106 mm² each); without leave it takes a second sheet.
func TestJoinedTrimmings(t *testing.T) {
	sheet := cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}
	hidden := discs(160*mm, 2)
	l, err := cutting.Lay(sheet, []cutting.Piece{discs(180*mm, 6), hidden}, cutting.Options{})
	if err != nil || len(l.Sheets) != 2 || l.Joined != nil {
		t.Fatalf("not permitted: %d sheets, joined %v, %v", len(l.Sheets), l.Joined, err)
	}
	hidden.Joined = true
	l, err = cutting.Lay(sheet, []cutting.Piece{discs(180*mm, 6), hidden}, cutting.Options{})
	if err != nil || len(l.Sheets) != 1 || len(l.Joined) != 2 || l.Joined[1] != 2 || len(cutting.Check(l)) > 0 {
		t.Fatalf("permitted: %d sheets, joined %v, %v, %v", len(l.Sheets), l.Joined, cutting.Check(l), err)
	}
	if whole := 0.6 * 0.4; math.Abs(float64(l.Taken+l.Trimmings)-whole) > 1e-12 {
		t.Errorf("pieces and trimmings make up %v m², want %v", l.Taken+l.Trimmings, whole)
	}
	hidden.Count = 3 // one more than 60 % give
	if l, err = cutting.Lay(sheet, []cutting.Piece{discs(180*mm, 6), hidden}, cutting.Options{}); err != nil || len(l.Sheets) != 2 {
		t.Errorf("three: %d sheets (%v), want 2", len(l.Sheets), err)
	}
}

func ExampleLay() {
	disc := cutting.Piece{Name: "base", Width: 140 * mm, Height: 140 * mm, Area: unit.Area(math.Pi*70*70) * unit.SquareMillimetre, Count: 4, Round: true}
	band := cutting.Piece{Name: "band", Width: 560 * mm, Height: 45 * mm, Area: 560 * 45 * unit.SquareMillimetre, Count: 2}
	l, err := cutting.Lay(cutting.Sheet{Width: 600 * mm, Depth: 400 * mm, Edge: 5 * mm}, []cutting.Piece{disc, band}, cutting.Options{})
	fmt.Printf("%d sheet, proven least: %v, %.0f cm² of trimmings, %v\n", len(l.Sheets), len(l.Sheets) == l.Least, l.Trimmings.SquareCentimetres(), err)
	// Output: 1 sheet, proven least: true, 1280 cm² of trimmings, <nil>
}
