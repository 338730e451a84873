package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/drawing"
	"chablon/formula"
	"chablon/label"
	"chablon/plan"
	"chablon/unit"
)

// compose makes the sections, in the order in which the bench wants them.
func (s *Sheet) compose() {
	s.overview()
	s.checks()
	s.shopping()
	served := s.served()
	for i := range s.day.Batches {
		if b := &s.day.Batches[i]; served[b.Formula.ID] {
			s.sections = append(s.sections, s.component(b))
		}
	}
	for i := range s.day.Pieces {
		if s.prints(s.day.Pieces[i].Order.ID) {
			s.sections = append(s.sections, s.assembling(i))
		}
	}
	s.timeline()
}

// served returns the formulas that the printed orders need, nested ones included.
func (s *Sheet) served() map[string]bool {
	out := map[string]bool{}
	var mark func(f *formula.Formula)
	mark = func(f *formula.Formula) {
		if f == nil || out[f.ID] {
			return
		}
		out[f.ID] = true
		for _, l := range f.Lines {
			mark(l.Formula)
		}
	}
	for i := range s.day.Pieces {
		p := &s.day.Pieces[i]
		if s.prints(p.Order.ID) && p.Section != nil {
			for _, part := range p.Section.Parts() {
				mark(part.Component.Formula)
			}
		}
	}
	if s.options.Order == "" {
		for _, b := range s.day.Batches {
			out[b.Formula.ID] = true
		}
	}
	return out
}

// weight writes a mass as the scale that takes it shows it.
func (s *Sheet) weight(m unit.Mass) string {
	shown, division := s.kitchen.Round(m)
	if division <= 0 {
		return m.Show()
	}
	decimals := 0
	for d := division.Grams(); decimals < 3 && math.Abs(d-math.Round(d)) > 1e-6; d *= 10 {
		decimals++
	}
	return unit.Number(shown.Grams(), decimals) + "\u00a0g"
}

func (s *Sheet) overview() {
	first := section{id: "overview", level: 1, title: s.title, note: "Ready " + s.due + " · " + nameOr(s.kitchen.Name, s.kitchen.ID)}
	if len(s.orders) == 0 {
		first.blocks = append(first.blocks, plain("There is no order to print"+forOrder(s.options.Order)+"."))
	}
	if n := len(s.day.Job.Orders); len(s.orders) > 0 && len(s.orders) < n {
		first.blocks = append(first.blocks, plain(fmt.Sprintf("One of the %d orders of the day. Components are made for all of them together: batches and shopping are those of the whole day.", n)))
	}
	if s.day.Status != plan.Planned {
		first.blocks = append(first.blocks, s.unplanned())
	}
	if faults := s.faults(); len(faults) > 0 {
		b := box{paras: []para{{spans: []span{{fmt.Sprintf("%s before you start", unit.Counted(len(faults), "fault")), bold}}}}}
		for _, f := range faults {
			b.paras = append(b.paras, findingPara(f))
		}
		first.blocks = append(first.blocks, b)
	}
	if len(s.day.StandIns) > 0 {
		b := box{paras: []para{{spans: []span{{"Cannot be weighed out yet: no formula", bold}}}}}
		for _, c := range s.day.StandIns {
			b.paras = append(b.paras, plain(nameOr(c.Name, c.ID)+": "+c.Needed.Show()+" needed"))
		}
		first.blocks = append(first.blocks, b)
	}
	s.sections = append(s.sections, first)
	for i := range s.day.Pieces {
		if p := &s.day.Pieces[i]; s.prints(p.Order.ID) {
			s.sections = append(s.sections, s.line(i, p))
		}
	}
}

func forOrder(id string) string {
	if id == "" {
		return ""
	}
	return ": the day has none with the id " + id
}

func (s *Sheet) unplanned() box {
	title := "No times: the steps were not planned"
	switch s.day.Status {
	case plan.Impossible:
		title = "No timeline: it cannot be done in time"
	case plan.NotFound:
		title = "No timeline: none was found"
	}
	b := box{paras: []para{{spans: []span{{title, bold}}}}}
	for _, c := range s.day.Conflict {
		b.paras = append(b.paras, plain(upperFirst(c)))
	}
	b.paras = append(b.paras, plain("The amounts below hold all the same. Steps stand in the order of their documents, without times."))
	return b
}

