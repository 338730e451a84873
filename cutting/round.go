package cutting

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"chablon/unit"
)

// Largest lays n equal discs of the greatest diameter that it finds on one sheet or round cake.
// It returns an error where n is not 1 to 200, or where the kerf leaves nothing of a disc.
func Largest(ctx context.Context, sheet Sheet, n int, o Options) (Layout, error) {
	if err := validate(sheet, nil, false); err != nil {
		return Layout{Sheet: sheet}, err
	}
	if n < 1 || n > mostLargest {
		return Layout{Sheet: sheet}, fmt.Errorf("%d discs are to be as large as they can: ask for 1 to %d", n, mostLargest)
	}
	y := discLayer(ctx, sheet, o)
	work := y.o.Work
	xy, r := y.arena().spread(ctx, n, math.Inf(1), &work, y.rng)
	d := 2*r - y.kerf
	if !(d > 0) {
		return Layout{Sheet: sheet}, fmt.Errorf("a cut of %s leaves nothing of %d discs on this sheet: take fewer", sheet.Kerf.Show(), n)
	}
	return y.discs(unit.Length(d), xy)
}

// Most lays as many discs of a diameter as it finds room for on one sheet or round cake. bound is
// a number that no layout can exceed. The errors are those of Lay.
func Most(ctx context.Context, sheet Sheet, diameter unit.Length, o Options) (l Layout, bound int, err error) {
	if err := validate(sheet, []Piece{Disc("a disc", diameter, 1)}, false); err != nil {
		return Layout{Sheet: sheet}, 0, err
	}
	y := discLayer(ctx, sheet, o)
	a, d := y.arena(), float64(diameter)+y.kerf
	bound = a.mostDiscs(d)
	if bound > mostPieces {
		return Layout{Sheet: sheet}, bound, fmt.Errorf("discs of %s are to be cut by the hundred thousand: at most %d pieces can be laid out", diameter.Show(), mostPieces)
	}
	xy := a.nest(ctx, d, bound, y.o.Work, y.rng)
	if len(xy) == 0 { // what just fits, fits
		xy = []float64{a.w / 2, a.h / 2}
	}
	l, err = y.discs(diameter, xy)
	return l, max(bound, len(xy)/2), err
}

// mostLargest bounds how many discs Largest lays: beyond it rows are as good.
const mostLargest = 200

func discLayer(ctx context.Context, sheet Sheet, o Options) *layer {
	if o.Work <= 0 {
		o.Work = Interactive
	}
	y := &layer{sheet: sheet, o: o, ctx: ctx, rng: rand.New(rand.NewPCG(o.Seed, 0x5eed))}
	y.measure()
	return y
}

// discs returns the layout of one sheet of discs round the centres.
func (y *layer) discs(d unit.Length, xy []float64) (Layout, error) {
	y.pieces = []Piece{Disc("disc", d, len(xy)/2)}
	y.least = 1
	one := laid{sheets: 1}
	for i := 0; i < len(xy); i += 2 {
		one.cuts = append(one.cuts, y.discCut(0, xy[i], xy[i+1]))
	}
	l := y.layout([]laid{one})
	l.Stopped = y.ctx.Err() != nil
	if fault := Check(l); len(fault) > 0 {
		return l, unsound{fault[0].Reason}
	}
	return l, nil
}
