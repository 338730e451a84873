//go:build !race

package search

// problems is how many random problems of each kind are planned.
const problems = 400
