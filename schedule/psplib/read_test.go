package psplib

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"chablon/schedule/project"
)

func readFile(t *testing.T, name string) *Instance {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in, err := Read(name, f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return in
}

// three is the problem that three.sm and three.rcp both write: job 2 before 4, on a resource of 2.
func three() project.Problem {
	one := func(d, r int32) project.Activity {
		return project.Activity{Latest: 9, Modes: []project.Mode{{Duration: d, Demand: []int32{r}}}}
	}
	return project.Problem{
		Horizon: 9, Activities: []project.Activity{one(3, 2), one(4, 1), one(2, 2)},
		Arcs:      []project.Arc{{From: 0, To: 2, FromEnd: true}},
		Renewable: []project.Renewable{{Capacity: 2}},
	}
}

func TestReadTheSameProblemInTwoFormats(t *testing.T) {
	for _, name := range []string{"three.sm", "three.rcp"} {
		in := readFile(t, name)
		if want := three(); !reflect.DeepEqual(in.Problem, want) {
			t.Errorf("%s: got %+v, want %+v", name, in.Problem, want)
		}
		plan := project.Plan{Start: []int32{0, 5, 3}, Mode: make([]int32, 3), Makespan: 9}
		if got, want := in.Starts(plan), []int32{0, 0, 5, 3, 9}; !reflect.DeepEqual(got, want) {
			t.Errorf("%s: starts %v, want %v", name, got, want)
		}
	}
}

func TestReadModes(t *testing.T) {
	in := readFile(t, "two.mm")
	if !in.MultiMode() || !reflect.DeepEqual(in.Problem.Budget, []int32{4}) || in.Problem.Horizon != 11 {
		t.Errorf("got %+v", in.Problem)
	}
	second := in.Problem.Activities[1].Modes[1]
	if want := (project.Mode{Duration: 6, Demand: []int32{1}, Consume: []int32{1}}); !reflect.DeepEqual(second, want) {
		t.Errorf("mode 2 of job 3 is %+v, want %+v", second, want)
	}
	plan := project.Plan{Start: []int32{0, 2}, Mode: []int32{0, 1}, Makespan: 8}
	if got := in.Modes(plan); !reflect.DeepEqual(got, []int32{1, 1, 2, 1}) {
		t.Errorf("modes %v", got)
	}
}

// TestReadLags checks bounds at the first dummy, a maximum lag, and that the last dummy is kept
// where an arc asks it to wait for longer than the work lasts (9 after the start of job 3).
func TestReadLags(t *testing.T) {
	in := readFile(t, "lags.sch")
	p := in.Problem
	if len(p.Activities) != 4 || p.Activities[1].Earliest != 1 {
		t.Fatalf("got %+v", p)
	}
	want := []project.Arc{
		{From: 0, To: 3, FromEnd: true},
		{From: 1, To: 3, FromEnd: true},
		{From: 2, To: 3, FromEnd: true},
		{From: 0, To: 2, Lag: 2},
		{From: 0, To: 3, Lag: 3},
		{From: 1, To: 3, Lag: 2},
		{From: 2, To: 3, Lag: 9},
		{From: 2, To: 0, Lag: -4},
	}
	if !reflect.DeepEqual(p.Arcs, want) {
		t.Errorf("arcs %+v, want %+v", p.Arcs, want)
	}
}

func TestReadJobShop(t *testing.T) {
	p := readFile(t, "two.jss").Problem
	if len(p.Activities) != 4 || len(p.Arcs) != 2 || p.Horizon != 10 {
		t.Fatalf("got %+v", p)
	}
	if want := []int32{0, 1}; !reflect.DeepEqual(p.Activities[2].Modes[0].Demand, want) || p.Activities[2].Modes[0].Duration != 4 {
		t.Errorf("the first operation of the second job is %+v", p.Activities[2])
	}
}

func TestJSONBackAndForth(t *testing.T) {
	want := three()
	want.Renewable[0].Steps = []project.Step{{Capacity: 2}, {From: 5, Capacity: 1}}
	var b bytes.Buffer
	if err := WriteJSON(&b, &want); err != nil {
		t.Fatal(err)
	}
	in, err := Read("three.json", &b)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(in.Problem, want) {
		t.Errorf("got %+v, want %+v", in.Problem, want)
	}
}

// TestErrorsNameTheLine breaks each file in one place.
func TestErrorsNameTheLine(t *testing.T) {
	for _, c := range []struct{ file, old, new, want string }{
		{"three.sm", "):  5", "):  x", "line 2: after"},
		{"three.sm", "PRECEDENCE", "PRESIDENT", `"PRECEDENCERELATIONS" is expected`},
		{"three.sm", "   4        1          1           5", "   4        1          1           7", "line 14: successor 7; a job from 1 to 5"},
		{"three.sm", "   4        1          1           5", "   4        1          2           5", "line 14: job 4"},
		{"three.sm", "  3      1     4       1", "  3      1     4", "line 22: mode 1 of job 3"},
		{"three.sm", "    2\n***", "    2  3\n***", "line 28: 2 capacities; 1 are expected"},
		{"three.rcp", "0 0 2 2 3", "0 0 2 2 9", "line 3: a successor is \"9\"; a whole number from 1 to 5"},
		{"three.rcp", "0 0 0\n", "0 0\n", "line 8: the file ends where a number of successors"},
		{"three.rcp", "0 0 0\n", "0 0 0 4\n", "line 8: \"4\" stands where the end"},
		{"lags.sch", "[-4]", "-4", "line 5: \"-4\" stands where a weight in brackets"},
		{"lags.sch", "3	1	2	1", "4	1	2	1", "line 10: the number of the activity"},
		{"two.jss", "1 4 0 1", "1 4 0", "line 4: machine 0 is without a duration"},
		{"two.jss", "1 4 0 1", "2 4 0 1", "line 4: a machine is \"2\"; a whole number from 0 to 1"},
		{"two.jss", "2 2", "3 2", "line 4: the file ends where a machine"},
	} {
		data, err := os.ReadFile(filepath.Join("testdata", c.file))
		if err != nil {
			t.Fatal(err)
		}
		broken := strings.Replace(string(data), c.old, c.new, 1)
		if broken == string(data) {
			t.Fatalf("%s has no %q", c.file, c.old)
		}
		_, err = Read(c.file, strings.NewReader(broken))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s with %q: error %v, want %q", c.file, c.new, err, c.want)
		}
	}
	if _, err := Read("notes", strings.NewReader("a b c\n")); err == nil || !strings.Contains(err.Error(), "format is not clear") {
		t.Errorf("unknown format: %v", err)
	}
}

func TestGuess(t *testing.T) {
	for file, want := range map[string]string{"three.sm": ".sm", "two.mm": ".sm", "three.rcp": ".rcp", "lags.sch": ".sch", "two.jss": ".jss"} {
		data, err := os.ReadFile(filepath.Join("testdata", file))
		if err != nil {
			t.Fatal(err)
		}
		if got := guess(data); got != want {
			t.Errorf("%s: %q, want %q", file, got, want)
		}
	}
}

// FuzzRead looks for input that makes a reader panic, or that it takes for a problem which
// breaks the rules of package project.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*.*")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(filepath.Ext(file), data)
	}
	f.Fuzz(func(t *testing.T, ending string, data []byte) {
		in, err := Read("x"+ending, bytes.NewReader(data))
		if err != nil {
			return
		}
		if err := valid(&in.Problem); err != nil {
			t.Fatal(err)
		}
	})
}
