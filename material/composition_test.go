package material_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"chablon/material"
	"chablon/unit"
)

func TestComponentNames(t *testing.T) {
	t.Parallel()
	all := material.Components()
	if got, want := len(all), int(material.VitaminD)+1; got != want {
		t.Fatalf("%d components, want %d", got, want)
	}
	for _, c := range all {
		back, ok := material.ComponentNamed(c.String())
		if c.String() == "" || !ok || back != c {
			t.Errorf("component %d: name %q leads back to %v, %v", c, c, back, ok)
		}
	}
	if _, ok := material.ComponentNamed("fiber"); ok {
		t.Error(`ComponentNamed("fiber") is known; the name is "fibre"`)
	}
}

func TestUnknownIsNotZero(t *testing.T) {
	t.Parallel()
	var c material.Composition
	if x, known := c.Share(material.Fat); known || x != 0 {
		t.Errorf("zero composition: fat %v, known %v; want 0, false", x, known)
	}
	c.Set(material.Fat, 0)
	c.Set(material.Water, 0.6)
	if _, known := c.Share(material.Fat); !known {
		t.Error("fat set to zero is not known")
	}
	if !c.Known(material.Fat, material.Water) || c.Known(material.Fat, material.Ash) || !c.Known() {
		t.Error("Known must hold for fat and water, not for ash, and for nothing asked")
	}
	if c.At(material.Ash) != 0 || c.At(material.Water) != 0.6 {
		t.Errorf("At: ash %v, water %v; want 0, 0.6", c.At(material.Ash), c.At(material.Water))
	}
}

func TestSetRefuses(t *testing.T) {
	t.Parallel()
	for _, share := range []float64{-1e-9, 1.0000001, math.NaN(), math.Inf(1), math.Inf(-1)} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("Set(fat, %v) did not panic", share)
				}
			}()
			var c material.Composition
			c.Set(material.Fat, share)
		}()
	}
}

func TestMix(t *testing.T) {
	t.Parallel()
	var cream, sugar material.Composition
	cream.Set(material.Water, 0.6)
	cream.Set(material.Fat, 0.35)
	cream.Set(material.Sucrose, 0)
	sugar.Set(material.Water, 0)
	sugar.Set(material.Sucrose, 1)

	var x material.Mix
	x.Add(cream, 300*unit.Gram)
	x.Add(sugar, 100*unit.Gram)
	x.Add(material.Composition{}, 0) // no mass: what it does not know does not matter
	x.Add(material.Composition{}, -5*unit.Gram)

	got := x.Composition()
	// By hand: water 180/400, sucrose 100/400; the fat of the sugar was not given.
	if w, s := got.At(material.Water), got.At(material.Sucrose); math.Abs(w-0.45) > 1e-12 || math.Abs(s-0.25) > 1e-12 {
		t.Errorf("water %v, sucrose %v; want 0.45, 0.25", w, s)
	}
	if got.Known(material.Fat) {
		t.Error("fat of the mix is known, although that of one part is not")
	}
	if math.Abs(x.Total().Grams()-400) > 1e-9 {
		t.Errorf("total %v g, want 400", x.Total().Grams())
	}
}

func TestMixRemove(t *testing.T) {
	t.Parallel()
	var syrup material.Composition
	syrup.Set(material.Water, 0.5)
	syrup.Set(material.Sucrose, 0.5)
	var x material.Mix
	x.Add(syrup, 200*unit.Gram)

	// By hand: 40 of the 100 g of water boil off; 60/160 and 100/160 are left.
	if took := x.Remove(material.Water, 40*unit.Gram); math.Abs(took.Grams()-40) > 1e-9 {
		t.Errorf("took %v g, want 40", took.Grams())
	}
	c := x.Composition()
	if w, s := c.At(material.Water), c.At(material.Sucrose); math.Abs(w-0.375) > 1e-12 || math.Abs(s-0.625) > 1e-12 {
		t.Errorf("water %v, sucrose %v; want 0.375, 0.625", w, s)
	}
	if took := x.Remove(material.Water, unit.Kilogram); math.Abs(took.Grams()-60) > 1e-9 {
		t.Errorf("took %v g of the 60 g left, want all of it", took.Grams())
	}
	if took := x.Remove(material.Sucrose, -unit.Gram); took != 0 {
		t.Errorf("removing less than nothing took %v", took)
	}
	if math.Abs(x.Total().Grams()-100) > 1e-9 {
		t.Errorf("total %v g, want 100", x.Total().Grams())
	}
}

func TestEmptyMixKnowsNothing(t *testing.T) {
	t.Parallel()
	var x material.Mix
	if c := x.Composition(); c != (material.Composition{}) || x.Total() != 0 {
		t.Errorf("empty mix: %v of %v", c, x.Total())
	}
}

// Mass is kept, order does not matter, and a share of a mix lies between those of its parts.
func TestMixProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		type part struct {
			food material.Composition
			mass unit.Mass
		}
		parts := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) part {
			var c material.Composition
			water := rapid.Float64Range(0, 1).Draw(t, "water")
			c.Set(material.Water, water)
			c.Set(material.Fat, 1-water)
			return part{c, unit.Mass(rapid.Float64Range(0.001, 10).Draw(t, "kg"))}
		}), 1, 8).Draw(t, "parts")

		var forward, backward material.Mix
		var total unit.Mass
		low, high := 1.0, 0.0
		for i := range parts {
			p, q := parts[i], parts[len(parts)-1-i]
			forward.Add(p.food, p.mass)
			backward.Add(q.food, q.mass)
			total += p.mass
			low, high = min(low, p.food.At(material.Water)), max(high, p.food.At(material.Water))
		}
		c, d := forward.Composition(), backward.Composition()
		w := c.At(material.Water)
		if math.Abs(float64(forward.Total()-total)) > 1e-9*float64(total) {
			t.Fatalf("total %v, want %v", forward.Total(), total)
		}
		if math.Abs(w-d.At(material.Water)) > 1e-12 || math.Abs(w+c.At(material.Fat)-1) > 1e-12 {
			t.Fatalf("water %v or %v by order, fat %v", w, d.At(material.Water), c.At(material.Fat))
		}
		if w < low-1e-12 || w > high+1e-12 {
			t.Fatalf("water %v outside its parts' %v to %v", w, low, high)
		}
	})
}

func ExampleMix() {
	var chocolate, cream material.Composition
	chocolate.Set(material.Fat, 0.38)
	cream.Set(material.Fat, 0.35)
	var ganache material.Mix
	ganache.Add(chocolate, 200*unit.Gram)
	ganache.Add(cream, 200*unit.Gram)
	fmt.Printf("%.3f\n", ganache.Composition().At(material.Fat))
	// Output: 0.365
}
