package formula_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// Foods that are themselves mixed from others, each analysed on its own: bib:usda-sr28 has rows
// for the mix and for its parts, and none is computed from another. The mix is made by what it is
// known to be (milk standardised to its fat, powder dissolved to the milk's water, sugar with 3 %
// starch against lumps), and must give the published proximates within half of the whole gram
// to which a label states them (bib:cfr-21-101, 101.9(c)).
func TestPublishedComposites(t *testing.T) {
	type part struct {
		id    string
		share float64
	}
	// By fat: x of the rich part with x·rich + (1−x)·lean = fat.
	standardised := func(lean, rich string, leanFat, richFat, fat float64) []part {
		x := (fat - leanFat) / (richFat - leanFat)
		return []part{{lean, 1 - x}, {rich, x}}
	}
	dissolved := func(powder string, powderWater, water float64) []part {
		x := (100 - water) / (100 - powderWater)
		return []part{{powder, x}, {"water", 1 - x}}
	}
	for _, c := range []struct {
		name, published string // row of the table that the mix is compared with
		parts           []part
	}{
		{"milk of 2 % from whole and skim", "milk-2pct", standardised("milk-skim", "milk-whole", 0.08, 3.25, 1.98)},
		{"milk of 1 % from whole and skim", "milk-1pct", standardised("milk-skim", "milk-whole", 0.08, 3.25, 0.97)},
		{"half-and-half from milk and cream", "cream-half-and-half", standardised("milk-whole", "cream-whipping-heavy-36", 3.25, 36.08, 10.39)},
		{"skim milk from powder", "milk-skim", dissolved("milk-powder-skim", 3.16, 90.84)},
		{"whole milk from powder", "milk-whole", dissolved("milk-powder-whole", 2.47, 88.13)},
		{"icing sugar from sugar and starch", "sugar-powdered", []part{{"sugar-granulated", 0.97}, {"cornstarch", 0.03}}},
	} {
		want, ok := ingredient.Builtin().Get(c.published)
		if !ok {
			t.Fatalf("no row %s", c.published)
		}
		f := &formula.Formula{ID: "mix"}
		for _, p := range c.parts {
			i, ok := ingredient.Builtin().Get(p.id)
			if !ok {
				t.Fatalf("no row %s", p.id)
			}
			f.Lines = append(f.Lines, line(i, 100*p.share))
		}
		got := f.Composition()
		for _, k := range []material.Component{material.Water, material.Protein, material.Fat, material.Carbohydrate, material.Ash} {
			if d := 100 * (got.At(k) - want.Composition.At(k)); math.Abs(d) > 0.5 {
				t.Errorf("%s: %s is %.2f g in 100 g, published %.2f", c.name, k, 100*got.At(k), 100*want.Composition.At(k))
			}
		}
	}
}

// What a formula holds does not depend on the order of its lines, on whether some of them stand
// in a formula of their own, or on the units they are written in.
func TestContentsAreInvariant(t *testing.T) {
	table := ingredient.Builtin().All()
	rapid.Check(t, func(t *rapid.T) {
		f := &formula.Formula{ID: "flat"}
		for range rapid.IntRange(2, 12).Draw(t, "lines") {
			i := table[rapid.IntRange(0, len(table)-1).Draw(t, "ingredient")]
			f.Lines = append(f.Lines, line(i, rapid.Float64Range(0.1, 2000).Draw(t, "g")))
		}
		same := func(what string, g *formula.Formula) {
			a, b := f.Contents(), g.Contents()
			if len(a) != len(b) {
				t.Fatalf("%s: %d contents, want %d", what, len(b), len(a))
			}
			for i := range a {
				if math.Abs(a[i].Low-b[i].Low) > 1e-9 || math.Abs(a[i].High-b[i].High) > 1e-9 {
					t.Fatalf("%s: %s is %v to %v, want %v to %v", what, a[i].Name, b[i].Low, b[i].High, a[i].Low, a[i].High)
				}
			}
			if x, y := f.Energy(), g.Energy(); math.Abs(x.Low-y.Low) > 1e-6 || math.Abs(x.High-y.High) > 1e-6 {
				t.Fatalf("%s: energy %v to %v, want %v to %v", what, y.Low, y.High, x.Low, x.High)
			}
		}
		turned := &formula.Formula{ID: "turned"}
		for i := range f.Lines {
			turned.Lines = append(turned.Lines, f.Lines[len(f.Lines)-1-i])
		}
		same("turned round", turned)
		cut := rapid.IntRange(1, len(f.Lines)-1).Draw(t, "cut")
		inner := &formula.Formula{ID: "inner", Lines: f.Lines[:cut]}
		same("nested", &formula.Formula{ID: "outer", Lines: append([]formula.Line{of(inner, inner.Written().Grams())}, f.Lines[cut:]...)})
		ounces := &formula.Formula{ID: "ounces"}
		for _, l := range f.Lines {
			q, err := unit.ParseQuantity(fmt.Sprintf("%.17f oz", float64(l.Mass/unit.Ounce)), unit.OfMass)
			if err != nil {
				t.Fatal(err)
			}
			l.Mass = q.Mass()
			ounces.Lines = append(ounces.Lines, l)
		}
		same("in ounces", ounces)
	})
}

// deep returns a formula of so many lines that stand nested so deep, each level taking the one
// below.
func deep(lines, levels int) *formula.Formula {
	r := rand.New(rand.NewPCG(1, 2))
	table := ingredient.Builtin().All()
	var below *formula.Formula
	for level := range levels {
		f := &formula.Formula{ID: fmt.Sprint("level-", level), Losses: []formula.Loss{{Name: "evaporation", Share: 0.05}, {Name: "bowl", PerBatch: 10 * unit.Gram}}}
		for range lines / levels {
			f.Lines = append(f.Lines, line(table[r.IntN(len(table))], 1+500*r.Float64()))
		}
		if below != nil {
			f.Lines = append(f.Lines, of(below, 300))
		}
		below = f
	}
	return below
}

// BenchmarkDeep recomputes a formula of 200 lines nested six deep: the batch, its composition and
// contents, density, gelatin and percentages.
func BenchmarkDeep(b *testing.B) {
	f := deep(200, 6)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f.ToMass(3 * unit.Kilogram); err != nil {
			b.Fatal(err)
		}
		f.Composition()
		f.Contents()
		f.FinishedDensity()
		f.Gelatin()
		f.Percentages()
	}
}
