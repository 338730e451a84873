package lint

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// forbiddenImports are what no package at the root may import: the domain is functions from
// values to values, and reads no file, network, database or log.
var forbiddenImports = []string{
	"database/sql", "database/sql/driver", "net", "net/http", "os", "os/exec", "os/signal",
	"log", "log/slog", "math/rand", "crypto/rand",
}

// forbiddenCalls are the functions by which a result would come to depend on more than its
// inputs. Of math/rand/v2 only seeded returns a generator that the caller has seeded.
var forbiddenCalls = map[string][]string{
	"time": {"Now", "Since", "Until"},
}

var seeded = []string{"New", "NewPCG", "NewChaCha8", "NewZipf", "Rand", "PCG", "ChaCha8", "Source", "Zipf"}

// isDomain reports whether a package is an idea of the product: all at the root are, and what
// is technology stands in internal or cmd.
func isDomain(p goPackage) bool {
	r := room(p.ImportPath)
	return r != "" && !strings.HasPrefix(r, "internal/") && !strings.HasPrefix(r, "cmd/")
}

func importFaults(list []goPackage) []string {
	var faults []string
	for _, p := range list {
		for _, imported := range p.Imports {
			if isDomain(p) && slices.Contains(forbiddenImports, imported) {
				faults = append(faults, fmt.Sprintf("%s imports %s: the domain reads no clock, file, network or global; "+
					"take the value as an argument (random numbers: math/rand/v2 with a seed)", p.ImportPath, imported))
			}
		}
	}
	return faults
}

// callFaults returns where a file uses a function that a domain package must not.
func callFaults(fset *token.FileSet, file *ast.File) []string {
	names := map[string]string{} // of a package in this file → its path
	for _, spec := range file.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil || (forbiddenCalls[imported] == nil && imported != "math/rand/v2") {
			continue
		}
		name := "rand"
		if imported != "math/rand/v2" {
			name = imported
		}
		if spec.Name != nil {
			name = spec.Name.Name
		}
		names[name] = imported
	}
	var faults []string
	if from, dot := names["."]; dot {
		faults = append(faults, fmt.Sprintf("%s imports %s by a dot; name it", fset.Position(file.Pos()).Filename, from))
	}
	ast.Inspect(file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		x, ok := sel.X.(*ast.Ident)
		if !ok {
			return true
		}
		switch from := names[x.Name]; {
		case from == "math/rand/v2" && !slices.Contains(seeded, sel.Sel.Name):
			faults = append(faults, fmt.Sprintf("%s: rand.%s has no seed; take a *rand.Rand or a seed as an argument",
				fset.Position(sel.Pos()), sel.Sel.Name))
		case slices.Contains(forbiddenCalls[from], sel.Sel.Name):
			faults = append(faults, fmt.Sprintf("%s: %s.%s reads the clock; take the time as an argument",
				fset.Position(sel.Pos()), from, sel.Sel.Name))
		}
		return true
	})
	return faults
}

func TestDomainImports(t *testing.T) {
	report(t, importFaults(packages(t)))
}

func TestDomainReadsNoClockAndNoChance(t *testing.T) {
	for _, p := range packages(t) {
		if !isDomain(p) {
			continue
		}
		for _, name := range p.GoFiles {
			fset := token.NewFileSet()
			file, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Error(err)
				continue
			}
			report(t, callFaults(fset, file))
		}
	}
}

func TestImportFaults(t *testing.T) {
	wantFaults(t, importFaults([]goPackage{
		{ImportPath: "chablon/unit", Imports: []string{"math", "math/rand/v2"}},
		{ImportPath: "chablon/internal/web", Imports: []string{"net/http", "log/slog"}},
		{ImportPath: "chablon/heat/heattest", Imports: []string{"os"}},
		{ImportPath: "chablon/plan", Imports: []string{"math/rand", "time"}},
	}), "chablon/heat/heattest imports os", "chablon/plan imports math/rand")
}

func TestCallFaults(t *testing.T) {
	const source = `package p
import (
	"math/rand/v2"
	clock "time"
)
var seeded = rand.New(rand.NewPCG(1, 2))
var chance = rand.IntN(6)
var begin = clock.Now()
var hour = clock.Hour
var now = clock.Now
`
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, "p.go", source, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	wantFaults(t, callFaults(fset, file), "p.go:7:14: rand.IntN", "p.go:8:13: time.Now", "p.go:10:11: time.Now")
}
