package search

// evolution is the search where any order makes a plan: generations of a population, each begun
// anew from the rules when the one before no longer changes, every third with the best plan of
// all among its first members.
type evolution struct {
	*population
	rules   [][]int32
	seeded  int // first members made in this generation
	rounds  int
	noise   int
	modesOf *modes
}

func newEvolution(f *frame, rng *random) *evolution {
	w := newPasses(f)
	m := newModes(f)
	mode, _ := m.shortest(rng)
	w.setModes(mode)
	size := max(10, min(120, 60*1000/(f.n+1)))
	if f.choice {
		size = min(size, 60)
	}
	e := &evolution{population: newPopulation(w, m, rng, size), rules: w.rules(), modesOf: m}
	for _, t := range e.rules[0] {
		e.noise = max(e.noise, int(t))
	}
	e.noise = e.noise/4 + 2
	return e
}

// try makes one plan; true if it is better than all before.
func (e *evolution) try() bool {
	if e.modesOf.short {
		return false
	}
	if e.w.f.n == 0 {
		e.best = 0
		return false
	}
	if e.seeded < 2*e.size || len(e.members) < 2 {
		k := e.seeded
		e.seeded++
		if e.rounds%3 == 2 && k == 0 {
			return e.adopt(e.plan, e.modes)
		}
		if e.rounds == 0 && k < len(e.rules) {
			return e.seedOne(e.rules[k], 0)
		}
		if len(e.members) < 2 && k > 4*e.size {
			e.renewal()
		}
		return e.seedOne(e.rules[k%3], 1+e.noise*(k%e.size)/e.size)
	}
	better := e.cross()
	if e.idle > 20*e.size {
		e.renewal()
	}
	return better
}

func (e *evolution) renewal() {
	e.members, e.seeded, e.idle = e.members[:0], 0, 0
	e.rounds++
}

// adopt enters a plan from elsewhere.
func (e *evolution) adopt(start, mode []int32) bool {
	for i, t := range start {
		e.key[i] = scale * t
	}
	copy(e.child, mode)
	return e.build()
}
