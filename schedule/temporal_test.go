package schedule

import (
	"testing"

	"pgregory.net/rapid"
)

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
