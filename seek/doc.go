// Package seek answers questions that run backward: from what is on hand to how many pieces it
// gives, from guests to moulds, from a target to the dimension that meets it.
//
// Each answer is a search that calls the forward chain, so that solving forward again gives the
// figures that were asked for. A question without an answer is answered by what stands in the way
// and how far it would have to give.
package seek
