package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const samples = "../../schedule/psplib/testdata"

func runs(t *testing.T, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(context.Background(), args, &out, &errs)
	return out.String(), errs.String(), code
}

// TestFiles plans each sample. The makespans are found by hand: three.sm takes 3 and 2 on the
// full resource and 4 on half of it; two.mm has budget for one short mode; in lags.sch the end
// is 9 after job 3, which waits 2 for job 1; in two.jss job 2 needs machine 1 first.
func TestFiles(t *testing.T) {
	for file, want := range map[string]int32{"three.sm": 9, "three.rcp": 9, "two.mm": 6, "two.jss": 6, "lags.sch": 11} {
		stdout, stderr, code := runs(t, "-time", "300ms", filepath.Join(samples, file))
		if code != 0 {
			t.Fatalf("%s: exit %d, %s", file, code, stderr)
		}
		var a answer
		if err := json.Unmarshal([]byte(stdout), &a); err != nil {
			t.Fatalf("%s: %v in %s", file, err, stdout)
		}
		if a.Makespan == nil || *a.Makespan != want || !a.Checked || *a.Lower > want {
			t.Errorf("%s: %s, want a makespan of %d", file, stdout, want)
		}
		if strings.HasSuffix(file, ".mm") && len(a.Modes) != 4 {
			t.Errorf("%s: modes %v; one for each job is expected", file, a.Modes)
		}
	}
}

func TestFolderAndTable(t *testing.T) {
	folder := t.TempDir()
	for from, to := range map[string]string{"three.sm": "one.sm", "three.rcp": "two.rcp"} {
		data, err := os.ReadFile(filepath.Join(samples, from))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, to), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	set := filepath.Base(folder)
	known := "set,instance,best_known\n" + set + ",one,9\n" + set + ",two,8\n"
	if err := os.WriteFile(filepath.Join(folder, "best_known.csv"), []byte(known), 0o600); err != nil {
		t.Fatal(err)
	}
	stdout, stderr, code := runs(t, "-time", "100ms", folder)
	if code != 0 || strings.Count(stdout, "\n") != 2 {
		t.Fatalf("exit %d, %s%s", code, stdout, stderr)
	}
	// Of two files one is at the value and the other, 9 over 8, is 12.5 % above it.
	if !strings.Contains(stderr, "6.250") || !strings.Contains(stderr, "12.50") {
		t.Errorf("table:\n%s", stderr)
	}
}

func TestErrors(t *testing.T) {
	broken := filepath.Join(t.TempDir(), "broken.jss")
	if err := os.WriteFile(broken, []byte("2 2\n0 1 5\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{nil, 2, "no file"},
		{[]string{"-time", "0s", broken}, 2, "-time is 0s"},
		{[]string{"-workers", "0", broken}, 2, "-workers is 0"},
		{[]string{"-generate", "month"}, 2, "week or kitchen is expected"},
		{[]string{"-generate", "week", "-n", "3"}, 2, "from 20"},
		{[]string{broken}, 1, "line 2: a machine is"},
		{[]string{broken + "x"}, 1, "no such file"},
		{[]string{t.TempDir()}, 1, "holds no file"},
	} {
		stdout, stderr, code := runs(t, c.args...)
		if code != c.code || !strings.Contains(stderr+stdout, c.want) {
			t.Errorf("%v: exit %d, %q; want %d and %q", c.args, code, stderr, c.code, c.want)
		}
	}
}

func TestGenerate(t *testing.T) {
	for kind, want := range map[string]string{"week": `"lower_bound":`, "kitchen": `"lower_bound":null,"values":[`} {
		text, _, code := runs(t, "-generate", kind, "-n", "60", "-seed", "3")
		if code != 0 {
			t.Fatal(code)
		}
		if again, _, _ := runs(t, "-generate", kind, "-n", "60", "-seed", "3"); text != again {
			t.Errorf("the same seed gave two problems of the kind %s", kind)
		}
		file := filepath.Join(t.TempDir(), kind+".json")
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		stdout, stderr, code := runs(t, "-time", "200ms", file)
		if code != 0 || !strings.Contains(stdout, `"checked":true`) || !strings.Contains(stdout, want) {
			t.Errorf("%s: exit %d, %s%s", kind, code, stdout, stderr)
		}
	}
}
