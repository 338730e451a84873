// Package plan turns orders into a day's work: how much of each component, in which batches,
// what to buy, what is wrong, and when each step starts.
//
// The data run one way. Amounts lays every ordered assembly into its mould, adds up what the
// pieces need, finds the batches backward from the finished mass through every loss, and checks
// the whole. Schedule then places the steps of the batches and of the assembling backward from
// the due times on the people and the equipment that there are, through package schedule, and
// has the result verified. Neither reads a clock: the same job gives the same day.
//
// Kept small in this version: the reserve that makes sure that nothing runs short is a linear
// estimate from each figure's spread, not a simulation; pieces are cut from sheets by rows;
// equipment is counted by kind, so that a step that names one oven of two may be given the other;
// heat-up, cool-down and cleaning of equipment take no time; moulds are counted, not scheduled.
package plan
