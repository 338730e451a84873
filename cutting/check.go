package cutting

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chablon/finding"
	"chablon/unit"
)

// Check verifies a layout by means of its own, whoever made it: every piece is laid as often as
// it is wanted and in its own size, lies inside the trimmed edges, keeps the kerf from its
// neighbours, and strokes, where there are any, part all pieces from edge to edge without
// touching one. The tolerance is a billionth of the sheet's longer side. All findings are faults
// of code "layout-unsound": they are for tests and for files from elsewhere.
func Check(l Layout) finding.List {
	c := checker{l: l, eps: 1e-9 * float64(max(l.Sheet.Width, l.Sheet.Depth))}
	laid := make([]int, len(l.Pieces))
	for i, cuts := range l.Sheets {
		c.sheet = i
		known := make([]Cut, 0, len(cuts))
		for _, cut := range cuts {
			if cut.Piece < 0 || cut.Piece >= len(l.Pieces) {
				c.fault("a cut is of piece %d, but there are %d", cut.Piece, len(l.Pieces))
				continue
			}
			laid[cut.Piece]++
			known = append(known, cut)
			c.size(cut)
			c.inside(cut)
		}
		c.apart(known)
		if i < len(l.Strokes) && l.Strokes[i] != nil {
			c.strokes(known, l.Strokes[i])
		}
	}
	var area float64
	for i, p := range l.Pieces {
		area += float64(p.area()) * float64(p.Count)
		if i < len(l.Joined) && p.Joined {
			laid[i] += l.Joined[i]
		}
		if laid[i] != p.Count {
			c.sheet = -1
			c.fault("%s is laid %d times, but %d are wanted", p.Name, laid[i], p.Count)
		}
	}
	whole := float64(len(l.Sheets)) * float64(l.Sheet.Area())
	if !(math.Abs(float64(l.Taken)-area) <= 1e-9*area && math.Abs(float64(l.Taken+l.Trimmings)-whole) <= 1e-9*whole) {
		c.sheet = -1
		c.fault("pieces of %v m² and trimmings of %v m² do not make up sheets of %v m²", float64(l.Taken), float64(l.Trimmings), whole)
	}
	return c.list
}

type checker struct {
	l     Layout
	eps   float64
	sheet int
	list  finding.List
}

func (c *checker) fault(format string, args ...any) {
	where := "cutting layout"
	if c.sheet >= 0 {
		where = fmt.Sprintf("cutting layout, sheet %d", c.sheet+1)
	}
	c.list.Add(finding.Finding{Code: "layout-unsound", Level: finding.Fault, Where: where, Reason: fmt.Sprintf(format, args...), Remedy: "Lay the pieces out again."})
}

func (c *checker) same(a, b unit.Length) bool { return math.Abs(float64(a-b)) <= c.eps }

func (c *checker) size(cut Cut) {
	p := c.l.Pieces[cut.Piece]
	w, h := p.Width, p.Height
	if cut.Turned {
		w, h = h, w
	}
	if !c.same(cut.Width, w) || !c.same(cut.Height, h) {
		c.fault("%s is laid as %s by %s, but measures %s by %s", p.Name, cut.Width.Show(), cut.Height.Show(), p.Width.Show(), p.Height.Show())
	}
}

func (c *checker) inside(cut Cut) {
	s, p := c.l.Sheet, c.l.Pieces[cut.Piece]
	x, y, w, h := float64(cut.X), float64(cut.Y), float64(cut.Width), float64(cut.Height)
	e := float64(s.Edge)
	ok := x >= e-c.eps && y >= e-c.eps && x+w <= float64(s.Width)-e+c.eps && y+h <= float64(s.Depth)-e+c.eps
	if s.Round {
		mid := float64(s.Width) / 2
		reach := mid - e
		far := math.Hypot(max(math.Abs(x-mid), math.Abs(x+w-mid)), max(math.Abs(y-mid), math.Abs(y+h-mid)))
		if p.Round {
			far = math.Hypot(x+w/2-mid, y+h/2-mid) + w/2
		}
		ok = far <= reach+c.eps
	}
	if !ok { // also where a measure is not a number
		c.fault("%s at %s, %s leaves the usable sheet", p.Name, cut.X.Show(), cut.Y.Show())
	}
}

