package schedule

import (
	"cmp"
	"fmt"
	"slices"
)

// Order is what of a plan must be kept: who comes before whom on each resource, beside the lags.
// All plans that keep it hold, whatever the exact starts (a partial-order schedule), so it says
// how far each activity can move and what a delay does to the rest.
//
// Activities stay in the span of the calendars in which they are planned, and one that pauses
// stays where it is.
type Order struct {
	m       *Model
	plan    Plan
	links   []link
	out, in [][]int32 // by activity: links from and to one of its points
	lo, hi  []int     // bounds of the starts
	loWhy   []string
	hiWhy   []string
	lasts   []int // duration from start to end
	sorted  []int // activities by planned start
}

// link says: time(to) >= time(from) + w, in open ticks of hours if given.
type link struct {
	from, to Point
	w        int
	hours    HoursID
	lag      int // the caller's lag, or -1
	resource ResourceID
}

// Slack is how far the start of an activity can move while the order is kept, all others moving
// out of its way, and what keeps it from being earlier and later: in the caller's words, empty
// where nothing does.
type Slack struct {
	Earlier, Later       int
	NotEarlier, NotLater string
}

// NewOrder reads the order off a plan. An error says that the plan breaks the model, and how.
//
// Units of a resource are handed on in the manner of Policella, Smith, Cesta and Oddi,
// "Generating robust schedules through temporal flexibility", ICAPS 2004 (from memory): each
// activity takes over from those it already follows, and otherwise from those that ended last.
func NewOrder(m *Model, plan Plan) (*Order, error) {
	if broken := Check(m, plan.Starts, plan.Modes); len(broken) > 0 {
		return nil, fmt.Errorf("schedule: the plan breaks the model: %s", broken[0].Text)
	}
	n := len(m.activities)
	o := &Order{m: m, plan: plan, out: make([][]int32, n), in: make([][]int32, n), lo: make([]int, n), hi: make([]int, n), loWhy: make([]string, n), hiWhy: make([]string, n), lasts: make([]int, n)}
	for i := range n {
		o.sorted = append(o.sorted, i)
		end, _ := m.endOf(o.mode(i), plan.Starts[i])
		o.lasts[i] = end - plan.Starts[i]
		o.bound(i)
	}
	slices.SortStableFunc(o.sorted, func(a, b int) int { return cmp.Compare(plan.Starts[a], plan.Starts[b]) })
	for k, l := range m.lags {
		if l.most {
			o.link(link{from: l.to, to: l.from, w: -l.w, hours: l.hours, lag: k})
		} else {
			o.link(link{from: l.from, to: l.to, w: l.w, hours: l.hours, lag: k})
		}
	}
	for r := range m.resources {
		o.hand(ResourceID(r))
		o.keepApart(ResourceID(r))
	}
	return o, nil
}

func (o *Order) mode(i int) *Mode { return &o.m.activities[i].modes[o.plan.Modes[i]] }

func (o *Order) link(l link) {
	k := int32(len(o.links))
	o.links = append(o.links, l)
	o.out[l.from.Activity] = append(o.out[l.from.Activity], k)
	o.in[l.to.Activity] = append(o.in[l.to.Activity], k)
}

// bound sets what bounds the start of i alone.
func (o *Order) bound(i int) {
	m, a, start := o.m, &o.m.activities[i], o.plan.Starts[i]
	o.lo[i], o.hi[i] = 0, m.horizon-o.lasts[i]
	o.loWhy[i] = m.causeWords(cause{causeOpening, i})
	o.hiWhy[i] = m.causeWords(cause{causeHorizon, i})
	if a.released {
		o.raise(i, a.release, func() string { return m.causeWords(cause{causeRelease, i}) })
	}
	if a.dueSet {
		o.lower(i, a.due-o.lasts[i], func() string { return m.causeWords(cause{causeDue, i}) })
	}
	if a.pinned {
		why := func() string { return m.causeWords(cause{causePin, i}) }
		o.raise(i, a.pin, why)
		o.lower(i, a.pin, why)
	}
	mode := o.mode(i)
	if mode.Pauses == 0 || mode.Duration == 0 {
		return
	}
	hours := m.hours[mode.Pauses-1]
	why := func() string { return fmt.Sprintf("%q pauses and stays where it is", a.name) }
	from, to := start, start+o.lasts[i]
	for _, s := range hours.open {
		if s.From <= start && start+o.lasts[i] <= s.To {
			from, to = s.From, s.To
			why = func() string { return fmt.Sprintf("%q stays within the hours %q", a.name, hours.name) }
		}
	}
	o.raise(i, from, why)
	o.lower(i, to-o.lasts[i], why)
}

func (o *Order) raise(i, t int, why func() string) {
	if t >= o.lo[i] {
		o.lo[i], o.loWhy[i] = t, why()
	}
}

func (o *Order) lower(i, t int, why func() string) {
	if t <= o.hi[i] {
		o.hi[i], o.hiWhy[i] = t, why()
	}
}

