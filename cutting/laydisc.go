package cutting

import (
	"cmp"
	"math"
	"slices"

	"chablon/unit"
)

// nested lays discs of one or more diameters, as many of each piece as left says.
func (y *layer) nested(left []int) []laid {
	left = slices.Clone(left)
	var kinds []int
	total := 0
	for k, n := range left {
		if n > 0 {
			kinds = append(kinds, k)
			total += n
		}
	}
	if d := y.oneDiameter(kinds); d > 0 {
		return y.equal(kinds, left, d, total)
	}
	var out []laid
	if y.many(left) {
		for _, k := range kinds {
			out = append(out, y.equal([]int{k}, left, float64(y.pieces[k].Width)+y.kerf, left[k])...)
		}
		return out
	}
	for work := y.o.Work / 2; total > 0; work /= 2 {
		cuts := y.fillArena(y.arena(), left, work)
		if len(cuts) == 0 {
			return nil
		}
		next := repeated(cuts, left)
		total -= next.sheets * len(cuts)
		out = append(out, next)
	}
	return out
}

// repeated cuts as many sheets alike as the pieces left allow, and takes them off.
func repeated(cuts []Cut, left []int) laid {
	take := make([]int, len(left))
	for _, c := range cuts {
		take[c.Piece]++
	}
	sheets := math.MaxInt
	for k, n := range take {
		if n > 0 {
			sheets = min(sheets, left[k]/n)
		}
	}
	for k, n := range take {
		left[k] -= n * sheets
	}
	return laid{cuts: cuts, sheets: sheets}
}

// mostMixed bounds how many discs of several diameters one sheet is filled with; beyond it, each
// diameter has its own sheets.
const mostMixed = 100

// many reports whether a sheet may take more discs than are mixed.
func (y *layer) many(left []int) bool {
	n, area := 0, 0.0
	for k, p := range y.pieces {
		d := float64(p.Width) + y.kerf
		n += left[k]
		area += float64(left[k]) * d * d
	}
	return n > mostMixed && float64(n)*y.w*y.d > mostMixed*area
}

// sameSize is the difference, in metres, below which two measures are one.
const sameSize = float64(slack)

// oneDiameter returns the diameter, kerf included, that all kinds share, or zero.
func (y *layer) oneDiameter(kinds []int) float64 {
	d := float64(y.pieces[kinds[0]].Width)
	for _, k := range kinds {
		if math.Abs(float64(y.pieces[k].Width)-d) > sameSize {
			return 0
		}
	}
	return d + y.kerf
}

// equal lays discs of one diameter. It searches for a denser sheet than rows give only where
// that saves a sheet.
func (y *layer) equal(kinds, left []int, d float64, total int) []laid {
	a := y.arena()
	full := a.rows(d, total)
	each := len(full) / 2
	if each == 0 { // what just fits, fits
		full, each = []float64{a.w / 2, y.d / 2}, 1
	}
	most, work := a.mostDiscs(d), y.o.Work
	for each < most {
		// The least number on a sheet that saves one.
		want := (total-1)/((total+each-1)/each-1+boolInt(total <= each)) + 1
		if total <= each || want > most {
			break
		}
		if !searched(want, work) {
			break
		}
		xy, ok := a.pack(y.ctx, d, want, &work, y.rng)
		if !ok {
			break
		}
		full, each = xy, want
	}
	var out []laid
	next := 0 // kind of which discs are taken
	for total > 0 {
		n := min(each, total)
		xy := full
		if n < each {
			if r := a.rows(d, n); len(r) == 2*n {
				xy = r
			}
		}
		l := laid{sheets: 1}
		for i := range n {
			for left[kinds[next]] == 0 {
				next++
			}
			left[kinds[next]]--
			l.cuts = append(l.cuts, y.discCut(kinds[next], xy[2*i], xy[2*i+1]))
		}
		total -= n
		if more := left[kinds[next]] / each; n == each && more > 0 && uniform(l.cuts) {
			l.sheets += more
			left[kinds[next]] -= more * each
			total -= more * each
		}
		out = append(out, l)
	}
	return out
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

func uniform(cuts []Cut) bool {
	return !slices.ContainsFunc(cuts, func(c Cut) bool { return c.Piece != cuts[0].Piece })
}

// discCut returns a disc round a centre in the arena, which is wider than the usable sheet by
// half a kerf on all sides.
func (y *layer) discCut(piece int, cx, cy float64) Cut {
	d := y.pieces[piece].Width
	off := float64(y.sheet.Edge) - y.kerf/2 - float64(d)/2
	return Cut{Piece: piece, X: unit.Length(cx + off), Y: unit.Length(cy + off), Width: d, Height: d}
}

// fillArena lays as much area of discs as it finds in one arena; left is not changed.
func (y *layer) fillArena(a arena, left []int, work int) []Cut {
	// Pieces of one diameter are one kind of disc.
	var diameters []float64
	var counts []int
	for k, p := range y.pieces {
		d := float64(p.Width) + y.kerf
		if left[k] == 0 || d > min(a.w, a.height())+touch*d {
			continue
		}
		i := slices.IndexFunc(diameters, func(v float64) bool { return math.Abs(v-d) <= sameSize })
		if i < 0 {
			i, diameters, counts = len(diameters), append(diameters, d), append(counts, 0)
		}
		counts[i] += left[k]
	}
	var discs []disc
	switch len(diameters) {
	case 0:
		return nil
	case 1:
		d := diameters[0]
		for xy := a.nest(y.ctx, d, counts[0], work, y.rng); len(xy) > 0; xy = xy[2:] {
			discs = append(discs, disc{xy[0], xy[1], d / 2, 0})
		}
	default:
		m := &mixer{arena: a, diameters: diameters}
		discs = m.fill(y.ctx, counts, 200, work, y.rng)
	}
	slices.SortFunc(discs, func(a, b disc) int {
		return cmp.Or(cmp.Compare(b.r, a.r), cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x))
	})
	todo := slices.Clone(left)
	var out []Cut
	for _, d := range discs {
		k := slices.IndexFunc(y.pieces, func(p Piece) bool { return p.Round && math.Abs(float64(p.Width)+y.kerf-2*d.r) <= sameSize })
		for todo[k] == 0 || math.Abs(float64(y.pieces[k].Width)+y.kerf-2*d.r) > sameSize || !y.pieces[k].Round {
			k++
		}
		todo[k]--
		out = append(out, y.discCut(k, d.x, d.y))
	}
	return out
}

