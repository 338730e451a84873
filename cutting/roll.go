package cutting

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"chablon/unit"
)

// mostRolled bounds how many pieces Roll lays.
const mostRolled = 4000

// Roll lays all pieces on one sheet of the given width and of the least depth that it finds: how
// far to spread, or how much to unroll. sheet.Depth is not read; that of the layout is what is
// needed, edges included. least is a depth that no layout can beat. Discs count as their
// bounding squares. Unless Options.Free is set, straight cuts from edge to edge part the pieces.
//
// It returns an error as Lay does where a piece is wider than the sheet, and for more than 4000
// pieces.
func Roll(ctx context.Context, sheet Sheet, pieces []Piece, o Options) (l Layout, least unit.Length, err error) {
	sheet.Round, sheet.Depth = false, mostLength
	if err := validate(sheet, pieces, o.Fixed); err != nil {
		return Layout{Sheet: sheet, Pieces: pieces}, 0, err
	}
	y := &layer{sheet: sheet, pieces: pieces, o: o, ctx: ctx, rng: rand.New(rand.NewPCG(o.Seed, 0x5eed))}
	y.measure()
	if y.o.Work <= 0 {
		y.o.Work = Interactive
	}
	p := y.packing(func(Piece) bool { return true })
	r := rolled{w: p.w, turn: p.turn}
	var kinds []int
	for k, q := range p.kinds {
		for range q.count {
			r.rect = append(r.rect, [2]int{q.w, q.h})
			kinds = append(kinds, k)
		}
	}
	if len(kinds) > mostRolled {
		return Layout{Sheet: sheet, Pieces: pieces}, 0, tooMany(len(kinds))
	}
	bound := r.bound()
	var spots []spot
	depth := 0
	if len(kinds) > 0 && o.Free {
		spots, depth, y.stopped = r.solve(ctx, bound, y.o.Work, y.rng)
		for i := range spots {
			spots[i].kind = kinds[spots[i].kind]
		}
	} else if len(kinds) > 0 {
		spots, depth, y.stopped = p.roll(ctx, bound, y.o.Work, y.rng)
	}
	p.h = depth
	y.sheet.Depth = 2*sheet.Edge + max(0, unit.Length(float64(depth)*step)-sheet.Kerf)
	y.least = min(1, len(kinds))
	var plan []laid
	if len(spots) > 0 {
		plan = []laid{y.cutsOf(p, pattern{spots: spots, sheets: 1})}
	}
	l = y.layout(plan)
	if fault := Check(l); len(fault) > 0 {
		return l, 0, unsound{fault[0].Reason}
	}
	return l, 2*sheet.Edge + max(0, unit.Length(float64(bound)*step)-sheet.Kerf), nil
}

// roll lays all rectangles in stages on the least depth that it finds: rows filled in orders
// that change, the best kept.
func (p *packing) roll(ctx context.Context, least, work int, rng *rand.Rand) (spots []spot, depth int, stopped bool) {
	s := &search{filler: filler{packing: p, left: make([]int, len(p.kinds))}, rng: rng, limit: work}
	s.factor, s.key, s.take = make([]float64, len(p.kinds)), make([]float64, len(p.kinds)), make([]int, len(p.kinds))
	p.h = math.MaxInt / 4
	for k, q := range p.kinds {
		s.left[k], s.factor[k] = q.count, 1
		if q.count > 0 {
			s.order = append(s.order, k)
		}
	}
	depth = math.MaxInt
	for try := 0; depth > least && (try == 0 || s.work < work); try++ {
		if ctx.Err() != nil && try > 0 {
			return spots, depth, true
		}
		s.rank(try, s.order[0])
		s.look = 1
		if try >= 4 {
			s.look += rng.IntN(mostLook)
		}
		s.spots = s.stages(s.order, try/2%2 == 1, s.take, s.spots[:0])
		end := 0
		for _, sp := range s.spots {
			end = max(end, sp.y+sp.h)
		}
		if end < depth {
			depth, spots = end, slices.Clone(s.spots)
		}
	}
	return spots, depth, false
}
