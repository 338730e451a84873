// Package check holds the rules: what will fail, harm or disappoint, each with its reason, its
// figure, what to change, and on whose word.
//
// What does not fit at all is found by assembly while it lays the layers; this package adds what
// only experience or a code says. Rules marked finding.CommonPractice come from the working
// range of the trade and judge a formula without proving it wrong.
//
//   - Section judges the fit of an assembly in its mould: gaps, room for the glaze, bands, pans.
//   - Balance judges one formula: its shares, temperatures and figures against the ranges of its
//     kind (ranges.csv, which a cook can read and change), and the rules of gels, foams, custards,
//     chocolate, sugar, water and keeping. Its report has every figure, in range too, and every
//     rule that was not judged, with the reason.
//   - Accept lowers what the cook has accepted.
//
// # Codes of Balance
//
// QUANTITY-low and QUANTITY-high, for each quantity of ranges.csv (sugar-low,
// specific-gravity-high, gelatin-low); gelatin-in-range, gelatin-grade-unknown, gelatin-boiled,
// gelatin-in-acid, gelatin-in-alcohol, enzyme-against-gelatin; agar-low, agar-high,
// agar-not-boiled; pectin-hm-solids, pectin-hm-acid, pectin-nh-calcium; starch-not-boiled;
// cream-too-lean, cream-too-warm; creamed-sugar, creamed-egg, creamed-liquid; loss-beyond-water;
// custard-underheated, custard-curdles; cocoa-butter-low; chocolate-too-hot, ganache-too-cold,
// ganache-too-hot; syrup-altitude, above-boiling; alcohol-left; mix-temperature; raw-egg;
// hold-beyond-code, quality-beyond-safety.
//
// # Limits
//
// The pH of a component is not on record: acid is judged by its ingredients, and keeping as if
// the pH freed it of nothing. A part that a formula does not take is not judged. What is in an
// unmarked text, such as a temperature in a step's words, is not read. Nothing here declares a
// food safe: the local code, a licensed professional and a probe decide.
package check
