package lint

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Groups of rooms, for use in the ladder. A room is a folder at the root, or one in internal or
// cmd, with all that is below it.
var (
	ground    = []string{"unit", "finding", "schedule", "mould", "cutting", "material", "heat", "ingredient", "kitchen", "blend", "notebook", "doubt"}
	composite = []string{"formula", "rescue", "exchange", "assembly", "chill", "check", "label", "purchase", "plan", "seek"}
	domain    = slices.Concat(ground, composite)
	// all is everything but commands, which nothing may import.
	all = slices.Concat(domain, []string{
		"document", "drawing", "sheet", "examples",
		"internal/sqlite", "internal/postgres", "internal/storetest", "internal/web", "internal/cli",
	})
)

// ladder says for each room which others it may import, besides itself. The picture and the
// reasons are in docs/architecture.md. A room listed here need not exist yet.
var ladder = map[string][]string{
	"unit":     {},
	"finding":  {"unit"},
	"schedule": {"unit", "finding"},
	"mould":    {"unit", "finding"},
	"cutting":  {"unit", "finding"},
	"material": {"unit", "finding"},
	"doubt":    {"unit", "finding"},

	"heat":       {"unit", "finding", "material"},
	"ingredient": {"unit", "finding", "material"},
	"kitchen":    {"unit", "finding", "mould"},
	"blend":      {"unit", "finding"},
	"notebook":   {"unit", "finding", "material", "ingredient"},

	"formula":  {"unit", "finding", "material", "ingredient"},
	"assembly": slices.Concat(ground, []string{"formula"}),
	"chill":    slices.Concat(ground, []string{"formula", "assembly"}),
	"check":    slices.Concat(ground, []string{"formula", "assembly"}),
	"label":    slices.Concat(ground, []string{"formula", "assembly"}),
	"purchase": slices.Concat(ground, []string{"formula", "assembly"}),
	"seek":     slices.Concat(ground, []string{"formula", "assembly", "purchase", "plan"}),
	"plan":     slices.Concat(ground, []string{"formula", "assembly", "chill", "check", "label", "purchase"}),

	"rescue":   slices.Concat(ground, []string{"formula"}),
	"exchange": slices.Concat(ground, []string{"formula"}),

	"document": domain,
	"drawing":  {"unit", "finding", "mould", "cutting", "kitchen", "assembly", "plan"},
	"sheet":    slices.Concat(domain, []string{"drawing"}),

	"examples": {},
	"bench":    domain, // measures packages on public instances; nothing imports it

	"internal/sqlite":    slices.Concat(ground, []string{"document", "internal/storetest"}),
	"internal/postgres":  slices.Concat(ground, []string{"document", "internal/storetest"}),
	"internal/storetest": slices.Concat(ground, []string{"document"}),
	"internal/demo":      {"document", "examples"}, // of tests alone
	"internal/web":       all,
	"internal/cli":       all,
	"internal/lint":      {},

	"cmd/chablon": all,
	"cmd/rcpsp":   {"unit", "finding", "schedule"},
}

// room returns the room of an import path, "" for one that is not ours or is the module's root.
func room(importPath string) string {
	rest, ours := strings.CutPrefix(importPath, module+"/")
	if !ours {
		return ""
	}
	first, rest, _ := strings.Cut(rest, "/")
	if first != "internal" && first != "cmd" {
		return first
	}
	second, _, _ := strings.Cut(rest, "/")
	return first + "/" + second
}

func ladderFaults(list []goPackage) []string {
	var faults []string
	for _, p := range list {
		from := room(p.ImportPath)
		allowed, known := ladder[from]
		if !known {
			faults = append(faults, fmt.Sprintf("%s: the ladder has no %q; put the package into a room that it has, "+
				"or add the room to internal/lint/ladder_test.go and docs/architecture.md with what it may import", p.ImportPath, from))
			continue
		}
		for _, imported := range p.Imports {
			to := room(imported)
			if to == "" || to == from || slices.Contains(allowed, to) {
				continue
			}
			faults = append(faults, fmt.Sprintf("%s imports %s, but %s may import of ours only %q: "+
				"move what it needs down the ladder, or hand it in as a value", p.ImportPath, to, from, allowed))
		}
	}
	return faults
}

func TestImportsKeepTheLadder(t *testing.T) {
	report(t, ladderFaults(packages(t)))
}

func TestLadderFaults(t *testing.T) {
	wantFaults(t, ladderFaults([]goPackage{
		{ImportPath: "chablon/unit", Imports: []string{"math", "fmt"}},
		{ImportPath: "chablon/heat/heattest", Imports: []string{"chablon/heat", "chablon/unit"}},
		{ImportPath: "chablon/plan", Imports: []string{"chablon/chill", "chablon/kitchen"}},
		{ImportPath: "chablon/mould", Imports: []string{"chablon/assembly"}},
		{ImportPath: "chablon/plan", Imports: []string{"chablon/internal/sqlite/schema"}},
		{ImportPath: "chablon/internal/web", Imports: []string{"chablon/cmd/chablon"}},
		{ImportPath: "chablon/internal/elsewhere"},
		{ImportPath: "chablon/topping"},
	}),
		"chablon/mould imports assembly", "chablon/plan imports internal/sqlite",
		"chablon/internal/web imports cmd/chablon", `no "internal/elsewhere"`, `no "topping"`)
}

// The table itself must be a ladder: each room that it names is in it, none imports a command,
// and along every chain of allowed imports one arrives at the ground. internal/web and
// internal/cli may use each other until one of them does; the compiler forbids the cycle.
func TestLadderHasNoCycle(t *testing.T) {
	above := map[string]bool{} // rooms on the way down to the present one
	var visit func(r string)
	visit = func(r string) {
		if above[r] {
			t.Errorf("%s is above itself", r)
			return
		}
		above[r] = true
		for _, to := range ladder[r] {
			if _, known := ladder[to]; !known {
				t.Errorf("%s may import %q, which is not in the ladder", r, to)
			}
			if strings.HasPrefix(to, "cmd/") {
				t.Errorf("%s may import the command %s", r, to)
			}
			visit(to)
		}
		above[r] = false
	}
	for r := range ladder {
		if r != "internal/web" && r != "internal/cli" && !strings.HasPrefix(r, "cmd/") {
			visit(r)
		}
	}
}
