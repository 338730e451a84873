package search

import (
	"slices"
	"sort"

	"chablon/schedule/project"
)

// stairs is the free capacity of a resource over time in steps, for problems in which few things
// happen in a long time: free[k] from times[k] to times[k+1], the last one without end.
type stairs struct{ times, free []int32 }

func newStairs(r project.Renewable) stairs {
	if len(r.Steps) == 0 {
		return stairs{[]int32{0}, []int32{r.Capacity}}
	}
	var s stairs
	for _, step := range r.Steps {
		s.times, s.free = append(s.times, step.From), append(s.free, step.Capacity)
	}
	return s
}

// at returns the step that holds t >= 0.
func (s *stairs) at(t int32) int {
	return sort.Search(len(s.times), func(k int) bool { return s.times[k] > t }) - 1
}

// block returns the end of the last step between from and to with less than amount free, and
// false if there is none. The end of the last step of all is never.
func (s *stairs) block(from, to, amount int32) (int32, bool) {
	for k := s.at(to - 1); k >= 0; k-- {
		if s.free[k] < amount {
			if k+1 == len(s.times) {
				return never, true
			}
			return s.times[k+1], true
		}
		if s.times[k] <= from {
			break
		}
	}
	return 0, false
}

// never is later than every horizon.
const never = 1 << 30

// take changes the free capacity by -amount from start to end; a negative amount gives back.
func (s *stairs) take(start, end, amount int32) {
	if start >= end || amount == 0 {
		return
	}
	first := s.split(start)
	last := s.split(end)
	for k := first; k < last; k++ {
		s.free[k] -= amount
	}
	s.join(last)
	s.join(first)
}

// join removes step k if the one before it has the same capacity.
func (s *stairs) join(k int) {
	if k > 0 && s.free[k] == s.free[k-1] {
		s.times, s.free = slices.Delete(s.times, k, k+1), slices.Delete(s.free, k, k+1)
	}
}

// split makes a step begin at t and returns it.
func (s *stairs) split(t int32) int {
	k := s.at(t)
	if s.times[k] == t {
		return k
	}
	s.times = slices.Insert(s.times, k+1, t)
	s.free = slices.Insert(s.free, k+1, s.free[k])
	return k + 1
}
