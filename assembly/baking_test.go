package assembly_test

import (
	"math"
	"testing"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

func TestBakings(t *testing.T) {
	t.Parallel()
	pan := func(id string, d, h unit.Length) *mould.Mould {
		m := ring(t, d, h)
		m.ID, m.Role = id, mould.RolePan
		return m
	}
	pans := []*mould.Mould{pan("160", 160*mm, 50*mm), pan("180", 180*mm, 50*mm), pan("200", 200*mm, 50*mm), ring(t, 200*mm, 50*mm)}
	b := assembly.Bake{Shrink: 0.02, Edge: 5 * mm, Top: 4 * mm, Bottom: 1 * mm, Saw: 1 * mm, Batter: 0.5 * unit.GramPerMillilitre, Baked: 0.3 * unit.GramPerMillilitre, Loss: 0.1}
	got, err := assembly.Bakings(assembly.Wanted{Outline: mould.Circle(160 * mm), Thickness: 12 * mm, Count: 5}, b, pans)
	if err != nil {
		t.Fatal(err)
	}
	// 160 draws in to 156.8 and gives 146.8 mm: too small. 180 gives 166.4 mm.
	if len(got) != 2 || got[0].Pan.ID != "180" || got[1].Pan.ID != "200" {
		t.Fatalf("pans %+v, want 180 and 200", got)
	}
	k := got[0]
	// Three discs need 5 + 36 + 2 = 43 mm, four 56 mm: more than the rim and its 4 mm of dome. Two
	// cakes of three discs give six, of which the fifth is the last: three a cake.
	want := 0.3 * disc(180, 43) / 0.9
	depth := want / 0.5 / disc(180, 1)
	if k.Slices != 3 || k.Cakes != 2 || math.Abs(k.Height.Millimetres()-43) > 1e-9 || math.Abs(k.Batter.Grams()-want) > 1e-9*want ||
		math.Abs(k.Depth.Millimetres()-depth) > 1e-9 || math.Abs(k.Spare.Millimetres()-3.2) > 1e-9 {
		t.Errorf("%+v; want 3 slices of 43 mm from %v g, %v mm deep", k, want, depth)
	}
	if off := 2*0.3*disc(180, 43) - 5*0.3*disc(160, 12); math.Abs(k.Offcuts.Grams()-off) > 1e-9*off {
		t.Errorf("offcuts %v g, want %v", k.Offcuts.Grams(), off)
	}
	for name, w := range map[string]assembly.Wanted{
		"nothing":  {},
		"too wide": {Outline: mould.Circle(300 * mm), Thickness: 12 * mm, Count: 1},
		"too high": {Outline: mould.Circle(160 * mm), Thickness: 80 * mm, Count: 1},
	} {
		if got, err := assembly.Bakings(w, b, pans); err == nil {
			t.Errorf("%s: %+v, want an error", name, got)
		}
	}
	b.Baked = 0
	if _, err := assembly.Bakings(assembly.Wanted{Outline: mould.Circle(160 * mm), Thickness: 12 * mm, Count: 1}, b, pans); err == nil {
		t.Error("no density on record, and no error")
	}
}