// apart checks that pieces keep the kerf from each other: discs by their distance, others by
// their rectangles, a disc and a rectangle by the point of the rectangle that is nearest.
func (c *checker) apart(cuts []Cut) {
	kerf := float64(c.l.Sheet.Kerf)
	sorted := slices.Clone(cuts)
	slices.SortFunc(sorted, func(a, b Cut) int { return cmp.Compare(a.X, b.X) })
	for i, a := range sorted {
		for _, b := range sorted[i+1:] {
			if float64(b.X) >= float64(a.X+a.Width)+kerf {
				break
			}
			if c.gap(a, b) < kerf-c.eps {
				c.fault("%s at %s, %s and %s at %s, %s are closer than a cut of %s", c.l.Pieces[a.Piece].Name, a.X.Show(), a.Y.Show(),
					c.l.Pieces[b.Piece].Name, b.X.Show(), b.Y.Show(), c.l.Sheet.Kerf.Show())
			}
		}
	}
}

func (c *checker) gap(a, b Cut) float64 {
	roundA, roundB := c.l.Pieces[a.Piece].Round, c.l.Pieces[b.Piece].Round
	if roundB && !roundA {
		a, b, roundA, roundB = b, a, true, false
	}
	ax, ay, aw, ah := float64(a.X), float64(a.Y), float64(a.Width), float64(a.Height)
	bx, by, bw, bh := float64(b.X), float64(b.Y), float64(b.Width), float64(b.Height)
	switch {
	case roundA && roundB:
		return math.Hypot(ax+aw/2-bx-bw/2, ay+ah/2-by-bh/2) - aw/2 - bw/2
	case roundA:
		mx, my := ax+aw/2, ay+ah/2
		return math.Hypot(mx-min(max(mx, bx), bx+bw), my-min(max(my, by), by+bh)) - aw/2
	}
	return max(ax-bx-bw, bx-ax-aw, ay-by-bh, by-ay-ah)
}

// strokes cuts the usable sheet as the strokes say and checks that each runs from edge to edge
// of a part and meets no piece, and that in the end every piece lies alone. A stroke may shave
// off less than its kerf.
func (c *checker) strokes(cuts []Cut, list []Stroke) {
	s := c.l.Sheet
	k := float64(s.Kerf)
	type part struct{ x1, y1, x2, y2 float64 }
	w, d := s.usable()
	e := float64(s.Edge)
	parts := []part{{e, e, e + float64(w), e + float64(d)}}
	k0 := max(k, 2*c.eps)
	near := func(a, b float64) bool { return math.Abs(a-b) <= 2*c.eps+k }
	for _, st := range list {
		x1, y1, x2, y2 := float64(st.X1), float64(st.Y1), float64(st.X2), float64(st.Y2)
		found := false
		for i, p := range parts {
			up := x1 == x2 && near(y1, p.y1) && near(y2, p.y2) && x1+k0 > p.x1 && x1 < p.x2
			across := y1 == y2 && near(x1, p.x1) && near(x2, p.x2) && y1+k0 > p.y1 && y1 < p.y2
			if !up && !across {
				continue
			}
			rest := p
			if up {
				parts[i].x2, rest.x1 = x1, x1+k
			} else {
				parts[i].y2, rest.y1 = y1, y1+k
			}
			parts, found = append(parts, rest), true
			break
		}
		if !found {
			c.fault("the cut from %s, %s to %s, %s does not run from edge to edge of a part", st.X1.Show(), st.Y1.Show(), st.X2.Show(), st.Y2.Show())
			return
		}
	}
	alone := make([]bool, len(parts))
	for _, cut := range cuts {
		x1, y1 := float64(cut.X), float64(cut.Y)
		x2, y2 := x1+float64(cut.Width), y1+float64(cut.Height)
		home := -1
		for i, p := range parts {
			if x1 >= p.x1-c.eps && y1 >= p.y1-c.eps && x2 <= p.x2+c.eps && y2 <= p.y2+c.eps {
				home = i
			}
		}
		if home < 0 || alone[home] {
			c.fault("the cuts do not part %s at %s, %s", c.l.Pieces[cut.Piece].Name, cut.X.Show(), cut.Y.Show())
			return
		}
		alone[home] = true
	}
}
