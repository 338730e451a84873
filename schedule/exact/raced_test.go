//go:build race

package exact

// share divides the number of random problems under the race detector, which is ten times as
// slow and looks for something else.
const share = 8
