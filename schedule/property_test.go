package schedule

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func draw(t *rapid.T) func(int) int {
	return func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "n") }
}

// TestCheckersAgree holds Check against the tick-by-tick checker on plans drawn at random.
func TestCheckersAgree(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := draw(t)
		m := randomModel(n, 4)
		var starts, modes []int
		for _, a := range m.activities {
			starts = append(starts, n(m.horizon+1))
			modes = append(modes, n(len(a.modes)))
		}
		got, bad := Check(m, starts, modes), naive(m, starts, modes)
		if (len(got) == 0) != (bad == "") {
			t.Fatalf("starts %v modes %v: Check %v, naive %q", starts, modes, got, bad)
		}
	})
}

// TestSolveHolds: a plan passes both checkers, is complete, and comes out the same again.
func TestSolveHolds(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := draw(t)
		m := randomModel(n, 8)
		o := Options{Work: 1000, Seed: uint64(n(9)), Early: n(2) == 0}
		res, err := Solve(t.Context(), m, o)
		if err != nil || res.Refused > 0 {
			t.Fatalf("%v, %d plans that break a rule", err, res.Refused)
		}
		if res.Status == Feasible {
			if bad := naive(m, res.Starts, res.Modes); bad != "" {
				t.Fatalf("plan %v breaks %s", res.Starts, bad)
			}
		} else if len(res.Conflict) == 0 || res.Starts != nil {
			t.Fatalf("%v: conflict %q, starts %v", res.Status, res.Conflict, res.Starts)
		}
		again, err := Solve(t.Context(), m, o)
		if d := cmp.Diff(res, again); err != nil || d != "" {
			t.Fatalf("second run differs: %v\n%s", err, d)
		}
	})
}

// TestLabels holds the longest paths by components against those over all triples of nodes
// (Floyd and Warshall), and a cycle against the sum of its weights.
func TestLabels(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := newInstance(randomModel(draw(t), 6))
		const none = -1 << 40
		size := 2*in.n + 1
		far := make([][]int, size)
		for v := range far {
			far[v] = make([]int, size)
			for u := range far[v] {
				far[v][u] = none
			}
			far[v][v] = 0
		}
		for _, a := range in.arcs {
			far[a.from][a.to] = max(far[a.from][a.to], a.w)
		}
		positive := false
		for k := range size {
			for u := range size {
				for v := range size {
					if far[u][k] > none && far[k][v] > none {
						far[u][v] = max(far[u][v], min(far[u][k]+far[k][v], 1<<20))
					}
				}
				positive = positive || far[u][u] > 0
			}
		}
		l, cycle := in.relax()
		if (cycle != nil) != positive {
			t.Fatalf("cycle %v, Floyd and Warshall say %v", cycle, positive)
		}
		if positive {
			sum := 0
			for i, k := range cycle {
				sum += in.arcs[k].w
				if next := in.arcs[cycle[(i+1)%len(cycle)]]; len(cycle) > 1 && in.arcs[k].to != next.from && in.arcs[k].from != next.to {
					t.Fatalf("arcs %v do not join", cycle)
				}
			}
			if sum <= 0 {
				t.Fatalf("the arcs %v sum to %d", cycle, sum)
			}
			return
		}
		for v := range size {
			if l.lb[v] != far[origin][v] || l.ub[v] != -far[v][origin] {
				t.Fatalf("node %d: got %d to %d, want %d to %d", v, l.lb[v], l.ub[v], far[origin][v], -far[v][origin])
			}
		}
	})
}

// TestProfile holds the steps against an array of ticks, through takings, returns and a turn.
func TestProfile(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := draw(t)
		const horizon = 20
		var ticks [horizon]int
		a, b := 1+n(9), 10+n(10)
		for i := range ticks {
			if i < a {
				ticks[i] = 3
			} else if i >= b {
				ticks[i] = 2
			}
		}
		p := newProfile([]Span{{0, a, 3}, {b, horizon, 2}}, horizon)
		for range n(12) {
			start, amount := n(horizon), n(5)-2
			end := start + n(horizon-start+1)
			p.take(start, end, amount)
			for i := start; i < end; i++ {
				ticks[i] -= amount
			}
		}
		back := p.turned(horizon)
		for i := range ticks {
			if p.free[p.at(i)] != ticks[i] || back.free[back.at(horizon-1-i)] != ticks[i] {
				t.Fatalf("tick %d: %v and %v, want %d", i, p, back, ticks[i])
			}
		}
		for i := 1; i < len(p.times); i++ {
			if p.times[i] <= p.times[i-1] {
				t.Fatalf("steps out of order: %v", p)
			}
		}
		from, d, amount := n(horizon), n(6), n(4)
		want, area := from, 0
		for run := 0; run < d && want+run < horizon; {
			if ticks[want+run] < amount {
				want, run = want+run+1, 0
			} else {
				run++
			}
		}
		if got := p.fit(from, d, amount); got != want {
			t.Fatalf("%v: fit from %d for %d of %d is %d, want %d", p, from, d, amount, got, want)
		}
		for i := from; i < from+d && i < horizon; i++ {
			area += ticks[i]
		}
		if got := p.area(from, min(from+d, horizon)); got != area {
			t.Fatalf("%v: area from %d for %d is %d, want %d", p, from, d, got, area)
		}
	})
}
