package chill_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/assembly"
	"chablon/chill"
	"chablon/formula"
	"chablon/heat"
	"chablon/ingredient"
	"chablon/kitchen"
	"chablon/material"
	"chablon/mould"
	"chablon/unit"
)

const mm = unit.Millimetre

// creamy is a mousse of 62 % water, 5 % protein, 15 % fat, 17 % sugars and 1 % ash, whipped to 600
// g/l: the shares of a fruit bavarois by hand.
func creamy() *formula.Formula {
	var c material.Composition
	for k, share := range map[material.Component]float64{
		material.Water: 0.62, material.Protein: 0.05, material.Fat: 0.15, material.Carbohydrate: 0.17, material.Ash: 0.01,
		material.Sugars: 0.17, material.Sucrose: 0.17, material.Glucose: 0, material.Fructose: 0, material.Lactose: 0, material.Maltose: 0,
		material.Alcohol: 0, material.Fibre: 0, material.Polyols: 0, material.Sodium: 0,
	} {
		c.Set(k, share)
	}
	return &formula.Formula{ID: "mousse", Density: 600, Lines: []formula.Line{{Ingredient: &ingredient.Ingredient{ID: "mix", Name: "Mix", Composition: c}, Mass: 1}}}
}

func solid(t testing.TB, s mould.Solid, err error) *mould.Mould {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return &mould.Mould{ID: "mould", Name: "mould", Solid: s, Cavities: 1}
}

func filled(t testing.TB, m *mould.Mould) chill.Piece {
	t.Helper()
	a := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{{ID: "fill", Kind: assembly.Fill, Of: assembly.Component{Formula: creamy()}}}}
	p, err := chill.OfSection(a.Lay(m))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func ring(t testing.TB, d, h unit.Length) chill.Piece {
	t.Helper()
	s, err := mould.Ring(d, h)
	return filled(t, solid(t, s, err))
}

func freezer(air string, at unit.Temperature) kitchen.Equipment {
	kind := "freezer"
	if air == "blast" {
		kind = "blast-freezer"
	}
	return kitchen.Equipment{ID: "freezer", Name: "Freezer", Kind: kind, Air: air, Setting: at, HasSetting: true}
}

func freeze(t testing.TB, p chill.Piece, in kitchen.Equipment) chill.Wait {
	t.Helper()
	w, err := p.Freeze(20, in)
	if err != nil {
		t.Fatal(err)
	}
	if !(w.Low > 0 && w.Low <= w.Time && w.Time <= w.High) {
		t.Fatalf("%v lies outside %v to %v", w.Time, w.Low, w.High)
	}
	return w
}

// The trade says that a mousse ring of 20 cm freezes in three to four hours, or overnight, eight to
// fourteen (common practice, no source), and does not say in what. The estimates from a blast
// freezer to a domestic one of still air at −18 °C have to span both.
func TestRingFreezesAsTheTradeSays(t *testing.T) {
	t.Parallel()
	p := ring(t, 200*mm, 45*mm)
	home, fan, blast := freeze(t, p, freezer("still", -18)), freeze(t, p, freezer("fan", -20)), freeze(t, p, freezer("blast", -35))
	t.Logf("still −18: %v (%v to %v); fan −20: %v; blast −35: %v (%v to %v)", home.Time, home.Low, home.High, fan.Time, blast.Time, blast.Low, blast.High)
	if !(blast.Time < fan.Time && fan.Time < home.Time) {
		t.Errorf("blast %v, fan %v, still %v do not rise", blast.Time, fan.Time, home.Time)
	}
	if blast.Low > 3*time.Hour || home.High < 8*time.Hour {
		t.Errorf("3 h to overnight lies outside %v (blast) to %v (home)", blast.Low, home.High)
	}
	if home.Time < 4*time.Hour || home.Time > 14*time.Hour {
		t.Errorf("a home freezer takes %v, want more than 4 h and a night at most", home.Time)
	}
}

