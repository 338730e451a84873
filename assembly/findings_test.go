package assembly_test

import (
	"strings"
	"testing"

	"chablon/assembly"
	"chablon/finding"
	"chablon/mould"
	"chablon/unit"
)

var mix = assembly.Component{StandIn: "mix", Density: 800}

// sound is a cake without a fault, 180 × 45 mm; change makes one.
func sound(t *testing.T, change func(a *assembly.Assembly)) *assembly.Section {
	t.Helper()
	insert := ring(t, 120*mm, 20*mm)
	insert.ID = "ring-120"
	m := ring(t, 180*mm, 45*mm)
	a := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{
		{ID: "band", Kind: assembly.Band, Of: mix, Thickness: 5 * mm, BandHeight: 30 * mm},
		{ID: "base", Kind: assembly.Base, Of: mix, Thickness: 8 * mm},
		{ID: "soak", Kind: assembly.Soak, Of: mix, SoakLoad: 2.5},
		{ID: "mousse", Kind: assembly.Fill, Of: mix, BelowRim: assembly.At(3 * mm), Stages: []assembly.Stage{{Level: assembly.At(15 * mm)}, {After: "heart"}}},
		{ID: "heart", Kind: assembly.Insert, Of: mix, MadeIn: insert, Thickness: 15 * mm},
		{ID: "glaze", Kind: assembly.Coat, Of: mix, Way: "flood", BelowRim: assembly.At(0)},
		{ID: "velvet", Kind: assembly.Coat, Of: mix, Way: "spray", Film: mm},
		{ID: "nuts", Kind: assembly.Decor, Of: mix, Pieces: 9, Each: 2 * unit.Gram},
	}}
	if change != nil {
		change(a)
	}
	return a.Lay(a.Mould)
}

func layer(a *assembly.Assembly, id string) *assembly.Layer {
	for i := range a.Layers {
		if a.Layers[i].ID == id {
			return &a.Layers[i]
		}
	}
	return nil
}

