package kitchen_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chablon/kitchen"
	"chablon/unit"
)

// By hand: the finest scale that takes the load shows it in its steps.
func TestRound(t *testing.T) {
	t.Parallel()
	k := kitchen.Default() // 0.1 g to 500 g, 1 g to 5 kg, 5 g without limit
	for _, c := range []struct{ m, shown, division float64 }{
		{3.14, 3.1, 0.1}, {0.01, 0.1, 0.1}, {0, 0, 0.1}, {500, 500, 0.1}, {500.4, 500, 1}, {4999.6, 5000, 1}, {5001, 5000, 5}, {12343, 12345, 5},
	} {
		shown, division := k.Round(unit.Mass(c.m) * unit.Gram)
		if math.Abs(shown.Grams()-c.shown) > 1e-9 || math.Abs(division.Grams()-c.division) > 1e-12 {
			t.Errorf("%g g shows as %g g in steps of %g g; want %g, %g", c.m, shown.Grams(), division.Grams(), c.shown, c.division)
		}
	}
	small := &kitchen.Kitchen{Scales: []kitchen.Scale{{Division: 2 * unit.Gram, UpTo: unit.Kilogram}}}
	if shown, division := small.Round(1503.5 * unit.Gram); math.Abs(shown.Grams()-1504) > 1e-9 || division != 2*unit.Gram {
		t.Errorf("1503.5 g, in parts on a scale of 1 kg in steps of 2 g: %g g", shown.Grams())
	}
	if shown, division := (&kitchen.Kitchen{}).Round(1.234 * unit.Gram); shown != 1.234*unit.Gram || division != 0 {
		t.Errorf("without scales: %v, %v", shown, division)
	}
}

// What is above nothing never shows as nothing, and nothing is off by more than half a step.
func TestRoundProperties(t *testing.T) {
	t.Parallel()
	k := kitchen.Default()
	rapid.Check(t, func(t *rapid.T) {
		m := unit.Mass(rapid.Float64Range(1e-9, 1000).Draw(t, "m"))
		shown, division := k.Round(m)
		if shown <= 0 || m > division/2 && math.Abs(float64(shown-m)) > 0.5000001*float64(division) {
			t.Fatalf("%v kg shows as %v kg in steps of %v", float64(m), float64(shown), float64(division))
		}
	})
}

func TestEquipment(t *testing.T) {
	t.Parallel()
	k := &kitchen.Kitchen{Equipment: []kitchen.Equipment{
		{ID: "small", Kind: "bowl", Volume: 3 * unit.Litre},
		{ID: "large", Kind: "bowl", Volume: 7 * unit.Litre},
		{ID: "deck", Kind: "oven", Count: 3, Trays: 2},
		{ID: "oven", Kind: "rack oven", Trays: 10},
		{ID: "fan", Kind: "oven", Trays: 5},
	}}
	if e, ok := k.Largest("bowl"); !ok || e.ID != "large" {
		t.Errorf("the largest bowl is %q, %v", e.ID, ok)
	}
	if e, ok := k.Largest("oven"); !ok || e.ID != "deck" { // no volumes: the first
		t.Errorf("the largest oven is %q, %v", e.ID, ok)
	}
	if _, ok := k.Largest("pot"); ok {
		t.Error("there is no pot")
	}
	for kind, want := range map[string]int{"oven": 3*2 + 5, "rack oven": 10, "bowl": 0, "freezer": 0} { // by hand
		if got := k.Trays(kind); got != want {
			t.Errorf("%d trays in kind %q, want %d", got, kind, want)
		}
	}
	for word, want := range map[string][]string{"bowl": {"small", "large"}, "large": {"large"}, "oven": {"oven"}, "pot": nil} { // an ID goes before a kind
		var got []string
		for _, e := range k.Find(word) {
			got = append(got, e.ID)
		}
		if len(got) != len(want) || len(got) > 0 && got[0] != want[0] {
			t.Errorf("Find(%q) = %v, want %v", word, got, want)
		}
	}
}

// The kitchen for documents that bring none can make a frozen piece: it has a person, somewhere
// to bake, to whip, to boil, to chill and to freeze.
func TestDefault(t *testing.T) {
	t.Parallel()
	k := kitchen.Default()
	for _, kind := range []string{"oven", "mixer", "bowl", "burner", "pot", "freezer", "refrigerator"} {
		if len(k.Find(kind)) == 0 {
			t.Errorf("no %s", kind)
		}
	}
	if len(k.People) == 0 || k.Trays("oven") == 0 || k.Trays("freezer") == 0 || k.Zone == nil || k.Confidence <= 0 || k.Confidence >= 1 {
		t.Errorf("not usable: %+v", k)
	}
	if kitchen.Default() == k {
		t.Error("two callers share one kitchen")
	}
}
