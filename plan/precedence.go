package plan

import (
	"slices"
	"sort"
	"strings"
	"time"

	"chablon/formula"
	"chablon/schedule"
)

// precedences adds the order of steps within each run, between runs, and the due times.
func (p *planner) precedences() {
	ends := map[*run][]int{}
	owns := map[*run][][]int{}
	for _, r := range p.order {
		own, _ := r.before()
		owns[r], ends[r] = own, sinks(own)
	}
	for _, r := range p.order {
		tasks := p.byRun[r]
		_, others := r.before()
		for i, t := range tasks {
			name := p.model.Name(t.active)
			for _, k := range owns[r][i] {
				p.model.AtLeast(schedule.End(tasks[k].wait), schedule.Start(t.active), 0, name+" follows "+tasks[k].step.ID)
			}
			for _, o := range others[i] {
				for _, k := range ends[o] {
					p.model.AtLeast(schedule.End(p.byRun[o][k].wait), schedule.Start(t.active), 0, name+" takes "+o.name)
				}
			}
			for _, word := range t.step.After {
				for _, o := range p.elsewhere(r, word) {
					p.model.AtLeast(schedule.End(o.wait), schedule.Start(t.active), 0, name+" comes after "+word)
				}
			}
		}
		if r.due {
			due := p.tick(p.day.Pieces[r.piece].Order.Due)
			for _, k := range ends[r] {
				p.model.Due(tasks[k].wait, due)
				p.model.Due(tasks[k].active, due)
			}
		}
	}
}

// elsewhere returns the steps of other runs that "formula/step" means for a run: of the batches
// that serve the same order line.
func (p *planner) elsewhere(r *run, word string) []*task {
	doc, step, ok := strings.Cut(word, "/")
	if !ok || doc == r.id {
		return nil
	}
	var out []*task
	for _, o := range p.order {
		if o.id != doc || !related(r, o) {
			continue
		}
		if k := o.index(step); k >= 0 {
			out = append(out, p.byRun[o][k])
		}
	}
	return out
}

// related reports whether two runs have to do with each other: a batch with the lines that it
// serves, an insert with its own order line, batches with batches.
func related(a, b *run) bool {
	switch {
	case a.piece >= 0 && b.piece >= 0:
		return a.piece == b.piece
	case a.piece >= 0:
		return b.serves[a.piece]
	case b.piece >= 0:
		return a.serves[b.piece]
	}
	return true
}

// lags adds the waits between steps that documents state beyond their order.
func (p *planner) lags() {
	for _, r := range p.order {
		for _, lag := range r.lags {
			for _, pair := range p.pairs(r, lag) {
				from, to := schedule.End(pair[0].wait), schedule.Start(pair[1].active)
				if lag.FromStart {
					from = schedule.Start(pair[0].active)
				}
				if lag.ToEnd {
					to = schedule.End(pair[1].wait)
				}
				reason := p.model.Name(pair[0].active) + " → " + p.model.Name(pair[1].active)
				if lag.Reason != "" {
					reason += " (" + lag.Reason + ")"
				}
				if lag.AtLeast > 0 {
					p.model.AtLeast(from, to, minutes(lag.AtLeast), reason+": at least")
				}
				if lag.HasMost {
					p.model.AtMost(from, to, int(lag.AtMost/time.Minute), reason+": at most")
				}
			}
		}
	}
}

// pairs returns the pairs of steps that a lag of a run's document binds.
func (p *planner) pairs(r *run, lag formula.Lag) [][2]*task {
	side := func(word string) []*task {
		if k := r.index(word); k >= 0 && !foreign(r, word) {
			return []*task{p.byRun[r][k]}
		}
		return p.elsewhere(r, word)
	}
	var out [][2]*task
	for _, from := range side(lag.From) {
		for _, to := range side(lag.To) {
			out = append(out, [2]*task{from, to})
		}
	}
	return out
}

func foreign(r *run, word string) bool {
	doc, _, ok := strings.Cut(word, "/")
	return ok && doc != r.id
}

// timeline turns the schedule's ticks back into times.
func (p *planner) timeline(res schedule.Result) {
	at := func(tick int) time.Time { return p.zero.Add(time.Duration(tick) * time.Minute) }
	d := p.day
	for _, t := range p.tasks {
		mode := res.Modes[t.active]
		start := res.Starts[t.active]
		handsOff := start + p.model.Modes(t.active)[mode].Duration
		end := res.Starts[t.wait] + p.model.Modes(t.wait)[res.Modes[t.wait]].Duration
		e := Entry{
			Step: t.step, Component: t.run.id, Name: t.run.name, Batch: t.run.batch, Piece: t.run.piece,
			Start: at(start), HandsOff: at(handsOff), End: at(end), Active: t.activeLength,
		}
		if t.waited != nil {
			e.Wait = t.waited
		}
		if t.run.piece >= 0 {
			e.Order = d.Pieces[t.run.piece].Order.ID
			e.Mould = t.run.section.Mould.Name
		}
		for _, who := range t.crews[mode] {
			e.People = append(e.People, nameOf(d.Job.Kitchen.People[who].Name, d.Job.Kitchen.People[who].ID))
		}
		for _, word := range t.modes[mode].Equipment {
			if found := d.Job.Kitchen.Find(word); len(found) > 0 && !slices.Contains(e.Equipment, found[0].Kind) {
				e.Equipment = append(e.Equipment, found[0].Kind)
			}
		}
		d.Timeline = append(d.Timeline, e)
	}
	sort.SliceStable(d.Timeline, func(i, j int) bool { return d.Timeline[i].Start.Before(d.Timeline[j].Start) })
}
