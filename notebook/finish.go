package notebook

import (
	"math"
	"strconv"
	"strings"

	"chablon/unit"
)

// choose decides which statement is the amount of the line: a stated mass beats a volume, a
// volume beats a bare count; a pack multiplies.
func choose(s stated, others []stated, l *Line) (stated, []stated) {
	if len(others) == 0 {
		return s, nil
	}
	pick := -1
	for n, o := range others {
		if s.container() && s.known() && (o.mass() || o.volume()) {
			if s.Low != 1 || s.High != 1 {
				if !o.each && !o.total {
					l.ask("is the size in brackets that of each " + s.u.symbol + ", or of all?")
					l.atMost(0.7)
				}
				if !o.total {
					o.Range = unit.Range{Low: o.Low * s.Low, High: o.High * s.High}
					o.each = false
				}
			}
			o.asked, o.doubt, o.faults = append(o.asked, s.asked...), o.doubt+s.doubt, append(o.faults, s.faults...)
			return o, nil
		}
		if o.each && s.u == nil && s.known() && o.mass() {
			o.Range = unit.Range{Low: o.Low * s.Low, High: o.High * s.High}
			return o, nil
		}
		better := o.mass() && !s.mass() || o.volume() && s.u == nil
		if better && (pick < 0 || o.mass() && !others[pick].mass()) && o.known() {
			pick = n
		}
	}
	if pick < 0 {
		return s, others
	}
	chosen := others[pick]
	chosen.faults = append(chosen.faults, s.faults...)
	if s.u != nil && s.mass() == chosen.mass() {
		chosen.doubt += s.doubt
	}
	rest := append([]stated{s}, others[:pick]...)
	return chosen, append(rest, others[pick+1:]...)
}

// finish fills amount, grams, assumptions and confidence.
func (r *reader) finish(l *Line, s stated, also []stated) {
	if !s.noNumber {
		if s.Low < 0 || s.High > most || math.IsNaN(s.Low+s.High) {
			l.ask("the number is too large to weigh")
			l.atMost(0.2)
			return
		}
		l.Amount, l.HasAmount = s.Range, true
		if s.High <= 0 {
			l.ask("an amount of nothing?")
			l.atMost(0.4)
		}
	}
	l.Unit = s.symbol()
	for _, note := range s.notes {
		l.assume(note)
	}
	for _, q := range s.asked {
		l.ask(q)
	}
	l.Confidence -= s.doubt
	for _, f := range s.faults {
		l.assume(f)
		l.ask("is the number " + figure(s.Low) + " right? " + f)
		l.atMost(0.7)
	}
	if s.u == nil && s.known() && l.Ingredient != nil && uncountable[l.Ingredient.Group] && !l.HasGrams && l.Kind == Ingredient {
		if _, _, ok := r.onePiece(l, ""); !ok {
			l.ask("a number of what? Write the unit")
			l.atMost(0.6)
		}
	}
	if s.symbol() == "part" {
		l.ask("a part of what?")
		l.atMost(0.7)
	}
	if p := plain(l.Preparation); strings.Contains(p, "weight in") || strings.Contains(p, "leaving out") || strings.Contains(p, "all but") {
		l.ask("the preparation says an amount: " + l.Preparation)
		l.atMost(0.7)
	}
	if s.size != "" && s.u != nil {
		l.assume(s.size + " is not counted in the amount")
	}
	r.weigh(l, s)
	for _, o := range also {
		if l.Also == "" && o.known() {
			l.Also = amountText(o)
		}
		if excess, ok := r.agree(s, o, l.Ingredient); ok && excess > 0.15 {
			l.ask("the two amounts differ by " + unit.Number(excess*100, 0) + " %: which one holds?")
			if s.mass() == o.mass() && s.volume() == o.volume() {
				l.atMost(0.6)
			} else {
				l.Confidence -= 0.1
			}
		}
	}
	if s.u == ounceMeasure && len(also) == 0 && l.Ingredient != nil && liquidGroups[l.Ingredient.Group] && land(r.o.Country) == unitedStates {
		l.ask("ounces of mass, or fluid ounces?")
		l.assume("an ounce taken as a mass")
	}
	if !l.HasAmount && s.u == nil && !l.ToTaste && !l.Optional && !l.Extra && l.Kind == Ingredient {
		if !purpose(l.Preparation) {
			l.ask("how much?")
			l.atMost(0.85)
		}
	}
}

// uncountable groups come by mass or volume: a bare number before them says too little.
var uncountable = setOf("flour starch sugar syrup dairy dairy_fat fat chocolate juice leavening flavour alcohol beverage acid puree seasoning jam")

var liquidGroups = setOf("juice alcohol syrup beverage")

// purpose reports whether a preparation says what a line without amount is for.
func purpose(prep string) bool {
	p := plain(prep)
	return strings.Contains(p, "for ") || strings.Contains(p, "pour ") || strings.Contains(p, "to ") || strings.Contains(p, "as needed") || strings.Contains(p, "as required")
}

func amountText(s stated) string {
	t := figure(s.Low)
	if s.High > s.Low {
		t += "-" + figure(s.High)
	}
	if s.u != nil {
		t += " " + s.u.symbol
	}
	return t
}

// figure writes a number without needless zeros.
func figure(x float64) string { return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64) }
