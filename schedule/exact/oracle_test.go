package exact

import (
	"testing"

	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

var (
	pauses   = oracle.Features{Lags: true, Pauses: true, Working: true, Modes: true, Goals: true}
	machines = oracle.Features{Machines: true, Modes: true, Goals: true}
)

// featureSets are what random problems are made of: each kind alone, some together, and all.
var featureSets = []struct {
	name     string
	features oracle.Features
}{
	{"plain", oracle.Features{}},
	{"lags", oracle.Features{Lags: true, Bounds: true}},
	{"modes and budgets", oracle.Features{Modes: true, Budgets: true}},
	{"steps", oracle.Features{Steps: true, Bounds: true}},
	{"pauses alone", oracle.Features{Pauses: true}},
	{"pauses in modes", oracle.Features{Pauses: true, Modes: true, Steps: true}},
	{"working time", oracle.Features{Lags: true, Working: true}},
	{"pauses", pauses},
	{"machines alone", oracle.Features{Machines: true}},
	{"machines of one run", oracle.Features{Machines: true, NoOverlap: true, Lags: true}},
	{"machines", machines},
	{"goals alone", oracle.Features{Goals: true}},
	{"goals and lags", oracle.Features{Goals: true, Lags: true, Bounds: true}},
	{"all", oracle.All},
}

// TestOracle holds feasibility and, goal by goal, the optimum against trying everything.
func TestOracle(t *testing.T) {
	t.Parallel()
	for k, set := range featureSets {
		t.Run(set.name, func(t *testing.T) {
			t.Parallel()
			count, infeasible, proven := 320/share, 0, 0
			for seed := range uint64(count) {
				none, stages := compare(t, seed*uint64(len(featureSets))+uint64(k), set.features)
				if none {
					infeasible++
				}
				proven += stages
			}
			if proven < count/3 || infeasible > count*2/3 {
				t.Errorf("%d of %d random problems have no plan, and %d goals were proven", infeasible, count, proven)
			}
		})
	}
}

// compare solves a random problem, one goal after the other, and reports whether it has no plan,
// and how many goals were proven.
func compare(t *testing.T, seed uint64, f oracle.Features) (none bool, stages int) {
	t.Helper()
	p := oracle.Random(seed, f)
	if err := p.Validate(); err != nil {
		t.Fatalf("seed %d: %v", seed, err)
	}
	want, _, ok := oracle.Optimum(p)
	solve := func(o Options) Result {
		o.Strategy, o.Seed = Strategy(seed%3), seed
		if seed%5 == 0 {
			o.orders = 1
		}
		res, err := Solve(t.Context(), p, o)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if ok != (res.Status == Optimal) || !ok && res.Status != Infeasible {
			t.Fatalf("seed %d: goal %d is %v, and it is %t that there is a plan", seed, o.Goal, res.Status, ok)
		}
		if ok {
			if text := oracle.Broken(p, res.Plan); text != "" {
				t.Fatalf("seed %d: the plan %v breaks %s", seed, res.Plan, text)
			}
		}
		return res
	}
	solve(Options{Any: true})
	if !ok {
		return true, 0
	}
	for k, best := range want {
		if !Provable(p, k) {
			break
		}
		res := solve(Options{Goal: k, Caps: want[:k]})
		if int64(res.Value) != best || int64(res.Lower) != best {
			t.Errorf("seed %d: goal %d is %d >= %d, want %d", seed, k, res.Value, res.Lower, best)
		}
		stages++
	}
	return false, stages
}

// everyPlan yields each plan of a tiny problem. It looks at the activities up to each in turn, as
// a problem of their own, so as to drop what is wrong already.
func everyPlan(p *project.Problem, yield func(project.Plan)) {
	parts := make([]*project.Problem, len(p.Activities))
	for k := range parts {
		q := *p
		q.Activities, q.Arcs = p.Activities[:k+1], nil
		for _, a := range p.Arcs {
			if int(max(a.From, a.To)) <= k {
				q.Arcs = append(q.Arcs, a)
			}
		}
		parts[k] = &q
	}
	var place func(plan project.Plan)
	place = func(plan project.Plan) {
		k := len(plan.Start)
		if k == len(parts) {
			yield(copyPlan(plan))
			return
		}
		for m := range p.Activities[k].Modes {
			for s := p.Activities[k].Earliest; s <= p.Activities[k].Latest; s++ {
				end, ok := p.End(int32(k), int32(m), s)
				next := project.Plan{Start: append(plan.Start[:k:k], s), Mode: append(plan.Mode[:k:k], int32(m)), Makespan: max(plan.Makespan, end)}
				if ok && project.Check(parts[k], next) == nil {
					place(next)
				}
			}
		}
	}
	place(project.Plan{})
}
