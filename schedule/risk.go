package schedule

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
)

// RiskOptions steer Risk.
type RiskOptions struct {
	// Samples is how often the plan is carried out: 1 to MaxSamples, 0 means 1,000.
	Samples int
	Seed    uint64
	// Duration returns how long the work of an activity takes, in ticks, where u runs from 0 to
	// below 1: the quantile function of its law. Nil leaves every duration as planned.
	Duration func(a ActivityID, u float64) int
	// Eager starts each activity as soon as it can be. Otherwise none starts before its time in
	// the plan, as people do who keep to a sheet.
	Eager bool
}

// MaxSamples bounds RiskOptions.Samples.
const MaxSamples = 1_000_000

// Risk is what may become of a plan when durations vary and the order is kept: shares of the
// samples, from 0 to 1, by activity.
type Risk struct {
	Samples int
	// Late is how often the activity ended after its due time, Beyond how often in time but after
	// the span of hours, or of a calendar, in which it was planned.
	Late, Beyond []float64
	// Critical is how often it was on the chain that decided the last end.
	Critical []float64
	// Broken is how often each lag was broken, in the order in which the lags were given: of those
	// that say "at least" only such as go in a circle can be.
	Broken []float64
	// Ends are the planned ends, and Median and High ends of half and of 95 in 100 samples.
	Ends, Median, High []int
	// AllKept is how often every due time, calendar and lag was kept.
	AllKept float64
}

// Risk carries the plan out many times. The same options give the same figures. When ctx ends
// it returns its error.
func (o *Order) Risk(ctx context.Context, opt RiskOptions) (Risk, error) {
	if opt.Samples == 0 {
		opt.Samples = 1000
	}
	if opt.Samples < 1 || opt.Samples > MaxSamples {
		return Risk{}, fmt.Errorf("schedule: %d samples were asked for: give 1 to %d", opt.Samples, MaxSamples)
	}
	n := len(o.plan.Starts)
	r := Risk{
		Samples: opt.Samples, Late: make([]float64, n), Beyond: make([]float64, n), Critical: make([]float64, n),
		Broken: make([]float64, len(o.m.lags)), Ends: make([]int, n), Median: make([]int, n), High: make([]int, n),
	}
	run := o.newRun()
	ends := make([][]int, n)
	rng := rand.New(rand.NewPCG(opt.Seed, 2))
	for s := range opt.Samples {
		if s%16 == 0 && ctx.Err() != nil {
			return Risk{}, fmt.Errorf("schedule: stopped after %d of %d samples: %w", s, opt.Samples, ctx.Err())
		}
		run.draw(rng, opt)
		run.carryOut(opt.Eager)
		if run.score(&r) {
			r.AllKept++
		}
		for i := range n {
			ends[i] = append(ends[i], run.start[i]+run.lasts[i])
		}
	}
	all := float64(opt.Samples)
	for _, shares := range [][]float64{r.Late, r.Beyond, r.Critical, r.Broken} {
		for i := range shares {
			shares[i] /= all
		}
	}
	r.AllKept /= all
	for i := range n {
		slices.Sort(ends[i])
		r.Ends[i] = o.plan.Starts[i] + o.lasts[i]
		r.Median[i], r.High[i] = ends[i][opt.Samples/2], ends[i][min(opt.Samples-1, opt.Samples*95/100)]
	}
	return r, nil
}

// run is one carrying out of a plan.
type run struct {
	Order           // with the durations drawn
	forward  []bool // by link: it makes its head wait for its tail
	deadline []int  // by activity: latest end that its due time allows
	beyond   []int  // by activity: latest end that its calendars allow
	start    []int
	why      []int32 // by activity: the link that set its start, or -1
	steps    []step
}

// step is one activity in the order of carrying out, with the links that it waits for.
type step struct {
	activity int
	links    []int32
}

