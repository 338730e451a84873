package search

import (
	"slices"

	"chablon/schedule/project"
)

// bench is what is placed in one direction of time: labels, free capacities, runs on machines.
type bench struct {
	p     *project.Problem
	q     *points
	free  []stairs
	empty []stairs
	runs  [][]runAt // by machine

	placed     []bool
	start, end []int32
	mode       []int32
	spent      []int64 // by budget
	least      []int64 // by budget: what the unplaced use at least
	leastOf    [][]int32
}

// runAt is one run on a machine.
type runAt struct {
	activity, class, start, end int32
}

func newBench(p *project.Problem, ends []bounds) *bench {
	n := len(p.Activities)
	b := &bench{
		p: p, q: newPoints(p, ends), runs: make([][]runAt, len(p.Machines)), placed: make([]bool, n), start: make([]int32, n), end: make([]int32, n), mode: make([]int32, n),
		spent: make([]int64, len(p.Budget)), least: make([]int64, len(p.Budget)), leastOf: make([][]int32, n),
	}
	for _, r := range p.Renewable {
		b.empty = append(b.empty, newStairs(r))
	}
	b.free = make([]stairs, len(b.empty))
	if len(p.Budget) > 0 {
		for i, a := range p.Activities {
			b.leastOf[i] = make([]int32, len(p.Budget))
			for r := range p.Budget {
				least := consumed(a.Modes[0], r)
				for _, m := range a.Modes {
					least = min(least, consumed(m, r))
				}
				b.leastOf[i][r] = least
			}
		}
	}
	b.clear()
	return b
}

func consumed(m project.Mode, budget int) int32 {
	if len(m.Consume) == 0 {
		return 0
	}
	return m.Consume[budget]
}

// clear takes everything out.
func (b *bench) clear() {
	for r := range b.empty {
		b.free[r].times = append(b.free[r].times[:0], b.empty[r].times...)
		b.free[r].free = append(b.free[r].free[:0], b.empty[r].free...)
	}
	for m := range b.runs {
		b.runs[m] = b.runs[m][:0]
	}
	for r := range b.spent {
		b.spent[r], b.least[r] = 0, 0
		for i := range b.leastOf {
			b.least[r] += int64(b.leastOf[i][r])
		}
	}
	clear(b.placed)
}

// affords reports whether the budgets allow activity i mode m, with the least of all that is not
// placed yet.
func (b *bench) affords(i, m int32) bool {
	mode := b.p.Activities[i].Modes[m]
	for r, has := range b.p.Budget {
		if b.spent[r]+b.least[r]-int64(b.leastOf[i][r])+int64(consumed(mode, r)) > int64(has) {
			return false
		}
	}
	return true
}

// put places i; it must have been found to fit.
func (b *bench) put(i, m, start, end int32) {
	b.start[i], b.end[i], b.mode[i], b.placed[i] = start, end, m, true
	b.hold(i, 1)
}

// takeOut removes i.
func (b *bench) takeOut(i int32) {
	b.hold(i, -1)
	b.placed[i] = false
}

func (b *bench) hold(i, sign int32) {
	mode := &b.p.Activities[i].Modes[b.mode[i]]
	for r := range b.spent {
		b.spent[r] += int64(sign) * int64(consumed(*mode, r))
		b.least[r] -= int64(sign) * int64(b.leastOf[i][r])
	}
	if b.start[i] == b.end[i] {
		return
	}
	for r, amount := range mode.Demand {
		if amount == 0 {
			continue
		}
		b.stretches(mode, r, b.start[i], b.end[i], func(from, to int32) bool {
			b.free[r].take(from, to, sign*amount)
			return true
		})
	}
	for _, s := range mode.Stands {
		if runs := &b.runs[s.Machine]; sign > 0 {
			*runs = append(*runs, runAt{i, s.Class, b.start[i], b.end[i]})
		} else {
			k := slices.IndexFunc(*runs, func(r runAt) bool { return r.activity == i })
			last := len(*runs) - 1
			(*runs)[k] = (*runs)[last]
			*runs = (*runs)[:last]
		}
	}
}

// stretches yields the spans in which a mode from start to end holds resource r.
func (b *bench) stretches(mode *project.Mode, r int, start, end int32, yield func(from, to int32) bool) {
	if mode.Calendar == 0 || b.p.Renewable[r].Held {
		yield(start, end)
		return
	}
	for _, s := range b.p.Calendars[mode.Calendar-1].Open {
		if s.From >= end {
			return
		}
		if from, to := max(start, s.From), min(end, s.To); from < to && !yield(from, to) {
			return
		}
	}
}

// fit returns the first start from t on, up to hi, at which activity i in mode m finds what it
// takes free and ends no earlier than endLo. It is false if there is none.
func (b *bench) fit(i, m, t, hi, endLo int32) (start, end int32, ok bool) {
	mode := &b.p.Activities[i].Modes[m]
	var c *project.Calendar
	if mode.Calendar > 0 && mode.Duration > 0 {
		c = &b.p.Calendars[mode.Calendar-1]
	}
	for t <= hi {
		end := t + mode.Duration
		if c != nil {
			if t, ok = c.Next(t); !ok || t > hi {
				return 0, 0, false
			}
			if end, ok = c.End(t, mode.Duration); !ok {
				return 0, 0, false
			}
		}
		if end > b.p.Horizon {
			return 0, 0, false
		}
		next := t
		if end < endLo {
			next = later(c, t, endLo-end, end, endLo)
		}
		if mode.Duration > 0 {
			for r, amount := range mode.Demand {
				if amount == 0 {
					continue
				}
				b.stretches(mode, r, t, end, func(from, to int32) bool {
					if u, blocked := b.free[r].block(from, to, amount); blocked {
						next = max(next, u)
					}
					return true
				})
			}
			for _, s := range mode.Stands {
				next = max(next, b.aside(c, s, i, t, end))
			}
		}
		if next == t {
			return t, end, true
		}
		t = next
	}
	return 0, 0, false
}

// later moves a start so that its end, at end, comes to want or after.
func later(c *project.Calendar, t, by, end, want int32) int32 {
	if c == nil {
		return t + by
	}
	w := c.Work(t) + max(1, c.Work(want)-c.Work(end))
	if u, ok := c.Last(w); ok {
		return max(u, t+1)
	}
	return never
}

// aside returns the next start from t on that the runs on a machine could allow: t if they allow
// it.
func (b *bench) aside(c *project.Calendar, s project.Stand, i, t, end int32) int32 {
	machine, next := &b.p.Machines[s.Machine], t
	for _, o := range b.runs[s.Machine] {
		if o.activity == i {
			continue
		}
		mine, its := machine.Rule[s.Class][o.class], machine.Rule[o.class][s.Class]
		if mine&project.Apart != 0 {
			if after := o.end + machine.Gap[o.class][s.Class]; t < after && o.start < end+machine.Gap[s.Class][o.class] {
				next = max(next, after)
			}
			continue
		}
		if its&project.NoStart != 0 && o.start < t && t < o.end {
			next = max(next, o.end)
		}
		if mine&project.NoStart != 0 && t < o.start && o.start < end {
			next = max(next, o.start)
		}
		if its&project.NoEnd != 0 && o.start < end && end < o.end {
			next = max(next, min(o.end, later(c, t, o.end-end, end, o.end)))
		}
		if mine&project.NoEnd != 0 && t < o.end && o.end < end {
			next = max(next, o.end)
		}
	}
	return next
}
