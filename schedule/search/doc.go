// Package search finds good plans of a project.Problem by heuristics, with a lower bound.
//
// Where any order of placing makes a plan (no cycle of arcs, no bound that binds), a population
// of plans is built by the serial scheme on packed profiles and justified. With maximum lags,
// the serial scheme unschedules what is in the way, components are planned alone and placed as
// blocks, and priorities follow what was in trouble. Large plans go through the same passes
// with a memory of the starts that were tried.
//
// Everything is a function of the problem, the seed and the work spent, counted in passes that
// place every activity once. Nothing reads a clock: the caller cancels by context, which is
// looked at every few milliseconds.
package search
