//go:build !race

package chill_test

const racing = false
