package search

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"chablon/schedule/project"
)

func kitchen(t testing.TB, n int, seed uint64) *project.Problem {
	t.Helper()
	p, err := Kitchen(n, seed)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Validate(); err != nil {
		t.Fatal(err)
	}
	return p
}

// TestKitchen plans days of several sizes at once, and improves them.
func TestKitchen(t *testing.T) {
	t.Parallel()
	for _, n := range []int{60, 150, 300} {
		for seed := range uint64(3) {
			p := kitchen(t, n, seed)
			first, ok := First(t.Context(), p, seed)
			if !ok {
				t.Fatalf("day %d of %d activities: no first plan", seed, n)
			}
			if err := project.Check(p, first); err != nil {
				t.Fatal(err)
			}
			res := Improve(t.Context(), p, Options{Seed: seed, Work: 100, Report: func(plan project.Plan) {
				if err := project.Check(p, plan); err != nil {
					t.Fatal(err)
				}
			}})
			if !slices.Equal(res.Value, p.Value(res.Plan)) || slices.Compare(res.Value, p.Value(first)) >= 0 {
				t.Errorf("day %d of %d activities: value %v after %v", seed, n, res.Value, p.Value(first))
			}
		}
	}
}

// BenchmarkKitchenFirst is a first plan with all that comes before it.
func BenchmarkKitchenFirst(b *testing.B) {
	for _, n := range []int{60, 150, 300} {
		p := kitchen(b, n, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, ok := First(b.Context(), p, 1); !ok {
					b.Fatal("no plan")
				}
			}
		})
	}
}

// BenchmarkKitchenValue reports each goal of days planned for so long.
func BenchmarkKitchenValue(b *testing.B) {
	for _, n := range []int{60, 150, 300} {
		for _, long := range []time.Duration{100 * time.Millisecond, time.Second} {
			b.Run(fmt.Sprintf("%d/%v", n, long), func(b *testing.B) {
				days := 0.0
				sum := make([]float64, 5)
				for b.Loop() {
					p := kitchen(b, n, uint64(days))
					ctx, cancel := context.WithTimeout(b.Context(), long)
					res := Improve(ctx, p, Options{Seed: 1})
					cancel()
					days++
					for k, v := range res.Value {
						sum[k] += float64(v)
					}
				}
				for k, name := range []string{"late", "outside", "stale", "presence", "set-ups"} {
					b.ReportMetric(sum[k]/days, name)
				}
			})
		}
	}
}
