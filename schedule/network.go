package schedule

import "slices"

// labels are the earliest and latest times of all nodes, each with the arc that set it (-1 at
// the origin).
type labels struct {
	lb, ub       []int
	lbWhy, ubWhy []int
}

// relax computes the labels of an instance. If the arcs contradict each other, cycle is a
// closed chain of arcs whose weights sum to more than zero.
func (in *instance) relax() (l labels, cycle []int) {
	for k, a := range in.arcs {
		if a.from == a.to && a.w > 0 {
			return l, []int{k}
		}
	}
	order := in.components()
	l.lb, l.lbWhy, cycle = in.longest(order, false)
	if cycle != nil {
		return l, cycle
	}
	slices.Reverse(order)
	l.ub, l.ubWhy, cycle = in.longest(order, true)
	for v := range l.ub {
		l.ub[v] = -l.ub[v]
	}
	return l, cycle
}

// longest returns the longest path to each node from the origin, or to the origin if against.
// The components must come in the order of the walk. Arcs back into the origin close a chain
// and are looked at last.
func (in *instance) longest(order [][]int, against bool) (dist, why, cycle []int) {
	const unreached = -1 << 62
	dist, why = make([]int, 2*in.n+1), make([]int, 2*in.n+1)
	for v := range dist {
		dist[v], why[v] = unreached, -1
	}
	dist[origin] = 0
	next, head := in.out, func(a arc) int { return a.to }
	tail := func(a arc) int { return a.from }
	if against {
		next, head, tail = in.in, tail, head
	}
	push := func(u int) (changed int) {
		changed = -1
		for _, k := range next[u] {
			v := head(in.arcs[k])
			if v != origin && dist[u] > unreached && dist[u]+in.arcs[k].w > dist[v] {
				dist[v], why[v], changed = dist[u]+in.arcs[k].w, k, v
			}
		}
		return changed
	}
	push(origin)
	for _, component := range order {
		for round := 0; ; round++ {
			last := -1
			for _, u := range component {
				if v := push(u); v >= 0 {
					last = v
				}
			}
			if last < 0 || len(component) == 1 {
				break
			}
			if round >= len(component) {
				// A label still grew: its chain of causes runs into a cycle.
				for _, u := range component {
					if c := in.closed(u, why, tail); c != nil {
						return dist, why, c
					}
				}
			}
		}
	}
	best := -1
	for _, back := range [][]int{in.in[origin], in.out[origin]} {
		for _, k := range back {
			u := tail(in.arcs[k])
			if head(in.arcs[k]) != origin || dist[u]+in.arcs[k].w <= 0 {
				continue
			}
			chain := append(chainTo(u, in, why, tail), k)
			if best < 0 || len(chain) < best {
				best, cycle = len(chain), chain
			}
		}
	}
	return dist, why, cycle
}

// closed follows the causes back from v and returns the cycle they run into, nil if they reach
// the origin.
func (in *instance) closed(v int, why []int, tail func(arc) int) []int {
	seen := map[int]bool{}
	for ; v != origin && !seen[v]; v = tail(in.arcs[why[v]]) {
		seen[v] = true
		if why[v] < 0 {
			return nil
		}
	}
	if v == origin {
		return nil
	}
	var cycle []int
	for u := v; ; {
		cycle = append(cycle, why[u])
		if u = tail(in.arcs[why[u]]); u == v {
			slices.Reverse(cycle)
			return cycle
		}
	}
}

// chainTo returns the arcs that set the label of v, from the origin on.
func chainTo(v int, in *instance, why []int, tail func(arc) int) []int {
	var chain []int
	for v != origin && why[v] >= 0 && len(chain) <= len(why) {
		chain = append(chain, why[v])
		v = tail(in.arcs[why[v]])
	}
	slices.Reverse(chain)
	return chain
}

// components returns the strongly connected components of the nodes other than the origin, in
// topological order (Tarjan 1972, with the stack of calls kept by hand).
func (in *instance) components() [][]int {
	nodes := 2*in.n + 1
	index, low, at := make([]int, nodes), make([]int, nodes), make([]int, nodes)
	onStack := make([]bool, nodes)
	var stack, calls []int
	var out [][]int
	count := 0
	for root := 1; root < nodes; root++ {
		if index[root] != 0 {
			continue
		}
		calls = append(calls, root)
		for len(calls) > 0 {
			v := calls[len(calls)-1]
			if index[v] == 0 {
				count++
				index[v], low[v] = count, count
				stack, onStack[v] = append(stack, v), true
			}
			if at[v] < len(in.out[v]) {
				u := in.arcs[in.out[v][at[v]]].to
				at[v]++
				switch {
				case u == origin:
				case index[u] == 0:
					calls = append(calls, u)
				case onStack[u]:
					low[v] = min(low[v], index[u])
				}
				continue
			}
			calls = calls[:len(calls)-1]
			if len(calls) > 0 {
				parent := calls[len(calls)-1]
				low[parent] = min(low[parent], low[v])
			}
			if low[v] != index[v] {
				continue
			}
			cut := slices.Index(stack, v)
			for _, u := range stack[cut:] {
				onStack[u] = false
			}
			out = append(out, slices.Clone(stack[cut:]))
			stack = stack[:cut]
		}
	}
	slices.Reverse(out)
	return out
}
