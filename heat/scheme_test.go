package heat

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/material"
	"chablon/unit"
)

// Without a change of phase the error falls with the square of the step and of the cell: halving either
// takes at least 2^1.8 off it. The truth is the series, or the same grid with very small steps.
func TestFieldOrder(t *testing.T) {
	m := plain(t, 1, 1e6)
	all := []Stage{Around(0, Boundary{Air: 0, Transfer: 2})}
	end := func(cells int, fixed time.Duration) float64 {
		r := run(t, field(t, DiscGrid(equal(1, cells), equal(1, cells+1)), m, 1), all, Criterion{}, Options{
			Limit: 256_000 * time.Second, Tolerance: 1e-5, fixed: fixed,
		})
		return float64(r.Last().Core)
	}
	order := func(errs []float64) float64 {
		return math.Log2(math.Abs(errs[0]/errs[len(errs)-1])) / float64(len(errs)-1)
	}
	fine := end(12, 500*time.Second)
	var errs []float64
	for _, step := range []time.Duration{32_000, 16_000, 8_000, 4_000} {
		errs = append(errs, end(12, step*time.Second)-fine)
	}
	if got := order(errs); got < 1.8 {
		t.Errorf("order in time %.2f: errors %.3g", got, errs)
	}
	want := left(axial, 2, .256, 0) * left(planar, 1, 1.024, 0)
	errs = nil
	for _, cells := range []int{6, 12, 24} {
		errs = append(errs, end(cells, 0)-want)
	}
	if got := order(errs); got < 1.8 {
		t.Errorf("order in space %.2f: errors %.3g", got, errs)
	}
}

