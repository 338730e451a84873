package search

import (
	"slices"

	"chablon/schedule/project"
)

// steps is the free capacity of a resource over time: free[k] from at[k] to at[k+1]. The first
// step begins at 0 and the last never ends. It grows with what is placed, not with the horizon.
type steps struct{ at, free []int32 }

func newSteps(r project.Renewable) steps {
	if len(r.Steps) == 0 {
		return steps{[]int32{0}, []int32{r.Capacity}}
	}
	var s steps
	for _, step := range r.Steps {
		if k := len(s.free); k > 0 && s.free[k-1] == step.Capacity {
			continue
		}
		s.at, s.free = append(s.at, step.From), append(s.free, step.Capacity)
	}
	return s
}

func (s *steps) copyFrom(o *steps) {
	s.at, s.free = append(s.at[:0], o.at...), append(s.free[:0], o.free...)
}

// find returns the step that holds t >= 0.
func (s *steps) find(t int32) int {
	low, high := 0, len(s.at)
	for high-low > 1 {
		if mid := int(uint(low+high) >> 1); s.at[mid] <= t {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// lack returns the first run of steps from t on and before end in which less than amount is
// free; ok is false if there is none.
func (s *steps) lack(t, end, amount int32) (from, to int32, ok bool) {
	for k := s.find(t); k < len(s.at) && s.at[k] < end; k++ {
		if s.free[k] >= amount {
			continue
		}
		from = s.at[k]
		for k++; k < len(s.at) && s.free[k] < amount; k++ {
		}
		if k == len(s.at) {
			return from, project.MaxHorizon + 1, true
		}
		return from, s.at[k], true
	}
	return 0, 0, false
}

// lackBack returns when the last run of steps from t on and before end begins in which less
// than amount is free.
func (s *steps) lackBack(t, end, amount int32) (from int32, ok bool) {
	for k := s.find(end - 1); k >= 0; k-- {
		if k+1 < len(s.at) && s.at[k+1] <= t {
			break
		}
		if s.free[k] >= amount {
			continue
		}
		for ; k > 0 && s.free[k-1] < amount; k-- {
		}
		return s.at[k], true
	}
	return 0, false
}

// take lowers what is free from start to end by amount; a negative one gives back.
func (s *steps) take(start, end, amount int32) {
	first := s.split(start)
	last := s.split(end)
	for k := first; k < last; k++ {
		s.free[k] -= amount
	}
	s.join(last)
	s.join(first)
}

func (s *steps) split(t int32) int {
	k := s.find(t)
	if s.at[k] == t {
		return k
	}
	s.at = slices.Insert(s.at, k+1, t)
	s.free = slices.Insert(s.free, k+1, s.free[k])
	return k + 1
}

func (s *steps) join(k int) {
	if k > 0 && s.free[k] == s.free[k-1] {
		s.at, s.free = slices.Delete(s.at, k, k+1), slices.Delete(s.free, k, k+1)
	}
}