func (o *Order) newRun() *run {
	n := len(o.plan.Starts)
	r := &run{Order: *o, forward: make([]bool, len(o.links)), deadline: make([]int, n), beyond: make([]int, n), start: make([]int, n), why: make([]int32, n)}
	r.lasts = slices.Clone(o.lasts)
	for i, a := range o.m.activities {
		r.beyond[i], r.deadline[i] = o.hi[i]+o.lasts[i], MaxTick
		if a.dueSet {
			r.deadline[i] = a.due
		}
	}
	for k, l := range o.links {
		most := l.lag >= 0 && o.m.lags[l.lag].most
		r.forward[k] = !most && l.w >= 0 && l.from.Activity != l.to.Activity
	}
	r.arrange()
	return r
}

// arrange orders the activities so that each comes after those it waits for. Where links of no
// length go in a circle, the plan's own order decides and the link against it is only watched.
func (r *run) arrange() {
	waits := make([]int, len(r.plan.Starts))
	for k, l := range r.links {
		if r.forward[k] {
			waits[l.to.Activity]++
		}
	}
	done := make([]bool, len(waits))
	left := slices.Clone(r.sorted)
	for len(left) > 0 {
		k := max(0, slices.IndexFunc(left, func(i int) bool { return waits[i] == 0 }))
		i := left[k]
		left, done[i] = slices.Delete(left, k, k+1), true
		s := step{activity: i}
		for _, k := range r.in[i] {
			if r.forward[k] = r.forward[k] && done[r.links[k].from.Activity]; r.forward[k] {
				s.links = append(s.links, k)
			}
		}
		for _, k := range r.out[i] {
			if r.forward[k] {
				waits[r.links[k].to.Activity]--
			}
		}
		r.steps = append(r.steps, s)
	}
}

func (r *run) draw(rng *rand.Rand, opt RiskOptions) {
	for i := range r.lasts {
		u := rng.Float64()
		if opt.Duration == nil {
			continue
		}
		// What is added to the work is added to the whole, pauses and all.
		planned := r.mode(i).Duration
		pauses := r.Order.plan.Ends[i] - r.plan.Starts[i] - planned
		r.lasts[i] = min(max(0, opt.Duration(ActivityID(i), u)), MaxTick) + pauses
	}
}

// carryOut starts each activity when all that it waits for allows.
func (r *run) carryOut(eager bool) {
	for _, s := range r.steps {
		i := s.activity
		t := r.plan.Starts[i]
		if eager {
			t = r.lo[i]
		}
		r.why[i] = -1
		for _, k := range s.links {
			l := &r.links[k]
			if u := r.push(l, r.start[l.from.Activity]); u > t {
				t, r.why[i] = u, k
			} else if u == t && r.why[i] < 0 {
				r.why[i] = k
			}
		}
		r.start[i] = min(t, MaxTick)
	}
}

// score counts what was not kept and the chain that ended last, and reports whether all was kept.
func (r *run) score(to *Risk) bool {
	kept, last := true, -1
	for i, t := range r.start {
		end := t + r.lasts[i]
		if end > r.deadline[i] {
			to.Late[i]++
			kept = false
		}
		if end > r.beyond[i] && end <= r.deadline[i] {
			to.Beyond[i]++
			kept = false
		}
		if last < 0 || end > r.start[last]+r.lasts[last] {
			last = i
		}
	}
	for i := last; i >= 0; {
		to.Critical[i]++
		k := r.why[i]
		if k < 0 {
			break
		}
		i = int(r.links[k].from.Activity)
	}
	at := func(p Point, h HoursID) int {
		t := r.start[p.Activity] + r.offset(p)
		if h > 0 {
			t = r.m.openTicks(h, t)
		}
		return t
	}
	for k, l := range r.m.lags {
		if gap := at(l.to, l.hours) - at(l.from, l.hours); l.most && gap > l.w || !l.most && gap < l.w {
			to.Broken[k]++
			kept = false
		}
	}
	return kept
}
