package race

import (
	"context"
	"fmt"

	"chablon/schedule/exact"
	"chablon/schedule/project"
	"chablon/schedule/search"
)

// enter runs the k-th engine of o.Workers: the heuristics first, and beside them the exact engine.
func enter(ctx context.Context, b *board, k int, o Options) {
	seed := o.Seed + uint64(k)*1_000_003
	switch {
	case o.Workers == 1:
		// Take turns in one goroutine: short heuristics, then the prover.
		heuristic(ctx, b, seed, 3000)
		prover(ctx, b, seed, 1)
	case k%2 == 0:
		heuristic(ctx, b, seed, 0)
	default:
		prover(ctx, b, seed, k)
	}
}

// worthProof is from how much work on a proof is tried: to pose the problem to the exact engine costs
// as much as some passes.
const worthProof = 100

// turns spends a budget of work in one goroutine: heuristics, then proofs of one goal after the
// other, and heuristics again with what is left.
func turns(ctx context.Context, b *board, o Options) {
	if len(b.p.Activities) > tooLarge || o.Work < worthProof {
		heuristic(ctx, b, o.Seed, o.Work)
		return
	}
	heuristic(ctx, b, o.Seed, o.Work/2)
	for done := false; !done && ctx.Err() == nil; {
		before := b.state().stage
		b.prove(ctx, o.Seed, int64(o.Work), exact.Alternate)
		done = b.state().stage == before
	}
	if ctx.Err() == nil {
		heuristic(ctx, b, o.Seed+1, o.Work/2)
	}
}

// Polls of the heuristics between two neighbourhoods: few after one that gave a better plan, and
// ever more after others, so that a search without success costs little.
const (
	soonest = 20
	latest  = 400
)

// neighbourConflicts bounds the search of one neighbourhood.
const neighbourConflicts = 200

// heuristic runs the heuristics, with a neighbourhood now and then, to the end or so much work.
func heuristic(ctx context.Context, b *board, seed uint64, work int) {
	near := search.NewNeighbourhood(b.p, seed)
	n := len(b.p.Activities)
	soonest, latest := soonest, latest*max(1, n*n/10_000) // the larger, the longer a neighbourhood takes
	if search.MaximumLags(b.p) {
		soonest, latest = 1, 8 // passes take longer and give less
	}
	if ctx.Err() != nil {
		return
	}
	wait, polls := soonest, 0
	res := search.Improve(ctx, b.p, search.Options{
		Seed:   seed,
		Work:   work,
		Report: func(plan project.Plan) { b.offer(plan, "search") },
		Bound: func(lower int32) {
			if b.makespan() {
				b.raise(0, int64(lower))
			}
		},
		Poll: func() (project.Plan, int32, bool) {
			now := b.state()
			if polls++; polls >= wait && now.plan.Start != nil && n <= tooLarge && len(b.p.Goals) == 0 {
				polls, wait = 0, min(latest, wait+wait/4+1)
				if better, ok := near.Improve(ctx, now.plan, neighbourConflicts); ok {
					wait = soonest
					b.offer(better, "neighbourhood search")
					now = b.state()
				}
			}
			return now.plan, b.least(now), ctx.Err() != nil
		},
	})
	if res.Infeasible {
		b.close(0, 0, "search")
	}
	for k, low := range res.Bounds {
		b.raise(k, low)
	}
}

const (
	// tiny is up to how many modes in all a proof comes soonest from better plans alone; of more,
	// turns between that and greater bounds prove as many, and give better plans.
	tiny = 40
	// small is up to how many modes in all the exact engine runs to the end: what it has
	// learned is worth more than turns.
	small = 100
	// tooLarge is from how many activities on it only takes time and memory.
	tooLarge = 1200
	// firstTurn over the square of the activities is its conflicts on the whole of a problem
	// before the heuristics: some 200 of 120, in which most that can be proved at all are. In a second
	// turn, after so much work of theirs, it has ten times as many.
	firstTurn       = 3_000_000
	betweenTheTurns = 100_000
)

// choices counts the modes of all activities.
func choices(p *project.Problem) int {
	n := 0
	for _, a := range p.Activities {
		n += len(a.Modes)
	}
	return n
}

