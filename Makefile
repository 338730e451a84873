# `make run` needs Go alone. `make test` installs what else it needs; see scripts/test.sh.
ARGS ?=

.PHONY: run build test generate fmt lint race bench

run: build
	bin/chablon serve $(ARGS)

build:
	go build -o bin/ ./cmd/...

test:
	scripts/test.sh

generate fmt lint race:
	scripts/test.sh $@

bench:
	go test -run '^$$' -bench . -benchmem ./...
