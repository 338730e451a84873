package check_test

import (
	"strings"
	"testing"

	"chablon/assembly"
	"chablon/check"
	"chablon/finding"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/mould"
	"chablon/unit"
)

const mm = unit.Millimetre

func ring(t testing.TB, d, h unit.Length) *mould.Mould {
	t.Helper()
	s, err := mould.Ring(d, h)
	return made(t, "ring", s, err)
}

func made(t testing.TB, id string, s mould.Solid, err error) *mould.Mould {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return &mould.Mould{ID: id, Name: id, Solid: s, Cavities: 1}
}

func sheet(t testing.TB, w, d, h unit.Length) *mould.Mould {
	t.Helper()
	s, err := mould.Frame(w, d, h, 0, 0)
	m := made(t, "sheet", s, err)
	m.Role = mould.RoleSheet
	return m
}

// sponge rises to three times its batter: 900 g/l baked to 300 g/l without a loss.
func sponge() *formula.Formula {
	return &formula.Formula{
		ID: "sponge", Density: 300, Air: formula.Air{SpecificGravity: 900 / 998.2},
		Lines: []formula.Line{{Ingredient: &ingredient.Ingredient{ID: "flour", Name: "Flour"}, Mass: 1}},
	}
}

// cake is one that no rule of fit says anything of; 180 × 45 mm.
func cake(t testing.TB) *assembly.Assembly {
	t.Helper()
	mix := assembly.Component{StandIn: "mix", Density: 800}
	baked := assembly.Component{Formula: sponge()}
	flat := sheet(t, 600*mm, 400*mm, 20*mm)
	return &assembly.Assembly{ID: "cake", Mould: ring(t, 180*mm, 45*mm), Layers: []assembly.Layer{
		{ID: "band", Kind: assembly.Band, Of: baked, MadeIn: flat, Thickness: 5 * mm, BandHeight: 40 * mm, Overlap: 8 * mm},
		{ID: "base", Kind: assembly.Base, Of: baked, MadeIn: flat, Thickness: 8 * mm},
		{ID: "mousse", Kind: assembly.Fill, Of: mix, BelowRim: assembly.At(3 * mm)},
		{ID: "heart", Kind: assembly.Insert, Of: mix, MadeIn: ring(t, 140*mm, 20*mm), Offset: assembly.At(15 * mm)},
		{ID: "glaze", Kind: assembly.Coat, Of: mix, Way: "flood", BelowRim: assembly.At(0)},
		{ID: "velvet", Kind: assembly.Coat, Of: mix, Way: "spray", Film: mm},
	}}
}

func layer(a *assembly.Assembly, id string) *assembly.Layer {
	for i := range a.Layers {
		if a.Layers[i].ID == id {
			return &a.Layers[i]
		}
	}
	return nil
}

