package schedule

import (
	"cmp"
	"fmt"
	"slices"
)

// overload proves, where it can, that some resource is asked for more than it has: either at
// one tick, by activities that must all be running then, or over an interval, by activities
// that must lie wholly inside it. Nil means that neither count shows anything.
func (in *instance) overload(l labels) []string {
	for r := range in.free {
		if c := in.overloadAt(l, ResourceID(r)); c != nil {
			return c
		}
		if c := in.overloadWithin(l, ResourceID(r)); c != nil {
			return c
		}
	}
	return nil
}

// least returns the smallest amount, and the smallest amount times duration, that i takes of r
// in any of its modes.
func (in *instance) least(i int, r ResourceID) (amount, area int) {
	amount, area = endless, endless
	for _, o := range in.options[i] {
		a := 0
		for _, d := range o.demands {
			if d.Resource == r {
				a = d.Amount
			}
		}
		amount, area = min(amount, a), min(area, a*o.d)
	}
	return amount, area
}

func (in *instance) overloadAt(l labels, r ResourceID) []string {
	free := in.free[r].clone()
	for i := range in.n {
		from, to := l.ub[startNode(i)], l.lb[endNode(i)]
		if amount, _ := in.least(i, r); from < to {
			free.take(from, to, amount)
		}
	}
	k := slices.IndexFunc(free.free, func(f int) bool { return f < 0 })
	if k < 0 {
		return nil
	}
	t := free.times[k]
	capacity := in.free[r].free[in.free[r].at(t)]
	out := []string{fmt.Sprintf("%q has %d at %s, but %d is needed then", in.m.resources[r].name, capacity, in.m.at(t), capacity-free.free[k])}
	for i := range in.n {
		from, to := l.ub[startNode(i)], l.lb[endNode(i)]
		if amount, _ := in.least(i, r); amount > 0 && from <= t && t < to {
			out = append(out, fmt.Sprintf("%q must be running from %s to %s and takes %d", in.m.activities[i].name, in.m.at(from), in.m.at(to), amount))
		}
	}
	return out
}

func (in *instance) overloadWithin(l labels, r ResourceID) []string {
	type job struct{ i, from, to, area int }
	var jobs []job
	for i := range in.n {
		if _, area := in.least(i, r); area > 0 {
			jobs = append(jobs, job{i, l.lb[startNode(i)], l.ub[endNode(i)], area})
		}
	}
	slices.SortFunc(jobs, func(a, b job) int { return cmp.Or(a.to-b.to, a.i-b.i) })
	for _, first := range jobs {
		sum := 0 // stays below 2^62: it is compared after each addition
		for k, j := range jobs {
			if j.from < first.from {
				continue
			}
			sum += j.area
			has := in.free[r].area(first.from, j.to)
			if sum <= has {
				continue
			}
			m := in.m
			out := []string{fmt.Sprintf("%q has %s of capacity from %s to %s, but %s is needed then",
				m.resources[r].name, m.long(has), m.at(first.from), m.at(j.to), m.long(sum))}
			for _, u := range jobs[:k+1] {
				if u.from >= first.from {
					out = append(out, fmt.Sprintf("%q must lie between %s and %s and takes %s of it", m.activities[u.i].name, m.at(u.from), m.at(u.to), m.long(u.area)))
				}
			}
			return out
		}
	}
	return nil
}
