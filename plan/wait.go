package plan

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"chablon/chill"
	"chablon/formula"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// waiting returns the time without hands of a step: as written, or by physics.
func (p *planner) waiting(t *task) time.Duration {
	s := t.step
	if s.Computed == "" {
		written := max(s.Waiting, s.WaitingHigh)
		if s.Verb == "freeze" && written > 0 {
			p.frozen(t, written)
		}
		return written
	}
	a, err := p.computed(t, s)
	if err == nil && !a.Reached {
		err = errors.New(a.Reason)
	}
	w := a.Wait
	if err != nil {
		assumed := formula.Step{Verb: s.Computed}.WithAssumedTime()
		p.say("wait-assumed", t.run, s, fmt.Sprintf("its time to %s could not be computed (%v); %s are taken", s.Computed, err, unit.ShowDuration(assumed.Waiting)), "Probe the core; enter a waiting time if you know yours.")
		return assumed.Waiting
	}
	t.waited = &w
	if s.Computed == "thaw" {
		return w.Time // a core still cold waits a little at the table; a day early, the piece ages
	}
	return w.High // a freezing cut short spoils the unmoulding
}

// frozen says when the time that the cook has written for a freezing is too short for it. Where
// nothing can be computed nothing is said: the cook's time stands.
func (p *planner) frozen(t *task, written time.Duration) {
	s := t.step
	s.Computed = "freeze"
	a, err := p.computed(t, s)
	if err != nil {
		return
	}
	short, doubtful := a.NotFrozen(written)
	const remedy = "Probe the core before unmoulding; let the time be computed, freeze longer, or use a colder freezer or one with a fan."
	switch {
	case short && !a.Reached:
		p.say("not-frozen", t.run, s, fmt.Sprintf("is not frozen after %s: %s", unit.ShowDuration(written), a.Reason), remedy)
	case short:
		p.say("not-frozen", t.run, s, fmt.Sprintf("is not frozen after %s: %s takes %s (%s to %s) in %s", unit.ShowDuration(written), a.Criterion, unit.ShowEstimate(a.Time), unit.ShowEstimate(a.Low), unit.ShowEstimate(a.High), a.Place), remedy)
	case doubtful:
		p.say("frozen-doubtful", t.run, s, fmt.Sprintf("may not be frozen after %s: %s takes %s (%s to %s) in %s", unit.ShowDuration(written), a.Criterion, unit.ShowEstimate(a.Time), unit.ShowEstimate(a.Low), unit.ShowEstimate(a.High), a.Place), remedy)
	}
}

// computed answers a step's wait by physics.
func (p *planner) computed(t *task, s formula.Step) (chill.Answer, error) {
	place, ok := p.place(s)
	if !ok {
		return chill.Answer{}, fmt.Errorf("no place for it in the kitchen")
	}
	section := t.run.section
	if section == nil {
		m, height, found := p.day.insertShape(t.run.formula)
		if !found {
			return chill.Answer{}, fmt.Errorf("its shape is not known")
		}
		section = chill.Plain(t.run.formula, m, height)
	}
	room := p.day.Job.Kitchen.Room
	if room == 0 {
		room = 20
	}
	frozen := unit.Temperature(-18)
	if f, ok := p.place(formula.Step{Computed: "freeze"}); ok && f.HasSetting {
		frozen = f.Setting
	}
	start := chill.At(room, frozen)
	if s.Computed == "thaw" {
		start = chill.At(frozen, frozen)
	}
	body, err := chill.NewBody(section, start)
	if err != nil {
		return chill.Answer{}, err
	}
	a, err := remembered(body, place, s.Computed)
	if err == nil && a.Reached && s.Computed == "freeze" && place.FreezingCapacity > 0 && t.run.section != nil {
		p.load(t, place, a)
	}
	return a, err
}

// load says when more is put into a freezer at once than it is declared to freeze.
func (p *planner) load(t *task, place kitchen.Equipment, a chill.Answer) {
	load, err := heat.LoadOf(t.run.pieces, a.Heat(), a.Time, place.FreezingCapacity)
	if err != nil || load.Share <= 1 {
		return
	}
	p.say("freezer-overloaded", t.run, t.step, fmt.Sprintf("%d pieces at once ask %s %% of what %s is declared to freeze: its air warms, and they take about %s instead of %s",
		t.run.pieces, unit.Number(100*load.Share, 0), place.Name, unit.ShowEstimate(load.Needed), unit.ShowEstimate(a.Time)), "Freeze them in turns, chill them first, or use a second freezer.")
}

// Answers of the field solver are remembered by everything that they depend on: an edit elsewhere
// does not solve them again.
var (
	rememberedMu  sync.Mutex // guards rememberedAll
	rememberedAll = map[string]chill.Answer{}
)

const mostRemembered = 512

func remembered(b *chill.Body, place kitchen.Equipment, question string) (chill.Answer, error) {
	key := b.Key(place, question)
	rememberedMu.Lock()
	a, found := rememberedAll[key]
	rememberedMu.Unlock()
	if found {
		return a, nil
	}
	var err error
	switch question {
	case "freeze":
		a, err = b.Freeze(context.Background(), place, chill.Planning)
	case "thaw":
		a, err = b.Thaw(context.Background(), place, heat.ThawedCore, chill.Planning)
	default:
		a, err = b.Chill(context.Background(), place, chill.Planning)
	}
	if err != nil {
		return a, err
	}
	a.Run = heat.Run{} // the time is what is planned with
	rememberedMu.Lock()
	defer rememberedMu.Unlock()
	if len(rememberedAll) >= mostRemembered {
		clear(rememberedAll)
	}
	rememberedAll[key] = a
	return a, nil
}

// place returns the equipment that a computed wait happens in: the step's own, else the usual
// one for its kind of wait.
func (p *planner) place(s formula.Step) (kitchen.Equipment, bool) {
	var words []string
	for _, m := range s.Modes {
		words = append(words, m.Equipment...)
	}
	if s.Computed == "freeze" {
		words = append(words, "blast-freezer", "freezer")
	} else {
		words = append(words, "refrigerator")
	}
	for _, w := range words {
		for _, e := range p.day.Job.Kitchen.Find(w) {
			if e.HasSetting {
				return e, true
			}
		}
	}
	return kitchen.Equipment{}, false
}
