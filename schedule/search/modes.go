package search

import (
	"slices"

	"chablon/schedule/project"
)

// modes is what the choice of modes needs: which are worth having, and what they use of the
// budgets.
type modes struct {
	f      *frame
	usable [][]int32 // of each activity; all others cannot run or are worse in every way
	over   []int64   // of each budget: what a choice uses above it
	short  bool      // some activity has no usable mode
}

func newModes(f *frame) *modes {
	m := &modes{f: f, usable: make([][]int32, f.n), over: make([]int64, len(f.p.Budget))}
	for i, a := range f.p.Activities {
		for k := range a.Modes {
			if f.fits[int(f.first[i])+k] && !m.dominated(i, k) {
				m.usable[i] = append(m.usable[i], int32(k))
			}
		}
		m.short = m.short || len(m.usable[i]) == 0
	}
	return m
}

// dominated reports whether another mode is at most as long and as demanding as k.
func (m *modes) dominated(i, k int) bool {
	if m.f.topo == nil || m.f.bounded {
		return false // with maximum lags a longer mode may be the one that fits
	}
	a := m.f.p.Activities[i].Modes
	for o := range a {
		if o == k || !m.f.fits[int(m.f.first[i])+o] {
			continue
		}
		less, equal := a[o].Duration <= a[k].Duration, a[o].Duration == a[k].Duration
		for r, d := range a[o].Demand {
			less, equal = less && d <= a[k].Demand[r], equal && d == a[k].Demand[r]
		}
		for r := range m.over {
			d, e := consume(a[o], r), consume(a[k], r)
			less, equal = less && d <= e, equal && d == e
		}
		if less && (!equal || o < k) {
			return true
		}
	}
	return false
}

// consume is what a mode uses of budget r: nothing if it does not say.
func consume(m project.Mode, r int) int64 {
	if len(m.Consume) == 0 {
		return 0
	}
	return int64(m.Consume[r])
}

// count fills over for a choice and returns the sum of what is too much.
func (m *modes) count(mode []int32) int64 {
	for r, b := range m.f.p.Budget {
		m.over[r] = -int64(b)
	}
	for i, k := range mode {
		for r, c := range m.f.p.Activities[i].Modes[k].Consume {
			m.over[r] += int64(c)
		}
	}
	return m.excess()
}

func (m *modes) excess() int64 {
	sum := int64(0)
	for _, o := range m.over {
		sum += max(0, o)
	}
	return sum
}

// swap changes over for activity i from mode a to mode b.
func (m *modes) swap(i, a, b int32) {
	all := m.f.p.Activities[i].Modes
	for r := range m.over {
		m.over[r] += consume(all[b], r) - consume(all[a], r)
	}
}

// repair changes a choice until it is within the budgets, by steps that lower the excess of one
// random activity, now and then any; false if a bounded number of them did not do it.
func (m *modes) repair(mode []int32, rng *random) bool {
	if len(m.over) == 0 {
		return true
	}
	excess := m.count(mode)
	for step := 0; excess > 0 && step < 60*len(mode)+200; step++ {
		i := int32(rng.below(len(mode)))
		if len(m.usable[i]) < 2 {
			continue
		}
		best, to := int64(1)<<62, mode[i]
		random := rng.below(20) == 0
		for _, k := range m.usable[i] {
			if k == mode[i] {
				continue
			}
			m.swap(i, mode[i], k)
			e := m.excess()
			if random {
				e = int64(rng.below(1 << 20))
			}
			if e < best || (e == best && rng.below(2) == 0) {
				best, to = e, k
			}
			m.swap(i, k, mode[i])
		}
		if best <= excess || random {
			m.swap(i, mode[i], to)
			mode[i] = to
			excess = m.excess()
		}
	}
	return excess == 0
}

// first returns a choice to begin with: of each activity the shortest usable mode, repaired.
func (m *modes) shortest(rng *random) ([]int32, bool) {
	mode := make([]int32, m.f.n)
	for i, list := range m.usable {
		if len(list) == 0 {
			return mode, false
		}
		mode[i] = slices.MinFunc(list, func(a, b int32) int {
			all := m.f.p.Activities[i].Modes
			return int(all[a].Duration) - int(all[b].Duration)
		})
	}
	return mode, m.repair(mode, rng)
}

// setMode changes the mode of one activity between passes or before it is placed.
func (w *passes) setMode(i, mode int32) {
	f := w.f
	w.mode[i] = mode
	w.duration[i] = f.p.Activities[i].Modes[mode].Duration
	k := int(f.first[i]+mode) * f.words
	copy(w.demand[int(i)*f.words:int(i+1)*f.words], f.demand[k:])
	for _, list := range [][]int32{f.in[f.inAt[i]:f.inAt[i+1]], f.out[f.outAt[i]:f.outAt[i+1]]} {
		for _, a := range list {
			arc := f.arcs[a]
			forward := weight(arc, w.duration)
			w.forward.weight[w.posIn[a]] = forward
			w.backward.weight[w.posOut[a]] = forward + w.duration[arc.To] - w.duration[arc.From]
		}
	}
}

// choose is the serial scheme with a choice: an activity marked free takes the usable mode in
// which it ends first within the budgets. It returns the last end and leaves the modes set.
func (w *passes) choose(m *modes, order, start []int32, free func(i int32) bool) int32 {
	w.work++
	w.renew(false, 0)
	m.count(w.mode)
	last := int32(0)
	for _, i := range order {
		if len(m.usable[i]) > 1 && free(i) {
			was, best, end := w.mode[i], w.mode[i], int32(1<<30)
			for _, k := range m.usable[i] {
				m.swap(i, was, k)
				within := m.excess() == 0
				m.swap(i, k, was)
				if !within && k != was {
					continue
				}
				w.setMode(i, k)
				t := w.fit(i, w.forward.earliest(i, w.f.p.Activities[i].Earliest, start))
				if t >= 0 && (t+w.duration[i] < end || (t+w.duration[i] == end && k == was)) {
					best, end = k, t+w.duration[i]
				}
			}
			m.swap(i, was, best)
			w.setMode(i, best)
		}
		t := w.fit(i, w.forward.earliest(i, w.f.p.Activities[i].Earliest, start))
		if t < 0 {
			return -1
		}
		start[i] = t
		w.take(i, t)
		last = max(last, t+w.duration[i])
	}
	return last
}
