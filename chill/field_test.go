package chill_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"chablon/assembly"
	"chablon/chill"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/kitchen"
	"chablon/material"
	"chablon/mould"
	"chablon/unit"
)

// bodyOf is a mould filled with the creamy mousse, at temperatures of fresh and frozen layers.
func bodyOf(t testing.TB, s mould.Solid, err error, start chill.Start) *chill.Body {
	t.Helper()
	m := solid(t, s, err)
	b, err := chill.NewBody(chill.Plain(creamy(), m, m.Solid.Height()), start)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The rule of the trade, common practice, no source: a mousse ring of 20 cm freezes in 3 to 4 hours,
// or overnight. The model's range over home freezers, still, to blast freezers holds both ends;
// which freezer gives which is what the pages say.
func TestRuleOfTheTrade(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(200*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(18, -18))
	fast, slow := time.Duration(math.MaxInt64), time.Duration(0)
	for _, f := range []kitchen.Equipment{freezer("still", -18), freezer("still", -20), freezer("fan", -20), freezer("fan", -25), freezer("blast", -35)} {
		a, err := b.Freeze(t.Context(), f, chill.Stated)
		if err != nil || !a.Reached {
			t.Fatalf("%v: %v, %s", f, err, a.Reason)
		}
		t.Logf("%s %v: %v (%v to %v), %d cells, grid error %.3f %%", f.Air, f.Setting, a.Time.Round(time.Minute), a.Low.Round(time.Minute), a.High.Round(time.Minute), a.Cells, 100*a.Run.GridError)
		fast, slow = min(fast, a.Low), max(slow, a.High)
		if a.Run.EnergyError > 1e-6 || a.Run.GridError > 0.01 {
			t.Errorf("energy error %v, grid error %v", a.Run.EnergyError, a.Run.GridError)
		}
		if a.Low >= a.Time || a.High <= a.Time {
			t.Errorf("%v lies outside %v to %v", a.Time, a.Low, a.High)
		}
		// What the chain plans with, on the coarse grid, is near.
		coarse, err := b.Freeze(t.Context(), f, chill.Planning)
		if err != nil || math.Abs(float64(coarse.Time)/float64(a.Time)-1) > 0.03 {
			t.Errorf("%v on the coarse grid, %v on the fine one (%v)", coarse.Time, a.Time, err)
		}
	}
	if fast > 4*time.Hour || slow < 9*time.Hour {
		t.Errorf("the model says %v to %v: the trade's 3 to 4 hours and overnight do not lie inside", fast, slow)
	}
}

// A frozen insert in fresh mousse: the core is cold from the start, and the ring is not ready before
// its warmest place is; the insert saves time.
func TestFrozenInsert(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(200*mm, 45*mm)
	m := solid(t, s, err)
	in, err := mould.Ring(150*mm, 20*mm)
	insert := solid(t, in, err)
	a := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{
		{ID: "mousse", Kind: assembly.Fill, Of: assembly.Component{Formula: creamy()}},
		{ID: "heart", Kind: assembly.Insert, Of: assembly.Component{Formula: creamy()}, MadeIn: insert, Offset: assembly.At(12 * mm)},
	}}
	section := a.Lay(m)
	frozen, err := chill.NewBody(section, chill.At(18, -20))
	if err != nil {
		t.Fatal(err)
	}
	fresh, err := chill.NewBody(section, chill.At(18, 18))
	if err != nil {
		t.Fatal(err)
	}
	with, err1 := frozen.Freeze(t.Context(), freezer("still", -20), chill.Planning)
	without, err2 := fresh.Freeze(t.Context(), freezer("still", -20), chill.Planning)
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	if core := with.Run.Curve[0].Core; core > -15 {
		t.Errorf("the core begins at %v, the insert is frozen", core)
	}
	if with.Time < time.Hour || float64(with.Time) > 0.9*float64(without.Time) {
		t.Errorf("%v with a frozen insert, %v with a fresh one", with.Time, without.Time)
	}
	if x := with.Run.Last(); x.Warmest > -15+0.05 {
		t.Errorf("ready with a place at %v", x.Warmest)
	}
}

