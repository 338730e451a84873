package search

// lagged plans problems in which an arc or a bound may leave an activity no place: the serial
// scheme with unscheduling (Franck, Neumann and Schwindt, OR Spektrum 23, 2001). Labels es and
// ls hold what the arcs leave to the starts, given what is placed; when an activity finds no
// room before ls, the placed activity that set ls is moved to later by what is lacking, and all
// that start after it are taken out.
type lagged struct {
	*passes
	weight   []int32 // by arc
	es0, ls0 []int32 // labels with nothing placed
	es, ls   []int32
	origin   []int32 // the placed activity that set ls, -1 for the deadline
	release  []int32 // raised by unscheduling
	start    []int32
	placed   []bool
	prio     []int32
	waiting  []int32 // predecessors by a positive weight that are not placed
	queue    []int32
	queued   []bool
	clash    int32 // the activity whose labels passed each other when propagation failed
	trouble  int32 // the activity without room when a pass failed
	moves    int   // unschedulings of the last pass
	halted   bool  // stop came in the midst of propagation, whose result is void
}

func newLagged(f *frame) *lagged {
	n := f.n
	l := &lagged{
		passes: newPasses(f), weight: make([]int32, len(f.arcs)),
		es0: make([]int32, n), ls0: make([]int32, n), es: make([]int32, n), ls: make([]int32, n),
		origin: make([]int32, n), release: make([]int32, n), start: make([]int32, n), placed: make([]bool, n),
		prio: make([]int32, n), waiting: make([]int32, n), queued: make([]bool, n),
	}
	return l
}

// prepare computes the labels for modes and a deadline of all ends. It is false if the arcs
// alone leave no plan.
func (l *lagged) prepare(mode []int32, deadline int32) bool {
	f := l.f
	l.setModes(mode)
	for k, a := range f.arcs {
		l.weight[k] = weight(a, l.duration)
	}
	for i, a := range f.p.Activities {
		if !f.fits[f.first[i]+mode[i]] {
			return false
		}
		l.es0[i], l.ls0[i] = a.Earliest, min(a.Latest, deadline-l.duration[i])
		l.origin[i] = -1
	}
	return l.relax(l.es0, l.ls0)
}

// relax propagates both labels to a fixed point; false if one passes the other.
func (l *lagged) relax(es, ls []int32) bool {
	f := l.f
	l.queue = l.queue[:0]
	for i := range f.n {
		l.queue = append(l.queue, int32(i))
		l.queued[i] = true
	}
	return l.drain(es, ls)
}

// drain works off the queue. A positive cycle ends it when a label passes the other.
func (l *lagged) drain(es, ls []int32) bool {
	f := l.f
	for k := 0; k < len(l.queue); k++ {
		i := l.queue[k]
		l.queued[i] = false
		if k%4096 == 4095 && l.stop() {
			l.halted = true
			return l.abandon(k)
		}
		for _, a := range f.out[f.outAt[i]:f.outAt[i+1]] {
			to := f.arcs[a].To
			if t := es[i] + l.weight[a]; t > es[to] {
				es[to] = t
				if t > ls[to] {
					l.clash = to
					return l.abandon(k)
				}
				l.enqueue(to)
			}
		}
		for _, a := range f.in[f.inAt[i]:f.inAt[i+1]] {
			from := f.arcs[a].From
			if t := ls[i] - l.weight[a]; t < ls[from] {
				ls[from] = t
				if l.origin[from] = l.origin[i]; l.placed[i] {
					l.origin[from] = i
				}
				if t < es[from] {
					l.clash = from
					return l.abandon(k)
				}
				l.enqueue(from)
			}
		}
	}
	l.queue = l.queue[:0]
	return true
}

func (l *lagged) enqueue(i int32) {
	if !l.queued[i] {
		l.queued[i] = true
		l.queue = append(l.queue, i)
	}
}

func (l *lagged) abandon(k int) bool {
	for _, i := range l.queue[k:] {
		l.queued[i] = false
	}
	l.queue = l.queue[:0]
	return false
}

// key is the priority of an unplaced activity: its own, or its latest start if that is sooner.
func (l *lagged) urgency(i int32) int32 { return min(l.prio[i], l.ls[i]) }