func TestFreezerTooWarm(t *testing.T) {
	t.Parallel()
	p := ring(t, 180*mm, 45*mm)
	for at, never := range map[unit.Temperature]bool{-12: true, -5: true, 0: true, 4: true, -13: false, -14: false, -18: false} {
		w, err := p.Freeze(20, freezer("still", at))
		if (err != nil) != never || never && !strings.Contains(err.Error(), "never") {
			t.Errorf("at %v °C: %v, %v; never is %v", at, w.Time, err, never)
		}
		if !never { // −15 °C, or 3 K above the air
			if want := "core at " + max(-15, at+3).Show(); w.Criterion != want {
				t.Errorf("at %v °C the wait ends with %q, want %q", at, w.Criterion, want)
			}
		}
	}
	if _, err := p.Freeze(20, kitchen.Equipment{Name: "Freezer", Kind: "freezer"}); err == nil || !strings.Contains(err.Error(), "setting") {
		t.Errorf("a freezer without a setting: %v", err)
	}
}

func TestChillAndThaw(t *testing.T) {
	t.Parallel()
	p := ring(t, 180*mm, 45*mm)
	fridge := kitchen.Equipment{Name: "Refrigerator", Kind: "refrigerator", Air: "still", Setting: 4, HasSetting: true}
	cold, err := p.Chill(20, fridge)
	if err != nil || cold.Criterion != "core at 5 °C" {
		t.Errorf("chilling: %+v, %v", cold, err)
	}
	warm := fridge
	warm.Setting = 6
	if w, err := p.Chill(20, warm); err != nil || w.Criterion != "core at 7 °C" {
		t.Errorf("in a refrigerator at 6 °C: %+v, %v", w, err)
	}
	thaw, err := p.Thaw(-18, fridge)
	if err != nil || thaw.Time <= 0 || thaw.Criterion != "core at 0 °C" {
		t.Errorf("thawing: %+v, %v", thaw, err)
	}
	if _, err := p.Thaw(-18, freezer("still", -2)); err == nil {
		t.Error("a piece thaws in a freezer")
	}
	bath := kitchen.Equipment{Name: "Ice bath", Kind: "ice-bath", Setting: 0, HasSetting: true}
	if w, err := p.Chill(60, bath); err != nil || w.Time >= cold.Time {
		t.Errorf("an ice bath takes %v, the refrigerator %v: %v", w.Time, cold.Time, err)
	}
}

// A larger piece takes longer, a stronger wind is quicker, colder air is quicker.
func TestMonotone(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		d, h := rapid.Float64Range(40, 280).Draw(r, "d"), rapid.Float64Range(15, 90).Draw(r, "h")
		more := rapid.Float64Range(1.02, 1.5).Draw(r, "more")
		at := unit.Temperature(rapid.Float64Range(-38, -19).Draw(r, "air"))
		place := freezer(rapid.SampledFrom([]string{"still", "fan", "blast"}).Draw(r, "wind"), at)
		of := func(d, h float64) chill.Piece { return ring(t, unit.Length(d)*mm, unit.Length(h)*mm) }
		base := freeze(t, of(d, h), place).Time
		if up := freeze(t, of(d, h*more), place).Time; up <= base {
			r.Fatalf("%.0f × %.0f mm takes %v, higher %v", d, h, base, up)
		}
		if wide := freeze(t, of(d*more, h), place).Time; wide <= base {
			r.Fatalf("%.0f × %.0f mm takes %v, wider %v", d, h, base, wide)
		}
		colder := place
		colder.Setting -= 5
		if c := freeze(t, of(d, h), colder).Time; c >= base {
			r.Fatalf("at %v °C %v, 5 K colder %v", at, base, c)
		}
		windy := place
		windy.Transfer = 60
		if w := freeze(t, of(d, h), windy).Time; w >= base {
			r.Fatalf("%v, in a wind of 60 W/(m² K) %v", base, w)
		}
	})
}

