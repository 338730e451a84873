package search

// heads returns the earliest start of every activity by the arcs alone, in the order of topo,
// and tails the least time from its start to the end of the plan.
func (w *passes) heads() []int32 {
	head := make([]int32, w.f.n)
	for _, i := range w.forward.topo {
		head[i] = w.forward.earliest(i, w.f.p.Activities[i].Earliest, head)
	}
	return head
}

func (w *passes) tails() []int32 {
	tail := make([]int32, w.f.n)
	for _, i := range w.backward.topo {
		tail[i] = w.duration[i]
		for k := w.forward.outAt[i]; k < w.forward.outAt[i+1]; k++ {
			tail[i] = max(tail[i], tail[w.forward.to[k]]+weight(w.f.arcs[w.f.out[k]], w.duration))
		}
	}
	return tail
}

// rules returns priorities, the lowest first: latest finish, latest start, least slack,
// greatest rank positional weight, most work to follow and shortest tail of energy.
func (w *passes) rules() [][]int32 {
	n := w.f.n
	head, tail := w.heads(), w.tails()
	critical := int32(0)
	for i := range n {
		critical = max(critical, head[i]+tail[i])
	}
	lft, lst, slack, grpw, mix := make([]int32, n), make([]int32, n), make([]int32, n), make([]int32, n), make([]int32, n)
	for i := range n {
		lst[i] = critical - tail[i]
		lft[i] = lst[i] + w.duration[i]
		slack[i] = lst[i] - head[i]
		mix[i] = lst[i] + lft[i]
		grpw[i] = -w.duration[i]
		for k := w.forward.outAt[i]; k < w.forward.outAt[i+1]; k++ {
			grpw[i] -= w.duration[w.forward.to[k]]
		}
	}
	return [][]int32{lft, lst, mix, slack, grpw}
}
