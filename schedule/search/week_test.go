package search

import (
	"testing"
	"time"
)

func TestTuneWeek(t *testing.T) {
	for _, n := range []int{5000, 20000, 40000} {
		p, err := Week(n, 1)
		if err != nil {
			t.Fatal(err)
		}
		begin := time.Now()
		f := newFrame(p)
		t.Log(n, "frame", time.Since(begin), "words", f.words, "length", f.length, f.bounded, len(f.base))
		low := Lower(p)
		t.Log("low", low, time.Since(begin))
		w := newPasses(f)
		w.setModes(make([]int32, f.n))
		t.Log("modes", time.Since(begin))
		for _, rule := range w.rules() {
			b := time.Now()
			start := make([]int32, f.n)
			last := w.serial(&w.forward, w.byKey(&w.forward, rule, false), start, 0)
			e := time.Since(b)
			j := w.justify(start, make([]int32, f.n), last)
			t.Log("plan", last, e, "justified", j, time.Since(b))
		}
	}
}
