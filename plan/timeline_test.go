package plan_test

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"chablon/check"
	"chablon/document"
	"chablon/finding"
	"chablon/formula"
	"chablon/internal/demo"
	"chablon/kitchen"
	"chablon/plan"
	"chablon/unit"
)

func TestSaturdayIsPlannedAsWritten(t *testing.T) {
	t.Parallel()
	set := demo.Set(t)
	d := plan.Make(t.Context(), demo.Book(t).Job())
	if d.Status != plan.Planned || !d.Checked {
		t.Fatalf("status %s, checked %v: %v", d.Status, d.Checked, d.Conflict)
	}
	for _, f := range verify(t, set, d) {
		t.Error(f)
	}
	// The verifier must be able to fail: each of these breaks one kind of rule.
	shift := func(step string, by time.Duration) func(d *plan.Day) {
		return func(d *plan.Day) {
			for i := range d.Timeline {
				if e := &d.Timeline[i]; e.Step.ID == step {
					e.Start, e.HandsOff, e.End = e.Start.Add(by), e.HandsOff.Add(by), e.End.Add(by)
					return
				}
			}
			t.Fatalf("no step %s", step)
		}
	}
	for name, c := range map[string]struct {
		change func(d *plan.Day)
		says   string
	}{
		"too early":    {shift("fill-second", -time.Hour), "before"},
		"too late":     {shift("press-heart", time.Hour), "asked are"},
		"at night":     {func(d *plan.Day) { toNight(d, "weigh") }, "outside the shift"},
		"after due":    {shift("finish", 24*time.Hour), "due"},
		"two at once":  {func(d *plan.Day) { d.Timeline[1].Start = d.Timeline[0].Start }, "does"},
		"missing":      {func(d *plan.Day) { d.Timeline = d.Timeline[1:] }, "stands"},
		"no wait":      {func(d *plan.Day) { cut(d, "bake") }, "waits"},
		"one mixer":    {func(d *plan.Day) { together(d, "whip-cream", "whip-bombe") }, "mixer"},
		"oven setting": {func(d *plan.Day) { together(d, "roast", "bake") }, "oven"},
	} {
		d := plan.Make(t.Context(), demo.Book(t).Job())
		c.change(d)
		if got := strings.Join(verify(t, set, d), "\n"); !strings.Contains(got, c.says) {
			t.Errorf("%s: the verifier does not say %q but %q", name, c.says, got)
		}
	}
}

// toNight moves a step to three in the morning of its day.
func toNight(d *plan.Day, step string) {
	for i := range d.Timeline {
		if e := &d.Timeline[i]; e.Step.ID == step {
			by := time.Duration(e.Start.Hour()-3)*time.Hour + time.Duration(e.Start.Minute())*time.Minute
			e.Start, e.HandsOff, e.End = e.Start.Add(-by), e.HandsOff.Add(-by), e.End.Add(-by)
			return
		}
	}
}

// cut takes the wait off a step.
func cut(d *plan.Day, step string) {
	for i := range d.Timeline {
		if e := &d.Timeline[i]; e.Step.ID == step {
			e.End = e.HandsOff
			return
		}
	}
}

// together moves a step to where another starts.
func together(d *plan.Day, step, with string) {
	var to time.Time
	for _, e := range d.Timeline {
		if e.Step.ID == with {
			to = e.Start
		}
	}
	for i := range d.Timeline {
		if e := &d.Timeline[i]; e.Step.ID == step {
			by := to.Sub(e.Start)
			e.Start, e.HandsOff, e.End = to, e.HandsOff.Add(by), e.End.Add(by)
		}
	}
}

func TestSameJobSameDay(t *testing.T) {
	t.Parallel()
	var first []byte
	for range 3 {
		out, err := json.Marshal(document.Export(plan.Make(t.Context(), demo.Book(t).Job()), nil))
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = out
		}
		if !bytes.Equal(first, out) {
			t.Fatal("the same job gives another day")
		}
	}
}

// noPlan checks that a day without a plan shows none and says why.
func noPlan(t *testing.T, d *plan.Day, status plan.Status, says string) {
	t.Helper()
	if d.Status != status || d.Checked || len(d.Timeline) > 0 {
		t.Errorf("status %q, checked %v, %d entries; want %q and none", d.Status, d.Checked, len(d.Timeline), status)
	}
	if got := strings.Join(d.Conflict, "\n"); !strings.Contains(got, says) {
		t.Errorf("the conflict lacks %q: %q", says, got)
	}
	if !d.Findings.Has("no-plan-found") || d.Findings.Worst() != finding.Fault {
		t.Errorf("no fault says that there is no plan: %v", d.Findings)
	}
}

func planOf(t *testing.T, set *document.Set) *plan.Day {
	t.Helper()
	b, errs := document.Resolve(set, nil)
	for _, e := range errs {
		t.Fatal(e)
	}
	return plan.Make(t.Context(), b.Job())
}

