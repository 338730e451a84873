package formula

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

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
	{"half a dozen ", 6},
	{"half an ", 0.5},
	{"half a ", 0.5},
	{"a dozen ", 12},
	{"a half ", 0.5},
	{"a quarter ", 0.25},
	{"a ", 1},
	{"an ", 1},
	{"one ", 1},
	{"two ", 2},
	{"three ", 3},
	{"four ", 4},
	{"five ", 5},
	{"six ", 6},
	{"eight ", 8},
	{"ten ", 10},
	{"twelve ", 12},
}

// longestLine bounds a written line, in bytes.
const longestLine = 1000

// ReadLine takes a written line apart. A line without an amount is read as to taste only if it
// says so; otherwise it is an error that asks for an amount. So are an amount of zero or below,
// a second amount without a unit between ("1 250 g"), a measure of length or time, and a line of
// more than a thousand bytes.
func ReadLine(text string) (Reading, error) {
	if len(text) > longestLine {
		return Reading{Text: text}, fmt.Errorf("the line %q goes on for %d bytes, more than %d: write one ingredient a line", clip(text), len(text), longestLine)
	}
	r := Reading{Text: strings.Join(strings.Fields(text), " ")}
	s := r.Text
	if s == "" {
		return r, fmt.Errorf("the line is empty: write an amount and an ingredient, such as 125 g almond flour")
	}
	for _, words := range []string{", or to taste", "or to taste", "to taste"} {
		var found bool
		s, found = cutFold(s, words)
		r.ToTaste = r.ToTaste || found
	}
	for _, words := range []string{"(optional)", "optional"} {
		var found bool
		s, found = cutFold(s, words)
		r.Optional = r.Optional || found
	}
	s = strings.Trim(strings.Join(strings.Fields(s), " "), " ,;")
	amount, rest, err := readAmount(s)
	switch {
	case err != nil && r.ToTaste && !startsAmount(s):
		rest = s
	case err != nil:
		return r, fmt.Errorf("the line %q has no amount that can be read (%w): write a number and a unit first, or \"to taste\"", clip(s), err)
	case amount.High <= 0:
		return r, fmt.Errorf("the line %q takes nothing: write an amount above zero, or \"to taste\"", clip(s))
	default:
		r.Amount = amount
	}
	if after, ok := strings.CutPrefix(rest, "/"); ok { // "225 g / 8 oz butter"
		q, after, err := readAmount(strings.TrimSpace(after))
		if err != nil || q.Unit.Dim == unit.Count {
			return r, fmt.Errorf("the line %q has no second amount after its stroke: write one amount, or two with their units such as 225 g / 8 oz", clip(s))
		}
		r.Second, rest = q, after
	}
	if open := strings.IndexByte(rest, '('); open >= 0 { // "8 oz (225 g) butter"
		if end := strings.IndexByte(rest[open:], ')'); end > 0 {
			if q, err := unit.ParseQuantity(rest[open+1:open+end], unit.OfMass, unit.OfVolume); err == nil {
				r.Second = q
				rest = strings.TrimSpace(rest[:open]) + " " + strings.TrimSpace(rest[open+end+1:])
			}
		}
	}
	name, prep := cutPreparation(strings.TrimSpace(rest))
	name = strings.TrimSpace(name)
	if after, ok := strings.CutPrefix(name, "of "); ok {
		name = strings.TrimSpace(after)
	}
	r.Name, r.Preparation = name, strings.Trim(prep, " ,")
	if !strings.ContainsFunc(name, unicode.IsLetter) {
		return r, fmt.Errorf("the line %q names no ingredient: write one after the amount", clip(r.Text))
	}
	return r, nil
}

// cutPreparation splits what follows the amount at the first comma that is not a decimal one:
// "cream 35,5 %, cold".
func cutPreparation(s string) (name, prep string) {
	for i := range len(s) {
		if s[i] == ',' && (i+1 == len(s) || s[i+1] < '0' || s[i+1] > '9') {
			return s[:i], s[i+1:]
		}
	}
	return s, ""
}

// cutFold removes the first occurrence of an ASCII text from s, whatever its case, and reports
// whether it was there. It leaves alone what is part of a longer word.
func cutFold(s, what string) (string, bool) {
	for i := 0; i+len(what) <= len(s); i++ {
		end := i + len(what)
		if s[i]|0x20 != what[0]|0x20 || !strings.EqualFold(s[i:end], what) {
			continue
		}
		before, _ := utf8.DecodeLastRuneInString(s[:i])
		after, _ := utf8.DecodeRuneInString(s[end:])
		if !unicode.IsLetter(before) && !unicode.IsLetter(after) {
			return s[:i] + s[end:], true
		}
	}
	return s, false
}