// foods are made up for the tests below: mousse, sponge, fruit insert, butter cream.
func someFoods(t testing.TB) []*material.Table {
	t.Helper()
	var out []*material.Table
	for _, f := range []material.Thermal{
		mousse(t), food(t, .30, .08, .12, .48, .30, .01, .65), food(t, .70, .005, .0, .29, .25, .003, 0), food(t, .15, .01, .55, .285, .285, .005, .2),
	} {
		x, err := f.Table()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	return out
}

// explicit follows a disc by the plainest scheme there is: heat into each cell from its four
// neighbours, forward in time, with steps short enough to be stable. It shares no code with Run but
// the tables of the foods.
func explicit(r, z []float64, foods []*material.Table, number [][]int, start [][]float64, air, hBottom, hTop, hSide, until float64) (seconds float64) {
	nr, nz := len(r)-1, len(z)-1
	heat, temp, k := make([][]float64, nr), make([][]float64, nr), make([][]float64, nr)
	for i := range heat {
		heat[i], temp[i], k[i] = make([]float64, nz), make([]float64, nz), make([]float64, nz)
		for j := range heat[i] {
			heat[i][j] = foods[number[i][j]].Heat(unit.Celsius(start[i][j]))
		}
	}
	size := math.Min(r[1]-r[0], z[1]-z[0])
	dt := 0.1 * size * size / (1.5 / 0.8e6) // above any diffusivity in these foods
	for ; seconds < 1e6; seconds += dt {
		warmest := -200.0
		for i := range heat {
			for j := range heat[i] {
				t, _, c, _ := foods[number[i][j]].At(heat[i][j])
				temp[i][j], k[i][j] = t, c
				warmest = math.Max(warmest, t)
			}
		}
		if warmest <= until {
			return seconds
		}
		between := func(i, j, a, b int, di, da float64) float64 { // flow into i,j over area 1
			return (temp[a][b] - temp[i][j]) / (di/k[i][j] + da/k[a][b])
		}
		for i := range heat {
			ring := math.Pi * (r[i+1]*r[i+1] - r[i]*r[i])
			for j := range heat[i] {
				dz, dr := z[j+1]-z[j], r[i+1]-r[i]
				q := 0.0
				if i > 0 {
					q += 2 * math.Pi * r[i] * dz * between(i, j, i-1, j, dr/2, (r[i]-r[i-1])/2)
				}
				if i+1 < nr {
					q += 2 * math.Pi * r[i+1] * dz * between(i, j, i+1, j, dr/2, (r[i+2]-r[i+1])/2)
				} else if hSide > 0 {
					q += 2 * math.Pi * r[i+1] * dz * (air - temp[i][j]) / (1/hSide + dr/2/k[i][j])
				}
				if j > 0 {
					q += ring * between(i, j, i, j-1, dz/2, (z[j]-z[j-1])/2)
				} else if hBottom > 0 {
					q += ring * (air - temp[i][j]) / (1/hBottom + dz/2/k[i][j])
				}
				if j+1 < nz {
					q += ring * between(i, j, i, j+1, dz/2, (z[j+2]-z[j+1])/2)
				} else if hTop > 0 {
					q += ring * (air - temp[i][j]) / (1/hTop + dz/2/k[i][j])
				}
				heat[i][j] += dt * q / (ring * dz)
			}
		}
	}
	return seconds
}

// Ten assemblies of random layers, inserts (some of them frozen) and surroundings freeze in the
// same time, to 1 %, as by explicit on the same grid.
func TestFieldAgainstExplicit(t *testing.T) {
	foods := someFoods(t)
	seed := uint64(7)
	random := func(low, high float64) float64 { // a small linear generator, the same on every run
		seed = seed*6364136223846793005 + 1442695040888963407
		return low + (high-low)*float64(seed>>11)/(1<<53)
	}
	for n := range 10 {
		r, z := equal(random(.03, .06), 10), equal(random(.03, .045), 12)
		layer := [4]int{int(random(0, 4)), int(random(0, 4)), int(random(0, 4)), 0}
		insert, radius, insertStart := int(random(0, 4)), int(random(3, 8)), []float64{-18, 4}[int(random(0, 2))]
		start := random(2, 25)
		number, temps := make([][]int, 10), make([][]float64, 10)
		at := func(i, j int) (int, float64) {
			if j >= 4 && j < 8 && i < radius {
				return insert, insertStart
			}
			return layer[j/3], start
		}
		for i := range number {
			for j := range 12 {
				f, s := at(i, j)
				number[i] = append(number[i], f)
				temps[i] = append(temps[i], s)
			}
		}
		f, err := NewField(DiscGrid(r, z), foods, func(p Point) Cell {
			food, start := at(int(float64(p.X/r[10])*10), int(float64(p.Z/z[12])*12))
			return Cell{food, unit.Celsius(start)}
		})
		if err != nil {
			t.Fatal(err)
		}
		air, hb, ht, hs := random(-35, -18), random(2, 10), random(8, 30), random(5, 30)
		until := air + random(3, 6)
		s := Stage{
			Bottom: Boundary{Air: unit.Celsius(air), Transfer: unit.HeatTransfer(hb)},
			Top:    Boundary{Air: unit.Celsius(air), Transfer: unit.HeatTransfer(ht)}, Side: Boundary{Air: unit.Celsius(air), Transfer: unit.HeatTransfer(hs)},
		}
		got := run(t, f, []Stage{s}, WarmestBelow(unit.Celsius(until)), Options{})
		want := explicit(metres(r), metres(z), foods, number, temps, air, hb, ht, hs, until)
		if math.Abs(got.Time.Seconds()/want-1) > 0.01 {
			t.Errorf("assembly %d: %.0f s in %d steps, explicit %.0f s", n, got.Time.Seconds(), got.Steps, want)
		}
	}
}

// Whatever the foods, the shape and the schedule, heat is conserved to 1e-6, no cell leaves the span of
// the starts and the surroundings by more than a hundredth of it, and nothing is not a number.
func TestFieldConserves(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		x := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		var foods []*material.Table
		for range 3 {
			water := x("water", 0, 1)
			alcohol := (1 - water) * x("alcohol", 0, 1) * float64(rapid.IntRange(0, 1).Draw(r, "spirit"))
			sugar := (1 - water - alcohol) * x("sugar", 0, 1)
			var c material.Composition
			for k, share := range map[material.Component]float64{
				material.Water: water, material.Alcohol: alcohol, material.Protein: 0, material.Fat: 1 - water - alcohol - sugar,
				material.Carbohydrate: sugar, material.Sugars: sugar, material.Sucrose: sugar, material.Ash: 0, material.Sodium: 0,
			} {
				c.Set(k, math.Max(0, math.Min(1, share)))
			}
			f, err := c.Thermal(x("air", 0, .95))
			if err != nil {
				r.Fatal(err)
			}
			table, err := f.Table()
			if err != nil {
				r.Fatal(err)
			}
			foods = append(foods, table)
		}
		size := unit.Length(x("size", .005, .3))
		var g Grid
		switch rapid.IntRange(0, 5).Draw(r, "kind") {
		case 0:
			g = SlabGrid(equal(float64(size), 9))
		case 1:
			g = DiscGrid(equal(float64(size), 5), equal(.05, 6))
		case 2:
			g = DiscGrid(Edges(size/4, size/3, size), equal(.05, 6))
		case 3:
			g = TurnedGrid(equal(float64(size), 5), equal(float64(size), 6), func(z unit.Length) (unit.Length, unit.Length) {
				return 0, unit.Length(math.Sqrt(math.Max(0, float64(size*size-z*z))))
			})
		case 4:
			g = BoxGrid(equal(float64(size), 4), equal(.1, 3), equal(.04, 5), rapid.Bool().Draw(r, "quarter"))
		default:
			g = BallGrid(equal(float64(size), 8))
		}
		low, high := math.Inf(1), math.Inf(-1)
		temperature := func(name string) unit.Temperature {
			t := x(name, -35, 90)
			low, high = math.Min(low, t), math.Max(high, t)
			return unit.Celsius(t)
		}
		starts := [3]unit.Temperature{temperature("start"), temperature("start"), temperature("start")}
		n := 0
		f, err := NewField(g, foods, func(Point) Cell { n++; return Cell{n % 3, starts[n%3]} })
		if err != nil {
			r.Fatal(err)
		}
		var stages []Stage
		at := time.Duration(0)
		for range rapid.IntRange(1, 3).Draw(r, "stages") {
			s := Around(at, Boundary{Air: temperature("air"), Transfer: unit.HeatTransfer(rapid.SampledFrom([]float64{0, 1, 8, 30, 600, 1e5}).Draw(r, "h"))})
			s.Bottom = Boundary{Air: temperature("below"), Transfer: 8, Covers: []Cover{{unit.Length(x("tray", 0, .02)), 0.2}}}
			s.Side.Humidity = x("humidity", 0, 1)
			stages = append(stages, s)
			at += time.Duration(x("long", 10, 20000) * float64(time.Second))
		}
		run, err := f.Run(t.Context(), stages, Criterion{}, Options{Limit: at})
		if err != nil {
			r.Fatal(err)
		}
		if !(run.EnergyError <= 1e-6) {
			r.Fatalf("energy error %g in %d steps", run.EnergyError, run.Steps)
		}
		little := 0.03 + 0.01*(high-low)
		for _, s := range run.Curve {
			if !(float64(s.Coldest) >= low-little && float64(s.Warmest) <= high+little && s.FrozenShare >= 0 && s.FrozenShare <= 1 &&
				!math.IsNaN(float64(s.Core)) && !math.IsNaN(float64(s.Surface))) {
				r.Fatalf("%+v outside %g to %g", s, low, high)
			}
		}
	})
}