// A wait that nothing can keep is proven impossible and named: the chill between boil and rest
// takes 30 minutes alone.
func TestImpossibleWait(t *testing.T) {
	t.Parallel()
	set := demo.Set(t)
	f, ok := document.Find[*document.Formula](set, "cocoa-glaze")
	if !ok {
		t.Fatal("no cocoa-glaze")
	}
	most, err := unit.ParseQuantity("5 min", unit.OfTime)
	if err != nil {
		t.Fatal(err)
	}
	f.Lags = append(f.Lags, document.Lag{From: document.StepEnd{Step: "boil"}, To: document.StepEnd{Step: "rest"}, AtMost: most, Reason: "nobody waits so long"})
	d := planOf(t, set)
	noPlan(t, d, plan.Impossible, "nobody waits so long")
	if len(d.Batches) == 0 || len(d.Pieces) == 0 {
		t.Error("amounts are gone with the plan")
	}
}

func TestClosedKitchen(t *testing.T) {
	t.Parallel()
	set := demo.Set(t)
	document.Every[*document.Kitchen](set)[0].Closed = []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}
	noPlan(t, planOf(t, set), plan.Impossible, "")
}

func TestDueBeforeAnyShift(t *testing.T) {
	t.Parallel()
	job := litre(steps(plain("mix", 1, 500), formula.Step{ID: "mix", Verb: "mix", Active: formula.Work{Fixed: time.Hour}}), 1)
	k := kitchen.Default()
	k.People[0].Shifts = []kitchen.Shift{{Days: [7]bool{time.Saturday: true}, From: 13 * time.Hour, To: 20 * time.Hour}}
	job.Kitchen = k
	noPlan(t, plan.Make(t.Context(), job), plan.Impossible, "") // due on Saturday at noon
}

func TestStopped(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	noPlan(t, plan.Make(ctx, demo.Book(t).Job()), plan.NotFound, "stopped")
}

func TestOnePerson(t *testing.T) {
	t.Parallel()
	set := demo.Set(t)
	k := document.Every[*document.Kitchen](set)[0]
	k.People = k.People[:1]
	d := planOf(t, set)
	if d.Status != plan.Planned { // rings of two sizes bind two pairs of hands within 20 minutes
		noPlan(t, d, d.Status, "")
		return
	}
	for _, f := range verify(t, set, d) {
		t.Error(f)
	}
}

func TestNoKitchen(t *testing.T) {
	t.Parallel()
	set := &document.Set{}
	for _, d := range demo.Set(t).All() {
		if document.KindOf(d) != "kitchen" {
			set.Add(d)
		}
	}
	d := planOf(t, set)
	if !d.Findings.Has("equipment-missing") {
		t.Error("equipment that the usual kitchen lacks is not named")
	}
	if d.Status == plan.Planned && (len(d.Timeline) == 0 || !d.Checked) {
		t.Error("planned without a checked timeline")
	}
	if d.Status != plan.Planned {
		noPlan(t, d, d.Status, "")
	}
}

func steps(f *formula.Formula, list ...formula.Step) *formula.Formula {
	f.Steps = list
	return f
}

func TestNoSteps(t *testing.T) {
	t.Parallel()
	d := plan.Make(t.Context(), litre(plain("mix", 1, 500), 2))
	if d.Status != plan.Planned || len(d.Timeline) != 2 {
		t.Fatalf("%s, %d entries: %v", d.Status, len(d.Timeline), d.Conflict)
	}
	for _, e := range d.Timeline {
		if !e.Step.Assumed {
			t.Errorf("step %s is not marked as assumed", e.Step.ID)
		}
	}
	// Ten minutes and two a piece, our own figures for an assembly without steps.
	if last := d.Timeline[1]; last.Component != "cake" || last.HandsOff.Sub(last.Start) != 14*time.Minute || last.End != saturdayNoon {
		t.Errorf("the cake takes %v and ends at %v", last.HandsOff.Sub(last.Start), last.End)
	}
	if empty := plan.Make(t.Context(), plan.Job{Kitchen: kitchen.Default()}); empty.Status != plan.NotPlanned || len(empty.Findings) > 0 {
		t.Errorf("no orders: %s, %v", empty.Status, empty.Findings)
	}
}

