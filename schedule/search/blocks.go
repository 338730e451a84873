package search

import (
	"context"
	"slices"

	"chablon/schedule/exact"
	"chablon/schedule/project"
)

// blocks plans a problem with maximum lags by its strongly connected components. Lags between
// components only ask for time, so a plan of each component by itself, placed as a rigid block
// in the order of the arcs, is a plan of the whole unless a bound or a capacity over time is in
// the way.
type blocks struct {
	ctx   context.Context
	f     *frame
	mode  []int32
	list  []block // in an order that follows the arcs
	of    []int32 // component of each activity
	rng   *random
	turn  int
	ready int // blocks with a pattern
}

type block struct {
	ids     []int32 // activities
	alone   *squeaky
	problem *project.Problem // of the activities alone
	budget  int64            // conflicts of the next exact search
	start   []int32          // pattern by place in ids, the first at 0; nil until found
}

// components returns the strongly connected components of the arcs, in an order that follows
// them (Tarjan, without recursion).
func (f *frame) components() [][]int32 {
	const unseen = -1
	index, low := make([]int32, f.n), make([]int32, f.n)
	next := slices.Clone(f.outAt[:f.n])
	for i := range index {
		index[i] = unseen
	}
	onStack := make([]bool, f.n)
	var stack, path []int32
	var list [][]int32
	count := int32(0)
	visit := func(i int32) {
		index[i], low[i] = count, count
		count++
		stack, path = append(stack, i), append(path, i)
		onStack[i] = true
	}
	for root := range int32(f.n) {
		if index[root] != unseen {
			continue
		}
		visit(root)
		for len(path) > 0 {
			i := path[len(path)-1]
			if next[i] < f.outAt[i+1] {
				to := f.arcs[f.out[next[i]]].To
				next[i]++
				if index[to] == unseen {
					visit(to)
				} else if onStack[to] {
					low[i] = min(low[i], index[to])
				}
				continue
			}
			path = path[:len(path)-1]
			if len(path) > 0 {
				up := path[len(path)-1]
				low[up] = min(low[up], low[i])
			}
			if low[i] == index[i] {
				at := slices.Index(stack, i)
				list = append(list, slices.Clone(stack[at:]))
				for _, j := range stack[at:] {
					onStack[j] = false
				}
				stack = stack[:at]
			}
		}
	}
	slices.Reverse(list)
	return list
}

// restrict returns the problem of some activities alone, free of what bounds the others.
func restrict(p *project.Problem, ids []int32) *project.Problem {
	at := make(map[int32]int32, len(ids))
	sub := &project.Problem{Renewable: p.Renewable}
	longest := int64(0)
	for k, i := range ids {
		at[i] = int32(k)
		a := p.Activities[i]
		sub.Activities = append(sub.Activities, project.Activity{Modes: a.Modes})
		d := int32(0)
		for _, m := range a.Modes {
			d = max(d, m.Duration)
		}
		longest += int64(d)
	}
	for _, a := range p.Arcs {
		from, in := at[a.From]
		to, also := at[a.To]
		if in && also {
			sub.Arcs = append(sub.Arcs, project.Arc{From: from, To: to, Lag: a.Lag, FromEnd: a.FromEnd, ToEnd: a.ToEnd})
			longest += int64(max(0, a.Lag))
		}
	}
	sub.Horizon = int32(min(longest, int64(p.Horizon)))
	for k := range sub.Activities {
		sub.Activities[k].Latest = sub.Horizon
	}
	return sub
}

// newBlocks returns nil if the problem has no component to plan by itself.
func newBlocks(ctx context.Context, f *frame, mode []int32, rng *random) *blocks {
	if f.steps || f.choice {
		return nil
	}
	b := &blocks{ctx: ctx, f: f, mode: mode, rng: rng, of: make([]int32, f.n)}
	for c, ids := range f.components() {
		k := block{ids: ids}
		for _, i := range ids {
			b.of[i] = int32(c)
		}
		if len(ids) == 1 {
			k.start = []int32{0}
			b.ready++
		} else {
			sub := restrict(f.p, ids)
			k.alone = newSqueaky(newFrame(sub), newFrame(mirror(sub)), make([]int32, len(ids)), rng, stopper(ctx))
			k.problem, k.budget = sub, 200
		}
		b.list = append(b.list, k)
	}
	if b.ready == len(b.list) {
		return nil
	}
	return b
}

