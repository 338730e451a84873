package plan

import (
	"fmt"
	"time"

	"chablon/chill"
	"chablon/formula"
	"chablon/kitchen"
	"chablon/unit"
)

// waiting returns the time without hands of a step: as written, or by physics.
func (p *planner) waiting(t *task) time.Duration {
	s := t.step
	if s.Computed == "" {
		return max(s.Waiting, s.WaitingHigh)
	}
	w, err := p.computed(t)
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

func (p *planner) computed(t *task) (chill.Wait, error) {
	place, ok := p.place(t.step)
	if !ok {
		return chill.Wait{}, fmt.Errorf("no place for it in the kitchen")
	}
	var piece chill.Piece
	var err error
	switch {
	case t.run.section != nil:
		piece, err = chill.OfSection(t.run.section)
	default:
		m, height, found := p.day.insertShape(t.run.formula)
		if !found {
			return chill.Wait{}, fmt.Errorf("its shape is not known")
		}
		piece, err = chill.OfFormula(t.run.formula, m.Solid, height)
	}
	if err != nil {
		return chill.Wait{}, err
	}
	room := p.day.Job.Kitchen.Room
	if room == 0 {
		room = 20
	}
	switch t.step.Computed {
	case "freeze":
		return piece.Freeze(room, place)
	case "thaw":
		from := unit.Temperature(-18)
		if f, ok := p.place(formula.Step{Computed: "freeze"}); ok && f.HasSetting {
			from = f.Setting
		}
		return piece.Thaw(from, place)
	default:
		return piece.Chill(room, place)
	}
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
