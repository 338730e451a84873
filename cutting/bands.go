package cutting

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Band is a strip that goes round something, so many times: its length without joints, and what
// every joint laps.
type Band struct {
	Name    string
	Length  unit.Length
	Overlap unit.Length
	Count   int
}

// Bands is how bands are pieced from strips of one length.
type Bands struct {
	Strips [][]StripPiece // what each strip is cut into
	Joints int            // of all bands
	Waste  unit.Length    // of strips, left over
}

// StripPiece is one piece of a band, its laps included.
type StripPiece struct {
	Band   int // index into the bands
	Copy   int // of that band, from 0
	Length unit.Length
}

// PieceBands pieces bands from strips that are at most longest, each with the fewest joints that
// allow it, and from few strips: a band takes whole strips and a rest, and rests share strips. No
// piece is shorter than least, so that no sliver stands in a wall. Errors name the band.
func PieceBands(longest, least unit.Length, bands []Band) (Bands, error) {
	if !(longest > 0) || !(least >= 0) || least > longest {
		return Bands{}, fmt.Errorf("strips are %s long and pieces at least %s: give lengths above zero, the first the greater", longest.Show(), least.Show())
	}
	var out Bands
	var pieces []StripPiece
	for i, b := range bands {
		switch {
		case !(b.Length > 0) || !(b.Overlap >= 0) || b.Count < 0 || b.Count > mostPieces:
			return Bands{}, fmt.Errorf("band %s is %s long, laps %s and is wanted %d times: give a length above zero and a lap and a count of 0 or more", b.Name, b.Length.Show(), b.Overlap.Show(), b.Count)
		case b.Overlap >= longest:
			return Bands{}, fmt.Errorf("band %s laps by %s, longer than the strips of %s", b.Name, b.Overlap.Show(), longest.Show())
		}
		n := Strips(b.Length, longest, b.Overlap)
		whole := b.Length + b.Overlap*unit.Length(n) // all pieces, laps included
		for c := range b.Count {
			left := whole
			for k := n; k > 0; k-- {
				take := min(longest, left)
				if rest := left - take; k > 1 && rest < least*unit.Length(k-1) {
					take = left - max(least, left/unit.Length(k))*unit.Length(k-1) // leave the others room
				}
				if k == 1 {
					take = left
				}
				pieces = append(pieces, StripPiece{i, c, take})
				left -= take
			}
			out.Joints += n
		}
	}
	const tick = 1e-5 // metres: a hundredth of a millimetre
	sizes := make([]int, len(pieces))
	for i, p := range pieces {
		sizes[i] = int(math.Ceil(float64(p.Length)/tick - 1e-6))
	}
	for _, strip := range Lengths(int(math.Floor(float64(longest)/tick+1e-6))+1, sizes, 60, 1) {
		var cut []StripPiece
		left := longest
		for _, i := range strip {
			cut = append(cut, pieces[i])
			left -= pieces[i].Length
		}
		out.Waste += max(0, left)
		out.Strips = append(out.Strips, cut)
	}
	return out, nil
}
