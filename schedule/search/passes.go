package search

import (
	"encoding/binary"
	"slices"
)

// side is one direction of planning: the arcs into each activity with their weights.
type side struct {
	at, from, weight []int32 // those of i are from[at[i]:at[i+1]]
	outAt, to        []int32
	topo, rank       []int32 // rank is the place in topo
	plain            bool    // no weight is negative: an order by start follows all arcs
}

// passes is the working memory of one worker for problems in which any order makes a plan.
type passes struct {
	f        *frame
	mode     []int32
	duration []int32
	demand   []uint64 // by activity and word
	forward  side
	backward side
	free     []uint64
	fresh    int  // words of free that may have been taken from
	anchored bool // free is for reversed time and does not go on
	order    []int32
	count    []int32
	heap     []int64
	open     []int32
	posIn    []int32 // of each arc in forward.from
	posOut   []int32
	work     int
	stop     func() bool

	// Of a large problem kind is a number for each different pair of duration and demand, and
	// tried the starts that the pass has found without room for it: as the profile only fills,
	// they need not be tried again.
	kind  []int32
	tried []span
}

// span is the starts from low to below high.
type span struct{ low, high int32 }

// large is from how many activities on passes remember what they tried.
const large = 600

func newPasses(f *frame) *passes {
	w := &passes{
		f: f, mode: make([]int32, f.n), duration: make([]int32, f.n), demand: make([]uint64, f.n*f.words),
		order: make([]int32, f.n), open: make([]int32, f.n), stop: func() bool { return false },
	}
	back := slices.Clone(f.topo)
	slices.Reverse(back)
	w.forward = side{at: f.inAt, outAt: f.outAt, topo: f.topo}
	w.backward = side{at: f.outAt, outAt: f.inAt, topo: back}
	for _, s := range []*side{&w.forward, &w.backward} {
		s.from, s.to, s.weight = make([]int32, len(f.arcs)), make([]int32, len(f.arcs)), make([]int32, len(f.arcs))
		s.rank = make([]int32, f.n)
		for k, i := range s.topo {
			s.rank[i] = int32(k)
		}
	}
	w.posIn, w.posOut = make([]int32, len(f.arcs)), make([]int32, len(f.arcs))
	for k, a := range f.in {
		w.posIn[a] = int32(k)
		w.forward.from[k], w.backward.to[k] = f.arcs[a].From, f.arcs[a].From
	}
	for k, a := range f.out {
		w.posOut[a] = int32(k)
		w.backward.from[k], w.forward.to[k] = f.arcs[a].To, f.arcs[a].To
	}
	return w
}

// setModes takes over durations, demands and weights of the modes.
func (w *passes) setModes(mode []int32) {
	f := w.f
	copy(w.mode, mode)
	for i := range f.n {
		w.duration[i] = f.p.Activities[i].Modes[mode[i]].Duration
		k := int(f.first[i]+mode[i]) * f.words
		copy(w.demand[i*f.words:(i+1)*f.words], f.demand[k:])
	}
	if f.n >= large {
		w.kinds()
	}
	w.forward.plain, w.backward.plain = true, true
	for k, a := range f.in {
		w.forward.weight[k] = weight(f.arcs[a], w.duration)
		w.forward.plain = w.forward.plain && w.forward.weight[k] >= 0
	}
	for k, a := range f.out {
		// Measured between ends, and backward: S'i - S'j >= w + dj - di.
		arc := f.arcs[a]
		w.backward.weight[k] = weight(arc, w.duration) + w.duration[arc.To] - w.duration[arc.From]
		w.backward.plain = w.backward.plain && w.backward.weight[k] >= 0
	}
}

// renew makes the profile empty. Backward, tick t stands for the tick that ends at anchor - t.
func (w *passes) renew(back bool, anchor int32) {
	f := w.f
	if f.base == nil {
		for k := w.fresh; k > 0; {
			k -= f.words
			copy(w.free[k:k+f.words], f.full)
		}
		w.fresh = 0
		return
	}
	w.anchored = false
	if !back {
		w.free = append(w.free[:0], f.base...)
		return
	}
	w.free = w.free[:0]
	for t := anchor - 1; t >= 0; t-- {
		if k := int(t) * f.words; k < len(f.base) {
			w.free = append(w.free, f.base[k:k+f.words]...)
		} else {
			w.free = append(w.free, f.after...)
		}
	}
	w.anchored = true
}

