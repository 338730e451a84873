package race

import (
	"context"
	"fmt"
	"testing"
	"time"

	"chablon/schedule/project"
	"chablon/schedule/search"
)

// BenchmarkStop measures how long after the end of its context a race comes back.
func BenchmarkStop(b *testing.B) {
	problems := map[string]func() (*project.Problem, error){
		"week of 120":    func() (*project.Problem, error) { return search.Week(120, 1) },
		"week of 1000":   func() (*project.Problem, error) { return search.Week(1000, 1) },
		"week of 20000":  func() (*project.Problem, error) { return search.Week(20_000, 1) },
		"kitchen of 60":  func() (*project.Problem, error) { return search.Kitchen(60, 1) },
		"kitchen of 300": func() (*project.Problem, error) { return search.Kitchen(300, 1) },
	}
	for name, make := range problems {
		p, err := make()
		if err != nil {
			b.Fatal(err)
		}
		for _, after := range []time.Duration{1, 10, 100, 1000} {
			b.Run(fmt.Sprintf("%s after %d ms", name, after), func(b *testing.B) {
				var late, latest time.Duration
				for b.Loop() {
					ctx, cancel := context.WithTimeout(b.Context(), after*time.Millisecond)
					deadline, _ := ctx.Deadline()
					if _, err := Solve(ctx, p, Options{Seed: uint64(b.N)}); err != nil {
						b.Fatal(err)
					}
					by := time.Since(deadline)
					late, latest = late+max(0, by), max(latest, by)
					cancel()
				}
				b.ReportMetric(float64(late.Microseconds())/1000/float64(b.N), "ms-late")
				b.ReportMetric(float64(latest.Microseconds())/1000, "ms-latest")
			})
		}
	}
}
