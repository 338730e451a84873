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
	best    int32 // the shortest plan of all generations
	plan    []int32
	modes   []int32 // of plan
	idle    int     // children since the population last took one in
	choice  *modes  // nil if there is none
	child   []int32 // modes of the next child
	price   []int32 // by mode: what a tick of it counts in the load
}

// scale of the keys of a child to time leaves room between its parents' starts.
const scale = 4

type member struct {
	start []int32
	mode  []int32
	last  int32
	hash  uint64
	load  []int32 // demand over capacity, summed over resources and ticks before t
}

func newPopulation(w *passes, m *modes, rng *random, size int) *population {
	f := w.f
	g := &population{
		w: w, rng: rng, size: size, best: 1 << 30, key: make([]int32, f.n), spare: make([]int32, f.n),
		plan: make([]int32, f.n), modes: make([]int32, f.n), child: slices.Clone(w.mode), price: make([]int32, f.first[f.n]),
	}
	if f.choice {
		g.choice = m
	}
	for i, a := range f.p.Activities {
		for k, mode := range a.Modes {
			for r, d := range mode.Demand {
				if c := f.p.Renewable[r].Capacity; c > 0 {
					g.price[int(f.first[i])+k] += int32(100 * int64(d) / int64(c))
				}
			}
		}
	}
	return g
}

// found keeps a plan that is better than all before.
func (g *population) found(start []int32, last int32) bool {
	if last >= g.best {
		return false
	}
	g.best = last
	copy(g.plan, start)
	copy(g.modes, g.w.mode)
	return true
}

func (g *population) member(start []int32, last int32) member {
	m := member{start: slices.Clone(start), last: last}
	for i, t := range start {
		m.hash += g.w.f.hash[i] * uint64(t+1)
	}
	if g.choice != nil {
		m.mode = slices.Clone(g.w.mode)
		for i, k := range m.mode {
			m.hash += mix(g.w.f.hash[i]) * uint64(k)
		}
	}
	return m
}

func (g *population) withLoad(m *member) {
	m.load = make([]int32, m.last+2)
	for i, t := range m.start {
		price := g.price[g.w.f.first[i]+g.w.mode[i]]
		m.load[t+1] += price
		m.load[t+g.w.duration[i]+1] -= price
	}
	for range 2 {
		for t := range m.last + 1 {
			m.load[t+1] += m.load[t]
		}
	}
}

func (m *member) better(o *member) bool {
	return m.last < o.last
}

// enter puts a justified plan into the population unless it is there or too bad.
func (g *population) enter(start []int32, last int32) {
	m := g.member(start, last)
	g.idle++
	worst := -1
	for k := range g.members {
		if g.members[k].hash == m.hash {
			return
		}
		if worst < 0 || g.members[worst].better(&g.members[k]) {
			worst = k
		}
	}
	switch {
	case len(g.members) < g.size:
		g.withLoad(&m)
		g.members = append(g.members, m)
		g.idle = 0
	case m.better(&g.members[worst]):
		g.withLoad(&m)
		g.members[worst] = m
		g.idle = 0
	}
}

// seedOne makes one member: by rule, with up to so much noise.
func (g *population) seedOne(rule []int32, noise int) bool {
	for i := range g.key {
		g.key[i] = rule[i]
		if noise > 0 {
			g.key[i] += int32(g.rng.below(noise))
		}
	}
	if g.choice != nil {
		for i := range g.child {
			if list := g.choice.usable[i]; noise > 0 && g.rng.below(2) == 0 {
				g.child[i] = list[g.rng.below(len(list))]
			}
		}
	}
	return g.build()
}

// build decodes key and child into a justified plan and enters it; true if it is the best yet.
func (g *population) build() bool {
	w, start := g.w, g.spare
	last := int32(-1)
	switch {
	case g.choice != nil:
		if !g.choice.repair(g.child, g.rng) {
			w.work++
			return false
		}
		w.setModes(g.child)
		share := g.rng.below(3) * 10
		last = w.choose(g.choice, w.byKey(&w.forward, g.key, false), start, func(int32) bool { return g.rng.below(100) < share })
	case w.f.base == nil && len(g.members) > 1:
		return g.turned()
	default:
		last = w.serial(&w.forward, w.byKey(&w.forward, g.key, false), start, 0)
	}
	if last < 0 {
		return false
	}
	last = w.justify(start, g.key, last)
	if g.choice != nil {
		last = g.shift(start, last)
	}
	better := g.found(start, last)
	g.enter(start, last)
	return better
}

// turned decodes key from its ends backward and then forward: a child of justified parents comes
// out justified with a pass less.
func (g *population) turned() bool {
	w, start := g.w, g.spare
	for i := range g.key {
		start[i] = -(g.key[i] + scale*w.duration[i])
	}
	last := w.serial(&w.backward, w.byKey(&w.backward, start, false), start, 0)
	if last < 0 {
		return false
	}
	for i, t := range start {
		g.key[i] = last - t - w.duration[i]
	}
	last = w.serial(&w.forward, w.byKey(&w.forward, g.key, true), start, 0)
	if last < 0 {
		return false
	}
	better := g.found(start, last)
	g.enter(start, last)
	return better
}

// shift tries the plan's own order once more with every mode free (multi-mode left shift).
func (g *population) shift(start []int32, last int32) int32 {
	w := g.w
	if last > g.best+g.best/16 {
		return last
	}
	copy(g.child, w.mode)
	copy(g.key, start)
	moved := w.choose(g.choice, w.byKey(&w.forward, start, false), g.key, func(int32) bool { return g.rng.below(3) == 0 })
	if moved < 0 || moved > last {
		w.setModes(g.child)
		return last
	}
	copy(start, g.key)
	return w.justify(start, g.key, moved)
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
			g.key[i] = scale * t
		case u < from:
			g.key[i] = scale * (u - shift)
		case u >= to:
			g.key[i] = scale * (u + shift)
		default:
			g.key[i] = scale*u + 1
		}
	}
	if g.choice != nil {
		for i, t := range a.start {
			g.child[i] = b.mode[i]
			if t >= from && t < to {
				g.child[i] = a.mode[i]
			}
		}
		for range g.rng.below(4) {
			i := g.rng.below(len(g.child))
			g.child[i] = g.choice.usable[i][g.rng.below(len(g.choice.usable[i]))]
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
	moves := 8
	if g.choice != nil {
		moves = 4
	}
	for range g.rng.below(moves) {
		i := g.rng.below(n)
		g.key[i] += int32(scale * (g.rng.below(2*reach+1) - reach))
	}
}
