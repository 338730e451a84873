package blend

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"chablon/unit"
)

// The oracle shares no code with the package but the Problem itself. It works in kilograms,
// without scaling: every set of at most n constraints is tried as the set that holds with
// equality, its optimality system (Karush, Kuhn and Tucker) is solved by Gaussian elimination, and
// a solution that keeps all constraints with multipliers of the right sign is the optimum. A
// strictly convex problem that can be met at all has such a set with independent rows, so that
// finding none proves that the limits conflict: bib:nocedal-wright, theorems 12.1 and 16.4.

type halfSpace struct { // a·x ≥ b, or = b
	a     []float64
	b     float64
	plane bool
}

func (h halfSpace) scaled() halfSpace {
	norm := 0.0
	for _, v := range h.a {
		norm = math.Hypot(norm, v)
	}
	if norm == 0 {
		return h
	}
	out := halfSpace{make([]float64, len(h.a)), h.b / norm, h.plane}
	for i, v := range h.a {
		out.a[i] = v / norm
	}
	return out
}

func oracleConstraints(p Problem) []halfSpace {
	n := len(p.Materials)
	var out []halfSpace
	unitRow := func(i int, f float64) []float64 {
		a := make([]float64, n)
		a[i] = f
		return a
	}
	for i, m := range p.Materials {
		if m.Fixed {
			out = append(out, halfSpace{unitRow(i, 1), float64(m.Now), true})
		}
		out = append(out, halfSpace{unitRow(i, 1), float64(m.Least), false})
		if m.Most > 0 {
			out = append(out, halfSpace{unitRow(i, -1), -float64(m.Most), false})
		}
	}
	if p.Total > 0 {
		a := make([]float64, n)
		for i := range a {
			a[i] = 1
		}
		out = append(out, halfSpace{a, float64(p.Total), true})
	}
	for _, b := range p.Bounds {
		side := func(v, sign float64, plane bool) {
			a, rhs := make([]float64, n), sign*v
			for i := range a {
				a[i] = sign * b.Coefficients[i]
				if b.Per != nil {
					a[i] -= sign * v * b.Per[i]
					rhs = 0
				}
			}
			out = append(out, halfSpace{a, rhs, plane}.scaled())
		}
		switch l := b.Limits; {
		case l.LeastKnown && l.MostKnown && l.Least == l.Most:
			side(l.Least, 1, true)
		default:
			if l.LeastKnown {
				side(l.Least, 1, false)
			}
			if l.MostKnown {
				side(l.Most, -1, false)
			}
		}
	}
	return out
}

// oracleObjective returns h and g of ½x·h·x + g·x.
func oracleObjective(p Problem, stay float64) (h [][]float64, g []float64) {
	n := len(p.Materials)
	h, g = make([][]float64, n), make([]float64, n)
	for i := range h {
		h[i] = make([]float64, n)
		h[i][i] = 2 * stay
		g[i] = -2 * stay * float64(p.Materials[i].Now)
	}
	for _, goal := range p.Goals {
		c, t := slices.Clone(goal.Coefficients), goal.Target
		if goal.Per != nil {
			for i := range c {
				c[i] -= goal.Target * goal.Per[i]
			}
			t = 0
		}
		for i := range n {
			for j := range n {
				h[i][j] += 2 * goal.Weight * c[i] * c[j]
			}
			g[i] -= 2 * goal.Weight * t * c[i]
		}
	}
	return h, g
}

// gauss solves a square system in place with row exchanges; false if it is singular.
func gauss(a [][]float64, b []float64) bool {
	n := len(b)
	for k := range n {
		at := k
		for i := k; i < n; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[at][k]) {
				at = i
			}
		}
		if math.Abs(a[at][k]) < 1e-10 {
			return false
		}
		a[k], a[at], b[k], b[at] = a[at], a[k], b[at], b[k]
		for i := k + 1; i < n; i++ {
			f := a[i][k] / a[k][k]
			for j := k; j < n; j++ {
				a[i][j] -= f * a[k][j]
			}
			b[i] -= f * b[k]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			b[i] -= a[i][j] * b[j]
		}
		b[i] /= a[i][i]
	}
	return true
}

