package exact

import (
	"math/rand/v2"
	"testing"

	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

// values gives each variable of an engine the value that it has in a plan.
func values(e *engine, p *project.Problem, plan project.Plan, goal int64) []int32 {
	v := make([]int32, len(e.phase))
	v[e.goal] = int32(goal)
	for _, x := range e.makespans {
		v[x] = plan.Makespan
	}
	at := func(q point) int32 { return v[q.x] + q.off }
	holds := func(l link) int32 {
		if at(l.to) >= at(l.from)+l.lag {
			return 1
		}
		return 0
	}
	for i := range e.acts {
		a := &e.acts[i]
		v[a.start.x] = plan.Start[i]
		if a.end.x != a.start.x {
			v[a.end.x], _ = p.End(int32(i), plan.Mode[i], plan.Start[i])
		}
		if a.duration >= 0 {
			v[a.duration] = p.Activities[i].Modes[plan.Mode[i]].Duration
		}
		for k, l := range a.modes {
			if l != always && l != never && int32(k) == plan.Mode[i] {
				v[l.col>>1] = 1
			}
		}
	}
	for _, d := range e.derived {
		v[d.x] = d.value(plan.Mode[d.act])
	}
	for _, c := range e.copies {
		v[c.x] = at(c.of)
	}
	for _, o := range e.orders {
		v[o.x] = holds(o.first)
	}
	for _, c := range e.choices {
		v[c.first], v[c.second] = holds(c.either.first), holds(c.either.second)
	}
	for _, h := range e.hinges {
		from, to := int32(0), int32(0)
		if h.From != project.Clock {
			from = at(e.point(h.From, h.FromEnd))
		}
		if h.To != project.Clock {
			to = at(e.point(h.To, h.ToEnd))
		}
		v[h.x] = max(0, to-from-h.Lag)
	}
	for _, c := range e.costs {
		if truth(c.guard, v) {
			v[c.t] = c.of.at(v[c.s])
		}
	}
	return v
}

func truth(l lit, v []int32) bool {
	if l.col&1 == 0 {
		return v[l.col>>1] >= l.val
	}
	return -v[l.col>>1] >= l.val
}

// TestExplanations makes random decisions on random tiny problems and looks at every
// explanation and every learnt clause: its statements held at the time, and no plan has them
// without what they explain.
func TestExplanations(t *testing.T) {
	t.Parallel()
	looked, learnt, kinds := 0, 0, map[reason]int{}
	for seed := range uint64(720 / share) {
		rng := rand.New(rand.NewPCG(seed, 11))
		p := tightProject(t, rng)
		if seed%4 > 0 {
			p = oracle.Random(seed, [...]oracle.Features{oracle.All, machines, pauses}[seed%4-1])
		}
		goal := 0
		for goal+1 < len(p.Goals) && !measured(p.Goals[goal].Measure) {
			goal++
		}
		o := Options{Goal: goal}
		o.Any = len(p.Goals) > 0 && !measured(p.Goals[goal].Measure)
		s, open := prepare(t.Context(), p, o)
		if !open {
			continue
		}
		var plans [][]int32
		everyPlan(p, func(plan project.Plan) {
			value := int64(0)
			if !o.Any {
				value = p.Value(plan)[goal]
			}
			plans = append(plans, values(s.engine, p, plan, value))
		})
		if len(plans) > 500 {
			rng.Shuffle(len(plans), func(i, j int) { plans[i], plans[j] = plans[j], plans[i] })
			plans = plans[:500]
		}
		s.audit = func(because []lit, head lit, why reason, pos int32) {
			looked++
			kinds[why&kindMask]++
			for _, l := range because {
				if s.at(l.col, pos) < l.val {
					t.Fatalf("seed %d: reason %x of %v uses %v, which did not hold", seed, why, head, l)
				}
			}
			for _, v := range plans {
				all := head == nowhere || !truth(head, v)
				for _, l := range because {
					all = all && truth(l, v)
				}
				if all {
					t.Fatalf("seed %d: reason %x: %v do not imply %v in %v", seed, why, because, head, v)
				}
			}
		}
		s.auditClause = func(c []lit) {
			learnt++
			for _, v := range plans {
				some := false
				for _, l := range c {
					some = some || truth(l, v)
				}
				if !some {
					t.Fatalf("seed %d: clause %v excludes %v", seed, c, v)
				}
			}
		}
		if closed := wander(s.engine, rng, 40); closed && len(plans) > 0 {
			t.Fatalf("seed %d: refuted, but there are %d plans", seed, len(plans))
		}
	}
	t.Logf("%d explanations %v, %d clauses", looked, kinds, learnt)
	if looked < 20000/share || learnt < 3000/share || len(kinds) < 7 {
		t.Errorf("only %d explanations of %d kinds and %d clauses were looked at", looked, len(kinds), learnt)
	}
}

// tightProject makes a problem of five or six activities that compete for resources, on a
// horizon at or just above the least makespan, so that most choices lead nowhere.
func tightProject(t *testing.T, rng *rand.Rand) *project.Problem {
	t.Helper()
	p := &project.Problem{Horizon: 40, Renewable: []project.Renewable{{Capacity: int32(1 + rng.IntN(3))}, {Capacity: 3}}}
	if rng.IntN(2) == 0 {
		p.Renewable[1].Steps = []project.Step{{From: 0, Capacity: 3}, {From: 3, Capacity: 2}, {From: 6, Capacity: 3}}
	}
	n := 5 + rng.IntN(2)
	modes := 1 + rng.IntN(2)
	if modes > 1 {
		p.Budget, n = []int32{int32(2 * n)}, 5
	}
	for i := range n {
		a := project.Activity{Latest: p.Horizon}
		for range modes {
			a.Modes = append(a.Modes, project.Mode{
				Duration: int32(1 + rng.IntN(4)),
				Demand:   []int32{int32(rng.IntN(int(p.Renewable[0].Capacity) + 1)), int32(1 + rng.IntN(2))},
			})
			if len(p.Budget) > 0 {
				a.Modes[len(a.Modes)-1].Consume = []int32{int32(rng.IntN(4))}
			}
		}
		p.Activities = append(p.Activities, a)
		if i > 0 && rng.IntN(3) == 0 {
			from := int32(rng.IntN(i))
			p.Arcs = append(p.Arcs, project.Arc{From: from, To: int32(i), FromEnd: true, Lag: int32(rng.IntN(2))})
			if rng.IntN(2) == 0 {
				p.Arcs = append(p.Arcs, project.Arc{From: int32(i), To: from, Lag: -int32(3 + rng.IntN(5))})
			}
		}
	}
	res, err := Solve(t.Context(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if res.Status == Optimal {
		p.Horizon = res.Plan.Makespan + int32(rng.IntN(2))
	} else {
		p.Horizon = 8
	}
	for i := range p.Activities {
		p.Activities[i].Latest = p.Horizon
	}
	return p
}

// wander decides at random through so many conflicts or plans, and reports whether the problem
// was refuted.
func wander(e *engine, rng *rand.Rand, count int) bool {
	for count > 0 {
		if !e.propagate() {
			count--
			if e.depth() == 0 || !e.learn() {
				return true
			}
			continue
		}
		if e.depth() == 0 {
			e.settle()
		}
		x := -1
		for _, y := range rng.Perm(len(e.phase)) {
			if !e.fixed(int32(y)) {
				x = y
				break
			}
		}
		if x < 0 {
			if e.depth() == 0 {
				return false
			}
			count--
			e.backTo(0)
			continue
		}
		low, high := e.lower(int32(x)), e.upper(int32(x))
		k := low + 1 + int32(rng.IntN(int(high-low)))
		l := atLeast(int32(x), k)
		if rng.IntN(2) == 0 {
			l = l.not()
		}
		e.decide(l)
	}
	return false
}
