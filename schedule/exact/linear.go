package exact

// linear bounds a weighted sum of columns: the consumption of a budget, how late a delay is, or
// what a goal comes to.
type linear struct {
	terms []term
	limit int64
	dirty bool
}

// term is a column, that is a variable or its negation, with a weight above zero.
type term struct {
	col    int32
	weight int64
}

// addLinear posts that the sum of the terms is at most limit. It returns false if it cannot be.
func (e *engine) addLinear(terms []term, limit int64) bool {
	if len(terms) == 0 {
		return limit >= 0
	}
	id := int32(len(e.linears))
	for _, t := range terms {
		e.sums[t.col] = append(e.sums[t.col], id)
	}
	e.linears = append(e.linears, linear{terms, limit, true})
	e.broke = append(e.broke, id)
	return true
}

// sum keeps each term within what the least of all others leaves.
func (e *engine) sum(id int32) bool {
	lin := &e.linears[id]
	left := lin.limit
	for _, t := range lin.terms {
		left -= t.weight * int64(e.bound[t.col])
	}
	why := byLinear | reason(id)<<32
	if left < 0 {
		e.clash = clash{nowhere, why}
		return false
	}
	for _, t := range lin.terms {
		if most := int64(e.bound[t.col]) + left/t.weight; int64(e.bound[t.col^1]) < -most {
			if !e.set(lit{t.col ^ 1, int32(-most)}, why) {
				return false
			}
		}
	}
	return true
}

// explainLinear appends what the other terms come to at least, lowered where less is enough.
func (e *engine) explainLinear(head lit, why reason, pos int32) {
	lin := &e.linears[why>>32&0xffffff]
	self := int32(-1)
	slack := -lin.limit - 1
	for _, t := range lin.terms {
		if head != nowhere && t.col == head.col^1 {
			self = t.col
			slack += t.weight * int64(1-head.val) // were the head false, it would be as much
			continue
		}
		slack += t.weight * int64(e.at(t.col, pos))
	}
	for _, t := range lin.terms {
		if t.col == self {
			continue
		}
		v := e.at(t.col, pos)
		less := min(slack/t.weight, int64(v)-int64(e.root[t.col]))
		slack -= less * t.weight
		e.because = append(e.because, lit{t.col, v - int32(less)})
	}
}
