// Package project is the integer form of a scheduling problem on which the engines of package
// schedule work: activities by number, modes, dense demands, arcs between starts and ends,
// calendars, machines on which some things do not go together, and goals in order of rank.
//
// It holds data and the checker of a plan, and no method of solving. Time is a whole number of
// ticks. A problem is built once, not changed afterwards, and may be read from several
// goroutines.
package project

// Problem is a resource-constrained project with generalised precedence, in the notation of
// the literature PS | temp | Cmax, and MPS where activities have several modes. The fields after
// Budget go beyond that; left empty, they ask for nothing.
type Problem struct {
	// Horizon bounds every end: 0 <= start and end <= Horizon.
	Horizon int32
	// Activities has no dummies: the makespan is the latest end.
	Activities []Activity
	Arcs       []Arc
	Renewable  []Renewable
	// Budget is how much of each non-renewable resource the chosen modes may use in all.
	Budget []int32

	// Calendars are times at which work goes on. Modes, arcs and goals name one by its place
	// here plus one, and 0 is none.
	Calendars []Calendar
	Machines  []Machine
	// Goals are what to make small, the most important first: a plan is better if the first
	// goal in which it differs is smaller. None means the makespan.
	Goals []Goal
}

// Activity is done once, in one of its modes.
type Activity struct {
	Modes []Mode // at least one
	// Earliest and Latest bound the start; Latest of zero or less than Earliest is not allowed:
	// an activity without a bound has 0 and Horizon.
	Earliest, Latest int32
}

// Mode is one way to do an activity.
type Mode struct {
	// Duration is how many ticks the work takes.
	Duration int32
	Demand   []int32 // by renewable resource, all of them
	Consume  []int32 // by non-renewable resource, all of them; nil if there are none
	// Calendar, plus one: the work pauses while that calendar is closed. It begins in an open
	// tick and ends after its last one. 0: no pause, the end is the start and Duration.
	Calendar int32
	// Stands says on which machines it runs, and as what. With no duration it stands nowhere.
	Stands []Stand
}

// Stand is the class of a mode on a machine.
type Stand struct{ Machine, Class int32 }

// Arc says: time(To) >= time(From) + Lag, where the time of an activity is its start, or its
// end where FromEnd or ToEnd says so. A maximum lag is an arc backward with a negative Lag.
//
// With a Calendar (plus one), times are measured in its open ticks: work(To) >= work(From) + Lag,
// where work(t) is how many ticks before t are open.
type Arc struct {
	From, To       int32
	Lag            int32
	FromEnd, ToEnd bool
	Calendar       int32
}

// Renewable is a resource of which Capacity units may be used at every tick, or, with Steps,
// so many as they say.
type Renewable struct {
	Capacity int32
	// Steps, rising in From and beginning at 0, give the capacity from that tick on. Empty
	// means Capacity throughout; otherwise Capacity is the greatest of them.
	Steps []Step
	// Held says that an activity holds it through its pauses. Otherwise a paused activity
	// leaves it to others.
	Held bool
}

// Step is a change of capacity.
type Step struct{ From, Capacity int32 }

// Machine says which runs on it do not go together: an oven at two temperatures, or one with a
// shut door. Runs are of classes, and each pair of runs is looked at by itself; how much a
// machine holds is a matter of a renewable resource.
type Machine struct {
	// Rule says, by class of one run and class of another, what the one asks of the other.
	Rule [][]Rule
	// Gap is how many ticks lie at least between the end of a run of the first class and the
	// later start of one of the second, where the two are Apart. It is asked of every such
	// pair of runs, not of neighbours alone.
	Gap [][]int32
}

// Rule is what one run on a machine asks of another: none or several of the constants.
type Rule uint8

// Rules.
const (
	// Apart: the two never run at once, and Gap lies between them. It is mutual.
	Apart Rule = 1 << iota
	// NoStart: the other does not start strictly within this run.
	NoStart
	// NoEnd: the other does not end strictly within this run.
	NoEnd
)

// Plan is a start and a mode for every activity.
type Plan struct {
	Start, Mode []int32
	Makespan    int32
}
