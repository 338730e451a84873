package schedule

import "slices"

// instance is a model as a network: node 0 is the origin of time, and each activity has a node
// for its start and one for its end. In a reversed instance time runs from the horizon down,
// so that the start of an activity there is its end for the caller.
type instance struct {
	m        *Model
	n        int
	reversed bool
	options  [][]option // by activity: the modes that are still possible
	arcs     []arc      // the first 2n hold the durations: least and most of each activity
	out, in  [][]int    // by node: indices of the arcs that leave and enter it
	free     []profile  // by resource: the calendar
}

// arc says: time(to) >= time(from) + w.
type arc struct {
	from, to, w int
	why         cause
}

// option is a mode that is still possible.
type option struct {
	mode, d int
	demands []Demand
}

const origin = 0

func startNode(i int) int { return 1 + 2*i }
func endNode(i int) int   { return 2 + 2*i }
func activityOf(v int) int {
	return (v - 1) / 2 // origin: 0, so callers ask for the origin first
}

func node(p Point) int {
	if p.End {
		return endNode(int(p.Activity))
	}
	return startNode(int(p.Activity))
}

// newInstance writes the model as arcs and calendars.
func newInstance(m *Model) *instance {
	n := len(m.activities)
	in := &instance{m: m, n: n, options: make([][]option, n), arcs: make([]arc, 2*n, 4*n+len(m.lags))}
	for i, a := range m.activities {
		for k, mode := range a.modes {
			in.options[i] = append(in.options[i], option{k, mode.Duration, mode.Demands})
		}
		in.setDurations(i)
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
		if l.most {
			in.add(node(l.to), node(l.from), -l.w, cause{kind: causeLag, i: k})
		} else {
			in.add(node(l.from), node(l.to), l.w, cause{kind: causeLag, i: k})
		}
	}
	for _, r := range m.resources {
		in.free = append(in.free, newProfile(r.spans, m.horizon))
	}
	in.link()
	return in
}

func (in *instance) add(from, to, w int, why cause) { in.arcs = append(in.arcs, arc{from, to, w, why}) }

// setDurations makes the two duration arcs of i agree with its options.
func (in *instance) setDurations(i int) {
	lo, hi := in.options[i][0].d, in.options[i][0].d
	for _, o := range in.options[i][1:] {
		lo, hi = min(lo, o.d), max(hi, o.d)
	}
	in.arcs[2*i] = arc{startNode(i), endNode(i), lo, cause{kind: causeLeast, i: i}}
	in.arcs[2*i+1] = arc{endNode(i), startNode(i), -hi, cause{kind: causeMost, i: i}}
}

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

// turned returns the instance with time reversed: t becomes horizon - t.
func (in *instance) turned() *instance {
	horizon := in.m.horizon
	swap := func(v int) int {
		switch {
		case v == origin:
			return origin
		case v%2 == 1:
			return v + 1
		}
		return v - 1
	}
	back := &instance{m: in.m, n: in.n, reversed: !in.reversed, options: in.options}
	back.arcs = make([]arc, len(in.arcs))
	for k, a := range in.arcs {
		w := a.w
		if a.from == origin {
			w -= horizon
		}
		if a.to == origin {
			w += horizon
		}
		back.arcs[k] = arc{swap(a.to), swap(a.from), w, a.why}
	}
	for _, p := range in.free {
		back.free = append(back.free, p.turned(horizon))
	}
	back.link()
	return back
}

// callerTime turns a tick of the instance into one of the caller's.
func (in *instance) callerTime(t int) int {
	if in.reversed {
		return in.m.horizon - t
	}
	return t
}

// words writes the causes of arcs, each once, in order.
func (in *instance) words(arcs []int) []string {
	var out []string
	for _, k := range arcs {
		if text := in.m.causeWords(in.arcs[k].why); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}
