package seek

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"chablon/assembly"
	"chablon/mould"
	"chablon/plan"
	"chablon/unit"
)

// Hand is what is there. What it does not list is not asked about, unless Only is set: then it
// counts as none.
type Hand struct {
	Components  map[string]unit.Mass // finished, by formula ID or stand-in name
	Ingredients map[string]unit.Mass // as bought, by ID
	Only        bool
}

// Enough is how far what is there goes.
type Enough struct {
	Mould  *mould.Mould
	Pieces int
	// Short is what the next piece would lack, the worst first by share; empty if Pieces was
	// bounded by the number asked for.
	Short []Short
	Day   *plan.Day // of so many pieces; nil for none
}

// Short is so much that is lacking.
type Short struct {
	ID, Name        string
	Need, Have      unit.Mass
	OfAnIngredient  bool
	wantedShareOver float64
}

// Lacks returns how much is missing.
func (s Short) Lacks() unit.Mass { return s.Need - s.Have }

// mostPieces bounds the search: far beyond any kitchen's day.
const mostPieces = 10000

// Pieces returns how many pieces of an assembly in a mould the amounts on hand give, at the
// kitchen's confidence that nothing runs short. The job says what else holds for the day; its
// orders are not looked at.
func Pieces(job plan.Job, line plan.Line, hand Hand) (Enough, error) {
	if len(hand.Components) == 0 && len(hand.Ingredients) == 0 {
		return Enough{}, errors.New("nothing is on hand: name at least one component or ingredient and its amount")
	}
	for _, list := range []map[string]unit.Mass{hand.Components, hand.Ingredients} {
		for id, m := range list {
			if !(m >= 0) || m > unit.Mass(1e6) {
				return Enough{}, fmt.Errorf("%s: %v kg on hand is no amount: give 0 or more, up to 1000 t", id, float64(m))
			}
		}
	}
	search := counter{job: job, line: line, hand: hand}
	first := search.short(1)
	if !search.binds {
		return Enough{}, fmt.Errorf("%s takes nothing of what is on hand: name a component or an ingredient of it", line.Assembly.Name)
	}
	out := Enough{Mould: line.Mould}
	if len(first) > 0 {
		out.Short = first
		return out, nil
	}
	lo, hi := 1, 2 // lo is enough for, hi is not
	for ; hi <= mostPieces && len(search.short(hi)) == 0; hi *= 2 {
		lo = hi
	}
	if hi > mostPieces {
		hi = mostPieces + 1
	}
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if len(search.short(mid)) == 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	out.Pieces, out.Day = lo, search.day(lo)
	if lo < mostPieces {
		out.Short = search.short(lo + 1)
	}
	return out, nil
}

// Moulds asks Pieces for each of several moulds and returns the answers that give a piece, the
// largest mould first: what can be made of what is there. Where none gives a piece, the answer
// that lacks least is returned alone.
func Moulds(job plan.Job, a *assembly.Assembly, moulds []*mould.Mould, how assembly.Scaling, hand Hand) ([]Enough, error) {
	var out []Enough
	var nearest *Enough
	for _, m := range moulds {
		e, err := Pieces(job, plan.Line{Assembly: a, Mould: m, Scaling: how}, hand)
		if err != nil {
			return nil, err
		}
		if e.Pieces > 0 {
			out = append(out, e)
		} else if len(e.Short) > 0 && (nearest == nil || e.Short[0].wantedShareOver < nearest.Short[0].wantedShareOver) {
			nearest = &e
		}
	}
	slices.SortStableFunc(out, func(x, y Enough) int {
		a, b := x.Mould.Capacity(), y.Mould.Capacity()
		switch {
		case a > b:
			return -1
		case a < b:
			return 1
		}
		return 0
	})
	if len(out) == 0 && nearest != nil {
		out = append(out, *nearest)
	}
	return out, nil
}

// counter asks the forward chain what a number of pieces takes.
type counter struct {
	job   plan.Job
	line  plan.Line
	hand  Hand
	binds bool // something on hand is taken at all
}

func (c *counter) day(pieces int) *plan.Day {
	job := c.job
	line := c.line
	line.Pieces = pieces
	job.Orders = []plan.Order{{ID: "seek", Name: line.Assembly.Name, Lines: []plan.Line{line}}}
	job.Stock = maps.Clone(c.hand.Components)
	return plan.Amounts(job)
}

// short returns what a number of pieces lacks, the worst first.
func (c *counter) short(pieces int) []Short {
	d := c.day(pieces)
	var out []Short
	look := func(s Short, listed bool) {
		c.binds = c.binds || listed
		if s.Need > s.Have*(1+1e-9)+unit.Milligram && (listed || c.hand.Only) {
			s.wantedShareOver = float64(s.Need / max(s.Have, unit.Milligram))
			out = append(out, s)
		}
	}
	made := map[string]bool{}
	for i := range d.Batches {
		b := &d.Batches[i]
		made[b.Formula.ID] = true
		have, listed := c.hand.Components[b.Formula.ID]
		if !listed && len(c.hand.Ingredients) > 0 {
			continue // it is made from the ingredients on hand
		}
		if !listed && c.nested(d, b.Formula.ID) {
			continue // what takes it is short itself
		}
		look(Short{ID: b.Formula.ID, Name: b.Formula.Name, Need: needed(b, have), Have: have}, listed)
	}
	for id := range c.hand.Components { // wholly in stock: nothing to make, so it is enough
		if !made[id] && c.takes(d, id) {
			c.binds = true
		}
	}
	for _, s := range d.StandIns {
		have, listed := c.hand.Components[s.ID]
		look(Short{ID: s.ID, Name: s.Name, Need: s.Needed, Have: have}, listed)
	}
	if len(c.hand.Ingredients) > 0 {
		for _, item := range d.Purchase {
			have, listed := c.hand.Ingredients[item.ID]
			look(Short{ID: item.ID, Name: item.Name, Need: item.Need + item.Waste, Have: have, OfAnIngredient: true}, listed)
		}
	}
	slices.SortStableFunc(out, func(x, y Short) int {
		switch {
		case x.wantedShareOver > y.wantedShareOver:
			return -1
		case x.wantedShareOver < y.wantedShareOver:
			return 1
		}
		return 0
	})
	return out
}

// needed returns how much of a finished component the pieces take, what must be in hand beyond
// that included, and what only its making would add left out. What lies in stock has already been
// taken off a batch, but not off what is baked in whole sheets.
func needed(b *plan.Batch, have unit.Mass) unit.Mass {
	out := b.Out()
	for _, l := range b.LeftOver {
		if l.Name == plan.LeastBatch || l.Name == plan.WholeFormula {
			out -= l.Mass
		}
	}
	if len(b.Sheets) > 0 {
		return out
	}
	return have + out
}

// nested reports whether a formula is made only for other formulas.
func (c *counter) nested(d *plan.Day, id string) bool { return !c.takes(d, id) }

// takes reports whether the pieces themselves take a component.
func (c *counter) takes(d *plan.Day, id string) bool {
	for i := range d.Pieces {
		for _, part := range d.Pieces[i].Components {
			if part.ID == id {
				return true
			}
		}
	}
	return false
}
