package search

import (
	"cmp"
	"slices"

	"chablon/schedule/project"
)

// denseTime is the most ticks that rows for each tick are kept for: 32 MiB for each of the few
// profiles of an engine, and each word that a row takes.
const denseTime = 1 << 22

// longTime is how many ticks for each activity make a row for each tick a waste, from so many
// activities on that the exact engine does not make up for weaker passes.
const (
	longTime = 50
	someMany = 100
)

// rich reports whether p has what the packed passes do not know: pauses, lags in working time,
// machines, or goals other than the makespan alone; or a time too long for them.
func rich(p *project.Problem) bool {
	if len(p.Machines) > 0 || len(p.Goals) > 1 || len(p.Goals) == 1 && p.Goals[0].Measure != project.Makespan {
		return true
	}
	if slices.ContainsFunc(p.Arcs, func(a project.Arc) bool { return a.Calendar > 0 }) {
		return true
	}
	for _, a := range p.Activities {
		if slices.ContainsFunc(a.Modes, func(m project.Mode) bool { return m.Calendar > 0 }) {
			return true
		}
	}
	n := len(p.Activities)
	if extent(p) > denseTime {
		return true
	}
	return n >= someMany && n < large && slices.ContainsFunc(p.Renewable, func(r project.Renewable) bool {
		k := len(r.Steps)
		return k > 0 && int(r.Steps[k-1].From) > longTime*n
	})
}

// extent is a tick that no plan need pass: all activities one after the other, with all lags, behind the
// last release and the last change of a capacity. A plan that goes on beyond has a time in it
// in which nothing runs and no lag passes, and all that is after it can come sooner.
func extent(p *project.Problem) int64 {
	begin, sum := int64(0), int64(0)
	for _, r := range p.Renewable {
		for _, s := range r.Steps {
			begin = max(begin, int64(s.From))
		}
	}
	for _, a := range p.Activities {
		begin = max(begin, int64(a.Earliest))
		longest := int32(0)
		for _, m := range a.Modes {
			longest = max(longest, m.Duration)
		}
		sum += int64(longest)
	}
	for _, a := range p.Arcs {
		sum += max(0, int64(a.Lag))
	}
	return min(begin+sum, int64(p.Horizon))
}

// shorten returns p with a horizon no later than need be, so that what counts ticks from the end of
// time does not depend on how far that was put.
func shorten(p *project.Problem) *project.Problem {
	end := extent(p)
	if end >= int64(p.Horizon) {
		return p
	}
	q := *p
	q.Horizon = int32(end)
	q.Activities = slices.Clone(p.Activities)
	for i := range q.Activities {
		q.Activities[i].Latest = min(q.Activities[i].Latest, q.Horizon)
	}
	return &q
}

// net is a rich problem compiled: what each activity may do by itself, and what ties it to
// others. It is not changed once built.
type net struct {
	p     *project.Problem
	n     int
	arcs  []project.Arc
	ties  [][]int32 // by activity: the arcs that touch it and another
	own   [][]int32 // by activity: the arcs from it to itself
	ways  [][]way   // by activity: all modes
	able  [][]int32 // by activity: the modes that have a place when it is alone
	least [][]int64 // by activity: the least that an able mode consumes of each budget
	base  []window  // what is left to each when nothing is placed
	total []int32   // by calendar: its open ticks
	empty room      // with nothing placed
	users [][]int32 // by resource: the activities that have a mode using it

	calm           []bool // by activity: no mode pauses
	short, long    []int32
	goals          []project.Goal
	hinges         [][]hinge   // by activity
	outside        [][]counted // by resource
	presence       []counted
	present        [][]int32 // by resource: indices in presence
	setUps         [][]int   // by machine: goals
	spans          []int32   // by goal: first index of makespan goals
	dead           bool      // a proof: an activity alone, or arcs and bounds, leave no plan
	relaxed, limit int       // of the labels with nothing placed
}

// way is a mode with its uses alone.
type way struct {
	duration int32
	calendar *project.Calendar // nil: no pause
	total    int32             // its open ticks
	uses     []use
	stands   []project.Stand
	consume  []int32
}

// use is a part of a resource; split, if it is given back in pauses.
type use struct {
	resource, amount int32
	split            bool
}

// window is what is left to an activity: starts from s0 to s1 and ends from e0 to e1.
type window struct{ s0, s1, e0, e1 int32 }

