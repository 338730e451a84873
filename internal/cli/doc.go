// Package cli is the command line: one file a command, and this package's own rules for what
// is printed and how a command ends.
//
// Answers go to standard output, problems to standard error, one a line, each naming file, line
// and column where there are any. The exit status is 0 when all is well, 1 when the documents
// have faults (what could be computed is printed all the same), and 2 when the command itself
// was written wrongly or a file could not be read or written.
package cli
