package cutting

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"chablon/unit"
)

// Band is a closed band round a dessert: its developed length, and how many are made.
type Band struct {
	Name           string
	Length, Height unit.Length
	Count          int
}

// Joints say how strips may be joined to a band.
type Joints struct {
	Overlap unit.Length // of the ends at each joint; zero for ends that butt
	Least   unit.Length // no piece is shorter than this, so that no sliver is pieced in
}

// Part is a piece of a strip, which goes into a band.
type Part struct {
	Band, Copy int // index of the band, and which of its copies, from zero
	Length     unit.Length
}

// Strip is a strip to cut along a sheet, and the parts into which it is cut across, in order.
type Strip struct {
	Length, Height unit.Length // over all parts and the cuts between them
	Parts          []Part
}

// BandPlan is how bands are pieced.
type BandPlan struct {
	Strips []Strip
	Layout Layout // of the strips on sheets
	Joints int    // in all: a closed band of m parts has m
	Least  int    // no plan with as few joints takes fewer strips
}

// Bands plans strips for closed bands, with the fewest joints, and with those the fewest strips
// that it finds: what is over from one band's last strip goes into the next of the same height.
//
// A band of m parts has m joints and needs its length and m overlaps. The parts of a band are as
// long as the sheet allows, and one is what remains; this one is made longer, at the cost of
// the others, where it would be a sliver. With m least this loses no strip: two parts of one
// band never share a strip (they would be one part), and of parts that share strips with other
// bands all but the shortest can be made whole.
//
// It returns an error naming the band and the figures where a band cannot be pieced.
func Bands(ctx context.Context, sheet Sheet, bands []Band, j Joints, o Options) (BandPlan, error) {
	var out BandPlan
	if err := validate(sheet, nil, false); err != nil {
		return out, err
	}
	if !(j.Overlap >= 0 && j.Overlap <= mostLength && j.Least >= 0 && j.Least <= mostLength) {
		return out, errors.New("the overlap and the shortest part of a joint must be lengths of zero or more")
	}
	rests := map[int]*restOf{} // by height on the grid
	var heights []int
	total := 0
	for i, b := range bands {
		m, longest, err := b.parts(sheet, j, o.Fixed)
		if err != nil {
			return out, err
		}
		if total += m * b.Count; b.Count < 0 || b.Count > mostBands || total > mostBands {
			return out, fmt.Errorf("%s is to be made %d times: at most %d parts of bands can be planned", b.Name, b.Count, mostBands)
		}
		key := grid(float64(b.Height))
		r := rests[key]
		if r == nil {
			r = &restOf{height: b.Height, longest: longest}
			rests[key] = r
			heights = append(heights, key)
		}
		need := b.Length + unit.Length(m)*j.Overlap
		lengths := make([]unit.Length, 0, m)
		last := need - unit.Length(m-1)*longest
		if m > 1 && last < j.Least {
			last = j.Least
		}
		over := need - last // for the other parts: one gives what the last gained
		for k := m - 1; k > 0; k-- {
			l := min(longest, over-unit.Length(k-1)*longest)
			lengths = append(lengths, l)
			over -= l
		}
		out.Joints += m * b.Count
		for c := range b.Count {
			for _, l := range lengths {
				if l >= longest-slack {
					out.Strips = append(out.Strips, Strip{l, b.Height, []Part{{i, c, l}}})
					out.Least++
				} else {
					r.parts = append(r.parts, Part{i, c, l})
				}
			}
			r.parts = append(r.parts, Part{i, c, last})
		}
	}
	rng := rand.New(rand.NewPCG(o.Seed, 0xba4d))
	work := o.Work
	if work <= 0 {
		work = Interactive
	}
	for _, key := range heights {
		strips, least := rests[key].strips(ctx, sheet.Kerf, work/2, rng)
		out.Strips = append(out.Strips, strips...)
		out.Least += least
	}
	var err error
	out.Layout, err = Lay(ctx, sheet, stripPieces(out.Strips), o)
	return out, err
}

