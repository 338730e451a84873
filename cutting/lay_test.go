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

func drawSheet(t *rapid.T) cutting.Sheet {
	edge, kerf := unit.Length(rapid.IntRange(0, 10).Draw(t, "edge"))*mm, unit.Length(rapid.Float64Range(0, 3).Draw(t, "kerf"))*mm
	if rapid.Bool().Draw(t, "round") {
		return cutting.Cake(unit.Length(rapid.IntRange(200, 600).Draw(t, "diameter"))*mm, edge, kerf)
	}
	return cutting.Sheet{
		Width: unit.Length(rapid.IntRange(200, 600).Draw(t, "width")) * mm, Depth: unit.Length(rapid.IntRange(200, 400).Draw(t, "depth")) * mm,
		Edge: edge, Kerf: kerf,
	}
}

func drawPieces(t *rapid.T) []cutting.Piece {
	var pieces []cutting.Piece
	for i := range rapid.IntRange(0, 5).Draw(t, "kinds") {
		name, n := fmt.Sprintf("piece %d", i), rapid.IntRange(0, 12).Draw(t, "n")
		w := unit.Length(rapid.Float64Range(20, 130).Draw(t, "w")) * mm
		if rapid.Bool().Draw(t, "disc") {
			pieces = append(pieces, cutting.Disc(name, w, n))
		} else {
			pieces = append(pieces, cutting.Rectangle(name, w, unit.Length(rapid.IntRange(10, 100).Draw(t, "h"))*mm, n))
		}
	}
	return pieces
}

// Whatever is laid on whatever: the checker, which shares no code with the searches, finds no
// fault; the bound is kept; without free cuts every sheet of rectangles has its strokes.
func TestLayIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sheet, pieces := drawSheet(t), drawPieces(t)
		o := cutting.Options{Free: rapid.Bool().Draw(t, "free"), Fixed: rapid.Bool().Draw(t, "fixed"), Work: 20_000, Seed: rapid.Uint64().Draw(t, "seed")}
		l, err := cutting.Lay(t.Context(), sheet, pieces, o)
		if err != nil {
			t.Fatal(err)
		}
		if list := cutting.Check(l); len(list) > 0 {
			t.Fatal(list)
		}
		if len(l.Sheets) < l.Least {
			t.Fatalf("%d sheets are under the bound %d", len(l.Sheets), l.Least)
		}
		for i, cuts := range l.Sheets {
			straight := !sheet.Round
			for _, c := range cuts {
				straight = straight && !pieces[c.Piece].Round
			}
			if straight && !o.Free && l.Strokes[i] == nil {
				t.Fatalf("sheet %d has no strokes from edge to edge", i)
			}
			for _, c := range cuts {
				if c.Turned && o.Fixed {
					t.Fatalf("%+v is turned", c)
				}
			}
		}
		again, _ := cutting.Lay(t.Context(), sheet, pieces, o)
		if fmt.Sprint(again) != fmt.Sprint(l) {
			t.Fatal("the same input gave another layout")
		}
	})
}

// What is not a measure, or does not fit, is an error that names the piece, its size and what
// the sheet leaves; never a panic.
func TestLayRefuses(t *testing.T) {
	good := cutting.Sheet{Width: 600 * mm, Depth: 400 * mm, Edge: 10 * mm}
	nan, inf := unit.Length(math.NaN()), unit.Length(math.Inf(1))
	for name, c := range map[string]struct {
		sheet cutting.Sheet
		piece cutting.Piece
		want  string
	}{
		"too long":        {good, cutting.Rectangle("band", 650*mm, 40*mm, 1), "band measures 650 mm by 40 mm, but a sheet leaves 580 mm by 380 mm"},
		"disc too large":  {good, cutting.Disc("base", 390*mm, 1), "base measures 390 mm by 390 mm"},
		"round cake":      {cutting.Cake(200*mm, 0, 0), cutting.Rectangle("slab", 150*mm, 150*mm, 1), "leaves Ø 200 mm"},
		"no size":         {good, cutting.Rectangle("nothing", 0, 40*mm, 1), "nothing measures 0 by 0.04 m"},
		"not a number":    {good, cutting.Disc("base", nan, 1), "base measures NaN"},
		"endless":         {good, cutting.Rectangle("strip", inf, 1*mm, 1), "strip measures +Inf"},
		"sheet not known": {cutting.Sheet{Width: nan, Depth: 400 * mm}, cutting.Disc("base", 10*mm, 1), "width of a sheet is NaN"},
		"sheet endless":   {cutting.Sheet{Width: inf, Depth: 400 * mm}, cutting.Disc("base", 10*mm, 1), "width of a sheet is +Inf"},
		"all edge":        {cutting.Sheet{Width: 600 * mm, Depth: 20 * mm, Edge: 10 * mm}, cutting.Disc("base", 10*mm, 1), "nothing left inside its trimmed edges"},
		"negative count":  {good, cutting.Disc("base", 10*mm, -1), "base is to be cut -1 times"},
		"too many":        {good, cutting.Disc("base", 10*mm, math.MaxInt), "at most 200000 pieces"},
		"area":            {good, cutting.Piece{Name: "heart", Width: 10 * mm, Height: 10 * mm, Area: 1, Count: 1}, "heart has an area"},
		"oval":            {good, cutting.Piece{Name: "oval", Width: 10 * mm, Height: 12 * mm, Count: 1, Round: true}, "oval is round but measures"},
	} {
		_, err := cutting.Lay(t.Context(), c.sheet, []cutting.Piece{c.piece}, cutting.Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: err = %v, want one with %q", name, err, c.want)
		}
	}
}

