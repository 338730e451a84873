package exact

// learner holds what the analysis of one conflict needs. A conflict is a set of statements that
// cannot hold together; on each column only the strongest counts.
type learner struct {
	need    []int32 // by column: the value that the conflict needs, or absent
	needAt  []int32 // by column: the entry that made it true
	touched []int32 // columns with a need
	front   int32   // first entry of the level under analysis
	open    int     // needs at that level
	clause  []lit
	listed  []int32 // by column: stamp of the last clause that has it
	failed  []int32 // by entry: stamp of the last clause in which it could not be left out
	levels  []int32 // by level: stamp
	stamp   int32
}

// because of a statement: appends to e.because statements that held when the trail had pos
// entries and from which head follows.
func (e *engine) explain(head lit, why reason, pos int32) {
	if e.audit != nil {
		first := len(e.because)
		defer func() { e.audit(e.because[first:], head, why, pos) }()
	}
	switch why & kindMask {
	case byClause:
		e.explainClause(int32(why&^kindMask), head)
	case byTimetable:
		e.explainTimetable(head, why, pos)
	case byCycle:
		e.because = append(e.because, e.cycle...)
	case byLinear:
		e.explainLinear(head, why, pos)
	case byCost:
		e.explainCost(head, why, pos)
	default:
		e.explainArcs(head, why, pos)
	}
}

// effortOf is about how much work it is to explain a reason.
func (e *engine) effortOf(why reason) int {
	switch why & kindMask {
	case byTimetable:
		return 4 * len(e.resources[e.tasks[why>>32&0xffffff].resource].tasks)
	case byLinear:
		return 4 * len(e.linears[why>>32&0xffffff].terms)
	}
	return 4
}

// require adds a statement, true on the trail, to the conflict.
func (e *engine) require(l lit) {
	if l.val <= e.need[l.col] {
		return
	}
	k := e.entryOf(l)
	if k < 0 {
		return
	}
	switch {
	case e.need[l.col] == absent:
		e.touched = append(e.touched, l.col)
		if k >= e.front {
			e.open++
		}
	case k >= e.front && e.needAt[l.col] < e.front:
		e.open++
	}
	e.need[l.col], e.needAt[l.col] = l.val, k
	e.order.bump(l)
}

// learn turns the conflict in e.clash into a clause that is false, goes back to where the clause
// says something new, and sets that. It returns false if the problem has no solution.
func (e *engine) learn() bool {
	e.because = e.because[:0]
	e.explain(e.clash.head, e.clash.why, int32(len(e.trail)))
	if e.clash.head != nowhere {
		e.because = append(e.because, e.clash.head.not())
	}
	// A deduction may come late: the conflict can lie below the present level.
	deepest := int32(0)
	for _, l := range e.because {
		if k := e.entryOf(l); k >= 0 {
			deepest = max(deepest, e.trail[k].level)
		}
	}
	if deepest == 0 {
		return false
	}
	e.backTo(deepest)
	e.front, e.open = e.starts[deepest-1], 0
	for _, l := range e.because {
		e.require(l)
	}
	uip := e.resolve()
	if e.ended {
		return true
	}
	e.shorten(uip)
	if e.auditClause != nil {
		e.auditClause(e.clause)
	}
	e.assert(uip)
	for _, c := range e.touched {
		e.need[c] = absent
	}
	e.touched = e.touched[:0]
	return true
}

// resolve replaces needs of the present level by their reasons, latest first, until one is left:
// the first unique implication point. Entries are taken back on the way, so that explanations
// see the bounds as they were.
func (e *engine) resolve() lit {
	for {
		t := &e.trail[len(e.trail)-1]
		c, v := t.col, e.need[t.col]
		if v <= t.old { // absent or made true earlier
			e.pop()
			continue
		}
		if e.open == 1 {
			return lit{c, v}
		}
		why := t.reason
		if e.works(e.effortOf(why)) {
			return nowhere
		}
		e.open--
		e.need[c] = absent
		e.pop()
		e.because = e.because[:0]
		e.explain(lit{c, v}, why, int32(len(e.trail)))
		for _, l := range e.because {
			e.require(l)
		}
	}
}

// shorten collects the clause from the needs, less those that follow from earlier ones.
func (e *engine) shorten(uip lit) {
	e.stamp++
	e.clause = append(e.clause[:0], uip.not())
	for len(e.failed) < len(e.trail) {
		e.failed = append(e.failed, 0)
	}
	for _, c := range e.touched {
		// A column can stand in touched twice.
		if e.need[c] == absent || c == uip.col || e.listed[c] == e.stamp {
			continue
		}
		e.listed[c] = e.stamp
		k := e.needAt[c]
		e.because = e.because[:0]
		if why := e.trail[k].reason; why != byNothing && e.redundant(lit{c, e.need[c]}, k, k, 0) {
			continue
		}
		e.clause = append(e.clause, lit{c, e.need[c]}.not())
	}
}

const shortenDepth = 12

// redundant reports whether l, made true by entry k, follows from needs made true before entry
// limit. The order by entries keeps two needs from vouching for each other.
func (e *engine) redundant(l lit, k, limit int32, depth int) bool {
	why := e.trail[k].reason
	if why == byNothing || depth > shortenDepth || e.failed[k] == e.stamp {
		return false
	}
	base := len(e.because)
	if e.works(e.effortOf(why)) {
		return false
	}
	e.explain(l, why, k)
	for i := base; i < len(e.because); i++ {
		q := e.because[i]
		if e.need[q.col] >= q.val && e.needAt[q.col] < limit {
			continue
		}
		kk := e.entryOf(q)
		if kk < 0 {
			continue
		}
		if !e.redundant(q, kk, limit, depth+1) {
			e.failed[k] = e.stamp
			e.because = e.because[:base]
			return false
		}
	}
	e.because = e.because[:base]
	return true
}

// assert stores the clause, goes back to the deepest level but one of its literals and sets the
// first literal.
func (e *engine) assert(uip lit) {
	if len(e.clause) == 1 {
		e.backTo(0)
		e.set(uip.not(), byNothing)
		return
	}
	second, back := 1, int32(0)
	lbd := int32(1)
	for i, l := range e.clause[1:] {
		level := e.trail[e.needAt[l.col^1]].level
		if level > back {
			second, back = i+1, level
		}
		for int(level) >= len(e.levels) {
			e.levels = append(e.levels, 0)
		}
		if e.levels[level] != e.stamp {
			e.levels[level] = e.stamp
			lbd++
		}
	}
	e.clause[1], e.clause[second] = e.clause[second], e.clause[1]
	e.backTo(back)
	id := e.attach(e.clause, lbd)
	e.learnt++
	e.set(uip.not(), byClause|reason(id))
}
