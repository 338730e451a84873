package cutting

import (
	"math"

	"chablon/unit"
)

// lattices lays discs of one size set into each other's gaps, where that takes fewer sheets than
// rectangles: straight rows, rows set into gaps along either side, and for few discs on a sheet the
// improving packer.
func (l *Layout) lattices(w, d, kerf float64, o Options) {
	kind := -1
	for i, p := range l.Pieces {
		if p.Count == 0 {
			continue
		}
		if kind >= 0 && p.Width != l.Pieces[kind].Width {
			return // several sizes: as rectangles
		}
		if kind < 0 {
			kind = i
		}
	}
	if kind < 0 {
		return
	}
	size := float64(l.Pieces[kind].Width) + kerf
	best := MostDiscs(w+kerf, d+kerf, size, o.Work, o.Seed)
	total := 0
	for _, p := range l.Pieces {
		total += p.Count
	}
	if len(best) == 0 || (total+len(best)-1)/len(best) >= len(l.Sheets) {
		return
	}
	l.Sheets, l.Least = nil, 0
	l.spreadDiscs(best, size, kerf)
}

// spreadDiscs lays all round pieces on the places of one sheet, sheet after sheet.
func (l *Layout) spreadDiscs(places [][2]float64, size, kerf float64) {
	next := 0
	for i, p := range l.Pieces {
		for range p.Count {
			if next%len(places) == 0 {
				l.Sheets = append(l.Sheets, nil)
			}
			at := places[next%len(places)]
			half := (size - kerf) / 2
			cut := Cut{Piece: i, X: unit.Length(at[0]-kerf/2-half) + l.Sheet.Edge, Y: unit.Length(at[1]-kerf/2-half) + l.Sheet.Edge, Width: p.Width, Height: p.Height}
			l.Sheets[len(l.Sheets)-1] = append(l.Sheets[len(l.Sheets)-1], cut)
			next++
		}
	}
}

// MostDiscs returns the middles of as many discs of a diameter as it fits into a rectangle: the
// best of the lattices, and, as long as there are few, of the improving packer within some work.
func MostDiscs(w, h, diameter float64, work int, seed uint64) [][2]float64 {
	if !(diameter > 0) || diameter > min(w, h)+slack {
		return nil
	}
	best := squareRows(w, h, diameter)
	for _, flip := range []bool{false, true} {
		a, b := w, h
		if flip {
			a, b = h, w
		}
		for _, p := range [][][2]float64{hexRows(a, b, diameter), looseRows(a, b, diameter)} {
			if len(p) > len(best) {
				if flip {
					for i := range p {
						p[i][0], p[i][1] = p[i][1], p[i][0]
					}
				}
				best = p
			}
		}
	}
	const few = 40
	for len(best) < few && work > 1 {
		n := len(best) + 1
		if float64(n)*math.Pi/4*diameter*diameter > 0.9069*w*h*1.35 { // denser than any packing near a wall
			break
		}
		p, r := Circles(n, w, h, max(6, min(work, 300)/5), seed)
		if 2*r < diameter*(1-1e-9) {
			break
		}
		best = p
	}
	return best
}

func squareRows(w, h, d float64) [][2]float64 {
	var p [][2]float64
	for y := d / 2; y+d/2 <= h+slack; y += d {
		for x := d / 2; x+d/2 <= w+slack; x += d {
			p = append(p, [2]float64{x, y})
		}
	}
	return p
}

// hexRows are rows along the width, each set half a disc aside and into the gaps of the one before.
func hexRows(w, h, d float64) [][2]float64 {
	var p [][2]float64
	row := 0
	for y := d / 2; y+d/2 <= h+slack; y += d * math.Sqrt(3) / 2 {
		x := d / 2
		if row%2 == 1 {
			x = d
		}
		for ; x+d/2 <= w+slack; x += d {
			p = append(p, [2]float64{x, y})
		}
		row++
	}
	return p
}

// looseRows are rows of as many discs as the width takes, moved apart so that every second row has
// as many too and sinks as deep as the gaps let it.
func looseRows(w, h, d float64) [][2]float64 {
	n := int(w/d + slack)
	if n < 1 {
		return nil
	}
	var best [][2]float64
	for _, k := range []int{n, n - 1} {
		if k < 1 {
			continue
		}
		pitch := (w - d) / (float64(k) - 0.5)
		if k == 1 {
			pitch = 2 * (w - d)
		}
		if pitch < d-slack && k > 1 {
			continue
		}
		rise := d
		if half := pitch / 2; half < d {
			rise = math.Sqrt(d*d - half*half)
		} else {
			rise = 0
		}
		if k > 1 && rise < d/2 {
			rise = max(rise, math.Sqrt(max(0, d*d-pitch*pitch/4)))
		}
		rise = max(rise, d/2) // the row after the next stands over this one
		var p [][2]float64
		row := 0
		for y := d / 2; y+d/2 <= h+slack; y += rise {
			x := d / 2
			if row%2 == 1 {
				x += pitch / 2
			}
			for i := range k {
				p = append(p, [2]float64{x + float64(i)*pitch, y})
			}
			row++
		}
		if len(p) > len(best) && apart(p, d) {
			best = p
		}
	}
	return best
}

