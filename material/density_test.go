package material_test

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"chablon/material"
	"chablon/unit"
)

// made returns a composition with the proximates known, zero where not given.
func made(shares map[material.Component]float64) material.Composition {
	var c material.Composition
	for _, k := range []material.Component{material.Water, material.Protein, material.Fat, material.Carbohydrate, material.Ash} {
		c.Set(k, 0)
	}
	for k, x := range shares {
		c.Set(k, x)
	}
	return c
}

func TestDensity(t *testing.T) {
	t.Parallel()
	const choiOkos = "Choi & Okos 1986, as in ASHRAE Handbook - Refrigeration, Thermal Properties of Foods, table 1"
	tests := []struct {
		name   string
		food   map[material.Component]float64
		at     float64
		want   float64 // kg/m3
		within float64 // kg/m3
		source string
	}{
		{"water", map[material.Component]float64{material.Water: 1}, 20, 995.74, 0.05, choiOkos},
		{"protein", map[material.Component]float64{material.Protein: 1}, 20, 1319.53, 0.05, choiOkos},
		{"fat", map[material.Component]float64{material.Fat: 1}, 20, 917.239, 0.05, choiOkos},
		{"carbohydrate", map[material.Component]float64{material.Carbohydrate: 1}, 20, 1592.89, 0.05, choiOkos},
		{"fibre", map[material.Component]float64{material.Carbohydrate: 1, material.Fibre: 1}, 20, 1304.18, 0.05, choiOkos},
		{"ash", map[material.Component]float64{material.Ash: 1}, 20, 2418.19, 0.05, choiOkos},
		{"ethanol", map[material.Component]float64{material.Alcohol: 1}, 20, 789, 1e-9, "CRC Handbook of Chemistry and Physics, ethanol at 20 degC"},
		{
			"mousse base", map[material.Component]float64{
				material.Water: .58, material.Protein: .045, material.Fat: .18, material.Carbohydrate: .1875, material.Fibre: .0075, material.Ash: .0075,
			}, 20, 1069.88, 1.07, choiOkos + ", volumes added; 0.18 carbohydrate and 0.0075 fibre",
		},
		{"water, warm", map[material.Component]float64{material.Water: 1}, 60, 983.842, 0.05, "by hand: 997.18 + 0.0031439*60 - 0.0037574*3600"},
		{"fat, cold", map[material.Component]float64{material.Fat: 1}, -18, 933.106, 0.05, "by hand: 925.59 + 0.41757*18"},
		{"half water, half fat", map[material.Component]float64{material.Water: .5, material.Fat: .5}, 20, 954.876, 0.05, "by hand: 1/(0.5/995.74 + 0.5/917.239)"},
		{
			"shares that add to 0.98 leave no hole",
			map[material.Component]float64{material.Water: .98},
			20, 995.74, 0.05,
			"the density of water: the missing part is taken like the rest",
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got, ok := made(tt.food).Density(unit.Celsius(tt.at))
			if !ok || math.Abs(float64(got)-tt.want) > tt.within {
				t.Errorf("Density(%v degC) = %.3f, %v; want %.3f ± %g kg/m3 (%s)", tt.at, float64(got), ok, tt.want, tt.within, tt.source)
			}
		})
	}
}

func TestDensityNotKnownEnough(t *testing.T) {
	t.Parallel()
	proximates := []material.Component{material.Water, material.Protein, material.Fat, material.Carbohydrate, material.Ash}
	for _, missing := range proximates {
		var c material.Composition
		for _, k := range proximates {
			if k != missing {
				c.Set(k, 0.25)
			}
		}
		if d, ok := c.Density(unit.Celsius(20)); ok || d != 0 {
			t.Errorf("without %v: Density = %v, %v; want 0, false", missing, d, ok)
		}
	}
	salts := made(map[material.Component]float64{material.Ash: .369}) // baking soda: the rest is gas and water of the salt
	if _, ok := salts.Density(unit.Celsius(20)); ok {
		t.Error("a food of which a third is accounted for has a density")
	}
	water := made(map[material.Component]float64{material.Water: 1})
	for _, at := range []float64{-40.1, 150.1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		if d, ok := water.Density(unit.Celsius(at)); ok || d != 0 {
			t.Errorf("Density(%v degC) = %v, %v; want 0, false", at, d, ok)
		}
	}
}

// The cup, spoon and quart weights of USDA SR28 (public domain) are measured independently of
// the polynomials. They are rounded to whole grams a cup, about 0.2 to 0.5 %.
func TestDensityAgainstMeasuredLiquids(t *testing.T) {
	t.Parallel()
	f, err := os.Open("testdata/usda-liquid-densities.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	columns := []material.Component{
		material.Water, material.Protein, material.Fat, material.Carbohydrate, material.Fibre, material.Ash, material.Alcohol,
	}
	var off []float64
	for _, row := range rows[1:] {
		var c material.Composition
		for i, k := range columns {
			if row[1+i] != "" {
				c.Set(k, number(t, row[1+i])/100)
			}
		}
		measured := number(t, row[8])
		got, ok := c.Density(unit.Celsius(20))
		if !ok {
			t.Errorf("%s: no density", row[0])
			continue
		}
		diff := math.Abs(got.GramsPerMillilitre()/measured - 1)
		if diff > 0.065 {
			t.Errorf("%s (%s): %.3f g/ml, measured %.3f: %.1f %% off", row[0], row[10], got.GramsPerMillilitre(), measured, 100*diff)
		}
		off = append(off, diff)
	}
	slices.Sort(off)
	median := off[len(off)/2]
	t.Logf("%d liquids: median difference %.2f %%, largest %.1f %%", len(off), 100*median, 100*off[len(off)-1])
	if len(off) != 99 || median > 0.0085 {
		t.Errorf("%d liquids with a median difference of %.2f %%; want 99 liquids and 0.8 %%", len(off), 100*median)
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
