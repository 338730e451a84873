package exact

import (
	"context"
	"fmt"
	"math"
	"slices"

	"chablon/schedule/project"
)

// Kind is what a Part stands for.
type Kind uint8

// Kinds of parts. The index is into the slice of the problem that it names.
const (
	Arc       Kind = iota // project.Problem.Arcs
	Renewable             // project.Problem.Renewable
	Budget                // project.Problem.Budget
	Earliest              // the Earliest of project.Problem.Activities
	Latest                // the Latest of project.Problem.Activities
	Horizon               // project.Problem.Horizon; the index is 0
	Machine               // project.Problem.Machines
	Calendar              // project.Problem.Calendars, as far as modes pause by it
)

// Part is one rule of a problem that could be given up.
type Part struct {
	Kind  Kind
	Index int
}

// Core is a set of parts that exclude every plan within the horizon, in the order of kinds and
// indices.
type Core struct {
	Parts []Part
	// Activities are those that clash: the parts exclude every plan for them alone.
	Activities []int32
	// Minimal says that giving up any one of the parts leaves a plan for these activities. It is
	// false if a search ran out of conflicts or time on the way.
	Minimal bool
}

// Conflict explains why p has no plan: it gives up activities and then parts as long as what is left
// can still be refuted. conflicts bounds each of the searches; zero means 20,000. The Core is empty, and not
// minimal, if p has a plan or is not refuted within that bound. Without its horizon a problem
// still ends some time, late enough to do one thing after the other.
func Conflict(ctx context.Context, p *project.Problem, conflicts int64) (Core, error) {
	if err := p.Validate(); err != nil {
		return Core{}, fmt.Errorf("exact: %w", err)
	}
	if conflicts <= 0 {
		conflicts = 20_000
	}
	f := &filter{ctx: ctx, p: p, conflicts: conflicts, patient: true}
	parts := partsOf(p)
	if status, err := f.solve(p, parts); err != nil || status != Infeasible {
		return Core{}, err
	}
	// Most activities and most parts have no share in the conflict, and without them it is refuted as
	// fast as with them; a search in earnest is for what is left of the parts.
	f.patient = false
	few, err := shrink(f, allOf(len(p.Activities)), func(kept []int32) (Status, error) { return f.solve(among(p, parts, kept)) })
	if err != nil {
		return Core{}, err
	}
	q, some := among(p, parts, few)
	back := map[Part]Part{} // to the numbers of p
	for k, part := range slices.DeleteFunc(slices.Clone(parts), func(part Part) bool { return !kin(p, part, few) }) {
		back[some[k]] = part
	}
	for _, f.patient = range [2]bool{false, true} {
		if some, err = shrink(f, some, func(rest []Part) (Status, error) { return f.solve(q, rest) }); err != nil {
			return Core{}, err
		}
	}
	parts = parts[:0]
	for _, part := range some {
		parts = append(parts, back[part])
	}
	return Core{parts, few, f.minimal}, nil
}

func allOf(n int) []int32 {
	all := make([]int32, n)
	for i := range all {
		all[i] = int32(i)
	}
	return all
}

// kin reports whether a part is still one where only some activities are left.
func kin(p *project.Problem, part Part, kept []int32) bool {
	has := func(i int32) bool {
		_, ok := slices.BinarySearch(kept, i)
		return ok
	}
	switch part.Kind {
	case Arc:
		return has(p.Arcs[part.Index].From) && has(p.Arcs[part.Index].To)
	case Earliest, Latest:
		return has(int32(part.Index))
	}
	return true
}

// among returns the problem of the kept activities alone, in rising order, and the parts that are
// left, numbered as in that problem.
func among(p *project.Problem, parts []Part, kept []int32) (*project.Problem, []Part) {
	number := make([]int32, len(p.Activities))
	q := *p
	q.Activities, q.Arcs = make([]project.Activity, 0, len(kept)), nil
	for k, i := range kept {
		number[i] = int32(k)
		q.Activities = append(q.Activities, p.Activities[i])
	}
	var left []Part
	for _, part := range parts {
		if !kin(p, part, kept) {
			continue
		}
		switch part.Kind {
		case Arc:
			arc := p.Arcs[part.Index]
			arc.From, arc.To = number[arc.From], number[arc.To]
			part.Index = len(q.Arcs)
			q.Arcs = append(q.Arcs, arc)
		case Earliest, Latest:
			part.Index = int(number[part.Index])
		}
		left = append(left, part)
	}
	return &q, left
}

// fewConflicts is how many a search of the first rounds may have besides those of the last refutation.
const fewConflicts = 3