func TestFieldTakesNoMemoryInItsLoop(t *testing.T) {
	f := field(t, DiscGrid(equal(.1, 12), equal(.045, 9)), someFoods(t)[0], 12)
	r, err := f.newRunner(t.Context(), []Stage{Around(0, Boundary{Air: -20, Transfer: 8})}, CoreBelow(-15), Options{})
	if err != nil {
		t.Fatal(err)
	}
	r.start()
	if n := testing.AllocsPerRun(20, func() {
		if _, ok := r.step(60); !ok {
			t.Fatal("step failed")
		}
		r.take(60)
		r.sample()
	}); n != 0 {
		t.Errorf("%g allocations a step", n)
	}
}

// A run that is told to stop does so within 10 ms and gives back what it has. One in ten must do it,
// since the machine has other things to do.
func TestFieldStops(t *testing.T) {
	if racing {
		t.Skip("the race detector is slower than the promise")
	}
	f := field(t, BoxGrid(equal(.3, 50), equal(.2, 40), equal(.04, 20), true), someFoods(t)[0], 12)
	best := time.Hour
	for n := 0; n < 10 && best > 10*time.Millisecond; n++ {
		ctx, cancel := context.WithCancel(t.Context())
		asked := make(chan time.Time, 1)
		time.AfterFunc(60*time.Millisecond, func() { asked <- time.Now(); cancel() })
		r, err := f.Run(ctx, []Stage{Around(0, Boundary{Air: -20, Transfer: 8})}, CoreBelow(-15), Options{})
		best = min(best, time.Since(<-asked))
		if !errors.Is(err, context.Canceled) || r.Status != Stopped || len(r.Curve) < 1 || !strings.Contains(err.Error(), "stopped") {
			t.Errorf("%v, %v, %d samples", err, r.Status, len(r.Curve))
		}
	}
	if best > 10*time.Millisecond {
		t.Errorf("stopped after %v", best)
	}
}

