//go:build !race

package heat

const racing = false
