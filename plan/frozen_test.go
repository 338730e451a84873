package plan_test

import (
	"testing"
	"time"

	"chablon/internal/demo"
	"chablon/plan"
)

// A freezing whose time is written is compared with what the freezer needs for it: two hours are too few for
// the demo's rings in still air and doubtful for its domes, four days are enough; computed, there is nothing to say.
func TestNotFrozenByThen(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		written time.Duration
		code    string
	}{{2 * time.Hour, "not-frozen"}, {4 * 24 * time.Hour, ""}, {0, ""}} {
		b := demo.Book(t)
		job := b.Job()
		changed := 0
		for _, o := range job.Orders {
			for _, l := range o.Lines {
				for i := range l.Assembly.Steps {
					if s := &l.Assembly.Steps[i]; s.Verb == "freeze" && c.written > 0 {
						s.Computed, s.Waiting = "", c.written
						changed++
					}
				}
			}
		}
		if c.written > 0 && changed == 0 {
			t.Fatal("the demo freezes nothing")
		}
		d := plan.Make(t.Context(), job)
		if got := d.Findings.Has("not-frozen"); got != (c.code != "") {
			t.Errorf("%v written: %v", c.written, d.Findings)
		}
		if got := d.Findings.Has("frozen-doubtful"); got != (c.code != "") { // the small domes may do it
			t.Errorf("%v written, doubtful %v: %v", c.written, got, d.Findings)
		}
	}
}
