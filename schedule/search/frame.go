package search

import (
	"math/bits"
	"slices"

	"chablon/schedule/project"
)

// frame is a problem compiled for the passes: arcs by activity, demands packed into words.
// It is not changed once built, and workers share it.
type frame struct {
	p    *project.Problem
	n    int
	arcs []project.Arc
	// out and in hold arc numbers by activity: those of i are out[outAt[i]:outAt[i+1]].
	outAt, out, inAt, in []int32

	topo    []int32 // an order that follows all arcs, nil if they have a cycle
	bounded bool    // a latest start or the horizon may bind
	choice  bool    // an activity has several modes, or there is a budget
	steps   bool    // a capacity varies

	words  int      // per tick
	guard  []uint64 // the top bit of every field, by word
	first  []int32  // number of each activity's first mode
	demand []uint64 // by mode and word
	fits   []bool   // whether the mode is within the greatest capacities
	full   []uint64 // greatest capacities with guards, by word
	place  []field  // of each renewable

	length int32    // ticks of a profile: no pass needs more
	base   []uint64 // free capacities by tick and word up to the last step; nil if constant
	after  []uint64 // the row of every later tick
	hash   []uint64
}

// field is where in a packed row a resource stands.
type field struct{ word, shift uint8 }

func newFrame(p *project.Problem) *frame {
	f := &frame{p: p, n: len(p.Activities), arcs: slices.Clone(p.Arcs)}
	for k := range f.arcs {
		// Beyond the horizon a lag says no more, and sums stay in range.
		f.arcs[k].Lag = max(-p.Horizon-1, min(f.arcs[k].Lag, p.Horizon+1))
	}
	f.outAt, f.out = f.group(func(a project.Arc) int32 { return a.From })
	f.inAt, f.in = f.group(func(a project.Arc) int32 { return a.To })
	f.sort()
	f.pack()
	f.extent()
	f.hash = make([]uint64, f.n)
	x := uint64(0x9e3779b97f4a7c15)
	for i := range f.hash {
		x = mix(x)
		f.hash[i] = x | 1
	}
	return f
}

// mix is the finaliser of splitmix64.
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

func (f *frame) group(end func(project.Arc) int32) (at, list []int32) {
	at = make([]int32, f.n+1)
	for _, a := range f.arcs {
		at[end(a)+1]++
	}
	for i := range f.n {
		at[i+1] += at[i]
	}
	list = make([]int32, len(f.arcs))
	next := slices.Clone(at)
	for k, a := range f.arcs {
		list[next[end(a)]] = int32(k)
		next[end(a)]++
	}
	return at, list
}

// sort fills topo if the arcs have no cycle.
func (f *frame) sort() {
	open := make([]int32, f.n)
	order := make([]int32, 0, f.n)
	for i := range f.n {
		open[i] = f.inAt[i+1] - f.inAt[i]
		if open[i] == 0 {
			order = append(order, int32(i))
		}
	}
	for k := 0; k < len(order); k++ {
		i := order[k]
		for _, a := range f.out[f.outAt[i]:f.outAt[i+1]] {
			to := f.arcs[a].To
			if open[to]--; open[to] == 0 {
				order = append(order, to)
			}
		}
	}
	if len(order) == f.n {
		f.topo = order
	}
}

