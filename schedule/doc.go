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
// Memory is proportional to the activities, modes times resources, lags, steps of calendars and
// pairs that a machine keeps apart; the engines bound what they learn (see exact), so that twenty
// thousand activities take some tens of megabytes.
package schedule
