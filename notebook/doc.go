// Package notebook reads ingredient lines and whole pasted texts as cooks write them: British,
// American, French, from the laboratory sheet of a professional or from the scan of an old book.
//
// A line goes through five readings, each in its own file: tokens (token.go), numbers
// (number.go), measures (measure.go), amounts with everything that may stand round a number and
// its measure (amount.go), and names with their preparation (name.go). form.go holds the turns
// of phrase in which the amount belongs to something else ("juice of 2 lemons"), line.go puts
// the parts together, weigh.go turns what was read into grams. page.go reads a text of many
// lines, steps.go its instructions, html.go pages that carry a Recipe in the vocabulary of
// schema.org.
//
// # What is promised
//
// The line as written is kept. No number is neither zero nor one: a line without an amount has
// HasAmount false. A stated mass beats a volume, a volume beats a count. Temperatures, times and
// the sizes of tins are never amounts. Whatever the reader had to suppose (the size of a cup, an
// egg, which cream) is in Assumptions; what a person must answer is in Questions; and Confidence
// falls with every word of the line that was not understood.
//
// All functions read their arguments and nothing else; the same text gives the same reading.
// Time and memory grow in proportion to the text.
package notebook
