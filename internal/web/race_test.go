//go:build race

package web_test

// racing says that the race detector is on: a measure would be of the detector.
const racing = true
