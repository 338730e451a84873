package schedule

import "slices"

// construction is one pass of the serial scheme over an instance: activities are placed one by
// one at the earliest time that labels and free capacity allow, in order of their keys. When a
// maximum lag leaves no room, the activity that set the limit is moved later by what is
// lacking, and all that this can push is taken up again.
type construction struct {
	in    *instance
	base  labels // of the instance alone
	now   labels // with what is placed
	trail []mark // changes to now since the last placement
	queue []int

	keys   []int   // small ones first
	before [][]int // by activity: those that its lags put before it
	only   []int   // by activity: the one option to use, -1 for any
	raise  []int   // by activity: start no earlier

	placed []bool
	start  []int
	chosen []int // index into options
	order  []int // placed activities in order of placement
	free   []profile
	held   [][]hold // by resource: the bands in use

	left int // passes may unschedule so often yet
}

type hold struct {
	activity, start, end int
	band                 Band
}

type mark struct {
	v, old, why int
	upper       bool
}

// obstacle is why a pass failed.
type obstacle struct {
	activity int
	resource ResourceID // -1 if time alone is short
	limit    []int      // arcs that set the latest time
}

// begin empties the construction.
func (c *construction) begin() {
	c.placed, c.order = make([]bool, c.in.n), c.order[:0]
	c.free, c.held = c.free[:0], make([][]hold, len(c.in.free))
	for _, p := range c.in.free {
		c.free = append(c.free, p.clone())
	}
	c.left = 10*c.in.n + 20
}

// reset sets the labels from the base, the raised starts and what is placed. It reports false
// if they contradict each other.
func (c *construction) reset() bool {
	c.now = labels{slices.Clone(c.base.lb), slices.Clone(c.base.ub), slices.Clone(c.base.lbWhy), slices.Clone(c.base.ubWhy)}
	for i, t := range c.raise {
		if !c.lower(startNode(i), t, -1) {
			return false
		}
	}
	for _, i := range c.order {
		if !c.pin(i, c.start[i], c.in.options[i][c.chosen[i]].d) {
			return false
		}
	}
	return c.spread()
}

// lower raises the lower label of v to t, upper lowers the upper one; spread follows the arcs.
func (c *construction) lower(v, t, why int) bool {
	if t > c.now.lb[v] {
		c.trail = append(c.trail, mark{v, c.now.lb[v], c.now.lbWhy[v], false})
		c.now.lb[v], c.now.lbWhy[v] = t, why
		c.queue = append(c.queue, v)
	}
	return c.now.lb[v] <= c.now.ub[v]
}

func (c *construction) upper(v, t, why int) bool {
	if t < c.now.ub[v] {
		c.trail = append(c.trail, mark{v, c.now.ub[v], c.now.ubWhy[v], true})
		c.now.ub[v], c.now.ubWhy[v] = t, why
		c.queue = append(c.queue, v)
	}
	return c.now.lb[v] <= c.now.ub[v]
}

func (c *construction) pin(i, t, d int) bool {
	s, e := startNode(i), endNode(i)
	return c.lower(s, t, -1) && c.upper(s, t, -1) && c.lower(e, t+d, -1) && c.upper(e, t+d, -1) && c.spread()
}

// spread carries changed labels along the arcs until nothing moves, or reports false.
//
// It ends: chains that avoid placed activities close without gain (relax saw to that), and
// those through a placed one run into its equal labels.
func (c *construction) spread() bool {
	for k := 0; k < len(c.queue); k++ {
		u := c.queue[k]
		for _, j := range c.in.out[u] {
			a := c.in.arcs[j]
			if a.to != origin && !c.lower(a.to, c.now.lb[u]+a.w, j) {
				return false
			}
		}
		for _, j := range c.in.in[u] {
			a := c.in.arcs[j]
			if a.from != origin && !c.upper(a.from, c.now.ub[u]-a.w, j) {
				return false
			}
		}
	}
	c.queue = c.queue[:0]
	return true
}

func (c *construction) undo() {
	for _, m := range slices.Backward(c.trail) {
		if m.upper {
			c.now.ub[m.v], c.now.ubWhy[m.v] = m.old, m.why
		} else {
			c.now.lb[m.v], c.now.lbWhy[m.v] = m.old, m.why
		}
	}
	c.trail, c.queue = c.trail[:0], c.queue[:0]
}

// run makes one pass. spend is asked before each try and ends the pass by false; then, as where
// the raised starts contradict each other, the last obstacle met is named, if any.
func (c *construction) run(spend func() bool) (done bool, met *obstacle) {
	c.begin()
	if !c.reset() {
		c.undo()
		return false, nil
	}
	for len(c.order) < c.in.n {
		if !spend() {
			return false, met
		}
		c.trail = c.trail[:0]
		i := c.next()
		lacking, failed := c.place(i)
		if failed == nil {
			continue
		}
		met = failed
		culprit := c.culprit(i, met)
		if culprit < 0 || lacking <= 0 || c.left == 0 {
			return false, met
		}
		c.left--
		c.raise[culprit] = c.start[culprit] + lacking
		c.takeUp(culprit)
		if !c.reset() {
			c.undo()
			return false, met
		}
	}
	return true, nil
}

