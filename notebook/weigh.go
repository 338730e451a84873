package notebook

import (
	"math"
	"slices"
	"strings"

	"chablon/ingredient"
	"chablon/unit"
)

// The ids of what fresh shell eggs give.
const (
	eggWhole = "egg-whole"
	eggWhite = "egg-white"
	eggYolk  = "egg-yolk"
)

// leafGrades is the mass of one leaf of gelatin by grade, in grams. Common practice, no source.
var leafGrades = map[string]float64{"bronze": 3.3, "silver": 2.5, "argent": 2.5, "gold": 2, "or": 2, "platinum": 1.7, "titanium": 5}

// weigh fills the grams of a line from its amount, where they are known.
func (r *reader) weigh(l *Line, s stated) {
	if s.noNumber {
		s.Range = unit.Range{Low: 1, High: 1}
		if s.u == nil || s.symbol() == "drop" && l.Ingredient == nil {
			return
		}
		if s.symbol() == "drop" || s.symbol() == "leaf" || s.symbol() == "sprig" {
			l.Questions = append(l.Questions, "how many, or what mass?")
			return
		}
	}
	set := func(low, high float64) {
		if low >= 0 && high >= low && !math.IsInf(high, 0) && !math.IsNaN(low+high) {
			l.Grams, l.HasGrams = unit.Range{Low: low, High: high}, true
		}
	}
	country := s.country
	if country == "" {
		country = r.o.Country
	}
	switch {
	case s.u == nil:
		if one, note, ok := r.onePiece(l, s.size); ok {
			set(s.Low*one, s.High*one)
			l.assume(note)
		} else if l.Ingredient != nil {
			l.ask("what does one " + strings.ToLower(l.Ingredient.Name) + " weigh?")
		}
	case s.u.class == ofMass:
		set(s.Low*s.u.low, s.High*s.u.high)
		l.assume(s.u.note)
	case s.u.class == ofVolume:
		ml, note := s.u.millilitres(r.o, country)
		l.assume(note)
		lowHeap, highHeap := math.Min(1, s.heap), math.Max(1, s.heap)
		low, high := s.Low*ml.Low*lowHeap, s.High*ml.High*highHeap
		if l.Ingredient == nil {
			return
		}
		if grams, ok := perMillilitre(l.Ingredient, s.u.symbol, l.volumeWord); ok {
			set(low*grams, high*grams)
		} else {
			l.ask("what does one " + s.u.symbol + " of " + strings.ToLower(l.Ingredient.Name) + " weigh? No density is on record")
		}
	case s.u.class == ofBatches:
	default:
		r.weighPieces(l, s, set)
	}
}

// perMillilitre returns the grams in one millilitre of an ingredient: by the portion that names
// the doing ("cup, sifted"), by its density, or by the portion of a cup or spoon.
func perMillilitre(i *ingredient.Ingredient, symbol, doing string) (float64, bool) {
	volumes := []struct {
		measure string
		ml      float64
	}{{"cup", 236.5882365}, {"tbsp", 14.78676478125}, {"tsp", 4.92892159375}, {"fl oz", 29.5735295625}}
	for _, v := range volumes {
		if doing == "" {
			break
		}
		if p, ok := i.Portion(v.measure + ", " + doing); ok {
			return p.Mass.Grams() / v.ml, true
		}
	}
	if i.Density.Known() {
		return i.Density.GramsPerMillilitre(), true
	}
	for _, v := range volumes {
		if v.measure == symbol {
			if p, ok := i.Portion(v.measure); ok {
				return p.Mass.Grams() / v.ml, true
			}
		}
	}
	for _, v := range volumes {
		if p, ok := i.Portion(v.measure); ok {
			return p.Mass.Grams() / v.ml, true
		}
	}
	return 0, false
}

// weighPieces weighs sticks, leaves, packets and their like.
func (r *reader) weighPieces(l *Line, s stated, set func(low, high float64)) {
	symbol := s.u.symbol
	lowered := plain(l.Name + " " + l.Preparation)
	if (symbol == "leaf" || symbol == "sheet") && l.Ingredient != nil && strings.HasPrefix(l.Ingredient.ID, "gelatin") {
		for grade, g := range leafGrades {
			if slices.Contains(strings.Fields(lowered), grade) {
				set(s.Low*g, s.High*g)
				l.assume("a " + grade + " leaf taken as " + unit.Number(g, 1) + " g, " + practice)
				return
			}
		}
		set(s.Low*1.7, s.High*3.3)
		l.ask("which grade is the leaf gelatin? A leaf weighs 1.7 to 3.3 g")
		return
	}
	if l.Ingredient != nil {
		if symbol == "stick" && strings.HasPrefix(l.Ingredient.ID, "butter") || symbol == "stick" && strings.HasPrefix(l.Ingredient.ID, "margarine") {
			set(s.Low*113.4, s.High*113.4)
			l.assume("an American stick of 113.4 g")
			return
		}
		if p, ok := l.Ingredient.Portion(symbol); ok && symbol != "can" && symbol != "piece" {
			set(s.Low*p.Mass.Grams(), s.High*p.Mass.Grams())
			l.assume("one " + symbol + " taken as " + unit.Number(p.Mass.Grams(), 1) + " g: " + p.Source)
			return
		}
	}
	if s.u.low > 0 {
		set(s.Low*s.u.low, s.High*s.u.high)
		l.assume(s.u.note)
		return
	}
	l.ask("what does one " + symbol + " weigh?")
}

