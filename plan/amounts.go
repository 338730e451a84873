package plan

import (
	"fmt"
	"math"

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
	joint    int // components that must all suffice together
}

// need is what is wanted of one formula.
type need struct {
	formula *formula.Formula
	product unit.Mass // finished, in the pieces or in other components, less what is in stock
	cut     []*cutGroup
	spread  spread
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
	n.joint = len(n.byID)
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
			x.spread.add(l, pieces)
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

// spread adds up the doubt about a component's need: what is common to a batch adds up over its
// pieces, what is each piece's own partly cancels.
type spread struct {
	batch unit.Mass // one standard deviation
	piece float64   // variance, kg²
}

// Relative doubts, one standard deviation. Source: bib:chablon-uncertainty, compiled from
// practice; common practice, no source, where a kitchen has no records.
const (
	doubtOfGas    = 0.10 // of the gas in a whipped or folded mix, same cook and mixer
	doubtOfPour   = 0.02 // of a mass poured and levelled
	doubtOfSpread = 0.08 // of a thickness spread with a spatula
	doubtOfFilm   = 0.20 // of a film that runs off
	doubtOfSoak   = 0.10
)

// z90 is how many standard deviations lie between the middle and either end of 90 %.
const z90 = 1.6448536269514722

func (s *spread) add(l *assembly.Placed, pieces int) {
	batch, piece := 0.0, 0.0
	switch l.Kind {
	case assembly.Soak:
		batch = doubtOfSoak
	case assembly.Decor:
	case assembly.Spread, assembly.Base, assembly.Disc:
		piece = doubtOfSpread
	case assembly.Coat:
		batch = doubtOfFilm
		if l.Flooded() {
			batch, piece = 0, doubtOfPour
		}
	default:
		piece = doubtOfPour
		if l.Of.Formula != nil {
			batch = doubtOfGas * l.Of.Formula.AirFraction()
		}
	}
	if l.Thickness > 0 && l.High > l.Low { // the document's own spread, covering 90 %
		piece = float64((l.High-l.Low)/l.Thickness) / (2 * z90)
	}
	if f := l.Of.Formula; f != nil && f.DensityHigh > f.DensityLow && f.Density.Known() {
		batch = float64((f.DensityHigh-f.DensityLow)/f.Density) / (2 * z90)
	}
	m := l.Mass
	s.batch += m * unit.Mass(pieces) * unit.Mass(batch)
	s.piece += float64(pieces) * math.Pow(float64(m)*piece, 2)
}

// reserve returns what to add so that this component suffices with a probability.
func (s *spread) reserve(probability float64) unit.Mass {
	sd := math.Sqrt(float64(s.batch*s.batch) + s.piece)
	return unit.Mass(sd * normalQuantile(probability))
}

// normalQuantile returns the value below which a standard normal variable lies with probability
// p, for 0.5 ≤ p < 1; outside it returns 0. It inverts math.Erf.
func normalQuantile(p float64) float64 {
	if !(p > 0.5 && p < 1) {
		return 0
	}
	return math.Sqrt2 * math.Erfinv(2*p-1)
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