// A ring of 200 by 45 mm: sponge, mousse, fruit insert, mousse, in still air of -20 degC to a core of -15 degC.
func BenchmarkFieldRing(b *testing.B) {
	foods := someFoods(b)
	mm := unit.Millimetre
	for _, size := range []unit.Length{10 * mm, 6 * mm, 4 * mm} {
		g := DiscGrid(Edges(size, 0, 80*mm, 100*mm), Edges(size, 0, 10*mm, 18*mm, 30*mm, 45*mm))
		f, err := NewField(g, foods, func(p Point) Cell {
			switch {
			case p.Z < 10*mm:
				return Cell{1, 20}
			case p.Z > 18*mm && p.Z < 30*mm && p.X < 80*mm:
				return Cell{2, 12}
			}
			return Cell{0, 12}
		})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(size.Show(), func(b *testing.B) {
			for b.Loop() {
				r, err := f.Solve(b.Context(), []Stage{Around(0, Boundary{Air: -20, Transfer: 8})}, CoreBelow(-15), Options{GridError: 1})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(r.Time.Seconds(), "s-food")
				b.ReportMetric(100*r.GridError, "%grid")
				b.ReportMetric(float64(r.Steps), "steps")
			}
		})
	}
}

// A frame of 600 by 400 by 40 mm on a board, a quarter of it, in a fan freezer.
func BenchmarkFieldFrame(b *testing.B) {
	foods := someFoods(b)
	mm := unit.Millimetre
	for _, n := range []int{5, 7} {
		g := BoxGrid(Graded(300*mm, n, .15), Graded(200*mm, n, .2), Edges(40*mm/unit.Length(n+1), 0, 10*mm, 40*mm), true)
		f, err := NewField(g, foods, func(p Point) Cell {
			if p.Z < 10*mm {
				return Cell{1, 20}
			}
			return Cell{0, 12}
		})
		if err != nil {
			b.Fatal(err)
		}
		s := Around(0, Boundary{Air: -20, Transfer: 14})
		s.Bottom.Covers = []Cover{{2 * mm, .065}}
		b.Run(fmt.Sprintf("%d", n), func(b *testing.B) {
			for b.Loop() {
				r, err := f.Solve(b.Context(), []Stage{s}, CoreBelow(-15), Options{GridError: 1})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(r.Time.Seconds(), "s-food")
				b.ReportMetric(100*r.GridError, "%grid")
				b.ReportMetric(float64(r.Steps), "steps")
			}
		})
	}
}
