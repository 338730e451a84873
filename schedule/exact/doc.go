// Package exact proves what the best plan of a project is, or that there is none, by lazy clause
// generation.
//
// The unknowns are the bounds of start times and the choices of modes. Lags, calendars, resources
// over time, pairs that cannot run side by side, budgets and the sums of goals propagate bounds
// and explain each change in terms of earlier ones; a contradiction is traced to its first unique
// implication point and learnt as a clause that rules it out for good. The search restarts,
// follows activity and comes back to the start times of the best plan so far. Lower bounds come
// from refuting values of the goal.
//
// Work is counted in conflicts, so that alone and with a limit one seed gives one result; nothing
// here reads a clock.
//
// Sources: Schutt, Feydy, Stuckey and Wallace, Explaining the cumulative propagator (2011); Schutt,
// Feydy, Stuckey and Wallace, Solving RCPSP/max by lazy clause generation (2013), both from memory.
package exact
