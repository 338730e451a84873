package plan_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"chablon/document"
	"chablon/plan"
)

// verifier judges a timeline by the words of the documents alone: it knows nothing of how the
// planner reads them.
type verifier struct {
	set     *document.Set
	kitchen *document.Kitchen
	zone    *time.Location
	day     *plan.Day
	faults  []string
}

// verify returns what is wrong with a day's timeline.
func verify(t *testing.T, set *document.Set, d *plan.Day) []string {
	t.Helper()
	v := &verifier{set: set, kitchen: document.Every[*document.Kitchen](set)[0], day: d}
	var err error
	if v.zone, err = time.LoadLocation(v.kitchen.TimeZone); err != nil {
		t.Fatal(err)
	}
	v.complete()
	for i := range d.Timeline {
		e := &d.Timeline[i]
		v.times(e)
		v.order(e)
		v.hours(e)
	}
	v.lags()
	v.people()
	v.equipment()
	return v.faults
}

func (v *verifier) fault(format string, args ...any) {
	v.faults = append(v.faults, fmt.Sprintf(format, args...))
}

// words returns the steps and lags of a formula or an assembly.
func (v *verifier) words(id string) ([]document.Step, []document.Lag) {
	if f, ok := document.Find[*document.Formula](v.set, id); ok {
		return f.Steps, f.Lags
	}
	if a, ok := document.Find[*document.Assembly](v.set, id); ok {
		return a.Steps, a.Lags
	}
	return nil, nil
}

// find returns the entries of a step: of a formula's every batch, of an assembly's one line.
func (v *verifier) find(component, step string, piece int) []*plan.Entry {
	var out []*plan.Entry
	for i := range v.day.Timeline {
		e := &v.day.Timeline[i]
		if e.Component == component && (step == "" || e.Step.ID == step) && (e.Piece < 0 || piece < 0 || e.Piece == piece) {
			out = append(out, e)
		}
	}
	return out
}

// same returns the entry of a step in the same going through as another.
func (v *verifier) same(e *plan.Entry, step string) []*plan.Entry {
	for _, o := range v.find(e.Component, step, e.Piece) {
		if o.Batch == e.Batch && o.Piece == e.Piece {
			return []*plan.Entry{o}
		}
	}
	return nil
}

// complete checks that each step of each document in the order stands once for each batch or line.
func (v *verifier) complete() {
	want := map[string]int{}
	for i := range v.day.Batches {
		b := &v.day.Batches[i]
		want[b.Formula.ID] += b.Count
	}
	var lines func(id string)
	lines = func(id string) {
		want[id]++
		a, _ := document.Find[*document.Assembly](v.set, id)
		for _, l := range a.Layers {
			if l.Of.Assembly != "" {
				lines(string(l.Of.Assembly))
			}
		}
	}
	for _, o := range document.Every[*document.Order](v.set) {
		for _, l := range o.Lines {
			lines(string(l.Assembly))
		}
	}
	for id, n := range want {
		steps, _ := v.words(id)
		for _, s := range steps {
			if got := len(v.find(id, s.ID, -1)); got != n {
				v.fault("%s/%s stands %d times, want %d", id, s.ID, got, n)
			}
		}
	}
}

// times checks that a step takes as long as its words say.
func (v *verifier) times(e *plan.Entry) {
	steps, _ := v.words(e.Component)
	i := slices.IndexFunc(steps, func(s document.Step) bool { return s.ID == e.Step.ID })
	if i < 0 {
		v.fault("%s/%s is in no document", e.Component, e.Step.ID)
		return
	}
	s := steps[i]
	least := s.Active.Fixed.Value.Duration()
	if e.Piece >= 0 {
		least += time.Duration(v.day.Pieces[e.Piece].Pieces) * s.Active.PerPiece.Value.Duration()
	}
	if e.HandsOff.Sub(e.Start) < least {
		v.fault("%s/%s has %v of hands, want at least %v", e.Component, e.Step.ID, e.HandsOff.Sub(e.Start), least)
	}
	wait := max(s.Waiting.Value.Duration(), s.Waiting.High.Duration())
	if s.Computed != "" {
		if e.Wait == nil {
			v.fault("%s/%s has no computed wait", e.Component, e.Step.ID)
			return
		}
		wait = max(wait, e.Wait.Low)
	}
	if e.End.Sub(e.HandsOff) < wait {
		v.fault("%s/%s waits %v, want at least %v", e.Component, e.Step.ID, e.End.Sub(e.HandsOff), wait)
	}
	if e.Piece >= 0 && e.End.After(v.day.Pieces[e.Piece].Order.Due) {
		v.fault("%s/%s ends at %v, after the order is due", e.Component, e.Step.ID, e.End)
	}
}

