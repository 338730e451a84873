// Package sheet makes the bench sheets of a day: what to weigh, what to do and when, and what to
// mind, for the wall of a kitchen.
//
// The content is made once, as sections of blocks (content.go, steps.go), and written twice: as
// PDF, laid on pages by [Sheet.PDF], and as an HTML page that prints, by [Sheet.HTML]. Both are
// black on white. On pages no step, table row or box of cautions is split unless it is longer
// than a page; a section that goes on repeats its heading, a table its head, and every page bears
// its number, the orders, when they are due, the kitchen, and that a probe thermometer decides.
//
// Where a step has a hazard its caution stands there: in full at the first such step of a
// component, in one sentence at later ones.
//
// The font of the PDF knows Latin letters only. Others lose their accents or become question
// marks there; the HTML shows them as written.
package sheet