// reach makes the profile hold end ticks, if so many there may be.
func (w *passes) reach(end int32) bool {
	rows := int32(len(w.free) / w.f.words)
	if end <= rows {
		return true
	}
	if end > min(w.f.length, 2*denseTime) || w.anchored {
		return false
	}
	rows = min(w.f.length, 2*denseTime, max(end, 2*rows, 1024))
	for k := len(w.free) / w.f.words; k < int(rows); k++ {
		w.free = append(w.free, w.f.after...)
	}
	return true
}

// fit returns the first start at or after t with room for the activity, or -1 past the end.
func (w *passes) fit(i, t int32) int32 {
	d := w.duration[i]
	if d == 0 {
		return t
	}
	end, known := t+d, t
	if w.f.words == 1 {
		need, guard := w.demand[i], w.f.guard[0]
		if need == 0 {
			return t
		}
		for {
			if int(end) > len(w.free) && !w.reach(end) {
				return -1
			}
			row := w.free[known:end]
			k := len(row) - 1
			for k >= 0 && (row[k]-need)&guard == guard {
				k--
			}
			if k < 0 {
				return end - d
			}
			known, end = end, known+int32(k)+1+d
		}
	}
	words := w.f.words
	need := w.demand[int(i)*words : (int(i)+1)*words]
	if idle(need) {
		return t
	}
	for {
		if !w.reach(end) {
			return -1
		}
		s := end - 1
		for s >= known && w.room(int(s)*words, need) {
			s--
		}
		if s < known {
			return end - d
		}
		known, end = end, s+1+d
	}
}

func idle(need []uint64) bool {
	for _, n := range need {
		if n != 0 {
			return false
		}
	}
	return true
}

// kinds numbers the pairs of duration and demand.
func (w *passes) kinds() {
	seen := map[string]int32{}
	w.kind = make([]int32, w.f.n)
	var name []byte
	for i := range w.f.n {
		name = binary.LittleEndian.AppendUint32(name[:0], uint32(w.duration[i]))
		for _, d := range w.demand[i*w.f.words : (i+1)*w.f.words] {
			name = binary.LittleEndian.AppendUint64(name, d)
		}
		k, ok := seen[string(name)]
		if !ok {
			k = int32(len(seen))
			seen[string(name)] = k
		}
		w.kind[i] = k
	}
	w.tried = make([]span, len(seen))
}

// fitAgain is fit with the memory of what was tried.
func (w *passes) fitAgain(i, t int32) int32 {
	s := &w.tried[w.kind[i]]
	low := t
	if t >= s.low && t < s.high {
		low, t = s.low, s.high
	}
	t = w.fit(i, t)
	if t >= s.high || low < s.low {
		*s = span{low, t}
	}
	return t
}

func (w *passes) room(at int, need []uint64) bool {
	for k, n := range need {
		if g := w.f.guard[k]; (w.free[at+k]-n)&g != g {
			return false
		}
	}
	return true
}

// take uses the activity's demand from t on.
func (w *passes) take(i, t int32) {
	d := w.duration[i]
	words := w.f.words
	if words == 1 {
		need := w.demand[i]
		if need == 0 {
			return
		}
		row := w.free[t : t+d]
		for k := range row {
			row[k] -= need
		}
	} else {
		need := w.demand[int(i)*words : (int(i)+1)*words]
		if idle(need) {
			return
		}
		for at := int(t) * words; at < int(t+d)*words; at += words {
			for k, n := range need {
				w.free[at+k] -= n
			}
		}
	}
	w.fresh = max(w.fresh, int(t+d)*words)
}

// earliest is what the arcs from placed activities leave to i.
func (s *side) earliest(i, t int32, start []int32) int32 {
	for k := s.at[i]; k < s.at[i+1]; k++ {
		t = max(t, start[s.from[k]]+s.weight[k])
	}
	return t
}

