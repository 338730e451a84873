package schedule

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestCheck breaks one rule after another in a plan that holds: bake 10-30 (oven, 180), rest
// with 5 between, roll 35-45 (cook, 30-60).
func TestCheck(t *testing.T) {
	t.Parallel()
	m := NewModel(100)
	oven, cook := m.Resource("oven", 2), m.Resource("cook", 1)
	m.Calendar(cook, []Span{{30, 60, 1}})
	bake := m.Activity("bake", Mode{Duration: 20, Demands: []Demand{{Resource: oven, Amount: 1, Band: Between(180, 190)}}})
	roll := m.Activity("roll", use1(cook, 10), Mode{Duration: 10, Demands: []Demand{{Resource: oven, Amount: 2}}})
	dry := m.Activity("dry", Mode{Duration: 20, Demands: []Demand{{Resource: oven, Amount: 1, Band: Between(90, 100)}}})
	m.Activity("serve", Mode{})
	m.Release(bake, 5)
	m.Due(roll, 55)
	m.Fix(dry, 60)
	m.AtLeast(End(bake), Start(roll), 5, "rest")
	m.AtMost(End(bake), Start(roll), 10, "dries out")

	good := []int{10, 35, 60, 100}
	tests := []struct {
		name   string
		starts []int
		modes  []int
		want   []Violation
	}{
		{"holds", good, []int{0, 0, 0, 0}, nil},
		{"shape", []int{1}, []int{0, 0, 0, 0}, []Violation{{BadShape, "the plan has 1 starts and 4 modes for 4 activities"}}},
		{"mode", good, []int{0, 2, 0, 0}, []Violation{{BadShape, `"roll" is planned in mode 2, it has 2`}}},
		{"absurd start", []int{10, 35, 60, 1 << 62}, []int{0, 0, 0, 0}, []Violation{{OutOfTime, `"serve" starts at 4611686018427387904, the plan runs from 0 to 100`}}},
		{"past the end", []int{10, 35, 60, 101}, []int{0, 0, 0, 0}, []Violation{{OutOfTime, `"serve" runs from 101 to 101, the plan from 0 to 100`}}},
		{"release", []int{4, 30, 60, 0}, []int{0, 0, 0, 0}, []Violation{{TooEarly, `"bake" starts at 4, it may not before 5`}}},
		{"due", []int{18, 46, 60, 0}, []int{0, 0, 0, 0}, []Violation{{TooLate, `"roll" ends at 56, it is due by 55`}}},
		{"pin and settings", []int{10, 35, 29, 0}, []int{0, 0, 0, 0}, []Violation{
			{Moved, `"dry" starts at 29, it is fixed at 60`},
			{SettingClash, `"oven" is shared at 29 by "bake" at 180 to 190 and "dry" at 90 to 100: no setting suits both`},
		}},
		{"minimum lag", []int{11, 35, 60, 0}, []int{0, 0, 0, 0}, []Violation{{LagBroken, `"rest": at least 5 from the end of "bake" to the start of "roll", the plan has 4`}}},
		{"maximum lag", []int{10, 41, 60, 0}, []int{0, 0, 0, 0}, []Violation{{LagBroken, `"dries out": at most 10 from the end of "bake" to the start of "roll", the plan has 11`}}},
		{"at the opening", []int{5, 30, 60, 0}, []int{0, 0, 0, 0}, nil},
		{"before opening", []int{5, 29, 60, 0}, []int{0, 0, 0, 0}, []Violation{
			{LagBroken, `"rest": at least 5 from the end of "bake" to the start of "roll", the plan has 4`},
			{Overloaded, `"cook" has 0 at 29, 1 is taken: "roll"`},
		}},
		{"overload", []int{10, 35, 44, 0}, []int{0, 1, 0, 0}, []Violation{
			{Moved, `"dry" starts at 44, it is fixed at 60`},
			{Overloaded, `"oven" has 2 at 44, 3 is taken: "roll", "dry"`},
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if d := cmp.Diff(tt.want, Check(m, tt.starts, tt.modes)); d != "" {
				t.Error(d)
			}
			if len(tt.starts) == 4 && tt.starts[3] <= 101 && tt.modes[1] < 2 {
				if bad := naive(m, tt.starts, tt.modes); (bad == "") != (tt.want == nil) {
					t.Errorf("the naive checker says %q", bad)
				}
			}
		})
	}
}

