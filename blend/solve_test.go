package blend

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"chablon/unit"
)

// two returns a problem of two materials with one figure each, a kilogram in total.
func two(figure, a string, fa float64, b string, fb float64) Problem {
	return Problem{
		Figures:   []string{figure},
		Materials: []Material{{Name: a, Figures: []float64{fa}}, {Name: b, Figures: []float64{fb}}},
		Total:     1,
	}
}

func solve(t *testing.T, p Problem) Solution {
	t.Helper()
	s, err := p.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The square of two materials to one share: the part of a is (want − fb)/(fa − fb).
func TestSquare(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		name         string
		p            Problem
		share, wantA float64
		source       string
	}{
		{"cream of 40 and milk to cream of 35", two("fat", "cream", 0.40, "milk", 0.035), 0.35, 0.863014, "(35 − 3.5)/(40 − 3.5) = 31.5/36.5"},
		{"butter and milk to cream of 35", two("fat", "butter", 0.82, "milk", 0.035), 0.35, 0.401274, "31.5/78.5; practice takes 0.40"},
		{"syrups of 65 and 30 Brix to 50", two("sugar", "thick", 0.65, "thin", 0.30), 0.50, 0.571429, "20/35"},
	} {
		bounded, aimed := tc.p, tc.p
		bounded.Bounds = []Bound{tc.p.Share("share", tc.p.Figures[0], Exactly(tc.share))}
		aimed.Goals = []Goal{tc.p.AimShare("share", tc.p.Figures[0], tc.share, 1)}
		for how, at := range map[string]struct {
			p      Problem
			within float64
		}{"as a bound": {bounded, 1e-6}, "as a goal": {aimed, 1e-5}} { // six digits given; the goal gives way to staying
			s := solve(t, at.p)
			if s.Status != Optimal || math.Abs(float64(s.Amounts[0])-tc.wantA) > at.within || math.Abs(float64(s.Amounts[0]+s.Amounts[1])-1) > 1e-9 {
				t.Errorf("%s, %s: %v %v, want %g and the rest (%s)", tc.name, how, s.Status, s.Amounts, tc.wantA, tc.source)
			}
		}
	}
}

func TestByHand(t *testing.T) {
	t.Parallel()
	free := func(n int, now ...unit.Mass) Problem {
		p := Problem{Stay: 1}
		for i := range n {
			p.Materials = append(p.Materials, Material{Name: string(rune('a' + i)), Now: now[i]})
		}
		return p
	}
	textbook := free(2, 1, 2.5)
	textbook.Bounds = []Bound{
		{Name: "1", Coefficients: []float64{1, -2}, Limits: AtLeast(-2)},
		{Name: "2", Coefficients: []float64{-1, -2}, Limits: AtLeast(-6)},
		{Name: "3", Coefficients: []float64{-1, 2}, Limits: AtLeast(-2)},
	}
	twins := free(2, 0.2, 0.6)
	twins.Stay, twins.Total = 0, 1
	twins.Goals = []Goal{{Name: "fat", Coefficients: []float64{0.35, 0.35}, Target: 0.5, Weight: 10}}
	weighted := free(1, 0)
	weighted.Stay = 1e-8
	weighted.Goals = []Goal{{Name: "one", Coefficients: []float64{1}, Target: 1, Weight: 1}, {Name: "two", Coefficients: []float64{1}, Target: 2, Weight: 3}}
	fixed := free(3, 0.3, 0.1, 0.1)
	fixed.Total, fixed.Materials[0].Fixed, fixed.Materials[1].Most = 1, true, 0.25
	ratio := free(2, 1, 1)
	ratio.Bounds = []Bound{{Name: "sugar to water", Coefficients: []float64{1, 0}, Per: []float64{0, 1}, Limits: Exactly(2)}}
	nought := free(2, 0.1, 0.9)
	nought.Total = 0.4
	for _, tc := range []struct {
		name   string
		p      Problem
		want   []float64
		active []string
		source string
	}{
		{"textbook", textbook, []float64{1.4, 1.7}, []string{"1: at least -2"}, "Nocedal and Wright, example 16.4"},
		{"two alike", twins, []float64{0.3, 0.7}, []string{"total: 1 000 g"}, "0.2 kg is to be added, half to each is nearest"},
		{"weights", weighted, []float64{1.75}, nil, "(1·1 + 3·2)/4"},
		{"fixed and full", fixed, []float64{0.3, 0.25, 0.45}, []string{"a: fixed at 300 g", "b: at most 250 g", "total: 1 000 g"}, "0.5 kg is to be added, 0.25 each, of which b takes 0.15"},
		{"ratio", ratio, []float64{1.2, 0.6}, []string{"sugar to water: exactly 2"}, "projection of (1, 1) on the line (2, 1): 3/5 of it"},
		{"down to nothing", nought, []float64{0, 0.4}, []string{"total: 400 g"}, "0.6 kg is to be taken away, 0.3 each, but a has 0.1"},
		{"nothing asked", free(2, 0.5, 0), []float64{0.5, 0}, nil, "the present amounts"},
	} {
		s := solve(t, tc.p)
		if s.Status != Optimal {
			t.Errorf("%s: %v", tc.name, s.Status)
			continue
		}
		for i, want := range tc.want {
			if math.Abs(float64(s.Amounts[i])-want) > 1e-7 {
				t.Errorf("%s: %v kg, want %v (%s)", tc.name, s.Amounts, tc.want, tc.source)
			}
		}
		var active []string
		for _, a := range s.Active {
			active = append(active, strings.ReplaceAll(a, "\u00a0", " "))
		}
		if d := cmp.Diff(tc.active, active); d != "" {
			t.Errorf("%s: active (-want +got):\n%s", tc.name, d)
		}
	}
}

