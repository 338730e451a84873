// Package demo gives tests the documents of the demo (package examples), read and resolved. Nothing
// that is not a test imports it.
package demo

import (
	"io/fs"
	"testing"

	"chablon/document"
	"chablon/examples"
)

// Set parses the demo's documents anew, so that a test may change them. A problem ends the test.
func Set(tb testing.TB) *document.Set {
	tb.Helper()
	src := examples.Saturday()
	names, err := fs.Glob(src, "*.yaml")
	if err != nil || len(names) == 0 {
		tb.Fatalf("demo: %d documents: %v", len(names), err)
	}
	files := make([]document.File, len(names))
	for i, name := range names {
		data, err := fs.ReadFile(src, name)
		if err != nil {
			tb.Fatalf("demo: %v", err)
		}
		files[i] = document.File{Name: name, Data: data}
	}
	set, errs := document.ParseFiles(files)
	none(tb, errs)
	return set
}

// Book resolves the demo's documents anew. A problem ends the test.
func Book(tb testing.TB) *document.Book {
	tb.Helper()
	book, errs := document.Resolve(Set(tb), nil)
	none(tb, errs)
	return book
}

func none(tb testing.TB, errs []*document.Error) {
	tb.Helper()
	for _, e := range errs {
		tb.Errorf("demo: %v", e)
	}
	if len(errs) > 0 {
		tb.FailNow()
	}
}
