package schedule

import (
	"math"
	"slices"
	"testing"

	"chablon/schedule/internal/oracle"
)

// planned returns a random model with a plan of it, nil if it has none.
func planned(seed uint64) (*Model, Plan) {
	m := randomModel(seeded(seed), 4)
	c := compile(m)
	best, ok := oracle.First(c.p)
	if !ok {
		return nil, Plan{}
	}
	return m, c.plan(best)
}

// TestOrderHolds: whatever starts keep the links and bounds of an order make a plan.
func TestOrderHolds(t *testing.T) {
	t.Parallel()
	moved := 0
	for seed := range uint64(1500) {
		m, plan := planned(seed)
		if m == nil {
			continue
		}
		o, err := NewOrder(m, plan)
		if err != nil {
			t.Fatal(err)
		}
		for name, starts := range map[string][]int{"earliest": o.Earliest(), "latest": o.Latest(), "between": between(o, seeded(seed+1))} {
			if !o.keeps(starts) {
				if name != "between" {
					t.Fatalf("model %d, %s: starts %v do not keep the order", seed, name, starts)
				}
				continue // lags in working time: not all between two that keep it does
			}
			if broken := Check(m, starts, plan.Modes); len(broken) > 0 {
				t.Fatalf("model %d, %s: starts %v, planned %v: %v", seed, name, starts, plan.Starts, broken)
			}
			if !slices.Equal(starts, plan.Starts) {
				moved++
			}
		}
		early, late := o.Earliest(), o.Latest()
		for i, s := range o.Slack() {
			if s.Earlier < 0 || s.Later < 0 || early[i] != plan.Starts[i]-s.Earlier || late[i] != plan.Starts[i]+s.Later || s.NotEarlier == "" || s.NotLater == "" {
				t.Fatalf("model %d: slack %+v of %d at %d, %d to %d", seed, s, i, plan.Starts[i], early[i], late[i])
			}
		}
	}
	if moved < 500 {
		t.Errorf("only %d other plans were looked at", moved)
	}
}

// keeps reports whether starts keep the bounds and links of an order.
func (o *Order) keeps(starts []int) bool {
	for i, t := range starts {
		if t < o.lo[i] || t > o.hi[i] {
			return false
		}
	}
	return !slices.ContainsFunc(o.links, func(l link) bool {
		return starts[l.to.Activity] < o.push(&l, starts[l.from.Activity])
	})
}

// between draws starts that keep an order: one after the other within what is left.
func between(o *Order, n func(int) int) []int {
	lo, hi := slices.Clone(o.lo), slices.Clone(o.hi)
	defer func() { o.lo, o.hi = lo, hi }()
	o.lo, o.hi = slices.Clone(lo), slices.Clone(hi)
	for i := range o.lo {
		early, late := o.Earliest()[i], o.Latest()[i]
		t := early + n(max(0, late-early)+1)
		o.lo[i], o.hi[i] = t, t
	}
	return o.lo
}

// TestSlack is worked out by hand: the cook mixes from 0 to 10 and whips from 10 to 18, due at
// 30; serving is due at 40 and at least 5 after. So mixing can be 12 later, whipping 12 later,
// serving from 23 on.
func TestSlack(t *testing.T) {
	t.Parallel()
	m := NewModel(100)
	m.Tick = "min"
	cook := m.Resource("cook", 1)
	mix, whip, serve := m.Activity("mix", use1(cook, 10)), m.Activity("whip", use1(cook, 8)), m.Activity("serve", Mode{})
	m.Due(whip, 30)
	m.Due(serve, 40)
	m.AtLeast(End(whip), Start(serve), 5, "rest")
	o, err := NewOrder(m, Plan{Starts: []int{0, 10, 30}, Ends: []int{10, 18, 30}, Modes: make([]int, 3)})
	if err != nil {
		t.Fatal(err)
	}
	want := []Slack{
		{0, 12, `"mix" may not start before 0, where the plan begins`, `"cook" goes from "mix" to "whip"`},
		{0, 12, `"cook" goes from "mix" to "whip"`, `"whip" must end by 30`},
		{7, 10, `"rest": at least 5 min from the end of "whip" to the start of "serve"`, `"serve" must end by 40`},
	}
	if got := o.Slack(); !slices.Equal(got, want) {
		t.Errorf("mix %d, whip %d, serve %d: got\n%+v\nwant\n%+v", mix, whip, serve, got, want)
	}
}