// pack lays the resources into words: each field has a guard bit above its value, so that one
// subtraction compares all fields of a word.
func (f *frame) pack() {
	used := 64
	for _, r := range f.p.Renewable {
		width := bits.Len32(uint32(max(0, r.Capacity))) + 1
		if used+width > 64 {
			f.guard, f.full = append(f.guard, 0), append(f.full, 0)
			used = 0
		}
		w := len(f.guard) - 1
		f.place = append(f.place, field{uint8(w), uint8(used)})
		f.guard[w] |= 1 << (used + width - 1)
		f.full[w] |= uint64(max(0, r.Capacity)) << used
		used += width
		f.steps = f.steps || len(r.Steps) > 0
	}
	if len(f.guard) == 0 {
		f.guard, f.full = []uint64{0}, []uint64{0}
	}
	f.words = len(f.guard)
	for w := range f.full {
		f.full[w] |= f.guard[w]
	}
	f.first = make([]int32, f.n+1)
	for i, a := range f.p.Activities {
		f.choice = f.choice || len(a.Modes) > 1 || len(f.p.Budget) > 0
		f.first[i+1] = f.first[i] + int32(len(a.Modes))
	}
	f.demand, f.fits = make([]uint64, int(f.first[f.n])*f.words), make([]bool, f.first[f.n])
	for i, a := range f.p.Activities {
		for k, m := range a.Modes {
			at, fits := int(f.first[i])+k, m.Duration <= f.p.Horizon
			row := f.demand[at*f.words : (at+1)*f.words]
			for r, amount := range m.Demand {
				if amount > f.p.Renewable[r].Capacity && m.Duration > 0 {
					fits = false
					continue
				}
				if m.Duration > 0 {
					row[f.place[r].word] |= uint64(amount) << f.place[r].shift
				}
			}
			f.fits[at] = fits
		}
	}
}

// extent bounds the latest end of any serial pass and says whether latest starts may bind.
func (f *frame) extent() {
	end, fall := int64(0), int64(0)
	for i, a := range f.p.Activities {
		far := int64(0)
		for _, m := range a.Modes {
			far = max(far, int64(m.Duration))
		}
		longest := far
		for _, k := range f.out[f.outAt[i]:f.outAt[i+1]] {
			lag := int64(f.arcs[k].Lag)
			if f.arcs[k].FromEnd {
				lag += longest
			}
			far = max(far, lag)
		}
		end += far
		fall = max(fall, int64(a.Earliest))
	}
	end += fall
	for _, r := range f.p.Renewable {
		if k := len(r.Steps); k > 0 {
			end = max(end, int64(r.Steps[k-1].From)+end)
		}
	}
	f.bounded = end >= 1<<30
	for _, a := range f.p.Activities {
		shortest := a.Modes[0].Duration
		for _, m := range a.Modes {
			shortest = min(shortest, m.Duration)
		}
		f.bounded = f.bounded || int64(a.Latest) < min(end, int64(f.p.Horizon-shortest))
	}
	f.length = int32(min(end+1, 1<<30))
	if f.steps {
		f.length = min(f.length, f.p.Horizon)
	}
	if !f.regular() {
		f.length = f.p.Horizon // plans may begin late, all the more in reversed time
	}
	f.after = f.full
	if f.steps {
		f.vary()
	}
}

// vary fills base with the capacities up to the last step, and after with those from then on.
func (f *frame) vary() {
	end := int32(1)
	for _, r := range f.p.Renewable {
		if k := len(r.Steps); k > 0 {
			end = max(end, min(r.Steps[k-1].From+1, f.length))
		}
	}
	f.base = make([]uint64, int(end)*f.words)
	for t := range int(end) {
		copy(f.base[t*f.words:], f.guard)
	}
	for r, res := range f.p.Renewable {
		at := f.place[r]
		for t, s := int32(0), 0; t < end; t++ {
			for s+1 < len(res.Steps) && res.Steps[s+1].From <= t {
				s++
			}
			capacity := res.Capacity
			if len(res.Steps) > 0 {
				capacity = max(0, res.Steps[s].Capacity)
			}
			f.base[int(t)*f.words+int(at.word)] |= uint64(capacity) << at.shift
		}
	}
	f.after = f.base[len(f.base)-f.words:]
}

// regular reports whether any order of placing that follows the arcs makes a plan.
func (f *frame) regular() bool { return f.topo != nil && !f.bounded }

// weight is the least difference of starts that arc a asks for, with the given durations.
func weight(a project.Arc, duration []int32) int32 {
	w := a.Lag
	if a.FromEnd {
		w += duration[a.From]
	}
	if a.ToEnd {
		w -= duration[a.To]
	}
	return w
}
