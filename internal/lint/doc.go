// Package lint holds the rules of the repository as tests: which package may import which, what
// the domain never does, how long a file may be, that each source cited is in the bibliography,
// and that the files speak of nothing but the product. It has no code of its own.
//
// The tables are the rules: ladder in ladder_test.go is the picture of docs/architecture.md, and
// a new package is added to both. A rule that turns out wrong is changed here, in the same
// commit as the code that shows it. Each rule is also tested on a small case that breaks it.
//
// The tests ask the go and git commands about the whole repository, of which the test cache
// knows nothing: run them with -count=1, as scripts/test.sh does.
package lint