func (v *verifier) after(e *plan.Entry, before []*plan.Entry, why string) {
	if len(before) == 0 {
		v.fault("%s/%s: nothing found for %s", e.Component, e.Step.ID, why)
	}
	for _, b := range before {
		if e.Start.Before(b.End) {
			v.fault("%s/%s starts at %v before %s/%s is over at %v (%s)", e.Component, e.Step.ID, e.Start, b.Component, b.Step.ID, b.End, why)
		}
	}
}

// made returns what a word of a document stands for beyond its steps: the formula or the assembly
// that a layer or a line is of.
func (v *verifier) made(id, word string) (of []string, isPart bool) {
	if a, ok := document.Find[*document.Assembly](v.set, id); ok {
		for _, l := range a.Layers {
			if l.ID == word {
				isPart = true
				if l.Of.Formula != "" {
					of = append(of, string(l.Of.Formula))
				}
				if l.Of.Assembly != "" {
					of = append(of, string(l.Of.Assembly))
				}
			}
		}
		return of, isPart
	}
	f, _ := document.Find[*document.Formula](v.set, id)
	lines := map[string][]document.Line{"": f.Lines}
	for _, g := range f.Groups {
		lines[g.Name] = g.Lines
	}
	for group, list := range lines {
		for _, l := range list {
			if l.ID == word && word != "" || group == word && group != "" {
				isPart = true
				if _, ok := document.Find[*document.Formula](v.set, string(l.Of)); ok {
					of = append(of, string(l.Of))
				}
			}
		}
	}
	return of, isPart
}

// order checks what a step takes, what it follows, and what it comes after.
func (v *verifier) order(e *plan.Entry) {
	steps, _ := v.words(e.Component)
	i := slices.IndexFunc(steps, func(s document.Step) bool { return s.ID == e.Step.ID })
	if i < 0 {
		return
	}
	s, own := steps[i], false
	for _, word := range s.Takes {
		of, isPart := v.made(e.Component, word)
		for _, component := range of {
			v.after(e, v.find(component, "", e.Piece), "takes "+word)
		}
		if k := slices.IndexFunc(steps, func(o document.Step) bool { return o.ID == word }); k >= 0 && k != i {
			own = true
			v.after(e, v.same(e, word), "takes "+word)
		} else if !isPart {
			v.fault("%s/%s takes %s, which is nothing", e.Component, s.ID, word)
		}
	}
	for _, word := range s.After {
		if component, step, foreign := strings.Cut(word, "/"); foreign {
			v.after(e, v.find(component, step, e.Piece), "after "+word)
		} else {
			own = true
			v.after(e, v.same(e, word), "after "+word)
		}
	}
	_, isAssembly := document.Find[*document.Assembly](v.set, e.Component)
	if i > 0 && !own && (isAssembly || len(s.Takes)+len(s.After) == 0) {
		v.after(e, v.same(e, steps[i-1].ID), "follows "+steps[i-1].ID)
	}
}

// hours checks that people are there while they have their hands on a step.
func (v *verifier) hours(e *plan.Entry) {
	if e.HandsOff.After(e.Start) && len(e.People) == 0 {
		v.fault("%s/%s has hands but no people", e.Component, e.Step.ID)
	}
	for _, name := range e.People {
		i := slices.IndexFunc(v.kitchen.People, func(p document.Person) bool { return p.Name == name || p.ID == name })
		if i < 0 {
			v.fault("nobody is called %s", name)
			continue
		}
		for at := e.Start; at.Before(e.HandsOff); at = at.Add(time.Minute) {
			local := at.In(v.zone)
			day := strings.ToLower(local.Weekday().String())
			if slices.Contains(v.kitchen.Closed, day) || slices.Contains(v.kitchen.Closed, local.Format(time.DateOnly)) {
				v.fault("%s works at %v, when the kitchen is closed", name, local)
				break
			}
			in := func(list []document.Shift) bool {
				clock := local.Format("15:04")
				return slices.ContainsFunc(list, func(s document.Shift) bool {
					return (len(s.Days) == 0 || slices.Contains(s.Days, day)) && s.From <= clock && clock < s.To
				})
			}
			if p := v.kitchen.People[i]; len(p.Shifts) > 0 && !in(p.Shifts) || in(p.Breaks) {
				v.fault("%s works at %v, outside the shift or in the break", name, local)
				break
			}
		}
	}
}