func (w window) void() bool { return w.s0 > w.s1 || w.e0 > w.e1 }

// hinge is one Gap of a goal; counted a Use of one.
type hinge struct {
	goal int
	gap  project.Gap
}

type counted struct {
	goal     int
	resource int32
	weight   int64
	hours    *project.Calendar
}

// newNet compiles p. If only is not nil, it names a mode for each activity that must not have
// another, and is negative for the others.
func newNet(p *project.Problem, only []int32) *net {
	n := len(p.Activities)
	x := &net{
		p: p, n: n, arcs: slices.Clone(p.Arcs), ties: make([][]int32, n), own: make([][]int32, n), ways: make([][]way, n),
		able: make([][]int32, n), least: make([][]int64, n), base: make([]window, n), users: make([][]int32, len(p.Renewable)),
		calm: make([]bool, n), short: make([]int32, n), long: make([]int32, n),
	}
	for k := range x.arcs {
		a := &x.arcs[k]
		a.Lag = max(-p.Horizon-1, min(a.Lag, p.Horizon+1))
		if a.From == a.To {
			x.own[a.From] = append(x.own[a.From], int32(k))
			continue
		}
		x.ties[a.From] = append(x.ties[a.From], int32(k))
		x.ties[a.To] = append(x.ties[a.To], int32(k))
	}
	for k := range p.Calendars {
		x.total = append(x.total, p.Calendars[k].Work(project.MaxHorizon))
	}
	for _, r := range p.Renewable {
		x.empty.free = append(x.empty.free, newSteps(r))
	}
	x.empty.runs = make([][]run, len(p.Machines))
	for i, a := range p.Activities {
		for _, m := range a.Modes {
			x.ways[i] = append(x.ways[i], x.way(m))
		}
		x.base[i] = window{a.Earliest, a.Latest, 0, p.Horizon}
		for m := range x.ways[i] {
			if (only == nil || only[i] < 0 || only[i] == int32(m)) && x.bearable(int32(i), &x.ways[i][m]) {
				x.able[i] = append(x.able[i], int32(m))
			}
		}
	}
	x.listGoals()
	x.settleAll()
	for i := range n {
		x.least[i] = make([]int64, len(p.Budget))
		for b := range p.Budget {
			x.least[i][b] = 1 << 40
			for _, m := range x.able[i] {
				x.least[i][b] = min(x.least[i][b], x.ways[i][m].consumes(b))
			}
		}
		for r := range p.Renewable {
			if slices.ContainsFunc(x.able[i], func(m int32) bool {
				return slices.ContainsFunc(x.ways[i][m].uses, func(u use) bool { return int(u.resource) == r })
			}) {
				x.users[r] = append(x.users[r], int32(i))
			}
		}
	}
	for b, most := range p.Budget {
		sum := int64(0)
		for i := range n {
			sum += x.least[i][b]
		}
		x.dead = x.dead || sum > int64(most)
	}
	return x
}

func (x *net) way(m project.Mode) way {
	w := way{duration: m.Duration, consume: m.Consume}
	if m.Duration == 0 {
		return w // it pauses, uses and stands nowhere
	}
	if m.Calendar > 0 {
		w.calendar, w.total = &x.p.Calendars[m.Calendar-1], x.total[m.Calendar-1]
	}
	w.stands = m.Stands
	for r, d := range m.Demand {
		if d > 0 {
			w.uses = append(w.uses, use{int32(r), d, w.calendar != nil && !x.p.Renewable[r].Held})
		}
	}
	return w
}

// bearable reports whether capacities, budgets and the arcs from i to itself let the mode be.
func (x *net) bearable(i int32, w *way) bool {
	for _, k := range x.own[i] {
		if w.calendar == nil && x.arcs[k].Calendar == 0 && !x.keeps(&x.arcs[k], 0, w.duration, 0, w.duration) {
			return false
		}
	}
	for _, u := range w.uses {
		if u.amount > x.p.Renewable[u.resource].Capacity {
			return false
		}
	}
	for b := range x.p.Budget {
		if w.consumes(b) > int64(x.p.Budget[b]) {
			return false
		}
	}
	return w.duration <= x.p.Horizon
}

func (w *way) consumes(b int) int64 {
	if len(w.consume) == 0 {
		return 0
	}
	return int64(w.consume[b])
}

