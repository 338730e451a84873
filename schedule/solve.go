package schedule

import (
	"context"
	"fmt"
	"slices"

	"chablon/schedule/exact"
	"chablon/schedule/project"
	"chablon/schedule/race"
)

// Status is how a Solve ended.
type Status uint8

// Outcomes. Optimal and Infeasible are proofs.
const (
	Unknown Status = iota
	Feasible
	Optimal
	Infeasible
)

// String returns "unknown", "feasible", "optimal" or "infeasible".
func (s Status) String() string {
	return [...]string{"unknown", "feasible", "optimal", "infeasible"}[s]
}

// Options steer Solve. The zero Options look for the best plan until it is proved or the context
// ends.
type Options struct {
	// Seed of all random choices.
	Seed uint64
	// Work, if not zero, bounds the effort, in passes that place every activity once. One model,
	// seed and work then give one plan on every machine, whatever the clock says.
	Work int
	// Workers is how many engines run at once where Work is zero; below 1 means 2.
	Workers int
	// Report is called with every plan that is better than all before. Calls do not overlap.
	Report func(Plan)
}

// Plan is a start, end and mode for every activity, by ActivityID, in ticks and mode indices.
type Plan struct {
	Starts, Ends, Modes []int
	Makespan            int // the last end
}

// Achieved is what a plan comes to by one goal.
type Achieved struct {
	Name  string
	Value int64
	// Bound is what no plan is under that is as good by the goals before.
	Bound  int64
	Proved bool // Value and Bound are equal, and so for all goals before
}

// Result is what Solve found.
type Result struct {
	Status Status
	// Stopped says that the context ended the search: more time might have helped.
	Stopped bool
	Plan
	Goals []Achieved
	// Conflict holds, if Infeasible, statements of the caller that no plan keeps together, and if
	// Unknown why the search ended.
	Conflict []string
	// Least says that without any one statement of Conflict there would be a plan for the
	// activities that clash.
	Least bool
}

// Solve looks for the best plan of m by its goals. The plan has passed Check. An error means
// that m was refused and names why, or that an engine is at fault; a model without a plan is a
// Status.
func Solve(ctx context.Context, m *Model, o Options) (Result, error) {
	if err := m.Err(); err != nil {
		return Result{}, fmt.Errorf("schedule: %w", err)
	}
	if cycle := circle(m); cycle != nil {
		return Result{Status: Infeasible, Conflict: cycle, Least: true}, nil
	}
	c := compile(m)
	found, err := race.Solve(ctx, c.p, race.Options{Workers: o.Workers, Seed: o.Seed, Work: o.Work, Report: c.reporter(o.Report)})
	if err != nil {
		return Result{}, fmt.Errorf("schedule: %w", err)
	}
	res := Result{Status: Status(found.Status), Stopped: ctx.Err() != nil}
	if found.Plan.Start == nil {
		switch {
		case res.Status == Infeasible:
			res.Conflict, res.Least, err = c.explain(ctx)
		case res.Stopped:
			res.Conflict = []string{"stopped before a plan was found, or a proof that there is none"}
		default:
			res.Conflict = []string{"the work allowed ended before a plan was found, or a proof that there is none: allow more"}
		}
		return res, err
	}
	res.Plan = c.plan(found.Plan)
	if broken := Check(m, res.Starts, res.Modes); len(broken) > 0 {
		return Result{}, fmt.Errorf("schedule: an engine returned a plan that breaks the model: %s", broken[0].Text)
	}
	res.Goals = c.achieved(found)
	return res, nil
}

func (c *compiled) reporter(report func(Plan)) func(project.Plan) {
	if report == nil {
		return nil
	}
	return func(p project.Plan) { report(c.plan(p)) }
}

func (c *compiled) achieved(found race.Result) []Achieved {
	goals := c.m.goals
	if len(goals) == 0 {
		goals = []Goal{Makespan()}
	}
	out := make([]Achieved, len(goals))
	proved := true
	for k, v := range c.p.Value(found.Plan) {
		proved = proved && found.Lower[k] >= v
		out[k] = Achieved{goals[k].name, v, found.Lower[k], proved}
	}
	return out
}

// circle returns the caller's statements of time that go in a circle without room, nil if there
// are none.
func circle(m *Model) []string {
	in := newInstance(m)
	_, cycle := in.relax()
	if cycle == nil {
		return nil
	}
	return in.words(cycle)
}

// explainWork bounds the conflicts of each search on the way to a least set of statements.
const explainWork = 5000

// explain names statements of the caller that exclude every plan.
func (c *compiled) explain(ctx context.Context) (words []string, least bool, err error) {
	core, err := exact.Conflict(ctx, c.p, explainWork)
	if err != nil {
		return nil, false, fmt.Errorf("schedule: %w", err)
	}
	for _, part := range core.Parts {
		for _, text := range c.partWords(part) {
			if text != "" && !slices.Contains(words, text) {
				words = append(words, text)
			}
		}
	}
	if len(words) == 0 {
		words = []string{"no plan exists, but the statements that exclude it were not found in time"}
	}
	return words, core.Minimal, nil
}

func (c *compiled) partWords(part exact.Part) []string {
	m := c.m
	own := func(i int, kinds ...causeKind) []string {
		var out []string
		if i >= len(m.activities) {
			return nil // the beginning of time
		}
		a := m.activities[i]
		for _, k := range kinds {
			if k == causePin && a.pinned || k == causeRelease && a.released || k == causeDue && a.dueSet {
				return append(out, m.causeWords(cause{k, i}))
			}
		}
		return nil
	}
	switch part.Kind {
	case exact.Arc:
		s := c.says[part.Index]
		switch s.kind {
		case aLag:
			if !m.lags[s.i].joined {
				return []string{m.lagWords(m.lags[s.i])}
			}
		case release:
			return []string{m.causeWords(cause{causeRelease, s.i})}
		case due:
			return []string{m.causeWords(cause{causeDue, s.i})}
		case pinned:
			return []string{m.causeWords(cause{causePin, s.i})}
		}
	case exact.Renewable:
		return []string{m.resourceWords(ResourceID(part.Index))}
	case exact.Budget:
		b := m.budgets[part.Index]
		return []string{fmt.Sprintf("%q has %d in all", b.name, b.amount)}
	case exact.Earliest:
		return own(part.Index, causePin, causeRelease)
	case exact.Latest:
		return own(part.Index, causePin, causeDue)
	case exact.Horizon:
		return []string{fmt.Sprintf("everything must end by %s, where the plan ends", m.at(m.horizon))}
	case exact.Machine:
		return []string{m.apartWords(c.machines[part.Index])}
	case exact.Calendar:
		return []string{fmt.Sprintf("work that pauses by %q goes on in those hours only", m.hours[part.Index].name)}
	}
	return nil
}
