// Package schedule places activities on shared resources under time lags, as late as their
// due times allow.
//
// It is construction only: a serial generation scheme run backward from the due times under
// several priority rules and seeded restarts, with a forward pass to fall back on. The first
// plan that the checker accepts is returned. There is no improvement search and no search for
// a proof: Infeasible is reported only where the time lags alone, a single activity on an empty
// calendar, or a count of the work that must fall in some interval already rules out every
// plan. Whatever lies between is Unknown, with the obstacle that was met most often.
//
// # Model
//
// Time is a whole number of ticks (the caller picks the tick: a minute, say) from 0 up to the
// horizon. An activity has one or more modes, each with a duration and demands on resources. It
// occupies [start, end), without a pause: Interruptible is recorded and not yet used, so each
// demand must be within the free capacity at every tick from start to end. An activity of
// duration zero occupies nothing.
//
// A resource has the same capacity throughout or a Calendar of open spans. A demand may carry a
// Band of settings, a temperature for instance: at every tick the bands of all activities on
// the resource must have a value in common. The setting itself may move from tick to tick.
//
// A lag holds two points (start or end of an activity) apart by at least or at most so much.
// Names and reasons are the caller's, and every explanation is made of them.
//
// # Parts
//
// Model collects and validates; Solve constructs; Check verifies, sharing no code with Solve.
// Inside, an instance is the model as a network of time points with calendars. It can be turned
// round in time, so that one scheme, "as early as possible", serves both directions.
//
// Nothing here reads a clock. Effort is counted in units of work (one try to place one
// activity), and the same model, options and seed give the same plan.
//
// The serial scheme with unscheduling under maximum lags follows Franck, Neumann and Schwindt,
// "Truncated branch-and-bound, schedule-construction, and schedule-improvement procedures for
// resource-constrained project scheduling", OR Spektrum 23 (2001).
package schedule
