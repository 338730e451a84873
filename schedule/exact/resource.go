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
// if the first comes first.
func (e *engine) addOrders() {
	type use struct{ act, need int32 }
	done := make(map[[2]int]bool)
	for r := range e.p.Renewable {
		limit := int64(e.p.Renewable[r].Capacity)
		var uses []use
		for i := range e.acts {
			least := int32(-1)
			for _, m := range e.openModes(i) {
				mode := &e.p.Activities[i].Modes[m]
				need := mode.Demand[r]
				if mode.Duration == 0 {
					need = 0
				}
				if least < 0 || need < least {
					least = need
				}
			}
			if least > 0 {
				uses = append(uses, use{int32(i), least})
			}
		}
		for k, a := range uses {
			for _, b := range uses[:k] {
				pair := [2]int{int(b.act), int(a.act)}
				if int64(a.need)+int64(b.need) <= limit || done[pair] || len(done) >= maxOrders {
					continue
				}
				done[pair] = true
				e.addOrder(pair[0], pair[1])
			}
		}
	}
}

func (e *engine) addOrder(i, j int) {
	x := e.newVar(0, 1)
	e.orders = append(e.orders, pairOrder{x, int32(i), int32(j)})
	e.addArc(e.acts[i].end, e.acts[j].start, 0, atLeast(x, 1))
	e.addArc(e.acts[j].end, e.acts[i].start, 0, atMost(x, 0))
}
