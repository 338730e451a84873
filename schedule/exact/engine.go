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
	bends   []bend

	tasks     []task
	resources []resource
	uses      [][]int32 // by column: resources
	linears   []linear
	sums      [][]int32 // by column: linears
	costs     []cost
	prices    [][]int32 // by column: costs
	dirty     []int32   // resources to look at
	broke     []int32   // linears to look at
	dear      []int32   // costs to look at
	blocks    []block
	events    []int64
	using     []user

	p         *project.Problem
	acts      []activity
	orders    []pairOrder
	choices   []pairChoice
	derived   []derived
	copies    []pointCopy
	stands    [][]stand // by machine
	room      int       // choices posed for rules of machines at once
	lazy      bool      // some are left out
	hinges    []hinge
	makespans []int32
	tariffs   map[tariff]*price
	hopeful   []int32 // variables of costs: searched for small values
	goal      int32   // the variable to make small
	clipped   bool    // plans of more than MaxValue are left out
	huge      bool    // sums of a goal may not fit into 64 bits
	phase     []int32

	ctx    context.Context
	effort int
	ended  bool // the context has ended

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

// pointCopy is a variable equal to a point.
type pointCopy struct {
	x  int32
	of point
}

// hinge is the variable of a delay.
type hinge struct {
	x int32
	project.Gap
}

// derived is a variable whose value the mode of an activity decides.
type derived struct {
	x, act int32
	value  func(mode int32) int32
}

// nought is a variable that is always 0.
const nought = 0

var (
	always = atLeast(nought, 0)
	never  = atLeast(nought, 1)
)

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
		e.sums = append(e.sums, nil)
		e.prices = append(e.prices, nil)
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
			if e.works(4) {
				return true
			}
		}
		switch {
		case len(e.broke) > 0:
			id := pop(&e.broke)
			e.linears[id].dirty = false
			if !e.sum(id) {
				return false
			}
			e.works(len(e.linears[id].terms))
		case len(e.dear) > 0:
			id := pop(&e.dear)
			e.costs[id].dirty = false
			if !e.price(id) {
				return false
			}
			e.works(10)
		case len(e.dirty) > 0:
			r := e.dirty[0]
			e.dirty = e.dirty[:copy(e.dirty, e.dirty[1:])]
			e.resources[r].dirty = false
			if !e.timetable(r) {
				return false
			}
			e.works(8 * len(e.resources[r].tasks))
		default:
			return true
		}
		if e.ended {
			return true
		}
	}
}

func pop(list *[]int32) int32 {
	last := len(*list) - 1
	id := (*list)[last]
	*list = (*list)[:last]
	return id
}

// patience is how much work is done between two looks at the context: about a millisecond.
const patience = 1 << 15

// works counts work and reports whether the context has ended.
func (e *engine) works(amount int) bool {
	if e.effort += amount; e.effort >= patience {
		e.effort = 0
		e.ended = e.ended || e.ctx.Err() != nil
	}
	return e.ended
}

func (e *engine) wakeUses(col int32) {
	for _, r := range e.uses[col] {
		if !e.resources[r].dirty {
			e.resources[r].dirty = true
			e.dirty = append(e.dirty, r)
		}
	}
	for _, id := range e.sums[col] {
		if !e.linears[id].dirty {
			e.linears[id].dirty = true
			e.broke = append(e.broke, id)
		}
	}
	for _, id := range e.prices[col] {
		if !e.costs[id].dirty {
			e.costs[id].dirty = true
			e.dear = append(e.dear, id)
		}
	}
}