func (x *net) listGoals() {
	p := x.p
	x.goals = p.Goals
	if len(x.goals) == 0 {
		x.goals = []project.Goal{{Measure: project.Makespan}}
	}
	x.hinges, x.outside, x.present = make([][]hinge, x.n), make([][]counted, len(p.Renewable)), make([][]int32, len(p.Renewable))
	x.setUps = make([][]int, len(p.Machines))
	for k, g := range x.goals {
		switch g.Measure {
		case project.Delay:
			for _, d := range g.Delays {
				if d.From != project.Clock {
					x.hinges[d.From] = append(x.hinges[d.From], hinge{k, d})
				}
				if d.To != project.Clock && d.To != d.From {
					x.hinges[d.To] = append(x.hinges[d.To], hinge{k, d})
				}
			}
		case project.Outside:
			for _, u := range g.Uses {
				x.outside[u.Renewable] = append(x.outside[u.Renewable], counted{k, u.Renewable, int64(u.Weight), &p.Calendars[u.Calendar-1]})
			}
		case project.Presence:
			for _, u := range g.Uses {
				x.present[u.Renewable] = append(x.present[u.Renewable], int32(len(x.presence)))
				x.presence = append(x.presence, counted{k, u.Renewable, int64(u.Weight), &p.Calendars[u.Calendar-1]})
			}
		case project.SetUps:
			for _, m := range g.Machines {
				x.setUps[m] = append(x.setUps[m], k)
			}
		case project.Makespan:
			x.spans = append(x.spans, int32(k))
		}
	}
}

// settleAll propagates bounds, arcs and what each activity finds when it is alone to a fixed
// point or to a bounded number of rounds: labels are right at any time, and dead is a proof.
func (x *net) settleAll() {
	x.limit = 200*x.n + 20_000
	for round := 0; round < 4 && !x.dead; round++ {
		x.measure()
		changed := false
		for i := range x.n {
			was, modes := x.base[i], len(x.able[i])
			x.alone(int32(i))
			changed = changed || was != x.base[i] || modes != len(x.able[i])
			x.dead = x.dead || len(x.able[i]) == 0 || x.base[i].void()
		}
		if x.dead || (!changed && round > 0) {
			break
		}
		x.measure()
		x.relax()
	}
}

// measure finds the least and greatest durations of the able modes.
func (x *net) measure() {
	for i := range x.n {
		x.calm[i], x.short[i], x.long[i] = true, 1<<30, 0
		for _, m := range x.able[i] {
			w := &x.ways[i][m]
			x.calm[i] = x.calm[i] && w.calendar == nil
			x.short[i], x.long[i] = min(x.short[i], w.duration), max(x.long[i], w.duration)
		}
	}
}

// alone narrows the base window of i to what its modes find in the empty room.
func (x *net) alone(i int32) {
	w := x.base[i]
	out := window{1 << 30, -1, 1 << 30, -1}
	able := x.able[i][:0]
	for _, m := range x.able[i] {
		s0, e0, ok := x.first(&x.empty, i, m, w)
		if !ok {
			continue
		}
		s1, e1, _ := x.last(&x.empty, i, m, w)
		able = append(able, m)
		out = window{min(out.s0, s0), max(out.s1, s1), min(out.e0, e0), max(out.e1, e1)}
	}
	x.able[i], x.base[i] = able, out
}

// relax carries the base windows along the arcs.
func (x *net) relax() {
	queue, queued := make([]int32, x.n), make([]bool, x.n)
	for i := range queue {
		queue[i], queued[i] = int32(i), true
	}
	for k := 0; k < len(queue); k++ {
		i := queue[k]
		queued[i] = false
		if x.relaxed++; x.relaxed > x.limit {
			return
		}
		for _, t := range x.ties[i] {
			a := &x.arcs[t]
			o := a.From + a.To - i
			was := x.base[o]
			x.pull(a, o, &x.base[o], x.base[i])
			if x.base[o] == was {
				continue
			}
			x.tie(o, &x.base[o])
			if x.base[o].void() {
				x.dead = true
				return
			}
			if !queued[o] {
				queue, queued[o] = append(queue, o), true
			}
		}
	}
}

// pull narrows w, the window of activity o, by arc a whose other side has the window v.
func (x *net) pull(a *project.Arc, o int32, w *window, v window) {
	if a.To == o {
		t := v.s0
		if a.FromEnd {
			t = v.e0
		}
		t = x.ahead(a, t)
		if a.ToEnd {
			w.e0 = max(w.e0, t)
		} else {
			w.s0 = max(w.s0, t)
		}
		return
	}
	t := v.s1
	if a.ToEnd {
		t = v.e1
	}
	t = x.behind(a, t)
	if a.FromEnd {
		w.e1 = min(w.e1, t)
	} else {
		w.s1 = min(w.s1, t)
	}
}

