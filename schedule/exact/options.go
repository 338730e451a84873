package exact

import "chablon/schedule/project"

// Status is how a Solve ended.
type Status uint8

// Outcomes. All but Unknown and Feasible are proofs.
const (
	// Unknown: stopped without a plan and without a proof.
	Unknown Status = iota
	// Feasible: stopped with a plan that may not be the best.
	Feasible
	// Optimal: there is no better plan.
	Optimal
	// Infeasible: there is no plan at all.
	Infeasible
	// Exhausted: there is no plan under the bound that Options.Upper or Poll gave, or MaxValue is.
	Exhausted
)

// String returns the status in lower case.
func (s Status) String() string {
	return [...]string{"unknown", "feasible", "optimal", "infeasible", "exhausted"}[s]
}

// Strategy is from which side the goal is closed in.
type Strategy uint8

// Strategies. Run TopDown and BottomUp side by side where there are two cores.
const (
	// Alternate takes turns between the two from restart to restart.
	Alternate Strategy = iota
	// TopDown looks for ever better plans until none is left.
	TopDown
	// BottomUp refutes ever greater values until one has a plan.
	BottomUp
)

// Options steer Solve. The zero Options prove an optimum of the first goal, however long it takes.
// Values are those of the goal in question, up to MaxValue.
type Options struct {
	// Goal is the place in project.Problem.Goals of the goal in question; 0 is the makespan
	// where there are none. It must be Provable.
	Goal int
	// Caps are the greatest values allowed of the first goals, in order: what earlier stages have
	// come to.
	Caps []int64
	// Any asks for any plan within Caps, whatever Goal is: the value of each is 0, and the first
	// ends the search as an optimum.
	Any bool
	// Upper, if not zero, asks for plans with a smaller value only.
	Upper int32
	// Lower is a value that the caller knows to be a lower bound.
	Lower int32
	// Hint is a plan to search near. If it is a plan of the problem within Caps, and better than
	// Upper, it is the first incumbent.
	Hint *project.Plan
	// Conflicts bounds the work; zero is no bound.
	Conflicts int64
	// Seed varies the search. The same problem, options and seed give the same result where
	// neither the context nor Poll steps in.
	Seed     uint64
	Strategy Strategy
	// Windows, if not nil, narrows starts and modes, by activity: for a search near a plan.
	Windows []Window
	// Arcs are held besides those of the problem.
	Arcs []project.Arc
	// Report gets each plan that is better than all before. It runs inside Solve.
	Report func(project.Plan)
	// Bound gets each lower bound on the value that is greater than all before.
	Bound func(lower int32)
	// Poll is asked now and then, every 256 conflicts, for the value to beat
	// and the lower bound known outside (zero: none), and whether to stop.
	Poll func() (upper, lower int32, stop bool)

	orders int // takes the place of maxOrders, in tests
}

// Window narrows one activity: its start lies from Earliest to Latest, and its mode is Mode
// unless that is negative.
type Window struct{ Earliest, Latest, Mode int32 }

// Result is what Solve found.
type Result struct {
	Status Status
	// Plan is the best plan found, empty if there is none. It has passed project.Check.
	Plan project.Plan
	// Value is what Plan comes to.
	Value int32
	// Lower is a proven bound: every plan, within Caps, Windows and Arcs, comes to Lower or more,
	// or to Upper or more where an upper bound was given.
	Lower     int32
	Conflicts int64
	// Stopped says that the context, Poll or the bound on conflicts ended the search.
	Stopped bool
}
