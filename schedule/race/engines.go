package race

import (
	"context"

	"chablon/schedule/project"
	"chablon/schedule/search"
)

// enter runs the k-th engine: heuristics for even k, the exact engine for odd.
func enter(ctx context.Context, b *board, k int, o Options) {
	heuristic(ctx, b, o.Seed+uint64(k)*1_000_003)
}

func heuristic(ctx context.Context, b *board, seed uint64) {
	res := search.Improve(ctx, b.p, search.Options{
		Seed:   seed,
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
