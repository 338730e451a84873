package cutting

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"chablon/unit"
)

// Lay lays the pieces on as few sheets as it finds within Options.Work. Discs alone are nested;
// rectangles are laid by the rules of the options; where both are wanted, it takes the better of
// discs in their bounding squares among the rectangles, and of rectangles first and discs nested
// in what is left beside them.
//
// It returns an error naming the piece, its size and the usable size where a piece does not fit
// or a measure is not one; never a layout that Check finds fault with.
//
// Pieces that may be joined are joined from offcuts as far as these go, where that saves a sheet.
func Lay(ctx context.Context, sheet Sheet, pieces []Piece, o Options) (Layout, error) {
	whole, err := layWhole(ctx, sheet, pieces, o)
	if err != nil || !slices.ContainsFunc(pieces, func(p Piece) bool { return p.Joined && p.Count > 0 }) {
		return whole, err
	}
	return joinSome(ctx, whole, o), nil
}

// layWhole lays all pieces in one piece each.
func layWhole(ctx context.Context, sheet Sheet, pieces []Piece, o Options) (Layout, error) {
	if err := validate(sheet, pieces, o.Fixed); err != nil {
		return Layout{Sheet: sheet, Pieces: pieces}, err
	}
	if o.Work <= 0 {
		o.Work = Interactive
	}
	y := &layer{sheet: sheet, pieces: pieces, o: o, ctx: ctx, rng: rand.New(rand.NewPCG(o.Seed, 0x5eed))}
	y.measure()
	y.least = y.bound()
	var best []laid
	for _, method := range y.methods() {
		if plan := method(); plan != nil && (best == nil || sheetsOf(plan) < sheetsOf(best)) {
			best = plan
		}
		if best != nil && sheetsOf(best) <= y.least {
			break
		}
	}
	out := y.layout(best)
	if fault := Check(out); len(fault) > 0 && !sheet.Round && !o.Fixed {
		return Shelves(sheet, pieces)
	} else if len(fault) > 0 {
		return out, unsound{fault[0].Reason}
	}
	return out, nil
}

// unsound is the error for a layout that broke its own rules: a fault of this package.
type unsound struct{ reason string }

func (u unsound) Error() string {
	return "the search made a layout that breaks the rules (" + u.reason + "): lay the pieces out with another seed"
}

// laid is one way to cut a sheet and on how many sheets it is used.
type laid struct {
	cuts    []Cut
	strokes []Stroke
	sheets  int
}

func sheetsOf(plan []laid) int {
	n := 0
	for _, l := range plan {
		n += l.sheets
	}
	return n
}

// layer is the state of Lay.
type layer struct {
	sheet    Sheet
	pieces   []Piece
	o        Options
	ctx      context.Context
	rng      *rand.Rand
	least    int
	w, d     float64 // usable size, kerf included
	kerf     float64
	counts   []int
	round    bool // there are discs,
	straight bool // and others
	stopped  bool
}

func (y *layer) measure() {
	w, d := y.sheet.usable()
	y.kerf = float64(y.sheet.Kerf)
	y.w, y.d = float64(w)+y.kerf, float64(d)+y.kerf
	y.counts = make([]int, len(y.pieces))
	for i, p := range y.pieces {
		y.counts[i] = p.Count
		if p.Count > 0 {
			y.round = y.round || p.Round
			y.straight = y.straight || !p.Round
		}
	}
}

func (y *layer) methods() []func() []laid {
	switch {
	case !y.round && !y.straight:
		return nil
	case !y.straight:
		return []func() []laid{func() []laid { return y.nested(y.counts) }}
	case y.sheet.Round:
		return []func() []laid{y.inRoundApart, func() []laid { return y.inRound(y.counts) }}
	case !y.round:
		return []func() []laid{func() []laid {
			if plan := y.inLine(); plan != nil {
				return plan
			}
			return y.boxes()
		}}
	}
	y.o.Work /= 2 // for each of two ways
	return []func() []laid{y.beside, y.boxes}
}

// layout turns a plan into a layout.
func (y *layer) layout(plan []laid) Layout {
	out := Layout{Sheet: y.sheet, Pieces: y.pieces, Taken: taken(y.pieces), Least: y.least, Stopped: y.stopped}
	for _, l := range plan {
		for range l.sheets {
			out.Sheets = append(out.Sheets, l.cuts)
			out.Strokes = append(out.Strokes, l.strokes)
		}
	}
	out.Trimmings = y.sheet.Area()*unit.Area(len(out.Sheets)) - out.Taken
	return out
}

// step is the grid on which rectangles are laid, in metres: far below what Check tells apart, and
// a hundred metres of it can be counted.
const step = 1e-11

func grid(v float64) int { return int(math.Round(v / step)) }

// packing returns the problem of the pieces that are to be laid as rectangles.
func (y *layer) packing(include func(Piece) bool) *packing {
	p := &packing{w: grid(y.w), h: grid(y.d), turn: !y.o.Fixed, free: y.o.Free, down: true}
	for _, q := range y.pieces {
		k := kind{w: grid(float64(q.Width) + y.kerf), h: grid(float64(q.Height) + y.kerf), count: q.Count}
		if !include(q) {
			k.count = 0
		}
		// What the check of the sizes let pass by rounding.
		over := grid(1.1 * float64(slack))
		if k.w <= p.w+over && k.h <= p.h+over {
			k.w, k.h = min(k.w, p.w), min(k.h, p.h)
		} else if k.h <= p.w+over && k.w <= p.h+over {
			k.h, k.w = min(k.h, p.w), min(k.w, p.h)
		}
		p.kinds = append(p.kinds, k)
	}
	return p
}