// pieceMeasures are the portions of one whole piece, best first.
var pieceMeasures = []string{"medium", "fruit", "whole", "piece", "each", "bean", "large", "small"}

// onePiece returns the grams of one counted piece.
func (r *reader) onePiece(l *Line, said string) (grams float64, note string, ok bool) {
	if l.Ingredient == nil {
		return 0, "", false
	}
	size := r.o.EggSize
	if size == "" {
		size = "us-large"
		if where := land(r.o.Country); where != unitedStates {
			size = "eu-m"
		}
	}
	switch l.Ingredient.ID {
	case eggWhole, eggWhite, eggYolk:
		size = eggSizeSaid(plain(l.Name+" "+l.before+" "+l.Preparation+" "+said), size)
		white, yolk, whole, _, known := ingredient.EggPortion(size)
		if !known {
			return 0, "", false
		}
		one := map[string]unit.Mass{eggWhole: whole, eggWhite: white, eggYolk: yolk}[l.Ingredient.ID]
		return one.Grams(), "egg size " + size + " without shell", true
	}
	for _, word := range strings.Fields(plain(l.Name + " " + l.before + " " + said)) {
		if word == "small" || word == "medium" || word == "large" {
			if p, ok := l.Ingredient.Portion(word); ok {
				return p.Mass.Grams(), "one " + word + " taken as " + unit.Number(p.Mass.Grams(), 0) + " g: " + p.Source, true
			}
		}
	}
	for _, m := range pieceMeasures {
		if p, ok := l.Ingredient.Portion(m); ok {
			return p.Mass.Grams(), "one piece taken as " + unit.Number(p.Mass.Grams(), 1) + " g: " + p.Source, true
		}
	}
	return 0, "", false
}

// eggSizeSaid returns the size that words say, in the market of the usual size, or the usual one.
func eggSizeSaid(words, usual string) string {
	market, _, _ := strings.Cut(usual, "-")
	for _, w := range []struct{ word, us, eu string }{
		{"extra-large", "us-extra-large", "eu-xl"},
		{"extra large", "us-extra-large", "eu-xl"},
		{"jumbo", "us-jumbo", "eu-xl"},
		{"large", "us-large", "eu-l"},
		{"gros", "us-large", "eu-l"},
		{"medium", "us-medium", "eu-m"},
		{"moyen", "us-medium", "eu-m"},
		{"small", "us-small", "eu-s"},
		{"petit", "us-small", "eu-s"},
	} {
		if strings.Contains(words, w.word) {
			if market == "eu" {
				return w.eu
			}
			return w.us
		}
	}
	return usual
}

// agree compares two statements of one amount, in grams or millilitres, and returns how far the
// larger is above the smaller; ok is false where they cannot be compared.
func (r *reader) agree(a, b stated, i *ingredient.Ingredient) (excess float64, ok bool) {
	inGrams := func(s stated) (float64, bool) {
		mid := s.Mid()
		switch {
		case s.mass():
			return mid * (s.u.low + s.u.high) / 2, true
		case s.volume() && i != nil && s.heap == 1:
			country := s.country
			if country == "" {
				country = r.o.Country
			}
			ml, _ := s.u.millilitres(r.o, country)
			g, known := perMillilitre(i, s.u.symbol, "")
			return mid * ml.Mid() * g, known
		case s.symbol() == "stick" && i != nil && strings.HasPrefix(i.ID, "butter"):
			return mid * 113.4, true
		case s.u == nil && i != nil && (i.ID == eggWhole || i.ID == eggWhite || i.ID == eggYolk):
			one, _, known := r.onePiece(&Line{Ingredient: i}, s.size)
			return mid * one, known
		}
		return 0, false
	}
	if a.volume() && b.volume() {
		best := math.Inf(1)
		for _, country := range []string{r.o.Country, britain, unitedStates} { // a pint beside millilitres shows its country
			x, _ := a.u.millilitres(r.o, country)
			y, _ := b.u.millilitres(r.o, country)
			best = math.Min(best, ratio(a.Mid()*x.Mid(), b.Mid()*y.Mid()))
		}
		return best, true
	}
	x, okX := inGrams(a)
	y, okY := inGrams(b)
	if !okX || !okY || x <= 0 || y <= 0 {
		return 0, false
	}
	return ratio(x, y), true
}

func ratio(x, y float64) float64 {
	if x <= 0 || y <= 0 {
		return 0
	}
	return math.Max(x/y, y/x) - 1
}
