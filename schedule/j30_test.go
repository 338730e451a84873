package schedule

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestJ30 plans the first ten files of the public set J30 (Kolisch and Sprecher, "PSPLIB: a
// project scheduling problem library", EJOR 96, 1997) forward. The first plan of a priority
// rule must lie within 20 % of the best known makespan on average.
func TestJ30(t *testing.T) {
	t.Parallel()
	const folder = "../../shared/bench/scheduling"
	files, err := filepath.Glob(folder + "/j30/*.sm")
	if err != nil || len(files) < 10 {
		t.Skip("the benchmark files are not there")
	}
	best := bestKnown(t, folder+"/best_known.csv")
	total := 0.0
	for _, file := range files[:10] {
		m := readProject(t, file)
		res, err := Solve(t.Context(), m, Options{Early: true})
		if err != nil || res.Status != Feasible {
			t.Fatalf("%s: %v, %v", file, res.Status, err)
		}
		if bad := naive(m, res.Starts, res.Modes); bad != "" {
			t.Errorf("%s: breaks %s", file, bad)
		}
		want := best[strings.TrimSuffix(filepath.Base(file), ".sm")]
		if want == 0 || res.Makespan < want {
			t.Errorf("%s: makespan %d is under the proved optimum %d", file, res.Makespan, want)
		}
		total += float64(res.Makespan)/float64(want) - 1
	}
	t.Logf("mean gap %.1f %%", 10*total)
	if total/10 > 0.20 {
		t.Errorf("mean gap %.1f %%, want 20 at most", 10*total)
	}
}

func bestKnown(t *testing.T, file string) map[string]int {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	best := map[string]int{}
	for _, row := range rows[1:] {
		if row[0] == "j30" {
			// File names carry an underscore that the table has in the same place.
			best[row[1]], _ = strconv.Atoi(row[2])
		}
	}
	return best
}

// readProject reads a single-mode .sm file: jobs with successors, then durations and demands,
// then capacities.
func readProject(t *testing.T, file string) *Model {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	numbers := func(line string) (out []int) {
		for _, word := range strings.Fields(line) {
			n, err := strconv.Atoi(word)
			if err != nil {
				return nil
			}
			out = append(out, n)
		}
		return out
	}
	var m *Model
	section := ""
	var successors, requests, capacities [][]int
	for line := range strings.Lines(string(data)) {
		if _, after, ok := strings.Cut(line, "horizon                       :"); ok {
			m = NewModel(numbers(after)[0])
		}
		if strings.HasSuffix(strings.TrimSpace(line), ":") {
			section = strings.TrimSpace(line)
		}
		n := numbers(line)
		switch {
		case len(n) == 0:
		case section == "PRECEDENCE RELATIONS:":
			successors = append(successors, n[3:])
		case section == "REQUESTS/DURATIONS:":
			requests = append(requests, n)
		case section == "RESOURCEAVAILABILITIES:":
			capacities = append(capacities, n)
		}
	}
	for r, capacity := range capacities[0] {
		m.Resource(fmt.Sprintf("R%d", r+1), capacity)
	}
	for _, n := range requests {
		mode := Mode{Duration: n[2]}
		for r, amount := range n[3:] {
			mode.Demands = append(mode.Demands, Demand{Resource: ResourceID(r), Amount: amount})
		}
		m.Activity(fmt.Sprintf("job %d", n[0]), mode)
	}
	for i, list := range successors {
		for _, j := range list {
			m.AtLeast(End(ActivityID(i)), Start(ActivityID(j-1)), 0, "precedence")
		}
	}
	return m
}
