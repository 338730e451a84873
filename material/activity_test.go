package material

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/unit"
)

// The activity at the freezing point is that of ice: both come from one set of equations.
func TestActivityAtFreezingPointIsThatOfIce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyFood(t)
		x, err := c.Freezing(Solutes{})
		if err != nil {
			t.Fatal(err)
		}
		first, ok := x.FreezingPoint()
		if !ok {
			return
		}
		a, err := c.Activity(first, Solutes{})
		if err != nil {
			t.Fatal(err)
		}
		if ice, err := IceActivity(first); err != nil || math.Abs(a.Value-ice) > 1e-6 {
			t.Fatalf("at %v: activity %v, ice %v, %v", first, a.Value, ice, err)
		}
	})
}

// anything draws a composition without regard to sense, each component known or not.
func anything(t *rapid.T) Composition {
	var c Composition
	for _, k := range Components() {
		if rapid.IntRange(0, 5).Draw(t, "known") > 0 {
			c.Set(k, rapid.OneOf(rapid.Float64Range(0, 1), rapid.Float64Range(0, 0.2), rapid.Just(0.0), rapid.Just(1.0), rapid.Just(5e-324)).Draw(t, k.String()))
		}
	}
	if rapid.Bool().Draw(t, "sensible") { // let the proximates add up
		water := rapid.OneOf(rapid.Float64Range(0, 1), rapid.Float64Range(0, 1e-9)).Draw(t, "water")
		fat := rapid.Float64Range(0, 1-water).Draw(t, "fat")
		c.Set(Water, water)
		c.Set(Fat, fat)
		c.Set(Carbohydrate, 1-water-fat)
		c.Set(Protein, 0)
		c.Set(Ash, 0)
		c.Set(Alcohol, 0)
	}
	return c
}

// Whatever a composition says, there is a number within its range or an error, never NaN.
func TestAnyCompositionGivesNumbersOrErrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anything(t)
		o := Solutes{DE: rapid.SampledFrom([]float64{0, 1, 20, 42, 60, 100}).Draw(t, "DE"), Polyol: Polyol(rapid.IntRange(0, int(polyolCount)-1).Draw(t, "polyol"))}
		at := unit.Celsius(rapid.Float64Range(-40, 150).Draw(t, "degC"))
		within := func(what string, v, low, high float64) {
			if !(v >= low && v <= high) {
				t.Fatalf("%s is %g, outside %g to %g", what, v, low, high)
			}
		}
		if a, err := c.Activity(at, o); err == nil {
			within("activity", a.Value, 0, 1)
			within("its error", a.Error, 0.005, 0.07)
			within("low", a.Low(), 0, a.Value)
			within("high", a.High(), a.Value, 1)
			if a.Method == "" {
				t.Fatal("no method")
			}
		}
		if a, err := c.Grover(o); err == nil {
			within("Grover", a.Value, 0.70, 0.95)
		}
		if f, err := c.Freezing(o); err == nil {
			first, _ := f.FreezingPoint()
			within("freezing point", first.Celsius(), -40, 0)
			within("its error", f.Error().Kelvins(), 0, 7)
			within("frozen share", f.FrozenShare(at), 0, 1)
			within("ice", f.IceFraction(at), 0, 1)
		}
		if b, err := c.BoilingPoint(Atmosphere, o); err == nil {
			within("boiling point", b.Celsius(), 99.97, 250)
		}
		if s, err := c.Sweetness(o); err == nil {
			within("sweetness", s.Low, 0, s.High)
			within("sweetness", s.High, 0, 1200)
		}
	})
}