// Shapes: a frame, a dome, a tube, a log and a heart, each slower where it is thicker; the notes say
// what is simplified.
func TestShapesFreeze(t *testing.T) {
	t.Parallel()
	time4 := func(s mould.Solid, err error) (time.Duration, []string) {
		t.Helper()
		a, err := bodyOf(t, s, err, chill.At(18, -20)).Freeze(t.Context(), freezer("fan", -25), chill.Planning)
		if err != nil || !a.Reached {
			t.Fatalf("%v, %s", err, a.Reason)
		}
		return a.Time, a.Notes
	}
	flat, _ := time4(mould.Frame(600*mm, 400*mm, 20*mm, 0, 0))
	high, _ := time4(mould.Frame(600*mm, 400*mm, 40*mm, 0, 0))
	small, _ := time4(mould.Dome(40*mm, 0))
	large, _ := time4(mould.Dome(160*mm, 0))
	if flat >= high || small >= large {
		t.Errorf("frames %v and %v, domes %v and %v: thicker is slower", flat, high, small, large)
	}
	ring, err := mould.Ring(220*mm, 60*mm)
	if err != nil {
		t.Fatal(err)
	}
	whole, _ := time4(ring, nil)
	tube, _ := time4(mould.NewTube(ring, []mould.ProfilePoint{{R: 35 * mm}, {R: 35 * mm, Z: 60 * mm}}))
	if tube >= whole {
		t.Errorf("%v with a tube in the middle, %v without", tube, whole)
	}
	heart, err := mould.Heart(100 * mm)
	if err != nil {
		t.Fatal(err)
	}
	if _, notes := time4(mould.NewPrism(heart, 45*mm, 0)); len(notes) != 1 {
		t.Errorf("a heart is simplified, and the notes are %v", notes)
	}
	if _, notes := time4(mould.RoundLog(80*mm, 70*mm, 40*mm, 250*mm)); len(notes) != 1 {
		t.Errorf("a log is simplified, and the notes are %v", notes)
	}
}

// What never freezes, and what is not known, is said.
func TestNeverFrozen(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(200*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(18, -18))
	warm := freezer("still", -10)
	if a, err := b.Freeze(t.Context(), warm, chill.Planning); err != nil || a.Reached || !strings.Contains(a.Reason, "never solid enough") {
		t.Errorf("at −10 °C: %+v, %v", a.Wait, err)
	}
	if _, err := b.Freeze(t.Context(), kitchen.Equipment{Name: "Box"}, chill.Planning); err == nil {
		t.Error("a freezer of no temperature freezes")
	}
	m := solid(t, s, err)
	nothing := &formula.Formula{ID: "air", Density: 500, Lines: []formula.Line{{Ingredient: &ingredient.Ingredient{ID: "x"}, Mass: 1}}}
	if _, err := chill.NewBody(chill.Plain(nothing, m, 45*mm), chill.At(18, -18)); err == nil {
		t.Error("a food of unknown composition freezes")
	}
	// 60 % alcohol stays liquid: the time to −15 °C is that of cooling, and none of it is ice.
	var c material.Composition
	for _, k := range material.Components() {
		c.Set(k, 0)
	}
	c.Set(material.Water, 0.4)
	c.Set(material.Alcohol, 0.6)
	spirit := &formula.Formula{ID: "spirit", Density: 880, Lines: []formula.Line{{Ingredient: &ingredient.Ingredient{ID: "x", Composition: c}, Mass: 1}}}
	body, err := chill.NewBody(chill.Plain(spirit, m, 45*mm), chill.At(18, -18))
	if err != nil {
		t.Fatal(err)
	}
	a, err := body.Freeze(t.Context(), freezer("still", -18), chill.Planning)
	if err != nil || len(a.Run.NoIce) != 1 || a.Run.Last().FrozenShare > 0.01 || len(a.Notes) != 1 || !strings.Contains(a.Notes[0], "does not freeze at −18 °C") {
		t.Errorf("a spirit: %+v, %v, no ice in %v, %v", a.Wait, err, a.Run.NoIce, a.Notes)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := b.Freeze(ctx, freezer("still", -20), chill.Stated); err == nil {
		t.Error("a cancelled question is answered")
	}
}

// A body's key changes with whatever its answer depends on, and with nothing else.
func TestKey(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(200*mm, 45*mm)
	other, err2 := mould.Ring(200*mm, 46*mm)
	if err2 != nil {
		t.Fatal(err2)
	}
	f := freezer("still", -20)
	key := bodyOf(t, s, err, chill.At(18, -18)).Key(f, "freeze")
	if key != bodyOf(t, s, err, chill.At(18, -18)).Key(f, "freeze") {
		t.Error("the same body has two keys")
	}
	colder := f
	colder.Setting = -21
	for name, k := range map[string]string{
		"question": bodyOf(t, s, err, chill.At(18, -18)).Key(f, "thaw"), "place": bodyOf(t, s, err, chill.At(18, -18)).Key(colder, "freeze"),
		"start": bodyOf(t, s, err, chill.At(17, -18)).Key(f, "freeze"), "height": bodyOf(t, other, nil, chill.At(18, -18)).Key(f, "freeze"),
	} {
		if k == key {
			t.Errorf("another %s has the same key", name)
		}
	}
}

func BenchmarkRing(b *testing.B) {
	s, err := mould.Ring(200*mm, 45*mm)
	body := bodyOf(b, s, err, chill.At(18, -18))
	for name, p := range map[string]chill.Precision{"planning": chill.Planning, "one run, 1 %": {Cell: 5 * unit.Millimetre}, "stated, with its band": chill.Stated} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := body.Freeze(context.Background(), freezer("still", -20), p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkFrame(b *testing.B) {
	s, err := mould.Frame(600*mm, 400*mm, 40*mm, 0, 0)
	body := bodyOf(b, s, err, chill.At(18, -18))
	for b.Loop() {
		if _, err := body.Freeze(context.Background(), freezer("still", -20), chill.Planning); err != nil {
			b.Fatal(err)
		}
	}
}
