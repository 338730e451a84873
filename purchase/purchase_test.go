package purchase_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"chablon/ingredient"
	"chablon/purchase"
	"chablon/unit"
)

func thing(id string, yields ...ingredient.Yield) *ingredient.Ingredient {
	return &ingredient.Ingredient{ID: id, Name: id, Yields: yields}
}

func need(i *ingredient.Ingredient, grams float64, preparation string) purchase.Need {
	return purchase.Need{Ingredient: i, Mass: unit.Mass(grams) * unit.Gram, Preparation: preparation}
}

func egg(t testing.TB, id string, grams float64) purchase.Need {
	t.Helper()
	i, ok := ingredient.Builtin().Get(id)
	if !ok {
		t.Fatalf("no %s in the table", id)
	}
	return need(i, grams, "")
}

func near(m unit.Mass, grams float64) bool { return math.Abs(m.Grams()-grams) < 1e-6 }

// Whole eggs, by hand from a US large egg: white 33 g, yolk 17 g, whole 50 g (USDA SR28), shell
// 6.7 g (56.7 g of the least dozen, USDA AMS 56, less 50 g).
func TestEggs(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name                string
		whole, white, yolk  float64
		size                string
		eggs                float64
		waste, bought, left float64
		note                string
	}{
		{"five yolks, four whites", 0, 132, 85, "us-large", 5, 33.5, 283.5, 33, "33.0 g of white left"},
		{"whites decide", 0, 200, 51, "us-large", 7, 46.9, 396.9, 31 + 68, "31.0 g of white left, 68.0 g of yolk left"},
		{"whole ones besides", 200, 33, 17, "us-large", 5, 33.5, 283.5, 0, ""},
		{"half an egg", 25, 0, 0, "us-large", 1, 6.7, 56.7, 25, "25.0 g of whole egg left"},
		{"exactly", 0, 99, 51, "us-large", 3, 20.1, 170.1, 0, ""},
		{"a size not known is large", 100, 0, 0, "ostrich", 2, 13.4, 113.4, 0, ""},
		{"medium ones of Europe: 51 g and 7 g of shell", 102, 0, 0, "eu-m", 2, 14, 116, 0, ""},
	} {
		list := purchase.List([]purchase.Need{egg(t, "egg-whole", c.whole), egg(t, "egg-white", c.white), egg(t, "egg-yolk", c.yolk)}, c.size, nil)
		if len(list) != 1 {
			t.Errorf("%s: %d things to buy", c.name, len(list))
			continue
		}
		got := list[0]
		if got.ID != "eggs" || got.Buy.Number() != c.eggs || !near(got.Need, c.whole+c.white+c.yolk) || !near(got.Waste, c.waste) || !near(got.BuyMass, c.bought) || !near(got.LeftOver, c.left) || got.Note != c.note {
			t.Errorf("%s: %s eggs, %+v; want %+v", c.name, got.Buy, got, c)
		}
	}
	if got := purchase.List(nil, "us-large", nil); len(got) != 0 {
		t.Errorf("for nothing: %+v", got)
	}
	name := func(size string) string {
		return purchase.List([]purchase.Need{egg(t, "egg-whole", 50)}, size, nil)[0].Name
	}
	for size, want := range map[string]string{"us-large": "Eggs, US large", "us-extra-large": "Eggs, US extra large", "eu-m": "Eggs, EU M", "ostrich": "Eggs, US large"} {
		if got := name(size); got != want {
			t.Errorf("eggs of size %s are called %q, want %q", size, got, want)
		}
	}
}

// What is dried or pasteurised is bought as such.
func TestEggProductsAreNotEggs(t *testing.T) {
	t.Parallel()
	list := purchase.List([]purchase.Need{need(thing("egg-yolk-pasteurised"), 100, "")}, "us-large", nil)
	if len(list) != 1 || list[0].ID != "egg-yolk-pasteurised" {
		t.Errorf("got %+v", list)
	}
}

// By hand: what a preparation throws away is bought too, and only what is named.
func TestYields(t *testing.T) {
	t.Parallel()
	pear := thing("pear", ingredient.Yield{Process: "trim", Kept: 0.8}, ingredient.Yield{Process: "puree_strained", Kept: 0.5}, ingredient.Yield{Process: "dry", Kept: 1.2}, ingredient.Yield{Process: "bake", Kept: 0})
	for preparation, bought := range map[string]float64{
		"":                           200,
		"trimmed":                    250,
		"Trimmed and diced":          250,
		"untrimmed":                  200, // the word itself, not part of another
		"pureed, strained":           400,
		"pureed":                     200, // half of a process is none
		"dried":                      200, // no yield above one is a waste
		"baked":                      200, // nor is one of nothing
		"soft":                       200,
		"trimmed, then baked gently": 250,
	} {
		got := purchase.List([]purchase.Need{need(pear, 200, preparation)}, "", nil)[0]
		if !near(got.BuyMass, bought) || !near(got.Waste, bought-200) || !near(got.Need, 200) || !near(got.LeftOver, 0) {
			t.Errorf("200 g of pear, %q: %+v; want to buy %g g", preparation, got, bought)
		}
	}
	// Two lines of the same: 100 g trimmed (125 g) and 75 g as they are, 200 g together.
	got := purchase.List([]purchase.Need{need(pear, 100, "trimmed"), need(pear, 75, "")}, "", nil)
	if len(got) != 1 || !near(got[0].BuyMass, 200) || !near(got[0].Waste, 25) || !near(got[0].Need, 175) {
		t.Errorf("two lines of pear: %+v", got)
	}
}