// serial places the activities in the order given, each as early as it can be, and returns
// the last end, -1 if one found no room. The order must follow the arcs.
func (w *passes) serial(s *side, order, start []int32, anchor int32) int32 {
	w.work++
	back := s == &w.backward
	w.renew(back, anchor)
	last := int32(0)
	for k := range w.tried {
		w.tried[k] = span{}
	}
	for n, i := range order {
		if n%1024 == 1023 && w.stop() {
			return -1
		}
		t := int32(0)
		if !back {
			t = w.f.p.Activities[i].Earliest
		}
		t = s.earliest(i, t, start)
		if w.kind != nil {
			t = w.fitAgain(i, t)
		} else {
			t = w.fit(i, t)
		}
		if t < 0 {
			return -1
		}
		start[i] = t
		w.take(i, t)
		last = max(last, t+w.duration[i])
	}
	return last
}

// byKey fills order by rising key, ties and arcs in order of topo. Keys that follow the arcs
// may be sorted by counting; others go through a heap of those whose predecessors are out.
func (w *passes) byKey(s *side, key []int32, follows bool) []int32 {
	if follows && s.plain {
		return w.counted(s, key)
	}
	h := w.heap[:0]
	for _, i := range s.topo {
		w.open[i] = s.at[i+1] - s.at[i]
		if w.open[i] == 0 {
			h = push(h, int64(key[i])<<32|int64(s.rank[i]))
		}
	}
	order := w.order[:0]
	for len(h) > 0 {
		i := s.topo[uint32(h[0])]
		h = pop(h)
		order = append(order, i)
		for k := s.outAt[i]; k < s.outAt[i+1]; k++ {
			j := s.to[k]
			if w.open[j]--; w.open[j] == 0 {
				h = push(h, int64(key[j])<<32|int64(s.rank[j]))
			}
		}
	}
	w.heap = h
	return order
}

func (w *passes) counted(s *side, key []int32) []int32 {
	top := slices.Max(key)
	if int(top) > 64*len(key) {
		order := append(w.order[:0], s.topo...)
		slices.SortStableFunc(order, func(a, b int32) int { return int(key[a]) - int(key[b]) })
		return order
	}
	if len(w.count) < int(top)+2 {
		w.count = make([]int32, 2*int(top)+2)
	}
	count := w.count[:top+2]
	clear(count)
	for _, t := range key {
		count[t+1]++
	}
	for t := range top {
		count[t+1] += count[t]
	}
	order := w.order[:len(key)]
	for _, i := range s.topo {
		order[count[key[i]]] = i
		count[key[i]]++
	}
	return order
}

func push(h []int64, x int64) []int64 {
	h = append(h, x)
	k := len(h) - 1
	for k > 0 {
		up := (k - 1) / 2
		if h[up] <= x {
			break
		}
		h[k] = h[up]
		k = up
	}
	h[k] = x
	return h
}

func pop(h []int64) []int64 {
	x := h[len(h)-1]
	h = h[:len(h)-1]
	if len(h) == 0 {
		return h
	}
	k := 0
	for {
		c := 2*k + 1
		if c >= len(h) {
			break
		}
		if c+1 < len(h) && h[c+1] < h[c] {
			c++
		}
		if h[c] >= x {
			break
		}
		h[k] = h[c]
		k = c
	}
	h[k] = x
	return h
}

// justify shifts a plan right and then left again: start becomes a plan at least as short,
// whose last end it returns. spare is memory of the same length.
func (w *passes) justify(start, spare []int32, last int32) int32 {
	for i, t := range start {
		spare[i] = last - t - w.duration[i]
	}
	turned := w.serial(&w.backward, w.byKey(&w.backward, spare, true), spare, last)
	if turned < 0 || turned > last {
		return last
	}
	// With constant capacities the right-justified plan may begin later than at 0.
	for i, t := range spare {
		spare[i] = last - t - w.duration[i]
	}
	again := w.serial(&w.forward, w.byKey(&w.forward, spare, true), spare, 0)
	if again < 0 || again > last {
		return last
	}
	copy(start, spare)
	return again
}
