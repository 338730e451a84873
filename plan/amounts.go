package plan

import (
	"fmt"

	"chablon/assembly"
	"chablon/check"
	"chablon/finding"
	"chablon/formula"
	"chablon/label"
	"chablon/purchase"
	"chablon/unit"
)

// Amounts computes sections, needs, batches, checks and purchase, and no timeline.
func Amounts(job Job) *Day {
	d := &Day{Job: job, Status: NotPlanned}
	for o := range job.Orders {
		order := &d.Job.Orders[o]
		for i, line := range order.Lines {
			d.lay(order, i, line)
		}
	}
	n := newNeeds(d)
	d.Batches = n.batches()
	d.StandIns = n.standIns
	d.Doubts = n.sure
	for i := range d.Batches {
		d.Findings = append(d.Findings, check.BalanceBy(job.ranges(), d.Batches[i].Formula, job.Kitchen).Findings...)
	}
	d.Purchase = purchase.List(n.purchases(), job.Kitchen.EggSize, job.Packs)
	d.mouldsOwned()
	d.Findings = check.Accept(d.Findings, job.Accepted)
	return d
}

// lay puts one order line's assembly into its mould.
func (d *Day) lay(order *Order, i int, line Line) {
	fitted := line.Assembly.Refit(line.Mould, line.Scaling, d.Job.Owned)
	s := fitted.Assembly.Lay(line.Mould)
	p := Piece{Order: order, Line: i, Pieces: line.Pieces, Section: s, Changes: fitted.Changes, Allergens: label.Allergens(s)}
	for _, part := range s.Parts() {
		p.Components = append(p.Components, Component{
			ID: part.Component.ID(), Name: part.Component.Name(), Each: part.Each,
			Needed: part.Each * unit.Mass(line.Pieces), Count: part.Pieces,
		})
	}
	d.Pieces = append(d.Pieces, p)
	d.Findings = append(d.Findings, fitted.Findings...)
	d.Findings = append(d.Findings, check.Section(s)...)
}

// mouldsOwned reports orders that need more moulds at once than there are. A kitchen that lists
// no moulds is not judged.
func (d *Day) mouldsOwned() {
	if len(d.Job.Kitchen.Moulds) == 0 {
		return
	}
	want := map[string]int{}
	cavities := map[string]int{}
	var order []string
	var count func(s *assembly.Section, pieces int)
	count = func(s *assembly.Section, pieces int) {
		if _, seen := want[s.Mould.ID]; !seen {
			order = append(order, s.Mould.ID)
		}
		want[s.Mould.ID] += pieces
		cavities[s.Mould.ID] = max(1, s.Mould.Cavities)
		for i := range s.Layers {
			l := &s.Layers[i]
			switch {
			case l.Inside != nil:
				count(l.Inside, pieces)
			case l.Kind == assembly.Insert && l.MadeIn != nil:
				if _, seen := want[l.MadeIn.ID]; !seen {
					order = append(order, l.MadeIn.ID)
				}
				want[l.MadeIn.ID] += pieces
				cavities[l.MadeIn.ID] = max(1, l.MadeIn.Cavities)
			}
		}
	}
	for i := range d.Pieces {
		count(d.Pieces[i].Section, d.Pieces[i].Pieces)
	}
	for _, id := range order {
		need := (want[id] + cavities[id] - 1) / cavities[id]
		if have := d.Job.Kitchen.Moulds[id]; need > have {
			d.Findings.Add(finding.Finding{
				Code: "moulds-short", Level: finding.Caution, Where: "kitchen " + d.Job.Kitchen.ID + ", mould " + id, Source: "the kitchen's own list",
				Reason: fmt.Sprintf("the orders fill %d at once, but %d are owned", need, have),
				Remedy: fmt.Sprintf("Find %d more, or fill them in %s rounds.", need-have, rounds(need, have)),
			})
		}
	}
}

func rounds(need, have int) string {
	if have == 0 {
		return "several"
	}
	return fmt.Sprint((need + have - 1) / have)
}

// needs adds up what the pieces take of each formula.
type needs struct {
	day      *Day
	byID     map[string]*need
	order    []*need // first met first
	direct   []purchase.Need
	standIns []Component
	sure     *Doubts
}

// need is what is wanted of one formula.
type need struct {
	formula *formula.Formula
	product unit.Mass // finished, in the pieces or in other components, less what is in stock
	cut     []*cutGroup
	runOff  unit.Mass // lost
	kept    unit.Mass // run-off that is poured again and left in the end
	least   unit.Mass // in hand for the last piece beyond what is poured on it
}

func newNeeds(d *Day) *needs {
	n := &needs{day: d, byID: map[string]*need{}}
	for i := range d.Pieces {
		p := &d.Pieces[i]
		n.section(p.Section, p.Pieces)
	}
	n.sure = newDoubts(d)
	return n
}

func (n *needs) of(f *formula.Formula) *need {
	x := n.byID[f.ID]
	if x == nil {
		x = &need{formula: f}
		n.byID[f.ID] = x
		n.order = append(n.order, x)
	}
	return x
}

// section adds what so many pieces of a section take.
func (n *needs) section(s *assembly.Section, pieces int) {
	for i := range s.Layers {
		l := &s.Layers[i]
		all := l.Mass * unit.Mass(pieces)
		switch {
		case l.Inside != nil:
			n.section(l.Inside, pieces)
		case l.Of.Ingredient != nil:
			n.direct = append(n.direct, purchase.Need{Ingredient: l.Of.Ingredient, Mass: all})
		case l.Of.Formula != nil:
			x := n.of(l.Of.Formula)
			if cutFrom(l) {
				x.cutting(l, pieces)
				continue
			}
			x.product += all
			if l.Kind == assembly.Coat {
				x.pour(l, pieces)
			}
		case l.Of.StandIn != "":
			n.standIn(s, l, all)
		}
	}
}

// pour counts what runs off a coat. Where it is poured again, only the run-off of the last piece is
// left in the end, and in any case what that piece needs in hand beyond what is poured on it.
func (x *need) pour(l *assembly.Placed, pieces int) {
	if l.Reused {
		x.kept = max(x.kept, l.RunOff)
	} else {
		x.runOff += l.RunOff * unit.Mass(pieces)
	}
	x.least = max(x.least, l.LeastToPour-l.Poured)
}

func (n *needs) standIn(s *assembly.Section, l *assembly.Placed, all unit.Mass) {
	for i := range n.standIns {
		if n.standIns[i].ID == l.Of.StandIn {
			n.standIns[i].Needed += all
			return
		}
	}
	n.standIns = append(n.standIns, Component{ID: l.Of.StandIn, Name: l.Of.StandIn, Each: l.Mass, Needed: all})
	n.day.Findings.Add(finding.Finding{
		Code: "stand-in", Level: finding.Note, Where: fmt.Sprintf("assembly %s, layer %q", s.Assembly.ID, l.ID),
		Reason: fmt.Sprintf("%s has no formula yet: it draws and weighs, but cannot be weighed out", l.Of.StandIn),
		Remedy: "Write its formula before the day.", Source: "our choice",
	})
}

// purchases returns what the batches and the pieces take of bought ingredients.
func (n *needs) purchases() []purchase.Need {
	out := n.direct
	for i := range n.day.Batches {
		b := &n.day.Batches[i]
		for _, l := range b.Each.Lines {
			if l.Ingredient != nil {
				out = append(out, purchase.Need{Ingredient: l.Ingredient, Mass: l.Mass * unit.Mass(b.Count), Preparation: l.Preparation})
			}
		}
	}
	return out
}
