package assembly

import (
	"fmt"

	"chablon/unit"
)

// Cup is what a full cup of today's mix says before it is piped: a light or a heavy hand at
// whipping changes how high the mix on hand will stand.
type Cup struct {
	Density unit.Density // as weighed
	Planned unit.Density
	// Level over the bottom that the mix reaches in every piece if it is shared out alike, and
	// Wanted, the level it should reach. Level is at most Wanted: more is left in the bowl.
	Level, Wanted unit.Length
	// Short is what lacks for all pieces, and Over what is left; one of them is zero.
	Short, Over unit.Mass
	Full        int // pieces that can be filled to the wanted level
	Remedies    []string
}

// CheckCup weighs a cup of a fill against its plan. Mass is that of a full cup of the volume, both
// above zero; onHand is the mass of mix that is ready for so many pieces. Errors name the figure.
func (s *Section) CheckCup(fill string, cup unit.Volume, mass, onHand unit.Mass, pieces int) (Cup, error) {
	i := s.index(fill)
	if i < 0 || s.Layers[i].Kind != Fill && !s.Layers[i].Flooded() {
		return Cup{}, fmt.Errorf("assembly %s has no fill %q", s.Assembly.ID, fill)
	}
	l := &s.Layers[i]
	switch {
	case !(cup > 0) || cup > unit.Litre*10:
		return Cup{}, fmt.Errorf("the cup holds %s: give what it holds when full, above 0 and up to 10 l", cup.Show())
	case !(mass > 0) || unit.DensityOf(mass, cup) > 3*unit.GramPerMillilitre:
		return Cup{}, fmt.Errorf("the full cup weighs %s: give the mass of its content alone, above 0 and up to 3 g for each ml", mass.Show())
	case pieces < 1:
		return Cup{}, fmt.Errorf("there are %d pieces: give at least one", pieces)
	case !(onHand >= 0):
		return Cup{}, fmt.Errorf("there are %s of mix on hand: give 0 or more", onHand.Show())
	case l.Volume <= 0:
		return Cup{}, fmt.Errorf("layer %q has no room in %s", fill, s.Mould.ID)
	}
	out := Cup{Density: unit.DensityOf(mass, cup), Planned: l.Density, Wanted: l.Z1}
	need := out.Density.Mass(l.Volume)
	all := need * unit.Mass(pieces)
	out.Full = int(float64(onHand/need) + 1e-9)
	if onHand >= all {
		out.Level, out.Over = l.Z1, onHand-all
		out.Full = pieces
		return out, nil
	}
	out.Short = all - onHand
	p := placement{section: s, solid: s.Mould.Solid, quiet: true, figuresOnly: true, bodies: s.bodies}
	each := out.Density.Volume(onHand / unit.Mass(pieces))
	out.Level = p.levelFor(l.Z0, l.Z1, each)
	gap := out.Wanted - out.Level
	out.Remedies = append(out.Remedies, fmt.Sprintf("Make %s more of it.", out.Short.Show()))
	if out.Full > 0 {
		out.Remedies = append(out.Remedies, fmt.Sprintf("Fill %d of %d pieces to the full height and leave %d out.", out.Full, pieces, pieces-out.Full))
	}
	if base := s.closing(i); base != "" {
		out.Remedies = append(out.Remedies, fmt.Sprintf("Cut %s %s thicker: it takes the room that is not filled.", base, gap.Show()))
	}
	out.Remedies = append(out.Remedies, fmt.Sprintf("Share it out alike and let every piece stand %s lower, at %s.", gap.Show(), out.Level.Show()))
	return out, nil
}

// closing returns the name of the base or disc that is pressed into a fill last.
func (s *Section) closing(fill int) string {
	for j := len(s.Layers) - 1; j > fill; j-- {
		if b := &s.Layers[j]; b.Kind == Base || b.Kind == Disc {
			return b.Name
		}
	}
	return ""
}