func TestConflictByHand(t *testing.T) {
	t.Parallel()
	p := two("fat", "cream", 0.40, "milk", 0.035)
	p.Materials[0].Most, p.Materials[1].Least = 0.3, 0.1
	p.Bounds = []Bound{p.Share("fat", "fat", Between(0.30, 0.36)), p.Sum("least of all", "", AtMost(5))}
	// 0.3 kg of cream and 0.1 kg of milk have 0.1235/0.4 = 0.309 of fat; a kilogram has not.
	want := []string{"cream: at most 300 g", "total: 1 000 g", "fat: at least 0.3"}
	s := solve(t, p)
	got := strings.Split(strings.ReplaceAll(strings.Join(s.Conflict, "\n"), "\u00a0", " "), "\n")
	if s.Status != Infeasible || !slices.Equal(got, want) || s.Amounts != nil {
		t.Errorf("%v %q %v, want %q", s.Status, got, s.Amounts, want)
	}
	p.Total = 0
	if s := solve(t, p); s.Status != Optimal {
		t.Errorf("with the total free: %v %q", s.Status, s.Conflict)
	}
	p.Materials[0].Fixed, p.Materials[0].Now = true, 0.4
	want = []string{"cream: fixed at 400 g", "cream: at most 300 g"}
	if s := solve(t, p); !slices.Equal(s.Conflict, want) {
		t.Errorf("%q, want %q", s.Conflict, want)
	}
	empty := two("fat", "water", 0, "sugar", 0)
	empty.Bounds = []Bound{empty.Sum("fat", "fat", AtLeast(0.1))}
	if s := solve(t, empty); !slices.Equal(s.Conflict, []string{"fat: at least 0.1"}) {
		t.Errorf("fat from what has none: %v %q", s.Status, s.Conflict)
	}
}

// A share that every material has but for the last bit is no reason for a conflict.
func TestShareOfAllAlike(t *testing.T) {
	t.Parallel()
	tenth := 0.1
	p := two("fat", "a", 0.3, "b", 0.3)
	p.Bounds = []Bound{p.Share("fat", "fat", Exactly(3*tenth))}
	if 3*tenth == 0.3 {
		t.Fatal("the sum is exact here; the test needs one that is not")
	}
	if s := solve(t, p); s.Status != Optimal || math.Abs(float64(s.Amounts[0])-0.5) > 1e-7 {
		t.Errorf("%v %v %q, want half a kilogram of each", s.Status, s.Amounts, s.Conflict)
	}
}

