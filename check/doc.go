// Package check holds the rules: what will fail, harm or disappoint, each with its reason, its
// figure, what to change, and on whose word.
//
// What does not fit at all is found by assembly while it lays the layers; this package adds what
// only experience or a code says. Rules marked finding.CommonPractice come from the working
// range of the trade and judge a formula without proving it wrong.
//
// This version holds the rules of fit (gaps, room for the glaze, bands, pans), the gelatin range
// by type of component, raw egg, and enzymes against gelatin; the balance of sponges, creams and
// glazes is not judged yet.
package check