// Each rule of fit: where it speaks, at the last figure where it is silent, and where it does not
// apply. The limits are those of the package, common practice without a source.
func TestFit(t *testing.T) {
	t.Parallel()
	base := func(inset unit.Length) func(a *assembly.Assembly) {
		return func(a *assembly.Assembly) {
			layer(a, "base").Outline.Own = mould.Circle(170*mm - 2*inset) // in from the band
		}
	}
	heart := func(d unit.Length) func(a *assembly.Assembly) {
		return func(a *assembly.Assembly) { layer(a, "heart").MadeIn = ring(t, d, 20*mm) }
	}
	glaze := func(below unit.Length) func(a *assembly.Assembly) {
		return func(a *assembly.Assembly) { layer(a, "mousse").BelowRim = assembly.At(below) }
	}
	low := func(a *assembly.Assembly) { layer(a, "mousse").BelowRim = assembly.At(1.9 * mm) }
	length := func(w unit.Length) func(a *assembly.Assembly) { // the strip is π·175 + 8 = 557.8 mm
		return func(a *assembly.Assembly) { layer(a, "band").MadeIn = sheet(t, w, 100*mm, 20*mm) }
	}
	// Starch weighs 1592.9 kg/m³ at 20 °C (bib:choi-okos): 81.17 % of a sponge of 300 are pores, of which
	// 60 % fill: 3.896 kg of water on a square metre 8 mm thick.
	soak := func(load unit.Load) func(a *assembly.Assembly) {
		return func(a *assembly.Assembly) {
			f := sponge()
			starch := *f.Lines[0].Ingredient
			for _, k := range []material.Component{material.Water, material.Protein, material.Fat, material.Ash, material.Fibre} {
				starch.Composition.Set(k, 0)
			}
			starch.Composition.Set(material.Carbohydrate, 1)
			f.Lines[0].Ingredient = &starch
			layer(a, "base").Of.Formula = f
			a.Layers = append(a.Layers, assembly.Layer{ID: "soak", Kind: assembly.Soak, Of: assembly.Component{StandIn: "water", Density: 1000}, On: "base", SoakLoad: load})
		}
	}
	pan := func(h unit.Length, role string) func(a *assembly.Assembly) {
		return func(a *assembly.Assembly) {
			m := ring(t, 200*mm, h)
			m.Role = role
			layer(a, "base").MadeIn = m
		}
	}
	for _, c := range []struct {
		name, code string
		level      finding.Level
		change     func(a *assembly.Assembly)
		want       bool
		figures    []string
	}{
		{"narrow gap", "gap-too-narrow", finding.Caution, base(2.9 * mm), true, []string{"2.9 mm"}},
		{"gap of 3 mm", "gap-too-narrow", finding.Caution, base(3.0001 * mm), false, nil},
		{"no gap", "gap-too-narrow", finding.Caution, base(0), false, nil},
		{"near the wall", "insert-near-wall", finding.Caution, heart(162 * mm), true, []string{"4 mm"}},
		{"5 mm of cover", "insert-near-wall", finding.Caution, heart(159.9 * mm), false, nil},
		{"insert over the filling", "insert-shows", finding.Caution, func(a *assembly.Assembly) {
			layer(a, "heart").Offset = assembly.At(24 * mm)
			a.Layers = a.Layers[:4]
		}, true, []string{"2 mm", "42 mm"}},
		{"insert flush", "insert-shows", finding.Caution, func(a *assembly.Assembly) {
			layer(a, "heart").Offset = assembly.At(22 * mm)
			a.Layers = a.Layers[:4]
		}, false, nil},
		{"band over the filling", "band-above-filling", finding.Caution, func(a *assembly.Assembly) {
			layer(a, "band").BandHeight = 44 * mm
			a.Layers = a.Layers[:4]
		}, true, []string{"2 mm"}},
		{"band in the filling", "band-above-filling", finding.Caution, func(a *assembly.Assembly) { layer(a, "band").BandHeight = 42 * mm }, false, nil},
		{"joint unsaid", "band-joint-unsaid", finding.Note, func(a *assembly.Assembly) { layer(a, "band").Overlap = 0 }, true, nil},
		{"joint said", "band-joint-unsaid", finding.Note, nil, false, nil},
		{"strip too long", "band-longer-than-sheet", finding.Fault, length(567 * mm), true, []string{"557.8 mm", "557 mm"}},
		{"strip just fits", "band-longer-than-sheet", finding.Fault, length(568 * mm), false, nil},
		{"overlap longer than the sheet", "band-longer-than-sheet", finding.Fault, func(a *assembly.Assembly) {
			length(100 * mm)(a)
			layer(a, "band").Overlap = 95 * mm
		}, true, []string{"95 mm"}},
		{"no room for the glaze", "no-room-for-glaze", finding.Fault, glaze(1.5 * mm), true, []string{"1.5 mm", "2 mm"}},
		{"room for the glaze", "no-room-for-glaze", finding.Fault, glaze(2 * mm), false, nil},
		{"thin glaze", "glaze-too-thin", finding.Caution, func(a *assembly.Assembly) { layer(a, "glaze").BelowRim = assembly.At(1.5 * mm) }, true, []string{"1.5 mm", "2 mm"}},
		{"glaze of 2 mm", "glaze-too-thin", finding.Caution, func(a *assembly.Assembly) { layer(a, "glaze").BelowRim = assembly.At(0.999 * mm) }, false, nil},
		{"thick glaze", "glaze-too-thick", finding.Caution, glaze(9 * mm), true, []string{"9 mm"}},
		{"glaze of 8 mm", "glaze-too-thick", finding.Caution, glaze(8 * mm), false, nil},
		{"thin film", "film-too-thin", finding.Caution, func(a *assembly.Assembly) { layer(a, "velvet").Film = 0.7 * mm }, true, []string{"0.7 mm"}},
		{"film of 0.8 mm", "film-too-thin", finding.Caution, func(a *assembly.Assembly) { layer(a, "velvet").Film = 0.8 * mm }, false, nil},
		{"no room: not also too thin", "glaze-too-thin", finding.Caution, low, false, nil},
		// Nothing between the fill's start at 0 and a base hung at 20 mm but what it closes off.
		{"pocket closed", "pocket-closed", finding.Fault, func(a *assembly.Assembly) {
			layer(a, "base").Offset = assembly.At(20 * mm)
			a.Layers = a.Layers[:3]
		}, true, []string{"20 mm", "0 mm", "base"}},
		{"pocket open round a smaller disc", "pocket-closed", finding.Fault, func(a *assembly.Assembly) {
			base(3.0001 * mm)(a)
			layer(a, "base").Offset = assembly.At(20 * mm)
			a.Layers = a.Layers[:3]
		}, false, nil},
		{"base on the bottom", "pocket-closed", finding.Fault, nil, false, nil},
		{"gap under the nozzle", "gap-under-nozzle", finding.Caution, func(a *assembly.Assembly) {
			base(9 * mm)(a)
			layer(a, "mousse").Nozzle = 10 * mm
		}, true, []string{"9 mm", "10 mm"}},
		{"gap of the nozzle", "gap-under-nozzle", finding.Caution, func(a *assembly.Assembly) {
			base(10.001 * mm)(a)
			layer(a, "mousse").Nozzle = 10 * mm
		}, false, nil},
		{"pressed in later, the nozzle has been", "gap-under-nozzle", finding.Caution, func(a *assembly.Assembly) { layer(a, "mousse").Nozzle = 18 * mm }, false, nil},
		{"short lap", "band-overlap-short", finding.Caution, func(a *assembly.Assembly) { layer(a, "band").Overlap = 4.9 * mm }, true, []string{"4.9 mm"}},
		{"lap of 5 mm", "band-overlap-short", finding.Caution, func(a *assembly.Assembly) { layer(a, "band").Overlap = 5 * mm }, false, nil},
		// 2.1 mm over 600: half of it is gone at atan(1.05/300) = 0.2°.
		{"wide thin glaze", "shelf-not-level-enough", finding.Caution, func(a *assembly.Assembly) {
			s, err := mould.Frame(600*mm, 400*mm, 45*mm, 0, 0)
			a.Mould = made(t, "ring", s, err)
			layer(a, "mousse").BelowRim = assembly.At(2.1 * mm)
		}, true, []string{"2.1 mm", "600 mm", "0.20°"}},
		// 3 mm over 180: 0.95°.
		{"narrow glaze", "shelf-not-level-enough", finding.Caution, nil, false, nil},
		{"drowned", "soak-over-capacity", finding.Caution, soak(3.90), true, []string{"base", "81 %"}},
		{"soaked full", "soak-over-capacity", finding.Caution, soak(3.89), false, nil},
		{"thicker than the sheet", "thicker-than-pan", finding.Fault, func(a *assembly.Assembly) { layer(a, "base").MadeIn = sheet(t, 600*mm, 400*mm, 7*mm) }, true, []string{"8 mm", "7 mm"}},
		{"as thick as the sheet", "thicker-than-pan", finding.Fault, func(a *assembly.Assembly) { layer(a, "base").MadeIn = sheet(t, 600*mm, 400*mm, 8*mm) }, false, nil},
		// A dense batter: 240 g/l make 8 mm of 300 g/l, 10 mm deep. In a pan of 12 mm, 83 %.
		{"pan too full", "pan-too-full", finding.Caution, func(a *assembly.Assembly) { pan(12*mm, mould.RolePan)(a); dense(a) }, true, []string{"10 mm", "83 %"}},
		{"pan filled to 80 %", "pan-too-full", finding.Caution, func(a *assembly.Assembly) { pan(12.51*mm, mould.RolePan)(a); dense(a) }, false, nil},
		{"sheet overflows", "pan-too-full", finding.Fault, func(a *assembly.Assembly) { pan(9*mm, mould.RoleSheet)(a); dense(a) }, true, []string{"10 mm", "9 mm"}},
		{"sheet filled to the rim", "pan-too-full", finding.Fault, func(a *assembly.Assembly) { pan(10.1*mm, mould.RoleSheet)(a); dense(a) }, false, nil},
		{"batter of no density", "pan-too-full", finding.Caution, func(a *assembly.Assembly) {
			pan(12*mm, mould.RolePan)(a)
			layer(a, "base").Of.Formula.Air = formula.Air{}
		}, false, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := cake(t)
			if c.change != nil {
				c.change(a)
			}
			found := false
			for _, f := range check.Section(a.Lay(a.Mould)) {
				if f.Code != c.code {
					continue
				}
				found = true
				if f.Level != c.level || f.Source == "" || !strings.HasPrefix(f.Where, `assembly cake in ring, layer "`) || f.Remedy == "" {
					t.Errorf("got %+v, want a %s with place, remedy and source", f, c.level)
				}
				for _, x := range c.figures {
					if !strings.Contains(strings.ReplaceAll(f.Reason, "\u00a0", " "), x) {
						t.Errorf("reason %q lacks %q", f.Reason, x)
					}
				}
			}
			if found != c.want {
				t.Errorf("%s found: %v, want %v", c.code, found, c.want)
			}
		})
	}
	a := cake(t)
	for _, f := range check.Section(a.Lay(a.Mould)) {
		t.Errorf("the sound cake: %+v", f)
	}
	// 812 g on a base of 8 mm is carried; on one of 5.9 mm it bends, and on mousse it tears.
	layer(a, "base").Thickness = 5.9 * mm
	lift := func(want string) {
		t.Helper()
		var got string
		for _, f := range check.Section(a.Lay(a.Mould)) {
			if f.Code == "lift-on-board" {
				got += f.Reason
			}
		}
		if !strings.Contains(got, want) || want == "" && got != "" {
			t.Errorf("lifting: %q, want %q", got, want)
		}
	}
	lift("bends")
	a.Layers = a.Layers[2:]
	lift("tears")
	layer(a, "mousse").Of.Density = 500 // 598 g in all
	layer(a, "heart").Of.Density, layer(a, "glaze").Of.Density, layer(a, "velvet").Of.Density = 500, 500, 500
	lift("")
}