// startsAmount reports whether s starts as a number does, a negative one included.
func startsAmount(s string) bool {
	c, _ := utf8.DecodeRuneInString(s)
	return unicode.IsNumber(c) || strings.ContainsRune("-−–.,", c)
}

// clip shortens a text for an error message.
func clip(s string) string {
	const most = 100
	if len(s) <= most {
		return s
	}
	return strings.ToValidUTF8(s[:most], "") + "…"
}

// readAmount reads the number and unit that start a line.
func readAmount(s string) (unit.Quantity, string, error) {
	num, rest, err := unit.ParseNumber(s)
	if err != nil {
		for _, w := range wordNumbers {
			if n := len(w.words); len(s) > n && strings.EqualFold(s[:n], w.words) {
				num, rest, err = unit.Range{Low: w.value, High: w.value}, s[n:], nil
				break
			}
		}
	}
	if err != nil {
		return unit.Quantity{}, s, err
	}
	q := unit.Quantity{Range: num, Unit: unit.One}
	after := strings.TrimLeft(rest, " -")
	u, n, err := lineUnit(after)
	if err != nil {
		return unit.Quantity{}, s, err
	}
	q.Unit, q.Text = u, strings.TrimRight(s[:len(s)-len(after)+n], " ,-")
	after = strings.TrimLeft(after[n:], " ,")
	if u.Dim == unit.Count && startsAmount(after) {
		return unit.Quantity{}, s, fmt.Errorf("two numbers follow each other in %q, and it is not clear which counts", clip(s))
	}
	return q, after, nil
}

// lineUnit reads the unit that starts s and returns how many bytes it takes. A word that is no
// unit makes it a count.
func lineUnit(s string) (unit.Unit, int, error) {
	first, rest, _ := strings.Cut(s, " ")
	if first == "x" || first == "×" {
		return unit.One, len(first), nil // "2 x eggs"
	}
	second, _, _ := strings.Cut(rest, " ")
	words := []string{first + " " + second, first}                              // "fl oz" before "fl"
	if n := strings.IndexByte(first, '/'); n > 0 && startsAmount(first[n+1:]) { // "225 g/8 oz"
		words = append(words, first[:n])
	}
	for _, word := range words {
		if len(word) > len(s) {
			continue
		}
		bare := strings.TrimRight(word, ".,")
		switch bare { // a letter that is another unit elsewhere
		case "C":
			bare = "c"
		case "G":
			bare = "g"
		}
		u, ok := unit.ParseUnit(bare)
		switch {
		case !ok || u.Dim == unit.Count:
		case u.Dim == unit.OfMass || u.Dim == unit.OfVolume:
			return u, len(word), nil
		default:
			return unit.One, 0, fmt.Errorf("%q is a %s, and an ingredient wants a mass, a volume or a count", word, u.Dim)
		}
	}
	return unit.One, 0, nil
}

// pieceWords are measures that a counted line may name; the ingredient's portion of that name
// gives the mass.
var pieceWords = []string{"leaf", "leaves", "sheet", "sheets", "stick", "sticks", "bean", "beans", "pod", "pods", "sprig", "sprigs", "bunch", "pinch", "piece", "pieces", "small", "medium", "large", "extra-large"}

// Weigh returns the mass of an amount of an ingredient: as written, through its density, or
// through its portion. eggSize (as in kitchen documents) decides what a counted egg is, unless the
// name says a size of that market ("2 small eggs"). The error says what is missing and where to
// add it.
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
		if one, ok := eggPortion(ing.ID, sizeNamed(name, eggSize)); ok {
			return each(one)
		}
		measures := []string{"piece", "medium", "whole", "each", "leaf", "bean"}
		for _, w := range strings.Fields(strings.ToLower(name)) {
			if !slices.Contains(pieceWords, w) {
				continue
			}
			if p, ok := ing.Portion(w); ok {
				return each(p.Mass)
			}
			if slices.Contains([]string{"stick", "sticks", "sprig", "sprigs", "bunch", "pinch"}, w) {
				measures = nil // a pinch is no piece
				break
			}
		}
		for _, measure := range measures {
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

// sizeNamed returns the egg size that a name says, in the market of the usual size, or the usual
// size.
func sizeNamed(name, usual string) string {
	market, _, _ := strings.Cut(usual, "-")
	for _, w := range []struct{ word, eu string }{{"extra-large", "xl"}, {"extra large", "xl"}, {"jumbo", "jumbo"}, {"large", "l"}, {"medium", "m"}, {"small", "s"}} {
		if _, found := cutFold(name, w.word); !found {
			continue
		}
		size := market + "-" + strings.ReplaceAll(w.word, " ", "-")
		if market == "eu" {
			size = market + "-" + w.eu
		}
		if _, _, _, _, ok := ingredient.EggPortion(size); ok {
			return size
		}
	}
	return usual
}

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
