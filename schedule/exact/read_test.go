package exact

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"chablon/schedule/project"
)

const benchFolder = "../../../shared/bench/scheduling"

// instanceFiles lists the files of one public set, and skips the test if there are none.
func instanceFiles(t *testing.T, set string) []string {
	t.Helper()
	for _, pattern := range []string{set, "rcpspmax/" + set, "multimode/" + set} {
		if files, _ := filepath.Glob(filepath.Join(benchFolder, pattern, "*")); len(files) > 0 {
			return files
		}
	}
	t.Skip("the benchmark files are not there")
	return nil
}

// bestKnown returns the best known makespans by set and instance, -1 for an infeasible one and
// 0 for one without a value, and whether they are proven.
func bestKnown(t *testing.T) (best map[string]int32, proven map[string]bool) {
	t.Helper()
	f, err := os.Open(filepath.Join(benchFolder, "best_known.csv"))
	if err != nil {
		t.Skip("the benchmark files are not there")
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	best, proven = map[string]int32{}, map[string]bool{}
	for _, row := range rows[1:] {
		v, _ := strconv.Atoi(row[2])
		if row[2] == "infeasible" {
			v = -1
		}
		best[row[0]+"/"+row[1]] = int32(v)
		proven[row[0]+"/"+row[1]] = row[4] == "true"
	}
	return best, proven
}

// readFile reads an instance by the ending of its name. Only well-formed files are expected.
func readFile(t *testing.T, file string) *project.Problem {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var p *project.Problem
	switch filepath.Ext(file) {
	case ".sm", ".mm":
		p = readModes(string(data))
	case ".sch":
		p = readLags(string(data))
	case ".jss":
		p = readShop(string(data))
	default:
		t.Fatalf("no reader for %s", file)
	}
	close := int64(0)
	for _, a := range p.Activities {
		longest := int32(0)
		for _, m := range a.Modes {
			longest = max(longest, m.Duration)
		}
		close += int64(longest)
	}
	for _, a := range p.Arcs {
		if a.Lag > 0 && !a.FromEnd {
			close += int64(a.Lag)
		}
	}
	p.Horizon = int32(close)
	for i := range p.Activities {
		p.Activities[i].Latest = p.Horizon
	}
	if err := p.Validate(); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return p
}

func numbers(s string) []int32 {
	var out []int32
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return r != '-' && (r < '0' || r > '9') }) {
		if v, err := strconv.Atoi(f); err == nil {
			out = append(out, int32(v))
		}
	}
	return out
}

func readModes(s string) *project.Problem {
	p := &project.Problem{}
	renewable, section := 0, ""
	var rows [][]int32
	lines := strings.Split(s, "\n")
	for _, line := range lines {
		switch {
		case strings.Contains(line, "- renewable"):
			renewable = int(numbers(line[strings.Index(line, ":"):])[0])
		case strings.HasPrefix(line, "PRECEDENCE"), strings.HasPrefix(line, "REQUESTS"), strings.HasPrefix(line, "RESOURCEAV"), strings.HasPrefix(line, "RESOURCE AV"):
			section = line[:8]
		case section == "PRECEDEN" && len(numbers(line)) > 2 && !strings.Contains(line, "#"):
			n := numbers(line)
			p.Activities = append(p.Activities, project.Activity{})
			for _, j := range n[3:] {
				p.Arcs = append(p.Arcs, project.Arc{From: n[0] - 1, To: j - 1, FromEnd: true})
			}
		case section == "REQUESTS" && len(numbers(line)) > 2 && !strings.Contains(line, "R 1") && !strings.Contains(line, "R1"):
			rows = append(rows, numbers(line))
		case section == "RESOURCE" && len(numbers(line)) > 0 && !strings.Contains(line, "R"):
			n := numbers(line)
			for k, v := range n {
				if k < renewable {
					p.Renewable = append(p.Renewable, project.Renewable{Capacity: v})
				} else {
					p.Budget = append(p.Budget, v)
				}
			}
		}
	}
	act := 0
	for _, n := range rows {
		if len(n) == 3+len(p.Renewable)+len(p.Budget) {
			act, n = int(n[0]-1), n[1:]
		}
		p.Activities[act].Modes = append(p.Activities[act].Modes, project.Mode{
			Duration: n[1], Demand: n[2 : 2+renewable], Consume: n[2+renewable:],
		})
	}
	return p
}

func readLags(s string) *project.Problem {
	p := &project.Problem{}
	lines := strings.Split(strings.TrimSpace(s), "\n")
	head := numbers(lines[0])
	n := int(head[0]) + 2
	for i := range n {
		v := numbers(lines[1+i])
		arcs := int(v[2])
		for k := range arcs {
			p.Arcs = append(p.Arcs, project.Arc{From: v[0], To: v[3+k], Lag: v[3+arcs+k]})
		}
		m := numbers(lines[1+n+i])
		p.Activities = append(p.Activities, project.Activity{Modes: []project.Mode{{Duration: m[2], Demand: m[3:]}}})
	}
	for _, c := range numbers(lines[1+2*n]) {
		p.Renewable = append(p.Renewable, project.Renewable{Capacity: c})
	}
	return p
}

func readShop(s string) *project.Problem {
	p := &project.Problem{}
	var rows [][]int32
	for _, line := range strings.Split(s, "\n") {
		if v := numbers(line); len(v) > 0 && !strings.HasPrefix(line, "#") {
			rows = append(rows, v)
		}
	}
	machines := int(rows[0][1])
	for range machines {
		p.Renewable = append(p.Renewable, project.Renewable{Capacity: 1})
	}
	for _, row := range rows[1:] {
		for k := 0; k+1 < len(row); k += 2 {
			demand := make([]int32, machines)
			demand[row[k]] = 1
			if k > 0 {
				i := int32(len(p.Activities))
				p.Arcs = append(p.Arcs, project.Arc{From: i - 1, To: i, FromEnd: true})
			}
			p.Activities = append(p.Activities, project.Activity{Modes: []project.Mode{{Duration: row[k+1], Demand: demand}}})
		}
	}
	return p
}

// instanceName is the name of an instance in the table of best known values.
func instanceName(set, file string) string {
	return set + "/" + strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
}
