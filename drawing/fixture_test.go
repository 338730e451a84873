package drawing

import (
	"testing"

	"chablon/assembly"
	"chablon/finding"
	"chablon/mould"
	"chablon/unit"
)

const mm = unit.Millimetre

// of is a stand-in component with a density in g/ml.
func of(name string, density float64) assembly.Component {
	return assembly.Component{StandIn: name, Density: unit.Density(density) * unit.GramPerMillilitre}
}

func mouldOf(t testing.TB, id, name string, openBottom bool) func(mould.Solid, error) *mould.Mould {
	return func(s mould.Solid, err error) *mould.Mould {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return &mould.Mould{ID: id, Name: name, Solid: s, Cavities: 1, OpenTop: true, OpenBottom: openBottom}
	}
}

func lay(t testing.TB, a *assembly.Assembly, m *mould.Mould) *assembly.Section {
	t.Helper()
	s := a.Lay(m)
	for _, f := range s.Findings {
		if f.Level == finding.Fault {
			t.Fatalf("fixture %s has a fault: %s: %s", a.ID, f.Where, f.Reason)
		}
	}
	return s
}

// ring is a ring of 200 by 60 mm: band, soaked base, mousse in two stages round an insert of two
// layers turned over, flooded glaze, counted décor.
func ring(t testing.TB) *assembly.Section {
	heart := &assembly.Assembly{ID: "heart", Name: "Pear heart", Layers: []assembly.Layer{
		{ID: "jelly", Name: "Pear jelly", Kind: assembly.Fill, Level: assembly.At(10 * mm), Of: of("pear jelly", 1.1)},
		{ID: "crunch", Name: "Praline crunch", Kind: assembly.Spread, Thickness: 3 * mm, Of: of("crunch", 1), Outline: assembly.Outline{Inset: assembly.At(0)}},
		{ID: "cream", Name: "Pear cream", Kind: assembly.Fill, Level: assembly.At(18 * mm), Of: of("cream", 1.02)},
	}}
	a := &assembly.Assembly{ID: "ring", Name: "Pear & cardamom ring", Layers: []assembly.Layer{
		{ID: "band", Name: "Hazelnut sponge band", Kind: assembly.Band, Thickness: 5 * mm, BandHeight: 46 * mm, BandPieces: 2, Of: of("hazelnut sponge", 0.42)},
		{ID: "base", Name: "Hazelnut sponge base", Kind: assembly.Base, Thickness: 10 * mm, Of: of("hazelnut sponge", 0.42)},
		{ID: "soak", Name: "Pear soak", Kind: assembly.Soak, SoakShare: 0.5, Of: of("soak", 1.1)},
		{ID: "mousse", Name: "Cardamom bavarois", Kind: assembly.Fill, BelowRim: assembly.At(3 * mm), Of: of("bavarois", 0.82), Stages: []assembly.Stage{{Level: assembly.At(22 * mm)}, {After: "insert"}}},
		{
			ID: "insert", Name: "Pear heart", Kind: assembly.Insert, TurnedOver: true, Of: assembly.Component{Assembly: heart},
			MadeIn: mouldOf(t, "ring-140x20", "Ring 140 × 20 mm", true)(mould.Round(142*mm, 136*mm, 20*mm)),
		},
		{ID: "glaze", Name: "Pear glaze", Kind: assembly.Coat, Way: "flood", BelowRim: assembly.At(0), Of: of("glaze", 1.2)},
		{ID: "nuts", Name: "caramelised hazelnuts", Kind: assembly.Decor, Pieces: 9, Each: 1.9 * unit.Gram, Of: of("hazelnuts", 0)},
	}}
	return lay(t, a, mouldOf(t, "ring-200x60", "Ring 200 × 60 mm", true)(mould.Ring(200*mm, 60*mm)))
}

