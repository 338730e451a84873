package plan

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"chablon/check"
	"chablon/chill"
	"chablon/finding"
	"chablon/formula"
	"chablon/kitchen"
	"chablon/schedule"
)

// daysAhead is how long before the first due time work may start.
const daysAhead = 6

// mostModes bounds the ways of staffing one step.
const mostModes = 24

// Schedule places the steps backward from the due times and fills the timeline. The plan that it
// leaves has passed schedule.Check; if there is none, Conflict says what stands in the way and
// the timeline stays empty.
func (d *Day) Schedule(ctx context.Context) {
	d.Timeline, d.Conflict, d.Checked, d.Status = nil, nil, false, NotPlanned
	if len(d.Pieces) == 0 {
		return
	}
	defer func() { d.Findings = check.Accept(d.Findings, d.Job.Accepted) }()
	ways := map[int]int{}
	for {
		p := d.planner(ways)
		res, err := p.solve(ctx)
		switch {
		case err != nil:
			d.fail(NotFound, []string{err.Error()})
		case res.Status == schedule.Infeasible && len(ways) == 0:
			d.fail(Impossible, res.Conflict)
		case res.Starts == nil:
			d.fail(NotFound, res.Conflict)
		case p.settle(res, ways):
			continue // a wait stood elsewhere than its step: once more, each in one place
		default:
			d.keep(p, res)
		}
		return
	}
}

// Effort for a plan, in passes over all steps: a little, so that an edit is answered at once, and
// much where that found no plan.
const (
	littleWork = 8
	muchWork   = 4000
)

// solve looks for a plan that wants everything as late as can be, then little heating up and
// cooling down, then short attendance.
func (p *planner) solve(ctx context.Context) (schedule.Result, error) {
	var fresh []schedule.ActivityID
	for _, t := range p.tasks {
		fresh = append(fresh, t.active, t.wait)
	}
	p.model.Minimise(p.model.AsLate("fresh", fresh...))
	if oven, ok := p.kinds["oven"]; ok {
		p.model.Minimise(schedule.SetUps("oven changes", oven))
	}
	p.model.Minimise(schedule.Presence("attendance", p.attendance...))
	res, err := schedule.Solve(ctx, p.model, schedule.Options{Seed: 1, Work: littleWork})
	if err == nil && res.Status == schedule.Unknown && ctx.Err() == nil {
		res, err = schedule.Solve(ctx, p.model, schedule.Options{Seed: 1, Work: muchWork})
	}
	return res, err
}

// planner builds the model of the day. ways fixes, by task, the way of doing a step.
func (d *Day) planner(ways map[int]int) *planner {
	p := newPlanner(d)
	p.ways = ways
	p.resources()
	for _, r := range d.runs() {
		p.add(r)
	}
	p.precedences()
	p.lags()
	return p
}

// settle fixes the way of each step whose wait was planned in another way than its hands, and
// reports whether there was one: what a step takes is held through both.
func (p *planner) settle(res schedule.Result, ways map[int]int) bool {
	found := false
	for i, t := range p.tasks {
		if p.model.Modes(t.wait)[res.Modes[t.wait]].Duration == 0 {
			continue
		}
		if on := t.ways[res.Modes[t.active]]; on != res.Modes[t.wait] {
			if _, fixed := ways[i]; !fixed {
				ways[i], found = on, true
			}
		}
	}
	return found
}

// keep takes over a schedule that passes the independent checker.
func (d *Day) keep(p *planner, res schedule.Result) {
	if broken := schedule.Check(p.model, res.Starts, res.Modes); len(broken) > 0 {
		d.fail(NotFound, texts(broken))
		return
	}
	p.timeline(res)
	d.Status, d.Checked = Planned, true
}

func texts(broken []schedule.Violation) []string {
	out := make([]string, len(broken))
	for i, v := range broken {
		out[i] = v.Text
	}
	return out
}

func (d *Day) fail(s Status, conflict []string) {
	d.Status, d.Conflict = s, conflict
	code, remedy := "no-plan-found", "Give the work more people, hours or equipment, a longer wait, or a later due time."
	reason := "no plan was found that keeps every wait"
	if s == Impossible {
		reason = "no plan can keep every wait"
	}
	if len(conflict) > 0 {
		reason += ": " + strings.Join(conflict, "; ")
	}
	d.Findings = append(d.Findings, finding.Finding{Code: code, Level: finding.Fault, Where: "plan", Reason: reason, Remedy: remedy, Source: "the plan's own checker"}).Sorted()
}

