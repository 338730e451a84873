// Package schedule plans activities on shared resources: the best plan there is by ranked goals,
// with a proof where there is one and a lower bound always, and an explanation where no plan
// exists. It knows nothing of kitchens.
//
// # Model
//
// Time is a whole number of ticks (the caller picks the tick: a minute, say) from 0 up to the
// horizon. An activity is done in one of its modes, each with a duration, demands on resources
// and consumptions of budgets. It occupies [start, end); one of duration zero occupies nothing.
//
// A resource has the same capacity throughout or a Calendar of open spans, and what runs on it
// lies within them. An activity that may be interrupted has a mode with Pauses: it stands still
// while those hours are closed. Lags hold two points (start or end of an activity) apart by at
// least or at most so much, by the clock or in the open ticks of hours.
//
// On a resource that several share at once, an oven for instance, a demand may carry a Band of
// settings: those that overlap in time must have a setting in common (which may move from tick to
// tick), and from one setting to another it takes the time that Ramp says. It may carry a Family,
// between which SetUp lies, and a Door that others may not open meanwhile.
//
// Goals are ranked: lateness, work outside of hours, freshness, presence, set-ups, makespan, in
// the caller's order and with the caller's weights.
//
// Names and reasons are the caller's, and every explanation is made of them.
//
// # Use
//
// Model collects and validates; Solve plans; Check verifies, sharing no code with the engines, and
// has passed every plan that is returned. NewOrder reads off a plan what must be kept of it: Slack
// says how far each start can move and why no further, Risk what becomes of it when durations
// vary. Repair mends a plan after a delay with few changes.
//
// # Parts
//
// A model is compiled to a project.Problem, plain integers, on which the engines work: search
// finds good plans, exact proves, and race runs both side by side and lets them share plans and
// bounds. psplib reads the public formats.
//
// Nothing here reads a clock. With Options.Work the same model and seed give the same plan on
// every machine; without it the search goes on until there is a proof or the context ends.
//
// # Memory
//
// With n activities of m modes in all, r resources, a lags, k steps of calendars, and q pairs of
// activities that a resource keeps apart (60,000 get a variable at most), a run with two workers takes at
// most about so many bytes:
//
//	model and problem  300 n + (100 + 8 r) m + 60 a + 30 k
//	search             2 · (16 w · min(T, 8 Mi) + 500 n + 16 n · min(120, 60,000 / n)), where a row of
//	                   w = ceil(r / 4) to ceil(r / 2) words is kept for each of the T ticks in which a
//	                   plan must lie; with pauses, machines, several goals or T over 4 Mi instead
//	                   2 · (200 (n + m + a + k))
//	exact, n ≤ 1,200   300 (2 n + m + q) + 6 Mi of lists, and at most 128 Mi for the trail and
//	                   128 Mi for what was learnt: past that it forgets, or gives up
//
// None of it grows with the horizon or the time that a run may take. Twenty thousand activities
// take some tens of megabytes.
package schedule