// oracle returns the optimum and whether there is one.
func oracle(p Problem, stay float64) ([]float64, bool) {
	const keeps = 1e-8 // kilograms, for rows of length one and amounts of order one
	n := len(p.Materials)
	all := oracleConstraints(p)
	h, g := oracleObjective(p, stay)
	var planes, halves []int
	for i, c := range all {
		if slices.ContainsFunc(c.a, func(v float64) bool { return v != 0 }) {
			if c.plane {
				planes = append(planes, i)
			} else {
				halves = append(halves, i)
			}
		}
	}
	var answer []float64
	try := func(set []int) bool {
		k := n + len(set)
		a, b := make([][]float64, k), make([]float64, k)
		for i := range a {
			a[i] = make([]float64, k)
		}
		for i := range n {
			copy(a[i], h[i])
			b[i] = -g[i]
		}
		for i, c := range set {
			for j, v := range all[c].a {
				a[n+i][j], a[j][n+i] = v, -v
			}
			b[n+i] = all[c].b
		}
		if !gauss(a, b) {
			return false
		}
		for i, c := range set {
			if !all[c].plane && b[n+i] < -keeps {
				return false
			}
		}
		for _, c := range all {
			v := 0.0
			for j, f := range c.a {
				v += f * b[j]
			}
			if v < c.b-keeps || (c.plane && v > c.b+keeps) {
				return false
			}
		}
		answer = b[:n:n]
		return true
	}
	var choose func(from []int, set []int, then func([]int) bool) bool
	choose = func(from []int, set []int, then func([]int) bool) bool {
		if then(set) {
			return true
		}
		if len(set) == n {
			return false
		}
		for i, c := range from {
			if choose(from[i+1:], append(set[:len(set):len(set)], c), then) {
				return true
			}
		}
		return false
	}
	// Planes may depend on each other, so that any of them may be left out of the set; try the
	// fullest sets first.
	subsets := [][]int{}
	choose(planes, nil, func(s []int) bool { subsets = append(subsets, slices.Clone(s)); return false })
	slices.SortStableFunc(subsets, func(a, b []int) int { return len(b) - len(a) })
	for _, s := range subsets {
		if choose(halves, s, try) {
			return answer, true
		}
	}
	return nil, false
}

// randomProblem makes problems of 1 to 5 materials with coarse numbers, so that rows often
// coincide, depend on each other, touch at one point or conflict.
func randomProblem(r *rand.Rand) Problem {
	n := 1 + r.IntN(5)
	tenth := func(most int) float64 { return float64(r.IntN(most+1)) / 10 }
	p := Problem{Figures: []string{"fat", "sugar", "cost"}, Stay: []float64{0, 1e-3, 1, 0.1}[r.IntN(4)]}
	for i := range n {
		m := Material{Name: string(rune('a' + i)), Now: unit.Mass(tenth(10)), Figures: []float64{tenth(10), tenth(10), tenth(50)}}
		if i > 0 && r.IntN(6) == 0 {
			m.Figures = slices.Clone(p.Materials[i-1].Figures)
		}
		if r.IntN(4) == 0 {
			m.Least = unit.Mass(tenth(4))
		}
		if r.IntN(4) == 0 {
			m.Most = m.Least + unit.Mass(tenth(8))
		}
		m.Fixed = r.IntN(12) == 0
		p.Materials = append(p.Materials, m)
	}
	if r.IntN(2) == 0 {
		p.Total = unit.Mass(1 + r.IntN(2))
	}
	limits := func(most int) Limits {
		least := tenth(most)
		plus := func(v float64) float64 { return math.Round(10*(least+v)) / 10 } // 1, not 0.9999999999999999
		switch r.IntN(7) {
		case 0, 1:
			return AtLeast(least)
		case 2, 3:
			return AtMost(plus(0.1))
		case 4:
			return Exactly(plus(0.1))
		default:
			return Between(least, plus(0.1+tenth(3)))
		}
	}
	figures := []string{"fat", "sugar", "cost", ""}
	for k := range r.IntN(4) {
		name := string(rune('A' + k))
		switch f := figures[r.IntN(3)]; r.IntN(4) {
		case 0:
			p.Bounds = append(p.Bounds, p.Share(name, f, limits(8)))
		case 1:
			p.Bounds = append(p.Bounds, p.Ratio(name, f, figures[r.IntN(4)], limits(12)))
		default:
			p.Bounds = append(p.Bounds, p.Sum(name, f, limits(12)))
		}
	}
	if len(p.Bounds) > 0 && r.IntN(5) == 0 { // a redundant row
		b := p.Bounds[0]
		b.Name = "again"
		p.Bounds = append(p.Bounds, b)
	}
	for k := range r.IntN(3) {
		g := p.Aim(string(rune('P'+k)), figures[r.IntN(4)], tenth(20), 1+tenth(30))
		if r.IntN(2) == 0 {
			g = p.AimRatio(g.Name, figures[r.IntN(3)], figures[r.IntN(4)], tenth(10), 1+tenth(30))
		}
		p.Goals = append(p.Goals, g)
	}
	return p
}

