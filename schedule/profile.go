package schedule

import (
	"slices"
	"sort"
)

// profile is the free capacity of a resource over time as steps: free[i] from times[i] to
// times[i+1]. The first step begins at 0 and the last one, at the horizon, never ends and is
// endless in capacity, so that every question has an answer.
type profile struct{ times, free []int }

const endless = 1 << 60

func newProfile(spans []Span, horizon int) profile {
	p := profile{[]int{0}, []int{0}}
	for _, s := range spans {
		p.step(s.From, s.Capacity)
		p.step(s.To, 0)
	}
	p.step(horizon, endless)
	return p
}

// step appends a step at t, or resets the last one if it begins there.
func (p *profile) step(t, free int) {
	if last := len(p.times) - 1; p.times[last] == t {
		p.free[last] = free
		return
	}
	p.times, p.free = append(p.times, t), append(p.free, free)
}

func (p profile) clone() profile { return profile{slices.Clone(p.times), slices.Clone(p.free)} }

// turned returns the profile with t replaced by horizon - t.
func (p profile) turned(horizon int) profile {
	back := profile{[]int{0}, []int{0}}
	for i := len(p.times) - 2; i >= 0; i-- {
		back.step(horizon-p.times[i+1], p.free[i])
	}
	back.step(horizon, endless)
	return back
}

// at returns the index of the step that holds t >= 0.
func (p profile) at(t int) int { return sort.SearchInts(p.times, t+1) - 1 }

// fit returns the first start at or after t from which amount is free for d ticks.
func (p profile) fit(t, d, amount int) int {
	if d == 0 {
		return t
	}
	for i := p.at(t); ; i++ {
		switch last := i == len(p.times)-1; {
		case p.free[i] < amount:
			t = p.times[i+1]
		case last || p.times[i+1] >= t+d:
			return t
		}
	}
}

// take changes the free capacity by -amount from start to end; a negative amount gives back.
func (p *profile) take(start, end, amount int) {
	if start == end || amount == 0 {
		return
	}
	first := p.split(start)
	last := p.split(end)
	for i := first; i < last; i++ {
		p.free[i] -= amount
	}
	p.join(last)
	p.join(first)
}

// join removes step i if the one before it has the same capacity.
func (p *profile) join(i int) {
	if i > 0 && p.free[i] == p.free[i-1] {
		p.times, p.free = slices.Delete(p.times, i, i+1), slices.Delete(p.free, i, i+1)
	}
}

// split makes a step begin at t and returns its index.
func (p *profile) split(t int) int {
	i := p.at(t)
	if p.times[i] == t {
		return i
	}
	p.times = slices.Insert(p.times, i+1, t)
	p.free = slices.Insert(p.free, i+1, p.free[i])
	return i + 1
}

// area returns the capacity between from and to, in amount times ticks.
func (p profile) area(from, to int) int {
	total := 0
	for i := p.at(from); i < len(p.times) && p.times[i] < to; i++ {
		end := to
		if i+1 < len(p.times) {
			end = min(end, p.times[i+1])
		}
		total += p.free[i] * (end - max(from, p.times[i]))
	}
	return total
}
