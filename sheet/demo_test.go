package sheet_test

import (
	"context"
	"io/fs"
	"sync"
	"testing"

	"chablon/document"
	"chablon/examples"
	"chablon/plan"
)

// demo is the day of the example documents, planned once.
var demo = sync.OnceValues(func() (*plan.Day, []*document.Error) {
	book, errs := demoBook()
	return plan.Make(context.Background(), book.Job()), errs
})

func demoBook() (*document.Book, []*document.Error) {
	var files []document.File
	all := examples.Saturday()
	err := fs.WalkDir(all, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(all, name)
		files = append(files, document.File{Name: name, Data: data})
		return err
	})
	if err != nil {
		panic(err) // the files are in the program
	}
	set, errs := document.ParseFiles(files)
	book, more := document.Resolve(set, nil)
	return book, append(errs, more...)
}

func demoDay(t testing.TB) *plan.Day {
	t.Helper()
	day, errs := demo()
	for _, e := range errs {
		t.Fatalf("demo documents: %v", e)
	}
	if day.Status != plan.Planned {
		t.Fatalf("demo is %s: %v", day.Status, day.Conflict)
	}
	return day
}
