// Package doubt says how sure a computed figure is when what goes into it cannot be controlled
// exactly: a whipped mix is lighter or heavier than planned, a layer is spread thicker, a ring is
// not quite its size.
//
// # Model
//
// A Factor is one such thing with its Law, the distribution of what it may be. Its Scope says how
// far one draw of it reaches: a batch's air is the same in every piece made of it, so that it does
// not cancel over many pieces, while a thickness spread by hand is each piece's own and does. Mean
// gives the law of the average of so many draws, which is what an evaluator of all pieces needs.
//
// Sample draws factors together through an evaluator by scrambled Sobol points, the same for the
// same seed, and answers: quantiles, the chance that something happens, and which factor causes how
// much of the doubt. Slope is the same to first order, one evaluation a factor, quick enough to follow
// a finger; its Levels are the amounts that suffice together at a confidence.
//
// Source of the methods: bib:sobol-1967, bib:joe-kuo-2008 (direction numbers), bib:owen-1998
// (scrambling), bib:saltelli-2010 (indices).
package doubt