// dome is an inverted dome of 70 mm: a half-sphere insert, a base at the rim, a poured coat.
func dome(t testing.TB) *assembly.Section {
	a := &assembly.Assembly{ID: "dome", Name: "Blackcurrant dome", Inverted: true, Layers: []assembly.Layer{
		{ID: "mousse", Name: "Vanilla mousse", Kind: assembly.Fill, BelowRim: assembly.At(0), Of: of("vanilla mousse", 0.6)},
		{
			ID: "core", Name: "Blackcurrant core", Kind: assembly.Insert, Offset: assembly.At(10 * mm), Of: of("core", 1.08),
			MadeIn: mouldOf(t, "dome-30", "Half sphere 30 mm", false)(mould.Dome(30*mm, 15*mm)),
		},
		{ID: "base", Name: "Almond sablé", Kind: assembly.Disc, Thickness: 6 * mm, Level: assembly.At(35 * mm), Outline: assembly.Outline{Own: mould.Circle(58 * mm)}, Of: of("sablé", 0.7)},
		{ID: "coat", Name: "Mirror glaze", Kind: assembly.Coat, Way: "pour", Film: 1.5 * mm, Stays: 0.4, Of: of("glaze", 1.25)},
	}}
	return lay(t, a, mouldOf(t, "dome-70", "Half sphere 70 mm", false)(mould.Dome(70*mm, 35*mm)))
}

// pan is a tapered pan: a base on its bottom, a filling, a spread, a second filling, a sprayed coat.
func pan(t testing.TB) *assembly.Section {
	a := &assembly.Assembly{ID: "pan", Name: "Coffee cake", Layers: []assembly.Layer{
		{ID: "base", Name: "Walnut cake", Kind: assembly.Base, Thickness: 15 * mm, Of: of("walnut cake", 0.5)},
		{ID: "cream", Name: "Coffee cream", Kind: assembly.Fill, Level: assembly.At(32 * mm), Of: of("coffee cream", 0.9)},
		{ID: "caramel", Name: "Soft caramel", Kind: assembly.Spread, Thickness: 4 * mm, Outline: assembly.Outline{Inset: assembly.At(12 * mm)}, Of: of("caramel", 1.3)},
		{ID: "top", Name: "Milk-chocolate mousse with a rather long name that has to be broken", Kind: assembly.Fill, Level: assembly.At(48 * mm), Of: of("mousse", 0.7)},
		{ID: "velvet", Name: "Cocoa-butter spray", Kind: assembly.Coat, Way: "spray", Film: 1 * mm, Stays: 0.6, Of: of("spray", 0.95)},
	}}
	return lay(t, a, mouldOf(t, "pan-180", "Pan 180 mm", false)(mould.Round(180*mm, 160*mm, 50*mm)))
}

// slab is a frame of 360 by 260 mm.
func slab(t testing.TB) *assembly.Section {
	a := &assembly.Assembly{ID: "slab", Name: "Citrus slab", Layers: []assembly.Layer{
		{ID: "one", Name: "Almond sponge", Kind: assembly.Base, Thickness: 8 * mm, Of: of("sponge", 0.45)},
		{ID: "curd", Name: "Lemon curd", Kind: assembly.Fill, Thickness: 9 * mm, Of: of("curd", 1.1)},
		{ID: "two", Name: "Almond sponge, upper", Kind: assembly.Disc, Thickness: 8 * mm, Of: of("sponge", 0.45)},
		{ID: "cream", Name: "Lime cream", Kind: assembly.Fill, Level: assembly.At(38 * mm), Of: of("cream", 0.8)},
		{ID: "zest", Name: "candied zest", Kind: assembly.Decor, Pieces: 12, Each: unit.Gram, Of: of("zest", 0)},
	}}
	return lay(t, a, mouldOf(t, "frame", "Frame 360 × 260 × 40 mm", true)(mould.Frame(360*mm, 260*mm, 40*mm, 0, 0)))
}

// sections are the fixtures by name.
func sections(t testing.TB) map[string]*assembly.Section {
	return map[string]*assembly.Section{"ring": ring(t), "dome": dome(t), "pan": pan(t), "slab": slab(t)}
}