// More of a solute for the same water lowers the activity, at any temperature at which it is used.
func TestActivityFallsWithSolids(t *testing.T) {
	parts := []Component{Sucrose, Glucose, Fructose, Lactose, Maltose, Polyols, Alcohol, Sodium, Starch}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(parts).Draw(t, "solute")
		at := unit.Celsius(rapid.Float64Range(-40, 150).Draw(t, "degC"))
		w := rapid.Float64Range(0, 0.97).Draw(t, "share")
		if k == Sucrose {
			w = rapid.Float64Range(0, 0.975).Draw(t, "sucrose")
		}
		more := w + rapid.Float64Range(1e-4, 0.02).Draw(t, "more")
		o := Solutes{DE: 30} // for the longer chains, which Starch stands for here
		with := func(w float64) Composition {
			if k != Starch {
				return syrup(k, w)
			}
			return food(1-w, 0, 0, w, 0, w, 0) // set below to neither fibre nor starch
		}
		a, b := with(w), with(more)
		if k == Starch {
			a.Set(Fibre, 0)
			b.Set(Fibre, 0)
		}
		less, err1 := a.Activity(at, o)
		much, err2 := b.Activity(at, o)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if !(much.Value < less.Value) && less.Value > 1e-12 && (k != Starch || w > leastRest) {
			t.Fatalf("%v at %v: %g gives %v, %g gives %v", k, at, w, less.Value, more, much.Value)
		}
	})
}

// Sodium chloride at 25 degC: 6 mol/kg 0.760 (published); Robinson & Stokes' osmotic coefficients
// 0.9209, 0.9355, 0.9833, 1.0453, 1.1158 and 1.2706 (from memory), to 0.3 %.
func TestSaltActivity(t *testing.T) {
	for m, want := range map[float64]float64{0.5: .9209, 1: .9355, 2: .9833, 3: 1.0453, 4: 1.1158, 6: 1.2706} {
		if got := saltOsmotic(m, 25); math.Abs(got/want-1) > 0.003 {
			t.Errorf("%g mol/kg: osmotic coefficient %.4f, want %.4f", m, got, want)
		}
	}
	w := 6 * saltMolar / (1 + 6*saltMolar)
	if a := must[Activity](t)(syrup(Sodium, w).Activity(25, Solutes{})); math.Abs(a.Value-.760) > .003 {
		t.Errorf("6 mol/kg: activity %.4f, want 0.760", a.Value)
	}
}

// Norrish's curve of a mixture (row SW-038) through the whole of Activity: the method says so.
func TestMethodIsNamed(t *testing.T) {
	c := food(.44, 0, 0, .56, .34, 0, 0)
	c.Set(Glucose, .22)
	c.Set(Sugars, .56)
	c.Set(Starch, 0)
	a := must[Activity](t)(c.Activity(25, Solutes{}))
	if !strings.Contains(a.Method, "Ross") || !strings.Contains(a.Method, "Norrish") || a.Assumptions != nil {
		t.Errorf("got %+v", a)
	}
	if math.Abs(a.Value-.903) > .01 || a.Error != .01 {
		t.Errorf("activity %.4f ± %g, want about 0.903 ± 0.01 (row SW-038)", a.Value, a.Error)
	}
	if a := must[Activity](t)(syrup(Sucrose, .5).Activity(25, Solutes{})); a.Method != "Starzak & Peacock (sucrose)" || a.Error != .005 {
		t.Errorf("sucrose: %+v", a)
	}
}

// The three quick rules against Activity on sucrose syrups of 5 to 80 %: each within the error it
// states.
func TestQuickEstimatesHoldTheirErrors(t *testing.T) {
	for w := .05; w <= .8; w += .01 {
		c := syrup(Sucrose, w)
		want := must[Activity](t)(c.Activity(25, Solutes{})).Value
		m := w / sucroseMolar / (1 - w)
		estimates := []Activity{must[Activity](t)(Raoult(m)), must[Activity](t)(MoneyBorn(m))}
		if a, err := c.Grover(Solutes{}); err == nil {
			estimates = append(estimates, a)
		} else if want > .73 && want < .93 {
			t.Errorf("Grover of %g: %v", w, err)
		}
		for _, a := range estimates {
			if math.Abs(a.Value-want) > a.Error {
				t.Errorf("%s of %.2f: %.4f ± %.3f, Activity %.4f", a.Method, w, a.Value, a.Error, want)
			}
		}
	}
	for _, n := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := Raoult(n); err == nil {
			t.Errorf("Raoult takes %g", n)
		}
		if _, err := MoneyBorn(n); err == nil {
			t.Errorf("MoneyBorn takes %g", n)
		}
	}
	for _, w := range []float64{0, .1, .99, 1} {
		if a, err := syrup(Sucrose, w).Grover(Solutes{}); err == nil {
			t.Errorf("Grover of %g: %v, outside its range", w, a.Value)
		}
	}
}

