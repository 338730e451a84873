package formula

import (
	"time"

	"chablon/unit"
)

// Step is one thing to do, of a formula or of an assembly.
type Step struct {
	ID, Verb, Text string
	Takes          []string // lines, groups, or steps whose output goes in
	After          []string // steps that must be over: "step", or "formula/step"
	People         int      // hands needed during the active time
	Skill          string
	Active         Work
	Waiting        time.Duration
	WaitingHigh    time.Duration // upper end of the wait's spread; zero if not said
	Computed       string        // "freeze", "chill", "thaw", "set" or "cool": physics computes the wait
	Modes          []Mode
	Temperature    unit.Quantity // at the end, as written
	TemperatureIn  unit.Quantity
	Cue, Why       string
	Wrong, Rescue  string
	Caution        string
	Hazards        []string
	Interruptible  bool
	Assumed        bool // its time was assumed by its verb, not written
}

// Work is time with hands: fixed, and growing with the batch and its pieces.
type Work struct {
	Fixed    time.Duration
	PerKg    time.Duration
	PerPiece time.Duration
}

// For returns the time that a batch of a mass in so many pieces takes.
func (w Work) For(m unit.Mass, pieces int) time.Duration {
	return w.Fixed + time.Duration(float64(w.PerKg)*float64(m)) + w.PerPiece*time.Duration(pieces)
}

// Mode is one way of doing a step: the equipment that it takes, all together.
type Mode struct {
	Equipment  []string // ids or kinds
	Setting    unit.Quantity
	TimeFactor float64 // of the waiting time; 1 if zero
	Trays      int
}

// Lag is a wait between two steps of the same document, or of a component's (formula/step).
type Lag struct {
	From, To     string
	FromStart    bool // from the start of From instead of its end
	ToEnd        bool // to the end of To instead of its start
	AtLeast      time.Duration
	AtMost       time.Duration // zero means no limit unless HasMost
	HasMost      bool
	WorkingClock bool
	Reason       string
}

// assumedTimes gives an untimed step its usual time by its verb.
// Source: common practice, no source.
var assumedTimes = map[string]struct{ active, waiting time.Duration }{
	"weigh":   {5 * time.Minute, 0},
	"whip":    {2 * time.Minute, 8 * time.Minute},
	"fold":    {5 * time.Minute, 0},
	"mix":     {5 * time.Minute, 0},
	"melt":    {3 * time.Minute, 8 * time.Minute},
	"boil":    {8 * time.Minute, 0},
	"cook":    {12 * time.Minute, 0},
	"bloom":   {2 * time.Minute, 10 * time.Minute},
	"bake":    {3 * time.Minute, 15 * time.Minute},
	"cool":    {1 * time.Minute, 40 * time.Minute},
	"chill":   {1 * time.Minute, 4 * time.Hour},
	"freeze":  {2 * time.Minute, 8 * time.Hour},
	"thaw":    {2 * time.Minute, 6 * time.Hour},
	"spread":  {4 * time.Minute, 0},
	"cut":     {6 * time.Minute, 0},
	"pipe":    {8 * time.Minute, 0},
	"pour":    {5 * time.Minute, 0},
	"glaze":   {8 * time.Minute, 0},
	"unmould": {5 * time.Minute, 0},
	"strain":  {3 * time.Minute, 0},
	"rest":    {1 * time.Minute, time.Hour},
}

// WithAssumedTime returns the step with the usual time of its verb if none was written, marked
// as assumed. A verb without a usual time gets five minutes of work.
func (s Step) WithAssumedTime() Step {
	if s.Active != (Work{}) || s.Waiting > 0 || s.Computed != "" {
		return s
	}
	t, ok := assumedTimes[s.Verb]
	if !ok {
		t.active = 5 * time.Minute
	}
	s.Active.Fixed, s.Waiting, s.Assumed = t.active, t.waiting, true
	return s
}
