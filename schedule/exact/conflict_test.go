package exact

import (
	"context"
	"path/filepath"
	"slices"
	"testing"

	"chablon/schedule/internal/oracle"
	"chablon/schedule/project"
)

// TestConflict holds minimal cores of random infeasible problems against trying everything: they
// exclude every plan for the activities that clash, and without any one part there is a plan for them.
func TestConflict(t *testing.T) {
	t.Parallel()
	cores, kinds := 0, map[Kind]int{}
	for seed := range uint64(max(100, 1000/share)) {
		p := oracle.Random(seed, oracle.All)
		p.Goals = nil
		core, err := Conflict(t.Context(), p, 0)
		if err != nil {
			t.Fatal(err)
		}
		if hasPlan(p) {
			if core.Minimal || len(core.Parts) > 0 {
				t.Errorf("seed %d: core %v of a problem with a plan", seed, core)
			}
			continue
		}
		cores++
		for _, part := range core.Parts {
			kinds[part.Kind]++
		}
		if !core.Minimal {
			t.Errorf("seed %d: core %v is not said to be minimal", seed, core)
		}
		p, parts := among(p, core.Parts, core.Activities)
		if q := keep(p, parts); q.Horizon == p.Horizon && hasPlan(q) {
			t.Errorf("seed %d: core %v leaves a plan", seed, core)
		}
		for k := range core.Parts {
			q := keep(p, slices.Delete(slices.Clone(parts), k, k+1))
			// The plan itself is the evidence.
			res, err := Solve(t.Context(), q, Options{Any: true})
			if err != nil || res.Status != Optimal || oracle.Broken(q, res.Plan) != "" {
				t.Errorf("seed %d: core %v does not need %v: %v, %v", seed, core, core.Parts[k], res.Status, err)
			}
		}
	}
	if cores < max(20, 200/share) || len(kinds) < 8 {
		t.Errorf("only %d cores were looked at, with parts of the kinds %v", cores, kinds)
	}
}

func hasPlan(p *project.Problem) bool {
	_, _, ok := oracle.Optimum(p)
	return ok
}

// TestConflictOfHours explains why a day has too few hours for its work: a matter of what pauses.
func TestConflictOfHours(t *testing.T) {
	t.Parallel()
	core, err := Conflict(t.Context(), shifts(12, 1, 1), 0)
	if err != nil || !core.Minimal || !slices.Equal(core.Parts, []Part{{Renewable, 0}, {Calendar, 0}}) {
		t.Errorf("core %v, %v; want the people and their hours", core, err)
	}
}

// TestConflictStopped says that a core found under an ended context claims nothing.
func TestConflictStopped(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	// Three activities in a row of two ticks each cannot share five ticks.
	p := &project.Problem{Horizon: 5, Renewable: []project.Renewable{{Capacity: 1}}}
	for range 3 {
		p.Activities = append(p.Activities, project.Activity{Latest: 5, Modes: []project.Mode{{Duration: 2, Demand: []int32{1}}}})
	}
	core, err := Conflict(ctx, p, 0)
	if err != nil || core.Minimal && !slices.Equal(core.Parts, []Part{{Renewable, 0}, {Horizon, 0}}) {
		t.Errorf("core %v, %v", core, err)
	}
}

// TestConflictOfInstance explains a public instance that is infeasible for its resources.
func TestConflictOfInstance(t *testing.T) {
	t.Parallel()
	instanceFiles(t, "ubo20")
	best, _ := bestKnown(t)
	for _, file := range instanceFiles(t, "ubo20") {
		name := filepath.Base(file)
		if best["ubo20/"+name[:len(name)-len(".sch")]] >= 0 {
			continue
		}
		p := readFile(t, file)
		core, err := Conflict(t.Context(), p, 0)
		if err != nil || !core.Minimal || len(core.Parts) == 0 {
			t.Fatalf("%s: %v, %v", file, core, err)
		}
		t.Logf("%s: %d of %d parts are in conflict", name, len(core.Parts), len(partsOf(p)))
	}
}
