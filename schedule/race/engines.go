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
		alone(ctx, b, seed)
	case k%2 == 0:
		heuristic(ctx, b, seed, 0)
	default:
		prover(ctx, b, seed, k)
	}
}

// alone takes turns in one goroutine: a short heuristic, then the prover.
func alone(ctx context.Context, b *board, seed uint64) {
	heuristic(ctx, b, seed, 3000)
	prover(ctx, b, seed, 1)
}

func heuristic(ctx context.Context, b *board, seed uint64, work int) {
	res := search.Improve(ctx, b.p, search.Options{
		Seed:   seed,
		Work:   work,
		Report: func(plan project.Plan) { b.offer(plan, "search") },
		Bound:  b.raise,
		Poll: func() (project.Plan, int32, bool) {
			plan, lower := b.state()
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

// tooLarge is from how many activities on the exact engine only takes time and memory.
const tooLarge = 3000

// small is up to how many modes in all the exact engine runs without a break.
const small = 100

// prover runs the exact engine on the whole problem, by turns with large-neighbourhood search
// once there is a plan: each turn of the engine is longer than the one before.
func prover(ctx context.Context, b *board, seed uint64, k int) {
	if len(b.p.Activities) > tooLarge {
		heuristic(ctx, b, seed, 0)
		return
	}
	near := search.NewNeighbourhood(b.p, seed)
	budget := int64(6000)
	choices := 0
	for _, a := range b.p.Activities {
		choices += len(a.Modes)
	}
	if choices <= small {
		budget = 0 // to the end: what it has learned is worth more than turns
	}
	for turn := uint64(0); ctx.Err() == nil; turn++ {
		if b.prove(ctx, seed+turn, budget, exact.Strategy((turn+uint64(k)+1)%3)) {
			return
		}
		for spent := int64(0); spent < 2*budget && ctx.Err() == nil; spent += 300 {
			plan, _ := b.state()
			if plan.Start == nil {
				break
			}
			if better, ok := near.Improve(ctx, plan, 300); ok {
				b.offer(better, "neighbourhood search")
			}
		}
		budget *= 2
	}
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