// lags checks every wait that documents state. A pair of a batch and a line counts where the
// batch serves the line; all batches of the example do.
func (v *verifier) lags() {
	seen := map[string]bool{}
	for i := range v.day.Timeline {
		e := &v.day.Timeline[i]
		key := fmt.Sprint(e.Component, e.Batch, e.Piece)
		if seen[key] {
			continue
		}
		seen[key] = true
		_, lags := v.words(e.Component)
		for _, l := range lags {
			side := func(word string) []*plan.Entry {
				if component, step, foreign := strings.Cut(word, "/"); foreign {
					return v.find(component, step, e.Piece)
				}
				return v.same(e, word)
			}
			for _, from := range side(l.From.Step) {
				for _, to := range side(l.To.Step) {
					a, b := from.End, to.Start
					if l.From.At == "start" {
						a = from.Start
					}
					if l.To.At == "end" {
						b = to.End
					}
					wait := b.Sub(a)
					if l.AtMost.Given() && wait > l.AtMost.Duration() || l.AtLeast.Given() && wait < l.AtLeast.Duration() {
						v.fault("%s: %s to %s is %v, asked are %s %s: %s", e.Component, l.From.Step, l.To.Step, wait, l.AtLeast.Text, l.AtMost.Text, l.Reason)
					}
				}
			}
		}
	}
}

// people checks that nobody does two things at once.
func (v *verifier) people() {
	for i := range v.day.Timeline {
		for j := range i {
			a, b := &v.day.Timeline[i], &v.day.Timeline[j]
			if !a.Start.Before(b.HandsOff) || !b.Start.Before(a.HandsOff) {
				continue
			}
			for _, who := range a.People {
				if slices.Contains(b.People, who) {
					v.fault("%s does %s/%s and %s/%s at %v", who, a.Component, a.Step.ID, b.Component, b.Step.ID, a.Start)
				}
			}
		}
	}
}

// equipment checks, minute by minute where something starts, that no more of anything is taken
// than there is, by id and by kind, and that steps in the oven at once agree on its setting.
func (v *verifier) equipment() {
	sheets := map[string]int{}
	for i := range v.day.Batches {
		b := &v.day.Batches[i]
		for _, s := range b.Sheets {
			sheets[b.Formula.ID] += s.Count
		}
		sheets[b.Formula.ID] = (sheets[b.Formula.ID] + b.Count - 1) / b.Count
	}
	for i := range v.day.Timeline {
		now := v.day.Timeline[i].Start
		ids, kinds := map[string]int{}, map[string]int{}
		low, high := -1000.0, 1000.0 // settings that everything in the oven accepts
		for j := range v.day.Timeline {
			e := &v.day.Timeline[j]
			if now.Before(e.Start) || !now.Before(e.End) {
				continue
			}
			steps, _ := v.words(e.Component)
			k := slices.IndexFunc(steps, func(s document.Step) bool { return s.ID == e.Step.ID })
			if k < 0 || len(steps[k].Modes) == 0 {
				continue
			}
			m := steps[k].Modes[0] // the example gives one way for each step
			for _, word := range m.Equipment {
				for _, q := range v.kitchen.Equipment {
					if q.ID != word && q.Kind != word {
						continue
					}
					n := 1
					if q.Trays > 0 {
						n = max(1, m.Trays)
						if q.Kind == "oven" {
							n *= max(1, sheets[e.Component])
						}
					}
					kinds[q.Kind] += n
					if q.ID == word {
						ids[word] += n
					}
					if q.Kind == "oven" {
						l, h := m.Setting.TemperatureRange()
						low, high = max(low, l.Celsius()), min(high, h.Celsius())
					}
					break
				}
			}
		}
		if low > high {
			v.fault("at %v the oven is asked for %v and %v °C at once", now, low, high)
		}
		room := map[string]int{}
		for _, q := range v.kitchen.Equipment {
			room[q.Kind] += max(1, q.Count) * max(1, q.Trays)
			if ids[q.ID] > max(1, q.Count)*max(1, q.Trays) {
				v.fault("at %v %d of %s are taken", now, ids[q.ID], q.ID)
			}
		}
		for kind, n := range kinds {
			if n > room[kind] {
				v.fault("at %v %d places of kind %s are taken, there are %d", now, n, kind, room[kind])
			}
		}
	}
}