// planner builds the scheduling model of one day. Its tick is one minute.
type planner struct {
	day        *Day
	zero       time.Time
	model      *schedule.Model
	people     []schedule.ResourceID
	attendance []schedule.Use // of each person, in their hours
	kinds      map[string]schedule.ResourceID
	room       map[string]int // capacity by kind
	tasks      []*task
	ids        map[string]schedule.ResourceID // of single pieces of equipment, where a kind has several
	ways       map[int]int                    // way of doing a step that is fixed, by task
	byRun      map[*run][]*task
	order      []*run
}

// task is one step of one run: hands on, then hands off.
type task struct {
	run          *run
	step         formula.Step
	active, wait schedule.ActivityID
	crews        [][]int // people of each mode
	modes        []formula.Mode
	ways         []int // index of each mode's way among the step's
	activeLength time.Duration
	waited       *chill.Wait
}

func newPlanner(d *Day) *planner {
	first, last := d.Pieces[0].Order.Due, d.Pieces[0].Order.Due
	for i := range d.Pieces {
		due := d.Pieces[i].Order.Due
		if due.Before(first) {
			first = due
		}
		if due.After(last) {
			last = due
		}
	}
	zone := d.Job.Kitchen.Zone
	if zone == nil {
		zone = time.UTC
	}
	f := first.In(zone)
	zero := time.Date(f.Year(), f.Month(), f.Day()-daysAhead, 0, 0, 0, 0, zone)
	m := schedule.NewModel(int(last.Sub(zero)/time.Minute) + 1)
	m.Tick = "min"
	m.Clock = func(t int) string { return zero.Add(time.Duration(t) * time.Minute).In(zone).Format("Mon 15:04") }
	return &planner{day: d, zero: zero, model: m, kinds: map[string]schedule.ResourceID{}, ids: map[string]schedule.ResourceID{}, room: map[string]int{}, byRun: map[*run][]*task{}}
}

// tick returns the minute of a time, rounded down.
func (p *planner) tick(t time.Time) int { return int(math.Floor(t.Sub(p.zero).Minutes())) }

// resources adds a resource for each person with their hours, and one for each kind of equipment.
func (p *planner) resources() {
	k := p.day.Job.Kitchen
	end := p.zero.Add(time.Duration(p.model.Horizon()) * time.Minute)
	for _, person := range k.People {
		r := p.model.Resource(nameOf(person.Name, person.ID), 1)
		var spans []schedule.Span
		for _, h := range k.Hours(person, p.zero, end) {
			from := int(math.Ceil(h.From.Sub(p.zero).Minutes()))
			if to := min(p.tick(h.To), p.model.Horizon()); from < to {
				spans = append(spans, schedule.Span{From: from, To: to, Capacity: 1})
			}
		}
		p.model.Calendar(r, spans)
		p.people = append(p.people, r)
		hours := p.model.Hours("hours of "+nameOf(person.Name, person.ID), spans)
		p.attendance = append(p.attendance, schedule.Use{Resource: r, Hours: hours, Weight: 1})
	}
	for _, e := range k.Equipment {
		p.room[e.Kind] += places(e)
	}
	for _, kind := range sortedKeys(p.room) {
		p.kinds[kind] = p.model.Resource(strings.ReplaceAll(kind, "-", " "), p.room[kind])
	}
	for _, e := range k.Equipment {
		if places(e) < p.room[e.Kind] {
			p.ids[e.ID] = p.model.Resource(nameOf(e.Name, e.ID), places(e))
		}
	}
}

// places is how much of a piece of equipment can be taken at once: trays, or the thing itself.
func places(e kitchen.Equipment) int { return max(1, e.Count) * max(1, e.Trays) }

func sortedKeys(m map[string]int) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// add makes the activities of a run.
func (p *planner) add(r *run) {
	p.order = append(p.order, r)
	for _, s := range r.steps {
		t := &task{run: r, step: s}
		wait := p.waiting(t)
		active := s.Active.For(r.mass, max(r.pieces, r.sheets))
		t.activeLength = active
		hands := minutes(active)
		var crews [][]int
		if hands > 0 {
			crews = p.crews(s, r)
		} else {
			crews = [][]int{nil}
		}
		ways := s.Modes
		if len(ways) == 0 {
			ways = []formula.Mode{{}}
		}
		if w, fixed := p.ways[len(p.tasks)]; fixed {
			ways = ways[w : w+1]
		}
		var on, off []schedule.Mode
		for w, way := range ways {
			demands := p.demands(way, r, s)
			for _, crew := range crews {
				if len(on) == mostModes {
					break
				}
				all := slices.Clone(demands)
				for _, who := range crew {
					all = append(all, schedule.Demand{Resource: p.people[who], Amount: 1})
				}
				on = append(on, schedule.Mode{Duration: hands, Demands: all})
				t.crews, t.modes, t.ways = append(t.crews, crew), append(t.modes, way), append(t.ways, w)
			}
			factor := way.TimeFactor
			if factor <= 0 {
				factor = 1
			}
			off = append(off, schedule.Mode{Duration: minutes(time.Duration(float64(wait) * factor)), Demands: demands})
		}
		name := r.label() + ": " + strings.ReplaceAll(s.ID, "-", " ")
		t.active = p.model.Activity(name, on...)
		t.wait = p.model.Activity(name+" (wait)", off...)
		p.model.AtOnce(t.active, t.wait, name+": the wait follows at once")
		p.tasks = append(p.tasks, t)
		p.byRun[r] = append(p.byRun[r], t)
	}
}