// prover runs the exact engine on the whole problem. If that is not small and the first turn
// gave no proof, it goes on with neighbourhoods where arcs have cycles, in which they are far
// better than anything else, and with other heuristics elsewhere.
func prover(ctx context.Context, b *board, seed uint64, k int) {
	switch choices := choices(b.p); {
	case choices <= tiny && len(b.p.Goals) == 0:
		b.prove(ctx, seed, 0, exact.TopDown)
		return
	case choices <= small && len(b.p.Goals) == 0:
		b.prove(ctx, seed, 0, exact.Alternate)
		return
	case len(b.p.Activities) > tooLarge:
		heuristic(ctx, b, seed, 0)
		return
	}
	if len(b.p.Goals) > 0 {
		ranked(ctx, b, seed)
		return
	}
	if !search.MaximumLags(b.p) {
		n := int64(len(b.p.Activities))
		if b.prove(ctx, seed, firstTurn/(n*n), exact.Alternate) {
			return
		}
		heuristic(ctx, b, seed, betweenTheTurns)
		if ctx.Err() == nil && !b.prove(ctx, seed, 10*firstTurn/(n*n), exact.Alternate) {
			heuristic(ctx, b, seed+1, 0)
		}
		return
	}
	b.await(ctx, seed)
	near := search.NewNeighbourhood(b.p, seed)
	for turn := int64(1); ctx.Err() == nil; turn++ {
		for misses := int64(0); misses < 30*turn && ctx.Err() == nil; misses++ {
			now := b.state()
			if now.plan.Start == nil {
				break
			}
			if better, ok := near.Improve(ctx, now.plan, neighbourConflicts); ok {
				b.offer(better, "neighbourhood search")
				misses = -1
			}
		}
		if b.prove(ctx, seed+uint64(turn), 200*turn, exact.Strategy(turn%3)) {
			return
		}
	}
}

// rankedTurn is the first bound on the conflicts of one goal; it doubles when no goal was proved.
const rankedTurn = 2000

// ranked proves one goal after the other, in ever longer turns between heuristics.
func ranked(ctx context.Context, b *board, seed uint64) {
	for conflicts := int64(rankedTurn); ctx.Err() == nil; {
		now := b.state()
		if now.stage < len(now.lower) && exact.Provable(b.p, now.stage) {
			b.prove(ctx, seed, conflicts, exact.Alternate)
			if b.state().stage > now.stage {
				continue
			}
		} else if now.plan.Start == nil {
			b.prove(ctx, seed, conflicts, exact.Alternate) // for a plan, or that there is none
		}
		conflicts *= 2
		seed++
		heuristic(ctx, b, seed, int(min(conflicts, 100_000)))
	}
}

// await looks for a plan until there is one from anywhere.
func (b *board) await(ctx context.Context, seed uint64) {
	search.Improve(ctx, b.p, search.Options{
		Seed:   seed,
		Report: func(plan project.Plan) { b.offer(plan, "search") },
		Poll: func() (project.Plan, int32, bool) {
			now := b.state()
			return now.plan, b.least(now), ctx.Err() != nil || now.plan.Start != nil
		},
	})
}

// prove is one turn of the exact engine at the first goal that is not proved; true if it ended with
// a proof. A goal for whose measure it has none makes it look for any plan.
func (b *board) prove(ctx context.Context, seed uint64, conflicts int64, strategy exact.Strategy) bool {
	now := b.state()
	goal := now.stage
	if goal == len(now.lower) {
		return true
	}
	o := exact.Options{
		Goal: goal, Conflicts: conflicts, Seed: seed, Strategy: strategy,
		Report: func(plan project.Plan) { b.offer(plan, "exact engine") },
		Bound:  func(lower int32) { b.raise(goal, int64(lower)) },
		Poll: func() (int32, int32, bool) {
			now := b.state()
			upper := int32(0)
			if now.plan.Start != nil && now.value[goal] <= exact.MaxValue {
				upper = int32(now.value[goal])
			}
			return upper, int32(now.lower[goal]), ctx.Err() != nil || now.stage > goal
		},
	}
	if now.plan.Start != nil {
		o.Hint, o.Caps = &now.plan, now.value[:goal]
	}
	if o.Any = !exact.Provable(b.p, goal); o.Any {
		if now.plan.Start != nil || goal > 0 {
			return false
		}
		o.Bound, o.Poll = nil, func() (int32, int32, bool) { return 0, 0, ctx.Err() != nil || b.state().plan.Start != nil }
	} else {
		o.Lower = int32(now.lower[goal])
	}
	res, err := exact.Solve(ctx, b.p, o)
	switch {
	case err != nil:
		b.mu.Lock()
		defer b.mu.Unlock()
		b.fail(fmt.Errorf("the exact engine failed: %w", err))
		return true
	case res.Status == exact.Infeasible:
		b.close(goal, 0, "exact engine")
		return true
	case o.Any:
		return false
	case res.Status == exact.Optimal:
		b.offer(res.Plan, "exact engine")
		b.close(goal, int64(res.Value), "exact engine")
		return true
	case res.Status == exact.Exhausted:
		b.close(goal, int64(res.Lower), "exact engine")
		return true
	}
	b.raise(goal, int64(res.Lower))
	return false
}