// without returns the problem less one of its limits, by the words of Conflict.
func without(t *testing.T, p Problem, text string) Problem {
	t.Helper()
	s := p.scale()
	p.Materials, p.Bounds = slices.Clone(p.Materials), slices.Clone(p.Bounds)
	at := slices.IndexFunc(s.limits, func(l limit) bool { return l.text == text })
	if at < 0 {
		t.Fatalf("%q is none of the problem's limits", text)
	}
	for i := range p.Materials {
		m := &p.Materials[i]
		switch text {
		case m.Name + ": fixed at " + m.Now.Show():
			m.Fixed = false
			return p
		case m.Name + ": at least " + m.Least.Show():
			m.Least = 0
			return p
		case m.Name + ": at most " + m.Most.Show():
			m.Most = 0
			return p
		}
	}
	if p.Total > 0 && text == "total: "+p.Total.Show() {
		p.Total = 0
		return p
	}
	for i := range p.Bounds {
		b := &p.Bounds[i]
		switch kind := text[min(len(b.Name), len(text)):]; {
		case text[:min(len(b.Name), len(text))] != b.Name || kind[0] != ':':
		case b.Limits.exact():
			p.Bounds = slices.Delete(p.Bounds, i, i+1)
			return p
		case kind[:10] == ": at least":
			b.Limits.LeastKnown = false
			return p
		default:
			b.Limits.MostKnown = false
			return p
		}
	}
	t.Fatalf("cannot leave out %q", text)
	return p
}

// only returns the problem with these limits alone. A bound may be left without any, which the
// oracle does not mind.
func only(t *testing.T, p Problem, keep []string) Problem {
	t.Helper()
	for _, l := range p.scale().limits {
		if !slices.Contains(keep, l.text) {
			p = without(t, p, l.text)
		}
	}
	return p
}

func TestAgreesWithEnumeration(t *testing.T) {
	t.Parallel()
	const cases = 3000
	feasible, infeasible := 0, 0
	for seed := range uint64(cases) {
		p := randomProblem(rand.New(rand.NewPCG(seed, 1983)))
		got, err := p.Solve()
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		stay := got.Stay
		if got.Status != Optimal {
			stay = 1
		}
		want, exists := oracle(p, stay)
		switch {
		case exists != (got.Status == Optimal):
			t.Errorf("seed %d: status %v, %v; enumeration finds an optimum: %v", seed, got.Status, got.Conflict, exists)
		case exists:
			feasible++
			// The enumeration itself is good to its tolerance over the weakest curvature.
			within := 1e-7 * max(1, 1e-2/got.Stay)
			for i := range want {
				if d := math.Abs(float64(got.Amounts[i]) - want[i]); !(d <= within) {
					t.Errorf("seed %d: %s: %.9g kg, by enumeration %.9g kg (± %.1g)", seed, p.Materials[i].Name, float64(got.Amounts[i]), want[i], within)
				}
			}
		default:
			infeasible++
			if _, holds := oracle(only(t, p, got.Conflict), 1); holds {
				t.Errorf("seed %d: %q hold together, by enumeration", seed, got.Conflict)
			}
			for _, member := range got.Conflict {
				rest := slices.DeleteFunc(slices.Clone(got.Conflict), func(s string) bool { return s == member })
				if _, holds := oracle(only(t, p, rest), 1); !holds {
					t.Errorf("seed %d: of %q, %q can be left out and the rest still conflict", seed, got.Conflict, member)
				}
			}
		}
	}
	t.Logf("%d with an optimum, %d in conflict", feasible, infeasible)
	if feasible < 500 || infeasible < 500 {
		t.Errorf("%d problems with an optimum and %d in conflict; want 500 of each at least", feasible, infeasible)
	}
}
