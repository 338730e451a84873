package chill_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/chill"
	"chablon/formula"
	"chablon/heat"
	"chablon/ingredient"
	"chablon/kitchen"
	"chablon/material"
	"chablon/mould"
	"chablon/unit"
)

// anyFood is a formula of any water, alcohol, sugar and fat, whipped with up to 95 % of air.
func anyFood(r *rapid.T) *formula.Formula {
	x := func(name string) float64 { return rapid.Float64Range(0, 1).Draw(r, name) }
	water := x("water")
	if rapid.Bool().Draw(r, "water alone or none") {
		water = math.Round(water)
	}
	alcohol := (1 - water) * x("alcohol") * float64(rapid.IntRange(0, 1).Draw(r, "spirit"))
	sugar := (1 - water - alcohol) * x("sugar")
	var c material.Composition
	for _, k := range material.Components() {
		c.Set(k, 0)
	}
	for k, share := range map[material.Component]float64{
		material.Water: water, material.Alcohol: alcohol, material.Fat: 1 - water - alcohol - sugar,
		material.Carbohydrate: sugar, material.Sugars: sugar, material.Sucrose: sugar,
	} {
		c.Set(k, math.Max(0, math.Min(1, share)))
	}
	airless, _ := c.Density(20)
	air := rapid.Float64Range(0, 0.95).Draw(r, "air")
	return &formula.Formula{ID: "any", Name: "Any", Density: airless * unit.Density(1-air), Lines: []formula.Line{{Ingredient: &ingredient.Ingredient{ID: "x", Name: "x", Composition: c}, Mass: 1}}}
}

// finite fails where any number in a value, however deep, is not one.
func finite(t interface{ Fatalf(string, ...any) }, what string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%s is %g", what, x)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finite(t, what+"."+v.Type().Field(i).Name, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			finite(t, fmt.Sprintf("%s[%d]", what, i), v.Index(i))
		}
	}
}

// Whatever the food, the piece, the place and the temperatures, usual or absurd: every question is answered in
// numbers, or refused by an error that says something; nothing panics.
func TestNeverNotANumber(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		x := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		absurd := rapid.IntRange(0, 4).Draw(r, "absurd") == 0
		temperature := func(name string, low, high float64) unit.Temperature {
			if absurd {
				return unit.Temperature(rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), -300, 1e9, -121, 201, 0}).Draw(r, name))
			}
			return unit.Temperature(x(name, low, high))
		}
		f := anyFood(r)
		var s mould.Solid
		var err error
		switch rapid.IntRange(0, 2).Draw(r, "shape") {
		case 0:
			s, err = mould.Ring(unit.Length(x("diameter", 0.02, 0.3)), unit.Length(x("height", 0.005, 0.1)))
		case 1:
			s, err = mould.Frame(unit.Length(x("width", 0.02, 0.15)), unit.Length(x("depth", 0.02, 0.15)), unit.Length(x("height", 0.005, 0.06)), 0, 0)
		default:
			s, err = mould.Dome(unit.Length(x("radius", 0.01, 0.1)), 0)
		}
		if err != nil {
			r.Fatal(err)
		}
		m := &mould.Mould{ID: "m", Name: "m", Solid: s, Cavities: 1, Material: "silicone", Wall: 2 * mm}
		place := freezer("still", temperature("air", -40, 5))
		place.Transfer = rapid.SampledFrom([]float64{0, 0.001, 8, 100, 1e5}).Draw(r, "h")
		check := func(what string, answer any, err error) {
			if err != nil {
				if err.Error() == "" {
					r.Fatalf("%s: an empty error", what)
				}
				return
			}
			finite(r, what, reflect.ValueOf(answer))
		}
		start := temperature("start", -30, 80)
		section := chill.Plain(f, m, s.Height())
		if quick, err := chill.OfSection(section); err == nil {
			w, err := quick.Freeze(start, place)
			check("quick freezing", w, err)
			w, err = quick.Chill(start, place)
			check("quick chilling", w, err)
			w, err = quick.Thaw(start, place)
			check("quick thawing", w, err)
		}
		b, err := chill.NewBody(section, chill.At(start, start))
		if err != nil {
			r.Fatal(err)
		}
		coarse := chill.Precision{Cell: 15 * mm}
		if rapid.Bool().Draw(r, "cut") {
			p := chill.Portion{Wedges: 8}
			if _, frame := s.(*mould.Prism); frame && s.At(s.Height()).IsRectangle() {
				p = chill.Portion{Width: 20 * mm}
			}
			if c, err := b.Cut(p); err == nil {
				b = c
			}
		}
		a, err := b.Freeze(t.Context(), place, coarse)
		check("freezing", a, err)
		a, err = b.Chill(t.Context(), place, coarse)
		check("chilling", a, err)
		legs := []chill.Leg{
			{Name: "a", Surroundings: heat.Surroundings{Default: unit.HeatTransfer(place.Transfer), High: unit.HeatTransfer(place.Transfer)}, At: place.Setting, For: time.Hour},
			{Name: "room", Surroundings: heat.Room, At: temperature("room", 0, 40), For: time.Hour, Unmoulded: true},
		}
		w, err := b.Follow(t.Context(), legs, chill.UsualLimits(place.Setting, 2, 12), coarse)
		check("a way", w.Curve, err)
		out, err := b.Stand(t.Context(), temperature("room", 0, 40), x("humidity", -0.1, 1.1), -5)
		check("standing", out, err)
		carried, err := b.CarryOver(t.Context(), legs[1], temperature("core", 0, 90), legs[0])
		check("carry-over", carried, err)
		bath := []chill.Bath{{Surroundings: heat.IceBath, At: temperature("bath", 0, 20)}}
		cooled, err := chill.Custard(t.Context(), f, unit.Mass(x("mass", 0, 5)), chill.Vessel{Diameter: 0.25, Stirred: rapid.Bool().Draw(r, "stirred")}, start, bath)
		check("cooling", cooled, err)
		set, err := chill.Sets(f, 1, 0.25, start, temperature("room", 0, 40), 10, time.Minute)
		check("setting", set, err)
	})
}

