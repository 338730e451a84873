package exact

import (
	"context"
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
	// Minimal says that giving up any one of the parts leaves a plan. It is false if a search
	// ran out of conflicts or time on the way.
	Minimal bool
}

// Conflict explains why p has no plan: it gives up parts as long as what is left can still be
// refuted. conflicts bounds each of the searches; zero means 20,000. The Core is empty, and not
// minimal, if p has a plan or is not refuted within that bound. It is empty and minimal if the
// durations alone do not fit into the horizon.
func Conflict(ctx context.Context, p *project.Problem, conflicts int64) (Core, error) {
	if conflicts <= 0 {
		conflicts = 20_000
	}
	f := &filter{ctx: ctx, p: p, conflicts: conflicts, minimal: true}
	parts := partsOf(p)
	if status, err := f.solve(parts); err != nil || status != Infeasible {
		return Core{}, err
	}
	// Large pieces first: most parts have no share in the conflict.
	for size := max(len(parts)/2, 1); ; size = max(size/2, 1) {
		f.minimal = true
		for first := 0; first < len(parts); {
			last := min(first+size, len(parts))
			rest := slices.Concat(parts[:first], parts[last:])
			status, err := f.solve(rest)
			if err != nil {
				return Core{}, err
			}
			if status == Infeasible {
				parts = rest
			} else {
				first = last
			}
		}
		if size == 1 {
			return Core{parts, f.minimal}, nil
		}
	}
}

type filter struct {
	ctx       context.Context
	p         *project.Problem
	conflicts int64
	minimal   bool
}

// solve looks for any plan of the problem with some of its parts only.
func (f *filter) solve(parts []Part) (Status, error) {
	ctx, cancel := context.WithCancel(f.ctx)
	defer cancel()
	res, err := Solve(ctx, keep(f.p, parts), Options{
		Conflicts: f.conflicts,
		Strategy:  TopDown,
		Report:    func(project.Plan) { cancel() },
	})
	if res.Status == Unknown {
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
	return parts
}

// keep returns p with no rules but parts.
func keep(p *project.Problem, parts []Part) *project.Problem {
	q := &project.Problem{Horizon: p.Horizon}
	for range p.Renewable {
		q.Renewable = append(q.Renewable, project.Renewable{Capacity: math.MaxInt32})
	}
	for range p.Budget {
		q.Budget = append(q.Budget, math.MaxInt32)
	}
	for _, a := range p.Activities {
		q.Activities = append(q.Activities, project.Activity{Modes: a.Modes, Latest: p.Horizon})
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
		}
	}
	return q
}
