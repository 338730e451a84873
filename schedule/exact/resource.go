package exact

// addResource poses renewable resource r. A resource that cannot be overdrawn is left out.
func (e *engine) addResource(r int) bool {
	given := &e.p.Renewable[r]
	res := resource{greatest: int64(given.Capacity)}
	before := int32(0)
	for _, s := range given.Steps {
		if b := given.Capacity - s.Capacity; b != before {
			res.base = append(res.base, change{s.From, b - before})
			before = b
		}
	}
	id := int32(len(e.resources))
	most := int64(0)
	var cols []int32
	for i := range e.acts {
		a := &e.acts[i]
		modes := e.p.Activities[i].Modes
		value := func(m int32) int32 {
			if modes[m].Duration == 0 {
				return 0
			}
			return modes[m].Demand[r]
		}
		open := e.openModes(i)
		least, greatest := value(open[0]), value(open[0])
		for _, m := range open {
			least, greatest = min(least, value(m)), max(greatest, value(m))
		}
		if greatest == 0 {
			continue
		}
		most += int64(greatest)
		t := task{s: a.start.x, e: a.end.x, off: a.end.off, demand: least, d: -1, resource: id}
		if least < greatest {
			t.d = e.ladder(int32(i), open, value).x
			cols = append(cols, 2*t.d)
		}
		cols = append(cols, 2*t.s, 2*t.s+1)
		if t.e != t.s {
			cols = append(cols, 2*t.e, 2*t.e+1)
		}
		res.tasks = append(res.tasks, int32(len(e.tasks)))
		e.tasks = append(e.tasks, t)
	}
	if len(res.base) == 0 && most <= res.greatest || len(res.tasks) == 0 {
		return true
	}
	for _, c := range cols {
		e.uses[c] = append(e.uses[c], id)
	}
	res.dirty = true
	e.resources = append(e.resources, res)
	e.dirty = append(e.dirty, id)
	return true
}

// addOrders gives a variable to each pair of activities that can never run at the same time: 1
// if the first comes first. It returns false if some pair has no order.
func (e *engine) addOrders() bool {
	pairs := e.disjoint()
	if len(pairs) > 0 && len(e.phase) <= closureLimit {
		var ok bool
		if pairs, ok = e.settleOrders(pairs); !ok {
			return false
		}
	}
	for _, p := range pairs {
		x := e.newVar(0, 1)
		a, b := &e.acts[p.i], &e.acts[p.j]
		e.orders = append(e.orders, pairOrder{x, p.i, p.j})
		e.addArc(a.end, b.start, 0, atLeast(x, 1))
		e.addArc(b.end, a.start, 0, atMost(x, 0))
	}
	return true
}

// disjoint returns the pairs of activities whose demands for some resource exceed it together.
func (e *engine) disjoint() []pair {
	var pairs []pair
	done := make(map[pair]bool)
	for r := range e.p.Renewable {
		var users []int32
		least := make([]int64, len(e.acts))
		for i := range e.acts {
			if least[i] = e.leastDemand(i, r); least[i] > 0 {
				users = append(users, int32(i))
			}
		}
		for k, j := range users {
			for _, i := range users[:k] {
				p := pair{i, j}
				if least[i]+least[j] <= int64(e.p.Renewable[r].Capacity) || done[p] {
					continue
				}
				if len(pairs) == maxOrders {
					return pairs
				}
				done[p] = true
				pairs = append(pairs, p)
			}
		}
	}
	return pairs
}

// leastDemand is what activity i uses of resource r in any of its modes, 0 if it may take no
// time.
func (e *engine) leastDemand(i, r int) int64 {
	least := int64(-1)
	for _, m := range e.openModes(i) {
		mode := &e.p.Activities[i].Modes[m]
		need := int64(mode.Demand[r])
		if mode.Duration == 0 {
			need = 0
		}
		if least < 0 || need < least {
			least = need
		}
	}
	return least
}