// try works on one component that has no pattern yet; when all have one it is true.
func (b *blocks) try() bool {
	for range b.list {
		b.turn = (b.turn + 1) % len(b.list)
		k := &b.list[b.turn]
		if k.start != nil {
			continue
		}
		if k.alone.dead {
			return false
		}
		found := k.alone.try()
		if !found && k.alone.tries%50 == 0 && len(k.ids) <= provable {
			found = k.prove(b.ctx, b.rng)
		}
		if found {
			first := slices.Min(k.alone.plan)
			for _, t := range k.alone.plan {
				k.start = append(k.start, t-first)
			}
			b.ready++
		}
		break
	}
	return b.ready == len(b.list)
}

// provable is up to how many activities the exact engine is asked about a block.
const provable = 150

// prove looks for a pattern of a stubborn block with the exact engine, each time for longer.
func (k *block) prove(ctx context.Context, rng *random) bool {
	res, err := exact.Solve(ctx, k.problem, exact.Options{Conflicts: k.budget, Seed: rng.next(), Strategy: exact.TopDown})
	k.budget += k.budget
	switch {
	case err != nil:
		return false
	case res.Status == exact.Infeasible:
		k.alone.dead = true // and so the whole has no plan
		return false
	}
	return res.Plan.Start != nil && k.alone.found(res.Plan.Start, res.Plan.Makespan)
}

// compose places the blocks by rising priority, each as early as all its activities can be.
func (b *blocks) compose(l *lagged, prio []int32) (start []int32, last int32) {
	open := make([]int32, len(b.list))
	into := make([][]int32, len(b.list)) // arcs into each block from others
	next := make([][]int32, len(b.list))
	key := make([]int32, len(b.list))
	for a, arc := range b.f.arcs {
		from, to := b.of[arc.From], b.of[arc.To]
		if from != to {
			into[to] = append(into[to], int32(a))
			next[from] = append(next[from], to)
			open[to]++
		}
	}
	l.renew(false, 0)
	start = make([]int32, b.f.n)
	var heap []int64
	for c := range b.list {
		key[c] = 1 << 30
		for _, i := range b.list[c].ids {
			key[c] = min(key[c], prio[i])
		}
		if open[c] == 0 {
			heap = push(heap, int64(key[c])<<32|int64(c))
		}
	}
	for len(heap) > 0 {
		c := int32(uint32(heap[0]))
		heap = pop(heap)
		k := &b.list[c]
		origin := int32(0)
		offset := func(i int32) int32 { return k.start[slices.Index(k.ids, i)] }
		for at, i := range k.ids {
			origin = max(origin, b.f.p.Activities[i].Earliest-k.start[at])
		}
		for _, a := range into[c] {
			arc := b.f.arcs[a]
			origin = max(origin, start[arc.From]+l.weight[a]-offset(arc.To))
		}
		if origin = b.settle(l, k, origin); origin < 0 {
			return nil, -1
		}
		for at, i := range k.ids {
			start[i] = origin + k.start[at]
			l.take(i, start[i])
			last = max(last, start[i]+l.duration[i])
		}
		for _, to := range next[c] {
			if open[to]--; open[to] == 0 {
				heap = push(heap, int64(key[to])<<32|int64(to))
			}
		}
	}
	return start, last
}

// settle returns the first origin from which all activities of the block together have room,
// -1 if there is none before the end of the profile. It leaves the profile as it was.
func (b *blocks) settle(l *lagged, k *block, origin int32) int32 {
	for {
		shift, taken := int32(0), 0
		for at, i := range k.ids {
			want := origin + k.start[at]
			t := l.fit(i, want)
			if t < 0 {
				shift = -1
				break
			}
			if shift = t - want; shift > 0 {
				break
			}
			l.take(i, want)
			taken++
		}
		for at, i := range k.ids[:taken] {
			l.give(i, origin+k.start[at])
		}
		if shift <= 0 {
			return origin | shift // -1 if there was no room
		}
		origin += shift
	}
}
