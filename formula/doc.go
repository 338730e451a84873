// Package formula holds how one component is made: its lines, the losses on the way, the air
// it holds, and its steps; and computes what a batch of it takes and gives.
//
// A formula is written once, at some size, and made at another. Scaling goes through mass alone:
// every line becomes a mass when the formula is linked (a volume through the ingredient's
// density, a count through its portion), and a batch is found backward from the finished mass
// that is wanted, through every named loss, to the mass that goes in. No loss is found as a
// difference: each is computed from what goes into it, so that the balance
//
//	in = out + Σ losses
//
// is a statement that can fail, and that tests hold to 1e-9.
//
// Limits of this version: a loss is either a share of what reaches it or a fixed mass a batch,
// in the order written; the composition of the finished component loses the water that
// evaporates and keeps the rest in proportion; reading of written lines knows the common forms.
package formula
