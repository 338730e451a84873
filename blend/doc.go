// Package blend finds how much of each material to take so that a mix comes nearest to what is
// wanted, within limits: milk and cream to a fat content, two syrups to a sugar content, an
// ingredient exchanged for others. It knows no ingredient and no formula; a figure is any number
// that a unit of mass carries (fat in kg/kg, cost per kg, sweetness against sucrose).
//
// # Model
//
// The amounts x, in kilograms and never below zero, minimise
//
//	Σ weight · (c·x − target · per·x)²  +  stay · Σ (x − now)²
//
// where the sum runs over the goals and c and per hold a number for each material; a goal whose
// per is absent has the plain target. They are held to
//
//   - each material's Least, Most, or the present amount where it is Fixed,
//   - a fixed total mass, or none,
//   - bounds: least · per·x ≤ c·x ≤ most · per·x, per·x being one where it is absent.
//
// A share of the total and a ratio of two figures are linear when multiplied out, which Problem's
// Share, Ratio and Aim do. Where the total is free and nothing holds it, taking nothing at all
// meets every ratio.
//
// Weight belongs to the unit of its goal: weight 1/d² makes a miss of d count as one. The stay
// term makes the answer unique, also where two materials are the same or the goals leave a
// choice: the present amounts are then changed as little as possible. It also pulls every answer
// a little toward them; see Problem.Stay for how much.
//
// # Method
//
// The objective is brought to a least distance by an orthogonal factorisation (bib:lawson-hanson,
// chapter 23), which does not square its condition. The nearest point is found by the dual
// active-set method (bib:goldfarb-idnani; bib:nocedal-wright, chapter 16, for the class): from
// the unconstrained optimum the most broken limit is made to hold, and limits that no longer
// press are let go. Its answer is checked against every limit.
//
// If it finds none, the simplex method judges, in the form that repairs one broken limit at a
// time, with Bland's least-index rule so that it cannot cycle (bib:dutertre-demoura, section 3).
// The row that no pivot repairs names limits that conflict; it is checked against the rows as
// given. Each limit that can be left out of these without making them agree is left out (the
// deletion filter, bib:chinneck). Dropping any one of what remains ends this conflict; a problem
// may hold another beside it.
//
// # Accuracy and limits
//
// Every row is scaled to length one and masses to the size of the problem (the largest of its
// fixed total, present and least amounts, and the masses that bounds and goals call for). In
// these units a limit holds to 1e-7 at worst and to 1e-9 as a rule, and limits that contradict
// each other by less count as agreeing. Numbers below 1e-18 in a row count as zero. A result that
// rounding has spoilt, which takes rows that are almost parallel, is called Stopped and not
// Optimal. The same problem gives the same answer. No result is NaN or infinite.
//
// A mix is taken as additive: figures per unit mass add up. Gelatin of another Bloom strength,
// perceived sweetness and price breaks are not additive in general; a caller turns them into
// figures that are, or asks again.
//
// Problem is the place to start reading, then Solve.
package blend
