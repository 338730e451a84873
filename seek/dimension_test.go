package seek_test

import (
	"math"
	"strings"
	"testing"

	"chablon/seek"
	"chablon/unit"
)

// A base of half the fill's cost in a ring of 180 × 45 mm: every answer has a closed form.
func TestDimension(t *testing.T) {
	t.Parallel()
	a := plain(t, 0)
	a.Layers[0].Of.StandIn, a.Layers[0].Of.Density = "sponge", 0.4*unit.GramPerMillilitre
	area := math.Pi * 90 * 90 / 1000 // ml for each mm
	thick := seek.Free{Layer: "base", Field: seek.Thickness, Low: 2 * mm, High: 20 * mm}
	cost := seek.Cost(map[string]float64{"sponge": 4, "mix": 10})
	for _, c := range []struct {
		name    string
		free    seek.Free
		measure seek.Measure
		target  float64
		want    float64 // mm
	}{
		// Every millimetre of base takes the place of one of fill: 0.8 − 0.4 g less for each ml.
		{"mass", thick, seek.Mass, area * (0.8*45 - 0.4*12.5) / 1000, 12.5},
		{"share", thick, seek.Share("sponge"), 0.4 * 9 / (0.4*9 + 0.8*36), 9},
		{"cost", thick, cost, area / 1000 * (0.4*4*15 + 0.8*10*30), 15},
		{"height", seek.Free{Layer: "fill", Field: seek.BelowRim, Low: 0, High: 20 * mm}, seek.Height, 0.0385, 6.5},
	} {
		got, err := seek.Dimension(a, a.Mould, c.free, c.measure, c.target)
		if err != nil || !got.Reached || math.Abs(got.Value.Millimetres()-c.want) > 1e-6 {
			t.Errorf("%s: %v (reached %v), %v; want %v mm", c.name, got.Value.Millimetres(), got.Reached, err, c.want)
			continue
		}
		// Forward again with the answer: the target.
		if back := c.measure(got.Section); math.Abs(back-c.target) > 1e-9*c.target {
			t.Errorf("%s: forward again %v, want %v", c.name, back, c.target)
		}
	}

	per, err := seek.PerMillimetre(a, a.Mould, "base", seek.Thickness, 10*mm, cost)
	if want := area / 1000 * (0.4*4 - 0.8*10); err != nil || math.Abs(per-want) > 1e-9*math.Abs(want) {
		t.Errorf("cost for a millimetre of base: %v, %v; want %v", per, err, want)
	}
}

func TestDimensionOutOfReach(t *testing.T) {
	t.Parallel()
	a := plain(t, 0)
	a.Layers[0].Of.StandIn, a.Layers[0].Of.Density = "sponge", 0.4*unit.GramPerMillilitre
	thick := seek.Free{Layer: "base", Field: seek.Thickness, Low: 2 * mm, High: 20 * mm}
	// 31 mm would meet it.
	target := 0.4 * 31 / (0.4*31 + 0.8*14)
	got, err := seek.Dimension(a, a.Mould, thick, seek.Share("sponge"), target)
	if err != nil || got.Reached || math.Abs(got.Value.Millimetres()-20) > 1e-9 || !strings.Contains(got.Relax, "31 mm") || !strings.Contains(got.Relax, "limit is 20 mm") {
		t.Errorf("%v %v, %q, %v; want 20 mm and that 31 mm are wanted", got.Reached, got.Value.Millimetres(), got.Relax, err)
	}
	// Nothing meets a share of 200 %.
	got, err = seek.Dimension(a, a.Mould, thick, seek.Share("sponge"), 2)
	if err != nil || got.Reached || !strings.Contains(got.Relax, "choose another dimension") {
		t.Errorf("%v, %q, %v; want that it cannot be", got.Reached, got.Relax, err)
	}
	for name, free := range map[string]seek.Free{
		"no layer":  {Layer: "none", Field: seek.Thickness, High: mm},
		"no field":  {Layer: "base", Field: "colour", High: mm},
		"no range":  {Layer: "base", Field: seek.Thickness, Low: mm, High: mm},
		"no number": {Layer: "base", Field: seek.Thickness, Low: unit.Length(math.NaN()), High: mm},
	} {
		if _, err := seek.Dimension(a, a.Mould, free, seek.Mass, 1); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := seek.Dimension(a, a.Mould, thick, seek.Mass, math.NaN()); err == nil {
		t.Error("a target of NaN, and no error")
	}
}
