package formula

import (
	"fmt"
	"math"
	"strings"

	"chablon/ingredient"
	"chablon/unit"
)

// Reading is a written line taken apart: "1 3/4 oz butter, soft" is an amount, a name and a
// preparation. It says nothing yet of what the name means.
type Reading struct {
	Text        string
	Amount      unit.Quantity // zero where none is written
	Second      unit.Quantity // a second statement of the amount: "8 oz (225 g)"
	Name        string
	Preparation string
	Optional    bool
	ToTaste     bool
}

// wordNumbers are amounts in words that start a line.
var wordNumbers = []struct {
	words string
	value float64
}{
	{"half a dozen ", 6}, {"half an ", 0.5}, {"half a ", 0.5}, {"a dozen ", 12}, {"a pinch of ", 0}, {"a ", 1}, {"an ", 1}, {"one ", 1}, {"two ", 2}, {"three ", 3},
}

// ReadLine takes a written line apart. A line without an amount is read as to taste only if it
// says so; otherwise it is an error that asks for an amount.
func ReadLine(text string) (Reading, error) {
	r := Reading{Text: strings.Join(strings.Fields(text), " ")}
	s := r.Text
	if s == "" {
		return r, fmt.Errorf("the line is empty: write an amount and an ingredient, such as 125 g almond flour")
	}
	lower := strings.ToLower(s)
	if strings.Contains(lower, "to taste") {
		r.ToTaste = true
		s = cutFold(s, "to taste")
	}
	if strings.Contains(lower, "optional") {
		r.Optional = true
		s = cutFold(cutFold(s, "(optional)"), "optional")
	}
	s = strings.Trim(s, " ,;")
	amount, rest, err := readAmount(s)
	switch {
	case err != nil && r.ToTaste:
		rest = s
	case err != nil:
		return r, err
	default:
		r.Amount = amount
	}
	if open := strings.IndexByte(rest, '('); open >= 0 { // "8 oz (225 g) butter"
		if end := strings.IndexByte(rest[open:], ')'); end > 0 {
			if q, err := unit.ParseQuantity(rest[open+1:open+end], unit.OfMass, unit.OfVolume); err == nil {
				r.Second = q
				rest = strings.TrimSpace(rest[:open]) + " " + strings.TrimSpace(rest[open+end+1:])
			}
		}
	}
	name, prep, _ := strings.Cut(strings.TrimSpace(rest), ",")
	name = strings.TrimSpace(name)
	if after, ok := strings.CutPrefix(name, "of "); ok {
		name = after
	}
	r.Name, r.Preparation = name, strings.TrimSpace(prep)
	if r.Name == "" {
		return r, fmt.Errorf("the line %q names no ingredient: write one after the amount", r.Text)
	}
	return r, nil
}

// cutFold removes the first occurrence of what from s, whatever its case. Where folding the
// case changes the length of s, it leaves s alone.
func cutFold(s, what string) string {
	lower := strings.ToLower(s)
	i := strings.Index(lower, what)
	if i < 0 || len(lower) != len(s) {
		return s
	}
	return s[:i] + s[i+len(what):]
}

// readAmount reads the number and unit that start a line.
func readAmount(s string) (unit.Quantity, string, error) {
	num, rest, err := unit.ParseNumber(s)
	if err != nil {
		lower := strings.ToLower(s)
		for _, w := range wordNumbers {
			if strings.HasPrefix(lower, w.words) && w.value > 0 {
				num, rest, err = unit.Range{Low: w.value, High: w.value}, s[len(w.words):], nil
				break
			}
		}
	}
	if err != nil {
		return unit.Quantity{}, s, fmt.Errorf("the line %q has no amount that can be read (%w): write a number and a unit first, or \"to taste\"", s, err)
	}
	q := unit.Quantity{Range: num, Unit: unit.One}
	after := strings.TrimLeft(rest, " -\u00a0\u202f")
	words := strings.Fields(after)
	for _, n := range []int{2, 1} { // "fl oz" before "fl"
		if len(words) <= n && !(n == 1 && len(words) == 1) {
			continue
		}
		candidate := strings.Join(words[:n], " ")
		u, ok := unit.ParseUnit(strings.TrimRight(candidate, ".,"))
		if ok && (u.Dim == unit.OfMass || u.Dim == unit.OfVolume) {
			q.Unit = u
			after = strings.TrimSpace(after[len(candidate):])
			break
		}
	}
	q.Text = strings.TrimSpace(s[:len(s)-len(after)])
	return q, after, nil
}

// pieceWords are measures that a counted line may name; the ingredient's portion of that name
// gives the mass.
var pieceWords = []string{"leaf", "leaves", "sheet", "sheets", "stick", "sticks", "bean", "beans", "pod", "pods", "sprig", "sprigs", "bunch", "pinch", "piece", "pieces", "small", "medium", "large", "extra-large"}

// Weigh returns the mass of an amount of an ingredient: as written, through its density, or
// through its portion. eggSize (as in kitchen documents) decides what a counted egg is. The
// error says what is missing and where to add it.
func Weigh(q unit.Quantity, name string, ing *ingredient.Ingredient, eggSize string) (low, high unit.Mass, err error) {
	each := func(one unit.Mass) (unit.Mass, unit.Mass, error) {
		return unit.Mass(q.Low) * one, unit.Mass(q.High) * one, nil
	}
	switch q.Unit.Dim {
	case unit.OfMass:
		one := unit.Of(1, q.Unit).Mass()
		return each(one)
	case unit.OfVolume:
		if p, ok := ing.Portion(q.Unit.Symbol); ok && !ing.Density.Known() {
			return each(p.Mass)
		}
		if !ing.Density.Known() {
			return 0, 0, fmt.Errorf("%s is a volume, but %s has no density on record: write a mass, or add a density to the ingredient", q, ing.Name)
		}
		return each(ing.Density.Mass(unit.Of(1, q.Unit).Volume()))
	case unit.Count:
		if one, ok := eggPortion(ing.ID, eggSize); ok {
			return each(one)
		}
		for _, w := range strings.Fields(strings.ToLower(name)) {
			for _, piece := range pieceWords {
				if w == piece {
					if p, ok := ing.Portion(w); ok {
						return each(p.Mass)
					}
				}
			}
		}
		for _, measure := range []string{"piece", "medium", "whole", "each", "leaf", "bean"} {
			if p, ok := ing.Portion(measure); ok {
				return each(p.Mass)
			}
		}
		return 0, 0, fmt.Errorf("%q counts pieces, but the mass of one piece of %s is not on record: write a mass, or add a portion to the ingredient", q.Text+" "+name, ing.Name)
	default:
		return 0, 0, fmt.Errorf("%q is a %s: an ingredient wants a mass, a volume or a count", q.Text, q.Unit.Dim)
	}
}

// Ingredients that fresh shell eggs give.
const (
	EggWhole = "egg-whole"
	EggWhite = "egg-white"
	EggYolk  = "egg-yolk"
)

// eggPortion returns the mass of one counted egg, white or yolk without shell.
func eggPortion(id, size string) (unit.Mass, bool) {
	white, yolk, whole, _, ok := ingredient.EggPortion(size)
	if !ok {
		return 0, false
	}
	switch id {
	case EggWhite:
		return white, true
	case EggYolk:
		return yolk, true
	case EggWhole:
		return whole, true
	}
	return 0, false
}

// finite reports whether every mass is a number that can be weighed.
func finite(ms ...unit.Mass) bool {
	for _, m := range ms {
		if math.IsNaN(float64(m)) || math.IsInf(float64(m), 0) || m < 0 {
			return false
		}
	}
	return true
}