// Each way in which a piece cannot be made is one finding of its code, with both figures and a
// remedy; the sound cake has none of them.
func TestFindings(t *testing.T) {
	t.Parallel()
	if s := sound(t, nil); len(s.Findings) > 0 {
		t.Fatalf("the sound cake has findings: %+v", s.Findings)
	}
	for _, c := range []struct {
		name, code, where string
		change            func(a *assembly.Assembly)
		figures           []string // in the reason
		remedy            string
	}{
		{"level above the rim", "layer-over-capacity", "mousse", func(a *assembly.Assembly) {
			l := layer(a, "mousse")
			l.BelowRim, l.Level = assembly.Height{}, assembly.At(50*mm)
			a.Layers = a.Layers[:5]
		}, []string{"50 mm", "45 mm"}, "5 mm"},
		{"insert through the rim", "layer-over-capacity", "heart", func(a *assembly.Assembly) { layer(a, "heart").Offset = assembly.At(40 * mm) }, []string{"55 mm", "45 mm"}, "10 mm"},
		{"band higher than the mould", "layer-over-capacity", "band", func(a *assembly.Assembly) { layer(a, "band").BandHeight = 60 * mm }, []string{"60 mm", "45 mm"}, "45 mm"},
		{"negative offset", "layer-under-bottom", "heart", func(a *assembly.Assembly) {
			layer(a, "heart").Offset = assembly.At(-12 * mm)
			a.Layers = append(a.Layers[:1], a.Layers[3:]...)
		}, []string{"−12 mm", "0 mm"}, "12 mm"},
		{"band under the bottom", "layer-under-bottom", "band", func(a *assembly.Assembly) { layer(a, "band").Offset = assembly.At(-4 * mm) }, []string{"−4 mm", "0 mm"}, "4 mm"},
		{"band over the rim altogether", "layer-without-room", "band", func(a *assembly.Assembly) { layer(a, "band").Offset = assembly.At(90 * mm) }, []string{"90 mm", "45 mm"}, "offset"},
		{"no thickness", "layer-without-thickness", "base", func(a *assembly.Assembly) { layer(a, "base").Thickness = 0 }, nil, "thickness"},
		{"negative thickness", "layer-without-thickness", "heart", func(a *assembly.Assembly) { layer(a, "heart").Thickness = -mm }, nil, "thickness"},
		{"glaze without level", "layer-without-thickness", "glaze", func(a *assembly.Assembly) { layer(a, "glaze").BelowRim = assembly.Height{} }, nil, "level"},
		{"insert wider than the mould", "wider-than-mould", "heart", func(a *assembly.Assembly) {
			layer(a, "heart").MadeIn = ring(t, 200*mm, 20*mm)
			a.Layers = a.Layers[1:]
		}, []string{"10 mm", "15 mm"}, "10 mm"},
		{"disc wider than the mould", "wider-than-mould", "base", func(a *assembly.Assembly) {
			layer(a, "base").Outline.Own = mould.Circle(190 * mm)
			a.Layers = a.Layers[1:]
		}, []string{"5 mm", "0 mm"}, "5 mm"},
		{"disc wider than the band", "wider-than-band", "base", func(a *assembly.Assembly) { layer(a, "base").Outline.Own = mould.Circle(174 * mm) }, []string{"2 mm", `"band"`}, "2 mm"},
		{"insert into the band", "wider-than-band", "heart", func(a *assembly.Assembly) { layer(a, "heart").MadeIn = ring(t, 172*mm, 20*mm) }, []string{"1 mm", `"band"`}, "1 mm"},
		{"band too thick", "layer-without-room", "band", func(a *assembly.Assembly) { layer(a, "band").Thickness = 90 * mm }, []string{"90 mm", "180 mm"}, "thinner"},
		{"band without height", "band-without-size", "band", func(a *assembly.Assembly) { layer(a, "band").BandHeight = 0 }, nil, "both"},
		{"inset of all", "layer-without-room", "base", func(a *assembly.Assembly) { layer(a, "base").Outline.Inset = assembly.At(90 * mm) }, []string{"180 mm", "90 mm"}, "inset"},
		{"insert in the base", "layers-overlap", "heart", func(a *assembly.Assembly) { layer(a, "heart").Offset = assembly.At(5 * mm) }, []string{"3 mm", `"base"`}, "3 mm"},
		{"two bands", "layers-overlap", "second", func(a *assembly.Assembly) {
			a.Layers = append(a.Layers, assembly.Layer{ID: "second", Kind: assembly.Band, Of: mix, Thickness: 3 * mm, BandHeight: 10 * mm, Offset: assembly.At(25 * mm)})
		}, []string{"5 mm", `"band"`}, "5 mm"},
		{"insert over its mould", "insert-over-its-mould", "heart", func(a *assembly.Assembly) { layer(a, "heart").Thickness = 22 * mm }, []string{"22 mm", "20 mm"}, "20 mm"},
		{"fill under the one before", "fill-without-room", "glaze", func(a *assembly.Assembly) { layer(a, "glaze").BelowRim = assembly.At(4 * mm) }, []string{"41 mm", "42 mm"}, "level"},
		{"fill where a disc takes all", "fill-without-room", "mousse", func(a *assembly.Assembly) {
			l := layer(a, "mousse")
			l.BelowRim, l.Level, l.Stages = assembly.Height{}, assembly.At(8*mm), nil
			a.Layers = a.Layers[1:4]
			a.Layers[0].Outline = assembly.Outline{}
		}, []string{"0 mm", "8 mm"}, "level"},
		{"stage over the fill", "stage-out-of-order", "mousse", func(a *assembly.Assembly) {
			layer(a, "mousse").Stages[0].Level = assembly.At(43 * mm)
			layer(a, "heart").Offset = assembly.At(15 * mm)
		}, []string{"43 mm", "42 mm"}, "rising"},
		{"soak on nothing", "soak-without-disc", "soak", func(a *assembly.Assembly) { layer(a, "soak").On = "mousse" }, nil, "base or disc"},
		{"soak of nothing", "soak-without-amount", "soak", func(a *assembly.Assembly) { layer(a, "soak").SoakLoad = 0 }, nil, "g/cm²"},
		{"coat without film", "coat-without-film", "velvet", func(a *assembly.Assembly) { layer(a, "velvet").Film = 0 }, nil, "2 mm"},
		{"coat of nothing", "coat-without-piece", "velvet", func(a *assembly.Assembly) { a.Layers = a.Layers[6:7] }, nil, "before"},
		{"coat thicker than any mould", "coat-without-shape", "velvet", func(a *assembly.Assembly) { layer(a, "velvet").Film = 2 * unit.Metre }, []string{"2 000 mm", "45 mm"}, "thinner"},
		{"no density", "density-missing", "glaze", func(a *assembly.Assembly) { layer(a, "glaze").Of = assembly.Component{StandIn: "pear glaze"} }, []string{"76 ml", "pear glaze"}, "100 ml"},
		{"counted without a mass", "decor-without-mass", "nuts", func(a *assembly.Assembly) { layer(a, "nuts").Each = 0 }, []string{"9"}, "each"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := sound(t, c.change)
			if len(s.Findings) != 1 {
				t.Errorf("%d findings, want one: %+v", len(s.Findings), s.Findings)
			}
			for _, f := range s.Findings {
				if f.Code != c.code || f.Level != finding.Fault {
					t.Errorf("got %s %s, want fault %s: %s", f.Level, f.Code, c.code, f.Reason)
				}
				if want := `assembly cake in ring, layer "` + c.where + `"`; f.Where != want {
					t.Errorf("where is %q, want %q", f.Where, want)
				}
				for _, x := range c.figures {
					if !strings.Contains(strings.ReplaceAll(f.Reason, "\u00a0", " "), x) {
						t.Errorf("reason %q lacks %q", f.Reason, x)
					}
				}
				if !strings.Contains(strings.ReplaceAll(f.Remedy, "\u00a0", " "), c.remedy) {
					t.Errorf("remedy %q lacks %q", f.Remedy, c.remedy)
				}
			}
		})
	}
}

