package cutting

// kind is a size of rectangle on the integer grid on which layouts are searched, kerf included:
// w × h with the kerf added fits W × H with the kerf added just when the piece fits the sheet.
type kind struct {
	w, h  int
	count int
}

// spot is one rectangle where it lies.
type spot struct {
	kind       int
	x, y, w, h int
}

// pattern is one way to cut a sheet, and on how many sheets it is used.
type pattern struct {
	spots  []spot
	area   float64 // of the rectangles, kerf included
	sheets int
}

// packing is a problem of rectangles in equal sheets.
type packing struct {
	w, h  int
	kinds []kind
	turn  bool // rectangles may be turned by a quarter
	free  bool // cuts need not run from edge to edge
	down  bool // the first cuts may run down the sheet as well as across it
}

// filler fills one sheet at a time. left is how many of each kind are still to be laid, of which
// a fill takes from a copy.
type filler struct {
	*packing
	left  []int
	holes []hole // free rectangles of the fill by free cuts
	next  []hole
	work  int    // steps done
	look  int    // among how many kinds that fit the largest is taken
	skip  uint64 // state of the chance by which holes are passed and rows are made higher; zero does neither
}

// sides returns the sizes as which a kind may be laid: one or two.
func (p *packing) sides(k int) (sizes [2][2]int, n int) {
	q := p.kinds[k]
	sizes[0], n = [2]int{q.w, q.h}, 1
	if p.turn && q.w != q.h {
		sizes[1], n = [2]int{q.h, q.w}, 2
	}
	return sizes, n
}

// stages fills one sheet by three stages of cuts from edge to edge: rows across the sheet,
// columns in a row, rectangles in a column (which the last trims to their width). Kinds are taken
// in the given order, each where it first fits. A row is as high as what opens it, or by chance,
// if f.skip is set, as high as that and another on top of it, or as all that is left; upright
// says that what opens a row stands on its short side.
func (f *filler) stages(order []int, upright bool, take []int, spots []spot) []spot {
	for k := range take {
		take[k] = 0
	}
	for y := 0; y < f.h; {
		open, w, h := f.first(order, take, f.w, f.h-y, upright)
		if open < 0 {
			break
		}
		row := f.rowHeight(order, take, w, h, f.h-y)
		for x := 0; ; {
			spots = append(spots, spot{open, x, y, w, h})
			take[open]++
			spots = f.column(order, take, spots, x, y+h, w, row-h)
			x += w
			if open, w, h = f.first(order, take, f.w-x, row, true); open < 0 {
				break
			}
		}
		y += row
	}
	return spots
}

// rowHeight returns how high a row is made that w × h opens in so much room.
func (f *filler) rowHeight(order, take []int, w, h, room int) int {
	if f.skip == 0 {
		return h
	}
	switch f.chance() % 4 {
	case 0:
		return room
	case 1:
		if k, _, more := f.first(order, take, w, room-h, f.chance()%2 == 0); k >= 0 {
			return h + more
		}
	}
	return h
}

// column stacks rectangles on the one that opened a column.
func (f *filler) column(order, take []int, spots []spot, x, y, w, room int) []spot {
	for room > 0 {
		k, kw, kh := f.first(order, take, w, room, false)
		if k < 0 {
			return spots
		}
		spots = append(spots, spot{k, x, y, kw, kh})
		take[k]++
		y, room = y+kh, room-kh
	}
	return spots
}

// first returns, of the first few kinds in order of which one is left that fits w × h, the
// largest, as it fits: of two ways the higher where upright is wished, else the lower. How many
// are looked at is f.look.
func (f *filler) first(order, take []int, w, h int, upright bool) (k, kw, kh int) {
	k = -1
	seen, largest := 0, 0.0
	last := len(order)
	for i, c := range order {
		if take[c] >= f.left[c] {
			continue
		}
		q := &f.kinds[c]
		straight := q.w <= w && q.h <= h
		turned := f.turn && q.h <= w && q.w <= h
		if !straight && !turned {
			continue
		}
		if area := float64(q.w) * float64(q.h); area > largest {
			largest, k, kw, kh = area, c, q.w, q.h
			if !straight || (turned && (q.h >= q.w) != upright) {
				kw, kh = q.h, q.w
			}
		}
		if seen++; seen >= f.look {
			last = i
			break
		}
	}
	f.work += last/4 + 1
	return k, kw, kh
}

