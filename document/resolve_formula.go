package document

import (
	"fmt"
	"strings"

	"chablon/formula"
	"chablon/unit"
)

// formula builds one formula and those that it takes; nil if a cycle leads back to it.
func (r *resolver) formula(d *Formula) *formula.Formula {
	if r.state[d] == done {
		return r.book.Formulas[d.ID]
	}
	r.state[d] = open
	r.chain = append(r.chain, "formula "+d.ID)
	defer func() {
		r.state[d] = done
		r.chain = r.chain[:len(r.chain)-1]
	}()
	f := &formula.Formula{
		ID: d.ID, Name: orID(d.Name, d.ID), Type: d.Type, Base: d.Base,
		Density: d.Density.Value.Density(), DensityLow: d.Density.Low.Density(), DensityHigh: d.Density.High.Density(),
		MadeIn: vessels[d.MadeIn], Whole: d.Whole, Reusable: d.Reusable, Air: air(d.Air), Holds: holds(d.Holds),
	}
	eggs := d.EggSize
	if eggs == "" {
		eggs = r.book.Kitchen.EggSize
	}
	larder := formula.Larder{Table: r.book.Table, Formulas: map[string]*formula.Formula{}, EggSize: eggs}
	ok := r.lines(d, f, &larder, "lines", "", d.Lines)
	for i, g := range d.Groups {
		ok = r.lines(d, f, &larder, fmt.Sprintf("groups[%d].lines", i), g.Name, g.Lines) && ok
	}
	for i, l := range d.Losses {
		f.Losses = append(f.Losses, formula.Loss{
			Name: l.Name, Share: l.Share.Value.Share(), Low: l.Share.Low.Share(), High: l.Share.High.Share(),
			PerBatch: l.PerBatch.Value.Mass(), ToMass: l.ToMass.Mass(), ToBrix: l.ToBrix / 100,
		})
		if s := f.Losses[i].Share; s >= 1 {
			r.fail(d, fmt.Sprintf("losses[%d].share", i), Error{Found: quote(l.Share.Value.Text), Reason: "leaves nothing", Remedy: "write a share below 100 %"})
			f.Losses[i].Share, ok = 0, false
		}
	}
	f.Steps = r.steps(d, "steps", d.Steps)
	f.Lags = r.lags(d, "lags", d.ID, d.Lags, f.Steps)
	if !ok {
		return nil
	}
	if err := f.Settle(); err != nil {
		r.fail(d, "losses", Error{Reason: strings.TrimPrefix(err.Error(), "formula "+d.ID+": ")})
		return nil
	}
	f.Least, f.Most = r.amount(d, "least_batch", d.Least, f), r.amount(d, "most_batch", d.Most, f)
	if f.Most > 0 && f.Least > f.Most {
		r.fail(d, "least_batch", Error{Found: quote(d.Least.Text), Reason: "is more than the most, " + d.Most.Text, Remedy: "write a smaller least or a larger most"})
		return nil
	}
	r.book.Formulas[d.ID] = f
	return f
}

var vessels = map[string]formula.Vessel{"": formula.AnyVessel, "bowl": formula.Bowl, "pot": formula.Pot, "sheet": formula.Sheet, "mould": formula.InMould}

// amount returns a batch limit as a mass.
func (r *resolver) amount(d *Formula, path string, q unit.Quantity, f *formula.Formula) unit.Mass {
	if !q.Given() {
		return 0
	}
	if q.Unit.Dim == unit.OfMass {
		return q.Mass()
	}
	density, _ := f.FinishedDensity()
	if !density.Known() {
		r.fail(d, path, Error{Found: quote(q.Text), Reason: "is a volume, and the formula has no density", Remedy: "write a mass"})
	}
	return density.Mass(q.Volume())
}

func air(a Air) formula.Air {
	return formula.Air{
		SpecificGravity: a.SpecificGravity.Value.Number(), SGLow: a.SpecificGravity.Low.Number(), SGHigh: a.SpecificGravity.High.Number(),
		Overrun: a.Overrun.Value.Share(), OverrunLow: a.Overrun.Low.Share(), OverrunHigh: a.Overrun.High.Share(),
		Whipped: a.Whipped, FoldingLoss: a.FoldingLoss.Value.Share(),
	}
}

func holds(list []Hold) []formula.Hold {
	var out []formula.Hold
	for _, h := range list {
		out = append(out, formula.Hold{Place: h.Place, Safety: h.Safety.Duration(), Quality: h.Quality.Duration(), Source: h.Source})
	}
	return out
}

// lines reads, links and weighs the lines of a group, and reports whether all could be.
func (r *resolver) lines(d *Formula, f *formula.Formula, larder *formula.Larder, path, group string, list []Line) bool {
	ok := true
	for i, l := range list {
		at := fmt.Sprintf("%s[%d]", path, i)
		reading, err := formula.ReadLine(l.Text)
		if err != nil {
			r.fail(d, at, Error{Reason: err.Error()})
			ok = false
			continue
		}
		of := ""
		if l.Of != "" {
			of = r.id(d, at+".of", l.Of, "formula")
		}
		if !r.nested(d, at, of, reading.Name, larder) {
			ok = false
			continue
		}
		line, err := larder.Link(reading, of)
		if err != nil {
			r.fail(d, at, Error{Reason: err.Error()})
			ok = false
			continue
		}
		line.ID, line.Group = l.ID, group
		line.Optional, line.ToTaste = line.Optional || l.Optional, line.ToTaste || l.ToTaste
		if l.Preparation != "" {
			line.Preparation = l.Preparation
		}
		for _, s := range l.Divided {
			line.Divided = append(line.Divided, formula.DividedShare{Step: s.Step, Share: s.Share.Share()})
		}
		f.Lines = append(f.Lines, line)
	}
	return ok
}

