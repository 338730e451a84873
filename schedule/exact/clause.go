package exact

import "slices"

// watch stands in the list of the column whose rise to from makes the watched literal false.
// If other is true the clause needs no look.
type watch struct {
	from   int32
	clause int32
	other  lit
}

// clause is a disjunction in the arena; its first two literals are watched.
type clause struct {
	at, size int32
	lbd      int32   // levels among its literals when learnt; 0 for one that is kept
	use      float32 // how much recent conflicts needed it
}

// addClause adds a disjunction with no two literals on one column, at level zero. It returns
// false if that makes the problem infeasible.
func (e *engine) addClause(lits ...lit) bool {
	kept := lits[:0:0]
	for _, l := range lits {
		if e.holds(l) {
			return true
		}
		if !e.fails(l) {
			kept = append(kept, l)
		}
	}
	switch len(kept) {
	case 0:
		return false
	case 1:
		return e.set(kept[0], byNothing)
	}
	e.attach(kept, 0)
	return true
}

// attach stores a clause of at least two literals and watches the first two.
func (e *engine) attach(lits []lit, lbd int32) int32 {
	at := int32(len(e.arena))
	e.arena = append(e.arena, lits...)
	id := int32(len(e.clauses))
	e.clauses = append(e.clauses, clause{at: at, size: int32(len(lits)), lbd: lbd, use: float32(e.useStep)})
	e.watchLit(lits[0], id, lits[1])
	e.watchLit(lits[1], id, lits[0])
	return id
}

func (e *engine) watchLit(l lit, id int32, other lit) {
	n := l.not()
	s := e.shelf(n.col, n.val)
	e.watches[s] = append(e.watches[s], watch{from: n.val, clause: id, other: other})
}

// The watches of one column are sorted into lists by value, up to so many, so that a small
// rise looks at few of them. All columns share allShelves where they can.
const (
	mostShelves  = 1 << 7
	leastShelves = 1 << 3
	allShelves   = 1 << 18
)

// shelfRow is where the watches of one column stand: those that wait for value v are in list
// first + (v-low)>>shift.
type shelfRow struct {
	first, low int32
	shift      uint8
}

func (e *engine) shelf(col, v int32) int32 {
	r := &e.rows[col]
	return r.first + (v-r.low)>>r.shift
}

// addShelves makes the lists of a column with bounds from low to high.
func (e *engine) addShelves(low, high int32) {
	shift := uint8(0)
	most := min(max(allShelves/int32(len(e.p.Activities)+1), leastShelves), mostShelves)
	for (high-low)>>shift >= most {
		shift++
	}
	e.rows = append(e.rows, shelfRow{int32(len(e.watches)), low, shift})
	for range (high-low)>>shift + 1 {
		e.watches = append(e.watches, nil)
	}
}

// wakeClauses visits the clauses with a watched literal that became false when col rose from
// old to its bound.
func (e *engine) wakeClauses(col, old int32) bool {
	for s, last := e.shelf(col, old+1), e.shelf(col, e.bound[col]); s <= last; s++ {
		if len(e.watches[s]) > 0 && !e.wakeShelf(s, col, old) {
			return false
		}
	}
	return true
}

func (e *engine) wakeShelf(s, col, old int32) bool {
	ws := e.watches[s]
	now := e.bound[col]
	bound := e.bound
	keep := 0
next:
	for i := 0; i < len(ws); i++ {
		w := ws[i]
		if w.from > now || w.from <= old || bound[w.other.col] >= w.other.val {
			if keep != i {
				ws[keep] = w
			}
			keep++
			continue
		}
		c := &e.clauses[w.clause]
		lits := e.arena[c.at : c.at+c.size]
		if self := (lit{col ^ 1, 1 - w.from}); lits[0] == self {
			lits[0], lits[1] = lits[1], self
		}
		first := lits[0]
		if first != w.other && bound[first.col] >= first.val {
			ws[keep] = watch{w.from, w.clause, first}
			keep++
			continue
		}
		for k := 2; k < len(lits); k++ {
			l := lits[k]
			if -bound[l.col^1] >= l.val { // not false
				lits[1], lits[k] = l, lits[1]
				e.watchLit(l, w.clause, first)
				continue next
			}
		}
		ws[keep] = watch{w.from, w.clause, first}
		keep++
		if !e.set(first, byClause|reason(w.clause)) {
			i++
			for ; i < len(ws); i++ {
				ws[keep] = ws[i]
				keep++
			}
			e.watches[s] = ws[:keep]
			return false
		}
	}
	e.watches[s] = ws[:keep]
	return true
}

// explainClause appends what made the first literal of a clause follow.
func (e *engine) explainClause(id int32, head lit) {
	c := &e.clauses[id]
	if c.lbd > 0 {
		e.useClause(c)
	}
	for _, l := range e.arena[c.at : c.at+c.size] {
		if l.col != head.col {
			e.because = append(e.because, l.not())
		}
	}
}

func (e *engine) useClause(c *clause) {
	c.use += float32(e.useStep)
	if c.use > 1e20 {
		for i := range e.clauses {
			e.clauses[i].use *= 1e-20
		}
		e.useStep *= 1e-20
	}
}

// arenaLimit is how many literals the arena holds before clauses are forgotten: 8 bytes each,
// and about as much again for watches. Between two restarts it may grow to twice as many.
const arenaLimit = 4 << 20

// reduce forgets learnt clauses that are true for good and the less useful half of those that
// join more than two levels, or of all learnt ones if the arena is full. It must run at level zero, when no clause is a reason.
func (e *engine) reduce() {
	var learnt []int32
	for id := range e.clauses {
		if c := &e.clauses[id]; c.lbd > 2 || c.lbd > 0 && len(e.arena) > arenaLimit {
			learnt = append(learnt, int32(id))
		}
	}
	slices.SortFunc(learnt, func(a, b int32) int {
		x, y := &e.clauses[a], &e.clauses[b]
		switch {
		case x.use != y.use && x.use > y.use:
			return -1
		case x.use != y.use:
			return 1
		}
		return int(b - a)
	})
	drop := make([]bool, len(e.clauses))
	for _, id := range learnt[len(learnt)/2:] {
		drop[id] = true
	}
	e.rebuild(drop)
}

// rebuild packs the arena without the dropped and the satisfied clauses and without literals
// that are false for good.
func (e *engine) rebuild(drop []bool) {
	old, arena := e.clauses, e.arena
	e.clauses, e.arena = e.clauses[:0:0], make([]lit, 0, len(arena))
	for c := range e.watches {
		e.watches[c] = e.watches[c][:0]
	}
	e.learnt = 0
	for id, c := range old {
		if drop[id] {
			continue
		}
		if e.works(int(c.size)) {
			return // only what stops the search may follow
		}
		kept := arena[c.at : c.at : c.at+c.size]
		satisfied := false
		for _, l := range arena[c.at : c.at+c.size] {
			satisfied = satisfied || e.holds(l)
			if !e.fails(l) {
				kept = append(kept, l)
			}
		}
		// At a fixpoint a clause that is not satisfied has two literals left.
		if satisfied || len(kept) < 2 {
			continue
		}
		n := e.attach(kept, c.lbd)
		e.clauses[n].use = c.use
		if c.lbd > 0 {
			e.learnt++
		}
	}
}
