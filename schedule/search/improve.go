package search

import (
	"context"
	"slices"

	"chablon/schedule/project"
)

// Options steer Improve.
type Options struct {
	// Seed of all random choices.
	Seed uint64
	// Work bounds the passes that place every activity; zero means until the context ends or
	// Poll says stop.
	Work int
	// Report is called with every plan that is better than all before, if it is not nil. The
	// plan is the caller's.
	Report func(project.Plan)
	// Bound is called with the lower bound when it is there, if it is not nil.
	Bound func(lower int32)
	// Poll is called now and then, if it is not nil: it returns a plan from elsewhere (no
	// starts: none) and a bound that no plan is under, and whether to stop.
	Poll func() (plan project.Plan, lower int32, stop bool)
}

// Result is what Improve found.
type Result struct {
	Plan       project.Plan // no starts if none was found
	Lower      int32        // no plan is shorter; 0 where there are goals
	Infeasible bool         // a proof: arcs, bounds and capacities leave no plan
	Work       int          // passes
}

// method is a search that makes one plan at a time.
type method interface {
	// try makes one attempt; it is true if that gave a plan better than all before.
	try() bool
	// result returns the best plan, with no starts if there is none.
	result() project.Plan
	// offer takes in a plan from elsewhere.
	offer(plan project.Plan)
	// spent is the passes made.
	spent() int
	// over reports that no further try can help: the plan is proved the best of all if there
	// is one, and otherwise that there is none.
	over() bool
}

// First returns a plan after few passes, false if those found none. That of a problem without
// maximum lags is by latest finish, justified.
func First(ctx context.Context, p *project.Problem, seed uint64) (project.Plan, bool) {
	m := newMethod(ctx, p, seed)
	for range 200 {
		if m.try() || ctx.Err() != nil || m.over() {
			break
		}
	}
	plan := m.result()
	return plan, plan.Start != nil
}

func stopper(ctx context.Context) func() bool {
	done := ctx.Done()
	return func() bool {
		select {
		case <-done:
			return true
		default:
			return false
		}
	}
}

func newMethod(ctx context.Context, p *project.Problem, seed uint64) method {
	rng, stop := newRandom(seed), stopper(ctx)
	if needsRanked(p) {
		return newRanked(p, rng, stop)
	}
	f := newFrame(p)
	if f.isShop() {
		return newShop(f, rng, stop)
	}
	if f.regular() {
		e := newEvolution(f, rng)
		e.w.stop = stop
		return e
	}
	return newWheel(ctx, f, rng)
}

// needsRanked reports whether p goes beyond what the passes on packed profiles know, or lasts so
// long that a row for each tick is a waste.
func needsRanked(p *project.Problem) bool {
	if len(p.Calendars) > 0 || len(p.Machines) > 0 || len(p.Goals) > 0 {
		return true
	}
	for _, r := range p.Renewable {
		if k := len(r.Steps); k > 0 && int(r.Steps[k-1].From) > longTime*len(p.Activities) && len(p.Activities) < large {
			return true
		}
	}
	return false
}

// longTime is how many ticks for each activity make a row for each tick a waste.
const longTime = 50

// MaximumLags reports whether arcs have a cycle or bounds may bind, so that an activity may be
// left without a place.
func MaximumLags(p *project.Problem) bool { return needsRanked(p) || !newFrame(p).regular() }

// Improve looks for ever better plans until the work is spent, the context ends, Poll says stop
// or a plan meets the lower bound.
func Improve(ctx context.Context, p *project.Problem, o Options) Result {
	res := Result{}
	stop := stopper(ctx)
	m := newMethod(ctx, p, o.Seed)
	makespan := len(p.Goals) == 0
	better := func(plan project.Plan) bool {
		switch {
		case plan.Start == nil || res.Plan.Start == nil:
			return plan.Start != nil
		case makespan:
			return plan.Makespan < res.Plan.Makespan
		}
		return slices.Compare(p.Value(plan), p.Value(res.Plan)) < 0
	}
	note := func() {
		if plan := m.result(); better(plan) {
			res.Plan = plan
			if o.Report != nil {
				o.Report(clone(plan))
			}
		}
	}
	m.try()
	note()
	if ctx.Err() == nil && makespan {
		res.Lower = Lower(p)
		if res.Lower > p.Horizon {
			res.Infeasible = true
			return res
		}
		if o.Bound != nil {
			o.Bound(res.Lower)
		}
	}
	// Between two polls lies a batch of tries that takes about a millisecond.
	batch := max(1, 4000/(len(p.Activities)+20))
	for !m.over() && ctx.Err() == nil && (o.Work <= 0 || m.spent() < o.Work) {
		if makespan && res.Plan.Start != nil && res.Plan.Makespan <= res.Lower {
			break
		}
		for k := 0; k < batch && !stop(); k++ {
			if m.try() {
				note()
			}
		}
		if o.Poll != nil {
			plan, lower, enough := o.Poll()
			if makespan {
				res.Lower = max(res.Lower, lower)
			}
			if enough {
				break
			}
			if better(plan) {
				res.Plan = clone(plan)
				m.offer(plan)
			}
		}
	}
	if m.over() {
		if res.Plan.Start != nil {
			if makespan {
				res.Lower = res.Plan.Makespan
			}
		} else {
			res.Infeasible = true
		}
	}
	res.Work = m.spent()
	return res
}

func clone(p project.Plan) project.Plan {
	return project.Plan{Start: slices.Clone(p.Start), Mode: slices.Clone(p.Mode), Makespan: p.Makespan}
}

func (e *evolution) result() project.Plan {
	if e.best > e.w.f.p.Horizon {
		return project.Plan{}
	}
	return project.Plan{Start: slices.Clone(e.plan), Mode: slices.Clone(e.modes), Makespan: e.best}
}

func (e *evolution) offer(plan project.Plan) {
	if e.w.f.n > 0 {
		e.adopt(plan.Start, plan.Mode)
	}
}
func (e *evolution) spent() int { return e.w.work }

// over is true only of an activity that no capacity can hold: the search proves nothing else.
func (e *evolution) over() bool { return e.modesOf.short }