// boxes lays all pieces as rectangles.
func (y *layer) boxes() []laid {
	p := y.packing(func(Piece) bool { return true })
	patterns, stopped := p.solve(y.ctx, y.least, y.o.Work, y.rng)
	y.stopped = y.stopped || stopped
	var out []laid
	for _, pat := range patterns {
		out = append(out, y.cutsOf(p, pat))
	}
	return out
}

// cutsOf turns a pattern on the grid into cuts, and strokes where they exist.
func (y *layer) cutsOf(p *packing, pat pattern) laid {
	out := laid{sheets: pat.sheets}
	at := func(v int) unit.Length { return y.sheet.Edge + unit.Length(float64(v)*step) }
	for _, s := range pat.spots {
		q := y.pieces[s.kind]
		w, h := q.Width, q.Height
		turned := !q.Round && s.w != p.kinds[s.kind].w
		if turned {
			w, h = h, w
		}
		out.cuts = append(out.cuts, Cut{s.kind, at(s.x), at(s.y), w, h, turned})
	}
	edges, ok := strokes(hole{0, 0, p.w, p.h}, pat.spots)
	if !ok {
		return out
	}
	// A stroke lies at the side of the piece that it parts, before the kerf that it takes.
	kerf := grid(y.kerf)
	out.strokes = []Stroke{}
	for _, e := range edges {
		st := Stroke{at(e.x1), at(e.y1), at(e.x2), at(e.y2), e.stage}
		if e.x1 == e.x2 {
			st.X1 = at(e.x1 - kerf)
			st.X2, st.Y2 = st.X1, at(e.y2-kerf)
		} else {
			st.Y1 = at(e.y1 - kerf)
			st.Y2, st.X2 = st.Y1, at(e.x2-kerf)
		}
		out.strokes = append(out.strokes, st)
	}
	return out
}

// bound returns a number of sheets that no layout under the rules can beat.
func (y *layer) bound() int {
	total := float64(taken(y.pieces))
	w, d := y.sheet.usable()
	area := float64(w) * float64(d)
	if y.sheet.Round {
		area *= math.Pi / 4
	}
	least := int(math.Ceil(total/area - 1e-9))
	if y.straight && !y.sheet.Round {
		least = max(least, y.packing(func(p Piece) bool { return !p.Round }).bound())
	}
	if y.round {
		least = max(least, y.discBound())
	}
	return least
}

// discBound counts all discs of some diameter or more as of that diameter.
func (y *layer) discBound() int {
	least := 0
	for _, p := range y.pieces {
		if !p.Round || p.Count == 0 {
			continue
		}
		n := 0
		for _, q := range y.pieces {
			if q.Round && q.Width >= p.Width {
				n += q.Count
			}
		}
		if most := y.arena().mostDiscs(float64(p.Width) + y.kerf); most > 0 {
			least = max(least, (n+most-1)/most)
		}
	}
	return least
}

// arena returns the usable sheet with the kerf, for discs with the kerf.
func (y *layer) arena() arena { return arena{y.w, y.d, y.sheet.Round} }

// beside lays rectangles first, and nests discs in what is left beside them.
func (y *layer) beside() []laid {
	p := y.packing(func(q Piece) bool { return !q.Round })
	patterns, stopped := p.solve(y.ctx, p.bound(), y.o.Work/2, y.rng)
	y.stopped = y.stopped || stopped
	left := make([]int, len(y.counts))
	for i, q := range y.pieces {
		if q.Round {
			left[i] = q.Count
		}
	}
	var out []laid
	for _, pat := range patterns {
		for range pat.sheets {
			one := pat
			one.sheets = 1
			l := y.cutsOf(p, one)
			if slices.Max(left) > 0 && len(out) < mostRests {
				if cuts := y.rest(p, pat, left); len(cuts) > 0 {
					l.cuts, l.strokes = append(slices.Clone(l.cuts), cuts...), nil
				}
			}
			out = append(out, l)
		}
	}
	if slices.Max(left) > 0 {
		out = append(out, y.nested(left)...)
	}
	return out
}

// mostRests bounds on how many sheets discs are nested beside rectangles.
const mostRests = 24

// rest nests discs in the wider of the bands above and to the right of the rectangles, and takes
// them from left.
func (y *layer) rest(p *packing, pat pattern, left []int) []Cut {
	right, top := 0, 0
	for _, s := range pat.spots {
		right, top = max(right, s.x+s.w), max(top, s.y+s.h)
	}
	x, up := 0.0, float64(top)*step
	a := arena{w: y.w, h: y.d - up}
	if float64(p.w-right)*float64(p.h) > float64(p.h-top)*float64(p.w) {
		x, up = float64(right)*step, 0
		a = arena{w: y.w - x, h: y.d}
	}
	cuts := y.fillArena(a, left, y.o.Work/2/mostRests)
	for i := range cuts {
		cuts[i].X += unit.Length(x)
		cuts[i].Y += unit.Length(up)
		left[cuts[i].Piece]--
	}
	return cuts
}

// EdgeToEdge reports whether straight cuts from edge to edge part all pieces of all sheets.
func (l Layout) EdgeToEdge() bool {
	return len(l.Strokes) == len(l.Sheets) && !slices.ContainsFunc(l.Strokes, func(s []Stroke) bool { return s == nil })
}