// next returns the activity to place: one whose start is already settled if there is any, else
// the one of smallest key among those with nothing unplaced before them.
func (c *construction) next() int {
	best, waiting := -1, -1
	for i := range c.in.n {
		if c.placed[i] {
			continue
		}
		if s := startNode(i); c.now.lb[s] == c.now.ub[s] && len(c.in.options[i]) == 1 {
			return i
		}
		if waiting < 0 || c.keys[i] < c.keys[waiting] {
			waiting = i
		}
		if best >= 0 && c.keys[i] >= c.keys[best] {
			continue
		}
		if !slices.ContainsFunc(c.before[i], func(j int) bool { return !c.placed[j] }) {
			best = i
		}
	}
	if best < 0 {
		return waiting // activities tied to each other at a fixed distance
	}
	return best
}

// place puts i where it ends earliest. Otherwise it says what was met and, if the room was
// found too late, by how much.
func (c *construction) place(i int) (lacking int, met *obstacle) {
	type place struct{ option, start, end int }
	var places []place
	met = &obstacle{activity: i, resource: -1}
	for k, o := range c.in.options[i] {
		if c.only[i] >= 0 && c.only[i] != k {
			continue
		}
		lo, hi := window(c.now, i, o.d)
		if lo > hi {
			continue
		}
		t, r := c.fit(o, lo)
		if t <= hi {
			places = append(places, place{k, t, t + o.d})
		} else if lacking == 0 || t-hi < lacking {
			lacking, met.resource = t-hi, r
		}
	}
	slices.SortStableFunc(places, func(a, b place) int { return a.end - b.end })
	for _, p := range places {
		if c.pin(i, p.start, p.end-p.start) {
			c.start[i], c.chosen[i], c.placed[i] = p.start, p.option, true
			c.order = append(c.order, i)
			c.hold(i, 1)
			return 0, nil
		}
		c.undo()
	}
	return lacking, met
}

// fit returns the first start from t on at which o finds its amounts free and its bands shared.
func (c *construction) fit(o option, t int) (int, ResourceID) {
	blamed := ResourceID(-1)
	if o.d == 0 {
		return t, blamed
	}
	for {
		u, r := fitAll(c.free, o, t, c.in.m.horizon)
		if u > t {
			t, blamed = u, r
		}
		u = t
		for _, d := range o.demands {
			for _, h := range c.held[d.Resource] {
				clash := d.Band.Known && (h.band.Hi < d.Band.Lo || d.Band.Hi < h.band.Lo)
				if clash && h.start < u+o.d && u < h.end {
					u, blamed = h.end, d.Resource
				}
			}
		}
		if u == t {
			return t, blamed
		}
		t = u
	}
}

// hold takes (sign 1) or gives back (sign -1) what i uses.
func (c *construction) hold(i, sign int) {
	o := c.in.options[i][c.chosen[i]]
	end := c.start[i] + o.d
	if o.d == 0 {
		return
	}
	for _, d := range o.demands {
		c.free[d.Resource].take(c.start[i], end, sign*d.Amount)
		switch held := &c.held[d.Resource]; {
		case !d.Band.Known:
		case sign > 0:
			*held = append(*held, hold{i, c.start[i], end, d.Band})
		default:
			*held = slices.DeleteFunc(*held, func(h hold) bool { return h.activity == i })
		}
	}
}

// culprit follows the latest time of i back to the placed activity that set it, -1 if that was
// the due times alone. It writes the arcs on the way into met.
func (c *construction) culprit(i int, met *obstacle) int {
	v := startNode(i)
	if d := c.in.options[i][0].d; c.now.ub[endNode(i)]-d < c.now.ub[v] {
		v = endNode(i)
	}
	for range c.now.ub {
		if v == origin {
			return -1
		}
		if j := activityOf(v); j != i && c.placed[j] {
			return j
		}
		k := c.now.ubWhy[v]
		if k < 0 {
			return -1
		}
		met.limit = append(met.limit, k)
		v = c.in.arcs[k].to
	}
	return -1
}

// takeUp removes i and all placed activities that some chain of lags from i can push.
func (c *construction) takeUp(i int) {
	reached := make([]bool, c.in.n)
	reached[i] = true
	for todo := []int{i}; len(todo) > 0; {
		j := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if c.placed[j] {
			c.hold(j, -1)
			c.placed[j] = false
		}
		for _, v := range []int{startNode(j), endNode(j)} {
			for _, k := range c.in.out[v] {
				if to := c.in.arcs[k].to; to != origin && !reached[activityOf(to)] {
					reached[activityOf(to)] = true
					todo = append(todo, activityOf(to))
				}
			}
		}
	}
	c.order = slices.DeleteFunc(c.order, func(j int) bool { return !c.placed[j] })
}
