package plan_test

import (
	"context"
	"testing"

	"chablon/document"
	"chablon/internal/demo"
	"chablon/plan"
)

func BenchmarkSaturday(b *testing.B) {
	set := demo.Set(b)
	bk := demo.Book(b)
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
