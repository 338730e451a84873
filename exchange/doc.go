// Package exchange puts other ingredients in the place of a line, and finds the formula nearest to
// one that keeps bounds.
//
// An ingredient does more than add water, fat and sugar: it holds the foam, sets, binds, keeps fat
// solid. So an exchange is judged twice. Its masses come from the blending problem (package blend):
// the amounts of what comes in whose water, fat, proteins, sugars, starch, alcohol and gelatin
// strength are nearest to those of what goes out. And each function that the line serves in a step
// must be served by something that comes in, or the exchange is refused however good the fit.
//
// Reformulate changes the masses of a formula's lines, as little as it can relative to each, until
// bounds on what the finished component holds are kept; where they cannot be, it names the bounds
// that conflict. Figures of the result are computed anew through package formula.
//
// Limits: functions are known by kind of ingredient and verb of step, a table of this package
// (common practice, no source); nested components are exchanged or bounded as a whole.
package exchange
