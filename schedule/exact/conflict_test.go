package exact

import (
	"context"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"chablon/schedule/project"
)

// TestConflict holds minimal cores of random infeasible problems against brute force: they
// exclude every plan, and without any one part there is a plan.
func TestConflict(t *testing.T) {
	t.Parallel()
	cores := 0
	for seed := range uint64(1500) {
		p := randomProject(rand.New(rand.NewPCG(seed, 7)))
		core, err := Conflict(t.Context(), p, 0)
		if err != nil {
			t.Fatal(err)
		}
		if bruteForce(p, nil) >= 0 {
			if core.Minimal || len(core.Parts) > 0 {
				t.Errorf("seed %d: core %v of a problem with a plan", seed, core)
			}
			continue
		}
		cores++
		if !core.Minimal {
			t.Errorf("seed %d: core %v is not said to be minimal", seed, core)
		}
		if bruteForce(keep(p, core.Parts), nil) >= 0 {
			t.Errorf("seed %d: core %v leaves a plan", seed, core)
		}
		for k := range core.Parts {
			if bruteForce(keep(p, slices.Delete(slices.Clone(core.Parts), k, k+1)), nil) < 0 {
				t.Errorf("seed %d: core %v does not need %v", seed, core, core.Parts[k])
			}
		}
	}
	if cores < 200 {
		t.Errorf("only %d cores were looked at", cores)
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
	if err != nil || core.Minimal && len(core.Parts) != 1 {
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