// apart reports whether all middles are a diameter from each other.
func apart(p [][2]float64, d float64) bool {
	for i := range p {
		for j := max(0, i-200); j < i; j++ {
			if math.Hypot(p[i][0]-p[j][0], p[i][1]-p[j][1]) < d-slack {
				return false
			}
		}
	}
	return true
}

// cake lays pieces on round cakes: discs of one size as many as fit one cake, anything else one
// after another where a grid of places finds room.
func (l *Layout) cake(o Options) {
	radius := float64(l.Sheet.Width)/2 - float64(l.Sheet.Edge)
	kerf := float64(l.Sheet.Kerf)
	centre := float64(l.Sheet.Width) / 2
	one, same := -1, true
	for i, p := range l.Pieces {
		if p.Count == 0 {
			continue
		}
		same = same && p.Round && (one < 0 || p.Width == l.Pieces[one].Width)
		if one < 0 {
			one = i
		}
	}
	if one < 0 {
		return
	}
	if same {
		places := discsInCircle(radius+kerf/2, (float64(l.Pieces[one].Width)+kerf)/2, o)
		next := 0
		for i, p := range l.Pieces {
			for range p.Count {
				if next%len(places) == 0 {
					l.Sheets = append(l.Sheets, nil)
				}
				at := places[next%len(places)]
				l.Sheets[len(l.Sheets)-1] = append(l.Sheets[len(l.Sheets)-1], Cut{Piece: i, X: unit.Length(centre+at[0]) - p.Width/2, Y: unit.Length(centre+at[1]) - p.Height/2, Width: p.Width, Height: p.Height})
				next++
			}
		}
		return
	}
	// Rectangles: those of the largest square and the segments beside it, as rows across the cake.
	for i, p := range l.Pieces {
		for range p.Count {
			if !l.onCake(i, p, radius, kerf) {
				l.Sheets = append(l.Sheets, nil)
				l.onCake(i, p, radius, kerf)
			}
		}
	}
}

// discsInCircle returns the middles of as many circles of radius r as it fits into one of radius R.
func discsInCircle(big, r float64, o Options) [][2]float64 {
	best := [][2]float64{{0, 0}}
	for n := 2; n <= 37; n++ {
		if float64(n)*r*r > 0.9069*big*big {
			break
		}
		p, found := CirclesInCircle(n, big, max(6, min(o.Work, 300)/5), o.Seed)
		if found < r*(1-1e-9) {
			if n > len(best)+2 { // some numbers pack worse than the next
				break
			}
			continue
		}
		best = p
	}
	return best
}

// onCake places one piece on the last cake where it first finds room on a grid.
func (l *Layout) onCake(i int, p Piece, radius, kerf float64) bool {
	if len(l.Sheets) == 0 {
		return false
	}
	centre := float64(l.Sheet.Width) / 2
	last := len(l.Sheets) - 1
	w, h := float64(p.Width), float64(p.Height)
	const steps = 80
	for _, turned := range []bool{false, true} {
		if turned {
			if p.Round || w == h {
				break
			}
			w, h = h, w
		}
		for a := range steps + 1 {
			for b := range steps + 1 {
				x, y := centre-radius+float64(b)*(2*radius-w)/steps, centre-radius+float64(a)*(2*radius-h)/steps
				dx, dy := math.Abs(x+w/2-centre), math.Abs(y+h/2-centre)
				far := math.Hypot(dx+w/2, dy+h/2)
				if p.Round {
					far = math.Hypot(dx, dy) + w/2
				}
				if far > radius+slack {
					continue
				}
				free := true
				for _, c := range l.Sheets[last] {
					if x < float64(c.X+c.Width)+kerf-slack && float64(c.X) < x+w+kerf-slack && y < float64(c.Y+c.Height)+kerf-slack && float64(c.Y) < y+h+kerf-slack {
						free = false
						break
					}
				}
				if free {
					l.Sheets[last] = append(l.Sheets[last], Cut{Piece: i, X: unit.Length(x), Y: unit.Length(y), Width: unit.Length(w), Height: unit.Length(h)})
					return true
				}
			}
		}
	}
	return false
}
