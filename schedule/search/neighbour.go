package search

import (
	"cmp"
	"context"
	"slices"

	"chablon/schedule/exact"
	"chablon/schedule/project"
)

// Neighbourhood improves a plan by large-neighbourhood search: it frees the activities round a
// moment of the plan, keeps the order in which all others hand on the resources (a partial-order
// schedule; Godard, Laborie and Nuijten, ICAPS 2005) with their modes, and lets the exact engine
// look for a shorter plan under a small bound on conflicts.
type Neighbourhood struct {
	p    *project.Problem
	rng  *random
	size int // activities to free
	free []bool
}

// NewNeighbourhood returns a search for p whose random choices follow seed.
func NewNeighbourhood(p *project.Problem, seed uint64) *Neighbourhood {
	return &Neighbourhood{p: p, rng: newRandom(seed), size: 30, free: make([]bool, len(p.Activities))}
}

// largest is the most activities that are freed at once.
const largest = 120

// Improve tries one neighbourhood of the plan with so many conflicts. It returns a shorter plan
// and true, or nothing. Sizes adapt: up when one is searched to its end, down when it is not.
func (h *Neighbourhood) Improve(ctx context.Context, plan project.Plan, conflicts int64) (project.Plan, bool) {
	n := len(h.p.Activities)
	if n == 0 || rich(h.p) {
		return project.Plan{}, false // the rich search has neighbourhoods of its own
	}
	h.choose(plan)
	chains := h.chains(plan)
	windows := h.windows(plan, chains)
	if windows == nil {
		h.size = min(h.size+1, n, largest)
		return project.Plan{}, false
	}
	res, err := exact.Solve(ctx, h.p, exact.Options{
		Upper: plan.Makespan, Hint: &plan, Conflicts: conflicts, Seed: h.rng.next(), Strategy: exact.TopDown,
		Windows: windows, Arcs: chains,
	})
	if err != nil {
		return project.Plan{}, false
	}
	switch {
	case res.Plan.Start != nil && res.Plan.Makespan < plan.Makespan:
		return res.Plan, true
	case res.Status == exact.Exhausted || res.Status == exact.Infeasible:
		h.size = min(h.size+1, n, largest)
	case res.Stopped && ctx.Err() == nil:
		h.size = max(h.size-1, 8)
	}
	return project.Plan{}, false
}

// windows returns what arcs and chains leave to starts in a plan that is shorter, nil if that is
// nothing. The exact engine would find the same, but slowly where the arcs have cycles.
func (h *Neighbourhood) windows(plan project.Plan, chains []project.Arc) []exact.Window {
	q := *h.p
	q.Horizon = plan.Makespan - 1
	q.Arcs = slices.Concat(h.p.Arcs, chains)
	q.Activities = slices.Clone(h.p.Activities)
	windows := make([]exact.Window, len(h.p.Activities))
	for i := range q.Activities {
		windows[i].Mode = -1
		if !h.free[i] {
			windows[i].Mode = plan.Mode[i]
			q.Activities[i].Modes = q.Activities[i].Modes[plan.Mode[i] : plan.Mode[i]+1]
		}
	}
	head, tail, ok := newFrame(&q).headsAndTails()
	if !ok {
		return nil
	}
	for i, a := range h.p.Activities {
		windows[i].Earliest, windows[i].Latest = head[i], min(a.Latest, q.Horizon-tail[i])
		if windows[i].Latest < windows[i].Earliest {
			return nil
		}
	}
	return windows
}

// choose frees the activities nearest to a random moment, half of the time, or those that share
// a resource with a random one and are near to it.
func (h *Neighbourhood) choose(plan project.Plan) {
	n := len(h.p.Activities)
	clear(h.free)
	centre := int32(h.rng.below(int(plan.Makespan) + 1))
	seed := h.rng.below(n)
	related := h.rng.below(2) == 0
	if related {
		centre = plan.Start[seed]
	}
	distance := make([]int32, n)
	order := make([]int32, n)
	for i := range n {
		order[i] = int32(i)
		m := h.p.Activities[i].Modes[plan.Mode[i]]
		distance[i] = max(plan.Start[i]-centre, centre-plan.Start[i]-m.Duration, 0)
		if related && !shares(m, h.p.Activities[seed].Modes[plan.Mode[seed]]) {
			distance[i] += plan.Makespan / 4
		}
		distance[i] = 16*distance[i] + int32(h.rng.below(16))
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Compare(distance[a], distance[b]) })
	for _, i := range order[:min(n, h.size)] {
		h.free[i] = true
	}
}

func shares(a, b project.Mode) bool {
	for r, d := range a.Demand {
		if d > 0 && b.Demand[r] > 0 {
			return true
		}
	}
	return false
}

// unit is a part of a resource and the activity that had it last.
type unit struct {
	last, amount, end int32
}

// chains returns arcs that keep who hands what to whom among the activities that are not free.
func (h *Neighbourhood) chains(plan project.Plan) []project.Arc {
	var arcs []project.Arc
	order := make([]int32, 0, len(h.free))
	for i := range h.free {
		if !h.free[i] {
			order = append(order, int32(i))
		}
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(plan.Start[a], plan.Start[b]) })
	seen := map[int64]bool{}
	for r, res := range h.p.Renewable {
		pool := []unit{{last: -1, amount: res.Capacity}}
		for _, i := range order {
			m := h.p.Activities[i].Modes[plan.Mode[i]]
			need := m.Demand[r]
			if need == 0 || m.Duration == 0 {
				continue
			}
			// What was given back last comes first: fewer arcs bind, and shorter ones.
			slices.SortStableFunc(pool, func(a, b unit) int { return cmp.Compare(b.end, a.end) })
			for k := range pool {
				u := &pool[k]
				if need == 0 {
					break
				}
				if u.amount == 0 || u.end > plan.Start[i] {
					continue
				}
				take := min(need, u.amount)
				need -= take
				u.amount -= take
				if u.last >= 0 && !seen[int64(u.last)<<32|int64(i)] {
					seen[int64(u.last)<<32|int64(i)] = true
					arcs = append(arcs, project.Arc{From: u.last, To: i, FromEnd: true})
				}
			}
			pool = slices.DeleteFunc(pool, func(u unit) bool { return u.amount == 0 })
			pool = append(pool, unit{i, m.Demand[r], plan.Start[i] + m.Duration})
		}
	}
	return arcs
}
