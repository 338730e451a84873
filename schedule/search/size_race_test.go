//go:build race

package search

// problems is fewer under the race detector, which looks at the engines' memory, not at plans.
const problems = 60
