// Package project is the integer form of a scheduling problem on which the engines of package
// schedule work: activities by number, modes, dense demands, arcs between starts and ends.
//
// It holds data and the checker of a plan, and no method of solving. Time is a whole number of
// ticks. A problem is built once, not changed afterwards, and may be read from several
// goroutines.
package project

// Problem is a resource-constrained project with generalised precedence, in the notation of
// the literature PS | temp | Cmax, and MPS where activities have several modes.
type Problem struct {
	// Horizon bounds every end: 0 <= start and end <= Horizon.
	Horizon int32
	// Activities has no dummies: the makespan is the latest end.
	Activities []Activity
	Arcs       []Arc
	Renewable  []Renewable
	// Budget is how much of each non-renewable resource the chosen modes may use in all.
	Budget []int32
}

// Activity is done once, without a pause, in one of its modes.
type Activity struct {
	Modes []Mode // at least one
	// Earliest and Latest bound the start; Latest of zero or less than Earliest is not allowed:
	// an activity without a bound has 0 and Horizon.
	Earliest, Latest int32
}

// Mode is one way to do an activity.
type Mode struct {
	Duration int32
	Demand   []int32 // by renewable resource, all of them
	Consume  []int32 // by non-renewable resource, all of them; nil if there are none
}

// Arc says: time(To) >= time(From) + Lag, where the time of an activity is its start, or its
// end where FromEnd or ToEnd says so. A maximum lag is an arc backward with a negative Lag.
type Arc struct {
	From, To       int32
	Lag            int32
	FromEnd, ToEnd bool
}

// Renewable is a resource of which Capacity units may be used at every tick, or, with Steps,
// so many as they say.
type Renewable struct {
	Capacity int32
	// Steps, rising in From and beginning at 0, give the capacity from that tick on. Empty
	// means Capacity throughout; otherwise Capacity is the greatest of them.
	Steps []Step
}

// Step is a change of capacity.
type Step struct{ From, Capacity int32 }

// Plan is a start and a mode for every activity.
type Plan struct {
	Start, Mode []int32
	Makespan    int32
}
