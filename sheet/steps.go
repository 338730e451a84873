package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"chablon/assembly"
	"chablon/formula"
	"chablon/label"
	"chablon/plan"
	"chablon/unit"
)

// doing is a step with its times on the timeline, one a batch; none if there is no timeline.
type doing struct {
	formula.Step
	component string // name, where several stand in one section
	entries   []*plan.Entry
	active    time.Duration // by its document, where there are no entries
}

// batchSteps returns the steps of a component's batches, in the order of their start.
func (s *Sheet) batchSteps(b *plan.Batch) []block {
	list := s.entriesOf(b.Formula.Steps, func(e *plan.Entry) bool { return e.Piece < 0 && e.Component == b.Formula.ID })
	for i := range list {
		list[i].active = list[i].Active.For(b.Each.In, max(1, sheetsOf(b)))
	}
	return s.steps(list, label.OfFormula(b.Formula))
}

func sheetsOf(b *plan.Batch) int {
	n := 0
	for _, x := range b.Sheets {
		n += x.Count
	}
	return n
}

// assembling is the section of an order line's steps, its inserts' among them.
func (s *Sheet) assembling(i int) section {
	p := &s.day.Pieces[i]
	a := p.Section.Assembly
	name := nameOr(a.Name, a.ID)
	out := section{
		id: fmt.Sprintf("assembling-%d", i+1), level: 1, title: "Assemble " + name,
		note: fmt.Sprintf("%d pieces · %s · ready %s", p.Pieces, nameOr(p.Section.Mould.Name, p.Section.Mould.ID), s.when(p.Order.Due)),
	}
	for _, fill := range s.fillings(p.Section, nil) {
		out.blocks = append(out.blocks, fill)
	}
	var list []doing
	var visit func(x *assembly.Section)
	visit = func(x *assembly.Section) {
		for j := range x.Layers {
			if in := x.Layers[j].Inside; in != nil {
				visit(in)
			}
		}
		steps := s.entriesOf(x.Assembly.Steps, func(e *plan.Entry) bool { return e.Piece == i && e.Component == x.Assembly.ID })
		for j := range steps {
			steps[j].active = steps[j].Active.For(x.Mass()*unit.Mass(p.Pieces), p.Pieces)
			if x != p.Section {
				steps[j].component = nameOr(x.Assembly.Name, x.Assembly.ID)
			}
		}
		list = append(list, steps...)
	}
	visit(p.Section)
	sortByStart(list)
	out.blocks = append(out.blocks, s.steps(list, p.Allergens)...)
	return out
}

// entriesOf joins steps with their entries. Steps that only the timeline has, since the document
// gives none, are added.
func (s *Sheet) entriesOf(steps []formula.Step, mine func(*plan.Entry) bool) []doing {
	var list []doing
	for _, st := range steps {
		list = append(list, doing{Step: st.WithAssumedTime()})
	}
	for i := range s.day.Timeline {
		e := &s.day.Timeline[i]
		if !mine(e) {
			continue
		}
		at := slices.IndexFunc(list, func(d doing) bool { return d.ID == e.Step.ID })
		if at < 0 {
			list = append(list, doing{Step: e.Step})
			at = len(list) - 1
		}
		list[at].entries = append(list[at].entries, e)
	}
	sortByStart(list)
	return list
}

// sortByStart puts steps in the order of their first start; steps without times stay in the
// order of the document, and it is kept if any of them has none.
func sortByStart(list []doing) {
	if slices.ContainsFunc(list, func(d doing) bool { return len(d.entries) == 0 }) {
		return
	}
	for i := range list {
		slices.SortStableFunc(list[i].entries, func(a, b *plan.Entry) int { return a.Start.Compare(b.Start) })
	}
	slices.SortStableFunc(list, func(a, b doing) int { return a.entries[0].Start.Compare(b.entries[0].Start) })
}

// steps makes the blocks of a section's steps. A caution stands in full at the first step with
// its hazard and in one sentence at later ones.
func (s *Sheet) steps(list []doing, contains []label.Allergen) []block {
	var out []block
	seen := map[string]bool{}
	for i, d := range list {
		st := step{id: d.ID, number: strconv.Itoa(i + 1), when: s.starts(d)}
		st.body = s.body(d)
		st.hazards = hazardsOf(d.Hazards, s.equipmentKinds(d))
		var full []para
		if d.Caution != "" {
			full = append(full, labelled("Caution:", d.Caution))
		}
		for _, code := range st.hazards {
			c := CautionFor(code)
			if seen[code] {
				st.signs = append(st.signs, littleText(c.Name+":", c.Short))
				continue
			}
			seen[code] = true
			text := c.Text
			if names := allergenNames(contains); code == "allergen" && names != "" {
				text = "Here: " + names + ". " + text
			}
			p := labelled(c.Name+".", text)
			p.spans = append(p.spans, span{text: " [" + c.Source + "]"})
			p.small = true
			full = append(full, p)
		}
		if len(full) > 0 {
			st.box = &box{paras: append(full, smallText(Defer))}
		}
		out = append(out, st)
	}
	return out
}

func allergenNames(list []label.Allergen) string {
	var out []string
	for _, a := range list {
		if !a.May {
			out = append(out, strings.ReplaceAll(a.Name, "_", " "))
		}
	}
	return strings.Join(out, ", ")
}

