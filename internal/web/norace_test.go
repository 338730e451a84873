//go:build !race

package web_test

const racing = false