// Sheets worked out by hand. 60 discs of 100 mm: hexagonal rows along 600 mm hold 6, 5, 6 … and
// rise by 86.6 mm: a sheet of 600 × 447 mm takes five rows (446.4 mm), 28 discs.
func TestLayByHand(t *testing.T) {
	for name, c := range map[string]struct {
		sheet  cutting.Sheet
		pieces []cutting.Piece
		o      cutting.Options
		want   int
		proven bool
	}{
		"nothing":       {cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}, nil, cutting.Options{}, 0, true},
		"hexagonal":     {cutting.Sheet{Width: 600 * mm, Depth: 447 * mm}, []cutting.Piece{cutting.Disc("d", 100*mm, 28)}, cutting.Options{}, 1, true},
		"halves":        {cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}, []cutting.Piece{cutting.Rectangle("r", 300*mm, 400*mm, 4)}, cutting.Options{}, 2, true},
		"turned":        {cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}, []cutting.Piece{cutting.Rectangle("r", 400*mm, 300*mm, 4)}, cutting.Options{}, 2, true},
		"not turned":    {cutting.Sheet{Width: 600 * mm, Depth: 400 * mm}, []cutting.Piece{cutting.Rectangle("r", 400*mm, 300*mm, 4)}, cutting.Options{Fixed: true}, 4, true},
		"kerf counts":   {cutting.Sheet{Width: 600 * mm, Depth: 400 * mm, Kerf: 1 * mm}, []cutting.Piece{cutting.Rectangle("r", 300*mm, 400*mm, 4)}, cutting.Options{}, 4, true},
		"pinwheel":      {cutting.Sheet{Width: 300 * mm, Depth: 300 * mm}, []cutting.Piece{cutting.Rectangle("r", 170*mm, 130*mm, 4)}, cutting.Options{}, 2, false},
		"pinwheel now":  {cutting.Sheet{Width: 300 * mm, Depth: 300 * mm}, []cutting.Piece{cutting.Rectangle("r", 170*mm, 130*mm, 4)}, cutting.Options{Free: true}, 1, true},
		"seven in one":  {cutting.Cake(300*mm, 0, 0), []cutting.Piece{cutting.Disc("d", 100*mm, 7)}, cutting.Options{}, 1, true},
		"square inside": {cutting.Cake(300*mm, 0, 0), []cutting.Piece{cutting.Rectangle("r", 210*mm, 210*mm, 2)}, cutting.Options{}, 2, true},
	} {
		l, err := cutting.Lay(t.Context(), c.sheet, c.pieces, c.o)
		if err != nil || len(l.Sheets) != c.want || l.Proven() != c.proven || l.EdgeToEdge() == (name == "pinwheel now" || name == "hexagonal" || name == "seven in one" || name == "square inside") {
			t.Errorf("%s: %d sheets, bound %d (%v), want %d, proven %v", name, len(l.Sheets), l.Least, err, c.want, c.proven)
		}
		if list := cutting.Check(l); len(list) > 0 {
			t.Errorf("%s: %v", name, list)
		}
	}
}
