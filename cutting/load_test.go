package cutting_test

import (
	"testing"

	"chablon/cutting"
	"chablon/unit"
)

// A very large order is laid with the same bounded search: patterns are repeated, what would be
// slow is done in rows. The test is that it ends, soundly, in the time of the suite.
func TestLayOfVeryMany(t *testing.T) {
	sheet := cutting.Sheet{Width: 600 * mm, Depth: 400 * mm, Edge: 8 * mm, Kerf: 2 * mm}
	small, large := cutting.Rectangle("finger", 120*mm, 25*mm, 5000), cutting.Rectangle("slab", 290*mm, 110*mm, 2000)
	disc, petit := cutting.Disc("base", 160*mm, 1500), cutting.Disc("petit four", 30*mm, 20_000)
	for name, pieces := range map[string][]cutting.Piece{
		"rectangles": {small, large}, "discs": {disc}, "small discs": {petit}, "both": {disc, petit}, "all": {small, large, disc, petit},
	} {
		for _, s := range []cutting.Sheet{sheet, cutting.Cake(600*mm, 8*mm, 2*mm)} {
			l, err := cutting.Lay(t.Context(), s, pieces, cutting.Options{Free: name == "all"})
			if err != nil || len(l.Sheets) == 0 {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	var kinds []cutting.Piece
	for i := range 60 {
		kinds = append(kinds, cutting.Disc("disc", unit.Length(40+2*i)*mm, 3+i%4))
	}
	if _, err := cutting.Lay(t.Context(), sheet, kinds, cutting.Options{}); err != nil {
		t.Error(err)
	}
}