// TestOrderRefuses a plan that does not hold.
func TestOrderRefuses(t *testing.T) {
	t.Parallel()
	m := NewModel(10)
	m.Activity("mix", Mode{Duration: 8})
	if _, err := NewOrder(m, Plan{Starts: []int{5}, Ends: []int{13}, Modes: []int{0}}); err == nil {
		t.Error("a plan beyond the horizon was taken")
	}
}

// TestRisk holds chances against closed forms. Two steps of one cook take 10 + 10 u1 and
// 10 + 10 u2, due at 30 after the first start: the sum of two uniforms is at most 1 with chance
// 1/2. Beside them another activity of 12 + 6 u3 matters for the last end only if it outlasts
// both, which it never does: 18 at most against 20 at least.
func TestRisk(t *testing.T) {
	t.Parallel()
	const scale = 1000 // ticks of a unit, so that rounding does not count
	m := NewModel(100 * scale)
	cook := m.Resource("cook", 1)
	mix, whip := m.Activity("mix", use1(cook, 10*scale)), m.Activity("whip", use1(cook, 10*scale))
	other := m.Activity("proof", Mode{Duration: 12 * scale})
	m.AtLeast(End(mix), Start(whip), 0, "whip what is mixed")
	m.AtMost(End(mix), Start(whip), 2*scale, "falls")
	m.Due(whip, 30*scale)
	o, err := NewOrder(m, Plan{Starts: []int{0, 12 * scale, 0}, Ends: []int{10 * scale, 22 * scale, 12 * scale}, Modes: make([]int, 3)})
	if err != nil {
		t.Fatal(err)
	}
	law := func(a ActivityID, u float64) int {
		if a == other {
			return int((12 + 6*u) * scale)
		}
		return int((10 + 10*u) * scale)
	}
	const samples = 40_000
	r, err := o.Risk(t.Context(), RiskOptions{Samples: samples, Seed: 3, Duration: law, Eager: true})
	if err != nil {
		t.Fatal(err)
	}
	near := func(what string, got, want, within float64) {
		if math.Abs(got-want) > within {
			t.Errorf("%s: %.4f, want %.4f", what, got, want)
		}
	}
	error4 := 4 * math.Sqrt(0.25/samples) // four standard errors of a share near one half
	near("late", r.Late[whip], 0.5, error4)
	near("mix late", r.Late[mix], 0, 0)
	near("critical mix", r.Critical[mix], 1, 0)
	near("critical other", r.Critical[other], 0, 0)
	near("kept", r.AllKept, 0.5, error4)
	near("median end", float64(r.Median[whip])/scale, 30, 0.1)
	// The 95th percentile of the sum of two uniforms: 2 - sqrt(2 * 0.05).
	near("high end", float64(r.High[whip])/scale, 20+10*(2-math.Sqrt(0.1)), 0.1)
	near("lag", r.Broken[1], 0, 0)

	// By the sheet, whipping waits for 12. Of mixing times under 10 + 2 a part of the wait is
	// idle: the end exceeds 30 if max(10 + 10 u1, 12) + 10 + 10 u2 > 30, that is u2 > 1 - max(u1, 0.2):
	// chance 0.2 * 0.2 + (1 - 0.04) / 2 = 0.52.
	r, err = o.Risk(t.Context(), RiskOptions{Samples: samples, Seed: 4, Duration: law})
	if err != nil {
		t.Fatal(err)
	}
	near("late by the sheet", r.Late[whip], 0.52, error4)
}

// TestRiskOfNoChange: with the durations as planned every order is carried out as planned.
func TestRiskOfNoChange(t *testing.T) {
	t.Parallel()
	for seed := range uint64(400) {
		m, plan := planned(seed)
		if m == nil {
			continue
		}
		o, err := NewOrder(m, plan)
		if err != nil {
			t.Fatal(err)
		}
		r, err := o.Risk(t.Context(), RiskOptions{Samples: 2})
		if err != nil || r.AllKept != 1 || !slices.Equal(r.High, plan.Ends) || !slices.Equal(r.Ends, plan.Ends) {
			t.Fatalf("model %d: %+v, %v, planned %v", seed, r, err, plan)
		}
	}
}

func TestRiskRefuses(t *testing.T) {
	t.Parallel()
	m := NewModel(10)
	o, err := NewOrder(m, Plan{})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{-1, MaxSamples + 1} {
		if _, err := o.Risk(t.Context(), RiskOptions{Samples: n}); err == nil {
			t.Errorf("%d samples were taken", n)
		}
	}
}
