package lint

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"
)

const (
	root   = "../.." // of the repository, from this folder
	module = "chablon"
)

// goPackage is what the rules need of a line of go list -json.
type goPackage struct {
	ImportPath string
	Name       string
	Dir        string
	Doc        string
	GoFiles    []string
	Imports    []string
	Error      *struct{ Err string }
}

// packages returns all packages of the module, listed once. One that go list cannot read fails
// the test.
func packages(t *testing.T) []goPackage {
	t.Helper()
	list, err := listed()
	if err != nil {
		t.Fatal(err)
	}
	if len(list) == 0 {
		t.Fatal("go list names no package")
	}
	for _, p := range list {
		if p.Error != nil {
			t.Errorf("%s: %s", p.ImportPath, p.Error.Err)
		}
	}
	return list
}

var listed = sync.OnceValues(func() ([]goPackage, error) {
	out, err := command("go", "list", "-e", "-json=ImportPath,Name,Dir,Doc,GoFiles,Imports,Error", "./...")
	if err != nil {
		return nil, err
	}
	var list []goPackage
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p goPackage
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return list, nil
		} else if err != nil {
			return nil, err
		}
		list = append(list, p)
	}
})

// files returns the text files of the repository, without those that git ignores, as path to
// content. Third-party files are left out: they are kept as they came.
func files(t *testing.T) map[string]string {
	t.Helper()
	out, err := textFiles()
	if err != nil {
		t.Fatal(err)
	}
	if len(out) == 0 {
		t.Fatal("git names no file")
	}
	return out
}

var textFiles = sync.OnceValues(func() (map[string]string, error) {
	out, err := command("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	if err != nil {
		return nil, err
	}
	list := map[string]string{}
	for name := range strings.SplitSeq(strings.TrimRight(string(out), "\x00"), "\x00") {
		if thirdParty(name) {
			continue
		}
		b, err := os.ReadFile(filepath.Join(root, name))
		if errors.Is(err, os.ErrNotExist) { // removed, and not yet committed
			continue
		}
		if err != nil {
			return nil, err
		}
		if utf8.Valid(b) && !bytes.ContainsRune(b, 0) {
			list[name] = string(b)
		}
	}
	return list, nil
})

func thirdParty(name string) bool {
	return strings.Contains(name, "/vendor/") || strings.HasSuffix(name, ".min.js") || path.Base(name) == "go.sum"
}

func command(name string, args ...string) ([]byte, error) {
	cmd := exec.Command(name, args...)
	cmd.Dir = root
	out, err := cmd.Output()
	if exit, ok := errors.AsType[*exec.ExitError](err); ok {
		return nil, errors.New(cmd.String() + ": " + string(exit.Stderr))
	}
	return out, err
}

// report fails the test once for each fault.
func report(t *testing.T, faults []string) {
	t.Helper()
	for _, f := range faults {
		t.Error(f)
	}
}

// wantFaults checks that a rule finds in a case that breaks it the faults expected, each known
// by a part of its text, and no others.
func wantFaults(t *testing.T, got []string, want ...string) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("got %d faults %q, want %d: %q", len(got), got, len(want), want)
	}
	for i := range want {
		if !strings.Contains(got[i], want[i]) {
			t.Errorf("fault %d: got %q, want it to contain %q", i, got[i], want[i])
		}
	}
}
