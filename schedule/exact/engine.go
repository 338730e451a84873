package exact

import (
	"context"

	"chablon/schedule/project"
)

// engine is one problem under search. Slices by column or variable grow together in newVar.
type engine struct {
	learner
	order order

	bound, root []int32 // by column
	last        []int32 // by column: its latest entry, or -1
	trail       []entry
	starts      []int32 // by level: its first entry
	head        int     // first entry not yet passed on
	clash       clash
	because     []lit
	cycle       []lit // guards of the cycle in e.clash

	clauses []clause
	arena   []lit
	watches [][]watch  // by shelf
	rows    []shelfRow // by column
	learnt  int
	useStep float64

	hops    [][]hop
	guarded []arc
	tails   [][]int32
	guards  [][]int32

	tasks     []task
	resources []resource
	uses      [][]int32 // by column: resources
	budgets   []budget
	spends    [][]int32 // by column: budgets
	dirty     []int32   // resources to look at
	broke     []int32   // budgets to look at
	blocks    []block
	events    []int64
	using     []user

	p        *project.Problem
	acts     []activity
	orders   []pairOrder
	derived  []derived
	makespan int32 // variable
	phase    []int32

	ctx   context.Context
	steps int
	ended bool // the context has ended

	// Tests look at each explanation and each learnt clause through these.
	audit       func(because []lit, head lit, why reason, pos int32)
	auditClause func([]lit)
}

// activity is how an activity of the problem stands in the engine.
type activity struct {
	start    point
	end      point
	modes    []lit // by mode: the statement that it is taken
	duration int32 // variable, or -1 if there is one duration
}

// pairOrder is the variable of two activities that never run together: 1 if i ends before j
// starts, 0 if j ends before i starts.
type pairOrder struct{ x, i, j int32 }

// derived is a variable whose value the mode of an activity decides.
type derived struct {
	x, act int32
	value  func(mode int32) int32
}

// point is a time: variable x plus off.
type point struct{ x, off int32 }

// newVar makes a variable from low to high.
func (e *engine) newVar(low, high int32) int32 {
	x := int32(len(e.phase))
	e.phase = append(e.phase, low)
	e.order.grow(low, high, len(e.p.Activities))
	for _, b := range [2]int32{low, -high} {
		e.addShelves(b, b+high-low)
		e.bound = append(e.bound, b)
		e.root = append(e.root, b)
		e.last = append(e.last, -1)
		e.need = append(e.need, absent)
		e.needAt = append(e.needAt, -1)
		e.listed = append(e.listed, 0)
		e.hops = append(e.hops, nil)
		e.tails = append(e.tails, nil)
		e.guards = append(e.guards, nil)
		e.uses = append(e.uses, nil)
		e.spends = append(e.spends, nil)
	}
	return x
}

// propagate draws all consequences, or stops short with e.ended set. It returns false with a
// conflict in e.clash.
func (e *engine) propagate() bool {
	for {
		for e.head < len(e.trail) {
			t := &e.trail[e.head]
			e.head++
			col, old := t.col, t.old
			e.wakeUses(col)
			if !e.wakeClauses(col, old) || !e.wakeArcs(col, old) {
				return false
			}
		}
		switch {
		case len(e.broke) > 0:
			b := e.broke[len(e.broke)-1]
			e.broke = e.broke[:len(e.broke)-1]
			e.budgets[b].dirty = false
			if !e.spend(b) {
				return false
			}
		case len(e.dirty) > 0:
			r := e.dirty[0]
			e.dirty = e.dirty[:copy(e.dirty, e.dirty[1:])]
			e.resources[r].dirty = false
			if !e.timetable(r) {
				return false
			}
			if e.steps++; e.steps&255 == 0 && e.ctx.Err() != nil {
				e.ended = true
				return true
			}
		default:
			return true
		}
	}
}

func (e *engine) wakeUses(col int32) {
	for _, r := range e.uses[col] {
		if !e.resources[r].dirty {
			e.resources[r].dirty = true
			e.dirty = append(e.dirty, r)
		}
	}
	for _, b := range e.spends[col] {
		if !e.budgets[b].dirty {
			e.budgets[b].dirty = true
			e.broke = append(e.broke, b)
		}
	}
}
