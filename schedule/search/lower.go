package search

import (
	"math/bits"
	"slices"

	"chablon/schedule/project"
)

// Lower returns a bound that no plan's makespan is under, or more than the horizon if the arcs,
// bounds and capacities allow no plan at all. It is the greatest of the critical path, the work
// of each resource between heads and tails, and the total time of activities of which no two
// can overlap (Mingozzi et al., Management Science 44, 1998).
func Lower(p *project.Problem) int32 {
	p, pauses := withoutPauses(p)
	f := newFrame(p)
	head, tail, ok := f.headsAndTails()
	if !ok {
		return p.Horizon + 1
	}
	low := int32(0)
	for i := range f.n {
		low = max(low, head[i]+tail[i])
	}
	for r := range p.Renewable {
		low = max(low, f.energy(r, head, tail))
	}
	if f.n <= 400 && !pauses { // in the pauses of one there may be room for the other
		low = max(low, f.packing(tail))
	}
	return low
}

// withoutPauses returns a problem that every plan of p keeps and that has no calendars, and whether
// an activity of p may pause. Pauses only make work longer, and so many open ticks are at least as
// many ticks, from one on; an arc of which that does not hold is left out.
func withoutPauses(p *project.Problem) (relaxed *project.Problem, pauses bool) {
	if len(p.Calendars) == 0 {
		return p, false
	}
	pausing := func(i int32) bool {
		return slices.ContainsFunc(p.Activities[i].Modes, func(m project.Mode) bool { return m.Calendar > 0 })
	}
	q := *p
	q.Arcs = nil
	for _, a := range p.Arcs {
		if a.Calendar > 0 && a.Lag <= 0 || a.ToEnd && pausing(a.To) {
			continue
		}
		a.Calendar = 0
		q.Arcs = append(q.Arcs, a)
	}
	for i := range p.Activities {
		pauses = pauses || pausing(int32(i))
	}
	return &q, pauses
}

// shortest returns the least duration among the modes that fit; -1 if none does.
func (f *frame) shortest(i int) int32 {
	d := int32(-1)
	for k, m := range f.p.Activities[i].Modes {
		if f.fits[int(f.first[i])+k] && (d < 0 || m.Duration < d) {
			d = m.Duration
		}
	}
	return d
}

// leastWeights returns for every arc the least weight over all modes.
func (f *frame) leastWeights() []int32 {
	out := make([]int32, len(f.arcs))
	for k, a := range f.arcs {
		out[k] = a.Lag
		if a.FromEnd {
			out[k] += f.shortest(int(a.From))
		}
		if a.ToEnd {
			longest := int32(0)
			for _, m := range f.p.Activities[a.To].Modes {
				longest = max(longest, m.Duration)
			}
			out[k] -= longest
		}
	}
	return out
}

// headsAndTails returns the earliest starts by arcs and bounds, and the least time from each
// start to the end of the work.
func (f *frame) headsAndTails() (head, tail []int32, ok bool) {
	head, tail = make([]int32, f.n), make([]int32, f.n)
	w := f.leastWeights()
	for i, a := range f.p.Activities {
		d := f.shortest(i)
		if d < 0 {
			return nil, nil, false
		}
		head[i], tail[i] = a.Earliest, d
	}
	queue := make([]int32, f.n)
	queued := make([]bool, f.n)
	relax := func(back bool, step func(i int32, changed func(j int32)) bool) bool {
		queue = queue[:0]
		for i := range f.n {
			queue, queued[i] = append(queue, int32(i)), true
		}
		if f.topo != nil {
			copy(queue, f.topo)
		}
		if back {
			slices.Reverse(queue)
		}
		for k := 0; k < len(queue); k++ {
			queued[queue[k]] = false
			if !step(queue[k], func(j int32) {
				if !queued[j] {
					queue, queued[j] = append(queue, j), true
				}
			}) {
				return false
			}
		}
		return true
	}
	ok = relax(false, func(i int32, changed func(int32)) bool {
		if head[i] > f.p.Activities[i].Latest {
			return false
		}
		for _, a := range f.out[f.outAt[i]:f.outAt[i+1]] {
			if to := f.arcs[a].To; head[i]+w[a] > head[to] {
				head[to] = head[i] + w[a]
				changed(to)
			}
		}
		return true
	})
	if !ok {
		return nil, nil, false
	}
	ok = relax(true, func(i int32, changed func(int32)) bool {
		if tail[i] > f.p.Horizon {
			return false
		}
		for _, a := range f.in[f.inAt[i]:f.inAt[i+1]] {
			if from := f.arcs[a].From; tail[i]+w[a] > tail[from] {
				tail[from] = tail[i] + w[a]
				changed(from)
			}
		}
		return true
	})
	return head, tail, ok
}