// shrink gives up items, large pieces first, as long as what is left can still be refuted: most have
// no share in the conflict.
func shrink[T any](f *filter, items []T, solve func(rest []T) (Status, error)) ([]T, error) {
	for size := max(len(items)/2, 1); ; size = max(size/2, 1) {
		f.minimal = true
		before := len(items)
		for first := 0; first < len(items); {
			last := min(first+size, len(items))
			rest := slices.Concat(items[:first], items[last:])
			status, err := solve(rest)
			if err != nil {
				return nil, err
			}
			if status == Infeasible {
				items = rest
			} else {
				first = last
			}
		}
		// Without pauses some rules are harder to keep: then what was needed once may not be
		// needed any more.
		again := len(items) < before && len(f.p.Calendars) > 0 && f.ctx.Err() == nil
		if size == 1 && !again {
			return items, nil
		}
	}
}

type filter struct {
	ctx       context.Context
	p         *project.Problem
	conflicts int64
	patient   bool  // searches may have all conflicts
	last      int64 // conflicts of the last refutation
	minimal   bool
}

// solve looks for any plan of a problem with some of its parts only.
func (f *filter) solve(p *project.Problem, parts []Part) (Status, error) {
	most := f.conflicts
	if !f.patient {
		most = min(most, f.last+fewConflicts)
	}
	res, err := Solve(f.ctx, keep(p, parts), Options{Any: true, Conflicts: most})
	switch res.Status {
	case Infeasible:
		f.last = res.Conflicts
	case Unknown:
		f.minimal = false
	}
	return res.Status, err
}

func partsOf(p *project.Problem) []Part {
	var parts []Part
	for k := range p.Arcs {
		parts = append(parts, Part{Arc, k})
	}
	for r := range p.Renewable {
		parts = append(parts, Part{Renewable, r})
	}
	for b := range p.Budget {
		parts = append(parts, Part{Budget, b})
	}
	for i, a := range p.Activities {
		if a.Earliest > 0 {
			parts = append(parts, Part{Earliest, i})
		}
	}
	for i, a := range p.Activities {
		if a.Latest < p.Horizon {
			parts = append(parts, Part{Latest, i})
		}
	}
	parts = append(parts, Part{Horizon, 0})
	for m := range p.Machines {
		parts = append(parts, Part{Machine, m})
	}
	for c := range p.Calendars {
		parts = append(parts, Part{Calendar, c})
	}
	return parts
}

// keep returns p with no rules but parts.
func keep(p *project.Problem, parts []Part) *project.Problem {
	q := &project.Problem{Horizon: p.Horizon, Calendars: p.Calendars}
	if !slices.Contains(parts, Part{Horizon, 0}) {
		q.Horizon = late(p)
	}
	for _, r := range p.Renewable {
		q.Renewable = append(q.Renewable, project.Renewable{Capacity: math.MaxInt32, Held: r.Held})
	}
	for range p.Budget {
		q.Budget = append(q.Budget, math.MaxInt32)
	}
	for _, m := range p.Machines {
		none := project.Machine{Gap: m.Gap}
		for _, row := range m.Rule {
			none.Rule = append(none.Rule, make([]project.Rule, len(row)))
		}
		q.Machines = append(q.Machines, none)
	}
	pauses := make([]bool, len(p.Calendars)+1)
	for _, part := range parts {
		if part.Kind == Calendar {
			pauses[part.Index+1] = true
		}
	}
	for _, a := range p.Activities {
		modes := slices.Clone(a.Modes)
		for m := range modes {
			if !pauses[modes[m].Calendar] {
				modes[m].Calendar = 0
			}
		}
		q.Activities = append(q.Activities, project.Activity{Modes: modes, Latest: q.Horizon})
	}
	for _, part := range parts {
		switch i := part.Index; part.Kind {
		case Arc:
			q.Arcs = append(q.Arcs, p.Arcs[i])
		case Renewable:
			q.Renewable[i] = p.Renewable[i]
		case Budget:
			q.Budget[i] = p.Budget[i]
		case Earliest:
			q.Activities[i].Earliest = p.Activities[i].Earliest
		case Latest:
			q.Activities[i].Latest = p.Activities[i].Latest
		case Machine:
			q.Machines[i] = p.Machines[i]
		case Horizon, Calendar: // above
		}
	}
	return q
}

// late is a horizon within which all can be done one after the other, when calendars and
// capacities change no more.
func late(p *project.Problem) int32 {
	sum := int64(p.Horizon)
	for _, c := range p.Calendars {
		if n := len(c.Open); n > 0 {
			sum = max(sum, int64(c.Open[n-1].To))
		}
	}
	for _, r := range p.Renewable {
		if n := len(r.Steps); n > 0 {
			sum = max(sum, int64(r.Steps[n-1].From))
		}
	}
	gap := int32(0)
	for _, m := range p.Machines {
		for _, row := range m.Gap {
			for _, g := range row {
				gap = max(gap, g)
			}
		}
	}
	for _, a := range p.Activities {
		longest := int32(0)
		for _, m := range a.Modes {
			longest = max(longest, m.Duration)
		}
		sum += int64(longest) + int64(gap)
	}
	for _, a := range p.Arcs {
		if a.Lag > 0 {
			sum += int64(a.Lag)
		}
	}
	return int32(min(sum, project.MaxHorizon))
}
