package cutting_test

import (
	"math/rand/v2"
	"testing"

	"chablon/cutting"
	"chablon/unit"
)

// halve cuts w × h millimetres by random straight cuts from edge to edge until the parts are
// small, and returns the parts: they are known to fit what they were cut from.
func halve(rng *rand.Rand, w, h, least int, out []cutting.Piece) []cutting.Piece {
	if (w < 2*least && h < 2*least) || (w*h < 12*least*least && rng.IntN(3) == 0) {
		return append(out, cutting.Rectangle("r", unit.Length(w)*mm, unit.Length(h)*mm, 1))
	}
	if w >= 2*least && (h < 2*least || rng.IntN(w+h) < w) {
		at := least + rng.IntN(w-2*least+1)
		return halve(rng, w-at, h, least, halve(rng, at, h, least, out))
	}
	at := least + rng.IntN(h-2*least+1)
	return halve(rng, w, h-at, least, halve(rng, w, at, least, out))
}

// Instances with a known optimum, cut from whole sheets by a generator with a seed: five sheets
// of 600 × 400 mm, so that five suffice. At most one more may be taken, and over all of them a
// tenth at most (without waste to spare, none is easily met).
func TestHeldOutSheets(t *testing.T) {
	for _, free := range []bool{true, false} {
		got, best := 0, 0
		for seed := range uint64(12) {
			rng := rand.New(rand.NewPCG(seed, 77))
			var pieces []cutting.Piece
			for range 5 {
				pieces = halve(rng, 600, 400, 90, pieces)
			}
			rng.Shuffle(len(pieces), func(i, j int) { pieces[i], pieces[j] = pieces[j], pieces[i] })
			l, err := cutting.Lay(t.Context(), cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}, pieces, cutting.Options{Free: free})
			if err != nil {
				t.Fatal(err)
			}
			if l.Least > 5 || len(l.Sheets) < l.Least || len(l.Sheets) > 6 {
				t.Errorf("seed %d, free %v: %d sheets, bound %d; 5 suffice", seed, free, len(l.Sheets), l.Least)
			}
			got, best = got+len(l.Sheets), best+5
		}
		t.Logf("free %v: %d sheets where %d suffice", free, got, best)
	}
}

// A roll of 400 mm from which 600 mm were cut: the depth found may exceed that by 5 % on average.
func TestHeldOutRolls(t *testing.T) {
	for _, o := range []cutting.Options{{Free: true}, {Free: true, Fixed: true}, {}} {
		sum := 0.0
		for seed := range uint64(10) {
			rng := rand.New(rand.NewPCG(seed, 78))
			pieces := halve(rng, 400, 600, 50, nil)
			l, least, err := cutting.Roll(t.Context(), cutting.Sheet{Width: 400 * mm}, pieces, o)
			if err != nil {
				t.Fatal(err)
			}
			if least > 600*mm+1e-9 || l.Sheet.Depth < 600*mm-1e-9 {
				t.Errorf("seed %d: depth %s, bound %s; the optimum is 600 mm", seed, l.Sheet.Depth.Show(), least.Show())
			}
			sum += float64(l.Sheet.Depth)/0.6 - 1
			if !o.Free && l.Strokes[0] == nil {
				t.Error("no cuts from edge to edge")
			}
		}
		t.Logf("%+v: %.2f %% over the optimum", o, 10*sum)
		if limit := map[bool]float64{true: 5, false: 15}[o.Free]; 10*sum > limit {
			t.Errorf("%+v: %.2f %% over the optimum, want %v at most", o, 10*sum, limit)
		}
	}
}

// A day's work is laid within the time of a page; the figures are in docs/performance.md.
func BenchmarkLay(b *testing.B) {
	pieces := []cutting.Piece{
		cutting.Disc("base", 160*mm, 14), cutting.Disc("insert", 140*mm, 10), cutting.Rectangle("band", 520*mm, 45*mm, 14),
		cutting.Rectangle("slab", 170*mm, 110*mm, 12), cutting.Rectangle("finger", 120*mm, 25*mm, 10),
	}
	sheet := cutting.Sheet{Width: 600 * mm, Depth: 400 * mm, Edge: 8 * mm, Kerf: 2 * mm}
	for name, set := range map[string][]cutting.Piece{"discs": pieces[:1], "two diameters": pieces[:2], "rectangles": pieces[2:], "both": pieces} {
		b.Run(name, func(b *testing.B) {
			n := 0
			for range b.N {
				l, err := cutting.Lay(b.Context(), sheet, set, cutting.Options{})
				if err != nil {
					b.Fatal(err)
				}
				n = len(l.Sheets)
			}
			b.ReportMetric(float64(n), "sheets")
		})
	}
}

// Any bytes as a sheet and pieces: an error or a sound layout, never a panic.
func FuzzLay(f *testing.F) {
	f.Add(600.0, 400.0, 8.0, 2.0, 180.0, 180.0, 14, true, false, uint8(0))
	f.Add(0.0, -1.0, 0.0, 0.0, 1e300, 5e-324, 1, false, true, uint8(7))
	f.Fuzz(func(t *testing.T, w, d, edge, kerf, pw, ph float64, n int, round, cake bool, o uint8) {
		sheet := cutting.Sheet{Width: unit.Length(w) * mm, Depth: unit.Length(d) * mm, Edge: unit.Length(edge) * mm, Kerf: unit.Length(kerf) * mm, Round: cake}
		piece := cutting.Piece{Name: "p", Width: unit.Length(pw) * mm, Height: unit.Length(ph) * mm, Count: min(n, 500), Round: round}
		options := cutting.Options{Free: o&1 != 0, Fixed: o&2 != 0, Work: 2000}
		if l, err := cutting.Lay(t.Context(), sheet, []cutting.Piece{piece}, options); err == nil {
			if list := cutting.Check(l); len(list) > 0 {
				t.Fatal(list)
			}
		}
		_, _, _ = cutting.Most(t.Context(), sheet, piece.Width, options)
		_, _ = cutting.Largest(t.Context(), sheet, min(n, 20), options)
		_, _ = cutting.Bands(t.Context(), sheet, []cutting.Band{{Name: "b", Length: piece.Width, Height: piece.Height, Count: min(n, 20)}}, cutting.Joints{Overlap: sheet.Edge}, options)
	})
}
