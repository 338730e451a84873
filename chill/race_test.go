//go:build race

package chill_test

// racing says that the race detector is on, which makes a run take ten times as long.
const racing = true