// ahead returns the least time of a.To when a.From is at t, beyond all horizons if there is none.
func (x *net) ahead(a *project.Arc, t int32) int32 {
	if a.Calendar == 0 {
		return t + a.Lag
	}
	c := &x.p.Calendars[a.Calendar-1]
	u, ok := c.First(c.Work(t) + a.Lag)
	if !ok {
		return project.MaxHorizon + 1
	}
	return u
}

// behind returns the greatest time of a.From when a.To is at t, -1 if there is none.
func (x *net) behind(a *project.Arc, t int32) int32 {
	if a.Calendar == 0 {
		return t - a.Lag
	}
	c := &x.p.Calendars[a.Calendar-1]
	w := c.Work(t) - a.Lag
	if w < 0 {
		return -1
	}
	if u, ok := c.Last(w); ok {
		return u
	}
	return project.MaxHorizon
}

// gap is the least distance of the starts of its two activities that an arc asks for by the clock,
// whatever their modes; one in working time asks for no less than its lag.
func (x *net) gap(a *project.Arc) int32 {
	gap := a.Lag
	if a.FromEnd {
		gap += x.short[a.From]
	}
	if a.ToEnd {
		gap -= x.long[a.To]
	}
	return gap
}

// tie narrows a window by what start and end of activity i have to do with each other.
func (x *net) tie(i int32, w *window) {
	w.e0 = max(w.e0, w.s0+x.short[i])
	w.s1 = min(w.s1, w.e1-x.short[i])
	if x.calm[i] {
		w.s0 = max(w.s0, w.e0-x.long[i])
		w.e1 = min(w.e1, w.s1+x.long[i])
	}
}

// after returns the first start from t on, and its end.
func (w *way) after(t int32) (s, e int32, ok bool) {
	if w.calendar == nil {
		return t, t + w.duration, true
	}
	if s, ok = w.calendar.Next(t); !ok {
		return 0, 0, false
	}
	e, ok = w.calendar.First(w.calendar.Work(s) + w.duration)
	return s, e, ok
}

// before returns the last start with an end of e or sooner.
func (w *way) before(e int32) (s, end int32, ok bool) {
	if w.calendar == nil {
		return e - w.duration, e, e >= w.duration
	}
	return w.tick(w.calendar.Work(max(0, e)) - w.duration)
}

// upTo returns the last start that is not after t and has an end.
func (w *way) upTo(t int32) (s, e int32, ok bool) {
	if w.calendar == nil {
		return t, t + w.duration, t >= 0
	}
	if t < 0 {
		return 0, 0, false
	}
	return w.tick(min(w.calendar.Work(t+1)-1, w.total-w.duration))
}

// ending returns the first start with an end of e or later.
func (w *way) ending(e int32) (s, end int32, ok bool) {
	if w.calendar == nil {
		s = max(0, e-w.duration)
		return s, s + w.duration, true
	}
	return w.tick(max(0, w.calendar.Work(max(0, e-1))-w.duration+1))
}

// tick returns the run that begins in the k-th open tick of the calendar.
func (w *way) tick(k int32) (s, e int32, ok bool) {
	if k < 0 || k+w.duration > w.total {
		return 0, 0, false
	}
	s, _ = w.calendar.Last(k)
	e, ok = w.calendar.First(k + w.duration)
	return s, e, ok
}

// begun returns how many spans of c begin at or before t.
func begun(c *project.Calendar, t int32) int {
	k, found := slices.BinarySearchFunc(c.Open, t, func(s project.Span, t int32) int { return cmp.Compare(s.From, t) })
	if found {
		return k + 1
	}
	return k
}

// pieces calls yield with the spans in which a run uses u, until it is false.
func (w *way) pieces(u use, s, e int32, yield func(from, to int32) bool) {
	if !u.split {
		yield(s, e)
		return
	}
	open := w.calendar.Open
	for k := max(0, begun(w.calendar, s)-1); k < len(open) && open[k].From < e; k++ {
		if from, to := max(s, open[k].From), min(e, open[k].To); from < to && !yield(from, to) {
			return
		}
	}
}