// Temperatures that no cook means are refused with the figure and what to give.
func TestAbsurdTemperatures(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(160*mm, 45*mm)
	b := bodyOf(t, s, err, chill.At(18, -18))
	for _, at := range []float64{math.NaN(), math.Inf(-1), -300, 500} {
		place := kitchen.Equipment{Name: "F", Kind: "freezer", Setting: unit.Temperature(at), HasSetting: true}
		_, err1 := b.Chill(t.Context(), place, chill.Planning)
		var input *heat.InputError
		if !errors.As(err1, &input) {
			t.Errorf("air at %g °C: %v", at, err1)
		}
		odd, err := chill.NewBody(chill.Plain(creamy(), solid(t, s, nil), 45*mm), chill.At(unit.Temperature(at), -18))
		if err != nil {
			continue
		}
		if _, err := odd.Freeze(t.Context(), freezer("still", -20), chill.Planning); !errors.As(err, &input) {
			t.Errorf("start at %g °C: %v", at, err)
		}
	}
}

// A context that ends stops the longest answer within 10 ms. One try in ten must do it, since the machine has other
// things to do.
func TestStopsSoon(t *testing.T) {
	if racing {
		t.Skip("the race detector is slower than the promise")
	}
	s, err := mould.Frame(600*mm, 400*mm, 40*mm, 0, 0)
	b := bodyOf(t, s, err, chill.At(18, -18))
	best := time.Hour
	for n := 0; n < 10 && best > 10*time.Millisecond; n++ {
		ctx, cancel := context.WithCancel(t.Context())
		asked := make(chan time.Time, 1)
		time.AfterFunc(40*time.Millisecond, func() { asked <- time.Now(); cancel() })
		_, err := b.Freeze(ctx, freezer("still", -20), chill.Stated)
		late := time.Since(<-asked)
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("answered before it was stopped, or %v", err)
		}
		best = min(best, late)
	}
	if best > 10*time.Millisecond {
		t.Errorf("stopped after %v", best)
	}
}
