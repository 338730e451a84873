package search

import (
	"cmp"
	"context"
	"slices"

	"chablon/schedule/project"
)

// amendments is how many ways of choosing what keeps its place are tried.
const amendments = 6

// amend is Repair for rich problems: q has the starts of what has begun fixed. Whatever fits
// keeps its place, the rest goes where it is nearest to its old one, by force if it must.
func amend(ctx context.Context, q *project.Problem, old project.Plan) (project.Plan, bool) {
	begun := func(i int) bool {
		a := q.Activities[i]
		return a.Earliest == a.Latest && a.Latest == old.Start[i]
	}
	var r *ranked
	for _, all := range []bool{true, false} { // modes stay, all or those of what has begun
		only := slices.Clone(old.Mode)
		for i := range only {
			if !all && !begun(i) {
				only[i] = -1
			}
		}
		r = newRanked(newNet(q, only), newRandom(1), stopper(ctx))
		if r.x.dead {
			continue
		}
		if plan, ok := r.amend(old); ok {
			return plan, true
		}
	}
	for k := 0; k < 200 && !r.x.dead && ctx.Err() == nil; k++ {
		if r.pass() {
			return r.best, true
		}
	}
	return project.Plan{}, false
}

// amend returns the plan with the fewest changes, and of these the best, of several attempts.
func (r *ranked) amend(old project.Plan) (project.Plan, bool) {
	least, x := r.x.n+1, r.x
	moved := make([]bool, x.n)
	order := make([]int32, x.n)
	for i := range order {
		order[i] = int32(i)
	}
	for round := range amendments {
		key := make([]int32, x.n)
		for i, t := range old.Start {
			key[i] = t
			switch {
			case x.base[i].s0 == x.base[i].s1:
				key[i] = -1 << 30
			case round > 0 && moved[i] && r.rng.below(2) == 0:
				key[i] = -1 // what had to move in the best plan so far is placed first
			case round > 1:
				key[i] = int32(r.rng.below(int(x.p.Horizon) + 1))
			}
		}
		slices.SortStableFunc(order, func(a, b int32) int {
			return cmp.Or(cmp.Compare(key[a], key[b]), cmp.Compare(old.Start[a], old.Start[b]))
		})
		r.b.clear()
		r.heap = r.heap[:0]
		for k, i := range order {
			r.rank[i] = int32(k)
			if !r.stay(i, old) && (key[i] != -1 || !r.close(i, old)) {
				r.heap = push(r.heap, int64(r.rank[i])<<32|int64(i))
			}
		}
		if !r.settle(func(i int32) bool { return r.close(i, old) }, 20+10*x.n) {
			if r.stop() {
				break
			}
			continue
		}
		for _, i := range order { // what was driven out may have room again
			if r.changed(i, old) {
				was := placed{r.b.mode[i], r.b.start[i], r.b.end[i]}
				r.b.out(i)
				if !r.stay(i, old) {
					r.b.put(i, was.mode, was.start, was.end)
				}
			}
		}
		changes := 0
		for i := range x.n {
			if r.changed(int32(i), old) {
				changes++
			}
		}
		if changes < least || changes == least && slices.Compare(r.b.value, r.value) < 0 {
			least, r.best, r.value = changes, r.b.plan(), slices.Clone(r.b.value)
			for i := range moved {
				moved[i] = r.changed(int32(i), old)
			}
		}
		if least == 0 {
			break
		}
	}
	return r.best, least <= x.n
}

func (r *ranked) changed(i int32, old project.Plan) bool {
	return r.b.mode[i] != old.Mode[i] || r.b.start[i] != old.Start[i]
}

// stay puts i where it was, if there is room.
func (r *ranked) stay(i int32, old project.Plan) bool {
	m, s := old.Mode[i], old.Start[i]
	if !slices.Contains(r.x.able[i], m) || !r.b.allowed(i, m) {
		return false
	}
	w := r.b.window(i)
	if s < w.s0 || s > w.s1 {
		return false
	}
	w.s0, w.s1 = s, s
	s, e, ok := r.x.first(&r.b.room, i, m, w)
	if ok {
		r.b.put(i, m, s, e)
	}
	return ok
}

// close puts i in the room nearest to its old place, in its old mode if it can.
func (r *ranked) close(i int32, old project.Plan) bool {
	w := r.b.window(i)
	if w.void() {
		return false
	}
	best, least := placed{mode: -1}, int32(0)
	for _, m := range r.x.able[i] {
		if !r.b.allowed(i, m) || best.mode == old.Mode[i] {
			continue
		}
		before, after := w, w
		before.s1, after.s0 = min(w.s1, old.Start[i]), max(w.s0, old.Start[i])
		s, e, ok := r.x.last(&r.b.room, i, m, before)
		late, lateEnd, okLate := r.x.first(&r.b.room, i, m, after)
		if okLate && (!ok || late-old.Start[i] <= old.Start[i]-s) {
			s, e, ok = late, lateEnd, true
		}
		d := max(s-old.Start[i], old.Start[i]-s)
		if ok && (best.mode < 0 || m == old.Mode[i] || d < least) {
			best, least = placed{m, s, e}, d
		}
	}
	if best.mode < 0 {
		return false
	}
	r.b.put(i, best.mode, best.start, best.end)
	return true
}
