package assembly

import (
	"errors"
	"fmt"
	"math"

	"chablon/unit"
)

// Portions says how a piece is shared: a count, or the size of one.
type Portions struct {
	Rule   string // "whole", "wedges", "squares" or "slices"; whole if empty
	Count  int    // 0 if a size is given
	Length unit.Length
	Volume unit.Volume
	Mass   unit.Mass
}

// Portion is what one person gets.
type Portion struct {
	Count  int         // of one piece
	Mass   unit.Mass   // of one portion
	Volume unit.Volume // of one, coats and what lies on top left out
	Parts  []Part      // what one is made of
	// Cut says in words how the piece is cut.
	Cut string
	// Offcuts is what whole squares or slices leave of the piece.
	Offcuts unit.Mass
}

// Portion shares one piece by the assembly's rule. Wedges and a counted rule share everything.
// Squares and slices of a given length leave offcuts, counted by area seen from above. An error
// says which figure is missing or too large for the piece.
func (s *Section) Portion() (Portion, error) {
	rule := s.Assembly.Portions
	mass, volume := s.Mass(), s.Mould.Solid.Below(s.Top)
	if volume <= 0 {
		return Portion{}, errors.New("the piece has no height yet")
	}
	out := Portion{Count: rule.Count}
	share := 1.0 // of the piece that is served
	o := s.Mould.Solid.At(s.Top)
	switch {
	case rule.Rule == "" || rule.Rule == "whole":
		out.Count, out.Cut = 1, "whole"
	case out.Count > 0:
		out.Cut = countedCut(rule.Rule, out.Count, o.Width, o.Depth)
	case rule.Mass > 0:
		out.Count = int(float64(mass/rule.Mass) + 1e-9)
		out.Cut = countedCut(rule.Rule, out.Count, o.Width, o.Depth)
	case rule.Volume > 0:
		out.Count = int(float64(volume/rule.Volume) + 1e-9)
		out.Cut = countedCut(rule.Rule, out.Count, o.Width, o.Depth)
	case rule.Length > 0:
		switch rule.Rule {
		case "wedges": // the length is that of the arc at the rim
			out.Count = int(float64(o.Perimeter()/rule.Length) + 1e-9)
			out.Cut = countedCut(rule.Rule, out.Count, o.Width, o.Depth)
		case "slices":
			along := max(o.Width, o.Depth)
			out.Count = int(float64(along/rule.Length) + 1e-9)
			share = float64(rule.Length) * float64(out.Count) / float64(along)
			out.Cut = fmt.Sprintf("slices of %s along %s", rule.Length.Show(), along.Show())
		default:
			across, along := int(float64(o.Width/rule.Length)+1e-9), int(float64(o.Depth/rule.Length)+1e-9)
			out.Count = across * along
			share = float64(out.Count) * math.Pow(float64(rule.Length), 2) / float64(o.Area())
			out.Cut = fmt.Sprintf("%d × %d squares of %s", across, along, rule.Length.Show())
		}
	default:
		return Portion{}, errors.New("the portions have neither a count nor a size: give one")
	}
	if out.Count < 1 {
		return Portion{}, errors.New("one portion is larger than the piece: make it smaller")
	}
	if share > 1+1e-9 {
		return Portion{}, fmt.Errorf("squares do not fit an outline that is %s wide and encloses %s: share it by a count", o.Width.Show(), unit.Number(float64(o.Area())*1e4, 0)+" cm²")
	}
	part := share / float64(out.Count)
	out.Mass, out.Volume = mass*unit.Mass(part), volume*unit.Volume(part)
	out.Offcuts = mass * unit.Mass(1-share)
	for _, p := range s.Parts() {
		p.Each *= unit.Mass(part)
		out.Parts = append(out.Parts, p)
	}
	return out, nil
}

// countedCut says how so many equal portions are cut.
func countedCut(rule string, n int, width, depth unit.Length) string {
	switch rule {
	case "wedges":
		return fmt.Sprintf("%d wedges of %s°", n, unit.Number(360/float64(max(1, n)), 1))
	case "slices":
		return fmt.Sprintf("%d slices of %s", n, (max(width, depth) / unit.Length(max(1, n))).Show())
	}
	best, rows := math.Inf(1), 1
	for r := 1; r <= n; r++ {
		if n%r > 0 {
			continue
		}
		w, d := float64(width)/float64(n/r), float64(depth)/float64(r)
		if skew := math.Abs(math.Log(w / d)); skew < best {
			best, rows = skew, r
		}
	}
	return fmt.Sprintf("%d × %d pieces of %s × %s", n/rows, rows, unit.Number(width.Millimetres()/float64(n/rows), 0), (depth / unit.Length(rows)).Show())
}
