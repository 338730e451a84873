package search

import (
	"slices"

	"chablon/schedule/project"
)

// bounds returns what no plan comes under, goal by goal, and what no makespan is under, which is
// more than the horizon if there is a proof that there is no plan. What stop cuts short is lower.
func bounds(p *project.Problem, stop func() bool) ([]int64, int32) {
	if !rich(p) {
		low := lower(p, stop)
		return []int64{int64(low)}, low
	}
	return newNet(p, nil).bounds(stop)
}

// bounds is bounds of the problem that was compiled.
func (x *net) bounds(stop func() bool) ([]int64, int32) {
	low := x.lower(stop)
	out := make([]int64, len(x.goals))
	if x.dead {
		return out, low
	}
	for k, g := range x.goals {
		switch g.Measure {
		case project.Makespan:
			out[k] = int64(low)
		case project.Delay:
			for _, d := range g.Delays {
				out[k] += x.delay(d)
			}
		case project.Outside, project.Presence, project.SetUps:
		}
	}
	return out, low
}

// Bounds returns for each goal of p what no plan comes under: the makespan's is Lower, that of
// delays follows from what arcs, bounds and hours leave to each activity, and the others are 0.
func Bounds(p *project.Problem) []int64 {
	b, _ := bounds(p, func() bool { return false })
	return b
}

// delay bounds a gap by the base windows, and by an arc that holds its two ends apart.
func (x *net) delay(d project.Gap) int64 {
	at := func(i int32, ends, first bool) int64 {
		if i == project.Clock {
			return 0
		}
		w := x.base[i]
		switch {
		case ends && first:
			return int64(w.e0)
		case ends:
			return int64(w.e1)
		case first:
			return int64(w.s0)
		}
		return int64(w.s1)
	}
	apart := at(d.To, d.ToEnd, true) - at(d.From, d.FromEnd, false)
	if d.From != project.Clock {
		for _, a := range x.arcs {
			if a.From == d.From && a.To == d.To && a.FromEnd == d.FromEnd && a.ToEnd == d.ToEnd && (a.Calendar == 0 || a.Lag > 0) {
				apart = max(apart, int64(a.Lag))
			}
		}
		if d.From == d.To && !d.FromEnd && d.ToEnd {
			apart = max(apart, int64(x.short[d.From]))
		}
	}
	return int64(d.Weight) * max(0, apart-int64(d.Lag))
}

// lower bounds the makespan by the base windows, the critical path and the work of each
// resource. Pauses only lengthen: an activity lasts its duration or more, and uses what it
// demands for so many ticks.
func (x *net) lower(stop func() bool) int32 {
	if x.dead {
		return x.p.Horizon + 1
	}
	low := int32(0)
	starts, ends := x.tails()
	for i, w := range x.base {
		low = max(low, w.e0+ends[i], w.s0+starts[i])
	}
	for r := range x.p.Renewable {
		var list []load
		for i := range x.n {
			least := int64(1) << 62
			for _, m := range x.able[i] {
				work := int64(0)
				for _, u := range x.ways[i][m].uses {
					if int(u.resource) == r {
						work = int64(u.amount) * int64(x.ways[i][m].duration)
					}
				}
				least = min(least, work)
			}
			if least > 0 {
				list = append(list, load{x.base[i].s0, ends[i], least})
			}
		}
		low = max(low, energy(x.p, r, list, stop))
	}
	return low
}

// tails returns the least time from each start, and from each end, to the end of the plan. Each
// is right at any time of the propagation, which a positive cycle ends.
func (x *net) tails() (starts, ends []int32) {
	starts, ends = slices.Clone(x.short), make([]int32, x.n)
	queue, queued := make([]int32, 0, x.n), make([]bool, x.n)
	for i := x.n - 1; i >= 0; i-- {
		queue, queued[i] = append(queue, int32(i)), true
	}
	for k := 0; k < len(queue) && k < x.limit; k++ {
		i := queue[k]
		queued[i] = false
		for _, t := range x.ties[i] {
			a := &x.arcs[t]
			// In working time a positive lag is at least as long by the clock, and another says
			// nothing.
			if a.To != i || a.Calendar > 0 && a.Lag <= 0 {
				continue
			}
			tail := starts[i] + a.Lag
			if a.ToEnd {
				tail = ends[i] + a.Lag
			}
			if tail > x.p.Horizon {
				return starts, ends
			}
			o := a.From
			was := [2]int32{starts[o], ends[o]}
			if a.FromEnd {
				ends[o] = max(ends[o], tail)
			} else {
				starts[o] = max(starts[o], tail)
			}
			starts[o] = max(starts[o], ends[o]+x.short[o])
			if x.calm[o] {
				ends[o] = max(ends[o], starts[o]-x.long[o])
			}
			if was != [2]int32{starts[o], ends[o]} && !queued[o] {
				queue, queued[o] = append(queue, o), true
			}
		}
	}
	return starts, ends
}