// Wexler's equation at 25 degC gives Greenspan's figures to 0.01.
func TestHumiditySaltsAgree(t *testing.T) {
	for _, s := range HumiditySalts() {
		at, ok := s.At(25)
		if !ok || math.Abs(at-s.Activity) > 0.01 {
			t.Errorf("%s: %v by the equation, %v in the table", s.Name, at, s.Activity)
		}
		if _, ok := s.At(80); ok {
			t.Errorf("%s: known at 80 degC", s.Name)
		}
	}
}

// Glucose syrup of 42 DE, 80 % solids, diluted to 10 % solids: the mean molar mass 428.95 g/mol says
// 1.86 K kg/mol x 0.1/0.9/0.42895 = 0.482 K; 3 % for the departure from ideality.
func TestGlucoseSyrupFreezes(t *testing.T) {
	c := food(.9, 0, 0, .1, 0, 0, 0)
	c.Set(Glucose, .019)
	c.Set(Maltose, .014)
	c.Set(Sugars, .033)
	c.Set(Starch, 0)
	x := must[Freezing](t)(c.Freezing(Solutes{}))
	first, _ := x.FreezingPoint()
	if got := -first.Celsius(); math.Abs(got-.482) > .03*.482 {
		t.Errorf("depression %.4f, want 0.482", got)
	}
	if n := x.Assumptions(); len(n) != 1 || !strings.Contains(n[0], "42 DE") {
		t.Errorf("assumptions %q", n)
	}
	given := must[Freezing](t)(c.Freezing(Solutes{DE: 42}))
	if same, _ := given.FreezingPoint(); same != first || given.Assumptions() != nil {
		t.Errorf("DE given: %v with %q", same, given.Assumptions())
	}
	// Starch unknown and no DE given: the rest is starch; a DE tells that it is not.
	var flour Composition
	for k, share := range map[Component]float64{Water: .9, Protein: 0, Fat: 0, Carbohydrate: .1, Sugars: 0, Ash: 0, Sodium: 0} {
		flour.Set(k, share)
	}
	if p, _ := must[Freezing](t)(flour.Freezing(Solutes{})).FreezingPoint(); p < -1e-6 {
		t.Errorf("starch lowers the freezing point to %v", p)
	}
	if p, _ := must[Freezing](t)(flour.Freezing(Solutes{DE: 20})).FreezingPoint(); p > -0.1 {
		t.Errorf("maltodextrin freezes at %v", p)
	}
}

// At -18 degC the syrup left of a 20 % sucrose solution has about 67 % (reference table: "about 67 %"):
// ice 1 - .2/.67 = .70, of .8 water .88.
func TestFrozenShareInTheFreezer(t *testing.T) {
	x := must[Freezing](t)(syrup(Sucrose, .2).Freezing(Solutes{}))
	if got := x.FrozenShare(-18); math.Abs(got-.88) > .01 {
		t.Errorf("got %.4f, want 0.88", got)
	}
	if got := x.FrozenShare(5); got != 0 {
		t.Errorf("ice at 5 degC: %g", got)
	}
	if (Freezing{}).FrozenShare(-18) != 0 || (Freezing{}).Error() != 0 {
		t.Error("the zero Freezing freezes")
	}
}