// pass places all activities by rising priority within a number of unschedulings. It returns
// the last end, or -1 with trouble set.
func (l *lagged) pass(limit int) int32 {
	f := l.f
	l.work++
	l.moves = 0
	l.renew(false, 0)
	copy(l.es, l.es0)
	copy(l.ls, l.ls0)
	for i := range f.n {
		l.origin[i], l.placed[i], l.release[i] = -1, false, 0
	}
	l.open0()
	last := int32(0)
	for len(l.heap) > 0 {
		x := l.heap[0]
		l.heap = pop(l.heap)
		j := int32(uint32(x))
		if l.placed[j] || l.waiting[j] > 0 {
			continue
		}
		if u := l.urgency(j); int32(x>>32) != u {
			l.heap = push(l.heap, int64(u)<<32|int64(j))
			continue
		}
		t := l.fit(j, l.es[j])
		if t >= 0 && t <= l.ls[j] {
			l.put(j, t)
			continue
		}
		l.trouble = j
		if l.moves++; l.moves > limit || t < 0 || !l.unschedule(j, t-l.ls[j]) {
			return -1
		}
		if l.stop() {
			return -1
		}
	}
	for i, t := range l.start {
		last = max(last, t+l.duration[i])
	}
	return last
}

// open0 fills the heap with the activities that wait for nothing.
func (l *lagged) open0() {
	f := l.f
	l.heap = l.heap[:0]
	for j := range f.n {
		l.waiting[j] = 0
		for _, a := range f.in[f.inAt[j]:f.inAt[j+1]] {
			if l.weight[a] > 0 && !l.placed[f.arcs[a].From] {
				l.waiting[j]++
			}
		}
		if l.waiting[j] == 0 && !l.placed[j] {
			l.heap = push(l.heap, int64(l.urgency(int32(j)))<<32|int64(j))
		}
	}
}

// put places j at t and propagates.
func (l *lagged) put(j, t int32) {
	f := l.f
	l.start[j], l.placed[j] = t, true
	l.take(j, t)
	l.es[j], l.ls[j] = t, t
	l.enqueue(j)
	for k := 0; k < len(l.queue); k++ {
		i := l.queue[k]
		l.queued[i] = false
		for _, a := range f.out[f.outAt[i]:f.outAt[i+1]] {
			to := f.arcs[a].To
			if u := l.es[i] + l.weight[a]; u > l.es[to] {
				l.es[to] = u
				l.enqueue(to)
			}
		}
		for _, a := range f.in[f.inAt[i]:f.inAt[i+1]] {
			from := f.arcs[a].From
			if u := l.ls[i] - l.weight[a]; u < l.ls[from] {
				l.ls[from] = u
				if l.origin[from] = l.origin[i]; l.placed[i] {
					l.origin[from] = i
				}
				if l.waiting[from] == 0 && !l.placed[from] {
					l.heap = push(l.heap, int64(l.urgency(from))<<32|int64(from))
				}
				l.enqueue(from)
			}
		}
	}
	l.queue = l.queue[:0]
	for _, a := range f.out[f.outAt[j]:f.outAt[j+1]] {
		to := f.arcs[a].To
		if l.weight[a] > 0 {
			if l.waiting[to]--; l.waiting[to] == 0 && !l.placed[to] {
				l.heap = push(l.heap, int64(l.urgency(to))<<32|int64(to))
			}
		}
	}
}

// unschedule makes room for j, which comes too late by lack: the placed activity that bounds it
// must start later by that much, and what starts after it is taken out. If that activity is in
// turn bound by another, so must the other.
func (l *lagged) unschedule(j, lack int32) bool {
	f := l.f
	for {
		culprit := l.origin[j]
		if culprit < 0 {
			return false
		}
		from := l.start[culprit]
		l.release[culprit] = from + lack
		if l.release[culprit] > l.ls0[culprit] {
			return false
		}
		for i := range f.n {
			if l.placed[i] && (l.start[i] > from || int32(i) == culprit) {
				l.placed[i] = false
				l.give(int32(i), l.start[i])
			}
		}
		for i := range f.n {
			l.es[i], l.ls[i], l.origin[i] = max(l.es0[i], l.release[i]), l.ls0[i], -1
			if l.placed[i] {
				l.es[i], l.ls[i] = l.start[i], l.start[i]
			}
		}
		if l.relax(l.es, l.ls) {
			break
		}
		if l.halted {
			return false
		}
		j, lack = l.clash, l.es[l.clash]-l.ls[l.clash]
	}
	l.open0()
	return true
}

// give returns what take took.
func (w *passes) give(i, t int32) {
	words := w.f.words
	need := w.demand[int(i)*words : (int(i)+1)*words]
	if idle(need) {
		return // it may stand where the profile does not reach
	}
	for at := int(t) * words; at < int(t+w.duration[i])*words; at += words {
		for k, n := range need {
			w.free[at+k] += n
		}
	}
}
