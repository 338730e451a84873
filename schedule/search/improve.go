package search

import (
	"context"
	"runtime"
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
	Value      []int64      // of Plan, by the goals
	Bounds     []int64      // by goal: no plan comes to less
	Lower      int32        // no plan is shorter
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
// maximum lags is by latest finish, justified. With goals of which the first is not the makespan
// it is late rather than early.
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

// stopper returns a look at the context. It gives way now and then: while every processor
// is busy with an engine, no timer fires, and none of them would hear of a deadline for
// 10 ms and more.
func stopper(ctx context.Context) func() bool {
	done, calls := ctx.Done(), 0
	return func() bool {
		if calls++; calls%16 == 0 {
			runtime.Gosched()
		}
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
	if rich(p) {
		return newRanked(newNet(p, nil), rng, stop)
	}
	f := newFrame(shorten(p))
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

// MaximumLags reports whether arcs have a cycle or bounds may bind, so that an activity may be
// left without a place. It is true of all problems with pauses, machines or goals.
func MaximumLags(p *project.Problem) bool { return rich(p) || !newFrame(p).regular() }

// Improve looks for plans of ever better value (see project.Problem.Value) until the work is
// spent, the context ends, Poll says stop or a plan meets all bounds.
func Improve(ctx context.Context, p *project.Problem, o Options) Result {
	res := Result{}
	stop := stopper(ctx)
	m := newMethod(ctx, p, o.Seed)
	if stop() {
		return res
	}
	take := func(plan project.Plan) bool {
		if plan.Start == nil {
			return false
		}
		value := p.Value(plan)
		if res.Plan.Start != nil && slices.Compare(value, res.Value) >= 0 {
			return false
		}
		res.Plan, res.Value = plan, value
		return true
	}
	note := func() {
		if take(m.result()) && o.Report != nil {
			o.Report(clone(res.Plan))
		}
	}
	m.try()
	note()
	if ctx.Err() == nil {
		if r, ok := m.(*ranked); ok { // which has compiled it
			res.Bounds, res.Lower = r.x.bounds(stop)
		} else {
			res.Bounds, res.Lower = bounds(p, stop)
		}
	}
	if res.Lower > p.Horizon {
		res.Infeasible = true
		return res
	}
	if o.Bound != nil {
		o.Bound(res.Lower)
	}
	// Between two polls lies a batch of tries that takes about a millisecond.
	batch := max(1, 4000/(len(p.Activities)+20))
	if rich(p) {
		batch = 1
	}
	for !m.over() && ctx.Err() == nil && (o.Work <= 0 || m.spent() < o.Work) && !res.met(p) {
		for k := 0; k < batch && !stop() && (k == 0 || o.Work <= 0 || m.spent() < o.Work); k++ {
			if m.try() {
				note()
			}
		}
		if o.Poll != nil {
			plan, lower, enough := o.Poll()
			res.raise(p, lower)
			if enough {
				break
			}
			if take(plan) {
				res.Plan = clone(plan)
				if rich(p) || int64(plan.Makespan) <= extent(p) {
					m.offer(plan)
				}
			}
		}
	}
	if m.over() {
		if res.Plan.Start == nil {
			res.Infeasible = true
		} else if !rich(p) {
			res.raise(p, res.Plan.Makespan)
		}
	}
	res.Work = m.spent()
	return res
}

// raise takes over a bound of the makespan.
func (r *Result) raise(p *project.Problem, lower int32) {
	if lower <= r.Lower {
		return
	}
	r.Lower = lower
	for k := range r.Bounds {
		if len(p.Goals) == 0 || p.Goals[k].Measure == project.Makespan {
			r.Bounds[k] = int64(lower)
		}
	}
}

// met reports whether the plan comes to no more than the bounds.
func (r *Result) met(p *project.Problem) bool {
	if r.Plan.Start == nil {
		return false
	}
	if len(r.Bounds) == 0 {
		return len(p.Goals) == 0 && r.Plan.Makespan <= r.Lower
	}
	for k, b := range r.Bounds {
		if r.Value[k] > b {
			return false
		}
	}
	return true
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