// minutes rounds a duration up to whole minutes.
func minutes(d time.Duration) int { return int(math.Ceil(d.Minutes() - 1e-9)) }

// crews lists the ways of putting people on a step: every set of as many as it needs, at least
// one with the skill it asks for.
func (p *planner) crews(s formula.Step, r *run) [][]int {
	k := p.day.Job.Kitchen
	n := max(1, s.People)
	if n > len(k.People) {
		p.say("people-short", r, s, fmt.Sprintf("needs %d people, but %d work here", n, len(k.People)), "Plan it for fewer hands, or add a person to the kitchen.")
		n = len(k.People)
	}
	skilled := func(crew []int) bool {
		if s.Skill == "" {
			return true
		}
		return slices.ContainsFunc(crew, func(i int) bool { return slices.Contains(k.People[i].Skills, s.Skill) })
	}
	var all, out [][]int
	var choose func(from int, crew []int)
	choose = func(from int, crew []int) {
		if len(all) >= 4*mostModes {
			return
		}
		if len(crew) == n {
			all = append(all, slices.Clone(crew))
			return
		}
		for i := from; i < len(k.People); i++ {
			choose(i+1, append(crew, i))
		}
	}
	choose(0, nil)
	for _, c := range all {
		if skilled(c) {
			out = append(out, c)
		}
	}
	if len(out) == 0 {
		p.say("skill-missing", r, s, fmt.Sprintf("asks for the skill %q, which nobody here has", s.Skill), "Add the skill to a person, or leave it out of the step.")
		return all
	}
	return out
}

func (p *planner) say(code string, r *run, s formula.Step, reason, remedy string) {
	f := finding.Finding{Code: code, Level: finding.Caution, Where: fmt.Sprintf("%s %s, step %q", r.kind(), r.id, s.ID), Reason: reason, Remedy: remedy, Source: "the kitchen's own list"}
	if !slices.Contains(p.day.Findings, f) {
		p.day.Findings = append(p.day.Findings, f).Sorted()
	}
}

// demands turns the equipment of one way of doing a step into demands.
func (p *planner) demands(way formula.Mode, r *run, s formula.Step) []schedule.Demand {
	amounts, single := map[string]int{}, map[string]int{}
	for _, word := range way.Equipment {
		found := p.day.Job.Kitchen.Find(word)
		if len(found) == 0 {
			p.say("equipment-missing", r, s, fmt.Sprintf("needs %q, which is not in the kitchen", word), "Add it to the kitchen's equipment, or give another way of doing the step.")
			continue
		}
		kind := found[0].Kind
		n := 1
		if found[0].Trays > 0 {
			n = max(1, way.Trays)
			if kind == "oven" {
				n *= max(1, r.sheets)
			}
		}
		amounts[kind] += n
		if _, several := p.ids[word]; several && found[0].ID == word {
			single[word] += min(n, places(found[0]))
		}
	}
	var out []schedule.Demand
	for _, kind := range sortedKeys(amounts) {
		n := amounts[kind]
		if n > p.room[kind] {
			p.say("equipment-too-small", r, s, fmt.Sprintf("takes %d places in the %s, which has %d", n, kind, p.room[kind]), "Make it in smaller batches, or in several rounds.")
			n = p.room[kind]
		}
		dem := schedule.Demand{Resource: p.kinds[kind], Amount: n}
		if kind == "oven" && way.Setting.Given() {
			low, high := way.Setting.TemperatureRange()
			dem.Band = schedule.Between(int(math.Floor(low.Celsius())), int(math.Ceil(high.Celsius())))
		}
		out = append(out, dem)
	}
	for _, id := range sortedKeys(single) {
		out = append(out, schedule.Demand{Resource: p.ids[id], Amount: single[id]})
	}
	return out
}