// line is the section of an order line: its drawing with what it is beside it.
func (s *Sheet) line(i int, p *plan.Piece) section {
	a := p.Section
	out := section{
		id: fmt.Sprintf("line-%d", i+1), level: 2, title: fmt.Sprintf("%d × %s", p.Pieces, nameOr(a.Assembly.Name, a.Assembly.ID)),
		note: nameOr(a.Mould.Name, a.Mould.ID),
	}
	f := figure{drawing: drawing.Section(a, drawing.Options{Narrow: true, IDPrefix: fmt.Sprintf("l%d-", i+1)})}
	if len(s.orders) > 1 {
		f.beside = append(f.beside, labelled("Order", nameOr(p.Order.Name, p.Order.ID)+", ready "+s.when(p.Order.Due)))
	}
	f.beside = append(f.beside,
		labelled("One piece weighs", a.Mass().Show()),
		labelled("Portions", portions(a.Assembly.Portions)))
	for _, x := range slices.Concat(s.fillings(a, nil), allergens(p.Allergens)) {
		f.beside = append(f.beside, x)
	}
	if len(p.Components) > 0 {
		t := table{
			name: "What the pieces take, finished", small: true,
			cols: []column{{"finished", 0.5, false}, {"each", 0.25, true}, {fmt.Sprintf("all %d", p.Pieces), 0.25, true}},
		}
		for _, c := range p.Components {
			name := nameOr(c.Name, c.ID)
			if c.Count > 0 {
				name = fmt.Sprintf("%d × %s", c.Count, name)
			}
			t.rows = append(t.rows, row{cells: []cell{words(name), strong(s.weight(c.Each)), words(s.weight(c.Needed))}})
		}
		f.beside = append(f.beside, t)
	}
	out.blocks = append(out.blocks, f)
	return out
}

func portions(p assembly.Portions) string {
	what := map[string]string{"": "whole", "whole": "whole", "wedges": "wedges", "squares": "squares", "slices": "slices"}[p.Rule]
	if what == "" {
		what = p.Rule
	}
	if p.Count > 0 && what != "whole" {
		return fmt.Sprintf("%d %s", p.Count, what)
	}
	if p.Count > 0 {
		return fmt.Sprintf("serves %d", p.Count)
	}
	return what
}

// fillings says what goes into one cavity at each stage, for fills, soaks and coats, inserts
// first. The mould is named where it is another than that of the order line, outer.
func (s *Sheet) fillings(a, outer *assembly.Section) []para {
	var out []para
	for i := range a.Layers {
		if in := a.Layers[i].Inside; in != nil {
			out = append(out, s.fillings(in, a)...)
		}
	}
	for i := range a.Layers {
		l := &a.Layers[i]
		name := layerName(l)
		switch {
		case l.Kind == assembly.Fill && len(l.Filled) > 0:
			cavity := ", each cavity: "
			if outer != nil {
				cavity = ", each cavity of " + nameOr(a.Mould.Name, a.Mould.ID) + ": "
			}
			p := para{spans: []span{{name, bold}, {text: cavity}}}
			for j, f := range l.Filled {
				lead := ""
				if j > 0 {
					lead = "; then "
					if on, ok := a.Layer(f.After); ok {
						lead = "; press in " + layerName(on) + "; then "
					}
				}
				p.spans = append(p.spans, span{text: lead}, span{s.weight(f.Mass), bold}, span{text: ", level " + f.Z1.Show() + belowRim(a, f.Z1)})
			}
			out = append(out, p)
		case l.Kind == assembly.Soak && l.Mass > 0:
			out = append(out, labelled(name+":", s.weight(l.Mass)+" on each piece"))
		case l.Kind == assembly.Coat && l.Poured > l.Mass:
			out = append(out, labelled(name+":", s.weight(l.Poured)+" poured on each piece, "+s.weight(l.RunOff)+" of it runs off"))
		case l.Kind == assembly.Coat && l.Mass > 0:
			out = append(out, labelled(name+":", s.weight(l.Mass)+" on each piece"+poured(a, l)))
		case l.Kind == assembly.Band && l.StripLength > 0:
			out = append(out, labelled(name+":", l.StripLength.Show()+" of strip, "+(l.Z1-l.Z0).Show()+" high"))
		}
	}
	return out
}

func poured(a *assembly.Section, l *assembly.Placed) string {
	if l.Flooded() {
		return ", level " + l.Z1.Show() + belowRim(a, l.Z1)
	}
	return ""
}

func belowRim(a *assembly.Section, z unit.Length) string {
	if a.Mould == nil || a.Mould.Solid == nil {
		return ""
	}
	switch room := a.Mould.Solid.Height() - z; {
	case room > 0.05*unit.Millimetre:
		return ", " + room.Show() + " below the rim"
	case room > -0.05*unit.Millimetre:
		return ", level with the rim"
	}
	return ""
}