func TestActivityRefuses(t *testing.T) {
	for _, c := range []struct {
		food Composition
		at   unit.Temperature
		o    Solutes
		want string
	}{
		{food(.5, 0, 0, .5, .5, 0, 0), 151, Solutes{}, "temperature 151"},
		{food(.5, 0, 0, .5, .5, 0, 0), unit.Celsius(math.NaN()), Solutes{}, "temperature NaN"},
		{food(.5, 0, 0, .5, .5, 0, 0), 20, Solutes{DE: 120}, "dextrose equivalent 120"},
		{food(.5, 0, 0, .5, .5, 0, 0), 20, Solutes{DE: math.NaN()}, "dextrose equivalent NaN"},
		{food(.5, 0, 0, .5, .5, 0, 0), 20, Solutes{Polyol: 99}, "polyol number 99"},
		{Composition{}, 20, Solutes{}, "water, protein, fat, carbohydrate not known"},
		{food(0, 0, 1, 0, 0, 0, 0), 20, Solutes{}, "no free water"},
	} {
		if a, err := c.food.Activity(c.at, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, %v; want %q", a, err, c.want)
		}
	}
	for _, at := range []unit.Temperature{-41, 1, unit.Celsius(math.NaN())} {
		if a, err := IceActivity(at); err == nil {
			t.Errorf("ice at %v: %v", at, a)
		}
	}
}

// ganache is a mix with every kind of solute.
func ganache() Composition {
	c := food(.20, .05, .31, .42, .22, .04, .012)
	for k, share := range map[Component]float64{Glucose: .04, Fructose: .02, Lactose: .02, Maltose: .02, Polyols: .03, Starch: .01, Alcohol: .01, Sodium: .0004, Sugars: .32} {
		c.Set(k, share)
	}
	return c
}

func BenchmarkActivity(b *testing.B) {
	c := ganache()
	for b.Loop() {
		if _, err := c.Activity(20, Solutes{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFreezingPoint(b *testing.B) {
	c := ganache()
	for b.Loop() {
		if _, err := c.Freezing(Solutes{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFrozenShare(b *testing.B) {
	c := ganache()
	c.Set(Water, .60)
	c.Set(Fat, 0)
	f := must[Freezing](b)(c.Freezing(Solutes{}))
	if f.FrozenShare(-18) == 0 {
		b.Fatal("no ice")
	}
	for b.Loop() {
		f.FrozenShare(-18)
	}
}

func ExampleComposition_Activity() {
	var jelly Composition // a fruit jelly
	for k, share := range map[Component]float64{
		Water: .24, Protein: 0, Fat: 0, Carbohydrate: .76, Ash: 0, Sodium: 0, Starch: 0, Polyols: 0, Fibre: .01,
		Sugars: .70, Sucrose: .55, Glucose: .08, Fructose: .04, Lactose: 0, Maltose: .03,
	} {
		jelly.Set(k, share)
	}
	a, err := jelly.Activity(20, Solutes{DE: 42})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f ± %.2f\n%s\n", a.Value, a.Error, a.Method)
	// Output:
	// 0.78 ± 0.02
	// Ross product: Starzak & Peacock (sucrose), Norrish (other sugars, polyols)
}

func ExampleComposition_Freezing() {
	var syrup Composition
	for k, share := range map[Component]float64{Water: .7, Protein: 0, Fat: 0, Carbohydrate: .3, Ash: 0, Sodium: 0, Starch: 0, Sugars: .3} {
		syrup.Set(k, share)
	}
	f, err := syrup.Freezing(Solutes{})
	if err != nil {
		fmt.Println(err)
		return
	}
	first, _ := f.FreezingPoint()
	fmt.Printf("%.1f °C; at -18 °C %.0f %% of the water is ice\n", first.Celsius(), 100*f.FrozenShare(-18))
	fmt.Println(f.Assumptions()[0])
	// Output:
	// -2.7 °C; at -18 °C 79 % of the water is ice
	// sugars not known one by one are taken as sucrose
}