func TestNestedTooDeep(t *testing.T) {
	t.Parallel()
	a := &assembly.Assembly{ID: "innermost", Mould: ring(t, 50*mm, 10*mm), Layers: []assembly.Layer{{ID: "jelly", Kind: assembly.Fill, Of: mix}}}
	for i := range 10 {
		inner := a
		a = &assembly.Assembly{ID: "a" + string(rune('0'+i)), Mould: ring(t, unit.Length(60+10*i)*mm, 20*mm), Layers: []assembly.Layer{
			{ID: "heart", Kind: assembly.Insert, Of: assembly.Component{Assembly: inner}},
			{ID: "cream", Kind: assembly.Fill, Of: mix},
		}}
		if has := a.Lay(a.Mould).Findings.Has("nested-too-deep"); has != (i >= 8) {
			t.Errorf("%d deep: found %v", i+1, has)
		}
	}
	if _, err := mould.Ring(9*unit.Metre, 45*mm); err == nil {
		t.Error("a ring of 9 m is accepted")
	}
}

// What an override gives holds in its mould alone.
func TestOverrides(t *testing.T) {
	t.Parallel()
	s := sound(t, func(a *assembly.Assembly) {
		small := ring(t, 100*mm, 20*mm)
		layer(a, "heart").Overrides = map[string]assembly.Override{"ring": {MadeIn: small, Thickness: 12 * mm}, "other": {Thickness: mm}}
		layer(a, "mousse").Overrides = map[string]assembly.Override{"ring": {Level: assembly.At(40 * mm)}}
		layer(a, "base").Overrides = map[string]assembly.Override{"ring": {Inset: assembly.At(15 * mm)}}
		layer(a, "band").Overrides = map[string]assembly.Override{"ring": {BandHeight: 20 * mm}}
		layer(a, "nuts").Overrides = map[string]assembly.Override{"ring": {Pieces: 5}, "other": {Pieces: 1}}
	})
	if len(s.Findings) > 0 {
		t.Fatal(s.Findings)
	}
	get := func(id string) *assembly.Placed { l, _ := s.Layer(id); return l }
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"heart's height", (get("heart").Z1 - get("heart").Z0).Millimetres(), 12},
		{"heart's width", get("heart").Plan.Width.Millimetres(), 100},
		{"mousse's level", get("mousse").Z1.Millimetres(), 40},
		{"base's width", get("base").Plan.Width.Millimetres(), 150},
		{"band's height", get("band").Z1.Millimetres(), 20},
		{"nuts", get("nuts").Mass.Grams(), 10},
	} {
		if d := c.got - c.want; d > 1e-9 || d < -1e-9 {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
}

// Masses that are not volumes times density, by hand for a base of 170 mm, 8 mm thick.
func TestSoaksAndCoats(t *testing.T) {
	t.Parallel()
	s := sound(t, func(a *assembly.Assembly) {
		layer(a, "velvet").Stays = 0.6
		a.Layers = append(a.Layers,
			assembly.Layer{ID: "share", Kind: assembly.Soak, Of: mix, On: "base", SoakShare: 0.5},
			assembly.Layer{ID: "brushed", Kind: assembly.Soak, Of: mix, On: "band", SoakLoad: 2.5})
	})
	if len(s.Findings) > 0 {
		t.Fatal(s.Findings)
	}
	const area = 3.141592653589793 * 0.085 * 0.085
	velvet, _ := s.Layer("velvet")
	for _, c := range []struct {
		id   string
		want float64 // kg
	}{
		{"soak", 2.5 * area},                                     // load × area
		{"share", 0.5 * 800 * area * 0.008},                      // share × the base's mass
		{"brushed", 2.5 * 3.141592653589793 * 0.175 * 0.030},     // load × strip length × height
		{"nuts", 0.018},                                          // 9 × 2 g
		{"band", 800 * 3.141592653589793 * 0.175 * 0.005 * 0.03}, // π (d − t) t h
	} {
		l, _ := s.Layer(c.id)
		if d := float64(l.Mass) - c.want; d > 1e-12 || d < -1e-12 {
			t.Errorf("%s weighs %v, want %v", c.id, l.Mass, c.want)
		}
	}
	if d := float64(velvet.Poured - velvet.Mass/0.6); d > 1e-12 || d < -1e-12 {
		t.Errorf("poured %v of %v that stay", velvet.Poured, velvet.Mass)
	}
	if d := float64(velvet.Poured - velvet.Mass - velvet.RunOff); d > 1e-12 || d < -1e-12 {
		t.Errorf("poured %v, stays %v, runs off %v", velvet.Poured, velvet.Mass, velvet.RunOff)
	}
}

// An insert turned over has its rim end down: of a half sphere of 100 mm the lower 25 mm are then
// π (50² · 25 − 25³/3) mm³, its thick end, and a stage that ends there takes the rest of a ring.
func TestTurnedOver(t *testing.T) {
	t.Parallel()
	const pi = 3.141592653589793
	thick, whole := pi*(2500*25-25*25*25/3.), 2*pi*50*50*50/3
	for _, over := range []bool{true, false} {
		m := ring(t, 180*mm, 60*mm)
		a := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{
			{ID: "heart", Kind: assembly.Insert, Of: mix, MadeIn: dome(t, 100*mm), TurnedOver: over},
			{ID: "mousse", Kind: assembly.Fill, Of: mix, Stages: []assembly.Stage{{Level: assembly.At(25 * mm)}, {}}},
		}}
		s := a.Lay(m)
		if len(s.Findings) > 0 {
			t.Fatal(s.Findings)
		}
		want := pi*90*90*25 - (whole - thick)
		if over {
			want = pi*90*90*25 - thick
		}
		mousse, _ := s.Layer("mousse")
		if got := mousse.Filled[0].Volume.Millilitres() * 1000; got/want-1 > 1e-9 || want/got-1 > 1e-9 {
			t.Errorf("turned over %v: the first stage takes %v mm³, want %v", over, got, want)
		}
		heart, _ := s.Layer("heart")
		if wide := heart.Region.Out[0] > 49*mm; wide != over {
			t.Errorf("turned over %v: at its foot the heart is %v to the wall", over, heart.Region.Out[0])
		}
	}
}

// A strip is as thick as it is square to the wall: on a wall at 45° a strip of 5 mm reaches 5 √2 mm
// in. Frusta by π h (a² + ab + b²)/3, over the lower 40 of 50 mm.
func TestBandOnLeaningWall(t *testing.T) {
	t.Parallel()
	s, err := mould.Round(200*mm, 100*mm, 50*mm)
	m := solid(t, "cone", s, err)
	a := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{{ID: "band", Kind: assembly.Band, Of: mix, Thickness: 5 * mm, BandHeight: 40 * mm}}}
	band, _ := a.Lay(m).Layer("band")
	frustum := func(h, a, b float64) float64 { return 3.141592653589793 * h * (a*a + a*b + b*b) / 3 }
	const in = 5 * 1.4142135623730951
	want := frustum(40, 50, 90) - frustum(40, 50-in, 90-in)
	if got := band.Volume.Millilitres() * 1000; got/want-1 > 1e-9 || want/got-1 > 1e-9 {
		t.Errorf("the band takes %v mm³, want %v", got, want)
	}
}
