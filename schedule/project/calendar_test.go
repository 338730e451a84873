package project

import "testing"

// TestCalendar holds each method against counting, tick by tick.
func TestCalendar(t *testing.T) {
	t.Parallel()
	c := NewCalendar(Span{2, 4}, Span{5, 6}, Span{9, 13})
	open := func(t int32) bool { return t >= 2 && t < 4 || t == 5 || t >= 9 && t < 13 }
	for at := int32(0); at < 16; at++ {
		if c.Opens(at) != open(at) {
			t.Errorf("opens at %d: %v", at, c.Opens(at))
		}
		work := int32(0)
		for u := range at {
			if open(u) {
				work++
			}
		}
		if got := c.Work(at); got != work {
			t.Errorf("work before %d is %d, want %d", at, got, work)
		}
		next := at
		for next < 16 && !open(next) {
			next++
		}
		if got, ok := c.Next(at); ok != (next < 16) || ok && got != next {
			t.Errorf("next open tick from %d: %d, %v, want %d", at, got, ok, next)
		}
		for d := range int32(9) {
			want, done := at, int32(0)
			for ; want < 16 && done < d; want++ {
				if open(want) {
					done++
				}
			}
			if got, ok := c.End(at, d); ok != (d == 0 || open(at) && done == d) || ok && got != want {
				t.Errorf("%d ticks from %d end at %d, %v, want %d", d, at, got, ok, want)
			}
		}
	}
	for w := int32(-1); w < 9; w++ {
		first, last := int32(0), int32(40)
		for c.Work(first) < w && first < 40 {
			first++
		}
		for c.Work(last) > w && last >= 0 {
			last--
		}
		if got, ok := c.First(w); ok != (first < 40) || ok && got != first {
			t.Errorf("first %d: %d, %v, want %d", w, got, ok, first)
		}
		if got, ok := c.Last(w); ok != (w >= 0 && last < 40) || ok && got != last {
			t.Errorf("last %d: %d, %v, want %d", w, got, ok, last)
		}
	}
}