// TestCheckMore breaks the rules that bind neighbours, pauses and budgets, one after another, in a
// plan that holds: choux 10-30 with the door shut, a tray of the same oven 30-50 at a setting 50
// lower, praline and then sablé on the bench, and drying over the break from 60 to 80.
func TestCheckMore(t *testing.T) {
	t.Parallel()
	m := NewModel(100)
	oven, bench, eggs := m.Resource("oven", 2), m.Resource("bench", 1), m.Budget("eggs", 5)
	day := m.Hours("day", []Span{{0, 60, 0}, {80, 100, 0}})
	m.Ramp(oven, 10, 20)
	m.SetUp(bench, "nuts", "plain", 15)
	on := func(d Demand, ticks int) Mode {
		d.Amount = 1
		return Mode{Duration: ticks, Demands: []Demand{d}}
	}
	choux := on(Demand{Resource: oven, Band: Between(200, 210), Door: NoEntry | NoExit}, 20)
	choux.Consumes = []Consumption{{eggs, 3}}
	rich := choux
	rich.Name, rich.Consumes = "rich", []Consumption{{eggs, 6}}
	m.Activity("choux", choux, rich)
	m.Activity("tray", on(Demand{Resource: oven, Band: Between(140, 150)}, 20), on(Demand{Resource: oven}, 20))
	m.Activity("praline", on(Demand{Resource: bench, Family: "nuts"}, 10))
	m.Activity("sablé", on(Demand{Resource: bench, Family: "plain"}, 10))
	dry := m.Activity("dry", Mode{Name: "racks", Duration: 20, Pauses: day}, Mode{Name: "oven", Duration: 20, Pauses: day})
	m.Activity("pack", Mode{Duration: 1})
	m.Running(dry, 0, 50)
	m.AtMostOpen(day, End(dry), Start(5), 4, "keeps dry")

	good := []int{10, 40, 0, 25, 50, 94}
	for _, tt := range []struct {
		name string
		at   int // activity moved
		to   int
		mode int
		want []Violation
	}{
		{"holds", 0, 10, 0, nil},
		{"no time to cool", 1, 39, 0, []Violation{{SettingClash, `"oven" goes from 200 to 210 for "choux" to 140 to 150 for "tray" in 9, it takes 10`}}},
		{"entry", 1, 15, 1, []Violation{{Disturbed, `"tray" starts on "oven" at 15, within "choux", during which nothing may`}}},
		{"exit", 1, 0, 1, []Violation{{Disturbed, `"tray" ends on "oven" at 20, within "choux", during which nothing may`}}},
		{"beside a shut door", 1, 10, 1, nil},
		{"not cleaned", 3, 24, 0, []Violation{{SetUpClash, `"bench" goes from "praline" (nuts) to "sablé" (plain) in 14, it takes 15`}}},
		{"at once", 3, 5, 0, []Violation{
			{SetUpClash, `"bench" runs "praline" and "sablé" at once at 5, which are "nuts" and "plain"`},
			{Overloaded, `"bench" has 1 at 5, 2 is taken: "praline", "sablé"`},
		}},
		{"other mode", 4, 50, 1, []Violation{{Changed, `"dry" is planned in mode "oven", it runs in "racks"`}}},
		{"closed", 4, 60, 0, []Violation{
			{Closed, `"dry" starts at 60, which is outside of its hours "day" or too late for 20 of work in them`},
			{Moved, `"dry" starts at 60, it is fixed at 50`},
			{LagBroken, `"keeps dry": at most 4 of "day" from the end of "dry" to the start of "pack", the plan has 14`},
		}},
		{"lag in working time", 5, 95, 0, []Violation{{LagBroken, `"keeps dry": at most 4 of "day" from the end of "dry" to the start of "pack", the plan has 5`}}},
		{"budget", 0, 10, 1, []Violation{{Overdrawn, `"eggs" has 5, 6 is used`}}},
	} {
		starts, modes := slices.Clone(good), make([]int, len(good))
		starts[tt.at], modes[tt.at] = tt.to, tt.mode
		if d := cmp.Diff(tt.want, Check(m, starts, modes)); d != "" {
			t.Errorf("%s: %s", tt.name, d)
		}
		if bad := naive(m, starts, modes); (bad == "") != (tt.want == nil) {
			t.Errorf("%s: the naive checker says %q", tt.name, bad)
		}
	}
}

func TestKindWords(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for k := BadModel; k <= Overdrawn; k++ {
		seen[k.String()] = true
	}
	if len(seen) != 14 || seen[""] {
		t.Errorf("fourteen kinds have the words %v", seen)
	}
}
