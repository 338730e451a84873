package schedule

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
)

// Status is how a Solve ended.
type Status uint8

// Outcomes. Infeasible is a proof; Unknown says that the tries ended without a plan.
const (
	Unknown Status = iota
	Feasible
	Infeasible
)

// String returns "unknown", "feasible" or "infeasible".
func (s Status) String() string { return [...]string{"unknown", "feasible", "infeasible"}[s] }

// Options steer Solve. The zero Options are good.
type Options struct {
	// Seed of the random restarts. The same seed gives the same plan.
	Seed uint64
	// Work bounds the effort in tries to place one activity; zero means 20,000 and 200 for
	// each activity.
	Work int
	// Early plans forward, each activity as early as it can be, with the backward pass to
	// fall back on.
	Early bool
}

// Result is what Solve found.
type Result struct {
	Status  Status
	Stopped bool // the context ended it: more tries might have helped
	// Starts in ticks and modes as indices, by ActivityID. Empty unless Feasible.
	Starts, Modes []int
	Makespan      int // the last end in the plan
	// Conflict holds, unless Feasible, what stands in the way, in the caller's names: a
	// proof if Infeasible, the most frequent obstacle if Unknown.
	Conflict []string
	Work     int // tries spent
	// Refused counts complete plans that Check turned down. They are never shown; any but zero
	// is a fault of this package.
	Refused int
}

// Solve places all activities of m, each as late as its due time and what follows it allow
// (as early as possible with Options.Early). The plan has passed Check. An error means that m
// was refused and names why; a model without a plan is a Status.
func Solve(ctx context.Context, m *Model, o Options) (Result, error) {
	if err := m.Err(); err != nil {
		return Result{}, fmt.Errorf("schedule: %w", err)
	}
	if ctx.Err() != nil {
		return Result{Stopped: true, Conflict: []string{"stopped before the first try"}}, nil
	}
	in, l, conflict := prepare(m)
	if conflict != nil {
		return Result{Status: Infeasible, Conflict: conflict}, nil
	}
	s := &search{ctx: ctx, m: m, budget: o.Work, rng: rand.New(rand.NewPCG(o.Seed, 1))}
	if s.budget <= 0 {
		s.budget = 20_000 + 200*len(m.activities)
	}
	back := in.turned()
	backLabels, _ := back.relax() // the same network, so again without a cycle
	first, second := s.plan(back, backLabels), s.plan(in, l)
	if o.Early {
		first, second = second, first
	}
	for _, p := range []*passes{first, second} {
		if res, ok := s.rules(p); ok {
			return res, nil
		}
	}
	if conflict := in.overload(l); conflict != nil && !s.stopped {
		return Result{Status: Infeasible, Conflict: conflict, Work: s.work, Refused: s.refused}, nil
	}
	for round := 1; !s.stopped && s.work < s.budget; round++ {
		p := first
		if round%3 == 0 {
			p = second
		}
		if res, ok := s.restart(p, round); ok {
			return res, nil
		}
	}
	return Result{Stopped: s.stopped, Conflict: s.explain(), Work: s.work, Refused: s.refused}, nil
}

// passShare bounds one pass to this fraction of the whole work, so that a pass that moves the
// same activities again and again leaves room for others.
const passShare = 10

type search struct {
	ctx     context.Context
	m       *Model
	rng     *rand.Rand
	work    int
	budget  int
	stopped bool
	refused int
	refusal string // the first rule broken by the last refused plan
	blames  []blame
}

// blame counts how often one activity met one resource, with the words of the first time.
type blame struct {
	activity int
	resource ResourceID
	times    int
	limit    []string
}

// passes is one direction of planning.
type passes struct {
	c     *construction
	boost []int // by activity: how much earlier in the order after failures
}

func (s *search) plan(in *instance, l labels) *passes {
	c := &construction{in: in, base: l, start: make([]int, in.n), chosen: make([]int, in.n), raise: make([]int, in.n), only: make([]int, in.n)}
	c.before = make([][]int, in.n)
	for _, a := range in.arcs {
		if a.from == origin || a.to == origin {
			continue
		}
		i, j := activityOf(a.from), activityOf(a.to)
		// The least distance from start to start that the arc asks for.
		gap := a.w
		if a.from == endNode(i) {
			gap += in.arcs[2*i].w
		}
		if a.to == endNode(j) {
			gap += in.arcs[2*j+1].w
		}
		if i != j && gap >= 0 {
			c.before[j] = append(c.before[j], i)
		}
	}
	return &passes{c, make([]int, in.n)}
}

