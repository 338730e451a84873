package plan_test

import (
	"context"
	"io/fs"
	"testing"

	"chablon/document"
	"chablon/examples"
	"chablon/plan"
)

// saturday parses the demo documents.
func saturday(tb testing.TB) *document.Set {
	tb.Helper()
	var files []document.File
	src := examples.Saturday()
	names, err := fs.Glob(src, "*.yaml")
	if err != nil {
		tb.Fatal(err)
	}
	for _, name := range names {
		data, err := fs.ReadFile(src, name)
		if err != nil {
			tb.Fatal(err)
		}
		files = append(files, document.File{Name: name, Data: data})
	}
	set, errs := document.ParseFiles(files)
	for _, e := range errs {
		tb.Error(e)
	}
	if tb.Failed() {
		tb.FailNow()
	}
	return set
}

// book resolves the demo documents.
func book(tb testing.TB) *document.Book {
	tb.Helper()
	b, errs := document.Resolve(saturday(tb), nil)
	for _, e := range errs {
		tb.Error(e)
	}
	if tb.Failed() {
		tb.FailNow()
	}
	return b
}

func BenchmarkSaturday(b *testing.B) {
	set := saturday(b)
	bk := book(b)
	b.Run("resolve", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			document.Resolve(set, nil)
		}
	})
	b.Run("resolve again", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			document.Resolve(set, bk)
		}
	})
	b.Run("amounts", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			plan.Amounts(bk.Job())
		}
	})
	b.Run("resolve and amounts", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			again, _ := document.Resolve(set, nil)
			plan.Amounts(again.Job())
		}
	})
	ring := bk.Job()
	ring.Orders = []plan.Order{bk.Orders[0]}
	ring.Orders[0].Lines = ring.Orders[0].Lines[:1]
	b.Run("one assembly", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			plan.Amounts(ring)
		}
	})
	b.Run("documents to one assembly", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			again, _ := document.Resolve(set, nil)
			job := again.Job()
			job.Orders = []plan.Order{again.Orders[0]}
			job.Orders[0].Lines = job.Orders[0].Lines[:1]
			plan.Amounts(job)
		}
	})
	b.Run("schedule", func(b *testing.B) {
		for b.Loop() {
			plan.Amounts(bk.Job()).Schedule(context.Background())
		}
	})
}