// energy bounds the makespan by the work on resource r of the activities with a head of at
// least h and at least q to do after them, over steps of h and q.
func (f *frame) energy(r int, head, tail []int32) int32 {
	type use struct {
		head, after int32
		work        int64
	}
	var list []use
	for i, a := range f.p.Activities {
		least := int64(1) << 62
		for k, m := range a.Modes {
			if f.fits[int(f.first[i])+k] {
				least = min(least, int64(m.Duration)*int64(m.Demand[r]))
			}
		}
		if least > 0 && least < 1<<62 {
			list = append(list, use{head[i], tail[i] - f.shortest(i), least})
		}
	}
	if len(list) == 0 {
		return 0
	}
	heads, afters := make([]int32, len(list)), make([]int32, len(list))
	for k, u := range list {
		heads[k], afters[k] = u.head, u.after
	}
	low := int32(0)
	for _, h := range quantiles(heads) {
		for _, q := range quantiles(afters) {
			work := int64(0)
			for _, u := range list {
				if u.head >= h && u.after >= q {
					work += u.work
				}
			}
			if work > 0 {
				low = max(low, f.done(r, h, work)+q)
			}
		}
	}
	return low
}

// quantiles returns up to 24 of the values, up to 8 of very many, the least among them.
func quantiles(values []int32) []int32 {
	slices.Sort(values)
	values = slices.Compact(values)
	most := 24
	if len(values) > 2000 {
		most = 8
	}
	if len(values) <= most {
		return values
	}
	out := make([]int32, most)
	for k := range out {
		out[k] = values[k*len(values)/most]
	}
	return out
}

// done returns the earliest time by which resource r can have done the work from time t on.
func (f *frame) done(r int, t int32, work int64) int32 {
	res := f.p.Renewable[r]
	steps := res.Steps
	if len(steps) == 0 {
		steps = []project.Step{{Capacity: res.Capacity}}
	}
	for k, s := range steps {
		end := f.p.Horizon + 1
		if k+1 < len(steps) {
			end = steps[k+1].From
		}
		from := max(t, s.From)
		if from >= end || s.Capacity <= 0 {
			continue
		}
		if need := (work + int64(s.Capacity) - 1) / int64(s.Capacity); need <= int64(end-from) {
			return from + int32(need)
		}
		work -= int64(end-from) * int64(s.Capacity)
	}
	return f.p.Horizon + 1
}

// packing sums durations of activities that exclude each other in pairs, by an arc or because
// a resource cannot hold both, chosen greedily from several beginnings.
func (f *frame) packing(tail []int32) int32 {
	if f.choice {
		return 0
	}
	n, words := f.n, (f.n+63)/64
	apart := make([][]uint64, n)
	for i := range apart {
		apart[i] = make([]uint64, words)
	}
	set := func(i, j int) { apart[i][j/64] |= 1 << (j % 64) }
	duration := make([]int32, n)
	for i := range n {
		duration[i] = f.p.Activities[i].Modes[0].Duration
	}
	for _, a := range f.arcs {
		if weight(a, duration) >= duration[a.From] {
			set(int(a.From), int(a.To))
		}
	}
	if f.topo != nil {
		for k := n - 1; k >= 0; k-- {
			i := f.topo[k]
			for _, a := range f.out[f.outAt[i]:f.outAt[i+1]] {
				if weight(f.arcs[a], duration) >= duration[i] {
					for x, bit := range apart[f.arcs[a].To] {
						apart[i][x] |= bit
					}
				}
			}
		}
	}
	for i := range n {
		for j := range n {
			if i != j && apart[i][j/64]>>(j%64)&1 == 1 {
				set(j, i)
			}
		}
	}
	for i := range n {
		for j := range i {
			a, b := f.p.Activities[i].Modes[0].Demand, f.p.Activities[j].Modes[0].Demand
			for r := range f.p.Renewable {
				if int64(a[r])+int64(b[r]) > int64(f.p.Renewable[r].Capacity) {
					set(i, j)
					set(j, i)
				}
			}
		}
	}
	best := int32(0)
	for first := 0; first < n; first += 1 + n/100 {
		left := slices.Clone(apart[first])
		sum := duration[first]
		for {
			next, score := -1, int64(-1)
			for w, bit := range left {
				for ; bit != 0; bit &= bit - 1 {
					i := w*64 + bits.TrailingZeros64(bit)
					common := 0
					for x := range left {
						common += bits.OnesCount64(left[x] & apart[i][x])
					}
					if s := int64(duration[i]) * int64(common+1); s > score {
						next, score = i, s
					}
				}
			}
			if next < 0 {
				break
			}
			sum += duration[next]
			for x := range left {
				left[x] &= apart[next][x]
			}
		}
		best = max(best, sum)
	}
	return best
}
