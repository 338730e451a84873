package schedule

import "slices"

// instance is what a model says of time alone, as a network: node 0 is the origin, and each
// activity has a node for its start and one for its end. Lags in working time are left out.
type instance struct {
	m       *Model
	n       int
	arcs    []arc
	out, in [][]int // by node: indices of the arcs that leave and enter it
}

// arc says: time(to) >= time(from) + w.
type arc struct {
	from, to, w int
	why         cause
}

const origin = 0

func startNode(i int) int { return 1 + 2*i }
func endNode(i int) int   { return 2 + 2*i }
func node(p Point) int {
	if p.End {
		return endNode(int(p.Activity))
	}
	return startNode(int(p.Activity))
}

// newInstance writes the model as arcs and calendars.
func newInstance(m *Model) *instance {
	n := len(m.activities)
	in := &instance{m: m, n: n, arcs: make([]arc, 0, 4*n+len(m.lags))}
	for i, a := range m.activities {
		lo, hi := durations(a.modes)
		in.add(startNode(i), endNode(i), lo, cause{kind: causeLeast, i: i})
		if !slices.ContainsFunc(a.modes, func(mode Mode) bool { return mode.Pauses > 0 }) {
			in.add(endNode(i), startNode(i), -hi, cause{kind: causeMost, i: i})
		}
		s, e := startNode(i), endNode(i)
		if a.released {
			in.add(origin, s, a.release, cause{kind: causeRelease, i: i})
		}
		if a.dueSet {
			in.add(e, origin, -a.due, cause{kind: causeDue, i: i})
		}
		if a.pinned {
			in.add(origin, s, a.pin, cause{kind: causePin, i: i})
			in.add(s, origin, -a.pin, cause{kind: causePin, i: i})
		}
		// Last, because of equal limits the first is named: the caller's own words.
		in.add(origin, s, 0, cause{kind: causeOpening, i: i})
		in.add(e, origin, -m.horizon, cause{kind: causeHorizon, i: i})
	}
	for k, l := range m.lags {
		if l.hours > 0 {
			continue
		}
		if l.most {
			in.add(node(l.to), node(l.from), -l.w, cause{kind: causeLag, i: k})
		} else {
			in.add(node(l.from), node(l.to), l.w, cause{kind: causeLag, i: k})
		}
	}
	in.link()
	return in
}

func (in *instance) add(from, to, w int, why cause) { in.arcs = append(in.arcs, arc{from, to, w, why}) }

// link builds the lists of arcs by node.
func (in *instance) link() {
	index := func(end func(arc) int) [][]int {
		count := make([]int, 2*in.n+2)
		for _, a := range in.arcs {
			count[end(a)+1]++
		}
		for v := range 2*in.n + 1 {
			count[v+1] += count[v]
		}
		flat, lists := make([]int, len(in.arcs)), make([][]int, 2*in.n+1)
		for v := range lists {
			lists[v] = flat[count[v]:count[v]:count[v+1]]
		}
		for k, a := range in.arcs {
			lists[end(a)] = append(lists[end(a)], k)
		}
		return lists
	}
	in.out = index(func(a arc) int { return a.from })
	in.in = index(func(a arc) int { return a.to })
}

// words writes the causes of arcs, each once, in order.
func (in *instance) words(arcs []int) []string {
	var out []string
	for _, k := range arcs {
		why := in.arcs[k].why
		if why.kind == causeLag && in.m.lags[why.i].joined {
			continue
		}
		if text := in.m.causeWords(why); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}