func layerName(l *assembly.Placed) string {
	if l.Name != "" {
		return l.Name
	}
	return nameOr(l.Of.Name(), l.ID)
}

// allergens writes the lines of allergens, species of nuts, fish and crustaceans named by their
// ingredients.
func allergens(list []label.Allergen) []para {
	var contains, may []string
	for _, a := range list {
		name := strings.ReplaceAll(a.Name, "_", " ")
		switch a.Name {
		case "tree_nuts", "fish", "crustaceans", "crustacean_shellfish":
			name += " (" + strings.ToLower(strings.Join(a.Ingredients, ", ")) + ")"
		}
		if a.May {
			may = append(may, name)
			continue
		}
		contains = append(contains, name)
	}
	if len(contains) == 0 {
		contains = []string{"none on record"}
	}
	out := []para{labelled("Contains:", strings.Join(contains, ", "))}
	if len(may) > 0 {
		out = append(out, labelled("May contain:", strings.Join(may, ", ")))
	}
	return append(out, smallText("By the typical composition of the ingredients; read the supplier's label."))
}

// component is the section of a component to make.
func (s *Sheet) component(b *plan.Batch) section {
	f := b.Formula
	out := section{
		id: "component-" + f.ID, level: 1, title: nameOr(f.Name, f.ID),
		note: unit.Counted(b.Count, "batch") + " of " + s.weight(b.Each.In) + " · " + b.Vessel,
	}
	if b.Vessel == unit.Counted(b.Count, "batch") || b.Vessel == "" {
		out.note = unit.Counted(b.Count, "batch") + " of " + s.weight(b.Each.In)
	}
	if b.Count > 1 {
		out.note = fmt.Sprintf("%d batches, each of %s · %s", b.Count, s.weight(b.Each.In), b.Vessel)
	}
	head := "weigh"
	if b.Count > 1 {
		head = "each batch"
	}
	t := table{name: "Lines of " + out.title, cols: []column{{"", 0.05, false}, {head, 0.17, true}, {"what", 0.46, false}, {"as written", 0.32, false}}}
	group := ""
	for _, l := range b.Each.Lines {
		if l.Group != group {
			group = l.Group
			t.rows = append(t.rows, row{group: true, cells: []cell{strong(upperFirst(group))}})
		}
		_, name := l.Of()
		if l.Name != "" {
			name = l.Name
		}
		what := cell{spans: []span{{text: name}}}
		if l.Preparation != "" {
			what.spans = append(what.spans, span{text: ", " + l.Preparation})
		}
		if l.Optional {
			what.spans = append(what.spans, span{text: " (optional)"})
		}
		amount := s.weight(l.Mass)
		if l.ToTaste && l.Mass == 0 {
			amount = "to taste"
		}
		t.rows = append(t.rows, row{tick: name, cells: []cell{words(""), strong(amount), what, little(l.Text)}})
	}
	t.rows = append(t.rows, row{total: true, cells: []cell{words(""), strong(s.weight(b.Each.In)), strong("goes in"), words("")}})
	out.blocks = append(out.blocks, t, s.balance(b))
	out.blocks = append(out.blocks, s.batchSteps(b)...)
	return out
}

// balance says what becomes of what goes in: losses, what is needed and what is left.
func (s *Sheet) balance(b *plan.Batch) para {
	all := ""
	if b.Count > 1 {
		all = fmt.Sprintf("All %d batches: ", b.Count)
	}
	p := para{spans: []span{{text: all + s.weight(b.ToMake) + " goes in. "}}}
	if lost := masses(b.Losses); lost != "" {
		p.spans = append(p.spans, span{"Lost: ", bold}, span{text: lost + ". "})
	}
	p.spans = append(p.spans, span{"Gives: ", bold}, span{text: s.weight(b.Needed) + " needed"})
	if left := masses(b.LeftOver); left != "" {
		p.spans = append(p.spans, span{text: " and " + left})
	}
	p.spans = append(p.spans, span{text: "."})
	return p
}

// masses writes named masses, those of one name added up and those of nothing left out.
func masses(list []formula.NamedMass) string {
	var names []string
	sum := map[string]unit.Mass{}
	for _, n := range list {
		if !slices.Contains(names, n.Name) {
			names = append(names, n.Name)
		}
		sum[n.Name] += n.Mass
	}
	var out []string
	for _, n := range names {
		if math.Abs(sum[n].Grams()) >= 0.05 {
			out = append(out, n+" "+sum[n].Show())
		}
	}
	return strings.Join(out, ", ")
}