// inRoundApart lays discs and others on cakes of their own.
func (y *layer) inRoundApart() []laid {
	discs, others := slices.Clone(y.counts), slices.Clone(y.counts)
	for k, p := range y.pieces {
		if p.Round {
			others[k] = 0
		} else {
			discs[k] = 0
		}
	}
	rows := y.inRound(others)
	if slices.Max(discs) == 0 || rows == nil {
		return rows
	}
	return append(rows, y.nested(discs)...)
}

// inRound lays pieces of any kind in rows across a round cake, discs in their bounding squares.
// It returns nil where one does not fit so.
func (y *layer) inRound(counts []int) []laid {
	left := slices.Clone(counts)
	total := 0
	for _, n := range left {
		total += n
	}
	var out []laid
	for total > 0 {
		cuts := y.rowsInRound(left)
		if len(cuts) == 0 {
			return nil
		}
		next := repeated(cuts, left)
		total -= next.sheets * len(cuts)
		out = append(out, next)
	}
	return out
}

// startsInRound is how many heights of the lowest row are tried.
const startsInRound = 48

// rowsInRound returns the rows of greatest area: each as high as the piece that opens it, which
// is the next by height or by area, from a lowest row at each of several heights.
func (y *layer) rowsInRound(left []int) []Cut {
	radius := (y.w - y.kerf) / 2
	var best []Cut
	most := 0.0
	order := make([]int, len(y.pieces))
	for k := range order {
		order[k] = k
	}
	for rule := range 2 {
		slices.SortStableFunc(order, func(a, b int) int {
			pa, pb := y.pieces[a], y.pieces[b]
			if rule == 0 {
				return cmp.Compare(pb.Width*pb.Height, pa.Width*pa.Height)
			}
			return cmp.Compare(min(pb.Width, pb.Height), min(pa.Width, pa.Height))
		})
		for upright := range 2 {
			for start := range startsInRound {
				cuts, area := y.rowsFrom(order, left, radius, -radius*(1-float64(start)/startsInRound), upright == 1)
				if area > most*(1+1e-12) {
					best, most = cuts, area
				}
			}
			for _, p := range y.pieces { // one row just through the middle, for what just fits
				for _, h := range [2]float64{float64(p.Width), float64(p.Height)} {
					if cuts, area := y.rowsFrom(order, left, radius, -h/2, upright == 1); area > most*(1+1e-12) {
						best, most = cuts, area
					}
				}
			}
		}
	}
	return best
}

func (y *layer) rowsFrom(order, left []int, radius, low float64, upright bool) (cuts []Cut, area float64) {
	todo := slices.Clone(left)
	middle := float64(y.sheet.Edge) + radius
	for y0 := low; y0 < radius; {
		opened := 0.0
		x, end := 0.0, 0.0
		for {
			placed := false
			for _, k := range order {
				p := y.pieces[k]
				w, h := float64(p.Width), float64(p.Height)
				if !y.o.Fixed && (h > w) != upright {
					w, h = h, w
				}
				if todo[k] == 0 || (opened > 0 && h > opened+sameSize) {
					continue
				}
				if opened == 0 {
					far := max(math.Abs(y0), math.Abs(y0+h))
					half := radius*radius - far*far
					if half < -sameSize*radius || w > 2*math.Sqrt(max(half, 0))+sameSize {
						continue
					}
					half = math.Sqrt(max(half, 0))
					opened, x, end = h, -half, half
					if w > 2*half {
						x = -w / 2
					}
				} else if x+w > end+sameSize/8 {
					continue
				}
				todo[k]--
				cuts = append(cuts, Cut{k, unit.Length(middle + x), unit.Length(middle + y0), unit.Length(w), unit.Length(h), !p.Round && w != float64(p.Width)})
				area += w * h
				x += w + y.kerf
				placed = true
				break
			}
			if !placed {
				break
			}
		}
		if opened == 0 {
			y0 += radius / startsInRound
			continue
		}
		y0 += opened + y.kerf
	}
	return cuts, area
}
