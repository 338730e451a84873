package assembly_test

import (
	"math"
	"testing"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

func TestPortion(t *testing.T) {
	t.Parallel()
	frame, err := mould.Frame(600*mm, 400*mm, 40*mm, 0, 0)
	sheet := solid(t, "frame", frame, err)
	for _, c := range []struct {
		name     string
		m        *mould.Mould
		rule     assembly.Portions
		count    int
		of       float64 // share of the piece that one portion is
		cut      string
		leftOver float64
	}{
		{"whole", ring(t, 180*mm, 45*mm), assembly.Portions{}, 1, 1, "whole", 0},
		{"wedges", ring(t, 180*mm, 45*mm), assembly.Portions{Rule: "wedges", Count: 8}, 8, 1.0 / 8, "8 wedges of 45.0°", 0},
		// 180 π = 565 mm of rim: seven arcs of 80 mm.
		{"arc", ring(t, 180*mm, 45*mm), assembly.Portions{Rule: "wedges", Length: 80 * mm}, 7, 1.0 / 7, "7 wedges of 51.4°", 0},
		// The ring holds 1145 ml: nine portions of 120 ml.
		{"by volume", ring(t, 180*mm, 45*mm), assembly.Portions{Rule: "wedges", Volume: 120 * unit.Millilitre}, 9, 1.0 / 9, "9 wedges of 40.0°", 0},
		// At 1 g/ml it weighs 1145 g: eleven of 100 g.
		{"by mass", ring(t, 180*mm, 45*mm), assembly.Portions{Rule: "wedges", Mass: 100 * unit.Gram}, 11, 1.0 / 11, "11 wedges of 32.7°", 0},
		{"counted squares", sheet, assembly.Portions{Rule: "squares", Count: 80}, 80, 1.0 / 80, "10 × 8 pieces of 60 × 50 mm", 0},
		// 55 mm squares: ten by seven of them, 211,750 of 240,000 mm².
		{"squares", sheet, assembly.Portions{Rule: "squares", Length: 55 * mm}, 70, 55 * 55 / 240000.0, "10 × 7 squares of 55 mm", 1 - 70*55*55/240000.0},
		{"slices", sheet, assembly.Portions{Rule: "slices", Length: 35 * mm}, 17, 35.0 / 600, "slices of 35 mm along 600 mm", 5.0 / 600},
	} {
		t.Run(c.name, func(t *testing.T) {
			of := assembly.Component{StandIn: "mix", Density: unit.GramPerMillilitre}
			a := &assembly.Assembly{ID: "a", Mould: c.m, Portions: c.rule, Layers: []assembly.Layer{{ID: "fill", Kind: assembly.Fill, Of: of}}}
			s := a.Lay(c.m)
			got, err := s.Portion()
			if err != nil {
				t.Fatal(err)
			}
			near := func(what string, got, want float64) {
				if math.Abs(got-want) > 1e-9*math.Abs(want)+1e-12 {
					t.Errorf("%s: %v, want %v", what, got, want)
				}
			}
			if got.Count != c.count || got.Cut != c.cut {
				t.Errorf("%d, %q; want %d, %q", got.Count, got.Cut, c.count, c.cut)
			}
			near("mass", float64(got.Mass), c.of*float64(s.Mass()))
			near("volume", float64(got.Volume), c.of*float64(c.m.Solid.Below(s.Top)))
			near("offcuts", float64(got.Offcuts), c.leftOver*float64(s.Mass()))
			near("make-up", float64(got.Parts[0].Each), float64(got.Mass))
			near("balance", float64(got.Mass)*float64(got.Count)+float64(got.Offcuts), float64(s.Mass()))
		})
	}
	round := ring(t, 180*mm, 45*mm)
	for name, rule := range map[string]assembly.Portions{
		"nothing said": {Rule: "wedges"},
		"too large":    {Rule: "wedges", Volume: 2 * unit.Litre},
		"square round": {Rule: "squares", Length: 179 * mm},
	} {
		a := &assembly.Assembly{ID: "a", Mould: round, Portions: rule, Layers: []assembly.Layer{{ID: "fill", Kind: assembly.Fill}}}
		if got, err := a.Lay(round).Portion(); err == nil {
			t.Errorf("%s: %+v, want an error", name, got)
		}
	}
}