// spend counts one try and reports whether it may be made.
func (s *search) spend() bool {
	if s.work%64 == 0 && s.ctx.Err() != nil {
		s.stopped = true
	}
	if s.stopped || s.work >= s.budget {
		return false
	}
	s.work++
	return true
}

// rules tries the priority rules once each: latest end, latest start, least slack, earliest
// start.
func (s *search) rules(p *passes) (Result, bool) {
	l := p.c.base
	for _, rule := range []func(i int) int{
		func(i int) int { return l.ub[endNode(i)] },
		func(i int) int { return l.ub[startNode(i)] },
		func(i int) int { return l.ub[startNode(i)] - l.lb[startNode(i)] },
		func(i int) int { return l.lb[startNode(i)] },
	} {
		for i := range p.c.in.n {
			p.c.only[i], p.c.raise[i] = -1, 0
		}
		if res, ok := s.try(p, rule); ok {
			return res, true
		}
	}
	return Result{}, false
}

// restart tries once with keys, modes and starts disturbed, more so in later rounds.
func (s *search) restart(p *passes, round int) (Result, bool) {
	in, l := p.c.in, p.c.base
	for i := range in.n {
		p.c.only[i], p.c.raise[i] = -1, 0
		if s.rng.IntN(3) == 0 {
			p.c.only[i] = s.rng.IntN(len(in.options[i]))
		}
		slack := l.ub[startNode(i)] - l.lb[startNode(i)]
		if s.rng.IntN(6) == 0 {
			p.c.raise[i] = l.lb[startNode(i)] + s.rng.IntN(slack+1)
		}
	}
	spread := 1 + in.m.horizon*min(round, 20)/20
	return s.try(p, func(i int) int { return l.ub[endNode(i)] + s.rng.IntN(spread) - p.boost[i] })
}

func (s *search) try(p *passes, key func(i int) int) (Result, bool) {
	p.c.keys = p.c.keys[:0]
	for i := range p.c.in.n {
		p.c.keys = append(p.c.keys, key(i))
	}
	if !s.spend() { // so that passes that end before their first placement are counted too
		return Result{}, false
	}
	limit := s.work + max(s.budget/passShare, 3*p.c.in.n)
	done, met := p.c.run(func() bool { return s.work < limit && s.spend() })
	if met != nil {
		s.note(p, met)
	}
	if !done {
		return Result{}, false
	}
	res := s.result(p.c)
	if broken := Check(s.m, res.Starts, res.Modes); len(broken) > 0 {
		s.refused++
		s.refusal = broken[0].Text
		return Result{}, false
	}
	return res, true
}

func (s *search) result(c *construction) Result {
	res := Result{Status: Feasible, Starts: make([]int, c.in.n), Modes: make([]int, c.in.n), Work: s.work, Refused: s.refused}
	for i := range c.in.n {
		o := c.in.options[i][c.chosen[i]]
		res.Modes[i], res.Starts[i] = o.mode, c.start[i]
		if c.in.reversed {
			res.Starts[i] = c.in.m.horizon - c.start[i] - o.d
		}
		res.Makespan = max(res.Makespan, res.Starts[i]+o.d)
	}
	return res
}

// note counts an obstacle and moves the activity that met it, with all before it, forward in
// the order of later restarts.
func (s *search) note(p *passes, met *obstacle) {
	step := 1 + p.c.in.m.horizon/8
	seen := make([]bool, p.c.in.n)
	for todo := []int{met.activity}; len(todo) > 0; {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if seen[i] {
			continue
		}
		seen[i] = true
		p.boost[i] = min(p.boost[i]+step, MaxTick)
		todo = append(todo, p.c.before[i]...)
	}
	same := func(b blame) bool { return b.activity == met.activity && b.resource == met.resource }
	if k := slices.IndexFunc(s.blames, same); k >= 0 {
		s.blames[k].times++
		return
	}
	s.blames = append(s.blames, blame{met.activity, met.resource, 1, p.c.in.words(met.limit)})
}

// explain writes the obstacle that was met most often.
func (s *search) explain() []string {
	if s.refused > 0 && len(s.blames) == 0 {
		return []string{"every plan made was refused by the checker: " + s.refusal}
	}
	if len(s.blames) == 0 {
		return []string{fmt.Sprintf("the %d tries allowed ended before one plan was complete: allow more work", s.work)}
	}
	worst := s.blames[0]
	for _, b := range s.blames[1:] {
		if b.times > worst.times {
			worst = b
		}
	}
	name := s.m.activities[worst.activity].name
	text := fmt.Sprintf("no time was found for %q", name)
	if worst.resource >= 0 {
		text += fmt.Sprintf(": %q is taken or closed whenever it could run", s.m.resources[worst.resource].name)
	}
	return append([]string{text}, worst.limit...)
}
