package search

import "slices"

// population is a steady-state genetic search on start times. A child takes the activities of a
// window that is dense in resources as one parent has them and the order of the others from
// the second parent (peak crossover; Debels and Vanhoucke's decomposition method and Valls,
// Ballestín and Quintanilla's hybrid method, EJOR 185, 2008); it is built by the serial scheme
// and justified. Children equal to a member are dropped.
type population struct {
	w       *passes
	rng     *random
	members []member
	key     []int32
	spare   []int32
	size    int
	best    int32
	plan    []int32
	idle    int // children since the last that was better than all before in this generation
	price   []int32
	low     int32
}

type member struct {
	start []int32
	last  int32
	sum   int64 // of all ends: of plans equally long the one with less is better
	hash  uint64
	load  []int32 // demand over capacity, summed over resources and ticks before t
}

func newPopulation(w *passes, rng *random, size int) *population {
	n := w.f.n
	g := &population{w: w, rng: rng, size: size, key: make([]int32, n), spare: make([]int32, n), plan: make([]int32, n), best: 1 << 30}
	g.price = make([]int32, n)
	g.prices()
	return g
}

// prices sets what a tick of each activity counts in the load.
func (g *population) prices() {
	f := g.w.f
	for i := range f.n {
		sum := int32(0)
		for r, d := range f.p.Activities[i].Modes[g.w.mode[i]].Demand {
			if c := f.p.Renewable[r].Capacity; c > 0 {
				sum += 100 * d / c
			}
		}
		g.price[i] = sum
	}
}

// found keeps a plan that is better than all before.
func (g *population) found(start []int32, last int32) bool {
	if last >= g.best {
		return false
	}
	g.best = last
	copy(g.plan, start)
	return true
}

func (g *population) member(start []int32, last int32) member {
	m := member{start: slices.Clone(start), last: last}
	for i, t := range start {
		m.hash += g.w.f.hash[i] * uint64(t+1)
		m.sum += int64(t)
	}
	return m
}

func (g *population) withLoad(m *member) {
	m.load = make([]int32, m.last+2)
	for i, t := range m.start {
		m.load[t+1] += g.price[i]
		m.load[t+g.w.duration[i]+1] -= g.price[i]
	}
	for range 2 {
		for t := range m.last + 1 {
			m.load[t+1] += m.load[t]
		}
	}
}

func (m *member) better(o *member) bool {
	return m.last < o.last || (m.last == o.last && m.sum < o.sum)
}

// enter puts a justified plan into the population unless it is there or too bad.
func (g *population) enter(start []int32, last int32) {
	m := g.member(start, last)
	worst := -1
	for k := range g.members {
		if g.members[k].hash == m.hash {
			return
		}
		if worst < 0 || g.members[worst].better(&g.members[k]) {
			worst = k
		}
	}
	g.withLoad(&m)
	switch {
	case len(g.members) < g.size:
		g.members = append(g.members, m)
	case m.better(&g.members[worst]):
		g.members[worst] = m
	}
}

// seedOne makes one member: by rule, with more noise the later it comes.
func (g *population) seedOne(rule []int32, noise int) {
	for i := range g.key {
		g.key[i] = rule[i]
		if noise > 0 {
			g.key[i] += int32(g.rng.below(noise))
		}
	}
	g.build()
}

// build decodes key into a justified plan and enters it.
func (g *population) build() bool {
	start := g.spare
	last := g.w.serial(&g.w.forward, g.w.byKey(&g.w.forward, g.key, false), start, 0)
	if last < 0 {
		return false
	}
	last = g.w.justify(start, g.key, last)
	better := g.found(start, last)
	g.enter(start, last)
	return better
}

func (g *population) pick() *member {
	a, b := &g.members[g.rng.below(len(g.members))], &g.members[g.rng.below(len(g.members))]
	if b.better(a) {
		return b
	}
	return a
}

// cross makes one child of two members.
func (g *population) cross() bool {
	a, b := g.pick(), g.pick()
	for tries := 0; b == a && tries < 5; tries++ {
		b = g.pick()
	}
	from, to := g.window(a)
	shift := a.last + b.last
	for i, t := range a.start {
		switch u := b.start[i]; {
		case t >= from && t < to:
			g.key[i] = 4 * t
		case u < from:
			g.key[i] = 4 * (u - shift)
		case u >= to:
			g.key[i] = 4 * (u + shift)
		default:
			g.key[i] = 4*u + 1
		}
	}
	g.mutate(a.last)
	return g.build()
}

// window returns a span of a quarter to three quarters of the plan, of several tried the one in
// which the resources are busiest.
func (g *population) window(m *member) (from, to int32) {
	last := int(m.last)
	if last < 4 {
		return 0, m.last
	}
	width := last/4 + g.rng.below(last/2)
	best := int32(-1)
	for range 3 {
		t := g.rng.below(last - width + 1)
		if load := m.load[t+width] - m.load[t]; load > best {
			best, from = load, int32(t)
		}
	}
	return from, from + int32(width)
}

func (g *population) mutate(last int32) {
	n := len(g.key)
	reach := int(last)/4 + 2
	for range g.rng.below(4) {
		i := g.rng.below(n)
		g.key[i] += int32(4 * (g.rng.below(2*reach+1) - reach))
	}
}
