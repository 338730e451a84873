package assembly_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

// varied is a ring with every kind of layer that varies, an insert that is an assembly of its own
// among them.
func varied(t testing.TB) *assembly.Assembly {
	t.Helper()
	of := func(name string, density float64) assembly.Component {
		return assembly.Component{StandIn: name, Density: unit.Density(density) * unit.GramPerMillilitre}
	}
	small, big := ring(t, 140*mm, 20*mm), ring(t, 180*mm, 45*mm)
	small.ID, big.ID = "small", "big"
	inner := &assembly.Assembly{ID: "inner", Mould: small, Layers: []assembly.Layer{
		{ID: "crunch", Kind: assembly.Base, Of: of("crunch", 1.1), Thickness: 4 * mm},
		{ID: "jelly", Kind: assembly.Fill, Of: of("jelly", 1.05), Level: assembly.At(16 * mm)},
	}}
	return &assembly.Assembly{ID: "outer", Mould: big, Inverted: true, Layers: []assembly.Layer{
		{ID: "band", Kind: assembly.Band, Of: of("sponge", 0.4), Thickness: 4 * mm, BandHeight: 30 * mm, Overlap: 8 * mm},
		{ID: "mousse", Kind: assembly.Fill, Of: of("mousse", 0.6), BelowRim: assembly.At(2 * mm), Stages: []assembly.Stage{{Share: 0.6}, {After: "insert"}}},
		{ID: "insert", Kind: assembly.Insert, Of: assembly.Component{Assembly: inner}, Offset: assembly.At(12 * mm)},
		{ID: "base", Kind: assembly.Base, Of: of("sponge", 0.4), Thickness: 8 * mm, BelowRim: assembly.At(2 * mm), Outline: assembly.Outline{Inset: assembly.At(8 * mm)}},
		{ID: "soak", Kind: assembly.Soak, Of: of("soak", 1.1), On: "base", SoakLoad: unit.Load(2)},
		{ID: "glaze", Kind: assembly.Coat, Of: of("glaze", 1.2), Way: "pour", Film: 2 * mm, Stays: 0.7},
		{ID: "nuts", Kind: assembly.Decor, Of: of("nuts", 0.6), Pieces: 8, Each: 2 * unit.Gram},
	}}
}

// TestEvaluatorEqualsLay draws 200 variations and lays the piece both ways: compiled, and as an
// assembly written with those very figures in a mould of those very measures.
func TestEvaluatorEqualsLay(t *testing.T) {
	t.Parallel()
	a := varied(t)
	e := a.Compile(a.Mould)
	sites, moulds := e.Sites(), e.Moulds()
	if len(sites) != 9 || len(moulds) != 2 {
		t.Fatalf("%d sites and %d moulds, want 9 and 2", len(sites), len(moulds))
	}
	rng := rand.New(rand.NewPCG(4, 5))
	about := func(spread float64) float64 { return 1 + spread*(2*rng.Float64()-1) }
	for range 200 {
		v := assembly.Variation{Layers: make([]assembly.LayerFactors, len(sites)), Moulds: make([]assembly.MouldFactors, len(moulds))}
		for i := range v.Layers {
			v.Layers[i] = assembly.LayerFactors{Thickness: about(0.2), Density: about(0.1), Amount: about(0.3)}
			if sites[i].Layer.Kind == assembly.Fill { // twice the density, to Lay
				v.Layers[i].Density, v.Layers[i].Amount = v.Layers[i].Density*v.Layers[i].Amount, 0
			}
		}
		for i := range v.Moulds {
			v.Moulds[i] = assembly.MouldFactors{Across: about(0.005), Up: about(0.005)}
		}
		written, site := rewritten(t, a, v, 0, 0)
		if site != len(sites) {
			t.Fatalf("rewrote %d layers of %d", site, len(sites))
		}
		want, got := written.Lay(written.Mould), e.Lay(&v)
		compareFigures(t, got, want)
		if t.Failed() {
			t.Fatalf("variation %+v", v)
		}
	}
}

// rewritten writes a variation into the assembly's own figures.
func rewritten(t *testing.T, a *assembly.Assembly, v assembly.Variation, site, number int) (*assembly.Assembly, int) {
	t.Helper()
	b := *a
	m, f := *a.Mould, v.Moulds[number]
	rim := m.Solid.At(m.Solid.Height())
	s, err := mould.Ring(rim.Width*unit.Length(f.Across), m.Solid.Height()*unit.Length(f.Up))
	if err != nil {
		t.Fatal(err)
	}
	m.Solid = s
	b.Mould = &m
	b.Layers = append([]assembly.Layer(nil), a.Layers...)
	first := site
	site += len(b.Layers)
	for i := range b.Layers {
		l, x := &b.Layers[i], v.Layers[first+i]
		l.Thickness *= unit.Length(x.Thickness)
		l.Film *= unit.Length(x.Thickness)
		l.SoakLoad *= unit.Load(x.Amount)
		l.Each *= unit.Mass(x.Amount)
		l.Of.Density *= unit.Density(x.Density)
	}
	for i := range b.Layers {
		if in := b.Layers[i].Of.Assembly; in != nil {
			number++
			b.Layers[i].Of.Assembly, site = rewritten(t, in, v, site, number)
			b.Layers[i].MadeIn = b.Layers[i].Of.Assembly.Mould
		}
	}
	return &b, site
}

func compareFigures(t *testing.T, got, want *assembly.Section) {
	t.Helper()
	for i := range want.Layers {
		g, w := &got.Layers[i], &want.Layers[i]
		for _, pair := range [][2]float64{
			{float64(g.Mass), float64(w.Mass)},
			{float64(g.Volume), float64(w.Volume)},
			{float64(g.Z0), float64(w.Z0)},
			{float64(g.Z1), float64(w.Z1)},
			{float64(g.Poured), float64(w.Poured)},
			{float64(g.StripLength), float64(w.StripLength)},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-9*math.Abs(pair[1]) {
				t.Errorf("%s: %v compiled, %v laid", w.ID, pair[0], pair[1])
			}
		}
		if w.Inside != nil {
			compareFigures(t, g.Inside, w.Inside)
		}
	}
}

func BenchmarkEvaluator(b *testing.B) {
	a := varied(b)
	e := a.Compile(a.Mould)
	v := &assembly.Variation{Layers: make([]assembly.LayerFactors, 9), Moulds: []assembly.MouldFactors{{Across: 1.001, Up: 0.999}, {}}}
	b.ReportAllocs()
	for b.Loop() {
		e.Lay(v)
	}
}

func BenchmarkLay(b *testing.B) {
	a := varied(b)
	b.ReportAllocs()
	for b.Loop() {
		a.Lay(a.Mould)
	}
}
