// Package search finds good plans of a project.Problem by heuristics, with lower bounds.
//
// Where any order of placing makes a plan (no cycle of arcs, no bound that binds), a population
// of plans is built by the serial scheme on packed profiles and justified. With maximum lags,
// the serial scheme unschedules what is in the way, components are planned alone and placed as
// blocks, and priorities follow what was in trouble. Large plans go through the same passes
// with a memory of the starts that were tried.
//
// Problems with pauses, lags in working time, machines or ranked goals, or in a very long time, have
// a search of their own, on profiles of steps. Whole plans are made by the serial scheme with
// unscheduling, forward or in reversed time; where that fails, activities placed one by one, in any
// mode, drive out what is in their way. Then few at a time are taken out and put where the goals,
// in order of rank, are served best.
//
// Everything is a function of the problem, the seed and the work spent, counted in passes that
// place every activity once. Nothing reads a clock: the caller cancels by context, which is
// looked at every few milliseconds.
package search
