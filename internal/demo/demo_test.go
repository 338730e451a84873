package demo_test

import (
	"testing"

	"chablon/internal/demo"
	"chablon/plan"
)

// The demo's documents resolve, and every call gives documents of its own.
func TestBook(t *testing.T) {
	t.Parallel()
	a, b := demo.Book(t), demo.Book(t)
	if a == b || a.Kitchen == b.Kitchen || len(a.Orders) == 0 || len(a.Formulas) < 10 {
		t.Fatalf("%d orders, %d formulas, shared: %v", len(a.Orders), len(a.Formulas), a == b)
	}
	if d := plan.Amounts(a.Job()); len(d.Batches) == 0 {
		t.Error("nothing is made for the demo's orders")
	}
}