// nested resolves the formula that a line means, if any, so that the larder has it. It reports
// false where that formula cannot be used; its own problems are reported with it.
func (r *resolver) nested(d *Formula, path, of, name string, larder *formula.Larder) bool {
	n, isFormula := Find[*Formula](r.set, of)
	if of == "" {
		if n, isFormula = Find[*Formula](r.set, name); !isFormula {
			called := r.named[strings.ToLower(name)]
			if len(called) > 1 {
				r.fail(d, path, Error{Found: quote(name), Reason: fmt.Sprintf("is the name of %d formulas", len(called)), Remedy: "say which with of"})
				return false
			}
			if isFormula = len(called) == 1; isFormula {
				n = called[0]
			}
		}
	}
	if isFormula {
		if r.cyclic(n, path, d) {
			return false
		}
		g := r.formula(n)
		if g == nil {
			return false // reported where it is wrong
		}
		larder.Formulas[n.ID] = g
		return true
	}
	if of != "" {
		if _, ok := r.book.Table.Get(of); !ok {
			r.missing(d, path+".of", Ref(of), "formula or ingredient", r.lineTargets())
			return false
		}
	}
	return true
}

func (r *resolver) lineTargets() []string {
	var out []string
	for _, f := range Every[*Formula](r.set) {
		out = append(out, f.ID)
	}
	for _, i := range r.book.Table.All() {
		out = append(out, i.ID)
	}
	return out
}

// steps turns steps into the engine's, and reports ids that stand twice.
func (r *resolver) steps(d Document, path string, list []Step) []formula.Step {
	seen := map[string]bool{}
	out := make([]formula.Step, 0, len(list))
	for i, s := range list {
		if seen[s.ID] {
			r.fail(d, fmt.Sprintf("%s[%d].id", path, i), Error{Found: quote(s.ID), Reason: "stands twice", Remedy: "give each step an id of its own"})
		}
		seen[s.ID] = true
		step := formula.Step{
			ID: s.ID, Verb: s.Verb, Text: s.Text, Takes: s.Takes, After: s.After, People: s.People, Skill: s.Skill,
			Active: formula.Work{
				Fixed: s.Active.Fixed.Value.Duration(), PerKg: s.Active.PerKg.Value.Duration(), PerPiece: s.Active.PerPiece.Value.Duration(),
			},
			Waiting: s.Waiting.Value.Duration(), WaitingHigh: s.Waiting.High.Duration(), Computed: s.Computed,
			Temperature: s.Temperature, TemperatureIn: s.TemperatureIn, Cue: s.Cue, Why: s.Why, Wrong: s.Wrong, Rescue: s.Rescue,
			Caution: s.Caution, Hazards: s.Hazards, Interruptible: s.Interruptible,
		}
		for _, m := range s.Modes {
			step.Modes = append(step.Modes, formula.Mode{Equipment: m.Equipment, Setting: m.Setting, TimeFactor: m.TimeFactor, Trays: m.Trays})
		}
		out = append(out, step.WithAssumedTime())
	}
	return out
}

// lags turns lags into the engine's, and reports ends that name no step.
func (r *resolver) lags(d Document, path, id string, list []Lag, steps []formula.Step) []formula.Lag {
	var out []formula.Lag
	for i, l := range list {
		at := fmt.Sprintf("%s[%d]", path, i)
		for _, end := range []struct{ field, word string }{{".from", l.From.Step}, {".to", l.To.Step}} {
			if !r.hasStep(id, end.word, steps) {
				r.fail(d, at+end.field, Error{Found: quote(end.word), Reason: "is no step of " + KindOf(d) + " " + id + " or of another document", Remedy: "write a step's id, or formula/step"})
			}
		}
		if l.AtLeast.Given() && l.AtMost.Given() && l.AtLeast.Duration() > l.AtMost.Duration() {
			r.fail(d, at, Error{Reason: fmt.Sprintf("asks for at least %s and at most %s", l.AtLeast.Text, l.AtMost.Text), Remedy: "write a larger at_most"})
			continue
		}
		out = append(out, formula.Lag{
			From: l.From.Step, To: l.To.Step, FromStart: l.From.At == "start", ToEnd: l.To.At == "end",
			AtLeast: l.AtLeast.Duration(), AtMost: l.AtMost.Duration(), HasMost: l.AtMost.Given(), WorkingClock: l.Clock == "working", Reason: l.Reason,
		})
	}
	return out
}

// hasStep reports whether a word names a step: of these, or "document/step".
func (r *resolver) hasStep(id, word string, own []formula.Step) bool {
	doc, step, elsewhere := strings.Cut(word, "/")
	if !elsewhere || doc == id {
		if !elsewhere {
			step = word
		}
		for _, s := range own {
			if s.ID == step {
				return true
			}
		}
		return false
	}
	var list []Step
	if f, ok := Find[*Formula](r.set, doc); ok {
		list = f.Steps
	} else if a, ok := Find[*Assembly](r.set, doc); ok {
		list = a.Steps
	}
	for _, s := range list {
		if s.ID == step {
			return true
		}
	}
	return false
}
