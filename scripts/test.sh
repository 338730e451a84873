#!/usr/bin/env bash
# Runs the whole suite, or the named parts of it:
#
#	scripts/test.sh                  everything, in the order of `all` below
#	scripts/test.sh lint             format, analysis and architecture rules
#	scripts/test.sh race             the concurrent packages under the race detector
#	scripts/test.sh generate | fmt   write generated files | formatted files
#
# It never asks and never skips: a missing program is installed (Debian, as root or with sudo
# that needs no password), or the run fails and says what to install. A failed stage does not
# stop the later ones. Each stage prints its seconds, the last line counts what passed and
# failed: every package of the test stages, and every other stage, counts as one.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
tools=$PWD/.tools
log=$PWD/.cache/test
mkdir -p "$log"

# Packages that start goroutines or serve requests; those not written yet are left out.
concurrent=(schedule plan internal/sqlite internal/web)

passed=0 failed=0 broken=()

# stage NAME COMMAND... runs the command and counts it as one.
stage() {
	run "$@"
	if ((rc == 0)); then passed=$((passed + 1)); else failed=$((failed + 1)); fi
}

# packages NAME COMMAND... runs a go test command and counts the packages that it reports. A run
# that reports none has failed.
packages() {
	local ok bad
	run "$@"
	ok=$(grep -c '^ok  ' "$log/$1" || true)
	bad=$(grep -c $'^FAIL\t' "$log/$1" || true)
	if ((rc == 0 && ok == 0)); then
		echo "$1: no package was tested"
		broken+=("$1")
	fi
	if ((bad == 0 && (rc != 0 || ok == 0))); then bad=1; fi
	passed=$((passed + ok)) failed=$((failed + bad))
}

# run NAME COMMAND... leaves the exit code in rc and the output in $log/NAME. The command runs
# in a subshell of its own, since bash ignores -e inside a condition.
run() {
	local name=$1 begin=$SECONDS
	shift
	echo "== $name"
	set +e
	(
		set -e
		"$@"
	) </dev/null 2>&1 | tee "$log/$name"
	rc=${PIPESTATUS[0]}
	set -e
	echo "== $name: $( ((rc == 0)) && echo ok || echo FAILED), $((SECONDS - begin)) s"
	((rc == 0)) || broken+=("$name")
}

finish() {
	echo "== all: $SECONDS s"
	((failed == 0)) || echo "failed: ${broken[*]}"
	echo "$passed passed, $failed failed"
	((failed == 0)) || exit 1
	exit 0
}

# programs installs the compiler for the race detector, and the browser, fonts and PDF reader
# that tests look through.
programs() {
	local missing=() as=()
	command -v go >/dev/null || {
		echo "Go is missing: install Go 1.26 or later."
		return 1
	}
	command -v git >/dev/null || missing+=(git)
	command -v gcc >/dev/null || missing+=(gcc libc6-dev)
	command -v chromium >/dev/null || missing+=(chromium)
	command -v pdftotext >/dev/null && command -v pdftoppm >/dev/null || missing+=(poppler-utils)
	fonts || missing+=(fontconfig fonts-dejavu-core)
	((${#missing[@]})) || return 0

	if ((EUID != 0)); then as=(sudo -n); fi
	if ! command -v apt-get >/dev/null || ! "${as[@]}" true 2>/dev/null; then
		echo "The tests need programs that cannot be installed from here. As root, install: ${missing[*]}"
		return 1
	fi
	"${as[@]}" apt-get update -q
	"${as[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -qy --no-install-recommends "${missing[@]}"
}

# fonts reports whether the browser has a font for what the bundled one lacks, such as U+2153,
# the third.
fonts() { command -v fc-list >/dev/null && [[ -n $(fc-list :charset=2153) ]]; }

# tools builds the generator, formatter and analyser at the versions of tools/go.mod.
tools() {
	local stamp
	stamp=$(cat tools/go.mod tools/go.sum <(go version) | sha256sum)
	[[ -f $tools/stamp && $(<"$tools/stamp") == "$stamp" ]] && return 0
	(cd tools && go build -o "$tools/" tool)
	echo "$stamp" >"$tools/stamp"
}

templates() { git ls-files -co --exclude-standard -- "$@" | sort; }

generate() {
	[[ -n $(templates '*.templ') ]] || {
		echo "no .templ file, nothing to generate"
		return 0
	}
	"$tools/templ" generate
}

# generated fails if the generated files are not those that their sources give.
generated() {
	local before after
	before=$(sums)
	generate
	after=$(sums)
	[[ $before == "$after" ]] || {
		diff <(echo "$before") <(echo "$after") || true
		echo "generated files were stale; commit them as they are now"
		return 1
	}
}

# sums lists the generated files that exist with their checksums.
sums() {
	templates '*_templ.go' | while read -r file; do
		[[ ! -e $file ]] || sha256sum "$file"
	done
}

# formatted fails if gofumpt would change a file.
formatted() {
	local files
	files=$("$tools/gofumpt" -l .)
	[[ -z $files ]] || {
		echo "not formatted, run make fmt:"
		echo "$files"
		return 1
	}
}

fmt() {
	[[ -z $(templates '*.templ') ]] || "$tools/templ" fmt .
	"$tools/gofumpt" -w .
}

build() { go build -o bin/ ./...; }

# The rules look at every file of the repository, which the test cache does not know of.
rules() { go test -count=1 -vet=all ./internal/lint; }

# tests runs vet in full with the tests, so that nothing is type-checked twice.
tests() {
	# shellcheck disable=SC2046 # a package path has no spaces
	CHABLON_BROWSER=required go test -vet=all -timeout 10m \
		$(go list ./... | grep -v '/internal/lint$')
}

# race runs without the browser: it would test the browser's speed and was driven in tests.
race() {
	local dirs=() d
	for d in "${concurrent[@]}"; do
		if compgen -G "$d/*.go" >/dev/null; then dirs+=("./$d/..."); fi
	done
	((${#dirs[@]})) || {
		echo "none of ${concurrent[*]} exists"
		return 1
	}
	CHABLON_BROWSER=off go test -race -vet=off -timeout 10m "${dirs[@]}"
}

analysis() { "$tools/staticcheck" ./...; }

lint() {
	stage format formatted
	packages rules rules
	stage analysis analysis
}

all() {
	stage programs programs
	((failed == 0)) || finish
	stage tools tools
	((failed == 0)) || finish
	stage generated generated
	stage format formatted
	packages rules rules
	stage build build
	packages tests tests
	stage analysis analysis
	packages race race
}

case ${1:-all} in
all) all ;;
lint) stage tools tools && lint ;;
race) packages race race ;;
generate | fmt) stage tools tools && stage "$1" "$1" ;;
*)
	echo "usage: scripts/test.sh [lint | race | generate | fmt]" >&2
	exit 2
	;;
esac
finish
