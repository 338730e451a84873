package lint

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
)

const bibliography = "docs/sources.bib"

var (
	entry    = regexp.MustCompile(`(?m)^@\w+\{([^,\s]+),`)
	citation = regexp.MustCompile(`\bbib:([a-z][a-z0-9-]*)`)
)

// citationFaults returns the citations written bib:KEY, in code, data or prose, whose key the
// bibliography lacks.
func citationFaults(files map[string]string, keys []string) []string {
	var faults []string
	for _, name := range slices.Sorted(maps.Keys(files)) {
		for i, line := range strings.Split(files[name], "\n") {
			for _, m := range citation.FindAllStringSubmatch(line, -1) {
				if !slices.Contains(keys, m[1]) {
					faults = append(faults, fmt.Sprintf("%s:%d: no source %q in %s; add it there", name, i+1, m[1], bibliography))
				}
			}
		}
	}
	return faults
}

// entryFaults returns the entries of the bibliography that are given twice or lack a field by
// which a reader finds the source.
func entryFaults(bib string) []string {
	var faults []string
	seen := map[string]bool{}
	starts := entry.FindAllStringSubmatchIndex(bib, -1)
	for i, at := range starts {
		key, end := bib[at[2]:at[3]], len(bib)
		if i+1 < len(starts) {
			end = starts[i+1][0]
		}
		if seen[key] {
			faults = append(faults, fmt.Sprintf("%s: %s is there twice", bibliography, key))
		}
		seen[key] = true
		for _, field := range []string{"title", "year"} {
			if !regexp.MustCompile(`(?m)^\s*` + field + `\s*=\s*\{.+\}`).MatchString(bib[at[0]:end]) {
				faults = append(faults, fmt.Sprintf("%s: %s has no %s", bibliography, key, field))
			}
		}
	}
	return faults
}

func keys(bib string) []string {
	var list []string
	for _, m := range entry.FindAllStringSubmatch(bib, -1) {
		list = append(list, m[1])
	}
	return list
}

// local are texts of the machine or network that a file happened to be written on. Each is in
// two parts here, so that this file passes its own rule.
var local = []string{
	"/" + "work/", "/" + "root/",
	"proxy." + "golang.org", "sum." + "golang.org", "registry." + "npmjs.org", "deb." + "debian.org", "pypi." + "org", "crates." + "io",
}

func localFaults(files map[string]string) []string {
	var faults []string
	for _, name := range slices.Sorted(maps.Keys(files)) {
		for i, line := range strings.Split(files[name], "\n") {
			for _, text := range local {
				if strings.Contains(line, text) {
					faults = append(faults, fmt.Sprintf("%s:%d: has %q, which holds on one machine only; leave it out", name, i+1, text))
				}
			}
		}
	}
	return faults
}

func TestCitations(t *testing.T) {
	all := files(t)
	bib, ok := all[bibliography]
	if !ok {
		t.Fatalf("no %s", bibliography)
	}
	report(t, entryFaults(bib))
	report(t, citationFaults(all, keys(bib)))
}

func TestNothingLocal(t *testing.T) {
	report(t, localFaults(files(t)))
}

func TestCitationFaults(t *testing.T) {
	const cite = "bib" + ":" // in two parts, or it would be a citation here
	wantFaults(t, citationFaults(map[string]string{
		"a.go":  "// Source: " + cite + "known, table 2.\nconst s = \"" + cite + "unknown\"\n",
		"b.csv": "x," + cite + "known\nno" + cite + "word\n",
	}, []string{"known"}), `a.go:2: no source "unknown"`)
}

func TestEntryFaults(t *testing.T) {
	const bib = "@book{one,\n  title = {A},\n  year = {1986},\n}\n@misc{two,\n  title = {B},\n}\n@misc{one,\n  title = {C},\n  year = {2000},\n}\n"
	wantFaults(t, entryFaults(bib), "two has no year", "one is there twice")
}

func TestLocalFaults(t *testing.T) {
	wantFaults(t, localFaults(map[string]string{
		"a.md": "see the workshop/plan\nin /" + "work/main\n",
	}), `a.md:2: has "/`+`work/"`)
}
