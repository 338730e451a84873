package assembly_test

import (
	"math"
	"strings"
	"testing"

	"chablon/assembly"
	"chablon/unit"
)

// pressed is a ring of 180 × 45 mm filled twice round a cylinder of 140 × 15 mm from 12 mm up, and
// closed by a base of 160 × 8 mm that lies level with the fill, 4 mm below the rim.
func pressed(t testing.TB) *assembly.Section {
	t.Helper()
	big, small := ring(t, 180*mm, 45*mm), ring(t, 140*mm, 15*mm)
	of := func(name string, d unit.Density) assembly.Component {
		return assembly.Component{StandIn: name, Density: d * unit.GramPerMillilitre}
	}
	a := &assembly.Assembly{ID: "pressed", Mould: big, Inverted: true, Layers: []assembly.Layer{
		{ID: "mousse", Name: "mousse", Kind: assembly.Fill, Of: of("mousse", 0.6), BelowRim: assembly.At(4 * mm), Stages: []assembly.Stage{{Level: assembly.At(27 * mm)}, {After: "insert"}}},
		{ID: "insert", Name: "the insert", Kind: assembly.Insert, Of: of("jelly", 1.05), MadeIn: small, Offset: assembly.At(12 * mm)},
		{ID: "base", Name: "the base", Kind: assembly.Base, Of: of("sponge", 0.4), Thickness: 8 * mm, BelowRim: assembly.At(4 * mm), Outline: assembly.Outline{Inset: assembly.At(10 * mm)}},
	}}
	s := a.Lay(big)
	if len(s.Findings) > 0 {
		t.Fatal(s.Findings)
	}
	return s
}

// disc is the volume of a cylinder in millilitres, its measures in millimetres.
func disc(d, h float64) float64 { return math.Pi * d * d / 4 * h / 1000 }

func TestPiping(t *testing.T) {
	t.Parallel()
	s := pressed(t)
	got := s.Piping()
	if len(got) != 2 {
		t.Fatalf("%d pipings, want 2", len(got))
	}
	first := disc(180, 27) - disc(140, 15)
	second := disc(180, 14) - disc(160, 8)
	for i, want := range []struct {
		grams, level, stands float64
		press                string
	}{
		// Before the insert is pressed in, the first stage is a plain cylinder.
		{0.6 * first, 27, first * 1000 / (math.Pi * 8100), "the insert"},
		// Before the base is pressed in, the second stands on the first's level.
		{0.6 * second, 41, 27 + second*1000/(math.Pi*8100), "the base"},
	} {
		g := got[i]
		if math.Abs(g.Mass.Grams()-want.grams) > 1e-9*want.grams || math.Abs(g.Level.Millimetres()-want.level) > 1e-9 ||
			math.Abs(g.Stands.Millimetres()-want.stands) > 1e-7 || strings.Join(g.Press, ",") != want.press {
			t.Errorf("stage %d: %v g to %v, stands at %v, press %v; want %+v", i+1, g.Mass.Grams(), g.Level, g.Stands, g.Press, want)
		}
	}
	if text, want := s.PipingText(unit.Gram), "274 g of mousse, press in the insert, 117 g of mousse, press in the base; 4 mm below the rim"; text != want {
		t.Errorf("written as %q, want %q", text, want)
	}
}

func TestCheckCup(t *testing.T) {
	t.Parallel()
	s := pressed(t)
	volume := disc(180, 41) - disc(140, 15) - disc(160, 8)
	planned := unit.Mass(0.6*volume) * unit.Gram
	// As planned: nothing short and nothing over.
	c, err := s.CheckCup("mousse", 200*unit.Millilitre, 120*unit.Gram, planned*10, 10)
	if err != nil || c.Short > unit.Gram/1e6 || c.Over > unit.Gram/1e6 || c.Full != 10 || c.Level != c.Wanted {
		t.Errorf("as planned: %+v, %v", c, err)
	}
	// A tenth heavier: a tenth short, nine pieces full, and the level that the volume gives.
	c, err = s.CheckCup("mousse", 200*unit.Millilitre, 132*unit.Gram, planned*10, 10)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := c.Short.Grams(), 0.06*volume*10; math.Abs(got-want) > 1e-9*want {
		t.Errorf("short by %v g, want %v", got, want)
	}
	// Above the base's lower face, at 33 mm, only the gap round it is free.
	lack := volume - volume/1.1
	gap := disc(180, 1) - disc(160, 1)
	want := 41 - lack/gap
	if want < 33 { // lower than the base: the full width
		want = 33 - (lack-gap*8)/disc(180, 1)
	}
	if math.Abs(c.Level.Millimetres()-want) > 1e-7 || c.Full != 9 || len(c.Remedies) != 4 {
		t.Errorf("level %v, %d full, remedies %v; want %v mm, 9 and 4", c.Level.Millimetres(), c.Full, c.Remedies, want)
	}
	// Lighter: the same level, the rest over.
	c, err = s.CheckCup("mousse", 200*unit.Millilitre, 100*unit.Gram, planned*10, 10)
	if over := 0.1 * volume * 10; err != nil || math.Abs(c.Over.Grams()-over) > 1e-9*over || c.Level != c.Wanted {
		t.Errorf("lighter: %+v, %v; want %v g over", c, err, over)
	}
	for name, call := range map[string]func() error{
		"no fill": func() error { _, err := s.CheckCup("base", 1, 1, 1, 1); return err },
		"no cup":  func() error { _, err := s.CheckCup("mousse", 0, unit.Gram, unit.Gram, 1); return err },
		"NaN": func() error {
			_, err := s.CheckCup("mousse", unit.Litre, unit.Mass(math.NaN()), unit.Gram, 1)
			return err
		},
		"lead":      func() error { _, err := s.CheckCup("mousse", unit.Litre, 9*unit.Kilogram, unit.Gram, 1); return err },
		"no pieces": func() error { _, err := s.CheckCup("mousse", unit.Litre, unit.Kilogram, unit.Gram, 0); return err },
		"owed mousse": func() error {
			_, err := s.CheckCup("mousse", unit.Litre, unit.Kilogram, -unit.Gram, 1)
			return err
		},
	} {
		if call() == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
