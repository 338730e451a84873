package cutting_test

import (
	"fmt"
	"math"
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

// A 600 × 400 sheet takes 3 × 2 discs of 180 mm by rows (540 × 360); six discs fit one sheet and
// the seventh needs another: by hand.
func TestDiscsByRows(t *testing.T) {
	disc := cutting.Piece{Name: "disc", Width: 180 * mm, Height: 180 * mm, Area: unit.Area(math.Pi*90*90) * unit.SquareMillimetre, Round: true}
	for count, want := range map[int]int{1: 1, 6: 1, 7: 2, 12: 2, 13: 3} {
		disc.Count = count
		l, err := cutting.Shelves(cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}, []cutting.Piece{disc})
		if err != nil || len(l.Sheets) != want {
			t.Errorf("%d discs: %d sheets (%v), want %d", count, len(l.Sheets), err, want)
		}
	}
}

func TestPieceTooLarge(t *testing.T) {
	_, err := cutting.Shelves(cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}, []cutting.Piece{{Name: "band", Width: 650 * mm, Height: 40 * mm, Count: 1}})
	if err == nil || !strings.Contains(err.Error(), "band measures 650 mm") {
		t.Errorf("err = %v, want one that names the band and its size", err)
	}
}

// Whatever is cut: every piece is laid once, none leaves the usable sheet, none overlaps another,
// and pieces and trimmings make up the sheets.
func TestLayoutsAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sheet := cutting.Sheet{Width: 600 * mm, Depth: 400 * mm, Edge: unit.Length(rapid.IntRange(0, 10).Draw(t, "edge")) * mm, Kerf: unit.Length(rapid.IntRange(0, 3).Draw(t, "kerf")) * mm}
		var pieces []cutting.Piece
		total := 0
		for range rapid.IntRange(1, 5).Draw(t, "kinds") {
			p := cutting.Piece{Name: "p", Width: unit.Length(rapid.IntRange(10, 370).Draw(t, "w")) * mm, Height: unit.Length(rapid.IntRange(10, 370).Draw(t, "h")) * mm, Count: rapid.IntRange(0, 12).Draw(t, "n")}
			p.Area = unit.Area(float64(p.Width) * float64(p.Height))
			pieces, total = append(pieces, p), total+p.Count
		}
		l, err := cutting.Shelves(sheet, pieces)
		if err != nil {
			t.Fatal(err)
		}
		laid := 0
		for _, cuts := range l.Sheets {
			for i, a := range cuts {
				laid++
				if a.X < sheet.Edge-1e-9 || a.Y < sheet.Edge-1e-9 || a.X+a.Width > sheet.Width-sheet.Edge+1e-9 || a.Y+a.Height > sheet.Depth-sheet.Edge+1e-9 {
					t.Fatalf("cut %+v leaves the usable sheet", a)
				}
				for _, b := range cuts[:i] {
					if a.X < b.X+b.Width-1e-9 && b.X < a.X+a.Width-1e-9 && a.Y < b.Y+b.Height-1e-9 && b.Y < a.Y+a.Height-1e-9 {
						t.Fatalf("cuts %+v and %+v overlap", a, b)
					}
				}
			}
		}
		if laid != total {
			t.Fatalf("laid %d pieces, want %d", laid, total)
		}
		whole := float64(len(l.Sheets)) * 0.6 * 0.4
		if math.Abs(float64(l.Taken+l.Trimmings)-whole) > 1e-12 {
			t.Fatalf("pieces %v and trimmings %v do not make up %v m²", l.Taken, l.Trimmings, whole)
		}
	})
}

func ExampleShelves() {
	disc := cutting.Piece{Name: "base", Width: 140 * mm, Height: 140 * mm, Area: unit.Area(math.Pi*70*70) * unit.SquareMillimetre, Count: 4, Round: true}
	band := cutting.Piece{Name: "band", Width: 560 * mm, Height: 45 * mm, Area: 560 * 45 * unit.SquareMillimetre, Count: 2}
	l, err := cutting.Shelves(cutting.Sheet{Width: 600 * mm, Depth: 400 * mm, Edge: 5 * mm}, []cutting.Piece{disc, band})
	fmt.Printf("%d sheet, %.0f cm² of trimmings, %v\n", len(l.Sheets), l.Trimmings.SquareCentimetres(), err)
	// Output: 1 sheet, 1280 cm² of trimmings, <nil>
}