// holder has some units of a resource until a time: an activity that moves, or what does not, for
// which activity is -1: nobody, a closed span, or one that pauses.
type holder struct {
	activity, amount, until int
	pausing                 int // an activity that pauses, or -1
}

// hand passes the units of r on from one activity to the next. Where the calendar has fewer than
// the most, a closed span holds the rest, and nothing moves across it.
func (o *Order) hand(r ResourceID) {
	res := &o.m.resources[r]
	most := 0
	for _, s := range res.spans {
		most = max(most, s.Capacity)
	}
	type taking struct {
		holder
		from int
	}
	var all []taking
	closed := func(from, to, amount int) { all = append(all, taking{holder{-1, amount, to, -1}, from}) }
	at := 0
	for _, s := range res.spans {
		closed(at, s.From, most)
		closed(s.From, s.To, most-s.Capacity)
		at = s.To
	}
	closed(at, o.m.horizon, most)
	for i := range o.plan.Starts {
		for _, d := range o.mode(i).Demands {
			if d.Resource != r || d.Amount == 0 {
				continue
			}
			who := holder{activity: i, amount: d.Amount, pausing: -1}
			if o.lasts[i] > o.mode(i).Duration {
				who.activity, who.pausing = -1, i
			}
			for _, s := range o.m.held(r, o.mode(i), o.plan.Starts[i], o.plan.Starts[i]+o.lasts[i]) {
				who.until = s.To
				all = append(all, taking{who, s.From})
			}
		}
	}
	all = slices.DeleteFunc(all, func(t taking) bool { return t.from >= t.until || t.amount == 0 })
	slices.SortStableFunc(all, func(a, b taking) int { return cmp.Compare(a.from, b.from) })
	holders := []holder{{-1, most, 0, -1}}
	for _, t := range all {
		follows := func(h holder) bool { return h.activity >= 0 && t.activity >= 0 && o.linked(h.activity, t.activity) }
		slices.SortStableFunc(holders, func(a, b holder) int {
			if fa, fb := follows(a), follows(b); fa != fb {
				if fa {
					return -1
				}
				return 1
			}
			return cmp.Compare(b.until, a.until)
		})
		left := t.amount
		var next []holder
		for _, h := range holders {
			take := 0
			if h.until <= t.from {
				take = min(left, h.amount)
			}
			if left -= take; take > 0 {
				o.follow(h, t.holder, t.from, r)
			}
			if h.amount > take {
				h.amount -= take
				next = append(next, h)
			}
		}
		holders = append(next, t.holder)
	}
}

// follow says that some units of r go from one holder to the next, which has them from a time on.
func (o *Order) follow(h, next holder, from int, r ResourceID) {
	stands := func(h holder, calendar string, t int) string {
		if h.pausing >= 0 {
			return fmt.Sprintf("%q has %q, which stays where it is, at %s", o.m.resources[r].name, o.m.activities[h.pausing].name, o.m.at(t))
		}
		return fmt.Sprintf("%q %s at %s", o.m.resources[r].name, calendar, o.m.at(t))
	}
	switch {
	case h.activity >= 0 && next.activity >= 0:
		if !o.linked(h.activity, next.activity) {
			o.link(link{from: End(ActivityID(h.activity)), to: Start(ActivityID(next.activity)), lag: -1, resource: r})
		}
	case next.activity >= 0 && h.until > 0:
		o.raise(next.activity, h.until, func() string { return stands(h, "opens", h.until) })
	case h.activity >= 0:
		o.lower(h.activity, from-o.lasts[h.activity], func() string { return stands(next, "closes", from) })
	}
}

// linked reports whether the end of a is before the start of b by a link already.
func (o *Order) linked(a, b int) bool {
	return slices.ContainsFunc(o.in[b], func(k int32) bool {
		l := o.links[k]
		return int(l.from.Activity) == a && l.from.End && !l.to.End && l.w >= 0
	})
}

// keepApart keeps the order of every two runs on r that bands, families or doors keep apart.
func (o *Order) keepApart(r ResourceID) {
	res := &o.m.resources[r]
	type run struct {
		i int
		class
	}
	var runs []run
	plain := true
	for _, i := range o.sorted {
		for _, d := range o.mode(i).Demands {
			if d.Resource == r && o.lasts[i] > 0 {
				runs = append(runs, run{i, classOf(d)})
				plain = plain && classOf(d) == class{}
			}
		}
	}
	if plain {
		return
	}
	before := func(p, q Point, gap int) { o.link(link{from: p, to: q, w: gap, lag: -1, resource: r}) }
	for k, b := range runs {
		for _, a := range runs[:k] {
			if gap, apart := res.between(a.class, b.class); apart {
				before(End(ActivityID(a.i)), Start(ActivityID(b.i)), gap)
				continue
			}
			for _, pair := range [2][2]run{{a, b}, {b, a}} {
				x, y := ActivityID(pair[0].i), ActivityID(pair[1].i)
				start, end := o.plan.Starts[x], o.plan.Starts[x]+o.lasts[x]
				if pair[0].door&NoEntry != 0 {
					if o.plan.Starts[y] <= start {
						before(Start(y), Start(x), 0)
					} else {
						before(End(x), Start(y), 0)
					}
				}
				if pair[0].door&NoExit != 0 {
					if o.plan.Starts[y]+o.lasts[y] >= end {
						before(End(x), End(y), 0)
					} else {
						before(End(y), Start(x), 0)
					}
				}
			}
		}
	}
}