// starts writes when a step begins: "Thu 12:44", or one such a batch.
func (s *Sheet) starts(d doing) string {
	var out []string
	for _, e := range d.entries {
		text := s.clock(e.Start)
		if len(d.entries) > 1 && e.Batch > 0 {
			text = fmt.Sprintf("batch %d %s", e.Batch, text)
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// body writes what a step says: what to do, its times and equipment, then cue and reasons.
func (s *Sheet) body(d doing) []para {
	text := d.Text
	if text == "" {
		text = upperFirst(d.Verb)
	}
	head := para{spans: []span{{upperFirst(nameOr(d.Verb, d.ID)) + ". ", bold}, {text: text}}}
	if d.component != "" {
		head.spans = append([]span{{d.component + " · ", bold}}, head.spans...)
	}
	out := []para{head}
	if facts := s.facts(d); facts != "" {
		out = append(out, smallText(facts))
	}
	if d.Cue != "" {
		out = append(out, slanted("Until:", d.Cue))
	}
	if d.Why != "" {
		out = append(out, littleText("Why:", d.Why))
	}
	switch {
	case d.Wrong != "" && d.Rescue != "":
		p := littleText("If it goes wrong:", d.Wrong+" ")
		p.spans = append(p.spans, span{"Rescue: ", bold}, span{text: d.Rescue})
		out = append(out, p)
	case d.Wrong != "":
		out = append(out, littleText("If it goes wrong:", d.Wrong))
	case d.Rescue != "":
		out = append(out, littleText("Rescue:", d.Rescue))
	}
	return out
}

func (s *Sheet) facts(d doing) string {
	var out []string
	add := func(text string) {
		if text != "" {
			out = append(out, text)
		}
	}
	hands, who := d.active, ""
	if len(d.entries) > 0 {
		e := d.entries[0]
		hands = e.HandsOff.Sub(e.Start)
		who = strings.Join(e.People, ", ")
	}
	if hands > 0 {
		text := "hands " + unit.ShowDuration(hands.Round(time.Minute))
		if d.Assumed {
			text += " (assumed)"
		}
		add(text)
	}
	add(s.waiting(d))
	add(who)
	add(s.equipment(d))
	if d.TemperatureIn.Given() {
		add("goes in at " + temperature(d.TemperatureIn))
	}
	if d.Temperature.Given() {
		add("ends at " + temperature(d.Temperature))
	}
	return upperFirst(strings.Join(out, " · "))
}

// waiting writes the time without hands, with its spread; what physics computed says by what a
// probe ends it.
func (s *Sheet) waiting(d doing) string {
	if len(d.entries) > 0 {
		e := d.entries[0]
		if e.Wait != nil {
			return "wait until " + s.clock(e.End) + ": " + predicted(e.Wait)
		}
		if wait := e.End.Sub(e.HandsOff); wait > 0 && d.WaitingHigh <= d.Waiting {
			return "wait " + unit.ShowDuration(wait)
		}
	}
	switch {
	case d.Computed != "":
		return "wait until it has " + map[string]string{"freeze": "frozen", "chill": "chilled", "thaw": "thawed", "set": "set", "cool": "cooled"}[d.Computed] + "; a probe decides"
	case d.WaitingHigh > d.Waiting:
		return "wait " + unit.ShowDuration(d.Waiting) + " to " + unit.ShowDuration(d.WaitingHigh)
	case d.Waiting > 0:
		return "wait " + unit.ShowDuration(d.Waiting)
	}
	return ""
}

func predicted(w *plan.Wait) string {
	text := "about " + unit.ShowEstimate(w.Time)
	if w.Low > 0 && w.High > w.Low {
		text += " (" + unit.ShowEstimate(w.Low) + " to " + unit.ShowEstimate(w.High) + ")"
	}
	if w.Criterion != "" {
		text += ", " + w.Criterion
	}
	return text + "; a probe decides"
}

// way returns the mode by which a step is done: the one that the timeline took, else the first.
func (s *Sheet) way(d doing) (formula.Mode, bool) {
	if len(d.Modes) == 0 {
		return formula.Mode{}, false
	}
	if len(d.entries) > 0 {
		want := slices.Sorted(slices.Values(d.entries[0].Equipment))
		for _, m := range d.Modes {
			if slices.Equal(slices.Sorted(slices.Values(s.kinds(m.Equipment))), want) {
				return m, true
			}
		}
	}
	return d.Modes[0], true
}

func (s *Sheet) kinds(words []string) []string {
	var out []string
	for _, w := range words {
		kind := w
		if found := s.kitchen.Find(w); len(found) > 0 {
			kind = found[0].Kind
		}
		if !slices.Contains(out, kind) {
			out = append(out, kind)
		}
	}
	return out
}

func (s *Sheet) equipmentKinds(d doing) []string {
	m, _ := s.way(d)
	return s.kinds(m.Equipment)
}

func (s *Sheet) equipment(d doing) string {
	m, ok := s.way(d)
	if !ok {
		return ""
	}
	var names []string
	for _, w := range m.Equipment {
		name := strings.ReplaceAll(w, "-", " ")
		if found := s.kitchen.Find(w); len(found) == 1 {
			name = nameOr(found[0].Name, name)
		}
		names = append(names, name)
	}
	text := strings.Join(names, ", ")
	if m.Setting.Given() {
		text += " at " + temperature(m.Setting)
	}
	return text
}

// temperature writes a temperature in degrees Celsius, and as written if that was otherwise.
func temperature(q unit.Quantity) string {
	if q.Unit.Dim != unit.OfTemperature {
		return q.Text
	}
	low, high := q.TemperatureRange()
	text := low.Show()
	if high != low {
		text = strings.TrimSuffix(low.Show(), " °C") + " to " + high.Show()
	}
	if q.Unit.Symbol == "°F" {
		text += " (" + q.Text + ")"
	}
	return text
}
