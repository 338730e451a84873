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
	wait, polls := soonest, 0
	res := search.Improve(ctx, b.p, search.Options{
		Seed:   seed,
		Work:   work,
		Report: func(plan project.Plan) { b.offer(plan, "search") },
		Bound:  b.raise,
		Poll: func() (project.Plan, int32, bool) {
			plan, lower := b.state()
			if polls++; polls >= wait && plan.Start != nil && n <= tooLarge {
				polls, wait = 0, min(latest, wait+wait/4+1)
				if better, ok := near.Improve(ctx, plan, neighbourConflicts); ok {
					wait = soonest
					b.offer(better, "neighbourhood search")
					plan, lower = b.state()
				}
			}
			return plan, lower, ctx.Err() != nil
		},
	})
	switch {
	case res.Infeasible:
		b.close(0, "search")
	case res.Lower > 0:
		b.raise(res.Lower)
	}
}

const (
	// small is up to how many modes in all the exact engine runs to the end: what it has
	// learned is worth more than turns.
	small = 100
	// tooLarge is from how many activities on it only takes time and memory.
	tooLarge = 1200
	// firstTurn over the square of the activities is its conflicts on the whole of a problem
	// between the two: some 2,000 of 120, of which half are settled by then, and few of 300.
	firstTurn = 30_000_000
)

// prover runs the exact engine on the whole problem. If that is not small and the first turn
// gave no proof, it goes on with neighbourhoods where arcs have cycles, in which they are far
// better than anything else, and with other heuristics elsewhere.
func prover(ctx context.Context, b *board, seed uint64, k int) {
	choices := 0
	for _, a := range b.p.Activities {
		choices += len(a.Modes)
	}
	strategy := exact.Strategy(k % 2) // Alternate, or TopDown beside another
	switch {
	case choices <= small:
		b.prove(ctx, seed, 0, strategy)
		return
	case len(b.p.Activities) > tooLarge:
		heuristic(ctx, b, seed, 0)
		return
	}
	if !search.MaximumLags(b.p) {
		n := int64(len(b.p.Activities))
		if !b.prove(ctx, seed, firstTurn/(n*n), exact.Alternate) {
			heuristic(ctx, b, seed, 0)
		}
		return
	}
	b.await(ctx, seed)
	near := search.NewNeighbourhood(b.p, seed)
	for turn := int64(1); ctx.Err() == nil; turn++ {
		for misses := int64(0); misses < 30*turn && ctx.Err() == nil; misses++ {
			plan, _ := b.state()
			if plan.Start == nil {
				break
			}
			if better, ok := near.Improve(ctx, plan, neighbourConflicts); ok {
				b.offer(better, "neighbourhood search")
				misses = -1
			}
		}
		if b.prove(ctx, seed+uint64(turn), 200*turn, exact.Strategy(turn%3)) {
			return
		}
	}
}

// await looks for a plan until there is one from anywhere.
func (b *board) await(ctx context.Context, seed uint64) {
	search.Improve(ctx, b.p, search.Options{
		Seed:   seed,
		Report: func(plan project.Plan) { b.offer(plan, "search") },
		Poll: func() (project.Plan, int32, bool) {
			plan, lower := b.state()
			return plan, lower, ctx.Err() != nil || plan.Start != nil
		},
	})
}

// prove is one turn of the exact engine; true if it ended with a proof.
func (b *board) prove(ctx context.Context, seed uint64, conflicts int64, strategy exact.Strategy) bool {
	plan, lower := b.state()
	o := exact.Options{
		Lower: lower, Conflicts: conflicts, Seed: seed, Strategy: strategy,
		Report: func(plan project.Plan) { b.offer(plan, "exact engine") },
		Bound:  b.raise,
		Poll: func() (int32, int32, bool) {
			plan, lower := b.state()
			upper := int32(0)
			if plan.Start != nil {
				upper = plan.Makespan
			}
			return upper, lower, ctx.Err() != nil
		},
	}
	if plan.Start != nil {
		o.Hint = &plan
	}
	res, err := exact.Solve(ctx, b.p, o)
	switch {
	case err != nil:
		b.mu.Lock()
		defer b.mu.Unlock()
		b.fail(fmt.Errorf("the exact engine failed: %w", err))
		return true
	case res.Status == exact.Infeasible:
		b.close(0, "exact engine")
		return true
	case res.Status == exact.Optimal:
		b.offer(res.Plan, "exact engine")
		b.close(res.Plan.Makespan, "exact engine")
		return true
	case res.Status == exact.Exhausted:
		b.close(res.Lower, "exact engine")
		return true
	}
	b.raise(res.Lower)
	return false
}