// No shape, temperature or place gives a time that is no time: an error, or a range in order.
func TestNeverNaN(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		d := unit.Length(rapid.Float64Range(1, 2900).Draw(r, "d")) * mm
		var s mould.Solid
		var err error
		switch rapid.IntRange(0, 3).Draw(r, "shape") {
		case 0:
			s, err = mould.Ring(d, d/2)
		case 1:
			s, err = mould.Dome(d, d*unit.Length(rapid.Float64Range(0.01, 0.5).Draw(r, "flat")))
		case 2:
			s, err = mould.Frame(d, d/3, d/10, 0, d/100)
		default:
			s, err = mould.Round(d, d/3, d/4)
		}
		m := solid(t, s, err)
		level := s.Height() * unit.Length(rapid.Float64Range(0.001, 1).Draw(r, "level"))
		p, err := chill.OfFormula(creamy(), m.Solid, level)
		if err != nil {
			return
		}
		from, at := unit.Temperature(rapid.Float64Range(-60, 120).Draw(r, "from")), unit.Temperature(rapid.Float64Range(-60, 60).Draw(r, "at"))
		place := kitchen.Equipment{Name: "Place", Kind: rapid.SampledFrom([]string{"freezer", "blast-freezer", "refrigerator", "ice-bath", "other"}).Draw(r, "kind"), Setting: at, HasSetting: true, Transfer: rapid.SampledFrom([]float64{0, 1e-3, 8, 1e5}).Draw(r, "transfer")}
		for name, of := range map[string]func(unit.Temperature, kitchen.Equipment) (chill.Wait, error){"freeze": p.Freeze, "chill": p.Chill, "thaw": p.Thaw} {
			w, err := of(from, place)
			if err != nil {
				if text := err.Error(); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
					r.Fatalf("%s: %v", name, err)
				}
				continue
			}
			if w.Low < 0 || w.Time < w.Low || w.High < w.Time || w.High > math.MaxInt64/2 {
				r.Fatalf("%s takes %v, from %v to %v", name, w.Time, w.Low, w.High)
			}
		}
	})
}

// A half sphere counts as the ball with its ratio of volume to surface: 2πR³/3 over 3πR², a ball of
// 4R/3 across; a frame as a box of the mean width.
func TestNearestShapes(t *testing.T) {
	t.Parallel()
	c := creamy().Composition()
	airless, ok := c.Density(20)
	if !ok {
		t.Fatal("no density")
	}
	food, err := c.Thermal(1 - 600/float64(airless))
	if err != nil {
		t.Fatal(err)
	}
	half, err := mould.Dome(150*mm, 0)
	ball := solid(t, half, err)
	frame, err := mould.Frame(200*mm, 100*mm, 40*mm, 0, 10*mm)
	box := solid(t, frame, err)
	for name, x := range map[string]struct {
		m    *mould.Mould
		body heat.Body
	}{"dome": {ball, heat.Sphere(100 * mm)}, "frame": {box, heat.Brick(190*mm, 90*mm, 40*mm)}} {
		want, err := heat.Freezing(x.body, food, 20, -15, -20, heat.StillFreezer.Default)
		if err != nil {
			t.Fatal(err)
		}
		got := freeze(t, filled(t, x.m), freezer("still", -20))
		if d := float64(got.Time)/float64(want.Time) - 1; math.Abs(d) > 1e-3 { // its lower face is taken a thousandth up
			t.Errorf("%s: %v, want %v", name, got.Time, want.Time)
		}
	}
}

func TestUnknownPieces(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(180*mm, 45*mm)
	m := solid(t, s, err)
	empty := &assembly.Assembly{ID: "cake", Mould: m}
	if _, err := chill.OfSection(empty.Lay(m)); err == nil {
		t.Error("a piece of nothing has a body")
	}
	idea := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{{ID: "fill", Kind: assembly.Fill, Of: assembly.Component{StandIn: "foam", Density: 500}}}}
	if _, err := chill.OfSection(idea.Lay(m)); err == nil || !strings.Contains(err.Error(), "composition") {
		t.Errorf("a stand-in's composition is known: %v", err)
	}
}

func Example() {
	solid, err := mould.Ring(200*unit.Millimetre, 45*unit.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := chill.OfFormula(creamy(), solid, 42*unit.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, at := range []unit.Temperature{-18, -10} {
		w, err := p.Freeze(20, kitchen.Equipment{Name: "Freezer", Kind: "freezer", Air: "still", Setting: at, HasSetting: true})
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(w.Criterion, "after", w.Time.Round(time.Hour), "in", w.Place)
	}
	// Output:
	// core at −15 °C after 8h0m0s in Freezer, still air at −18 °C
	// never solid enough to unmould in Freezer, still air at −10 °C: take a freezer at −13 °C or colder
}