// By hand: whole packs, the largest first; without packs, steps that a shop speaks in.
func TestRounding(t *testing.T) {
	t.Parallel()
	packs := []unit.Mass{unit.Kilogram, 250 * unit.Gram, 500 * unit.Gram} // in any order
	for _, c := range []struct {
		need   float64
		packs  []unit.Mass
		bought float64
		text   string
	}{
		{1.2, nil, 2, "2 g"},
		{20, nil, 20, "20 g"},
		{21, nil, 25, "25 g"},
		{200, nil, 200, "200 g"},
		{201, nil, 210, "210 g"},
		{1000, nil, 1000, "1 kg"},
		{1001, nil, 1050, "1.05 kg"},
		{5000, nil, 5000, "5 kg"},
		{5001, nil, 5100, "5.1 kg"},
		{0.0001, nil, 1, "1 g"},
		{100, packs, 250, "250 g"},
		{250, packs, 250, "250 g"},
		{251, packs, 500, "500 g"},
		{501, packs, 1000, "1 kg"},
		{1300, packs, 1500, "1.5 kg"},
		{2000, packs, 2000, "2 kg"},
		{100, []unit.Mass{0, -1}, 100, "100 g"}, // no packs at all
		{100, []unit.Mass{0, unit.Kilogram}, 1000, "1 kg"},
	} {
		got := purchase.List([]purchase.Need{need(thing("x"), c.need, "")}, "", map[string][]unit.Mass{"x": c.packs})[0]
		if !near(got.BuyMass, c.bought) || got.Buy.Text != c.text || !near(got.LeftOver, c.bought-c.need) {
			t.Errorf("%g g in packs of %v: %s, %+v; want %g g", c.need, c.packs, got.Buy, got, c.bought)
		}
	}
}

// Water is not bought, nor is nothing, nor what is no number; the rest is in order of name.
func TestList(t *testing.T) {
	t.Parallel()
	tap := thing("water")
	tap.Unlimited = true
	list := purchase.List([]purchase.Need{
		need(thing("b"), 10, ""), need(tap, 500, ""), need(thing("C"), 10, ""), need(thing("none"), 0, ""), need(thing("less"), -5, ""),
		need(thing("nan"), math.NaN(), ""), need(thing("a"), 10, ""), egg(t, "egg-whole", 50),
	}, "us-large", nil)
	var got []string
	for _, i := range list {
		got = append(got, i.Name)
	}
	if d := cmp.Diff([]string{"a", "b", "C", "Eggs, US large"}, got); d != "" {
		t.Error(d)
	}
}

// Bought = needed + thrown away + left over, for anything, and never less than needed.
func TestPurchaseBalance(t *testing.T) {
	t.Parallel()
	fruit := thing("fruit", ingredient.Yield{Process: "trim", Kept: 0.63})
	rapid.Check(t, func(rt *rapid.T) {
		grams := rapid.Float64Range(0.001, 20000)
		needs := []purchase.Need{
			need(fruit, grams.Draw(rt, "trimmed"), "trimmed"), need(fruit, grams.Draw(rt, "whole"), ""),
			egg(t, "egg-whole", grams.Draw(rt, "eggs")), egg(t, "egg-white", grams.Draw(rt, "whites")), egg(t, "egg-yolk", grams.Draw(rt, "yolks")),
		}
		var packs map[string][]unit.Mass
		if rapid.Bool().Draw(rt, "packed") {
			packs = map[string][]unit.Mass{"fruit": {unit.Mass(rapid.Float64Range(1, 5000).Draw(rt, "pack")) * unit.Gram}}
		}
		for _, i := range purchase.List(needs, rapid.SampledFrom([]string{"us-small", "us-jumbo", "eu-m"}).Draw(rt, "size"), packs) {
			thrown := i.Waste
			if i.ID == "fruit" { // what is left over of a pack has its peel too
				thrown *= (i.LeftOver + i.Need) / i.Need
			}
			if i.LeftOver < -1e-6 || math.Abs(float64(i.BuyMass-i.Need-thrown-i.LeftOver)) > 1e-9*float64(i.BuyMass)+1e-9 {
				rt.Fatalf("%+v", i)
			}
		}
	})
}

func ExampleList() {
	sugar := &ingredient.Ingredient{ID: "sugar", Name: "Sugar"}
	white, _ := ingredient.Builtin().Get("egg-white")
	yolk, _ := ingredient.Builtin().Get("egg-yolk")
	for _, i := range purchase.List([]purchase.Need{
		{Ingredient: sugar, Mass: 430 * unit.Gram},
		{Ingredient: white, Mass: 132 * unit.Gram},
		{Ingredient: yolk, Mass: 85 * unit.Gram},
	}, "us-large", map[string][]unit.Mass{"sugar": {500 * unit.Gram}}) {
		fmt.Printf("%s %s (%s)\n", i.Buy, i.Name, i.Note)
	}
	// Output:
	// 5 Eggs, US large (33.0 g of white left)
	// 500 g Sugar ()
}
