package exact

import (
	"context"
	"flag"
	"slices"
	"sort"
	"strings"
	"testing"
	"time"
)

var (
	measureSets = flag.String("sets", "", "public sets to measure, by commas; none if empty")
	measureTime = flag.Duration("limit", 5*time.Second, "time for one instance")
	measureSide = flag.Int("strategy", int(Alternate), "strategy, or -1 for two side by side")
	measureOnly = flag.String("only", "", "parts of file names to measure, by commas")
	measureTop  = flag.Int("top", 0, "measure so many files of each set at most")
)

// TestMeasure proves public instances and prints what was closed in how long. No result may
// contradict a proven value.
func TestMeasure(t *testing.T) {
	if *measureSets == "" {
		t.Skip("-sets names nothing to measure")
	}
	best, proven := bestKnown(t)
	for _, set := range strings.Split(*measureSets, ",") {
		files := instanceFiles(t, set)
		if *measureTop > 0 && len(files) > *measureTop {
			files = files[:*measureTop]
		}
		var times []float64
		done := 0
		for _, file := range files {
			if !slices.ContainsFunc(strings.Split(*measureOnly, ","), func(part string) bool { return strings.Contains(file, part) }) {
				continue
			}
			name := instanceName(set, file)
			p := readFile(t, file)
			begin := time.Now()
			ctx, cancel := context.WithTimeout(t.Context(), *measureTime)
			res := solveSides(ctx, t, p, Options{Strategy: Strategy(max(*measureSide, 0))}, *measureSide < 0)
			cancel()
			spent := time.Since(begin).Seconds()
			done++
			closed := res.Status == Optimal || res.Status == Infeasible
			if closed {
				times = append(times, spent)
			}
			want := best[name]
			got := res.Plan.Makespan
			t.Logf("%-16s %-10s %6d >= %6d  best known %6d  %7.2f s %8d conflicts", name, res.Status, got, res.Lower, want, spent, res.Conflicts)
			if want > 0 && (res.Status == Infeasible || proven[name] && got > 0 && got < want || res.Lower > want ||
				res.Status == Optimal && proven[name] && got != want) || want < 0 && got > 0 {
				t.Errorf("%s: %v %d >= %d contradicts %d", name, res.Status, got, res.Lower, want)
			}
		}
		sort.Float64s(times)
		within := func(s float64) int { return sort.SearchFloat64s(times, s) }
		t.Logf("SET %s: %d instances, closed within 0.5/1/2/5/10/60 s: %d/%d/%d/%d/%d/%d", set, done,
			within(0.5), within(1), within(2), within(5), within(10), within(60))
	}
}