// offset is from the start of an activity to a point.
func (o *Order) offset(p Point) int {
	if p.End {
		return o.lasts[p.Activity]
	}
	return 0
}

// push returns the least start that a link leaves to its head when its tail starts at t.
func (o *Order) push(l *link, t int) int {
	t += o.offset(l.from)
	if l.hours == 0 {
		return t + l.w - o.offset(l.to)
	}
	return o.m.firstOpen(l.hours, o.m.openTicks(l.hours, t)+l.w) - o.offset(l.to)
}

// pull returns the greatest start that a link leaves to its tail when its head starts at t.
func (o *Order) pull(l *link, t int) int {
	t += o.offset(l.to)
	if l.hours == 0 {
		return t - l.w - o.offset(l.from)
	}
	return o.m.lastOpen(l.hours, o.m.openTicks(l.hours, t)-l.w) - o.offset(l.from)
}

// firstOpen returns the first time before which w ticks of the hours are open, MaxTick if they
// have fewer.
func (m *Model) firstOpen(h HoursID, w int) int {
	if w <= 0 {
		return 0
	}
	for _, s := range m.hours[h-1].open {
		if w <= s.To-s.From {
			return s.From + w
		}
		w -= s.To - s.From
	}
	return MaxTick
}

// lastOpen returns the last time before which w ticks of the hours are open or fewer, MaxTick
// if they never have more, -1 if w is negative.
func (m *Model) lastOpen(h HoursID, w int) int {
	if w < 0 {
		return -1
	}
	for _, s := range m.hours[h-1].open {
		if w < s.To-s.From {
			return s.From + w
		}
		w -= s.To - s.From
	}
	return MaxTick
}

// Earliest returns the earliest starts that keep the order.
func (o *Order) Earliest() []int { s, _ := o.earliest(); return s }

// Latest returns the latest starts that keep the order.
func (o *Order) Latest() []int { s, _ := o.latest(); return s }

// earliest also returns the link that sets each start, or -1.
func (o *Order) earliest() (starts []int, why []int32) {
	return o.spread(o.lo, o.out, func(l *link, t int) (Point, int) { return l.to, o.push(l, t) }, func(a, b int) bool { return a > b })
}

func (o *Order) latest() (starts []int, why []int32) {
	return o.spread(o.hi, o.in, func(l *link, t int) (Point, int) { return l.from, o.pull(l, t) }, func(a, b int) bool { return a < b })
}

// spread carries bounds along links to a fixed point. It ends since the plan itself keeps every
// bound.
func (o *Order) spread(bounds []int, next [][]int32, carry func(*link, int) (Point, int), tighter func(a, b int) bool) (starts []int, why []int32) {
	starts, why = slices.Clone(bounds), make([]int32, len(bounds))
	queued := make([]bool, len(bounds))
	for i := range why {
		why[i], queued[i] = -1, true
	}
	queue := slices.Clone(o.sorted)
	for len(queue) > 0 {
		i := queue[0]
		queue, queued[i] = queue[1:], false
		for _, k := range next[i] {
			p, t := carry(&o.links[k], starts[i])
			j := int(p.Activity)
			if !tighter(t, starts[j]) {
				continue
			}
			starts[j], why[j] = t, k
			if !queued[j] {
				queue, queued[j] = append(queue, j), true
			}
		}
	}
	return starts, why
}

// Slack returns how far every start can move and why no further.
func (o *Order) Slack() []Slack {
	early, earlyWhy := o.earliest()
	late, lateWhy := o.latest()
	out := make([]Slack, len(early))
	for i := range out {
		out[i] = Slack{
			Earlier: o.plan.Starts[i] - early[i], Later: late[i] - o.plan.Starts[i],
			NotEarlier: o.loWhy[i], NotLater: o.hiWhy[i],
		}
		if k := earlyWhy[i]; k >= 0 {
			out[i].NotEarlier = o.linkWords(&o.links[k])
		}
		if k := lateWhy[i]; k >= 0 {
			out[i].NotLater = o.linkWords(&o.links[k])
		}
	}
	return out
}

func (o *Order) linkWords(l *link) string {
	if l.lag >= 0 {
		return o.m.lagWords(o.m.lags[l.lag])
	}
	from, to := o.m.activities[l.from.Activity].name, o.m.activities[l.to.Activity].name
	text := fmt.Sprintf("%q goes from %q to %q", o.m.resources[l.resource].name, from, to)
	if l.w > 0 {
		text += fmt.Sprintf(", which takes %s", o.m.long(l.w))
	}
	return text
}
