// Package psplib reads the text formats in which project scheduling problems are published, as
// package project's integer form: PSPLIB single-mode (.sm) and multi-mode (.mm), Patterson
// (.rcp), ProGen/max (.sch) and job shop (.jss).
//
// The files begin and end with a dummy job, which the problem drops: the makespan is the latest
// end. A last job that an arc binds by more than the end of the work is kept, as an activity
// without duration. [Instance] translates a plan back into the numbering of the file.
//
// Kolisch and Sprecher, "PSPLIB: a project scheduling problem library", EJOR 96 (1997), has the
// first two formats; Schwindt, "ProGen/max", WIOR report 449 (1995), that with lags.
package psplib

import "chablon/schedule/project"

// Instance is a problem as it stands in a file.
type Instance struct {
	Problem project.Problem
	// Job gives the activity of each job of the file, in its order, dummies included; Source
	// and Sink stand for those that the problem has dropped.
	Job []int
}

// What a job without an activity is: the start, and the end, of all the work.
const (
	Source = -1
	Sink   = -2
)

// Starts returns the start of every job of the file, dummies included: the first starts at 0
// and the last at the makespan.
func (in *Instance) Starts(plan project.Plan) []int32 {
	starts := make([]int32, len(in.Job))
	for j, a := range in.Job {
		switch {
		case a >= 0:
			starts[j] = plan.Start[a]
		case a == Sink:
			starts[j] = plan.Makespan
		}
	}
	return starts
}

// Modes returns the mode of every job of the file, counted from 1 as the file does.
func (in *Instance) Modes(plan project.Plan) []int32 {
	modes := make([]int32, len(in.Job))
	for j, a := range in.Job {
		modes[j] = 1
		if a >= 0 {
			modes[j] += plan.Mode[a]
		}
	}
	return modes
}

// MultiMode reports whether any activity has a choice of modes.
func (in *Instance) MultiMode() bool {
	for _, a := range in.Problem.Activities {
		if len(a.Modes) > 1 {
			return true
		}
	}
	return false
}
