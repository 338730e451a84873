package schedule

import (
	"fmt"
	"slices"
)

// tightenRounds bounds how often labels and calendars are run against each other. Stopping
// early only leaves windows wider than they need be.
const tightenRounds = 8

// prepare computes the labels of the model with the calendars taken into account: modes for
// which no window is open are dropped, earliest starts and latest ends move to where there is
// room. A conflict in words is a proof that no plan exists.
func prepare(m *Model) (in *instance, l labels, conflict []string) {
	in = newInstance(m)
	for quiet, round := 0, 0; quiet < 2 && round < 2*tightenRounds; round++ {
		l, cycle := in.relax()
		if cycle != nil {
			return in, l, in.words(cycle)
		}
		changed, conflict := in.tighten(l)
		if conflict != nil {
			return in, l, conflict
		}
		if quiet++; changed {
			quiet = 0
		}
		in = in.turned()
	}
	if in.reversed {
		in = in.turned()
	}
	l, cycle := in.relax()
	if cycle != nil {
		return in, l, in.words(cycle)
	}
	return in, l, nil
}

// tighten drops modes that fit nowhere in their window and raises the earliest starts to where
// the empty calendars leave room.
func (in *instance) tighten(l labels) (changed bool, conflict []string) {
	for i := range in.options {
		kept := in.options[i][:0:0]
		first, blamed := endless, ResourceID(-1)
		for _, o := range in.options[i] {
			lo, hi := window(l, i, o.d)
			if t, r := fitAll(in.free, o, lo, hi); lo <= hi && t <= hi {
				kept = append(kept, o)
				if t < first {
					first, blamed = t, r
				}
			}
		}
		if len(kept) == 0 {
			return changed, in.noMode(l, i)
		}
		if len(kept) < len(in.options[i]) {
			in.options[i] = kept
			in.setDurations(i)
			changed = true
		}
		if first > l.lb[startNode(i)] {
			in.add(origin, startNode(i), first, cause{causeNoRoom, i, blamed, in.callerTime(first), in.reversed})
			changed = true
		}
	}
	if changed {
		in.link()
	}
	return changed, nil
}

// window returns the first and last start of activity i under the labels if it takes d.
func window(l labels, i, d int) (lo, hi int) {
	s, e := startNode(i), endNode(i)
	return max(l.lb[s], l.lb[e]-d), min(l.ub[s], l.ub[e]-d)
}

// fitAll returns the first start from t on at which every demand of o is free, or one beyond hi
// if there is none up to it, with the resource that moved it last (-1 for none).
func fitAll(free []profile, o option, t, hi int) (int, ResourceID) {
	blamed := ResourceID(-1)
	for settled := false; !settled && t <= hi; {
		settled = true
		for _, d := range o.demands {
			if u := free[d.Resource].fit(t, o.d, d.Amount); u > t {
				t, blamed, settled = u, d.Resource, false
			}
		}
	}
	return t, blamed
}

// noMode explains why activity i fits in none of its modes.
func (in *instance) noMode(l labels, i int) []string {
	a := in.m.activities[i]
	s, e := startNode(i), endNode(i)
	from, to := in.callerTime(l.lb[s]), in.callerTime(l.ub[e])
	if in.reversed {
		from, to = to, from
	}
	var out []string
	for _, o := range in.options[i] {
		name := fmt.Sprintf("%q", a.name)
		if mode := a.modes[o.mode].Name; mode != "" && len(a.modes) > 1 {
			name += fmt.Sprintf(" (%s)", mode)
		}
		out = append(out, fmt.Sprintf("%s needs %s between %s and %s: %s", name, in.m.long(o.d), in.m.at(from), in.m.at(to), in.obstacle(l, i, o)))
	}
	tail := func(a arc) int { return a.from }
	head := func(a arc) int { return a.to }
	early, late := in.words(chainTo(s, in, l.lbWhy, tail)), in.words(chainTo(e, in, l.ubWhy, head))
	for _, text := range append(early, late...) {
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// obstacle says what keeps activity i in mode o out of its window.
func (in *instance) obstacle(l labels, i int, o option) string {
	lo, hi := window(l, i, o.d)
	if lo > hi {
		return "the time limits leave less"
	}
	for _, d := range o.demands {
		name, p := in.m.resources[d.Resource].name, in.free[d.Resource]
		if most := slices.Max(p.free[:len(p.free)-1]); d.Amount > most && o.d > 0 {
			return fmt.Sprintf("it takes %d of %q, which never has more than %d", d.Amount, name, most)
		}
		if p.fit(lo, o.d, d.Amount) > hi {
			return fmt.Sprintf("%q is not open for that long with %d free", name, d.Amount)
		}
	}
	return "what it uses is never open together for that long"
}