// hole is a free rectangle, as large as it can be: holes overlap.
type hole struct{ x, y, w, h int }

// Rules by which a free fill chooses a hole.
const (
	shortSide = iota // least remainder on the closer side
	lowest           // lowest top, then leftmost
	areaFit          // smallest hole
	rules
)

// freely fills one sheet by free cuts: each kind in order goes into the hole that the rule likes
// best; the holes that it meets are split into the largest ones that remain.
func (f *filler) freely(order []int, rule int, take []int, spots []spot) []spot {
	for k := range take {
		take[k] = 0
	}
	f.holes = append(f.holes[:0], hole{0, 0, f.w, f.h})
	for _, k := range order {
		for take[k] < f.left[k] && len(f.holes) > 0 {
			s, ok := f.choose(k, rule)
			if !ok {
				break
			}
			take[k]++
			spots = append(spots, s)
			f.split(s)
		}
	}
	return spots
}

func (f *filler) choose(k, rule int) (best spot, ok bool) {
	sizes, n := f.sides(k)
	bestMain, bestTie := 0, 0
	f.work += len(f.holes)/3 + 1
	for _, o := range f.holes {
		for _, s := range sizes[:n] {
			dw, dh := o.w-s[0], o.h-s[1]
			if dw < 0 || dh < 0 || f.passes() {
				continue
			}
			var first, tie int
			switch rule {
			case shortSide:
				first, tie = min(dw, dh), max(dw, dh)
			case lowest:
				first, tie = o.y+s[1], o.x
			default:
				first, tie = min(o.w, o.h), min(dw, dh)
			}
			if !ok || first < bestMain || (first == bestMain && tie < bestTie) {
				best, ok, bestMain, bestTie = spot{k, o.x, o.y, s[0], s[1]}, true, first, tie
			}
		}
	}
	return best, ok
}

// passes reports, one time in eight, that a hole is passed by.
func (f *filler) passes() bool {
	return f.skip != 0 && f.chance()%8 == 0
}

// chance returns the next number of a small generator (xorshift, Marsaglia 2003).
func (f *filler) chance() uint64 {
	f.skip ^= f.skip << 13
	f.skip ^= f.skip >> 7
	f.skip ^= f.skip << 17
	return f.skip >> 32
}

// split takes a laid rectangle out of all holes.
func (f *filler) split(s spot) {
	f.next = f.next[:0]
	kept := f.holes[:0]
	for _, o := range f.holes {
		if s.x >= o.x+o.w || s.x+s.w <= o.x || s.y >= o.y+o.h || s.y+s.h <= o.y {
			kept = append(kept, o)
			continue
		}
		if s.x > o.x {
			f.next = append(f.next, hole{o.x, o.y, s.x - o.x, o.h})
		}
		if s.x+s.w < o.x+o.w {
			f.next = append(f.next, hole{s.x + s.w, o.y, o.x + o.w - s.x - s.w, o.h})
		}
		if s.y > o.y {
			f.next = append(f.next, hole{o.x, o.y, o.w, s.y - o.y})
		}
		if s.y+s.h < o.y+o.h {
			f.next = append(f.next, hole{o.x, s.y + s.h, o.w, o.y + o.h - s.y - s.h})
		}
	}
	f.holes = kept
	f.work += len(f.next)*(len(kept)+len(f.next))/8 + 1
	for i, a := range f.next {
		if !within(a, kept, -1) && !within(a, f.next, i) {
			f.holes = append(f.holes, a)
		}
	}
}

// within reports whether a hole lies in another; of two equal ones the later lies in the former.
func within(a hole, others []hole, self int) bool {
	for j, b := range others {
		if j != self && a.x >= b.x && a.y >= b.y && a.x+a.w <= b.x+b.w && a.y+a.h <= b.y+b.h && (a != b || self < 0 || j < self) {
			return true
		}
	}
	return false
}