// At the answer the gradient is a combination of the rows that hold, with pressures above zero
// for those that could be left. Gradient and rows are the oracle's, in kilograms.
func TestOptimalityConditions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		p := large(rapid.Uint64().Draw(t, "seed"), n, false)
		p.Stay = rapid.SampledFrom([]float64{0, 1e-3, 1}).Draw(t, "stay")
		if rapid.Bool().Draw(t, "twins") && n > 1 {
			for i := range p.Bounds {
				p.Bounds[i].Coefficients[1] = p.Bounds[i].Coefficients[0]
				p.Bounds[i].Limits.LeastKnown = false
				p.Bounds[i].Limits.Most, p.Bounds[i].Limits.MostKnown = 0.9, true
			}
		}
		solution, err := p.Solve()
		if err != nil {
			t.Fatal(err)
		}
		if solution.Status == Infeasible {
			return // changed limits need not hold
		}
		s := p.scale()
		stay, curvature := p.stay()
		r := s.ranges(nil)
		best := s.nearest(s.distance(stay, curvature), r)
		h, g := oracleObjective(p, solution.Stay)
		x, greatest := make([]float64, n), 1.0
		for i := range x {
			x[i] = float64(solution.Amounts[i])
		}
		for i := range x {
			for j := range x {
				g[i] += h[i][j] * x[j]
				greatest = max(greatest, math.Abs(h[i][j]))
			}
		}
		for k, e := range best.holds {
			if !e.exact && best.press[k] < -1e-10 {
				t.Fatalf("a limit presses with %g", best.press[k])
			}
			f := 2 * curvature * s.size * best.press[k] * e.sign
			if e.quantity < n {
				g[e.quantity] -= f
				continue
			}
			for i, v := range s.rows[e.quantity-n] {
				g[i] -= f * v
			}
		}
		for i, v := range g {
			if math.Abs(v) > 1e-8*greatest {
				t.Fatalf("residual %g in the gradient at material %d of %d", v, i, n)
			}
		}
		for _, c := range oracleConstraints(p) {
			if v := dot(c.a, x) - c.b; v < -1e-7 || (c.plane && v > 1e-7) {
				t.Fatalf("a limit is missed by %g kg", v)
			}
		}
	})
}

// Masses ten, or a million times smaller, give amounts as many times smaller.
func TestScaleOfMasses(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := large(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(1, 8).Draw(t, "n"), false)
		k := math.Pow(10, rapid.Float64Range(-6, 5).Draw(t, "power"))
		q := p
		q.Total *= unit.Mass(k)
		q.Materials, q.Bounds, q.Goals = slices.Clone(p.Materials), slices.Clone(p.Bounds), slices.Clone(p.Goals)
		for i := range q.Materials {
			q.Materials[i].Now *= unit.Mass(k)
			q.Materials[i].Most *= unit.Mass(k)
		}
		for i := range q.Bounds {
			q.Bounds[i].Limits.Least *= k
			q.Bounds[i].Limits.Most *= k
		}
		for i := range q.Goals {
			q.Goals[i].Target *= k
		}
		a, errA := p.Solve()
		b, errB := q.Solve()
		if errA != nil || errB != nil || a.Status != Optimal || b.Status != Optimal {
			t.Fatal(errA, errB, a.Status, b.Status)
		}
		for i, x := range a.Amounts {
			if y := float64(b.Amounts[i]) / k; math.Abs(y-float64(x)) > 1e-6 {
				t.Fatalf("%g kg, times %g: %g kg", float64(x), k, float64(b.Amounts[i]))
			}
		}
	})
}

