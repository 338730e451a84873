package exact

// budget bounds the sum of variables, the consumptions of one non-renewable resource.
type budget struct {
	vars  []int32
	limit int64
	dirty bool
}

// spend keeps each consumption within what the least of all others leaves.
func (e *engine) spend(b int32) bool {
	bud := &e.budgets[b]
	left := bud.limit
	for _, x := range bud.vars {
		left -= int64(e.lower(x))
	}
	if left < 0 {
		e.clash = clash{nowhere, byBudget | reason(b)<<32}
		return false
	}
	for _, x := range bud.vars {
		if most := int64(e.lower(x)) + left; int64(e.upper(x)) > most {
			if !e.set(atMost(x, int32(most)), byBudget|reason(b)<<32) {
				return false
			}
		}
	}
	return true
}

// explainBudget appends what the others consume at least, lowered where less is enough.
func (e *engine) explainBudget(head lit, why reason, pos int32) {
	bud := &e.budgets[why>>32&0xffffff]
	self := int32(-1)
	slack := -bud.limit - 1
	if head != nowhere {
		self = head.col >> 1
		slack += int64(1 - head.val) // were the head false, it would consume as much
	}
	for _, x := range bud.vars {
		if x != self {
			slack += int64(e.at(2*x, pos))
		}
	}
	for _, x := range bud.vars {
		if x == self {
			continue
		}
		v := e.at(2*x, pos)
		less := min(slack, int64(v-e.root[2*x]))
		slack -= less
		e.because = append(e.because, lit{2 * x, v - int32(less)})
	}
}