// dense makes the base's batter lighter than what is baked of it.
func dense(a *assembly.Assembly) {
	f := *layer(a, "base").Of.Formula
	f.Air.SpecificGravity = 240 / 998.2
	layer(a, "base").Of.Formula = &f
}

// An insert that is an assembly of its own is checked with the piece.
func TestInsertsAreChecked(t *testing.T) {
	t.Parallel()
	jelly := gelatinOf("jelly insert", 0.05)
	heart := &assembly.Assembly{ID: "heart", Mould: ring(t, 140*mm, 20*mm), Layers: []assembly.Layer{
		{ID: "jelly", Kind: assembly.Fill, Of: assembly.Component{Formula: jelly}, BelowRim: assembly.At(3 * mm)},
		{ID: "glaze", Kind: assembly.Coat, Of: assembly.Component{Formula: jelly}, Way: "spray", Film: 0.5 * mm},
	}}
	a := cake(t)
	*layer(a, "heart") = assembly.Layer{ID: "heart", Kind: assembly.Insert, Of: assembly.Component{Assembly: heart}, Offset: assembly.At(15 * mm)}
	codes := map[string]int{}
	for _, f := range check.Section(a.Lay(a.Mould)) {
		codes[f.Code]++
	}
	if codes["film-too-thin"] != 1 {
		t.Errorf("found %v, want one film-too-thin of the insert", codes)
	}
}