// Figures of a step that the kitchen cannot give, each found and none stopping the plan.
func TestStepsBeyondTheKitchen(t *testing.T) {
	t.Parallel()
	hour := formula.Work{Fixed: time.Hour}
	for _, c := range []struct {
		code string
		step formula.Step
		fine formula.Step
	}{
		{"people-short", formula.Step{Active: hour, People: 3}, formula.Step{Active: hour, People: 1}},
		{"skill-missing", formula.Step{Active: hour, Skill: "sugar"}, formula.Step{Active: hour}},
		{"equipment-missing", formula.Step{Active: hour, Modes: []formula.Mode{{Equipment: []string{"cutter"}}}}, formula.Step{Active: hour, Modes: []formula.Mode{{Equipment: []string{"mixer"}}}}},
		{"equipment-too-small", formula.Step{Active: hour, Modes: []formula.Mode{{Equipment: []string{"freezer"}, Trays: 5}}}, formula.Step{Active: hour, Modes: []formula.Mode{{Equipment: []string{"freezer"}, Trays: 4}}}},
		{"wait-assumed", formula.Step{Active: hour, Computed: "freeze"}, formula.Step{Active: hour, Waiting: time.Hour}},
	} {
		for _, s := range []struct {
			step formula.Step
			want bool
		}{{c.step, true}, {c.fine, false}} {
			s.step.ID = "step"
			job := litre(steps(plain("mix", 1, 500), s.step), 1)
			d := plan.Make(t.Context(), job)
			if d.Status != plan.Planned {
				t.Errorf("%s: %s, %v", c.code, d.Status, d.Conflict)
			}
			if got := d.Findings.Has(c.code); got != s.want {
				t.Errorf("%s: found %v, want %v: %v", c.code, got, s.want, d.Findings)
			}
			if !s.want {
				continue
			}
			job.Accepted = []check.Acceptance{{Where: "formula mix", Code: c.code, Reason: "we know"}}
			for _, f := range plan.Make(t.Context(), job).Findings {
				if f.Code == c.code && (f.Level != finding.Note || !strings.Contains(f.Reason, "we know")) {
					t.Errorf("%s is accepted and stays a %s: %s", c.code, f.Level, f.Reason)
				}
			}
		}
	}
}

// Two steps that name one bowl follow each other, though another bowl is free; the wait of a step
// with two ways stands where its hands were.
func TestOneBowlAndTwoWays(t *testing.T) {
	t.Parallel()
	whip := func(id, bowl string) formula.Step {
		return formula.Step{ID: id, Verb: "whip", Takes: []string{id}, Waiting: 30 * time.Minute, Modes: []formula.Mode{{Equipment: []string{bowl}}}}
	}
	k := kitchen.Default()
	k.Equipment = append(k.Equipment, kitchen.Equipment{ID: "second-bowl", Kind: "bowl", Count: 1})
	for _, c := range []struct {
		second string
		apart  bool
	}{{"bowl", true}, {"second-bowl", false}} {
		// "bowl" is the id of one bowl and the kind of both: the id goes first.
		f := steps(plain("mix", 1, 500), whip("a", "bowl"), whip("b", c.second), formula.Step{ID: "fold", Takes: []string{"a", "b"}, Active: formula.Work{Fixed: time.Minute}})
		f.Lines = append(f.Lines, formula.Line{ID: "a", Ingredient: sugar, Mass: 1}, formula.Line{ID: "b", Ingredient: sugar, Mass: 1})
		job := litre(f, 1)
		job.Kitchen = k
		d := plan.Make(t.Context(), job)
		if d.Status != plan.Planned {
			t.Fatal(d.Conflict)
		}
		at := map[string]plan.Entry{}
		for _, e := range d.Timeline {
			at[e.Step.ID] = e
		}
		apart := !at["a"].Start.Before(at["b"].End) || !at["b"].Start.Before(at["a"].End)
		if apart != c.apart {
			t.Errorf("with %q: apart %v, want %v", c.second, apart, c.apart)
		}
	}
}

// An assembly's step that takes a layer and comes after a foreign step still follows the one
// written before it.
func TestAfterElsewhereKeepsTheOrder(t *testing.T) {
	t.Parallel()
	job := litre(steps(plain("mix", 1, 500), formula.Step{ID: "cook", Active: formula.Work{Fixed: time.Minute}}), 1)
	job.Orders[0].Lines[0].Assembly.Steps = []formula.Step{
		{ID: "line", Waiting: 3 * time.Hour},
		{ID: "pour", Takes: []string{"fill"}, After: []string{"mix/cook"}, Active: formula.Work{Fixed: time.Minute}},
	}
	d := plan.Make(t.Context(), job)
	if d.Status != plan.Planned {
		t.Fatal(d.Conflict)
	}
	var lined time.Time
	for _, e := range d.Timeline {
		if e.Step.ID == "line" {
			lined = e.End
		}
		if e.Step.ID == "pour" && e.Start.Before(lined) {
			t.Errorf("pours at %v, lined at %v", e.Start, lined)
		}
	}
}

// Several batches serve the lines in their order, and a line waits for those that serve it.
func TestBatchesAreShared(t *testing.T) {
	t.Parallel()
	f := steps(plain("mix", 1, 500), formula.Step{ID: "cook", Active: formula.Work{Fixed: 30 * time.Minute}})
	f.Most = 1.1
	job := litre(f, 2)
	line := job.Orders[0].Lines[0]
	job.Orders[0].Lines = append(job.Orders[0].Lines, line, line) // three lines of 1 kg, three batches
	d := plan.Make(t.Context(), job)
	if d.Status != plan.Planned || d.Batches[0].Count != 3 {
		t.Fatalf("%s with %d batches: %v", d.Status, d.Batches[0].Count, d.Conflict)
	}
	for _, e := range d.Timeline {
		if e.Piece < 0 {
			continue
		}
		for _, b := range d.Timeline {
			if b.Batch == e.Piece+1 && e.Start.Before(b.End) {
				t.Errorf("line %d starts at %v before batch %d is over at %v", e.Piece, e.Start, b.Batch, b.End)
			}
		}
	}
}
