package sheet_test

import (
	"context"
	"sync"
	"testing"

	"chablon/internal/demo"
	"chablon/plan"
)

// planned is the day of the demo, planned once.
var planned struct {
	once sync.Once
	day  *plan.Day
}

func demoDay(t testing.TB) *plan.Day {
	t.Helper()
	planned.once.Do(func() { planned.day = plan.Make(context.Background(), demo.Book(t).Job()) })
	if planned.day == nil {
		t.Fatal("the demo has faults, see the first test that asked for it")
	}
	if day := planned.day; day.Status != plan.Planned {
		t.Fatalf("demo is %s: %v", day.Status, day.Conflict)
	}
	return planned.day
}
