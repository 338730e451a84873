// Package packing measures package cutting on public sets of instances. The instances are not
// part of this repository: the tests look for them in ../shared beside it and skip where they
// are not there. With CHABLON_BENCH=full in the environment every instance is run and the tables
// of docs/performance.md are printed:
//
//	CHABLON_BENCH=full go test -v -timeout 60m ./bench/packing
//
// Without it, a quick subset is run and held against what is promised.
package packing