// Whatever passes Validate gives finite amounts, at or above zero, or none.
func TestNothingWild(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.OneOf(rapid.Float64Range(-MaxNumber, MaxNumber), rapid.Float64Range(-1, 1), rapid.SampledFrom([]float64{0, 1, 1e-300, -1e-18, 1e9, 1e-9}))
		mass := rapid.OneOf(rapid.Float64Range(0, float64(MaxMass)), rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{0, 5e-324, 1e-12, 1}))
		weight := rapid.SampledFrom([]float64{0, 1e-12, 1, 1e12})
		n := rapid.IntRange(1, 5).Draw(t, "n")
		row := func(label string) []float64 { return rapid.SliceOfN(number, n, n).Draw(t, label) }
		p := Problem{Total: unit.Mass(mass.Draw(t, "total")), Stay: weight.Draw(t, "stay")}
		for i := range n {
			p.Materials = append(p.Materials, Material{
				Name: string(rune('a' + i)), Now: unit.Mass(mass.Draw(t, "now")), Least: unit.Mass(mass.Draw(t, "least")),
				Fixed: rapid.Bool().Draw(t, "fixed"),
			})
		}
		for i := range rapid.IntRange(0, 4).Draw(t, "bounds") {
			b := Bound{Name: string(rune('A' + i)), Coefficients: row("bound"), Limits: AtLeast(number.Draw(t, "limit"))}
			if rapid.Bool().Draw(t, "ratio") {
				for _, v := range row("per") {
					b.Per = append(b.Per, math.Abs(v))
				}
			}
			p.Bounds = append(p.Bounds, b)
		}
		for i := range rapid.IntRange(0, 3).Draw(t, "goals") {
			p.Goals = append(p.Goals, Goal{Name: string(rune('P' + i)), Coefficients: row("goal"), Target: number.Draw(t, "target"), Weight: weight.Draw(t, "weight")})
		}
		s, err := p.Solve()
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range s.Amounts {
			if !(m >= 0) || math.IsInf(float64(m), 0) {
				t.Fatalf("%v: amount %g", s.Status, float64(m))
			}
		}
		for _, g := range s.Goals {
			if v := g.Value + g.Miss; math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%v: goal %+v", s.Status, g)
			}
		}
		if (s.Status == Infeasible) != (len(s.Conflict) > 0) {
			t.Fatalf("%v with conflict %q", s.Status, s.Conflict)
		}
		again, _ := p.Solve()
		if d := cmp.Diff(s, again); d != "" {
			t.Fatalf("solved twice:\n%s", d)
		}
	})
}

func TestValidate(t *testing.T) {
	t.Parallel()
	good := func() Problem {
		p := two("fat", "cream", 0.4, "milk", 0.035)
		p.Bounds = []Bound{p.Share("share", "fat", AtMost(0.35))}
		p.Goals = []Goal{p.Aim("aim", "fat", 0.3, 1)}
		return p
	}
	if err := good().Validate(); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		want   string
		change func(*Problem)
	}{
		{"materials: there are 0", func(p *Problem) { *p = Problem{} }},
		{"material 1: has no name", func(p *Problem) { p.Materials[0].Name = "" }},
		{`material "milk": is there twice`, func(p *Problem) { p.Materials[0].Name = "milk" }},
		{`material "cream": least 300 g is above most 200 g`, func(p *Problem) { p.Materials[0].Least, p.Materials[0].Most = 0.3, 0.2 }},
		{`material "cream": now: -1 kg`, func(p *Problem) { p.Materials[0].Now = -1 }},
		{`material "milk": figure "fat": NaN`, func(p *Problem) { p.Materials[1].Figures = []float64{math.NaN()} }},
		{`material "milk": has 0 figures`, func(p *Problem) { p.Materials[1].Figures = nil }},
		{"total: +Inf kg", func(p *Problem) { p.Total = unit.Mass(math.Inf(1)) }},
		{"stay: -1", func(p *Problem) { p.Stay = -1 }},
		{`bound "share": figure "fta" is not one of`, func(p *Problem) { p.Bounds[0] = p.Share("share", "fta", AtMost(1)) }},
		{`bound "share": has no limit`, func(p *Problem) { p.Bounds[0].Limits = Limits{} }},
		{`bound "share": least 2 is above most 1`, func(p *Problem) { p.Bounds[0].Limits = Between(2, 1) }},
		{`bound "share": has 1 coefficients`, func(p *Problem) { p.Bounds[0].Coefficients = []float64{1} }},
		{`bound "share": is measured against -1`, func(p *Problem) { p.Bounds[0].Per = []float64{1, -1} }},
		{`goal "aim": target: +Inf`, func(p *Problem) { p.Goals[0].Target = math.Inf(1) }},
		{`goal "aim": weight: NaN`, func(p *Problem) { p.Goals[0].Weight = math.NaN() }},
		{`goal "aim": figure "fta"`, func(p *Problem) { p.Goals[0] = p.AimRatio("aim", "fat", "fta", 1, 1) }},
	} {
		p := good()
		tc.change(&p)
		if _, err := p.Solve(); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("got %v, want %q", err, tc.want)
		}
	}
}