// mostBands bounds how many parts are planned.
const mostBands = 20_000

// parts returns the least number of parts of a band and the longest that one can be.
func (b Band) parts(sheet Sheet, j Joints, fixed bool) (int, unit.Length, error) {
	if !(b.Length > 0 && b.Length <= mostLength && b.Height > 0 && b.Height <= mostLength) {
		return 0, 0, fmt.Errorf("%s measures %v by %v m: give a band a length and a height above zero, %s at most", b.Name, float64(b.Length), float64(b.Height), mostLength.Show())
	}
	longest := sheet.longest(b.Height, fixed)
	if longest <= 0 {
		w, d := sheet.usable()
		return 0, 0, fmt.Errorf("%s is %s high, but a sheet leaves %s by %s to cut from: take a larger sheet", b.Name, b.Height.Show(), w.Show(), d.Show())
	}
	if longest <= j.Overlap {
		return 0, 0, fmt.Errorf("%s: strips of %s at most are no longer than the overlap of %s: take a larger sheet or a shorter overlap", b.Name, longest.Show(), j.Overlap.Show())
	}
	if 2*j.Least > longest {
		return 0, 0, fmt.Errorf("%s: parts of at least %s do not leave a choice in strips of %s: allow parts of %s", b.Name, j.Least.Show(), longest.Show(), (longest / 2).Show())
	}
	if b.Length/(longest-j.Overlap) > mostBands {
		return 0, 0, fmt.Errorf("%s would need more than %d parts: take a larger sheet", b.Name, mostBands)
	}
	return Strips(b.Length, longest, j.Overlap), longest, nil
}

// longest returns the length of the longest strip of a height that a sheet gives, zero if none.
func (s Sheet) longest(height unit.Length, fixed bool) unit.Length {
	w, d := s.usable()
	if s.Round {
		if height >= w {
			return 0
		}
		return unit.Length(math.Sqrt(float64(w)*float64(w) - float64(height)*float64(height)))
	}
	var l unit.Length
	if height <= d+slack {
		l = w
	}
	if height <= w+slack && !fixed {
		l = max(l, d)
	}
	return l
}

// restOf collects the parts of one height that are shorter than a strip.
type restOf struct {
	height, longest unit.Length
	parts           []Part
}

// strips cuts the parts from as few strips as it finds.
func (r *restOf) strips(ctx context.Context, kerf unit.Length, work int, rng *rand.Rand) ([]Strip, int) {
	if len(r.parts) == 0 {
		return nil, 0
	}
	p := &lengths{capacity: grid(float64(r.longest + kerf))}
	queue := map[int][]Part{}
	for _, part := range r.parts {
		size := min(grid(float64(part.Length+kerf)), p.capacity)
		k := slices.Index(p.sizes, size)
		if k < 0 {
			k = len(p.sizes)
			p.sizes, p.counts = append(p.sizes, size), append(p.counts, 0)
		}
		p.counts[k]++
		queue[k] = append(queue[k], part)
	}
	p.reduce()
	bars, least, _ := p.solve(ctx, work, rng)
	var out []Strip
	for _, b := range bars {
		for range b.times {
			s := Strip{Height: r.height, Length: -kerf}
			for k, n := range b.take {
				for _, part := range queue[k][:n] {
					s.Parts = append(s.Parts, part)
					s.Length += part.Length + kerf
				}
				queue[k] = queue[k][n:]
			}
			out = append(out, s)
		}
	}
	return out, least
}

// stripPieces returns the strips as pieces to be laid, equal ones together.
func stripPieces(strips []Strip) []Piece {
	var out []Piece
	for _, s := range strips {
		i := slices.IndexFunc(out, func(p Piece) bool {
			return math.Abs(float64(p.Width-s.Length)) <= sameSize && math.Abs(float64(p.Height-s.Height)) <= sameSize
		})
		if i < 0 {
			i = len(out)
			out = append(out, Rectangle(fmt.Sprintf("strip of %s", s.Length.Show()), s.Length, s.Height, 0))
		}
		out[i].Count++
	}
	return out
}
